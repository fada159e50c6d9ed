"""The floor: which car is in which bay, how far it is, what it waits for, what will be late."""

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.desk.first_steps import FirstStep, first_steps
from jobs.desk.floor_cars import FloorCar, floor_cars
from jobs.models import Job
from shop.actions import may
from shop.models import Bay


@dataclass(frozen=True)
class BayRow:
    """A bay with its car; empty where none stands in it."""

    bay: Bay
    cars: tuple[FloorCar, ...]


@dataclass(frozen=True)
class FloorPage:
    """All bays and, below, the cars that stand in none."""

    bays: tuple[BayRow, ...]
    elsewhere: tuple[FloorCar, ...]
    first_steps: tuple[FirstStep, ...] = ()

    @classmethod
    def load(cls, *, role: str, now: dt.datetime) -> "FloorPage":
        jobs = list(Job.objects.on_the_floor().with_car().order_by("number"))
        cars = floor_cars(jobs, may_move=may(role, "jobs:car_place"), now=now)
        bays = tuple(
            BayRow(bay, tuple(car for car in cars if car.bay_id == bay.pk))
            for bay in Bay.objects.order_by("number")
        )
        shown = tuple(row for row in bays if row.bay.is_open or row.cars)
        steps = () if jobs else first_steps(role)
        return cls(shown, tuple(car for car in cars if car.bay_id is None), steps)

    @property
    def cars(self) -> tuple[FloorCar, ...]:
        return (*(car for row in self.bays for car in row.cars), *self.elsewhere)

    @property
    def summary(self) -> str:
        """The floor in one line."""
        words = {
            "cars": ngettext("%(n)d car", "%(n)d cars", len(self.cars)) % {"n": len(self.cars)},
            "stopped": sum(car.is_stopped for car in self.cars),
            "stands": sum(car.is_on_stands for car in self.cars),
            "late": sum(car.is_late for car in self.cars),
            "empty": sum(not row.cars for row in self.bays),
        }
        return (
            _("%(cars)s, %(stopped)d stopped, %(stands)d on stands, %(late)d late; %(empty)d bays empty")
            % words
        )
