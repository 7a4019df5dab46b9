"""Trying a criterion module out: every promise of the contract is broken once, and the breach is named."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from rating import contract
from rating.criterion import Criterion, Finding, NotApplicable, Unknown, scale
from rating.facts.content.value import Content
from rating.facts.context import Buying, SeasonContext
from rating.facts.facts import Facts
from rating.facts.history.value import History
from rating.registry import Module

CONTENT = Content(
    cards=10,
    kinds={"base": 10},
    subsets=(),
    teams=(),
    without_team=0,
    rookies=0,
    variations=0,
    redemptions=2,
    subjects=10,
    tiers=(),
    signed_on_card=0,
    signed_on_stickers=0,
    signed_unknown=0,
    signers=0,
    relics_by={},
    has_signatures=False,
    has_relics=False,
)
FACTS = Facts(
    release="deep-harbour",
    title="Marlow 2031 Deep Harbour",
    maker="Marlow",
    line="Deep Harbour",
    released_on=date(2031, 3, 12),
    headline="",
    season=SeasonContext(
        name="Trial 2031", currency="USD", teams=(), rookies=None, classes=(), buying=Buying(), aliases={}
    ),
    economics=Unknown("there is no price yet"),
    content=CONTENT,
    people=Unknown("there is no rookies.csv"),
    history=History(line="Deep Harbour", since=None, editions=()),
)


def post(facts):
    return Finding(measure=facts.content.redemptions, reason="2 cards come by post.", spread=2)


def module(find=post, **more):
    """A module around a function, as the registry would make it."""
    fields = {
        "key": "waiting",
        "group": "object",
        "question": "How many cards come by post, later?",
        "guidance": ("dozens", "many", "some", "a few", "none"),
        "scale": scale("linear", "redemptions", (0, 100), (10, 50), (40, 0)) if find else None,
        "needs": ("content",) if find else (),
        "find": find,
    }
    return Module(criterion=Criterion(**(fields | more)), origin="mine", code_hash="0" * 64)


def test_a_sound_module_keeps_every_promise():
    """Loading, question and guidance, the answer for every release, and silence where a section is dark."""
    report = contract.run(module(), [FACTS, FACTS])
    assert report.failed == []
    assert report.passed == [
        "it loads, for api 1, as waiting in the group object",
        "it asks one question and says what 0, 25, 50, 75 and 100 look like",
        "it answers for 2 releases, twice alike, with a reason and a measure",
        "it says unknown, and does not fail, where a section of the facts is unknown",
    ]


def test_a_module_that_only_asks_has_nothing_to_compute():
    """It says so, and is not run on facts."""
    report = contract.run(module(find=None), [FACTS])
    assert report.failed == []
    assert report.passed[-1] == "it asks a person and computes nothing"


def turns():
    """A function that says something else each time."""
    count = iter(range(100))
    return lambda _: Finding(measure=next(count), reason="It depends.")


@pytest.mark.parametrize(
    ("find", "told"),
    [
        (lambda facts: facts.content.weather, "failed: AttributeError"),
        (lambda _: 1 / 0, "failed: ZeroDivisionError"),
        (lambda _: None, "gave NoneType, which is not an answer"),
        (lambda _: 50, "gave int, which is not an answer"),
        (lambda _: Finding(measure=2, reason="No full stop"), "ends without a full stop"),
        (lambda _: Finding(measure=2, reason="  "), "a finding needs a reason"),
        (lambda _: Finding(measure=None, reason="Nothing."), "either a measure or a declared score"),
        (lambda _: Finding(measure=2, declared=50, reason="Both."), "either a measure or a declared score"),
        (lambda _: Finding(measure=None, declared=101, reason="Much."), "from 0 to 100, got 101"),
        (lambda _: Finding(measure=None, declared=50.5, reason="Half."), "whole number"),
        (lambda _: Finding(measure=2, spread=51, reason="Wide."), "from 0 to 50 points, got 51"),
        (lambda _: Finding(measure=2, spread=2.5, reason="Half."), "whole number"),
        (lambda _: Finding(measure=2, evidence="words", reason="Two."), "a tuple of texts"),
        (lambda _: Finding(measure=float("nan"), reason="Not a number."), "must be a finite number"),
        (lambda _: Finding(measure=float("inf"), reason="Without end."), "must be a finite number"),
        (lambda _: Finding(measure=Decimal("NaN"), reason="Not a number."), "must be a finite number"),
        (lambda _: Unknown(" "), "does not say why there is no score"),
        (lambda _: NotApplicable(""), "does not say why there is no score"),
        (turns(), "does not give the same answer twice"),
    ],
)
def test_each_broken_promise_is_named(find, told):
    """With the release it was broken for."""
    report = contract.run(module(find), [FACTS])
    assert any(line.startswith("deep-harbour: ") and told in line for line in report.failed), report.failed
    assert not any("twice alike" in line for line in report.passed)


def test_a_module_that_cannot_bear_a_dark_section_is_named():
    """It names content as needed, and still reads people without looking."""
    report = contract.run(
        module(lambda facts: Finding(measure=len(facts.people.teams_served), reason="1 team.")),
        [FACTS.replaced(people=CONTENT)],
    )
    assert any(line.startswith("with a section unknown: ") for line in report.failed)


@pytest.mark.parametrize(
    ("measure", "kept"),
    [
        (Fraction(2, 3), "0.666667"),
        (Decimal(1234567), "1234570"),
        (0.1, "0.1"),
        (3, "3"),
    ],
)
def test_a_measure_is_kept_to_six_digits(measure, kept):
    """Exact in, six significant digits kept; a float is no more than that."""
    assert str(Finding(measure=measure, reason="So.").kept) == kept


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"api": 2}, "api 2, this program has api 1"),
        ({"key": "Not A Key"}, "not a key for a criterion"),
        ({"question": "How many."}, "question mark"),
        ({"guidance": ("a", "b", "c", "d")}, "five texts"),
        ({"guidance": ("a", "b", "c", "d", " ")}, "five texts"),
        ({"needs": ("weather",)}, "no section weather"),
        ({"scale": None}, "both a function and a scale"),
        ({"spread": 51}, "from 0 to 50"),
        ({"provisional_until": "later"}, "no stage 'later'"),
    ],
)
def test_a_criterion_that_breaks_its_own_form_cannot_be_made(change, told):
    """The error has the wrong value in it."""
    with pytest.raises(ValueError, match=told):
        module(**change)
