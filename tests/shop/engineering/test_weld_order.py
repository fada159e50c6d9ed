"""An order of welding that spreads heat, against that of the map."""

import itertools
import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.engineering.errors import GeometryError
from shop.engineering.welds.order import WeldPlace, heat_of_order, weld_order


def plate(side: str, count: int = 12, apart: float = 40.0) -> list[WeldPlace]:
    """Two rows of plug welds in one plate."""
    return [
        WeldPlace(f"{side[0].upper()}{i + 1}", f"{side} plate", side, (i // 2 * apart, i % 2 * apart), 4000.0)
        for i in range(count)
    ]


# Common practice, no source: twelve plug welds in each of two plates.
TWO_PLATES = [*plate("left"), *plate("right")]
codes = [place.code for place in TWO_PLATES]


def test_each_weld_has_its_turn_and_sides_alternate() -> None:
    order = weld_order(TWO_PLATES)
    assert sorted(o.code for o in order) == sorted(codes)
    assert all(a.code[0] != b.code[0] for a, b in itertools.pairwise(order))
    assert "everything is cold" in order[0].reason
    assert "other side than" in order[1].reason


def test_it_is_cooler_and_more_even_than_the_order_of_the_map() -> None:
    ours = heat_of_order(TWO_PLATES, [o.code for o in weld_order(TWO_PLATES)])
    naive = heat_of_order(TWO_PLATES, codes)
    assert ours.peak_k < 0.5 * naive.peak_k
    assert ours.spread_k < naive.spread_k


@given(st.lists(st.sampled_from(codes), unique=True), st.lists(st.integers(1, 3), min_size=24, max_size=24))
@settings(max_examples=15, deadline=None)
def test_a_lower_group_is_always_made_first(made: list[str], groups: list[int]) -> None:
    places = [replace(place, group=group) for place, group in zip(TWO_PLATES, groups, strict=True)]
    group_of = {place.code: place.group for place in places}
    turns = [group_of[o.code] for o in weld_order(places, made=made)]
    assert turns == sorted(turns)


@given(st.lists(st.sampled_from(codes), unique=True))
@settings(max_examples=25, deadline=None)
def test_what_was_made_in_another_order_is_gone_on_from(made: list[str]) -> None:
    order = weld_order(TWO_PLATES, made=made)
    assert {o.code for o in order} == set(codes) - set(made)
    if made and order:
        assert order[0].code[0] != made[-1][0] or len({c[0] for c in set(codes) - set(made)}) == 1


def test_in_one_plate_the_next_is_far_from_what_is_warm() -> None:
    order = weld_order(plate("left"), made=["L1"])
    assert order[0].code in {"L11", "L12"}
    assert "in) away" in order[0].reason


@pytest.mark.parametrize(
    ("places", "made", "says"),
    [
        ([], [], "no weld"),
        ([TWO_PLATES[0], TWO_PLATES[0]], [], "code of its own"),
        (TWO_PLATES, ["X9"], "no weld X9"),
        (TWO_PLATES, ["L1", "L1"], "made once"),
        ([WeldPlace("A", "p", "", (0, 0), 0.0)], [], "heat"),
    ],
)
def test_a_map_rejects(places: list[WeldPlace], made: list[str], says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        weld_order(places, made=made)


def test_an_order_names_each_weld_once() -> None:
    with pytest.raises(GeometryError, match="each weld once"):
        heat_of_order(TWO_PLATES, codes[1:])


def test_two_hundred_welds_take_less_than_50_ms() -> None:
    many = [*plate("left", 100), *plate("right", 100)]
    weld_order(many)
    times = []
    for _number in range(3):
        start = time.process_time()
        weld_order(many)
        times.append(time.process_time() - start)
    assert min(times) < 0.05
