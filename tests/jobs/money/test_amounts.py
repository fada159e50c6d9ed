"""Sums of money: rounded once a line and once a document, and what is typed read as it was meant."""

from decimal import Decimal
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.money.amounts import half_up, line_total, read_amount, totals_of, written

KINDS = ["labour", "parts", "consumables", "sublet"]
CENTS = st.integers(0, 10**9).map(lambda n: Decimal(n).scaleb(-2))
LINES = st.lists(
    st.builds(SimpleNamespace, kind=st.sampled_from(KINDS), quantity=CENTS, price_each=CENTS), max_size=12
)


@settings(max_examples=60)
@given(LINES, st.integers(0, 100_000).map(lambda n: Decimal(n).scaleb(-3)), st.sets(st.sampled_from(KINDS)))
def test_totals_add_up_as_whoever_checks_the_paper_adds_them_up(lines, percent, kinds) -> None:  # type: ignore[no-untyped-def]
    found = totals_of(lines, tax_percent=percent, taxed_kinds=kinds)
    taxed = [line for line in lines if line.kind in kinds]
    assert found.net == sum(line_total(line) for line in lines)
    exact = sum(line_total(line) for line in taxed) * percent / 100
    assert abs(found.tax - exact) <= Decimal("0.005")
    assert found.gross == found.net + found.tax
    assert found == totals_of(list(reversed(lines)), tax_percent=percent, taxed_kinds=kinds)
    assert found.gross.as_tuple().exponent == -2


@settings(max_examples=60)
@given(CENTS)
def test_what_is_written_is_read_again(amount: Decimal) -> None:
    assert read_amount(written(amount), most=Decimal(10**8)) == amount


@pytest.mark.parametrize(
    ("exact", "rounded"), [("0.005", "0.01"), ("2.675", "2.68"), ("-0.005", "-0.01"), ("1.0049", "1.00")]
)
def test_a_tie_goes_away_from_zero(exact: str, rounded: str) -> None:
    assert half_up(Decimal(exact)) == Decimal(rounded)


@pytest.mark.parametrize(
    ("typed", "read"), [("1,250", "1250"), (" $12.5 ", "12.5"), (".5", "0.5"), ("7", "7")]
)
def test_amounts_are_read_as_people_type_them(typed: str, read: str) -> None:
    assert read_amount(typed) == Decimal(read)
