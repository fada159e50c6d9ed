"""A short invented route with every gate in it, its kit, and people who may take a car along it."""

import datetime as dt
import uuid
from typing import Any

from jobs.models import Job
from jobs.opening import Booking, open_job
from jobs.procedure_files import bring_in_procedure
from jobs.record import JobRecord
from jobs.recording import FloorEntry, record_entry
from parts.kit_files import bring_in_kit
from parts.models import KitOrder, Receipt, ReceiptLine
from shop.entries import Answer, Envelope, take_in
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

NOW = dt.datetime(2026, 3, 2, 14, 0, tzinfo=dt.UTC)  # a Monday, eight in the morning by the shop's clock

KIT = """\
kit,revision,kit_name,supplier,part_number,description,quantity,side,operation,critical,substitutes,thread,grade,length,finish
KIT-9,A,Test clip,Test supplier,TC-CRADLE,Cradle,1,,W20,yes,,,,,
KIT-9,A,Test clip,Test supplier,TC-ARM,Lower arm,2,both,A10,yes,,,,,
KIT-9,A,Test clip,Test supplier,TC-BOLT,Arm bolt,4,,A10,no,,1/2-20 UNF,8,3 in,zinc
"""

PROCEDURE = """\
format: 1
procedure:
  code: P-9
  name: Short test route
  revision: A
  kit: KIT-9
  vehicle_family: Test cars
layout: {}
operations:
  - code: I10
    stage: intake
    title: Book the car in
    minutes: 30
    skill: service
    steps: [Measure the car as it came]
    checkpoints:
      - {code: I10.1, kind: dimension, title: Rail to rail, records: in, instrument: tape, proves: [baseline]}
  - code: T10
    stage: teardown
    title: Take the front suspension off
    minutes: 120
    skill: fabrication
    gates: [stops_rolling, moves_car]
    steps: [Set it on stands]
    checkpoints:
      - {code: T10.1, kind: fit, title: Shell on stands, go: Stands carry the shell}
  - code: T20
    stage: teardown
    title: Level and datums
    minutes: 60
    skill: layout
    steps: [Level the rails]
    checkpoints:
      - {code: T20.1, kind: fit, title: Datum pin set, go: Datum pin is tight, proves: [datum]}
      - {code: T20.2, kind: dimension, title: Rail level, limit: ≤ 0.5°, instrument: level, proves: [level]}
  - code: C10
    stage: cutting
    title: Mark the cut
    minutes: 60
    skill: layout
    steps: [Scribe the line]
    checkpoints:
      - {code: C10.1, kind: dimension, title: Cut line from datum, limit: 29 1/2 ±1/16 in, instrument: tape, proves: [marks]}
      - {code: C10.2, kind: witness, title: Cut line read again, of: C10.1, agree: ≤ 1/8 in, instrument: tape, proves: [marks_witness]}
  - code: C20
    stage: cutting
    title: Cut the rails
    minutes: 60
    skill: fabrication
    gates: [cuts_structure, hot_work]
    steps: [Cut on the line]
    checkpoints:
      - {code: C20.1, kind: fit, title: Permit, go: Battery out and watch named, proves: [permit]}
      - {code: C20.2, kind: dimension, title: Rail end from datum, limit: 29 1/2 ±1/8 in, instrument: tape}
  - code: W10
    stage: welding
    title: Coupon and trial fit
    minutes: 60
    skill: fabrication
    steps: [Weld a coupon and try the cradle]
    checkpoints:
      - {code: W10.1, kind: fit, title: Coupon bent, go: No crack, proves: [coupon]}
      - {code: W10.2, kind: fit, title: Cradle tried, go: Arms clear at ride height, proves: [trial_fit]}
  - code: W20
    stage: welding
    title: Tack the cradle
    minutes: 60
    skill: structural welding
    gates: [hot_work]
    steps: [Tack it]
    checkpoints:
      - {code: W20.1, kind: fit, title: Permit, go: Extinguisher here, proves: [permit]}
      - {code: W20.2, kind: pair, title: Cradle to datum, limit: 14 ±1/8 in, equal: ≤ 1/8 in, instrument: tape, proves: [tack_position]}
  - code: W30
    stage: welding
    title: Finish weld
    minutes: 120
    skill: structural welding
    gates: [finish_weld, hot_work]
    steps: [Weld it out]
    checkpoints:
      - {code: W30.1, kind: fit, title: Permit, go: Extinguisher here, proves: [permit]}
      - {code: W30.2, kind: count, title: Plug welds, count: 12}
      - {code: W30.3, kind: fit, title: Fire watch, go: Nothing smoulders, proves: [fire_watch]}
  - code: W40
    stage: welding
    title: Inspect and measure when cool
    minutes: 60
    skill: inspection
    hold_point: yes
    steps: [Look at each weld]
    checkpoints:
      - {code: W40.1, kind: weld, title: Cradle seam, made_in: W30, criteria: [No crack, No undercut], joint: structure, proves: [weld_inspection]}
      - {code: W40.2, kind: pair, title: Cradle to datum, limit: 14 ±1/8 in, equal: ≤ 1/8 in, instrument: tape, proves: [remeasure]}
  - code: W50
    stage: welding
    title: Prime
    minutes: 30
    skill: fabrication
    gates: [covers_welds]
    steps: [Prime it]
    checkpoints:
      - {code: W50.1, kind: photo, title: Primed seam, shows: The seam in primer}
  - code: A10
    stage: assembly
    title: Hang the suspension
    minutes: 120
    skill: fabrication
    gates: [on_welded_structure]
    steps: [Bolt it up]
    checkpoints:
      - {code: A10.1, kind: torque, title: Lower arm, side: left, limit: 65 ±10 % lbf·ft, instrument: torque_wrench_click, joint: suspension, lubricant: dry, hardware: single use}
      - {code: A10.2, kind: torque, title: Arm pivot, limit: 40 ±10 % lbf·ft, instrument: torque_wrench_click, joint: suspension, at_ride_height: yes}
      - {code: A10.3, kind: torque, title: Caliper bracket, limit: 35 ±10 % lbf·ft, instrument: torque_wrench_click, joint: brake}
      - {code: A10.4, kind: torque_angle, title: Rack bolt, limit: 20 ±10 % lbf·ft, angle: 180 ±10°, instrument: torque_wrench_click, angle_instrument: angle_meter, joint: steering}
  - code: A20
    stage: assembly
    title: Onto its wheels
    minutes: 30
    skill: fabrication
    gates: [onto_wheels]
    steps: [Lower it]
    checkpoints:
      - {code: A20.1, kind: torque, title: Wheel nuts, limit: 80 ±10 % lbf·ft, instrument: torque_wrench_click, joint: wheel, proves: [wheel_nuts]}
      - {code: A20.2, kind: fit, title: Pedal held, go: Pedal does not sink, proves: [brakes]}
  - code: L10
    stage: alignment
    title: Road test
    minutes: 60
    skill: alignment
    gates: [driven]
    steps: [Drive it]
    checkpoints:
      - {code: L10.1, kind: fit, title: Tracks straight, go: It does}
"""

