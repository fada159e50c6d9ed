"""Certificates, absences, bays, orders and procedures go out and in like every other table."""

import datetime as dt
from typing import Any

import pytest

from jobs.exchange.files import written_csv, written_yaml
from jobs.exchange.registry import TABLES
from jobs.exchange.tables import News
from jobs.models import Operation, ProcedureRevision
from parts.models import KitOrder
from shop.models import Absence, Bay, BayClosure, Certificate, Person
from tests.jobs.small_route import NOW, SmallRoute
from tests.test_exchange import errors, taken

CERTIFICATES = "person,skill,number,valid_from,valid_until\n"
ABSENCES = "person,first_day,last_day,note\n"
CLOSURES = "bay,first_day,last_day,reason\n"
OWN = "username,full_name,role,active,hours\nfenn,Fenn,fabricator,yes,"
ORDERS = "number,kit,revision,ordered_on,expected_on\n"
GONE = {
    "certificates": Certificate,
    "absences": Absence,
    "closures": BayClosure,
}


@pytest.fixture
def busy(route: SmallRoute) -> SmallRoute:
    day = NOW.date()
    for who, note in (("fenn", "=A holiday; “by the sea”"), ("lind", "")):
        row = Absence(person=route.people[who], first_day=day, last_day=day + dt.timedelta(days=3), note=note)
        row.save()
    BayClosure.objects.create(bay=Bay.objects.get(number=1), first_day=day, last_day=day, reason="−2 °C")
    route.people["fenn"].hours = {
        "mon": [["07:30", "12:00"], ["12:30", "16:00"]],
        "tue": [["08:00", "12:00"]],
    }
    route.people["fenn"].units = "metric"
    route.people["fenn"].save()
    return route


@pytest.mark.parametrize("write", [written_csv, written_yaml])
@pytest.mark.parametrize("name", GONE)
def test_they_come_back_as_they_were(busy: SmallRoute, name: str, write: Any) -> None:
    table, model = TABLES[name], GONE[name]
    content = write(table.columns, table.rows())
    count = model._default_manager.count()
    model._default_manager.all().delete()
    assert {row.news for row in taken(busy, name, content)} == {News.NEW}
    assert model._default_manager.count() == count > 0
    assert write(table.columns, table.rows()) == content
    assert {row.news for row in taken(busy, name, content)} == {News.SAME}


@pytest.mark.parametrize("write", [written_csv, written_yaml])
def test_what_is_a_persons_own_comes_back(busy: SmallRoute, write: Any) -> None:
    table = TABLES["people"]
    content = write(table.columns, table.rows())
    Person.objects.update(units="", hours={})
    changed = [row for row in taken(busy, "people", content) if row.news is News.CHANGED]
    assert [(row.about, set(row.differs)) for row in changed] == [("Fenn", {"units", "hours"})]
    assert write(table.columns, table.rows()) == content
    # A file from before these columns says nothing about them.
    taken(busy, "people", "username,full_name,role,active\nfenn,Fenn,fabricator,yes\n")
    assert Person.objects.get(username="fenn").hours["tue"] == [["08:00", "12:00"]]


def test_files_of_spreadsheets_are_taken(busy: SmallRoute) -> None:
    windows = "person;first_day;last_day;note\r\nthorn;2026-08-03;2026-08-14;Schützenfest\r\n".encode(
        "cp1252"
    )
    assert [row.news for row in taken(busy, "absences", windows)] == [News.NEW]
    marked = b"\xef\xbb\xbfperson;first_day;last_day;note\r\nthorn;2026-08-03;2026-08-14;Fair\r\n"
    assert [(row.news, row.differs) for row in taken(busy, "absences", marked)] == [(News.CHANGED, ("note",))]
    assert Absence.objects.get(person__username="thorn").note == "Fair"


def test_a_renewed_certificate_stands_beside_the_old_one_and_a_corrected_one_is_changed(
    route: SmallRoute,
) -> None:
    old = route.people["fenn"].certificates.get(skill="structural welding")
    row = f"fenn,structural welding,{old.number},{{}},{{}}\n"
    renewed = taken(route, "certificates", CERTIFICATES + row.format("2027-01-01", "2028-01-01"))
    assert [one.news for one in renewed] == [News.NEW]
    later = CERTIFICATES + row.format(old.valid_from, "2027-12-31")
    assert [(one.news, one.differs) for one in taken(route, "certificates", later)] == [
        (News.CHANGED, ("valid_until",))
    ]
    assert route.people["fenn"].certificates.filter(skill="structural welding").count() == 2


