"""Loading the whole scenario, as if the work had been done in the last weeks."""

import csv
import datetime as dt
import io
import uuid
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.demo.beside import give_link, keep_absences, keep_word
from jobs.demo.clock import LateClock
from jobs.demo.files import day, read_bytes, read_yaml
from jobs.demo.past import load_past
from jobs.demo.planning import plan_shop
from jobs.demo.player import Player, at_opening
from jobs.demo.shop_floor import load_instruments, load_people, load_shop, load_tools
from jobs.demo.till import close_money, write_estimate
from jobs.demo.walk_round import walk_round
from jobs.models import Job, ProcedureRevision
from jobs.opening import Booking, open_job
from jobs.procedures.bringing_in import bring_in_procedure
from parts.deliveries import CountedPart, Delivery
from parts.entering import Signed
from parts.kit_files import bring_in_kit
from parts.models import KitOrder, KitRevision
from parts.ordering import open_order
from parts.receiving import last_seen, receive
from parts.returning import SentBack, send_back
from parts.slip_files import bring_in_slip
from shop.models import Bay, Customer, Person, ShopSettings, SignedHow, Vehicle

# An operation that is begun has so many entries beside its welds, or fewer.
ENTRIES_LATE = 12


class Scenario:
    """The scenario's files, loaded as of one moment."""

    def __init__(self, now: dt.datetime) -> None:
        self.data = read_yaml("shop.yaml")
        self.readings = {code: read_yaml(name) for code, name in self.data["files"]["readings"].items()}
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
        load_tools(self.data, now=begun)
        for name in self.data["files"]["kits"]:
            bring_in_kit(read_bytes(name, today=self.today), by=self.manager, now=begun, release=True)
        lead = next(p for p in self.people.values() if p.is_lead)
        for name in self.data["files"]["procedures"]:
            text = read_bytes(name, today=self.today)
            bring_in_procedure(text, by=lead, now=begun, release=True, released_by=self.manager)
        load_past(self)
        for entry in self.data["kit_orders"]:
            self._order(entry)
        for entry in self.data["jobs"]:
            self.go_through(self.begin(entry), entry)
        for entry in self.data["kit_orders"]:
            self._send_back(entry)
        yesterday = self.opening("day-1")
        for entry in self.data["kit_orders"]:
            keep_word(entry, self.people, now=yesterday, today=self.today)
        keep_absences(self.data, self.people, by=self.manager, now=yesterday, today=self.today)
        plan_shop(by=self.manager, now=self.now)

    @transaction.atomic
    def deliver_later(self, number: str) -> None:
        """What comes after the day of the demo, for an order of a shop that is loaded already."""
        self.people = {person.username: person for person in Person.objects.all()}
        entry = next(e for e in self.data["kit_orders"] if e["number"] == number)
        for delivery in entry["later"]:
            self._deliver(KitOrder.objects.get(number=number), delivery, self.now)

    def opening(self, text: str) -> dt.datetime:
        return at_opening(day(text, self.today), self.settings).at

    def _order(self, entry: dict[str, Any]) -> None:
        order = open_order(
            number=entry["number"],
            kit_revision=KitRevision.objects.get(kit__code=entry["kit"], revision=entry["revision"]),
            ordered_on=day(entry["ordered"], self.today),
            expected_on=day(entry["expected"], self.today),
            by=self.manager,
            now=self.opening(entry["ordered"]),
        )
        for delivery in entry["deliveries"]:
            self._deliver(order, delivery, self.opening(delivery["received"]))

    def _deliver(self, order: KitOrder, delivery: dict[str, str], at: dt.datetime) -> None:
        by = self.people[delivery["by"]]
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

    def _send_back(self, entry: dict[str, Any]) -> None:
        for number, piece in enumerate(entry.get("returned", ()), start=1):
            order = KitOrder.objects.get(number=entry["number"])
            sent_on = day(piece["sent"], self.today)
            sent = SentBack(
                piece["part"], int(piece["quantity"]), piece["reason"], sent_on, note=piece["note"]
            )
            signed = Signed(
                entry_id=uuid.uuid5(uuid.NAMESPACE_OID, f"{order.number}/returned/{number}"),
                saw=last_seen(order),
                signer=self.people[piece["by"]],
                signed_how=SignedHow.LOADED,
            )
            answer = send_back(order=order, sent=sent, signed=signed, now=self.opening(piece["sent"]))
            if not answer.accepted:
                raise RuntimeError(f"{order.number}: {answer.data}")

    def begin(self, entry: dict[str, Any]) -> Player:
        """Book a car in, with its walk round and its authority."""
        player = Player(
            self._open(entry),
            self.people,
            self.readings[entry["procedure"]],
            at_opening(day(entry["work_began"], self.today), self.settings),
            entry.get("people", {}),
            {mishap["checkpoint"]: mishap for mishap in entry.get("mishaps", ())},
        )
        self._came_in(player, entry)
        self._authorise(player, entry["authority"], entry["money"])
        return player

    def go_through(self, player: Player, entry: dict[str, Any]) -> None:
        """Work on a car as far as it is told."""
        player.play(entry["up_to"])
        for deviation in entry.get("deviations", ()):
            self._deviate(player, deviation)
        if "then" in entry:
            self._go_on(player, entry["then"])
        if "released_by" in entry:
            player.release(self.people[entry["released_by"]])
        close_money(player, entry["money"], by=self.people[entry["authority"]["by"]])
        if player.clock.at > self.now:
            raise RuntimeError(f"job {player.job.number} is ahead of the clock: {player.clock.at}")

    def _came_in(self, player: Player, entry: dict[str, Any]) -> None:
        """The walk round on the day it came; the link where the customer has one."""
        began, by = player.clock.at, self.people[entry["authority"]["by"]]
        player.clock.at = self.opening(entry["opened"])
        walk_round(player, entry["condition"], by=by)
        if entry.get("link") == "yes":
            give_link(player.job, by=by, now=player.clock.at)
        player.clock.at = began

    def _deviate(self, player: Player, told: dict[str, str]) -> None:
        payload = {name: told[name] for name in ("checkpoint", "text", "limit", "reason")}
        player.send("deviation", told["operation"], self.people[told["by"]], SignedHow.PIN, payload)

    def _go_on(self, player: Player, then: dict[str, Any]) -> None:
        if "minutes_ago" in then:
            ago = int(then["minutes_ago"])
            entries = ENTRIES_LATE + int(then.get("welds", 0))
            player.clock = LateClock.before(
                self.now, minutes_ago=ago, settings=self.settings, entries=entries
            )
        player.some_of(
            then["operation"],
            through=then["through"],
            bad=then["bad"],
            without=then.get("without", ()),
            welds=int(then["welds"]) if "welds" in then else None,
            paused=then.get("paused", ""),
        )

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
            bay=Bay.objects.get(number=entry["bay"]) if "bay" in entry else None,
            odometer=entry["odometer"],
            wishes=entry["wishes"],
        )
        return open_job(
            booking,
            by=self.people[entry["authority"]["by"]],
            now=self.opening(entry["opened"]),
            number=int(entry["number"]),
        )

    def _named(self, table: str, key: str | dict[str, str]) -> dict[str, str]:
        """The row of a table that is called so, unless it stands there itself."""
        if not isinstance(key, str):
            return key
        found: dict[str, str] = next(row for row in self.data[table] if row["key"] == key)
        return found

    def _authorise(self, player: Player, authority: dict[str, str], money: dict[str, Any]) -> None:
        began = player.clock.at
        player.clock.at = self.opening(authority["given"])
        payload = {name: authority[name] for name in ("scope", "allows_cutting", "given_by", "way")}
        by = self.people[authority["by"]]
        player.send("authority", "authority", by, SignedHow.DESK, payload)
        write_estimate(player, money, by=by, given_by=authority["given_by"])
        player.clock.at = began
