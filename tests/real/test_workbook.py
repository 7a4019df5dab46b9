"""The season's workbook in a real spreadsheet program: what it works out is what the program says."""

from __future__ import annotations

import json
import math
import random
import re
import shutil
import subprocess
import time
import uuid
import zipfile
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from rating.core.exact import grade_tenths
from rating.export.workbook import write_workbook
from rating.season.season import Season

HERE = Path(__file__).parent
# a private profile that recalculates whatever it opens: the usual one believes the values in the file
PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""

pytestmark = [
    pytest.mark.real,
    pytest.mark.skipif(shutil.which("soffice") is None, reason="no spreadsheet program is installed"),
]


def ask(workbook, folder, steps):
    """What the program works out for a workbook after each of some steps, see recalculate.py."""
    folder.mkdir(parents=True, exist_ok=True)
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True)
    (profile / "registrymodifications.xcu").write_text(PROFILE, encoding="utf-8")
    (folder / "questions.json").write_text(json.dumps(steps), encoding="utf-8")
    pipe = f"boxwright{uuid.uuid4().hex[:12]}"
    office = subprocess.Popen(
        [
            "soffice",
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--headless",
            "--norestore",
            "--nologo",
            f"--accept=pipe,name={pipe};urp;",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        subprocess.run(
            [
                "/usr/bin/python3",
                str(HERE / "recalculate.py"),
                pipe,
                str(workbook),
                str(folder / "questions.json"),
                str(folder / "answers.json"),
            ],
            check=True,
            timeout=240,
        )
    finally:
        for _ in range(40):
            if office.poll() is not None:
                break
            time.sleep(0.25)
        office.kill()
        office.wait()
    return json.loads((folder / "answers.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def season(module_season):
    return Season.open(module_season)


@pytest.fixture(scope="module")
def workbook(season):
    path = season.path / "season.xlsx"
    write_workbook(season, path)
    return path


def stored_scores(workbook):
    book = openpyxl.load_workbook(workbook, data_only=True)
    sheet, area = next(iter(book.defined_names["scores"].destinations))
    return [[cell.value for cell in row] for row in book[sheet][area.replace("$", "")]]


def points_of(season):
    return [one.points for one in season.rubric.criteria]


def cached_values(workbook):
    """The stored value of each formula cell, by sheet, row and column."""
    formulas = openpyxl.load_workbook(workbook)
    values = openpyxl.load_workbook(workbook, data_only=True)
    return {
        f"{sheet.title}!{cell.row}:{cell.column}": values[sheet.title].cell(cell.row, cell.column).value
        for sheet in formulas
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def points(vector):
    """Whole tenths as the workbook takes them: what is no number counts as 0."""
    return [max(0, int(one * 10 + 0.5)) if isinstance(one, int | float) else 0 for one in vector]


def vectors(number):
    """Random rows of points: whole ones, tenths, many zeros, all equal, blanks and text among them."""
    draw = random.Random(20310715)
    found = [[0] * 14, [10] * 14, [None, "much", *[5] * 12], [100] + [0] * 13]
    while len(found) < number:
        kind = draw.randrange(4)
        if kind == 0:
            row = [draw.randrange(20) for _ in range(14)]
        elif kind == 1:
            row = [draw.randrange(200) / 10 for _ in range(14)]
        elif kind == 2:
            row = [draw.choice([0, 0, 0, draw.randrange(30)]) for _ in range(14)]
        else:
            row = [draw.choice([None, "x", draw.randrange(30)]) for _ in range(14)]
        found.append(row)
    return found


@pytest.fixture(scope="module")
def answers(workbook, tmp_path_factory):
    steps = [["points", row] for row in vectors(100)]
    return ask(workbook, tmp_path_factory.mktemp("engine") / "right", steps)


def test_every_formula_comes_out_as_the_value_stored_beside_it(workbook, answers):
    """Recalculated and cached values agree in each formula cell of each sheet."""
    cached = cached_values(workbook)
    assert len(cached) > 300
    assert set(cached) == set(answers["formulas"])
    wrong = {
        place: (value, answers["formulas"][place])
        for place, value in cached.items()
        if not same(value, answers["formulas"][place])
    }
    assert wrong == {}


def same(cached, worked_out):
    if cached is None:
        return worked_out == ""
    if isinstance(cached, int | float):
        return isinstance(worked_out, int | float) and abs(cached - worked_out) < 1e-9
    return cached == worked_out


def expected(scores, absent, weights):
    """Grades, bounds, states and ranks by fractions, straight from what the words mean."""
    found = []
    for row, out in zip(scores, absent, strict=True):
        known = [(one, weight) for one, weight in zip(row, weights, strict=True) if one is not None]
        D = sum(weight for _, weight in known)
        U = sum(
            weight for one, gone, weight in zip(row, out, weights, strict=True) if one is None and not gone
        )
        N = sum(one * weight for one, weight in known)
        grade = grade_tenths(row, weights)
        apart = grade is None or Fraction(U, D + U) > Fraction(1, 4)
        bounds = ("", "")
        if U and grade is not None:
            bounds = tuple(
                math.floor(Fraction(10 * (N + best * U), D + U) + Fraction(1, 2)) / 10 for best in (0, 100)
            )
        state = "apart" if apart else "partial" if U else "complete"
        found.append((grade, state, *bounds))
    counted = [grade if state != "apart" else None for grade, state, *_ in found]
    ranks = ["" if own is None else 1 + sum(o is not None and o > own for o in counted) for own in counted]
    return found, ranks


def agrees(got, scores, absent, weights):
    found, ranks = expected(scores, absent, weights)
    assert [None if one == "" else round(one * 10) for one in got["grades"]] == [one[0] for one in found]
    assert got["states"] == [one[1] for one in found]
    assert got["lowest"] == pytest.approx([one[2] for one in found])
    assert got["highest"] == pytest.approx([one[3] for one in found])
    assert got["ranks"] == ranks
    return ranks


@pytest.fixture(scope="module")
def absent(season):
    """What does not apply, by the reviews themselves."""
    keys = [one.key for one in season.rubric.criteria]
    reviews = [season.recorded.ledger.review(one.review) for one in season.rank()]
    return [[key in {one.criterion for one in said.not_applicable} for key in keys] for said in reviews]


def test_moved_points_give_grades_bounds_states_and_ranks(season, workbook, absent, answers):
    """A hundred rows of points, zeros, ties, blanks and text among them: not one tenth apart."""
    scores, rows = stored_scores(workbook), season.rank()
    for vector, got in zip(vectors(100), answers["steps"], strict=True):
        weights = points(vector)
        ranks = agrees(got, scores, absent, weights)
        assert got["moved"] == [
            "" if rank == "" or one.rank is None else one.rank - rank
            for one, rank in zip(rows, ranks, strict=True)
        ]
        changed = sum(now != then for now, then in zip(weights, points_of(season), strict=True))
        assert got["points_state"] == [f"{changed} of 14 points changed: these are not the published grades"]


def test_moved_points_move_verdicts_places_in_class_and_the_sorted_sheet(season, workbook, answers):
    """Ties stand in order of release date, then slug; those without a place at the end, in the same order."""
    rows = season.rank()
    sheet = openpyxl.load_workbook(workbook, data_only=True)["Standings"]
    names = [sheet.cell(9 + place, 1).value for place in range(len(rows))]
    reordered = 0
    for got in answers["steps"]:
        ranks = got["ranks"]
        order = sorted(
            range(len(rows)),
            key=lambda place: (
                ranks[place] == "",
                ranks[place] or 0,
                rows[place].released_on,
                rows[place].release,
            ),
        )
        assert got["sorted"] == [names[place] for place in order]
        ranked = [place for place in order if ranks[place] != ""]
        reordered += ranked != sorted(ranked)
        for place, one in enumerate(rows):
            grade = got["grades"][place]
            in_class = [ranks[other] for other in ranked if rows[other].price_class == one.price_class]
            better = [rank for rank in in_class if ranks[place] != "" and rank < ranks[place]]
            assert got["places_in_class"][place] == ("" if ranks[place] == "" else 1 + len(better))
            words = "" if ranks[place] == "" else season.rubric.verdict(round(grade * 10))
            assert got["verdicts"][place] == words
    assert reordered > 50


# what people type: scores, what does not apply, and what is no score at all
TYPED = ["0", "100", "37", "150", "-3", "8.5", "much", "n/a", "N/A", "", "=NA()", "=1/0", "'64", " ", "100.0"]
COUNTS = {"0": 0, "100": 100, "37": 37, "100.0": 100}


def tried(number, m, n):
    """Scores typed into cells, step by step, each step over what the one before left there."""
    draw = random.Random(7)
    return [
        {f"{draw.randrange(m)}:{draw.randrange(n)}": draw.choice(TYPED) for _ in range(12)}
        for _ in range(number)
    ]


def test_tried_scores_move_grades_states_and_bounds_and_never_break_a_rank(
    season, workbook, absent, tmp_path
):
    """Text, blanks, negative ones, 150, halves, errors: not known, counted, and every rank stays a rank."""
    scores, weights = stored_scores(workbook), points_of(season)
    before = [list(row) for row in scores]
    steps, gone = tried(25, len(scores), 14), [list(row) for row in absent]
    answer = ask(workbook, tmp_path / "engine", [["scores", one] for one in steps])
    wrong = {}
    for typed, got in zip(steps, answer["steps"], strict=True):
        for place, said in typed.items():
            row, column = map(int, place.split(":"))
            scores[row][column] = COUNTS.get(said)
            # what is emptied is again what the review says of it
            gone[row][column] = said.lower() == "n/a" or (said == "" and absent[row][column])
            wrong[place] = said not in COUNTS and said.lower() != "n/a" and said != ""
        agrees(got, scores, gone, weights)
        assert got["wrong_scores"] == [sum(wrong.values())]
        for place, said in enumerate(got["what_is_open"]):
            names = [
                one.key
                for i, one in enumerate(season.rubric.criteria)
                if scores[place][i] is None and not gone[place][i] and one.points
            ]
            assert said == ", ".join(names)
        changed = sum(
            (now, out) != (then, was)
            for rows in zip(scores, gone, before, absent, strict=True)
            for now, out, then, was in zip(*rows, strict=True)
        )
        noun = "score" if changed == 1 else "scores"
        told = f"points as published, {changed} {noun} tried: these are not the published grades"
        assert got["points_state"] == [told]
    assert sum(wrong.values()) > 20


def test_sorted_and_filtered_rows_keep_every_release_its_own(season, workbook, absent, tmp_path):
    """By name, grade, stage and slug, then with points moved, then filtered: nothing goes by rows."""
    rows, scores = season.rank(), stored_scores(workbook)
    by_slug = {one.release: place for place, one in enumerate(rows)}
    other, stage = [3, *[5] * 12, 40], 6 + 14 + 3
    steps = [
        ["sort", 0, True], ["sort", 2, False], ["sort", stage, True], ["points", other], ["sort", 0, False],
        ["filter", stage, "launch"], ["points", [None] * 13 + [1]], ["sort", 1, False],
    ]  # fmt: skip
    answer = ask(workbook, tmp_path / "engine", steps)
    names = openpyxl.load_workbook(workbook, data_only=True)["Standings"]
    titles = {one.release: names.cell(9 + place, 1).value for place, one in enumerate(rows)}
    orders, weights = set(), points_of(season)
    for (word, *needs), got in zip(steps, answer["steps"], strict=True):
        order = [by_slug[slug] for slug in got["releases"]]
        assert sorted(order) == list(range(len(rows)))
        orders.add(tuple(order))
        if word == "points":
            weights = points(needs[0])
        ranks = agrees(got, [scores[one] for one in order], [absent[one] for one in order], weights)
        by_rank = sorted(
            zip(ranks, order, strict=True),
            key=lambda one: (one[0] == "", one[0] or 0, rows[one[1]].released_on, rows[one[1]].release),
        )
        assert got["sorted"] == [titles[rows[place].release] for _, place in by_rank]
        for slug, grade, rank in zip(got["releases"], got["grades"], ranks, strict=True):
            if word != "points":
                assert got["own"][slug] == [grade, rank]
                (link,) = got["links"][slug]
                assert re.fullmatch(rf"#'?{re.escape(slug)}'?[.!]\$?A\$?1", link)
    assert len(orders) >= 4
    first = answer["steps"][0]
    assert [titles[slug] for slug in first["releases"]] == sorted(titles.values(), key=str.casefold)
    assert answer["steps"][5]["shown"] == [
        titles[slug] for slug in answer["steps"][4]["releases"] if rows[by_slug[slug]].stage == "launch"
    ]


def test_values_planted_wrong_come_back_right(season, workbook, tmp_path):
    """Otherwise the engine only reads what is stored, and the tests above would prove nothing."""
    planted = tmp_path / "planted.xlsx"
    best = season.rank()[0].grade / 10
    written = f"<v>{best}</v>".encode()
    with zipfile.ZipFile(workbook) as old, zipfile.ZipFile(planted, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            content = old.read(part)
            if part == "xl/worksheets/sheet1.xml":
                assert written in content
                content = content.replace(written, b"<v>12.3</v>")
            new.writestr(part, content)
    answer = ask(planted, tmp_path / "engine", [])
    cached = cached_values(planted)
    lied = [place for place, value in cached.items() if value == 12.3]
    assert lied
    assert {answer["formulas"][place] for place in lied} == {best}
