"""Stop, from the bay's first screen: the quick causes at the operation in hand."""

from tests.jobs.bay import Bay
from tests.jobs.desk import give_pins
from tests.jobs.small_route import SmallRoute


def test_it_stands_on_the_bays_first_screen_too(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("T20")
    bay = Bay(route)
    assert "/tablet/stop/" in bay.get("/tablet/").content.decode()
    page = bay.get("/tablet/stop/").content.decode()
    assert "what is wrong at T20" in page
    assert "Part is damaged" in page
    for pausing in ("/tablet/1001/T20/pause/", "/tablet/1001/T20/"):
        assert "/tablet/1001/T20/problem/" in bay.get(pausing).content.decode()


def test_an_empty_bay_says_whom_to_tell(route: SmallRoute) -> None:
    give_pins(route)
    bay = Bay(route)
    route.job.bay = None
    route.job.save(update_fields=["bay"])
    assert "Tell a lead" in bay.get("/tablet/stop/").content.decode()
