"""Posting nonsense at every address: the site answers with its own words, never with an error of its own."""

import random
import re
import uuid
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from pathlib import Path
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import NoReverseMatch, URLPattern, URLResolver, get_resolver, reverse

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
# What people, browsers and tools put into fields.
NASTY = (
    *("", " ", "0", "-1", "-0", "1", "7", "9999999999", "1e999", "10^400", "nan", "inf", "0x10", "1/0"),
    *("29 1/2", "29 1/2 in", "749.3 mm", "-0° 45'", "65 +5 -0 lbf·ft", "±", "1,5", "1.2.3", "٣", "½"),
    *("2026-02-30", "2026-11-25", "25/11/2026", "24:61", "yes", "no", "on", "null", "[]", "{}"),
    *("TW-1", "TP-1", "C10", "C10.1", "lind", "reading", "start", "finish", "<script>", "' OR 1=1 --"),
    *("\u202eright to left", "😀" * 40, "a" * 10_000, "line\nline\r\nline", "\ud7ff", "é" * 300, "../../etc"),
    *("format: 1\na: &a [*a]", "x,y\n1,2,3", '{"a": 1', "%00", "=cmd()"),
)
SIGNS_OUT = "shop:sign_out"  # or everybody would soon be nobody
WORDS = re.compile(r'name="([a-z0-9_]+)"')


@dataclass
class Outcome:
    """What came back: how often each status, and what went wrong where."""

    statuses: Counter[int] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


def fuzz(clients: Mapping[str, Client], values: Mapping[str, list[Any]], *, count: int, seed: int) -> Outcome:
    """Post nonsense.

    Args:
        clients: who posts, by name; each raises what a view raises, so that it can be told.
        values: what the converters of addresses may be given, by their names: rows that exist.
        count: how many posts; seed: the same seed posts the same.
    """
    dice, found, names = random.Random(seed), Outcome(), sorted(_field_names())
    patterns = sorted(
        (each for each in _patterns(get_resolver(), "") if each[0] != SIGNS_OUT), key=lambda each: each[0]
    )
    who_names = sorted(clients)
    while sum(found.statuses.values()) < count:
        name, pattern = dice.choice(patterns)
        who = dice.choice(who_names)
        try:
            address = reverse(name, kwargs=_arguments(pattern, values, dice))
        except NoReverseMatch:
            continue
        _post(clients[who], address, _fields(names, dice), found, who=who)
    return found


def _post(client: Client, address: str, sent: dict[str, Any], found: Outcome, *, who: str) -> None:
    try:
        status = client.post(address, sent).status_code
    except Exception as error:  # whatever a view raises is what is looked for
        status = HTTPStatus.INTERNAL_SERVER_ERROR
        found.faults.append(f"{who} {address} {error!r} {dict(list(sent.items())[:8])!r}"[:600])
    else:
        if status >= HTTPStatus.INTERNAL_SERVER_ERROR:
            found.faults.append(f"{who} {address} {status}")
    found.statuses[int(status)] += 1


def _field_names() -> set[str]:
    return {name for path in TEMPLATES.rglob("*.html") for name in WORDS.findall(path.read_text())} | {
        *("p_checkpoint", "p_value", "p_left", "p_right", "p_reason", "p_text", "p_limit", "p_instrument"),
        *("p_disposition", "p_nonconformance", "p_bay", "p_stands", "p_scope", "p_given_by", "pin", "number"),
        *("amount", "quantity", "eta", "username", "password", "csv", "file", "revision", "procedure"),
    }


def _fields(names: list[str], dice: random.Random) -> dict[str, Any]:
    chosen = dice.sample(names, k=min(len(names), dice.randint(1, 14)))
    sent: dict[str, Any] = {name: dice.choice(NASTY) for name in chosen}
    sent |= {"entry_id": str(uuid.UUID(int=dice.getrandbits(128))), "saw": dice.choice(["", "x"])}
    sent["kind"] = dice.choice(
        ["start", "reading", "problem", "disposition", "move", "omit", "deviation", "x"]
    )
    sent["subject"] = dice.choice(["C10", "A10", "I10", "", "authority", "Z99"])
    if dice.random() < 0.15:
        content = dice.choice([b"", b"\xff\xfe\x00", b"a,b\n1,2\n", b"\x89PNG\r\n\x1a\n", b"format: 1\n"])
        sent[dice.choice(["file", "photo", "slip", "kit", "procedure"])] = SimpleUploadedFile(
            "x.csv", content
        )
    return sent


def _patterns(resolver: URLResolver, space: str) -> Iterator[tuple[str, URLPattern]]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            yield f"{space}{entry.name}", entry
        elif entry.namespace != "admin":
            yield from _patterns(entry, f"{space}{entry.namespace}:" if entry.namespace else space)


def _arguments(pattern: URLPattern, values: Mapping[str, list[Any]], dice: random.Random) -> dict[str, Any]:
    return {name: dice.choice(values.get(name) or [1]) for name in getattr(pattern.pattern, "converters", {})}
