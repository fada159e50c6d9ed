"""What the one door answered, in words for whoever typed it."""

from collections.abc import Mapping
from typing import Any

from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from shop.days import moment_words
from shop.entries import OTHER_CONTENT, Answer
from shop.models import Outcome, Person


def answer_words(answer: Answer) -> str:
    """Why an entry was not taken, and what was recorded instead."""
    if answer.outcome == Outcome.CONFLICT:
        return _conflict_words(answer.data["happened"])
    if answer.outcome == OTHER_CONTENT:
        both = {
            "first": payload_words(answer.data["first"]["payload"]),
            "second": payload_words(answer.data["second"]["payload"]),
        }
        return _("This form was recorded already, with %(first)s. You sent it again with %(second)s.") % both
    return str(answer.data["message"])


def payload_words(payload: Mapping[str, Any]) -> str:
    """What an entry on a kit order says."""
    if "eta" in payload:
        return _("%(part)s expected on %(day)s") % {"part": payload["part_number"], "day": payload["eta"]}
    return ", ".join(_part_words(part) for part in payload["parts"]) or _("nothing counted")


def _part_words(part: Mapping[str, Any]) -> str:
    words = [_("%(count)d good") % {"count": part["counted"]}]
    words += [_("%(count)d damaged") % {"count": part["damaged"]}] if part["damaged"] else []
    words += [_("%(count)d wrong") % {"count": part["wrong"]}] if part["wrong"] else []
    return f"{part['part_number']} ({', '.join(words)})"


def _conflict_words(happened: Mapping[str, Any] | None) -> str:
    if happened is None:
        return _(
            "This page was not of this order as it stands. What you typed is kept: look, and record it again."
        )
    at = parse_datetime(happened["received_at"])
    names = {
        "who": Person.objects.filter(pk=happened["signer"]).first() or _("somebody"),
        "when": moment_words(at) if at else "",
        "what": payload_words(happened["payload"]),
    }
    return (
        _(
            "Meanwhile %(who)s recorded %(what)s (%(when)s). What you typed is kept: look at both, then"
            " record it again."
        )
        % names
    )
