"""A short invented route with every gate in it, its kit, and people who may take a car along it."""

import datetime as dt
import hashlib
import uuid
from typing import Any

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from jobs.kept_records import KEPT_RECORDS
from jobs.models import Job
from jobs.opening import Booking, open_job
from jobs.procedures.bringing_in import bring_in_procedure
from jobs.record import JobRecord
from jobs.recording import FloorEntry, record_entry
from parts.deliveries import CountedPart, Delivery
from parts.kit_files import bring_in_kit
from parts.models import KitOrder
from parts.receiving import last_seen, receive
from shop.entries import Answer, last_entry
from shop.models import (
    Bay,
    Calibration,
    CalibrationWay,
    Certificate,
    Customer,
    Instrument,
    Person,
    Role,
    SignedHow,
    Skill,
    Vehicle,
)
from tests.jobs.kept_states import PHOTO, State, Way, changes, is_untouched, keep_way, lay_down, take, way_of
from tests.jobs.short_files import GOOD, KIT, PROCEDURE

NOW = dt.datetime(2026, 3, 2, 14, 0, tzinfo=dt.UTC)  # a Monday, eight in the morning by the shop's clock

PEOPLE = {
    "wren": (Role.SERVICE_WRITER, ()),
    "fenn": (Role.FABRICATOR, (Skill.STRUCTURAL_WELDING,)),
    "moss": (Role.FABRICATOR, ()),
    "lind": (Role.LEAD, (Skill.INSPECTION,)),
    "thorn": (Role.LEAD, (Skill.INSPECTION, Skill.STRUCTURAL_WELDING)),
    "pike": (Role.PARTS_CLERK, ()),
    "ash": (Role.MANAGER, ()),
}
INSTRUMENTS = {
    "TP-1": ("Tape", "tape", "in", "0 in", "300 in", "1/32 in", "±1/32 in"),
    "LV-1": ("Level", "level", "°", "-90°", "90°", "0.05°", "±0.1°"),
    "TW-1": (
        "Click wrench",
        "torque_wrench_click",
        "lbf·ft",
        "10 lbf·ft",
        "150 lbf·ft",
        "0.5 lbf·ft",
        "±4 %",
    ),
    "AM-1": ("Angle meter", "angle_meter", "°", "0°", "360°", "1°", "±2°"),
}


