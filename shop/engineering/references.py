"""The bibliography: what the calculations rest on, by short keys."""

from shop.engineering.publications import Reference
from shop.engineering.references_welding import WELDING

BIBLIOGRAPHY: dict[str, Reference] = {
    "SP811": Reference(
        "Guide for the Use of the International System of Units (SI), NIST Special Publication 811",
        "National Institute of Standards and Technology",
        "2008",
    ),
    "SI8": Reference(
        "The International System of Units, the SI Brochure",
        "Bureau International des Poids et Mesures",
        "9th edition, 2019",
    ),
    "GUM": Reference(
        "Evaluation of measurement data: Guide to the expression of uncertainty in measurement, JCGM 100",
        "Joint Committee for Guides in Metrology",
        "2008",
    ),
    "JCGM106": Reference(
        "Evaluation of measurement data: The role of measurement uncertainty in conformity assessment, "
        "JCGM 106",
        "Joint Committee for Guides in Metrology",
        "2012",
    ),
    "ISO14253-1": Reference(
        "Geometrical product specifications, Inspection by measurement of workpieces and measuring "
        "equipment, Part 1: Decision rules for verifying conformity or nonconformity with specifications",
        "International Organization for Standardization",
        "2017",
    ),
    "ISO14405": Reference(
        "Geometrical product specifications, Dimensional tolerancing, Part 1: Linear sizes, ISO 14405-1",
        "International Organization for Standardization",
        "2016",
    ),
    "ISO17043": Reference(
        "Conformity assessment: General requirements for the competence of proficiency testing providers, "
        "ISO/IEC 17043",
        "International Organization for Standardization",
        "2023",
    ),
    "ISO6789": Reference(
        "Assembly tools for screws and nuts, Hand torque tools, ISO 6789-1 and 6789-2",
        "International Organization for Standardization",
        "2017",
    ),
    "ISO3779": Reference(
        "Road vehicles, Vehicle identification number: Content and structure",
        "International Organization for Standardization",
        "2009",
    ),
    "ILAC-G8": Reference(
        "Guidelines on decision rules and statements of conformity",
        "International Laboratory Accreditation Cooperation",
        "09/2019",
    ),
    "Z540-3": Reference(
        "Requirements for the calibration of measuring and test equipment, ANSI/NCSL Z540.3",
        "NCSL International",
        "2006",
    ),
    "DOBBERT": Reference(
        "A guard-band strategy for managing false-accept risk (M. Dobbert)",
        "NCSL International Workshop and Symposium",
        "2008",
    ),
    "ASTM-E29": Reference(
        "Standard practice for using significant digits in test data, ASTM E29",
        "ASTM International",
        "2022",
    ),
    "49CFR565": Reference(
        "Vehicle identification number (VIN) requirements, 49 CFR Part 565",
        "United States, National Highway Traffic Safety Administration",
        "2008 rule, tables III to VII",
    ),
    "B18.2.8": Reference(
        "Clearance holes for bolts, screws, and studs, ASME B18.2.8",
        "American Society of Mechanical Engineers",
        "1999, as reprinted",
    ),
    "B18.2.1": Reference(
        "Square, hex, heavy hex, and askew head bolts, ASME B18.2.1",
        "American Society of Mechanical Engineers",
        "2012, as reprinted",
    ),
    "B94.11M": Reference(
        "Twist drills, ASME B94.11M",
        "American Society of Mechanical Engineers",
        "1993, as reprinted",
    ),
    "B1.1": Reference(
        "Unified inch screw threads, ASME B1.1",
        "American Society of Mechanical Engineers",
        "2003, as reprinted",
    ),
    "Y14.5": Reference(
        "Dimensioning and tolerancing, ASME Y14.5",
        "American Society of Mechanical Engineers",
        "2018",
    ),
    "ISO273": Reference(
        "Fasteners, Clearance holes for bolts and screws, ISO 273",
        "International Organization for Standardization",
        "1979, as reprinted",
    ),
    "BS4186": Reference(
        "Recommendations for clearance holes for metric bolts and screws, BS 4186",
        "British Standards Institution",
        "1967, as reprinted",
    ),
    "ISO2306": Reference(
        "Drills for use prior to tapping screw threads, ISO 2306",
        "International Organization for Standardization",
        "1972, as reprinted",
    ),
    "ISO724": Reference(
        "ISO general-purpose metric screw threads, Basic dimensions, ISO 724",
        "International Organization for Standardization",
        "1993",
    ),
    "ISO898-1": Reference(
        "Mechanical properties of fasteners made of carbon steel and alloy steel, ISO 898-1",
        "International Organization for Standardization",
        "2013, as reprinted",
    ),
    "ISO4014": Reference(
        "Hexagon head bolts, ISO 4014",
        "International Organization for Standardization",
        "2011, as reprinted",
    ),
    "EN1662": Reference(
        "Hexagon bolts with flange, small series, EN 1662",
        "European Committee for Standardization",
        "1998, as reprinted",
    ),
    "EN1665": Reference(
        "Hexagon bolts with flange, heavy series, EN 1665",
        "European Committee for Standardization",
        "1998, as reprinted",
    ),
    "SAE-J429": Reference(
        "Mechanical and material requirements for externally threaded fasteners, SAE J429",
        "SAE International",
        "2014, as reprinted",
    ),
    "MHB": Reference(
        "Machinery's Handbook",
        "Industrial Press",
        "31st edition",
    ),
    "AISC360": Reference(
        "Specification for structural steel buildings, ANSI/AISC 360",
        "American Institute of Steel Construction",
        "2016",
    ),
    "RCSC": Reference(
        "Specification for structural joints using high-strength bolts",
        "Research Council on Structural Connections",
        "2014",
    ),
    "FED-H28": Reference(
        "Screw-thread standards for federal services, FED-STD-H28",
        "United States, General Services Administration",
        "1978",
    ),
    "SHIGLEY": Reference(
        "Shigley's Mechanical Engineering Design",
        "McGraw-Hill",
        "9th edition",
    ),
    "TM9-6115": Reference(
        "Technical manual 9-6115-604-34",
        "United States, Department of the Army",
        "as read in excerpts",
    ),
    "TM55-1520": Reference(
        "Technical manual 55-1520-240-23-1",
        "United States, Department of the Army",
        "as read in excerpts",
    ),
    "TM1-1500": Reference(
        "Technical manual 1-1500-204-23-6",
        "United States, Department of the Army",
        "as read in excerpts",
    ),
    "HOUSE": Reference(
        "A rule of this project's own, stated in the docstring that names it",
        "Scribeline",
        "version 1",
    ),
    **WELDING,
}
