"""Taking a car along its route with the scenario's people and readings, by the one door."""

import datetime as dt
import io
import uuid
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any
from zlib import crc32

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

from jobs.demo.clock import WorkClock
from jobs.judging.weld_map import welds_made_in
from jobs.kept_records import KEPT_RECORDS
from jobs.models import BookedTime, CheckpointKind, Flag, Job, Proves, WeldMade
from jobs.pictures import store_picture
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from jobs.recording import FloorEntry, record_entry
from jobs.recording.cautions import HELD
from shop.engineering.welds.order import weld_order
from shop.entries import Answer
from shop.models import Person, ShopSettings, SignedHow

# Hot work is played within a day: its permit holds no longer.
HOT_WORK_MINUTES = 90
# So that entries of one operation do not all have one time.
BETWEEN_READINGS = 2
# Work takes from so much to so much of its standard time, percent.
FASTEST, SLOWEST = 82, 116
END_OF_SHIFT = "End of shift"
BACK = "Back to their own work"


class NotAcceptedError(RuntimeError):
    """The scenario does not fit the gates: an entry was not accepted."""


@dataclass
class Player:
    """Plays one job; `readings` is the scenario's file of who reads what."""

    job: Job
    people: Mapping[str, Person]
    readings: Mapping[str, Any]
    clock: WorkClock
    cast: Mapping[str, str] = field(default_factory=dict)
    mishaps: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    made: int = 0
    seen: dict[str, uuid.UUID] = field(default_factory=dict)
    cautions: dict[str, bool] = field(default_factory=dict)
    acknowledged: set[tuple[str, int, dt.date]] = field(default_factory=set)
    welded: set[str] = field(default_factory=set)

    @property
    def record(self) -> JobRecord:
        return KEPT_RECORDS.load(Job.objects.select_related("kit_order").get(pk=self.job.pk))

    def play(self, up_to: str) -> None:
        """Everything up to and including an operation, with good readings."""
        for operation in self.record.operations:
            if not operation.is_done:
                self.operation(operation)
            if operation.code == up_to:
                return

    def operation(self, operation: OperationStanding) -> None:
        """One operation from start to finish."""
        self.start(operation)
        welds = 0
        for standing in operation.checkpoints:
            welds += self.weld_before(standing)
            if standing.code in self.mishaps:
                self._go_wrong(standing, self.mishaps[standing.code])
            if not standing.checkpoint.at_ride_height:
                self.read(standing)
        left = self._minutes_of(operation) - BETWEEN_READINGS * len(operation.checkpoints) - welds
        self.work_on(operation, max(left, 5))
        finisher = self._who(self._parts(operation.code)["finishes"])
        self.send("finish", operation.code, finisher, SignedHow.PIN)
        if any(s.proves(Proves.RIDE_HEIGHT) for s in operation.checkpoints):
            self.read_all(s for s in self.record.checkpoints if s.checkpoint.at_ride_height)

    def weld_before(self, standing: CheckpointStanding, *, most: int | None = None) -> int:
        """Make the operation's welds of the map, or so many, after its permits; how many they were."""
        code, told = standing.job_operation.operation.code, self.readings.get("welds", {})
        if standing.proves(Proves.PERMIT) or code in self.welded:
            return 0
        self.welded.add(code)
        welds = welds_made_in(self.record, code)
        rows = WeldMade.objects.filter(job_operation=standing.job_operation.pk) if welds else ()
        made = {row.weld for row in rows}
        left = [weld.place for weld in welds if weld.code not in made]
        order = weld_order(left)[:most] if left else []
        for weld in order:
            self.clock.work(1)
            payload = {"weld": weld.code, "settings": told["settings"], "lot": told["lot"]}
            self.send("weld_made", code, self._who(told["who"]), SignedHow.TURN, payload)
        return len(order)

    def start(self, operation: OperationStanding) -> None:
        if operation.does(Flag.HOT_WORK):
            self.clock.begin_with(HOT_WORK_MINUTES + self._watch_minutes)
        self.send("start", operation.code, self._who(self._parts(operation.code)["starts"]), SignedHow.TURN)

    def work_on(self, operation: OperationStanding, minutes: int) -> None:
        """Minutes of work; what does not fit into the day is gone on with in the morning."""
        worker, today = self._who(self._parts(operation.code)["starts"]), self.clock.left_today()
        while 0 < today < minutes:
            self.clock.work(today)
            self._apart("pause", operation.code, worker, {"reason": END_OF_SHIFT})
            self.clock.work(1)
            self._apart("resume", operation.code, worker)
            minutes, today = minutes - today, self.clock.left_today()
        self.clock.work(minutes)

    def some_of(
        self,
        code: str,
        *,
        through: str,
        bad: Container[str] = (),
        without: Container[str] = (),
        welds: int | None = None,
        paused: str = "",
    ) -> None:
        """An operation begun and read as far as a checkpoint; of its welds so many, all where not said; left
        off for a reason where one is given."""
        operation = self.record.find(code)
        assert operation is not None
        self.start(operation)
        for standing in operation.checkpoints:
            self.weld_before(standing, most=welds)
            if standing.code not in without:
                self.read(standing, bad=standing.code in bad)
            if standing.code == through:
                break
        if paused:
            self._apart("pause", code, self._who(self._parts(code)["starts"]), {"reason": paused})

    def release(self, who: Person) -> None:
        self.clock.work(BETWEEN_READINGS)
        self.send("release", "release", who, SignedHow.PIN)

    def read_all(self, standings: Iterable[CheckpointStanding]) -> None:
        for standing in standings:
            self.read(standing)

    def read(self, standing: CheckpointStanding, *, bad: bool = False) -> Answer:
        """The good reading of a checkpoint, or its bad one."""
        given = self.readings["readings"][standing.code]
        payload = {"checkpoint": standing.code, **given["bad" if bad else "good"]}
        who = self._who(given["who"])
        self.clock.work(self._watch_minutes + 1 if standing.proves(Proves.FIRE_WATCH) else BETWEEN_READINGS)
        if standing.checkpoint.kind == CheckpointKind.PHOTO:
            caption = f"{standing.code} {standing.checkpoint.title}"
            payload = {"checkpoint": standing.code, "photo": self.photograph(standing.code, caption, who)}
        is_witness = standing.checkpoint.kind == CheckpointKind.WITNESS
        kind = "witness" if is_witness else "reading"
        how = SignedHow.PIN if is_witness else SignedHow.TURN
        code = standing.job_operation.operation.code
        answer = self.send(kind, code, who, how, payload)
        if how == SignedHow.TURN and who != self._who(self._parts(code)["starts"]):
            self._back_to_own_work(code, who)
        return answer

    def send(
        self, kind: str, subject: str, who: Person, how: str, payload: dict[str, Any] | None = None
    ) -> Answer:
        """Record an entry with an identity of its own; the same in every loading."""
        if how == SignedHow.TURN and kind in HELD:
            self._read_cautions(subject.partition("/")[0], who)
        self.made += 1
        sent = FloorEntry(
            id=uuid.uuid5(uuid.NAMESPACE_OID, f"{self.job.number}/{self.made}"),
            job_number=self.job.number,
            subject=subject,
            kind=kind,
            signer=who,
            signed_how=how,
            saw=self.seen.get(subject),
            payload=payload or {},
        )
        answer = record_entry(sent, now=self.clock.at)
        if not answer.accepted:
            raise NotAcceptedError(f"{self.job.number} {subject} {kind} {payload}: {answer.data}")
        self.seen[subject] = sent.id
        return answer

    def _apart(self, kind: str, code: str, who: Person, payload: dict[str, Any] | None = None) -> None:
        """What does not touch the evidence has a subject of its own."""
        self.send(kind, f"{code}/{kind}/{self.made}", who, SignedHow.TURN, payload)

    def _read_cautions(self, code: str, who: Person) -> None:
        """Once by each on every day that they work where there are some."""
        if not self.cautions:
            self.cautions = {o.code: bool(o.operation.cautions) for o in self.record.operations}
        key = (code, who.pk, self.clock.settings.day_at(self.clock.at))
        if self.cautions.get(code) and key not in self.acknowledged:
            self.acknowledged.add(key)
            self._apart("cautions_seen", code, who)

    def _back_to_own_work(self, code: str, who: Person) -> None:
        """Whoever only looked in with a reading is not booked on."""
        if BookedTime.objects.filter(
            job_operation__job=self.job, job_operation__operation__code=code, person=who, ended_at=None
        ).exists():
            self._apart("pause", code, who, {"reason": BACK})

    def _minutes_of(self, operation: OperationStanding) -> int:
        """What it took on this car: not quite the standard time, the same in every loading."""
        percent = SLOWEST - crc32(f"{self.job.number}/{operation.code}".encode()) % (SLOWEST - FASTEST + 1)
        return operation.operation.standard_minutes * percent // 100

    @property
    def _watch_minutes(self) -> int:
        return self.clock.settings.fire_watch_minutes

    def _parts(self, code: str) -> dict[str, str]:
        operations = self.readings["operations"]
        parts: dict[str, str] = operations.get(code, operations["default"])
        return parts

    def _who(self, part: str) -> Person:
        return self.people[self.cast.get(part) or self.readings["people"][part]]

    def _go_wrong(self, standing: CheckpointStanding, decided: Mapping[str, str]) -> None:
        """Something read bad, and the lead's decision about it."""
        found = self.read(standing, bad=True).data["nonconformance"]
        self.clock.work(int(decided.get("minutes", BETWEEN_READINGS)))
        payload = {name: decided[name] for name in ("disposition", "reason")}
        subject = standing.job_operation.operation.code
        who = self.people[decided["by"]]
        self.send("disposition", subject, who, SignedHow.PIN, {"nonconformance": str(found), **payload})

    def photograph(self, about: str, caption: str, who: Person) -> str:
        """Take a picture of something, and say which photo it is on the job."""
        stored = store_picture(SimpleUploadedFile("demo.png", draw_photo(self.job, caption)))
        payload = {"file": stored.name, "sha256": stored.sha256, "caption": caption}
        answer = self.send("photo", f"photo/{about}/{self.made}", who, SignedHow.TURN, payload)
        return str(answer.data["photo"])


def draw_photo(job: Job, caption: str) -> bytes:
    """A picture in place of a photo, plainly none."""
    picture = Image.new("RGB", (900, 600), "#d8dad2")
    pen = ImageDraw.Draw(picture)
    for x in range(-600, 900, 60):
        pen.line([(x, 600), (x + 600, 0)], fill="#c3c7c5", width=3)
    pen.rectangle([45, 225, 855, 375], fill="#fbfbf6", outline="#1c2c8c", width=5)
    pen.text((68, 248), f"Job {job.number}: {caption}", fill="#12161a", font_size=28)
    pen.text((68, 308), "No photo: drawn for the demonstration", fill="#3d444b", font_size=25)
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def at_opening(day: dt.date, settings: ShopSettings) -> WorkClock:
    """A clock that stands at the opening of the shop on a day, or on the next one that it opens."""
    clock = WorkClock(dt.datetime.combine(day, dt.time(0), dt.UTC), settings)
    clock.work(0)
    return clock
