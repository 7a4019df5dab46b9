"""The season's workbook in a real spreadsheet program: what it works out is what the program says."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
import time
import uuid
import zipfile
from pathlib import Path

import openpyxl
import pytest

from rating.core.exact import grade_tenths
from rating.core.rank import competition_ranks
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


def ask(workbook, folder, rows):
    """What the program works out for a workbook at some rows of points."""
    folder.mkdir(parents=True, exist_ok=True)
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True)
    (profile / "registrymodifications.xcu").write_text(PROFILE, encoding="utf-8")
    (folder / "questions.json").write_text(json.dumps(rows), encoding="utf-8")
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
    return [[cell.value for cell in row] for row in book[sheet][area]]


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
    return ask(workbook, tmp_path_factory.mktemp("engine") / "right", vectors(100))


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


def test_moved_points_give_the_grades_ranks_and_movement_of_exact_integers(season, workbook, answers):
    """A hundred rows of points, zeros, ties, blanks and text among them: not one tenth apart."""
    scores = stored_scores(workbook)
    rows = season.rank()
    apart = [one.ranked_apart for one in rows]
    for vector, got in zip(vectors(100), answers["rows"], strict=True):
        grades = [grade_tenths(row, points(vector)) for row in scores]
        assert [None if one == "" else round(one * 10) for one in got["grades"]] == grades
        counted = [place for place, grade in enumerate(grades) if grade is not None and not apart[place]]
        ranks = [""] * len(rows)
        for place, rank in zip(counted, competition_ranks([grades[one] for one in counted]), strict=True):
            ranks[place] = rank
        assert got["ranks"] == ranks
        moved = [
            "" if rank == "" or one.rank is None else one.rank - rank
            for one, rank in zip(rows, ranks, strict=True)
        ]
        assert got["moved"] == moved


def test_moved_points_move_verdicts_places_in_class_and_the_sorted_sheet(season, workbook, answers):
    """Ties stand in order of release date, then name; those without a place at the end, as they stood."""
    rows = season.rank()
    sheet = openpyxl.load_workbook(workbook, data_only=True)["Standings"]
    names = [sheet.cell(11 + place, 4).value for place in range(len(rows))]
    reordered = 0
    for got in answers["rows"]:
        ranks = got["ranks"]
        ranked = [place for place, rank in enumerate(ranks) if rank != ""]
        ranked.sort(key=lambda place: (ranks[place], rows[place].released_on, rows[place].title.casefold()))
        unranked = [place for place, rank in enumerate(ranks) if rank == ""]
        assert got["sorted"] == [names[place] for place in [*ranked, *unranked]]
        reordered += ranked != sorted(ranked)
        for place, one in enumerate(rows):
            grade = got["grades"][place]
            in_class = [ranks[other] for other in ranked if rows[other].price_class == one.price_class]
            better = [rank for rank in in_class if ranks[place] != "" and rank < ranks[place]]
            assert got["in_class"][place] == ("" if ranks[place] == "" else 1 + len(better))
            words = "" if ranks[place] == "" else season.rubric.verdict(round(grade * 10))
            assert got["verdicts"][place] == words
    assert reordered > 50


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
