"""A sheet of the bench opens with an answer, keeps what was typed, and says in place what is wrong."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags

from shop.bench.index import parts
from shop.models import Role
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db
KEYS = [sheet.key for part in parts() for sheet in part.sheets]
DRAWN = {"decide", "clamp", "floats", "edge"}


@pytest.fixture
def desk(client: Client) -> Client:
    client.force_login(PersonFactory(role=Role.FABRICATOR))
    return client


def opened(desk: Client, key: str, **typed: str) -> str:
    answer = desk.get(reverse("shop:bench_sheet", args=[key]), typed)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("key", KEYS)
def test_a_sheet_opens_with_its_usual_answer_and_where_it_comes_from(desk: Client, key: str) -> None:
    page = opened(desk, key)
    assert "field-wrong" not in page
    assert "notice-error" not in page
    assert "Source" in page
    assert ('<svg viewBox="0 0 800' in page) == (key in DRAWN)


@pytest.mark.parametrize(
    ("key", "typed", "says"),
    [
        ("clearance", {"thread": "1/2-13", "fit": "normal"}, "14.29 mm"),
        ("clearance", {"thread": "M12", "fit": "normal"}, "13.5 mm"),
        ("tap", {"thread": "3/8-16"}, "5/16"),
        ("floats", {"pin": "1", "hole": "1 1/8", "other": "", "offset": "3/16", "unsure": "1/64",
                    "held": "free"}, "Binds"),
        ("clamp", {"thread": "1/2-13", "grade": "8", "torque": "65", "finish": "anti-seize",
                   "asked": "black or plain, dry"}, "times as hard"),
        ("turn", {"thread": "1/2-20", "grade": "8", "torque": "20", "angle": "180", "grip": "1 1/2",
                  "finish": "oiled"}, "used once"),
        ("tool", {"set": "100 N·m", "read": "104.5 N·m", "maximum": "200 N·m"}, "take it out of use"),
        ("clamp", {"thread": "1/2-13", "grade": "8", "torque": "65", "finish": "oiled"}, "proof load"),
        ("decide", {"limit": "29 1/2 ±1/16 in", "reading": "29 9/16", "step": "1/32 in", "error": "1/32 in",
                    "rule": "ISO 14253-1, 95 %"}, "too close"),
        ("pattern", {"bolts": "5", "torque": "80"}, "1 – 3"),
        ("arc_heat", {"process": "GMAW", "volts": "24", "amperes": "180", "travel": "300 mm"}, "0.691 kJ/mm"),
        ("fillet", {"one": "1/16", "other": "1/16", "load": "static"}, "D1.3"),
        ("plug", {"thickness": "1/8"}, "7/16"),
        ("steel", {"C": "0.2", "Mn": "0.8", "Cu": "0.2"}, "0.347"),
        ("bolt", {"thread": "1/2-13", "grade": "8", "nut": "1/2-13"}, "Across flats"),
        ("derate", {"torque": "100", "finish": "black or plain, dry", "lubricant": "engine oil"},
         "90.0 lbf·ft"),
        ("prove", {"limit": "29 1/2 ±1/32 in", "step": "1/32 in", "error": "1/32 in",
                   "rule": "ISO 14253-1, 95 %"}, "can never prove"),
        ("pair", {"left": "2 11/16", "right": "3", "equal": "≤ 1/8 in", "limit": "", "step": "1/32 in",
                  "error": "1/32 in"}, "5/16"),
        ("speed", {"tool": "cobalt drill", "size": "3/8", "work": "mild steel", "machine": "250 500"},
         "as fast as high-speed steel"),
        ("edge", {"thread": "1/2-13", "edge": "cut", "distance": "3/4", "hole": "9/16"}, "Far enough"),
        ("edge", {"thread": "1/2-13", "edge": "cut", "distance": "11/16", "hole": ""}, "Too near"),
        ("edge", {"thread": "M16", "edge": "cut", "distance": "8 mm", "hole": "18 mm"}, "breaks through"),
        ("figure", {"figure": "twenty-nine and a half"}, "In feet and inches"),
        ("fire_watch", {"rule": "51B-2019"}, "60 min"),
    ],
)  # fmt: skip
def test_an_answer(desk: Client, key: str, typed: dict[str, str], says: str) -> None:
    assert says in strip_tags(opened(desk, key, **typed))


@pytest.mark.parametrize(
    ("key", "typed", "field", "says"),
    [
        ("clearance", {"thread": "half an inch", "fit": "normal"}, "thread", "is no thread"),
        ("bolt", {"thread": "1/2-13", "grade": "8.8"}, "grade", "is for metric bolts"),
        ("steps", {"hole": "9", "work": "mild steel"}, "", "from 1/16 to 2 1/2"),
        ("steps", {"hole": "12 N·m", "work": "mild steel"}, "hole", "another kind of figure"),
        ("speed", {"tool": "high-speed-steel drill", "size": "0", "work": "mild steel", "machine": ""}, "",
         "above nothing"),
        ("pattern", {"bolts": "10^400", "torque": "80"}, "bolts", "Enter a number"),
        ("pattern", {"bolts": "nan", "torque": "80"}, "bolts", "Enter a number"),
        ("pattern", {"bolts": "5.5", "torque": "80"}, "bolts", "whole number"),
        ("clamp", {"thread": "1/2-13", "grade": "8", "torque": "-3", "finish": "oiled"}, "", "above nothing"),
        ("clamp", {"thread": "1/2-13", "grade": "8", "torque": "65", "finish": ""}, "finish", "Say this"),
        ("bolt", {"thread": "1/2-13", "grade": "8", "nut": "M12"}, "nut", "one is inch, the other metric"),
        ("clamp", {"thread": "M12", "grade": "8.8", "torque": "65", "finish": "oiled", "nut": "M12x1.25"},
         "nut", "their sizes differ"),
        ("bolt", {"thread": "1/2-17", "grade": "8"}, "thread", "No bolt has the thread"),
        ("bolt", {"thread": "M18", "grade": "9.8"}, "grade", "above 16 mm"),
        ("bolt", {"thread": "#10-32", "grade": "8"}, "grade", "begin at 1/4 in"),
        ("clearance", {"thread": "M100", "fit": "normal"}, "", "Say the pitch too"),
        ("limit", {"limit": "16…14 in"}, "limit", "is above the upper limit"),
        ("limit", {"limit": "65 +5 +3 lbf·ft"}, "limit", "both tolerances go the same way"),
        ("speed", {"tool": "cobalt drill", "size": "3/8", "work": "mild steel", "machine": "0 500"},
         "machine", "Write the speeds like"),
        ("speed", {"tool": "cobalt drill", "size": "3/8", "work": "mild steel", "machine": "1e400"},
         "machine", "Write the speeds like"),
        ("tool", {"set": "0", "read": "66", "maximum": "150"}, "", "above nothing"),
        ("derate", {"torque": "100", "finish": "oiled", "lubricant": "engine oil"}, "finish", "already"),
        ("castle", {"turn": "-10", "most": ""}, "", "never turned back"),
        ("figure", {"figure": "x" * 500}, "figure", "too long"),
        ("limit", {"limit": ""}, "limit", "Say this too"),
        ("edge", {"thread": "1/2-13", "edge": "cut", "distance": "-1/2", "hole": ""}, "distance",
         "above nothing"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_at_its_field_and_kept(
    desk: Client, key: str, typed: dict[str, str], field: str, says: str
) -> None:
    page = opened(desk, key, **typed)
    assert says in page
    assert "<svg viewBox" not in page
    assert not field or f'id="error-{field}"' in page
    assert all(text in page for text in typed.values() if text and len(text) < 100)


def test_an_unknown_sheet_is_not_found(desk: Client) -> None:
    assert desk.get(reverse("shop:bench_sheet", args=["perpetuum"])).status_code == 404
