"""Tables of a working shop go out and come in again without loss; what is wrong is listed, nothing saved."""

import datetime as dt
from typing import Any

import pytest

from jobs.exchange.files import written_csv, written_yaml
from jobs.exchange.registry import TABLES
from jobs.exchange.tables import News, take_in
from jobs.models import Job
from shop.file_errors import FileErrors
from shop.models import (
    Absence,
    Bay,
    BayClosure,
    Calibration,
    Customer,
    Event,
    Instrument,
    Person,
    Tool,
    Vehicle,
)
from tests.jobs.small_route import NOW, SmallRoute

SLIP = (
    b"order,slip,carrier,dated,part_number,description,slipped,backordered,eta\n"
    b"K-9,PS-1,Cart,2026-02-20,TC-ARM,Lower arm,2,0,\n"
)


@pytest.fixture
def route(db: None) -> SmallRoute:
    route = SmallRoute()
    Job.objects.update(
        wishes="Straight.\nNo = signs\\n, please.", promised_on=dt.date(2026, 4, 1), odometer="81 204"
    )
    Customer.objects.update(phone="+1 555-0101", name="=SUM(Ño)")
    take_in(TABLES["slips"], SLIP, by=route.people["ash"], now=NOW)
    return route


def taken(route: SmallRoute, table: str, content: str | bytes, **given: Any) -> tuple[Any, ...]:
    data = content.encode() if isinstance(content, str) else content
    return take_in(TABLES[table], data, by=route.people["ash"], now=NOW, **given)


def errors(route: SmallRoute, table: str, content: str) -> str:
    before = Event.objects.count()
    with pytest.raises(FileErrors) as refused:
        taken(route, table, content)
    assert Event.objects.count() == before
    return "\n".join(str(error) for error in refused.value.errors)


@pytest.mark.parametrize("write", [written_csv, written_yaml])
@pytest.mark.parametrize("name", TABLES)
def test_what_goes_out_comes_in_as_it_is_here(route: SmallRoute, name: str, write: Any) -> None:
    Tool.objects.create(code="HS-1", name="Hole saw", kind="hole_saw", size="1 1/8 in")
    days = {"first_day": NOW.date(), "last_day": NOW.date()}
    Absence.objects.create(person=route.people["fenn"], note="Away", **days)
    BayClosure.objects.create(bay=Bay.objects.get(number=1), reason="Floor painted", **days)
    table = TABLES[name]
    content = write(table.columns, table.rows())
    before = Event.objects.count()
    news = {row.news for row in taken(route, name, content)}
    assert news == {News.SAME}
    assert Event.objects.count() == before
    assert write(table.columns, table.rows()) == content


@pytest.mark.parametrize("write", [written_csv, written_yaml])
def test_customers_and_cars_go_to_another_shop_whole(route: SmallRoute, write: Any) -> None:
    """What was taken out, with its rows gone, comes in as the same customer and car again."""
    files = {
        n: write(TABLES[n].columns, TABLES[n].rows())
        for n in ("customers", "vehicles", "instruments", "calibrations")
    }
    extra = Customer.objects.create(name='Ümit O\'Neil; "Sons"', email="u@example.com")
    Vehicle.objects.create(
        customer=extra, model_year=1970, description="Barge", serial="-7", north_america=False
    )
    files |= {n: write(TABLES[n].columns, TABLES[n].rows()) for n in ("customers", "vehicles")}
    Vehicle.objects.filter(customer=extra).delete()
    extra.delete()
    Calibration.objects.all().delete()
    Instrument.objects.all().delete()
    for name in ("customers", "vehicles", "instruments", "calibrations"):
        taken(route, name, files[name])
        assert write(TABLES[name].columns, TABLES[name].rows()) == files[name]


def test_a_check_saves_nothing_and_says_what_would_happen(route: SmallRoute) -> None:
    known = Customer.objects.get()
    content = f"reference,name,phone,email\n{known.reference},=SUM(Ño),555,\n,New One,,new@example.com\n"
    found = taken(route, "customers", content, only_check=True)
    assert [(row.news, row.differs) for row in found] == [(News.CHANGED, ("phone",)), (News.NEW, ())]
    assert Customer.objects.count() == 1
    assert [row.news for row in taken(route, "customers", content)] == [News.CHANGED, News.NEW]
    assert Customer.objects.get(pk=known.pk).phone == "555"
    assert [row.news for row in taken(route, "customers", content)] == [News.SAME, News.SAME]


def test_everything_that_is_wrong_is_listed_and_nothing_is_saved(route: SmallRoute) -> None:
    told = errors(
        route,
        "instruments",
        "code,name,kind,unit,range_low,range_high,resolution,permissible_error,withdrawn\n"
        "TP-7,Good tape,tape,in,0 in,100 in,1/32 in,±1/32 in,no\n"
        "TP-8,Tape,tapeworm,in,0 in,100 in,1/32 in,±1/32 in,no\n"
        "TP-9,Tape,tape,in,0 in,100 in,a bit,±1/32 in,perhaps\n"
        "TP-7,Again,tape,in,0 in,100 in,1/32 in,±1/32 in,no\n",
    )
    assert "line 3, kind:" in told
    assert "line 4, withdrawn: Write yes or no." in told
    assert "line 5: This is already on line 2." in told
    assert not Instrument.objects.filter(code="TP-7").exists()


