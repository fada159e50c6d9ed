"""Rows for tests. Everything is invented."""

import datetime as dt
from typing import Any

import factory
from factory.django import DjangoModelFactory

from parts.models import (
    Expectation,
    KitDefinition,
    KitLine,
    KitOrder,
    KitRevision,
    PackingSlip,
    Receipt,
    ReceiptLine,
    Recount,
    SlipLine,
    Supplier,
)
from shop.models import (
    Bay,
    Calibration,
    Certificate,
    Customer,
    Entry,
    Instrument,
    Outcome,
    Person,
    Role,
    ShopSettings,
    SignedHow,
    Skill,
    Tablet,
    Turn,
    Vehicle,
)
from shop.revisions import RevisionState

NOON = dt.datetime(2030, 4, 15, 17, 0, tzinfo=dt.UTC)
DAY = NOON.date()


class PersonFactory(DjangoModelFactory):
    class Meta:
        model = Person

    username = factory.Sequence(lambda n: f"person{n}")
    full_name = factory.Sequence(lambda n: f"Person {n} of the Test Shop")
    role = Role.FABRICATOR
    password = "!"


class CertificateFactory(DjangoModelFactory):
    class Meta:
        model = Certificate

    person = factory.SubFactory(PersonFactory)
    skill = Skill.STRUCTURAL_WELDING
    number = factory.Sequence(lambda n: f"CERT-{n}")
    valid_from = DAY - dt.timedelta(days=100)
    valid_until = DAY + dt.timedelta(days=100)


class ShopSettingsFactory(DjangoModelFactory):
    class Meta:
        model = ShopSettings

    name = "Test Shop"


class CustomerFactory(DjangoModelFactory):
    class Meta:
        model = Customer

    name = factory.Sequence(lambda n: f"Customer {n}")


class VehicleFactory(DjangoModelFactory):
    class Meta:
        model = Vehicle

    customer = factory.SubFactory(CustomerFactory)
    model_year = 1966
    description = "Invented saloon"
    serial = factory.Sequence(lambda n: f"INV66-{n:05d}")


class BayFactory(DjangoModelFactory):
    class Meta:
        model = Bay

    number = factory.Sequence(lambda n: n + 1)
    name = factory.LazyAttribute(lambda bay: f"Bay {bay.number}")


class TabletFactory(DjangoModelFactory):
    class Meta:
        model = Tablet

    name = factory.Sequence(lambda n: f"Tablet {n}")
    bay = factory.SubFactory(BayFactory)
    token_hash = factory.Sequence(lambda n: f"{n:064d}")
    assigned_by = factory.SubFactory(PersonFactory, role=Role.MANAGER)
    assigned_at = NOON


class TurnFactory(DjangoModelFactory):
    class Meta:
        model = Turn

    tablet = factory.SubFactory(TabletFactory)
    person = factory.SubFactory(PersonFactory)
    started_at = NOON


class InstrumentFactory(DjangoModelFactory):
    class Meta:
        model = Instrument

    code = factory.Sequence(lambda n: f"TP-{n:02d}")
    name = "Tape"
    kind = "tape"
    unit = "in"
    resolution = "1/32 in"
    permissible_error = "1/64 in"


class CalibrationFactory(DjangoModelFactory):
    class Meta:
        model = Calibration

    instrument = factory.SubFactory(InstrumentFactory)
    done_on = DAY - dt.timedelta(days=30)
    due_on = DAY + dt.timedelta(days=330)
    way = "certificate"


class EntryFactory(DjangoModelFactory):
    class Meta:
        model = Entry

    stream = "shop"
    kind = "note"
    payload: dict[str, Any] = {}
    entered_at = NOON
    received_at = NOON
    signer = factory.SubFactory(PersonFactory)
    signed_how = SignedHow.DESK
    digest = "0" * 64
    outcome = Outcome.ACCEPTED
    position = factory.Sequence(lambda n: n + 1)


class SupplierFactory(DjangoModelFactory):
    class Meta:
        model = Supplier

    name = factory.Sequence(lambda n: f"Invented Supplier {n}")


class KitDefinitionFactory(DjangoModelFactory):
    class Meta:
        model = KitDefinition

    code = factory.Sequence(lambda n: f"KIT-{n + 100}")
    name = "Invented front kit"
    supplier = factory.SubFactory(SupplierFactory)


class KitRevisionFactory(DjangoModelFactory):
    """A released revision; its lines are laid down past the guard, as they were before its release."""

    class Meta:
        model = KitRevision

    kit = factory.SubFactory(KitDefinitionFactory)
    revision = "A"
    state = RevisionState.RELEASED
    released_at = NOON


class KitLineFactory(DjangoModelFactory):
    class Meta:
        model = KitLine

    revision = factory.SubFactory(KitRevisionFactory)
    position = factory.Sequence(lambda n: n + 1)
    part_number = factory.Sequence(lambda n: f"P-{n:04d}")
    description = "Sleeve"
    quantity = 4
    operation = "A10"

    @classmethod
    def _create(cls, model_class: type[KitLine], *args: Any, **kwargs: Any) -> KitLine:
        return model_class.objects.bulk_create([model_class(*args, **kwargs)])[0]


class KitOrderFactory(DjangoModelFactory):
    class Meta:
        model = KitOrder

    number = factory.Sequence(lambda n: f"K-{n + 1:04d}")
    kit_revision = factory.SubFactory(KitRevisionFactory)
    ordered_on = DAY - dt.timedelta(days=20)
    expected_on = DAY


class PackingSlipFactory(DjangoModelFactory):
    class Meta:
        model = PackingSlip

    order = factory.SubFactory(KitOrderFactory)
    number = factory.Sequence(lambda n: f"PS-{n + 1}")
    carrier = "Invented Freight"
    dated_on = DAY


class SlipLineFactory(DjangoModelFactory):
    class Meta:
        model = SlipLine

    slip = factory.SubFactory(PackingSlipFactory)
    part_number = factory.LazyAttribute(lambda line: line.kit_line.part_number)
    slipped = 4


class ReceiptFactory(DjangoModelFactory):
    class Meta:
        model = Receipt

    order = factory.SubFactory(KitOrderFactory)
    entry = factory.SubFactory(
        EntryFactory, kind="receipt", subject="receipt", stream=factory.SelfAttribute("..order.stream")
    )
    received_at = NOON
    received_by = factory.SelfAttribute("entry.signer")


class ReceiptLineFactory(DjangoModelFactory):
    class Meta:
        model = ReceiptLine

    receipt = factory.SubFactory(ReceiptFactory)
    part_number = factory.LazyAttribute(lambda line: line.kit_line.part_number)
    counted = 4


class RecountFactory(DjangoModelFactory):
    class Meta:
        model = Recount

    receipt_line = factory.SubFactory(ReceiptLineFactory)
    counted = 4
    reason = "counted again"
    entry = factory.SubFactory(EntryFactory, kind="recount", subject="receipt")


class ExpectationFactory(DjangoModelFactory):
    class Meta:
        model = Expectation

    order = factory.SubFactory(KitOrderFactory)
    eta = DAY + dt.timedelta(days=7)
    entry = factory.SubFactory(
        EntryFactory, kind="expectation", subject="receipt", stream=factory.SelfAttribute("..order.stream")
    )
