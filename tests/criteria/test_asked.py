"""The criteria that only ask: what they compute later they do not pretend to compute now."""

from __future__ import annotations

import importlib
import pkgutil

import pytest

import criteria
from rating.criterion import GUIDE

NAMES = sorted(one.name for one in pkgutil.iter_modules(criteria.__path__))
ASKED = ("design", "finish")


def criterion(name):
    return importlib.import_module(f"criteria.{name}").CRITERION


@pytest.mark.parametrize("name", ASKED)
def test_it_asks_and_computes_nothing(facts, name):
    """No function, no scale, no answer from facts."""
    one = criterion(name)
    assert (one.find, one.scale, one.ask_of(facts())) == (None, None, None)


def test_the_others_compute():
    """Twelve of fourteen."""
    assert [name for name in NAMES if criterion(name).find is not None] == [
        "access", "building", "chase", "opening", "outlay", "record", "relics", "returns", "rookies",
        "roster", "scarcity", "signatures",
    ]  # fmt: skip
    assert sorted(ASKED) == [name for name in NAMES if criterion(name).find is None]


@pytest.mark.parametrize("name", NAMES)
def test_the_guidance_says_five_different_things(name):
    """One text for each of 0, 25, 50, 75 and 100; the file is named after the key."""
    one = criterion(name)
    assert one.key == name
    assert len(set(one.guidance)) == len(GUIDE)
    assert not any(words.endswith(".") for words in one.guidance)


def test_only_the_finish_is_provisional():
    """It cannot be known before the cards are in hand."""
    assert [name for name in NAMES if criterion(name).provisional_until] == ["finish"]
    assert criterion("finish").provisional_until == "in-hand"


@pytest.mark.parametrize("name", ["access", "outlay", "record", "relics", "rookies", "roster", "signatures"])
def test_a_reason_is_a_sentence_with_its_numbers(facts, edition, name):
    """It ends with a full stop and holds a digit; the same facts give the same answer."""
    given = facts(history={"editions": (edition("2030", "100.00", "90.00"),)})
    first, second = criterion(name).ask_of(given), criterion(name).ask_of(given)
    assert first == second
    assert first.reason[0].isupper() or first.reason[0].isdigit() or first.reason[0] == "$"
    assert first.reason.endswith(".")
    assert any(letter.isdigit() for letter in first.reason)
    assert first.evidence
