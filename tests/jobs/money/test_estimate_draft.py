"""The draft of an estimate: prefilled, edited in the browser, offered, then never changed."""

from decimal import Decimal

import pytest

from jobs.models import Estimate, EstimateLine
from jobs.money.estimates import mark_of
from parts.models import KitLine
from shop.verification import verify_record
from tests.jobs.desk import Desk
from tests.jobs.money.till import MONEY, answer, offered, sheet_post, taxed, text_of
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
WHERE = f"{MONEY}estimate/"
LABOUR = ("labour", "Take the front off", "2.5", "95.00")


def post(route: SmallRoute, *lines: tuple[str, ...], who: str = "wren", **more: str):  # type: ignore[no-untyped-def]
    return Desk(route, who).post(WHERE, sheet_post(*lines, **{"seen": mark_of(route.job), **more}))


def test_it_begins_with_standard_times_at_the_shops_rate_and_the_kit_at_cost(route: SmallRoute) -> None:
    KitLine.objects.update(unit_cost=Decimal("10.00"))
    pieces = sum(KitLine.objects.values_list("quantity", flat=True))
    page = " ".join(Desk(route, "wren").page(WHERE).split())
    minutes = sum(o.operation.standard_minutes for o in route.record.operations)
    assert f'value="{pieces * 10}.00"' in page
    assert page.count('value="labour" selected') == len(route.record.operations) + 1
    assert page.count('value="95.00"') == len(route.record.operations)
    assert minutes > 0
    assert Estimate.objects.count() == 0


def test_saved_it_comes_back_with_its_totals_rounded_half_up(route: SmallRoute) -> None:
    taxed("8.25")
    assert post(route, LABOUR, ("parts", "Kit", "3", "1.67"), do="keep").status_code == 302
    page = " ".join(Desk(route, "wren").page(WHERE).split())
    # 237.50 + 5.01; 8.25 % of 5.01 is 0.413325
    for words in ("242.51 USD", "Tax, 8.25 % on parts, consumables", "0.41 USD", "242.92 USD"):
        assert words in page
    assert verify_record().is_whole


def test_saving_again_lays_it_down_anew_and_keeps_the_record_whole(route: SmallRoute) -> None:
    post(route, LABOUR, do="keep")
    post(route, ("sublet", "Powder coating", "1", "300"), do="keep")
    assert [line.text for line in EstimateLine.objects.all()] == ["Powder coating"]
    assert verify_record().is_whole


def test_offered_it_is_never_changed_and_a_new_issue_replaces_it(route: SmallRoute) -> None:
    assert post(route, LABOUR, do="offer").status_code == 302
    post(route, ("labour", "Less", "1", "50"), do="offer")
    assert [(e.issue, e.state) for e in Estimate.objects.all()] == [(1, "replaced"), (2, "offered")]
    assert Estimate.objects.get(issue=1).lines.get().text == "Take the front off"
    assert not answer(route, 1).accepted
    assert answer(route, 2, "no").accepted
    assert Estimate.objects.get(issue=2).state == "declined"
    assert verify_record().is_whole


def test_an_offer_keeps_the_tax_of_its_day(route: SmallRoute) -> None:
    taxed("10")
    offered(route)
    taxed("20")
    assert Estimate.objects.get().tax_percent == Decimal(10)


def test_what_cannot_be_read_is_told_by_line_and_all_that_was_typed_kept(route: SmallRoute) -> None:
    bad = ("parts", "Ärmel 🚗 \u202etxet", "two", "1e400")
    said = post(route, LABOUR, bad, ("labour", "", "1", "5"), ("gold", "x" * 300, "-1", "NaN"), deposit="101")
    text = text_of(said)
    assert said.status_code == 422
    for words in ("“two” is no amount", "“1e400” is no amount", "Say what this line is for", "below zero",
                  "“NaN” is no amount", "At most 200 characters", "Choose what the line is for",
                  "“101” is more than fits here"):  # fmt: skip
        assert words in text
    assert "Ärmel 🚗 \u202etxet" in text
    assert 'value="Take the front off"' in text
    assert not Estimate.objects.exists()


def test_two_people_on_the_same_draft_lose_nothing(route: SmallRoute) -> None:
    seen = mark_of(route.job)
    post(route, LABOUR, do="keep", seen=seen)
    late = post(route, ("labour", "Mine", "1", "1"), who="ash", do="keep", seen=seen)
    assert late.status_code == 409
    assert "Somebody changed this estimate since you opened it" in text_of(late)
    assert 'value="Mine"' in text_of(late)
    assert EstimateLine.objects.get().text == "Take the front off"


def test_the_same_form_sent_twice_is_saved_once(route: SmallRoute) -> None:
    seen = mark_of(route.job)
    answers = [post(route, LABOUR, do="keep", seen=seen).status_code for _ in range(2)]
    assert answers == [302, 302]
    assert EstimateLine.objects.count() == 1


def test_a_line_that_nobody_priced_is_kept_but_not_offered(route: SmallRoute) -> None:
    """A kit without costs stands at 0.00 in the prefilled sheet: given away, if nobody looked."""
    unpriced = ("parts", "Kit", "1", "0.00")
    said = post(route, LABOUR, unpriced, do="offer")
    assert said.status_code == 422
    assert "Line 2: There is no price yet; write one, or leave the line out" in text_of(said)
    assert not Estimate.objects.exists()
    assert post(route, LABOUR, unpriced, do="keep").status_code == 302
    assert post(route, LABOUR, unpriced, do="offer", **{"line-1-out": "1"}).status_code == 302
    assert EstimateLine.objects.get().text == "Take the front off"


def test_an_estimate_without_lines_is_not_offered(route: SmallRoute) -> None:
    assert post(route, do="offer").status_code == 422
