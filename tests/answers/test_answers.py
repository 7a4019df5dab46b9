"""What commands answer to scripts: literal values in, the keys of the contract out, and nothing but them."""

from __future__ import annotations

import ast
import dataclasses
import json
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from rating.answers import doubt, files, intake, ledger, parts, stability, standings, tables, what_if
from rating.doubt.landing import Landing, Margin, Move
from rating.doubt.spans import CriterionSpans, Span
from rating.doubt.stability import Stability
from rating.doubt.swaps import Swap
from rating.doubt.what_if import Outcome, WhatIf
from rating.errors import Problem
from rating.facts.plain import as_json_values
from rating.release.intake.values import IntakeResult, SetAside
from rating.review import PriceAdvice
from rating.season.beside import Beside
from rating.season.settings.help_lines import HelpLine, HelpLines
from rating.standings import Audit, Standing

ROOM = Path(__file__).resolve().parents[2] / "rating" / "answers"

APART = Standing(
    release="cordage",
    title="Cordage",
    rank=None,
    class_rank=None,
    price_class="",
    tied=False,
    grade=523,
    lowest=400,
    highest=650,
    verdict="",
    stage="preview",
    partial=True,
    ranked_apart=True,
    movement=None,
    review="ab12",
    seq=3,
    released_on="2031-05-02",
    published_on="2031-04-28",
    log_price="4.2",
    rubric="cd34",
)
FOURTH = dataclasses.replace(
    APART, rank=4, class_rank=2, price_class="mid", tied=True, verdict="good", movement=-1,
    partial=False, ranked_apart=False, lowest=None, highest=None,
)  # fmt: skip


BESIDE = Beside(
    price_line="Decent, but wait.",
    says="wait",
    price_advice=PriceAdvice(
        price="178.00",
        landed="195.57",
        even_price="62.80",
        entertainment_price="135.20",
        mean="75.10",
        p_return="0.04",
        as_of="2031-05-18",
        mean_low="60.10",
        mean_high="93.90",
        p_return_low="0.01",
        p_return_high="0.11",
        values_as_of="2031-05-16",
        still=("you build the set",),
    ),
    as_computed=478,
    remark="Overruled.",
)


