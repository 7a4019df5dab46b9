"""The account: all right for the truth's own tables, and every planted wrong is found."""

from __future__ import annotations

from collections import Counter

import pytest

from makers.hand import hand_cases
from makers.maker import make
from makers.score import Score as Account
from makers.score import by_feature, by_kind, group_of, table
from makers.scoring.compare import compare
from makers.scoring.report import Report, asks_about, fold, rows_of
from makers.scoring.written import from_sheet
from makers.truth.facts import Key, Place


def written(truth, *, blank_open=False):
    """The tables that a faultless reader would write; without what nobody can know, if wanted."""
    tables = {name: [dict(row) for row in rows] for name, rows in truth.tables.items()}
    if blank_open:
        for name, rows in tables.items():
            for place, row in enumerate(rows):
                for column in row:
                    if name == "checklist" and Key(name, place, column) not in truth.stated:
                        row[column] = ""
    for row in tables["formats"]:
        row["key"] = row["name"].lower().replace(" ", "-")
    for name in ("odds", "prices", "slots", "promises"):
        for row in tables[name]:
            row["format"] = row["format"].lower().replace(" ", "-")
    for place, row in enumerate(tables["sales"]):
        if row["junk"] or (blank_open and Key("sales", place, "card") not in truth.stated):
            row |= {"subset": "", "parallel": "", "number": ""}
    return tables


def outcomes(truth, tables, answer=None):
    """How many facts came out how, by kind."""
    found = Counter()
    for one in compare(truth, tables, Report(answer or {})):
        found[one.kind, one.outcome] += 1
    return found


@pytest.fixture(scope="module")
def truth():
    """That of a maker with everything: pairs, ladders, odds, a sell sheet, sales and slots."""
    fixed = {"odds": "grid", "sell sheet": "prose", "sold": "table", "slots": "table", "ladders": "table"}
    return make(8, fixed | {"kinds": "column", "pairs": "stroke", "arrangement": "one"}).truth


@pytest.mark.parametrize("blank_open", [False, True])
def test_the_truths_own_tables_are_right(makers, blank_open):
    """Every fact of twenty makers and of those by hand; what nothing tells may be blank."""
    truths = [maker.truth for maker in makers[40:]] + [case.truth for case in hand_cases()]
    for one in truths:
        found = compare(one, written(one, blank_open=blank_open), Report({}))
        assert [verdict for verdict in found if verdict.outcome != "right"] == []
        assert len(found) > 300


def test_nothing_written_and_nothing_said_is_lost(truth):
    """Every stated fact; none of them right."""
    found = Counter(one.outcome for one in compare(truth, {"sheet": ({},)}, Report({})))
    assert set(found) == {"lost"}
    assert found["lost"] > 500


PLANTS = {
    "another team": ("checklist", "teams", "The Nobodies", "checklist teams", "wrong"),
    "another kind": ("checklist", "kind", "relic", "checklist kind", "wrong"),
    "another subject": ("checklist", "subjects", "Nobody Atall", "checklist subjects", "wrong"),
    "another subset": ("checklist", "subset", "Elsewhere", "checklist subset", "wrong"),
    "another number": ("checklist", "number", "X-999", "checklist number", "wrong"),
    "a blank team": ("checklist", "teams", "", "checklist teams", "lost"),
    "a made-up redemption": ("checklist", "redemption", "yes", "checklist redemption", "wrong"),
    "other odds": ("odds", "packs_per_copy", "77777", "odds", "wrong"),
    "another price": ("prices", "price", "1.23", "list price", "wrong"),
    "another run": ("parallels", "print_run", "7777", "parallel run", "wrong"),
    "other packs": ("formats", "packs_per_box", "77", "packs per box", "wrong"),
    "another promise": ("promises", "count", "77", "promise", "wrong"),
    "another price of a slot": ("slots", "price", "0.01", "slot price", "wrong"),
    "another date": ("sheet", "date", "1999-01-01", "date", "wrong"),
}


@pytest.mark.parametrize("plant", PLANTS)
def test_a_planted_wrong_is_found_once(truth, plant):
    """In its kind, and nowhere else."""
    name, column, value, kind, outcome = PLANTS[plant]
    tables = written(truth)
    tables[name][0][column] = value
    before, after = outcomes(truth, written(truth)), outcomes(truth, tables)
    changed = {key: after[key] - before[key] for key in after | before if after[key] != before[key]}
    assert changed in ({(kind, outcome): 1, (kind, "right"): -1}, {(kind, outcome): 1})


