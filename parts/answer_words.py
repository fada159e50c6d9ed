"""What the one door answered, in words for whoever typed it."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from parts.deliveries import CountedPart
from parts.models import KitAnswer
from parts.wording import pieces_words
from shop.days import day_words, moment_words
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
        day = day_words(dt.date.fromisoformat(payload["eta"]))
        return _("%(part)s expected on %(day)s") % {"part": payload["part_number"], "day": day}
    if "parts" in payload:
        return ", ".join(_part_words(part) for part in payload["parts"]) or _("nothing counted")
    return _movement_words(payload)


def _movement_words(payload: Mapping[str, Any]) -> str:
    """What an entry says that is no delivery: a recount, a purchase, a return, photos."""
    if "receipt_line" in payload:
        return _("counted again: %(part)s") % {"part": _part_words(payload)}
    if "bought_from" in payload:
        names = {"count": payload["quantity"], "part": payload["kit_line"], "shop": payload["bought_from"]}
        return _("%(count)d of %(part)s bought from %(shop)s") % names
    if "answer" in payload:
        names = {"to": payload["to"], "answer": KitAnswer(payload["answer"]).label}
        return _("about the newer list %(to)s: %(answer)s") % names
    if "told_on" in payload:
        day = day_words(dt.date.fromisoformat(payload["told_on"]))
        return _("the carrier told on %(day)s") % {"day": day}
    if "photos" in payload:
        return _("photos of %(part)s") % {"part": payload["part_number"]}
    return _("%(count)d of %(part)s sent back") % {
        "count": payload["quantity"],
        "part": payload["part_number"],
    }


def _part_words(part: Mapping[str, Any]) -> str:
    pieces = CountedPart(part["part_number"], part["counted"], part["damaged"], part["wrong"])
    return f"{pieces.part_number} ({pieces_words(pieces)})"


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
