"""The ground floor's rows."""

from shop.models.absences import Absence, BayClosure
from shop.models.bays import Bay
from shop.models.customers import Customer, Vehicle
from shop.models.drafts import WrittenDraft, WrittenVersion
from shop.models.instruments import Calibration, CalibrationWay, Instrument, InstrumentKind
from shop.models.owned_tools import Tool, ToolKind, ToolMaterial
from shop.models.people import Certificate, Fractions, Person, Role, Skill, Units
from shop.models.record import Entry, Event, Outcome, SignedHow, StreamHead
from shop.models.settings import ShopSettings, TaxedKind
from shop.models.tablets import Tablet, TabletCode, Turn, WrongPin

__all__ = [
    "Absence",
    "Bay",
    "BayClosure",
    "Calibration",
    "CalibrationWay",
    "Certificate",
    "Customer",
    "Entry",
    "Event",
    "Fractions",
    "Instrument",
    "InstrumentKind",
    "Outcome",
    "Person",
    "Role",
    "ShopSettings",
    "SignedHow",
    "Skill",
    "StreamHead",
    "Tablet",
    "TabletCode",
    "TaxedKind",
    "Tool",
    "ToolKind",
    "ToolMaterial",
    "Turn",
    "Units",
    "Vehicle",
    "WrittenDraft",
    "WrittenVersion",
    "WrongPin",
]
