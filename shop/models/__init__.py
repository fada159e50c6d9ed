"""The ground floor's rows."""

from shop.models.absences import Absence, BayClosure
from shop.models.bays import Bay
from shop.models.customers import Customer, Vehicle
from shop.models.instruments import Calibration, CalibrationWay, Instrument, InstrumentKind
from shop.models.people import Certificate, Person, Role, Skill
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
    "Turn",
    "Vehicle",
    "WrongPin",
]