@pytest.mark.parametrize("path", sorted(ROOM.glob("*.py")), ids=lambda path: path.stem)
def test_an_answer_touches_no_file_and_prints_nothing(path):
    """The room maps values; what reads, writes or prints is not even in reach."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    modules = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    modules |= {name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names}
    named = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    assert not modules & {"typer", "pathlib", "os", "io", "sys", "json", "sqlite3", "rating.season.folder"}
    assert not named & {"open", "print"}


def test_tenths_become_points_and_nothing_stays_nothing():
    """One rule for every grade, score and point."""
    assert (parts.points(523), parts.points(-5), parts.points(0), parts.points(None)) == (52.3, -0.5, 0, None)


def test_a_ranking_has_the_keys_that_scripts_rely_on():
    """A release shown apart has neither ranks, class nor verdict, and keeps its grade."""
    told = standings.standings(
        [FOURTH, APART],
        season="Harbour",
        as_of=date(2031, 5, 3),
        rubric="cd34",
        to_come=[("oakum", None), ("undertow", date(2031, 6, 1))],
        beside={"cordage": BESIDE},
    )
    first, second = told.pop("standings")
    assert told == {
        "season": "Harbour",
        "as_of": "2031-05-03",
        "rubric": "cd34",
        "to_come": [{"release": "oakum", "date": None}, {"release": "undertow", "date": "2031-06-01"}],
    }
    assert first == {
        "release": "cordage",
        "title": "Cordage",
        "rank": 4,
        "class_rank": 2,
        "class": "mid",
        "tied": True,
        "grade": 52.3,
        "lowest": None,
        "highest": None,
        "verdict": "good",
        "stage": "preview",
        "partial": False,
        "ranked_apart": False,
        "movement": -1,
        "published_on": "2031-04-28",
        "rubric": "cd34",
        "review": "ab12",
        "price_line": "Decent, but wait.",
        "price_advice": {
            "price": 178.0,
            "landed": 195.57,
            "even_price": 62.8,
            "entertainment_price": 135.2,
            "mean": 75.1,
            "p_return": 0.04,
            "p_return_landed": None,
            "mean_low": 60.1,
            "mean_high": 93.9,
            "p_return_low": 0.01,
            "p_return_high": 0.11,
            "as_of": "2031-05-18",
            "values_as_of": "2031-05-16",
            "is_carried": False,
            "still": ["you build the set"],
        },
        "grade_as_computed": 47.8,
        "remark": "Overruled.",
    }
    assert {key: second[key] for key in second if second[key] != first[key]} == {
        "rank": None,
        "class_rank": None,
        "class": None,
        "tied": False,
        "lowest": 40.0,
        "highest": 65.0,
        "verdict": None,
        "partial": True,
        "ranked_apart": True,
        "movement": None,
    }


def test_an_audit_tells_each_correlation_as_a_number():
    """One that cannot be told is null, not 0."""
    found = Audit(
        releases=7,
        with_price={"grade": Fraction(1, 4), "design": None},
        between={("design", "finish"): Fraction(-1, 2)},
        alike=(("chase", "relics", Fraction(7, 8)),),
    )
    assert standings.audit(found) == {
        "releases": 7,
        "with_price": {"grade": 0.25, "design": None},
        "between": [{"first": "design", "second": "finish", "rho": -0.5}],
        "alike": [{"first": "chase", "second": "relics", "rho": 0.875}],
    }


def test_a_problem_is_told_alike_wherever_it_is():
    """A sheet is named in a workbook, which has several, and blank elsewhere."""
    one = Problem(code="altered", what="it was altered", file="ledger.db", row=3, fix="restore it")
    plain = {
        "code": "altered",
        "severity": "error",
        "file": "ledger.db",
        "sheet": "",
        "row": 3,
        "what": "it was altered",
        "fix": "restore it",
    }
    assert files.checked([one]) == ledger.verified([one]) == {"problems": [plain]}


MOVED = Move(
    release="oakum", title="Oakum", before=2, after=3, grade_before=610, grade=610, moved=-1, passed=True,
    win_share=0.95, kept=0.89,
)  # fmt: skip
MOVE = {
    "release": "oakum",
    "rank_before": 2,
    "rank": 3,
    "movement": -1,
    "grade_before": 61.0,
    "grade": 61.0,
    "passed": True,
    "win_share": 0.95,
    "kept": 0.89,
    "firm": False,
}


def test_a_landing_names_its_neighbours_and_what_decided():
    """Its place is a number, whether shared or not; a neighbour that is not there is null."""
    below = Margin(
        release="oakum",
        title="Oakum",
        gap=12,
        for_it=(("design", Fraction(3, 2)),),
        against=(),
        win_share=0.9,
    )
    found = Landing(
        release="cordage", title="Cordage", day="2031-05-02", reviewed_on="2031-05-05", place="=2",
        grade=622, of=2, above=None, below=below,
        rows=(MOVED, dataclasses.replace(MOVED, release="cordage", title="Cordage")),
    )  # fmt: skip
    told = doubt.landing(found, season="Harbour")
    assert (told["rank"], told["grade"], told["above"]) == (2, 62.2, None)
    assert told["below"] == {
        "release": "oakum",
        "gap": 1.2,
        "for_it": {"design": 1.5},
        "against": {},
        "win_share": 0.9,
    }
    assert told["moves"][0] == MOVE
    assert json.loads(json.dumps(told)) == told


def test_what_moved_between_two_days_is_told_in_numbers_and_words():
    """The sentence is the one that the terminal prints."""
    told = doubt.between([MOVED], season="Harbour", start=date(2031, 5, 1), end=date(2031, 5, 9))
    assert told.pop("told").startswith("Nothing moved between 2031-05-01 and 2031-05-09")
    assert told == {
        "season": "Harbour",
        "from": "2031-05-01",
        "to": "2031-05-09",
        "moves": [MOVE],
    }


def test_bounds_that_nothing_sets_are_null():
    """Intervals are points; `high` is null where nothing above changes the order."""
    span = Span(low=Fraction(45), high=None, below_low=("a", "b"), above_high=None)
    hold = CriterionSpans(criterion="design", points=60, order=span, leader=span, place=span)
    found = Stability(
        release="oakum", title="Oakum", place="1", of=2, whole=True, told="Oakum leads", kept=0.95,
        spans=(hold,),
        swaps=(Swap(up="", down="oakum", moves={}, total=None, level=None, reason="nobody can"),),
        left_out=(), rules={},
    )  # fmt: skip
    told = stability.stability(found, season="Harbour", wanted=[], ranges=None, drivers=())
    assert told["intervals"] == [
        {
            "criterion": "design",
            "points": 6.0,
            "low": 4.5,
            "high": None,
            "leader_low": 4.5,
            "leader_high": None,
            "place_low": 4.5,
            "place_high": None,
        }
    ]
    assert told["swaps"] == [
        {
            "up": None,
            "down": "oakum",
            "moves": {},
            "total": None,
            "proved": True,
            "at_least": None,
            "level": None,
            "reason": "nobody can",
        }
    ]
    assert not {"ranges", "drivers"} & set(told)


def test_what_is_tried_is_told_as_it_was_asked():
    """Points and scores as a person writes them; without another rule there is no value."""
    after = Outcome(
        release="cordage", title="Cordage", before=4, before_grade=523, after=1, after_tied=False,
        after_grade=700, value=None, moved=3,
    )  # fmt: skip
    change = WhatIf(points={"design": 125}, scores={("cordage", "finish"): 80}, without=frozenset({"oakum"}))
    told = what_if.what_if(change, season="Harbour", before=[FOURTH], after=[after])
    assert told["tried"] == {
        "weights": {"design": 12.5},
        "scores": {"cordage.finish": 80},
        "without": ["oakum"],
        "rule": "mean",
    }
    assert told["before"] == [standings.standing(FOURTH)]
    assert told["after"] == [
        {
            "release": "cordage",
            "title": "Cordage",
            "rank": 1,
            "tied": False,
            "grade": 70.0,
            "value": None,
            "movement": 3,
        }
    ]


def test_rows_set_aside_together_say_how_many_they_are():
    """A single row has no count beside it."""
    one = SetAside(file="list.csv", sheet="", row=4, text="Thank you", why="a note")
    result = IntakeResult(tables={"checklist.csv": 3}, set_aside=(one, dataclasses.replace(one, rows=9)))
    plain = {"file": "list.csv", "sheet": "", "row": 4, "text": "Thank you", "why": "a note"}
    told = intake.intake("cordage", result)
    assert told["set_aside"] == [plain, {**plain, "rows": 9}]
    assert "review" not in told


def test_rows_of_a_table_become_objects():
    """A grade is a number again, a blank is null, and a disclosure stands beside the table, not in it."""
    headers = ("release", "grade", "partial", "disclosure")
    assert tables.rows(headers, [("cordage", "52.3", True, "bought"), ("oakum", "", False, "lent")]) == [
        {"release": "cordage", "grade": 52.3, "partial": True},
        {"release": "oakum", "grade": None, "partial": False},
    ]


def test_what_goes_with_every_table_names_help_only_where_it_is_dated():
    """Lines without the day they were looked up on are as good as none."""
    line = HelpLine(name="Quay", where="Kelderby", contact="555", what_for="spending")
    undated = HelpLines(as_of=None, lines=(line,))
    dated = HelpLines(as_of=date(2031, 5, 1), lines=(line,))
    given = {"season": "Harbour", "as_of": date(2031, 5, 3), "reviews": (), "cautions": ("Beware.",)}
    given["head"] = "ab" * 32
    plain = {
        "season": "Harbour",
        "as_of": "2031-05-03",
        "head": "ab" * 32,
        "disclosure": [],
        "cautions": ["Beware."],
        "help_lines": None,
    }
    assert tables.beside(**given, help_lines=None) == plain
    assert tables.beside(**given, help_lines=undated) == plain
    assert tables.beside(**given, help_lines=dated)["help_lines"] == {
        "as_of": "2031-05-01",
        "lines": [{"name": "Quay", "where": "Kelderby", "contact": "555", "for": "spending"}],
    }


def test_a_text_that_says_nothing_is_null():
    """But where a blank is a value: the base version, a card without a number, no slot that suits."""
    given = {
        "price_kind": "",
        "lines": [{"parallel": "", "number": "", "remark": ""}],
        "slot": "",
        "why": "x",
    }
    assert as_json_values(given) == {
        "price_kind": None,
        "lines": [{"parallel": "", "number": "", "remark": None}],
        "slot": "",
        "why": "x",
    }