def test_rows_that_are_not_so_are_wrong(truth):
    """One each: a card, a parallel, odds, a promise, a price, a sale, a slot."""
    tables = written(truth)
    for name in ("checklist", "parallels", "odds", "promises", "prices", "sales", "slots"):
        row = dict(tables[name][0])
        row |= {
            "number": "Z-1",
            "subjects": "Nobody",
            "parallel": "Nothing",
            "unit": "crate",
            "title": "no such title",
        }
        row |= {"slot": "Nowhere", "price": "0.01", "date": "1999-01-01"}
        tables[name].append(row)
    found = outcomes(truth, tables)
    wrong = {kind: count for (kind, outcome), count in found.items() if outcome == "wrong"}
    names = ("checklist number", "parallel", "odds", "promise", "list price", "sold title", "slot price")
    assert wrong == dict.fromkeys(names, 1)


def test_a_lost_card_is_lost_in_every_column(truth):
    """Or open, or set aside, where its row is named: by its place, or by what stands in it."""
    tables = written(truth)
    del tables["checklist"][5]
    place = truth.stated[Key("checklist", 5, "number")][0]
    row = {"file": place.file, "sheet": place.sheet, "row": place.row}
    told = {"file": place.file, "sheet": place.sheet, "row": place.row + 400, "text": place.text.upper()}
    for answer, outcome in (
        ({}, "lost"),
        ({"set_aside": [row]}, "set aside"),
        ({"set_aside": [told]}, "set aside"),
        ({"set_aside": [row | {"row": place.row - 2, "rows": 3}]}, "set aside"),
        ({"set_aside": [row | {"row": place.row - 2, "rows": 2}]}, "lost"),
        ({"problems": [row | {"row": 1, "rows": [1, place.row]}]}, "open"),
        ({"problems": [row]}, "open"),
        ({"problems": [{"file": place.file, "severity": "error"}]}, "open"),
        ({"problems": [{"file": place.file, "severity": "remark"}]}, "lost"),
        (
            {
                "questions": [
                    {"id": "1", "file": place.file, "sheet": place.sheet, "cells": [f"B{place.row}"]}
                ]
            },
            "open",
        ),
        ({"questions": [{"id": "1", "file": "another", "cells": [f"B{place.row}"]}]}, "lost"),
    ):
        found = outcomes(truth, tables, answer)
        not_right = {kind: told for kind, told in found if told != "right"}
        assert set(not_right.values()) == {outcome}
        assert {"checklist number", "checklist subjects", "checklist teams"} <= set(not_right)


def test_a_question_about_a_cell_that_was_written_opens_it(truth):
    """Named by table, row and column."""
    tables = written(truth)
    tables["checklist"][3]["kind"] = ""
    cell = {"table": "checklist.csv", "row": 4, "column": "kind"}
    found = outcomes(truth, tables, {"questions": [{"id": "1", "file": "nothing", "cells": [cell]}]})
    assert found["checklist kind", "open"] == 1
    assert outcomes(truth, tables)["checklist kind", "lost"] == 1


def test_persons_may_be_turned_with_their_teams(truth):
    """B and A with their teams is the same card; with the teams left behind it is not."""
    tables = written(truth)
    at = next(
        place for place, row in enumerate(tables["checklist"]) if _two(row["subjects"]) and _two(row["teams"])
    )
    row = tables["checklist"][at]
    row["subjects"], row["teams"] = _swapped(row["subjects"]), _swapped(row["teams"])
    assert outcomes(truth, tables) == outcomes(truth, written(truth))
    row["teams"] = _swapped(row["teams"])
    assert outcomes(truth, tables)["checklist teams", "wrong"] == 1


def _two(text):
    return len(set(text.split(" / "))) == 2


def _swapped(text):
    return " / ".join(reversed(text.split(" / ")))


def test_other_tables_must_name_a_subset_as_the_checklist_does(truth):
    """Odds on a subset that no card is in are the odds of nothing."""
    tables = written(truth)
    name = truth.tables["odds"][-1]["subset"]
    for row in tables["odds"]:
        row["subset"] = "Elsewhere" if row["subset"] == name else row["subset"]
    found = outcomes(truth, tables)
    assert found["odds", "wrong"] == sum(row["subset"] == name for row in truth.tables["odds"])
    assert found["odds", "lost"] == 0


