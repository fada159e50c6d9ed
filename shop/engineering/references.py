"""The bibliography: what the calculations rest on, by short keys."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Reference:
    """A publication, or a rule of this project's own."""

    title: str
    publisher: str
    edition: str


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
    "HOUSE": Reference(
        "A rule of this project's own, stated in the docstring that names it",
        "Scribeline",
        "version 1",
    ),
}