@pytest.mark.parametrize(
    ("table", "content", "told"),
    [
        ("customers", "reference,name,phone,email\n,,1,\n", "line 2, name:"),
        ("customers", "reference,name,phone,email\nnone,A,1,\n", "line 2, reference: This is no reference"),
        ("customers", f"reference,name,phone,email\n,{'x' * 10_000},,\n", "line 2, name:"),
        (
            "vehicles",
            "customer,serial,model_year,description,north_america,plate\nNobody,1,1970,Car,yes,\n",
            "line 2, customer: There is no such customer",
        ),
        (
            "vehicles",
            "customer,serial,model_year,description,north_america,plate\n=SUM(Ño),2,-5,Car,yes,\n",
            "line 2, model_year:",
        ),
        ("people", "username,full_name,role,active\nnew,New,emperor,yes\n", "line 2, role:"),
        (
            "people",
            "username,full_name,role,active\nash,Ash,manager,no\n",
            "line 2: Nobody can sign themselves off",
        ),
        (
            "people",
            "username,full_name,role,active\nash,Ash,lead,yes\n",
            "line 2, role: Ash is the only manager",
        ),
        (
            "calibrations",
            "instrument,done_on,due_on,way,certificate,expanded_uncertainty,passed\nXX,2026-01-01,2027-01-01,certificate,,,yes\n",
            "line 2, instrument: There is no instrument",
        ),
        (
            "calibrations",
            "instrument,done_on,due_on,way,certificate,expanded_uncertainty,passed\nTP-1,2026-01-01,1927-01-01,certificate,,,yes\n",
            "line 2, due_on:",
        ),
        (
            "calibrations",
            "instrument,done_on,due_on,way,certificate,expanded_uncertainty,passed\nTP-1,2026-01-31,2028-01-01,certificate,,,yes\n",
            "line 2, certificate: This calibration is here with other figures",
        ),
        (
            "jobs",
            "number,customer,serial,procedure,revision,kit_order,bay,promised_on,odometer,wishes\n1e3,,,,,,,,,\n",
            "line 2, number: A job has a whole number.",
        ),
        (
            "jobs",
            "number,customer,serial,procedure,revision,kit_order,bay,promised_on,odometer,wishes\n7,=SUM(Ño),1,P-9,Z,K-77,9,31.3.2026,,\n",
            "line 2, revision: This is not known here.",
        ),
        (
            "jobs",
            "number,customer,serial,procedure,revision,kit_order,bay,promised_on,odometer,wishes\n1001,=SUM(Ño),1,P-9,A,K-9,1,2027-01-01,,\n",
            "line 2, promised_on: Job 1001 is here with",
        ),
        ("slips", SLIP.decode().replace("TC-ARM,Lower arm,2", "TC-ARM,Lower arm,3"), "line 2, slip:"),
        (
            "kits",
            "kit,revision,kit_name,supplier,part_number,description,quantity,side,operation,critical,substitutes,thread,grade,length,finish\nKIT-7,A,Kit,Sup,P,Part,none,,T10,no,,,,,\n",
            "line 2, quantity:",
        ),
    ],
    ids=lambda value: value[:40] if isinstance(value, str) else None,
)
def test_a_wrong_row_is_told_by_line_and_column(
    route: SmallRoute, table: str, content: str, told: str
) -> None:
    assert told in errors(route, table, content)


def test_people_come_without_secrets_and_set_them_in_private(route: SmallRoute) -> None:
    out = written_csv(TABLES["people"].columns, TABLES["people"].rows()).decode()
    assert "$" not in out
    taken(
        route,
        "people",
        "username,full_name,role,active\nquince,Quince New,fabricator,yes\nfenn,Fenn,fabricator,no\n",
    )
    new = Person.objects.get(username="quince")
    assert (new.role, new.pin_hash, new.has_usable_password()) == ("fabricator", "", False)
    assert not Person.objects.get(username="fenn").is_active


def test_lists_below_each_other_are_told_apart_by_their_lines(route: SmallRoute) -> None:
    head = ",".join(TABLES["kits"].columns.names) + "\n"
    good = "KIT-7,A,Kit seven,Sup,P-{0},Part,1,,T10,no,,,,,\n"
    bad = "KIT-8,A,Kit eight,Sup,P-1,Part,0,,T10,no,,,,,\n"
    told = errors(route, "kits", head + good.format(1) + good.format(2) + bad)
    assert told.startswith("line 4, quantity:")
    found = taken(route, "kits", head + good.format(1) + good.format(2))
    assert [(row.about, row.news) for row in found] == [("KIT-7 A", News.NEW)]


def test_a_job_is_opened_by_a_row(route: SmallRoute) -> None:
    from parts.models import KitOrder

    KitOrder.objects.create(
        number="K-10", kit_revision=route.job.kit_order.kit_revision, ordered_on=NOW.date()
    )
    head = ",".join(TABLES["jobs"].columns.names)
    row = "1777,=SUM(Ño),1,P-9,A,K-10,,2026-05-01,12 mi,Two lines\\nof wishes\n"
    assert [found.news for found in taken(route, "jobs", f"{head}\n{row}")] == [News.NEW]
    job = Job.objects.get(number=1777)
    assert (job.wishes, job.operations.count()) == ("Two lines\nof wishes", 13)