def test_titles_right_open_wrong_and_junk(truth):
    """A certain title may be open but not elsewhere; junk goes nowhere, and does not vanish."""
    sales = truth.tables["sales"]
    certain = next(
        n for n, row in enumerate(sales) if Key("sales", n, "card") in truth.stated and not row["junk"]
    )
    unsure = next(
        n for n, row in enumerate(sales) if Key("sales", n, "card") not in truth.stated and not row["junk"]
    )
    junk = next(n for n, row in enumerate(sales) if row["junk"])
    other = {"subset": truth.tables["checklist"][0]["subset"], "number": "none such", "parallel": ""}
    for at, change, outcome in (
        (certain, {"subset": "", "number": "", "parallel": ""}, "open"),
        (certain, other, "wrong"),
        (unsure, {"subset": "", "number": "", "parallel": ""}, "right"),
        (unsure, other, "wrong"),
        (junk, other, "wrong"),
    ):
        tables = written(truth)
        tables["sales"][at] |= change
        found = [one for one in compare(truth, tables, Report({})) if one.about.startswith(f"sales {at}:")]
        assert [one.outcome for one in found] == [outcome]
    tables = written(truth)
    del tables["sales"][junk]
    assert outcomes(truth, tables)["sold title", "lost"] == 1
    place = truth.stated[Key("sales", junk, "title")][0]
    answer = {"set_aside": [{"file": place.file, "sheet": place.sheet, "row": place.row}]}
    assert outcomes(truth, tables, answer)["sold title", "lost"] == 0


def test_cells_in_every_notation():
    """Rows of 'B5', ranges, whole rows, numbers, pairs and objects; nothing is everything."""
    assert rows_of(["B5", "Sheet!C7:D9", 12, [14, 2], {"row": 16}]) == {5, 7, 8, 9, 12, 14, 16}
    assert rows_of("3:4") == {3, 4}
    assert rows_of([]) is None
    place = Place("a.csv", "", 7, "")
    assert asks_about({"file": "a.csv", "sheet": "", "cells": ["A2:A9"]}, place)
    assert asks_about({"file": "a.csv"}, place)
    assert not asks_about({"file": "a.csv", "sheet": "Other", "cells": ["A7"]}, place)


def test_spellings_are_compared_without_marks_and_case():
    """As the season compares names, and a little more kindly."""
    assert fold("  O\u2019Brannick®  JR. ") == "o'brannick jr."
    assert fold("ÅSAVIK") == fold("Åsavik")
    assert fold("A\u2013B\u200b") == "a-b"


def test_a_release_toml_becomes_tables():
    """Formats, promises and dates."""
    sheet = {"date": "2031-03-12", "formats": {"hobby": {"name": "Hobby", "packs_per_box": 12}}}
    sheet["formats"]["hobby"]["guarantees"] = [
        {"what": "relic", "count": 1, "per": "box", "certainty": "hard"}
    ]
    tables = from_sheet(sheet)
    assert tables["formats"][0]["packs_per_box"] == "12"
    assert tables["promises"][0]["format"] == "hobby"
    assert tables["sheet"] == ({"date": "2031-03-12", "since": ""},)


def test_the_account_by_kind_and_feature(truth):
    """Groups add up to their kinds, and a feature has the facts of its makers."""
    tables = written(truth)
    tables["checklist"][0]["teams"] = "The Nobodies"
    verdicts = tuple(compare(truth, tables, Report({})))
    score = Account("one", frozenset({"running text"}), verdicts, 1.0, 0, False)
    kinds = dict(by_kind([score]))
    assert kinds["CHECKLIST"]["wrong"] == kinds["checklist teams"]["wrong"] == 1
    for group in ("CHECKLIST", "SOLD LIST", "SELL SHEET"):
        members = [
            counts for kind, counts in kinds.items() if kind.islower() and group_of(kind).upper() == group
        ]
        assert sum(members, Counter()) == kinds[group]
    assert dict(by_feature([score]))["running text"] == score.count()
    assert table("all", [("x", Counter(right=3, wrong=1))])[1].split()[1:3] == ["4", "75.00%"]