class SmallRoute:
    """One car on the short route, and everyone who works on it."""

    def __init__(self) -> None:
        self.now = NOW
        self.photos: tuple[str, ...] = ()
        self._way: Way | None = None
        self._at: State | None = None
        texts = repr((KIT, PROCEDURE, GOOD, NOW, settings.TIME_ZONE))
        untouched = is_untouched()
        if untouched and (way := way_of(texts)) is not None:
            self.people, self.job = lay_down(way.begun)
            self._stand_at(way, way.begun)
            return
        self._begin()
        if untouched:
            begun = take((self.people, self.job), ())
            self._stand_at(keep_way(texts, begun), begun)

    def _begin(self) -> None:
        self.people = {name: _person(name, role, skills) for name, (role, skills) in PEOPLE.items()}
        for code, row in INSTRUMENTS.items():
            _instrument(code, *row)
        manager = self.people["ash"]
        kit = bring_in_kit(KIT.encode(), by=manager, now=NOW, release=True)
        brought = bring_in_procedure(
            PROCEDURE.encode(), by=self.people["lind"], now=NOW, release=True, released_by=manager
        )
        order = KitOrder.objects.create(number="K-9", kit_revision=kit, ordered_on=NOW.date())
        customer = Customer(name="Test customer")
        vehicle = Vehicle(customer=customer, model_year=1966, description="Test car", serial="1")
        bay = Bay.objects.create(number=1, name="Test bay")
        self.job: Job = open_job(
            Booking(customer, vehicle, brought.revision, order, bay=bay), by=manager, now=NOW
        )

    def _stand_at(self, way: Way, state: State) -> None:
        self._way, self._at = way, state
        self._left_at = changes(), self.now

    @property
    def record(self) -> JobRecord:
        return JobRecord.load(self.fresh_job())

    def fresh_job(self) -> Job:
        return Job.objects.select_related("kit_order__kit_revision__kit", "bay", "procedure_revision").get(
            pk=self.job.pk
        )

    def saw(self, subject: str) -> uuid.UUID | None:
        """The last entry on a subject, as whoever has just looked has seen it."""
        last = last_entry(self.job.stream, subject)
        return last.id if last else None

    def send(self, kind: str, subject: str, who: str, how: str = SignedHow.TURN, /, **payload: Any) -> Answer:
        """Record one entry as somebody who has seen the last one."""
        sent = FloorEntry(
            id=uuid.uuid4(),
            job_number=self.job.number,
            subject=subject,
            kind=kind,
            signer=self.people[who],
            signed_how=how,
            saw=self.saw(subject),
            payload=payload,
        )
        return record_entry(sent, now=self.now)

    def read(
        self, checkpoint: str, who: str = "fenn", how: str = SignedHow.TURN, /, **changed: str
    ) -> Answer:
        """Record the good reading of a checkpoint, or another."""
        subject = checkpoint.split(".")[0]
        kind = "witness" if checkpoint == "C10.2" else "reading"
        how = SignedHow.PIN if kind == "witness" else how
        return self.send(kind, subject, who, how, checkpoint=checkpoint, **{**GOOD[checkpoint], **changed})

    def later(self, **delta: float) -> None:
        self.now += dt.timedelta(**delta)

    def authorise(self) -> Answer:
        return self.send(
            "authority",
            "authority",
            "wren",
            scope="All of it",
            allows_cutting="yes",
            given_by="Test customer",
            way="signed_paper",
        )

    def count_kit(self, **short: int) -> None:
        """The kit as counted; `TC_ARM=1` for one arm only."""
        order = self.job.kit_order
        parts = tuple(
            CountedPart(
                line.part_number,
                short.get(line.part_number.replace("-", "_"), line.quantity),
                over_confirmed=True,
            )
            for line in order.kit_revision.lines.all()
        )
        answer = receive(
            order=order,
            delivery=Delivery("", parts),
            entry_id=uuid.uuid4(),
            saw=last_seen(order),
            signer=self.people["pike"],
            signed_how=SignedHow.DESK,
            now=self.now,
        )
        assert_accepted(answer)

    def do(self, code: str, who: str = "fenn") -> None:
        """Take one operation from start to finish as it should be."""
        assert_accepted(self.send("start", code, who))
        operation = KEPT_RECORDS.load(self.fresh_job()).find(code)
        assert operation is not None
        for standing in operation.checkpoints:
            if standing.checkpoint.at_ride_height:
                continue
            if standing.proves("fire_watch"):
                self.later(minutes=61)
            if standing.checkpoint.kind == "photo":
                assert_accepted(self.photograph(standing.code, who))
                continue
            reader = {"C10.2": "moss", "W40.1": "lind"}.get(standing.code, who)
            assert_accepted(self.read(standing.code, reader))
        lead = "lind" if operation.operation.is_hold_point else who
        assert_accepted(self.send("finish", code, "thorn" if code == "W40" else lead, SignedHow.PIN))

    def photograph(self, checkpoint: str, who: str) -> Answer:
        name = default_storage.save("photos/test.jpg", ContentFile(PHOTO))
        self.photos += (name,)
        sha256 = hashlib.sha256(PHOTO).hexdigest()
        taken = self.send("photo", f"photo/{uuid.uuid4().hex[:20]}", who, file=name, sha256=sha256)
        subject = checkpoint.split(".")[0]
        return self.send("reading", subject, who, checkpoint=checkpoint, photo=taken.data["photo"])

    def up_to(self, code: str) -> None:
        """Everything before an operation, done as it should be."""
        self._go_up_to(code)
        KEPT_RECORDS.clear()  # a test may now change rows behind the record's back

    def _go_up_to(self, code: str) -> None:
        way = self._way if self._way and (changes(), self.now) == self._left_at else None
        if way is not None and self._jump(way, code):
            return
        self._prepare()
        for operation in self.record.operations:
            if way is not None and not operation.is_done and operation.code not in way.reached:
                way.reached[operation.code] = take(self.now, self.photos)
                self._stand_at(way, way.reached[operation.code])
            if operation.code == code:
                return
            if not operation.is_done:
                self.do(operation.code, "wren" if operation.code == "I10" else "fenn")

    def _prepare(self) -> None:
        record = self.record
        if not record.authorities:
            self.authorise()
        if not record.kit.is_counted:
            self.count_kit()

    def _jump(self, way: Way, code: str) -> bool:
        """To what others have reached of the way, if it is further on; whether that is the place itself."""
        places = list(way.reached.values())
        behind = places.index(self._at) if self._at in places else -1
        if not places[behind + 1 :] or (code in way.reached and list(way.reached).index(code) <= behind):
            return code in way.reached and places[behind] is way.reached[code]
        wanted = way.reached.get(code, places[-1])
        self.now, self.photos = lay_down(wanted, over=self._at), wanted.photos
        self._stand_at(way, wanted)
        return code in way.reached


def assert_accepted(answer: Answer) -> None:
    assert answer.accepted, answer.data


def _person(name: str, role: str, skills: tuple[str, ...]) -> Person:
    person = Person.objects.create_user(name, full_name=name.title(), role=role)
    for skill in skills:
        Certificate.objects.create(
            person=person,
            skill=skill,
            number=f"{name}-{skill}",
            valid_from=NOW.date() - dt.timedelta(days=100),
            valid_until=NOW.date() + dt.timedelta(days=400),
        )
    return person


def _instrument(
    code: str, name: str, kind: str, unit: str, low: str, high: str, resolution: str, error: str
) -> None:
    row = Instrument.objects.create(
        code=code,
        name=name,
        kind=kind,
        unit=unit,
        range_low=low,
        range_high=high,
        resolution=resolution,
        permissible_error=error,
    )
    Calibration.objects.create(
        instrument=row,
        done_on=NOW.date() - dt.timedelta(days=30),
        due_on=NOW.date() + dt.timedelta(days=300),
        way=CalibrationWay.CERTIFICATE,
    )
