"""The sections as one list, and facts that work out what they are asked for and nothing else."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest

from rating.facts import sections
from rating.facts.facts import Facts, KeptFacts, Sections
from rating.facts.plain import NOT_ASKED, Unknown
from rating.facts.section import Section, Working
from rating.season.season import Season

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "sample_ratings"
# what is not a section of its own: rooms and working values that several share
ROOMS = {"breaks", "falling", "worth"}


def test_each_section_is_a_folder_of_its_name_and_one_line_of_the_list():
    """And the facts have an attribute for each of our own."""
    folders = {path.parent.name for path in (ROOT / "rating" / "facts").glob("*/__init__.py")}
    assert set(sections.all_keys()) == folders - ROOMS
    assert list(Sections.__annotations__) == list(sections.all_keys())
    told = re.findall(
        r"^    (\w+)\.SECTION,$", Path(sections.__file__).read_text(encoding="utf-8"), re.MULTILINE
    )
    assert tuple(told) == sections.all_keys()


@pytest.mark.parametrize("section", sections.SECTIONS, ids=lambda one: one.key)
def test_a_section_is_complete(section):
    """A frozen value, what works it out, unless it is handed in, a sentence and tables."""
    assert section.value.__dataclass_params__.frozen
    assert (section.compute is None) or (section.lasting is None)
    assert section.is_handed_in == (section.key == "history")
    assert callable(section.tell)
    assert callable(section.tables)


def worked_out(facts):
    """The sections that facts know by now."""
    known = vars(facts) | vars(vars(facts).get("lasting") or Facts())
    return {key for key in sections.all_keys() if key in known}


@pytest.mark.parametrize(
    ("asked", "needed"),
    [
        ("economics", {"economics"}),
        ("content", {"content"}),
        ("chances", {"chances"}),
        ("completing", {"completing", "economics"}),
        ("values", {"values", "scarcity"}),
        ("returns", {"returns", "economics", "scarcity"}),
        ("earlier", {"earlier", "economics"}),
        ("history", {"history"}),
        (
            "advice",
            {"advice", "economics", "content", "people", "completing", "returns", "scarcity"},
        ),
    ],
)
def test_nothing_is_worked_out_that_is_not_asked_for(asked, needed):
    """Neither another section, nor who is wanted for what costs a box."""
    facts = Season.open(SAMPLE).facts("halyard")
    assert worked_out(facts) == set()
    assert not isinstance(getattr(facts, asked), Unknown)
    assert worked_out(facts) == needed
    assert ("season" in vars(facts)) == (asked in {"values", "returns", "advice"})
    assert getattr(facts, asked) is getattr(facts, asked)


def test_facts_cannot_be_changed():
    """By whoever reads them: neither a section nor what it comes from, nor how cards fall."""
    facts = Season.open(SAMPLE).facts("halyard")
    for name in ("economics", "release", "weather"):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(facts, name, None)
        with pytest.raises(dataclasses.FrozenInstanceError):
            delattr(facts, name)
    with pytest.raises(TypeError):
        facts.collations["hobby"] = None
    with pytest.raises(AttributeError, match="weather"):
        _ = facts.weather


def test_facts_with_one_section_replaced_keep_the_others():
    """A dark section leaves what follows from it as it was."""
    facts = Season.open(SAMPLE).facts("halyard")
    dark = facts.replaced(economics=Unknown("no prices"))
    assert dark.economics == Unknown("no prices")
    assert dark.completing is facts.completing
    assert (dark.release, dark.title, dark.lines) == (facts.release, facts.title, facts.lines)
    assert facts.economics.main.box_price


def test_facts_made_by_hand_hold_what_they_are_given():
    """Any other section was not asked for, nor one that was added; working values come from what there is."""
    own = Section(key="weather", value=Facts, tell=lambda *_: "")
    for kind in (Facts, KeptFacts):
        facts = kind(headline="hobby", weather=7)
        assert (facts.headline, facts.weather, facts.of(own)) == ("hobby", 7, 7)
        assert facts.returns == NOT_ASKED
        assert kind().of(own) == NOT_ASKED
    assert Facts(headline="hobby").of(Working("letters", lambda facts: len(facts.headline))) == 5


def test_facts_name_what_can_be_asked():
    """In a notebook, where names are completed."""
    facts = Season.open(SAMPLE).facts("halyard")
    assert {*sections.all_keys(), "lines", "collations", "title", "headline"} <= set(dir(facts))
    assert repr(facts) == "<facts of halyard>"
