"""The bibliography of fitting, welding and hot work."""

from shop.engineering.publications import Reference

WELDING: dict[str, Reference] = {
    "UMEYAMA": Reference(
        "Least-squares estimation of transformation parameters between two point patterns (S. Umeyama)",
        "IEEE Transactions on Pattern Analysis and Machine Intelligence 13",
        "1991",
    ),
    "BAARDA": Reference(
        "A testing procedure for use in geodetic networks (W. Baarda)",
        "Netherlands Geodetic Commission",
        "1968",
    ),
    "LINDLEY": Reference(
        "On a measure of the information provided by an experiment (D. V. Lindley)",
        "The Annals of Mathematical Statistics 27",
        "1956",
    ),
    "ISO8855": Reference(
        "Road vehicles, Vehicle dynamics and road-holding ability, Vocabulary, ISO 8855",
        "International Organization for Standardization",
        "2011",
    ),
    "I-CAR": Reference(
        "Repairability technical support: measuring tolerances; welding precautions",
        "Inter-Industry Conference on Auto Collision Repair",
        "as read in excerpts",
    ),
    "EN1011-1": Reference(
        "Welding, Recommendations for welding of metallic materials, Part 1: General guidance for arc "
        "welding, EN 1011-1",
        "European Committee for Standardization",
        "2009, as quoted by TWI",
    ),
    "EN1011-2": Reference(
        "Welding, Recommendations for welding of metallic materials, Part 2: Arc welding of ferritic steels, "
        "EN 1011-2",
        "European Committee for Standardization",
        "2001, as quoted",
    ),
    "ITO-BESSYO": Reference(
        "Weldability formula of high strength steels related to heat-affected zone cracking "
        "(Y. Ito, K. Bessyo)",
        "International Institute of Welding, document IX-576-68",
        "1968, as quoted",
    ),
    "MILLER-GMAW": Reference(
        "Owner's manual OM-228042, table 12-2: parameters for solid wire",
        "Miller Electric",
        "as read in excerpts",
    ),
    "TWI-DISTORTION": Reference(
        "How can the direction and sequence of welding be used to control distortion?",
        "TWI Ltd",
        "as read in excerpts",
    ),
    "D1.1": Reference(
        "Structural welding code: Steel, AWS D1.1",
        "American Welding Society",
        "2025, as quoted",
    ),
    "D1.3": Reference(
        "Structural welding code: Sheet steel, AWS D1.3",
        "American Welding Society",
        "2008, as quoted",
    ),
    "ROSENTHAL": Reference(
        "The theory of moving sources of heat and its application to metal treatments (D. Rosenthal)",
        "Transactions of the ASME 68",
        "1946",
    ),
    "NFPA51B": Reference(
        "Standard for fire prevention during welding, cutting, and other hot work, NFPA 51B",
        "National Fire Protection Association",
        "2014 and 2019, as summarised",
    ),
    "29CFR1910": Reference(
        "Welding, cutting and brazing: general requirements, 29 CFR 1910.252",
        "United States, Occupational Safety and Health Administration",
        "as mirrored by state rules",
    ),
    "29CFR1915": Reference(
        "Fire watches in shipyard employment, 29 CFR 1915.504",
        "United States, Occupational Safety and Health Administration",
        "as read in excerpts",
    ),
    "29CFR1926": Reference(
        "Fire prevention in construction, 29 CFR 1926.352",
        "United States, Occupational Safety and Health Administration",
        "from memory",
    ),
}