@pytest.mark.parametrize(
    ("table", "content", "told"),
    [
        (
            "certificates",
            CERTIFICATES + "nobody,layout,N,2026-01-01,2027-01-01\n",
            "line 2, person: Nobody",
        ),
        ("certificates", CERTIFICATES + "fenn,flying,N-1,2026-01-01,2027-01-01\n", "line 2, skill:"),
        (
            "certificates",
            CERTIFICATES + "fenn,layout,N,1.2.2026,2027-01-01\n",
            "line 2, valid_from: Write",
        ),
        (
            "certificates",
            CERTIFICATES + "fenn,layout,N-1,2026-01-01,2025-01-01\n",
            "line 2, valid_until: It cannot end before it begins",
        ),
        (
            "certificates",
            CERTIFICATES + "fenn,layout,N-1,2026-01-01,2027-01-01\n" * 2,
            "line 3: This is already on line 2.",
        ),
        ("absences", ABSENCES + "fenn,2026-08-14,2026-08-03,\n", "line 2, last_day: The last day is before"),
        ("absences", ABSENCES + f"fenn,2026-08-03,2026-08-14,{'x' * 10_000}\n", "line 2, note:"),
        (
            "absences",
            "format: 1\nabsences:\n- person: fenn\n  last_day: soon\n",
            "line 3, last_day: Write",
        ),
        (
            "closures",
            CLOSURES + "99,2026-08-03,2026-08-03,Paint\n",
            "line 2, bay: There is",
        ),
        ("closures", CLOSURES + "1,2026-08-03,2026-08-03,\n", "line 2, reason:"),
        ("bays", "number,name,features,open\n-4,Bay,,yes\n", "line 2, number:"),
        ("bays", "number,name,features,open\n1,Bay,,no\n", "line 2"),
        (
            "people",
            OWN + "noon\n",
            "line 2, hours: Write",
        ),
        (
            "people",
            OWN + "mon 16:00 - 07:00\n",
            "line 2, hours: “16:00 - 07:00” ends before it begins",
        ),
        (
            "orders",
            ORDERS + "K-77,KIT-9,Z,2026-01-01,\n",
            "line 2, revision:",
        ),
        (
            "orders",
            ORDERS + "K-77,KIT-9,A,2026-01-05,2026-01-01\n",
            "line 2, expected_on: A kit cannot be expected before",
        ),
        (
            "orders",
            ORDERS + "K-9,KIT-9,A,2020-01-05,\n",
            "line 2, ordered_on: Kit order K-9 is here with",
        ),
        ("procedures", "procedure,revision,file\nP-9,A,\n", "line 2, file: In its file"),
        (
            "procedures",
            "procedure,revision,file\nP-9,Z,format: 1\\nprocedure: [\n",
            "line 2, file: In its file, line",
        ),
    ],
    ids=lambda value: value[-40:] if isinstance(value, str) else None,
)
def test_what_is_wrong_is_told_by_line_and_column(
    busy: SmallRoute, table: str, content: str, told: str
) -> None:
    assert told in errors(busy, table, content)


@pytest.mark.parametrize("write", [written_csv, written_yaml])
def test_a_procedure_goes_to_another_shop_in_one_cell_and_comes_in_as_a_draft(
    route: SmallRoute,
    write: Any,
) -> None:
    table = TABLES["procedures"]
    sent = write(table.columns, table.rows()).decode()
    revision = ProcedureRevision.objects.get()
    other = sent.replace("P-9", "P-10")
    assert [row.news for row in taken(route, "procedures", other)] == [News.NEW]
    drafted = ProcedureRevision.objects.exclude(pk=revision.pk).get()
    assert (drafted.state, drafted.operations.count()) == ("draft", revision.operations.count())
    assert Operation.objects.filter(revision=drafted, code="C20").exists()
    assert [row.news for row in taken(route, "procedures", other)] == [News.SAME]


def test_an_order_is_opened_by_a_row(route: SmallRoute) -> None:
    head = "number,kit,revision,ordered_on,expected_on\n"
    assert [row.news for row in taken(route, "orders", head + "K-77,KIT-9,A,2026-01-05,2026-02-01\n")] == [
        News.NEW
    ]
    assert KitOrder.objects.get(number="K-77").expected_on == dt.date(2026, 2, 1)
