"""Stop: problem. Two touches from any operation."""

from jobs.models import Nonconformance
from tests.jobs.bay import Bay
from tests.jobs.desk import give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted


def test_one_touch_opens_the_page_and_one_records_it(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("T20")
    bay = Bay(route)
    assert "/tablet/1001/T20/problem/" in bay.page("T20")
    assert "Part does not fit" in bay.get("/tablet/1001/T20/problem/").content.decode()
    assert bay.enter("problem", "T20", text="Part does not fit").status_code == 302
    found = Nonconformance.objects.get()
    assert (found.text, found.opened_by.username) == ("Part does not fit", "fenn")


def test_without_words_it_asks_what_is_wrong(route: SmallRoute) -> None:
    give_pins(route)
    bay = Bay(route)
    answer = bay.enter("problem", "I10", text=" ")
    assert answer.status_code == 422
    assert "Say what is wrong" in answer.content.decode()
    assert not Nonconformance.objects.exists()


def test_an_open_problem_stands_on_the_bays_page(route: SmallRoute) -> None:
    give_pins(route)
    assert_accepted(route.send("problem", "I10", "fenn", text="Rust under the battery"))
    assert "Rust under the battery" in Bay(route).get("/tablet/").content.decode()
