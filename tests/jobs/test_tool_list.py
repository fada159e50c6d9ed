"""The tools that the shop owns: entered, changed, withdrawn; refused where nothing could be planned."""

import pytest
from django.test import Client

from shop.models import Tool
from tests.jobs.small_route import SmallRoute

SAW = {"code": "HS-1", "name": "Hole saw", "kind": "hole_saw", "size": "1 1/8 in", "material": "bi_metal"}


@pytest.fixture
def desk(route: SmallRoute) -> Client:
    client = Client()
    client.force_login(route.people["ash"])
    return client


def test_a_tool_is_entered_changed_and_withdrawn(desk: Client) -> None:
    assert "No tool yet" in desk.get("/shop/tools/").content.decode()
    assert desk.post("/shop/tools/new/", SAW).status_code == 302
    assert "HS-1" in desk.get("/shop/tools/").content.decode()
    changed = {**SAW, "size": "1 5/8 in", "is_withdrawn": "on"}
    assert desk.post("/shop/tools/HS-1/", changed).status_code == 302
    row = Tool.objects.get()
    assert (row.size, row.is_withdrawn) == ("1 5/8 in", True)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"size": "large"}, 'class="field-error"'),
        ({"size": "0"}, "above nothing"),
        ({"kind": "drill", "size": "17/65"}, "no stock drill"),
        ({"kind": "machine", "speeds": "0, 100"}, "Write the speeds like"),
        ({"kind": "machine", "speeds": "850…100"}, "Write the speeds like"),
        ({"kind": "extension", "size": "3 lb"}, "above nothing"),
    ],
)
def test_what_no_hole_could_be_planned_with_is_refused(
    desk: Client, changed: dict[str, str], said: str
) -> None:
    answer = desk.post("/shop/tools/new/", {**SAW, **changed})
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Tool.objects.exists()
