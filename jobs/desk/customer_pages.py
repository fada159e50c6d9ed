"""Customers and their cars with all that was done for them: the list, and one page each."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from django.core.paginator import Page, Paginator
from django.db.models import Count, Max, Prefetch, Q, QuerySet

from jobs.customers.doubles import Double, DoubleCar, double_cars_of, doubles, doubles_of
from jobs.customers.erasing import why_not_erased
from jobs.models import Job
from shop.models import Customer, Vehicle

PER_PAGE = 50


@dataclass(frozen=True)
class CustomerList:
    """One page of the list with what was asked for, or every pair that may be one."""

    q: str
    shows_doubles: bool
    page: "Page[Customer]"
    doubles: tuple[Double, ...]

    @classmethod
    def load(cls, asked: Mapping[str, str]) -> "CustomerList":
        q, show = asked.get("q", "").strip()[:100], asked.get("show", "")
        found = (
            Customer.objects.kept()
            .found_by(q)
            .annotate(
                job_count=Count("jobs", distinct=True),
                open_count=Count("jobs", filter=Q(jobs__released_at=None), distinct=True),
                last_at=Max("jobs__opened_at"),
            )
            .prefetch_related(Prefetch("vehicles", Vehicle.objects.kept()))
            .order_by("name", "pk")
        )
        pairs = tuple(doubles()) if show == "doubles" else ()
        return cls(q, show == "doubles", Paginator(found, PER_PAGE).get_page(asked.get("page")), pairs)


@dataclass(frozen=True)
class VehicleJobs:
    """A car with its jobs, the newest first."""

    vehicle: Vehicle
    jobs: tuple[Job, ...]


@dataclass(frozen=True)
class CustomerPage:
    """One customer: how to reach them, every car, every job, and who may be the same."""

    customer: Customer
    cars: tuple[VehicleJobs, ...]
    jobs: tuple[Job, ...]
    doubles: tuple[Double, ...]
    double_cars: tuple[DoubleCar, ...]

    @classmethod
    def load(cls, customer: Customer) -> "CustomerPage":
        jobs = tuple(_with_place(Job.objects.filter(customer=customer)))
        cars = tuple(Vehicle.objects.kept().filter(customer=customer))
        by_car = defaultdict(list)
        for job in jobs:
            by_car[job.vehicle_id].append(job)
        return cls(
            customer,
            tuple(VehicleJobs(car, tuple(by_car[car.pk])) for car in cars),
            jobs,
            tuple(doubles_of(customer)) if not customer.erased_at else (),
            tuple(double_cars_of(cars)),
        )

    @cached_property
    def why_not_erased(self) -> str:
        return why_not_erased(self.customer)


@dataclass(frozen=True)
class VehiclePage:
    """One car: its identity, its owner, every job, and which car may be the same."""

    vehicle: Vehicle
    jobs: tuple[Job, ...]
    doubles: tuple[DoubleCar, ...]

    @classmethod
    def load(cls, vehicle: Vehicle) -> "VehiclePage":
        jobs = tuple(_with_place(Job.objects.filter(vehicle=vehicle)))
        return cls(vehicle, jobs, tuple(double_cars_of([vehicle])))


def _with_place(jobs: QuerySet[Job]) -> QuerySet[Job]:
    return Job.objects.filter(pk__in=jobs.values("pk")).with_car().with_place().order_by("-number")
