"""Loading the whole scenario, as if the work had been done in the last weeks."""

import csv
import datetime as dt
import io
import uuid
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.demo.files import day, read_bytes, read_yaml
from jobs.demo.player import Player, at_opening
from jobs.demo.shop_floor import load_instruments, load_people, load_shop
from jobs.models import Job, ProcedureRevision
from jobs.opening import Booking, open_job
from jobs.procedures.bringing_in import bring_in_procedure
from parts.deliveries import CountedPart, Delivery
from parts.kit_files import bring_in_kit
from parts.models import KitOrder, KitRevision
from parts.ordering import open_order
from parts.receiving import last_seen, receive
from parts.slip_files import bring_in_slip
from shop.models import Bay, Customer, Person, ShopSettings, SignedHow, Vehicle


class Scenario:
    """The scenario's files, loaded as of one moment."""

    def __init__(self, now: dt.datetime) -> None:
        self.data = read_yaml("shop.yaml")
        self.readings = read_yaml("readings.yaml")
        self.now = now
        self.today = now.astimezone(ZoneInfo(self.data["shop"]["zone"])).date()
        self.people: dict[str, Person] = {}

    @property
    def settings(self) -> ShopSettings:
        return ShopSettings.current()

    @property
    def manager(self) -> Person:
        return next(p for p in self.people.values() if p.is_manager)

    @transaction.atomic
    def load(self) -> None:
        """Everything, or nothing."""
        begun = self.now - dt.timedelta(days=120)
        load_shop(self.data, now=begun)
        self.people = load_people(self.data, now=begun, today=self.today)
        load_instruments(self.data, now=begun, today=self.today)
        for name in self.data["files"]["kits"]:
            bring_in_kit(read_bytes(name, today=self.today), by=self.manager, now=begun, release=True)
        for name in self.data["files"]["procedures"]:
            text = read_bytes(name, today=self.today)
            bring_in_procedure(text, by=self.manager, now=begun, release=True)
        for entry in self.data["kit_orders"]:
            self._order(entry)
        for entry in self.data["jobs"]:
            self._job(entry)

    def _opening(self, text: str) -> dt.datetime:
        return at_opening(day(text, self.today), self.settings).at

    def _order(self, entry: dict[str, Any]) -> None:
        order = open_order(
            number=entry["number"],
            kit_revision=KitRevision.objects.get(kit__code=entry["kit"], revision=entry["revision"]),
            ordered_on=day(entry["ordered"], self.today),
            expected_on=day(entry["expected"], self.today),
            by=self.manager,
            now=self._opening(entry["ordered"]),
        )
        for delivery in entry["deliveries"]:
            self._deliver(order, delivery)

    def _deliver(self, order: KitOrder, delivery: dict[str, str]) -> None:
        by, at = self.people[delivery["by"]], self._opening(delivery["received"])
        slip = bring_in_slip(read_bytes(delivery["slip"], today=self.today), by=by, now=at)
        counted = csv.DictReader(io.StringIO(read_bytes(delivery["receipt"], today=self.today).decode()))
        parts = tuple(
            CountedPart(row["part_number"], int(row["counted"]), int(row["damaged"] or 0), note=row["note"])
            for row in counted
        )
        answer = receive(
            order=order,
            delivery=Delivery(slip.number, parts),
            entry_id=uuid.uuid5(uuid.NAMESPACE_OID, f"{order.number}/{slip.number}"),
            saw=last_seen(order),
            signer=by,
            signed_how=SignedHow.LOADED,
            now=at,
        )
        if not answer.accepted:
            raise RuntimeError(f"{order.number}: {answer.data}")

    def _job(self, entry: dict[str, Any]) -> None:
        job = self._open(entry)
        clock = at_opening(day(entry["work_began"], self.today), self.settings)
        player = Player(job, self.people, self.readings, clock, entry.get("people", {}))
        self._authorise(player, entry["authority"])
        if "up_to" in entry:
            player.play(entry["up_to"])
        then = entry.get("then")
        if then:
            operation = player.record.find(then["operation"])
            assert operation is not None
            player.start(operation)
            for standing in operation.checkpoints:
                player.read(standing, bad=standing.code in then["bad"])
                if standing.code == then["through"]:
                    break
        if player.clock.at > self.now:
            raise RuntimeError(f"job {job.number} is ahead of the clock: {player.clock.at}")

    def _open(self, entry: dict[str, Any]) -> Job:
        customer = self._named("customers", entry["customer"])
        vehicle = self._named("vehicles", entry["vehicle"])
        owner = Customer(name=customer["name"], phone=customer["phone"], email=customer["email"])
        booking = Booking(
            customer=owner,
            vehicle=Vehicle(
                customer=owner,
                model_year=int(vehicle["model_year"]),
                description=vehicle["description"],
                serial=vehicle["serial"],
                plate=vehicle["plate"],
            ),
            procedure_revision=ProcedureRevision.objects.get(
                procedure__code=entry["procedure"], revision=entry["revision"]
            ),
            kit_order=KitOrder.objects.get(number=entry["kit_order"]),
            promised_on=day(entry["promised"], self.today),
            bay=Bay.objects.get(number=entry["bay"]),
            odometer=entry["odometer"],
            wishes=entry["wishes"],
        )
        return open_job(
            booking,
            by=self.people[entry["authority"]["by"]],
            now=self._opening(entry["opened"]),
            number=int(entry["number"]),
        )

    def _named(self, table: str, key: str) -> dict[str, str]:
        found: dict[str, str] = next(row for row in self.data[table] if row["key"] == key)
        return found

    def _authorise(self, player: Player, authority: dict[str, str]) -> None:
        began = player.clock.at
        player.clock.at = self._opening(authority["given"])
        payload = {name: authority[name] for name in ("scope", "allows_cutting", "given_by", "way")}
        player.send("authority", "authority", self.people[authority["by"]], SignedHow.DESK, payload)
        player.clock.at = began
