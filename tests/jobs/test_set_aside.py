"""Every gate by name: what may be set aside, by whom alone; and what nobody may, whoever asks."""

import pytest

from jobs.models import Override
from shop.entries import Answer
from shop.models import SignedHow
from tests.jobs.small_route import SmallRoute, assert_accepted

LEAD, MANAGER = "lind", "ash"
EVERYBODY = ("wren", "fenn", "pike", LEAD, MANAGER)
# The operation, the reason that stands against it, who alone may set it aside.
ALLOWED = {
    "operation before it": ("T20", "after:T10", LEAD),
    "risk of a part before it rolls again": ("T10", "risk:TC-ARM", MANAGER),
    "critical part where it is needed": ("A10", "short:TC-ARM", MANAGER),
    "other part where it is needed": ("A10", "short:TC-BOLT", LEAD),
    "baseline dimensions": ("C20", "open:I10.1", LEAD),
    "coupon": ("W30", "open:W10.1", LEAD),
    "trial fit": ("W30", "open:W10.2", LEAD),
    "measured tacked position": ("W30", "open:W20.2", LEAD),
    "re-measurement": ("A10", "open:W40.2", LEAD),
}
NEVER = {
    "authority before it stops rolling": ("T10", "authority"),
    "authority to cut": ("C20", "authority"),
    "kit counted": ("T10", "kit_not_counted"),
    "datums": ("C20", "open:T20.1"),
    "level": ("C20", "open:T20.2"),
    "marks": ("C20", "open:C10.1"),
    "second person's own reading of the marks": ("C20", "open:C10.2"),
    "permit of a cut": ("C20", "open:C20.1"),
    "permit of a tack": ("W20", "open:W20.1"),
    "permit of a finish weld": ("W30", "open:W30.1"),
    "weld inspection before assembly": ("A10", "open:W40.1"),
    "weld inspection before primer": ("W50", "open:W40.1"),
    "fire watch": ("A10", "open:W30.3"),
    "suspension joint before its wheels": ("A20", "open:A10.1"),
    "suspension joint before it is driven": ("L10", "open:A10.1"),
    "suspension joint at ride height": ("L10", "open:A10.2"),
    "brake joint": ("L10", "open:A10.3"),
    "steering joint": ("L10", "open:A10.4"),
    "wheel nuts": ("L10", "open:A20.1"),
    "brakes hold": ("L10", "open:A20.2"),
}


def set_aside(route: SmallRoute, who: str, operation: str, code: str, how: str = SignedHow.PIN) -> Answer:
    return route.send("override", operation, who, how, reason_code=code, reason="Known to be good")


@pytest.mark.parametrize("gate", ALLOWED)
def test_it_may_be_set_aside_by_name_and_by_nobody_else(route: SmallRoute, gate: str) -> None:
    operation, code, who = ALLOWED[gate]
    route.authorise()
    route.count_kit(TC_ARM=1, TC_BOLT=3)
    for other in EVERYBODY:
        if other != who:
            assert not set_aside(route, other, operation, code).accepted, other
    assert not set_aside(route, who, operation, code, SignedHow.DESK).accepted  # without the PIN
    assert not Override.objects.exists()
    assert_accepted(set_aside(route, who, operation, code))
    assert Override.objects.get().person.username == who


@pytest.mark.parametrize("gate", NEVER)
def test_it_is_set_aside_by_nobody(route: SmallRoute, gate: str) -> None:
    operation, code = NEVER[gate]
    words = [str(set_aside(route, who, operation, code).data) for who in EVERYBODY]
    assert "Nobody may set this aside" in words[-1]
    assert "Nobody may set this aside" in words[-2]
    assert not Override.objects.exists()


@pytest.mark.parametrize(("operation", "code"), [("release", "open:A10.1"), ("C20", "lapsed:T20.1")])
def test_neither_the_release_nor_what_has_lapsed(route: SmallRoute, operation: str, code: str) -> None:
    route.up_to("C20")
    assert_accepted(route.send("move", "move", LEAD, bay="1", stands="on_dolly"))
    for who in EVERYBODY:
        assert not set_aside(route, who, operation, code).accepted


def test_what_was_recorded_badly_is_decided_about_and_never_set_aside(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.read("W20.2", reason="Read again", left="15", right="15"))
    for who in (LEAD, MANAGER):
        assert "Nobody may set this aside" in str(set_aside(route, who, "W30", "open:W20.2").data)
