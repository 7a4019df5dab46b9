"""A section that is added: its own place and one line of the list, and it is everywhere."""

from __future__ import annotations

import json
from dataclasses import dataclass
from decimal import Decimal

import openpyxl
import pytest

from rating.criterion import Criterion, Finding, scale
from rating.facts import economics, sections
from rating.facts.blocks import Listing
from rating.facts.plain import Unknown
from rating.facts.section import Section
from rating.facts.stored import loaded
from rating.season.season import Season


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """What a box weighs in grams, and what a gram costs."""

    grams: int
    per_gram: Decimal


DARK = Unknown("there is no price to weigh it by")


def weighed(facts):
    """1.8 g a card, and 40 g for the box."""
    main = facts.of(economics.SECTION).main
    if main.box_price is None:
        return DARK
    grams = int(main.cards_per_box * Decimal("1.8") + 40)
    return Weight(grams=grams, per_gram=main.box_price / grams)


def told(weight, facts):
    return f"A {facts.headline} box weighs {weight.grams} grams."


def shown(weight, _):
    yield Listing(headers=("what", "grams"), rows=[("box", weight.grams)], right="grams")
    yield "Sleeves are not weighed."


WEIGHT = Section(key="weight", value=Weight, compute=weighed, tell=told, tables=shown)
# 14 packs of 8 are 112 cards: 201.6 and 40 grams
SENTENCE = "A hobby box weighs 241 grams."


@pytest.fixture(autouse=True)
def added(monkeypatch):
    """The one line."""
    monkeypatch.setattr(sections, "SECTIONS", (*sections.SECTIONS, WEIGHT))


def test_the_terminal_shows_its_tables_and_says_its_sentence(run, small_season):
    """Among all and alone; where it is unknown it says why; a wrong one is told that it is there."""
    assert f"weight      {SENTENCE}" in run("facts", "deep-harbour", "--season", small_season)[1]
    out = run("facts", "deep-harbour", "--all", "--season", small_season)[1]
    under = out.partition("\nWeight\n------\n")[2].splitlines()
    assert under[:2] == [SENTENCE, ""]
    assert [line.split() for line in (under[2], under[4])] == [["what", "grams"], ["box", "241"]]
    assert under[5] == "Sleeves are not weighed."
    alone = run("facts", "deep-harbour", "--section", "weight", "--season", small_season)[1]
    assert SENTENCE in alone
    assert "investment advice" not in alone
    dark = run("facts", "low-water", "--section", "weight", "--season", small_season)[1]
    assert "Not known: there is no price to weigh it by." in dark
    assert "earlier, weight" in run("facts", "deep-harbour", "--section", "hue", "--season", small_season)[2]


def test_a_script_gets_its_value(answer, small_season):
    """200 over 241 grams, under its key."""
    got = answer("facts", "deep-harbour", "--section", "weight", "--season", small_season)
    assert got["weight"] == {"grams": 241, "per_gram": pytest.approx(200 / 241)}
    assert list(answer("facts", "deep-harbour", "--season", small_season))[-2:] == ["weight", "caution"]


def test_a_review_keeps_it_and_the_workbook_tells_it(run, small_season, tmp_path):
    """Decimals as text, read back as the value it was; the same sentence in Facts in short."""
    assert run("grade", "deep-harbour", "--record", "--season", small_season)[0] == 0
    season = Season.open(small_season)
    kept = season.recorded.facts(season.recorded.current["deep-harbour"])
    assert kept["weight"]["grams"] == 241
    facts = loaded(json.loads(json.dumps(kept)), season.files.context)
    assert facts.weight == facts.of(WEIGHT) == season.facts("deep-harbour").weight
    assert run("export", "workbook", "--into", tmp_path, "--season", small_season)[0] == 0
    (path,) = tmp_path.glob("*.xlsx")
    cells = [
        (sheet.cell(row, 1).value, sheet.cell(row, 3).value)
        for sheet in openpyxl.load_workbook(path)
        for row in range(1, sheet.max_row + 1)
    ]
    assert ("weight", SENTENCE) in cells


def test_a_criterion_can_need_it(small_season):
    """And asks it by its name."""
    criterion = Criterion(
        key="postage",
        group="money",
        question="What does a box weigh?",
        scale=scale("linear", "grams", (0, 100), (500, 50), (2000, 0)),
        guidance=("a crate", "heavy", "usual", "light", "a letter"),
        needs=("weight",),
        find=lambda facts: Finding(measure=facts.weight.grams, reason="It was weighed."),
    )
    season = Season.open(small_season)
    assert criterion.ask_of(season.facts("deep-harbour")).measure == 241
    assert criterion.ask_of(season.facts("low-water")) == DARK
