"""People who wander through the pages and send their forms with nonsense in them, real fields and all."""

import random
from collections.abc import Iterator, Mapping
from http import HTTPStatus
from typing import Any
from urllib.parse import urlsplit
from xml.etree.ElementTree import Element

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from tests.plain_browser import PlainBrowser, PlainForm, offered_by, words_of
from tests.prove.fuzzing import NASTY, Outcome

POSTS_A_PAGE = 6
# Where a wanderer begins anew; after that it goes by the links that it finds.
BEGINNINGS = (
    *("/", "/jobs/", "/parts/", "/parts/kits/", "/parts/missing/", "/procedures/", "/floor/", "/week/"),
    *("/plan/", "/bench/", "/shop/", "/tablet/", "/queue/", "/data/", "/me/"),
)
FILES = (b"", b"\xff\xfe\x00", b"a,b\n1,2\n", b"\x89PNG\r\n\x1a\n", b"format: 1\n", b"PK\x03\x04")


def wander(browsers: Mapping[str, PlainBrowser], *, count: int, seed: int) -> Outcome:
    """Post nonsense by the forms that stand in pages.

    Args:
        browsers: who wanders, by name; each raises what a view raises, so that it can be told.
        count: how many posts; seed: the same seed goes the same way.
    """
    dice, found, names = random.Random(seed), Outcome(), sorted(browsers)
    while (left := count - sum(found.statuses.values())) > 0:
        who = dice.choice(names)
        browser = browsers[who]
        if not _go_on(browser, dice, found, who):
            continue
        forms = [form for form in browser.forms() if _takes_nonsense(form)]
        for _ in range(min(left, POSTS_A_PAGE) if forms else 0):
            _send(browser, dice.choice(forms), dice, found, who)
    return found


def _go_on(browser: PlainBrowser, dice: random.Random, found: Outcome, who: str) -> bool:
    """On by one of the links of the page, or anew; whether a page stands there."""
    links = list(_links(browser)) if browser.has_page else []
    address = dice.choice(links) if links and dice.random() < 0.8 else dice.choice(BEGINNINGS)
    try:
        browser.open(address)
    except Exception as error:  # whatever a view raises is what is looked for
        found.faults.append(f"{who} {address} {error!r}"[:600])
        return False
    if browser.status >= HTTPStatus.INTERNAL_SERVER_ERROR:
        found.faults.append(f"{who} {address} {browser.status}")
    return browser.has_page


def _links(browser: PlainBrowser) -> Iterator[str]:
    for link in browser.page.iter("a"):
        address = link.get("href", "")
        if address.startswith(("/", "?")) and not address.startswith("/admin/"):
            yield address


def _takes_nonsense(form: PlainForm) -> bool:
    """Nobody signs out, ends their turn or has their tablet or place here taken, or all would be nobody."""
    ends = {reverse("shop:sign_out"), reverse("jobs:tablet_turn_end")}
    address = form.element.get("action", "")
    kept = ("/leave/", "/revoke/", "/shop/people/")
    is_post = form.element.get("method", "get").lower() == "post"
    return is_post and address not in ends and not any(part in address for part in kept)


def _send(browser: PlainBrowser, form: PlainForm, dice: random.Random, found: Outcome, who: str) -> None:
    sent = _filled(form, dice)
    address = browser.where_goes(form)
    if not _takes_nonsense_at(address):
        return
    try:
        status = browser.client.post(address, sent).status_code
    except Exception as error:  # whatever a view raises is what is looked for
        status = HTTPStatus.INTERNAL_SERVER_ERROR
        found.faults.append(f"{who} {address} {error!r} {sent!r}"[:900])
    else:
        if status >= HTTPStatus.INTERNAL_SERVER_ERROR:
            found.faults.append(f"{who} {address} {status} {sent!r}"[:900])
    found.statuses[int(status)] += 1


def _takes_nonsense_at(address: str) -> bool:
    path = urlsplit(address).path
    return not any(part in path for part in ("/leave/", "/revoke/", "/shop/people/"))


def _filled(form: PlainForm, dice: random.Random) -> dict[str, Any]:
    """The form as it stands, with nonsense in some of its fields, now and then in one that nobody sees."""
    sent: dict[str, Any] = dict(form.values())
    for control in form.controls:
        name = control.get("name", "")
        hidden = control.get("type") == "hidden" or control.tag == "button"
        if name and name != "csrfmiddlewaretoken" and dice.random() < (0.05 if hidden else 0.7):
            sent[name] = _nonsense(control, dice)
    buttons = [b for b in form.buttons if b.get("name")]
    if buttons and (chosen := dice.choice(buttons)):
        sent[chosen.get("name", "")] = chosen.get("value", words_of(chosen))
    return sent


def _nonsense(control: Element, dice: random.Random) -> Any:
    if control.get("type") == "file":
        return SimpleUploadedFile("x.csv", dice.choice(FILES))
    offered = offered_by(control)
    if offered and dice.random() < 0.7:
        return dice.choice(offered)
    return dice.choice(NASTY)
