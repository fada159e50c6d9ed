"""What was too close to call and is read again is judged with all of its readings, none left out."""

from tests.jobs.small_route import SmallRoute, assert_accepted


def at_the_cut(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))


def test_nobody_reads_until_it_fits(route: SmallRoute) -> None:
    """29 5/8 is just at the limit. A second reading that alone would conform does not wipe the first out."""
    at_the_cut(route)
    assert route.read("C20.2", value="29 5/8").data["verdict"] == "too_close"
    answer = route.read("C20.2", "moss", value="29 9/16")
    assert answer.data["verdict"] == "too_close"
    assert "2 readings" in answer.data["explanation"]
    standing = route.record.find_checkpoint("C20.2")
    assert standing is not None
    assert standing.current is not None
    earlier = standing.current.decision["together"]["earlier"]
    assert [row["readings"]["value"]["entered"] for row in earlier] == ["29 5/8"]
    assert earlier[0]["person"] == route.people["fenn"].pk


def test_readings_of_several_people_can_settle_it(route: SmallRoute) -> None:
    at_the_cut(route)
    assert route.read("C20.2", value="29 19/32").data["verdict"] == "too_close"
    answer = route.read("C20.2", "moss", value="29 17/32")
    assert answer.data["verdict"] == "conforms"
    page = route.record.find_checkpoint("C20.2")
    assert page is not None
    assert page.is_closed


def test_what_does_not_conform_by_itself_is_not_made_good_by_another_reading(route: SmallRoute) -> None:
    at_the_cut(route)
    assert route.read("C20.2", value="29 5/8").data["verdict"] == "too_close"
    assert route.read("C20.2", "moss", value="29 11/16").data["verdict"] == "does_not_conform"
