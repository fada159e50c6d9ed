"""How people write the speeds of a machine."""

import pytest

from shop.engineering.errors import QuantityError
from shop.engineering.holes.machines import parse_speeds, set_on_machine


def test_speeds_are_steps_or_a_range() -> None:
    assert parse_speeds("420, 180 270") == (180, 270, 420)
    assert set_on_machine(300, parse_speeds("100…850")).set_rpm == 300
    assert set_on_machine(9000, parse_speeds("100-850")).set_rpm == 850


@pytest.mark.parametrize("text", ["", "fast", "0", "-5", "850…100", "10…20…30", "1.5"])
def test_what_is_no_speed_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_speeds(text)
