"""The page that compares two revisions: figures old and new, and what to say where there is only one."""

import pytest
from django.urls import reverse

from jobs.procedures.difference_words import difference_words
from jobs.procedures.differences import differences
from jobs.procedures.file import read_procedure
from shop.models import Role, ShopSettings
from tests.jobs.cradle_files import WELD_PROCEDURE
from tests.jobs.marked_route import MARKED
from tests.jobs.procedure_desk import desk_of, kept
from tests.jobs.procedure_texts import PROCEDURE_TEXT, changed

pytestmark = pytest.mark.django_db
ADDRESS = reverse("jobs:procedure_compare", args=["FC-T1"])


def said(query: str = "") -> str:
    answer = desk_of(Role.FABRICATOR).get(ADDRESS + query)
    assert answer.status_code == 200
    return answer.content.decode()


def test_one_revision_alone_says_what_will_be_here() -> None:
    kept(release=True)
    assert "There is only one revision" in said()


def test_a_draft_is_compared_with_what_is_in_force() -> None:
    kept(release=True)
    tighter = changed("revision: A", "revision: B").replace(
        b"41 1/4 \xc2\xb11/8 in", b"41 1/4 \xc2\xb11/16 in"
    )
    kept(tighter)
    page = said()
    assert "tighter" in page
    assert 'id="T10.2"' in page
    assert "They say the same." in said("?old=A&new=A")
    assert "looser" in said("?old=B&new=A")


def compared(text: str, *changes: tuple[str, str]) -> list[str]:
    """What became different in a file by some changes of its text, each on a line as papers have it."""
    old = read_procedure(text.encode(), settings=ShopSettings())[0]
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    new = read_procedure(text.encode(), settings=ShopSettings())[0]
    words = difference_words(differences(old, new), settings=ShopSettings())
    return [str(each) for each in (*words.fields, *(f for item in words.operations for f in item.fields))]


HOLE = "holes: [{name: sleeve, size: 1 1/4 in, walls: [{name: outer wall, thickness: 1/8 in}]}]\n"


def test_a_layout_is_compared_mark_by_mark_and_datum_by_datum() -> None:
    h2 = next(line for line in MARKED.splitlines() if "code: H2" in line)
    assert compared(
        MARKED,
        ('from: "0 in, 0 in", to: "0 in, 6 in"', 'from: "0 in, 0 in", to: "0 in, 5 in"'),
        ("laid_out_from: [A], tolerance: ±1/16 in", "laid_out_from: [B], tolerance: ±1/32 in"),
        (h2 + "\n", ""),
    ) == [
        "View RO, datum A, to: 0 in, 6 in → 0 in, 5 in",
        "View RO, mark C1, laid out from: A → B",
        "View RO, mark C1, may be off: ±1/16 in → ±1/32 in (tighter)",
        "View RO, mark H2: kind hole · what it is sleeve · centre at 7 1/4 in, 3 in · laid out from A, F · "
        "may be off ±1/16 in · size 17/32 in · tool twist drill → removed",
    ]


def test_welds_and_holes_are_compared_one_by_one() -> None:
    plug = next(line for line in WELD_PROCEDURE.splitlines() if "code: L2" in line)
    assert compared(
        WELD_PROCEDURE,
        ("size: 3/16 in", "size: 1/4 in, process: GMAW"),
        (plug + "\n", plug + "\n" + plug.replace("L2", "L3") + "\n"),
    ) == [
        "Weld map, weld L3: – → added, kind plug weld · welded in W30 · tacked in W20 · looked at W40.1 · "
        "side left · panel plate · centre at 2 1/2 in, 1 in",
        "Weld map, weld S1, size: 3/16 in → 1/4 in",
        "Weld map, weld S1, process: – → GMAW",
    ]
    steps = "    steps: [Weld in the order of the map.]\n"
    drilled = PROCEDURE_TEXT.replace(steps, f"{steps}    {HOLE}", 1)
    assert compared(
        drilled, ("thickness: 1/8 in", "thickness: 3/16 in"), ("size: 1 1/4 in", "size: 1 3/8 in")
    ) == [
        "Hole sleeve, size: 1 1/4 in → 1 3/8 in",
        "Hole sleeve, wall outer wall, thickness: 1/8 in → 3/16 in",
    ]
