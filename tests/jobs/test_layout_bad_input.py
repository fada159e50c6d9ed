"""What cannot be, told in the shop's words with what to do: by a file, at the tablet, in the settings."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.procedures.bringing_in import check_procedure
from shop.file_errors import FileErrors
from shop.models import Role
from tests.factories import PersonFactory
from tests.jobs import small_route
from tests.jobs.bay import Bay
from tests.jobs.cradle_files import CRADLE_PROCEDURE, WELD_PROCEDURE
from tests.jobs.desk import give_pins
from tests.jobs.marked_route import MARKED, STANDS
from tests.jobs.small_route import NOW, SmallRoute, assert_accepted
from tests.jobs.test_cradle_position import readings
from tests.shop.test_shop_settings import GOOD

pytestmark = pytest.mark.django_db
LF, RF = 'code: LF, at: "12 in, 15 in, 2 in"', 'code: RF, at: "12 in, -15 in, 2 in"'
TAKEN = tuple(
    f'      - {{code: {code}, at: "-11 in, {y} in, 1 in"}}\n' for code, y in (("LR", "16"), ("RR", "-16"))
)
OF_REAR = (("of: LR", "of: LF"), ("of: RR", "of: RF"))


def begun(monkeypatch: pytest.MonkeyPatch, text: str, code: str) -> SmallRoute:
    monkeypatch.setattr(small_route, "PROCEDURE", text)
    route = SmallRoute()
    give_pins(route)
    route.up_to(code)
    assert_accepted(route.send("start", code, "fenn"))
    return route


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ([*((line, "") for line in TAKEN), *OF_REAR], "name a third, away from their line"),
        (
            [(TAKEN[0], ""), (TAKEN[1], TAKEN[1].replace("-11 in, -16 in, 1 in", "12 in, 0 in, 2 in")),
             ("of: LR", "of: LF")],
            "The points lie on one line: the part could turn about it unseen; name one beside the line",
        ),
        (
            [(LF, LF.replace("15", "-15")), (RF, RF.replace("-15", "15"))],
            "LF lies to the right of RF: the second figure of a place counts to the left",
        ),
    ],
)  # fmt: skip
def test_points_that_pin_nothing_or_are_mirrored_reject(changes: list[tuple[str, str]], says: str) -> None:
    text = CRADLE_PROCEDURE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(FileErrors, match=says):
        check_procedure(text.encode(), now=NOW)


def test_a_datum_that_the_cut_takes_off_rejects() -> None:
    gone = MARKED.replace('at: "18 in, 5 in"', 'at: "31 in, 5 in"')
    with pytest.raises(FileErrors, match="datum Q is on metal that C1 cuts off"):
        check_procedure(gone.encode(), now=NOW)


def test_distances_that_no_cradle_has_are_told_beside_their_field(monkeypatch: pytest.MonkeyPatch) -> None:
    route = begun(monkeypatch, CRADLE_PROCEDURE, "W20")
    assert_accepted(route.read("W20.1"))
    answer = Bay(route).enter("reading", "W20", checkpoint="W20.2", **readings(r_D1="10", r_S1="10"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "cannot both be right" in page
    assert 'value="10"' in page
    assert route.record.find_checkpoint("W20.2").current is None  # type: ignore[union-attr]


def test_distances_that_no_mark_has_are_told_and_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    arcs = "distances: [28 in, 30 in], toward: up, laid_out_from: [P, Q]"
    text = MARKED.replace('at: "14 in, 3 in", laid_out_from: [A, F]', arcs).replace("mark: C1", "mark: H1")
    route = begun(monkeypatch, text, "C10")
    far = {**STANDS, "r1": "3", "r2": "4"}
    answer = Bay(route).enter("reading", "C10", checkpoint="C10.1", **far)
    assert answer.status_code < 400
    said = route.record.find_checkpoint("C10.1").last.decision  # type: ignore[union-attr]
    assert said["verdict"] == "too_close"
    assert "No point can be that far from P and from Q at once." in said["explanation"]


def test_a_weld_before_its_tack_is_refused_at_the_tablet(monkeypatch: pytest.MonkeyPatch) -> None:
    route = begun(monkeypatch, WELD_PROCEDURE, "W30")
    route.read("W30.1")
    run = {"settings": "19 V, 260 in/min", "lot": "W-77"}
    page = Bay(route).enter("weld_made", "W30", weld="L1", **run).content.decode()
    assert "L1 is not tacked yet; tack it in W20 and measure before it is welded" in page


def test_a_watch_shorter_than_its_rule_is_refused_and_kept_by_the_gate(
    monkeypatch: pytest.MonkeyPatch, client: Client
) -> None:
    client.force_login(PersonFactory(role=Role.MANAGER))
    short = {**GOOD, "fire_watch_rule": "51B-2019", "fire_watch_minutes": "30"}
    page = client.post(reverse("shop:shop_settings"), short).content.decode()
    assert "NFPA 51B, 2019 asks for 60 minutes at least; 30 is shorter" in page
    route = begun(monkeypatch, WELD_PROCEDURE, "W30")
    settings = route.record.settings
    settings.fire_watch_rule, settings.fire_watch_minutes = "51B-2019", 5
    settings.save()
    route.read("W30.1")
    route.read("W30.2")
    route.later(minutes=31)
    refused = route.read("W30.3")
    told = " ".join(str(reason["text"]) for reason in refused.data["reasons"])
    assert "60 minutes after the last hot work, by NFPA 51B, 2019" in told
