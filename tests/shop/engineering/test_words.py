"""Sentences that can be translated at the edge."""

import copy
import json
import pickle

import pytest

from shop.engineering.quantities import QuantityError, parse_quantity
from shop.engineering.words import say

GERMAN = {
    "%(given)s is a unit of %(dimension)s; here a %(other)s is asked, in %(unit)s": (
        "%(given)s misst %(dimension)s; gefragt ist %(other)s in %(unit)s"
    ),
    "mass": "Masse",
    "torque": "Drehmoment",
}


def test_a_sentence_and_its_parts_are_translated() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity("65 lb").to("N·m")
    translated = caught.value.message.translated(lambda text: GERMAN.get(text, text))
    assert translated == "lb misst Masse; gefragt ist Drehmoment in N·m"


def test_what_was_typed_is_not_taken_for_a_template() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity("5 %(evil)s")
    assert "%(evil)s" in caught.value.message
    assert caught.value.message.translated(str) == caught.value.message


def test_a_sentence_is_plain_text_to_everyone_else() -> None:
    words = say("%(count)d of %(what)s", count=3, what=say("bolts"))
    assert json.dumps(words) == '"3 of bolts"'
    for copied in (copy.deepcopy(words), pickle.loads(pickle.dumps(words))):
        assert (copied, copied.template, copied.params) == (words, words.template, words.params)
