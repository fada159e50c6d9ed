"""What the manager keeps of the shop, each with what wants looking after."""

import datetime as dt
from dataclasses import dataclass

from shop.models import Bay, Instrument, Person, ShopSettings, Tablet


@dataclass(frozen=True)
class InstrumentRow:
    """An instrument on one day; its calibrations are fetched with it."""

    row: Instrument
    today: dt.date

    @property
    def good_until(self) -> dt.date | None:
        newest = self.row.calibration(on=self.today)
        return newest.due_on if newest is not None and newest.passed else None

    @property
    def is_good(self) -> bool:
        return self.row.is_in_calibration(on=self.today)

    @property
    def is_soon(self) -> bool:
        until = self.good_until
        return self.is_good and until is not None and until <= self.today + dt.timedelta(days=60)


def instrument_rows(*, today: dt.date) -> tuple[InstrumentRow, ...]:
    """All instruments, those withdrawn last."""
    rows = Instrument.objects.prefetch_related("calibrations").order_by("is_withdrawn", "code")
    return tuple(InstrumentRow(row, today) for row in rows)


@dataclass(frozen=True)
class ShopPage:
    settings: ShopSettings
    people: int
    without_pin: int
    tablets: int
    bays: int
    instruments: int
    refused: int

    @classmethod
    def load(cls, *, now: dt.datetime) -> "ShopPage":
        settings = ShopSettings.current()
        people = Person.objects.filter(is_active=True)
        in_use = [row for row in instrument_rows(today=settings.day_at(now)) if not row.row.is_withdrawn]
        return cls(
            settings=settings,
            people=people.count(),
            without_pin=people.filter(pin_hash="").count(),
            tablets=Tablet.objects.filter(revoked_at=None).count(),
            bays=Bay.objects.filter(is_open=True).count(),
            instruments=len(in_use),
            refused=sum(not row.is_good for row in in_use),
        )