GOOD: dict[str, dict[str, str]] = {
    "I10.1": {"value": "31", "instrument": "TP-1"},
    "T10.1": {"go": "yes"},
    "T20.1": {"go": "yes"},
    "T20.2": {"value": "0.1", "instrument": "LV-1"},
    "C10.1": {"value": "29 1/2", "instrument": "TP-1"},
    "C10.2": {"value": "29 1/2", "instrument": "TP-1"},
    "C20.1": {"go": "yes"},
    "C20.2": {"value": "29 1/2", "instrument": "TP-1"},
    "W10.1": {"go": "yes"},
    "W10.2": {"go": "yes"},
    "W20.1": {"go": "yes"},
    "W20.2": {"left": "14", "right": "14", "instrument": "TP-1"},
    "W30.1": {"go": "yes"},
    "W30.2": {"count": "12"},
    "W30.3": {"go": "yes"},
    "W40.1": {"criterion_1": "yes", "criterion_2": "yes"},
    "W40.2": {"left": "14", "right": "14", "instrument": "TP-1"},
    "W50.1": {},
    "A10.1": {
        "value": "65",
        "instrument": "TW-1",
        "clicked": "yes",
        "lubricant": "yes",
        "new_hardware": "yes",
    },
    "A10.2": {"value": "40", "instrument": "TW-1", "clicked": "yes"},
    "A10.3": {"value": "35", "instrument": "TW-1", "clicked": "yes"},
    "A10.4": {
        "value": "20",
        "angle": "180",
        "instrument": "TW-1",
        "angle_instrument": "AM-1",
        "clicked": "yes",
    },
    "A20.1": {"value": "80", "instrument": "TW-1", "clicked": "yes"},
    "A20.2": {"go": "yes"},
    "L10.1": {"go": "yes"},
}

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
        self.people = {name: _person(name, role, skills) for name, (role, skills) in PEOPLE.items()}
        for code, row in INSTRUMENTS.items():
            _instrument(code, *row)
        manager = self.people["ash"]
        kit = bring_in_kit(KIT.encode(), by=manager, now=NOW, release=True)
        brought = bring_in_procedure(PROCEDURE.encode(), by=manager, now=NOW, release=True)
        order = KitOrder.objects.create(number="K-9", kit_revision=kit, ordered_on=NOW.date())
        customer = Customer(name="Test customer")
        vehicle = Vehicle(customer=customer, model_year=1966, description="Test car", serial="1")
        bay = Bay.objects.create(number=1, name="Test bay")
        self.job: Job = open_job(
            Booking(customer, vehicle, brought.revision, order, bay=bay), by=manager, now=NOW
        )

    @property
    def record(self) -> JobRecord:
        return JobRecord.load(Job.objects.get(pk=self.job.pk))

    def send(self, kind: str, subject: str, who: str, how: str = SignedHow.TURN, /, **payload: Any) -> Answer:
        """Record one entry as somebody who has seen the last one."""
        sent = FloorEntry(
            id=uuid.uuid4(),
            job_number=self.job.number,
            subject=subject,
            kind=kind,
            signer=self.people[who],
            signed_how=how,
            saw=self.record.saw(subject),
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

        def handle(entry: Any) -> dict[str, Any]:
            receipt = Receipt.objects.create(
                order=order, entry=entry, received_at=self.now, received_by=self.people["pike"]
            )
            for line in order.kit_revision.lines.all():
                counted = short.get(line.part_number.replace("-", "_"), line.quantity)
                ReceiptLine.objects.create(
                    receipt=receipt, kit_line=line, part_number=line.part_number, counted=counted
                )
            return {}

        envelope = Envelope(
            uuid.uuid4(),
            order.stream,
            uuid.uuid4().hex[:12],
            None,
            "receipt",
            {},
            self.people["pike"].pk,
            "desk",
        )
        assert take_in(envelope, now=self.now, handle=handle).accepted

    def do(self, code: str, who: str = "fenn") -> None:
        """Take one operation from start to finish as it should be."""
        assert_accepted(self.send("start", code, who))
        for standing in self.record.find(code).checkpoints:  # type: ignore[union-attr]
            if standing.checkpoint.at_ride_height:
                continue
            if standing.proves("fire_watch"):
                self.later(minutes=61)
            if standing.checkpoint.kind == "photo":
                assert_accepted(self.photograph(standing.code, who))
                continue
            reader = {"C10.2": "moss", "W40.1": "lind"}.get(standing.code, who)
            assert_accepted(self.read(standing.code, reader))
        lead = "lind" if self.record.find(code).operation.is_hold_point else who  # type: ignore[union-attr]
        assert_accepted(self.send("finish", code, "thorn" if code == "W40" else lead, SignedHow.PIN))

    def photograph(self, checkpoint: str, who: str) -> Answer:
        from django.core.files.base import ContentFile
        from django.core.files.storage import default_storage

        name = default_storage.save("photos/test.jpg", ContentFile(b"test"))
        taken = self.send("photo", f"photo/{uuid.uuid4().hex[:20]}", who, file=name, sha256="0")
        subject = checkpoint.split(".")[0]
        return self.send("reading", subject, who, checkpoint=checkpoint, photo=taken.data["photo"])

    def up_to(self, code: str) -> None:
        """Everything before an operation, done as it should be."""
        if not self.record.authorities:
            self.authorise()
        if not self.record.kit.is_counted:
            self.count_kit()
        for operation in self.record.operations:
            if operation.code == code:
                return
            if not operation.is_done:
                self.do(operation.code, "wren" if operation.code == "I10" else "fenn")


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
