"""The workbook of a season that changed: other points, ties, one held back, an odd slug, many releases."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime

import openpyxl
import pytest

from rating.export.tables import write_tables
from rating.export.workbook import workbook_bytes, write_workbook
from rating.export.workbook.contents import gather
from rating.season import folder
from rating.season.season import Season

NOW = datetime(2031, 7, 15, 20, tzinfo=UTC)


def named(book, name):
    sheet, area = next(iter(book.defined_names[name].destinations))
    return [[cell.value for cell in row] for row in book[sheet][area.replace("$", "")]]


@pytest.fixture
def small(tmp_path):
    """Makes a season of releases judged on seven questions, each with one score, from {slug: score}."""

    def make(releases):
        path = tmp_path / "small"
        folder.start(path, name="Small")
        season = Season.open(path, today=NOW.date())
        for slug, score in releases.items():
            folder.add(path, slug, title=slug.replace("-", " ").title())
            here = path / "releases" / slug
            title = slug.replace("-", " ").title()
            (here / "release.toml").write_text(
                f'format = 1\ntitle = "{title}"\nmaker = "Brackwater"\nline = "{title}"\n'
                '[disclosure]\nhow_obtained = ["bought"]\nsentence = "I bought it."\n',
                encoding="utf-8",
            )
            said = [
                f"[me.{one.key}]\nscore = {score}\nreason = {json.dumps(f'{slug} {one.key}')}"
                for one in season.rubric.criteria
            ]
            (here / "scores.toml").write_text("\n".join(["format = 1", *said]), encoding="utf-8")
            season = Season.open(path, today=NOW.date())
            season.record(season.grade(slug), now=NOW)
        return Season.open(path, today=NOW.date())

    return make


def test_ties_share_a_place_and_stand_in_order_of_name(small, tmp_path):
    """1, 2, 2, 4 (checked by hand); of two that are equal the name decides the order in Sorted."""
    season = small({"zephyr": 60, "anchor": 60, "mid": 70, "low": 10})
    write_workbook(season, tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx", data_only=True)
    slugs = [row[0] for row in named(book, "releases")]
    ranks = dict(zip(slugs, (row[0] for row in named(book, "ranks")), strict=True))
    assert ranks == {"mid": 1, "anchor": 2, "zephyr": 2, "low": 4}
    titles = [row[2].value for row in book["Sorted"].iter_rows(min_row=6, max_row=9)]
    assert titles == ["Mid", "Anchor", "Zephyr", "Low"]


def test_grades_follow_a_rubric_that_changed_and_movement_tells(own_season, tmp_path):
    """With design alone worth points the grade is its score; moved is published place less live place."""
    before = Season.open(own_season)
    published = {one.release: one.rank for one in before.rank()}
    design = {
        one.release: {
            score.criterion: score.score for score in before.recorded.ledger.review(one.review).scores
        }.get("design")
        for one in before.rank()
    }
    path = own_season / "rubric.toml"
    content = re.sub(r"(?m)^points = \d+(\.\d+)?$", "points = 0", path.read_text(encoding="utf-8"))
    content = content.replace(
        '[criteria.design]\ngroup = "object"\npoints = 0', '[criteria.design]\ngroup = "object"\npoints = 5'
    )
    path.write_text(content, encoding="utf-8")
    write_workbook(Season.open(own_season), tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx", data_only=True)
    slugs = [row[0] for row in named(book, "releases")]
    assert [row[0] for row in named(book, "grades")] == [design[slug] for slug in slugs]
    # what was shown apart has a place too, now that all that counts is known of it
    counting = [design[slug] for slug in slugs if design[slug] is not None]
    assert None in published.values()
    for line, slug in enumerate(slugs, start=9):
        place, moved = (book["Standings"].cell(line, column).value for column in (2, 4))
        rank = 1 + sum(other > design[slug] for other in counting)
        was = published[slug]
        assert (place, moved) == (rank, None if was is None else was - rank)
        assert "by an earlier rubric" in " ".join(
            str(cell.value) for cell in book["Standings"][line] if cell.value
        )


def test_a_release_held_back_leaves_no_gap_in_the_ranks(own_season, tmp_path):
    """Ranks are those without it, in the workbook and in the tables: a gap would tell its place."""
    path = own_season / "releases" / "halyard" / "release.toml"
    sheet = path.read_text(encoding="utf-8")
    path.write_text(sheet.replace("headline =", "embargo = 2031-08-01\nheadline =", 1), encoding="utf-8")
    season = Season.open(own_season)
    hidden = next(one.rank for one in season.rank() if one.release == "halyard")
    write_workbook(season, tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx", data_only=True)
    ranks = [row[0] for row in named(book, "ranks") if row[0] is not None]
    assert hidden in ranks
    assert all(rank == 1 + sum(other < rank for other in ranks) for rank in ranks)
    written = {one.stem: one for one in write_tables(season, tmp_path, "json")}
    rows = json.loads(written["standings"].read_text(encoding="utf-8"))["standings"]
    assert [row["rank"] for row in rows if row["rank"] is not None] == ranks


@pytest.mark.parametrize("slug", ["method", "standings", "sorted", "history", "a" * 60])
def test_a_slug_that_is_no_name_for_a_sheet_gets_another(small, tmp_path, slug):
    """Names of our own sheets, reserved ones and long ones: the release has its sheet and its link."""
    season = small({slug: 55, "b": 50})
    write_workbook(season, tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx")
    assert [row[0] for row in named(book, "releases")] == [slug, "b"]
    made = gather(season)
    assert {
        "Standings",
        "Sorted",
        "Reasons",
        "How sure",
        "Method",
        *(row.sheet for row in made.releases),
    } == set(book.sheetnames)
    links = {
        cell.hyperlink.location for row in book["Standings"].iter_rows() for cell in row if cell.hyperlink
    }
    assert len(links) == 2
    assert {link.split("!")[0].strip("'") for link in links} <= set(book.sheetnames)
    texts = [cell.value for row in book[made.releases[0].sheet].iter_rows() for cell in row]
    assert f"{slug} chase [Me]" in texts


def test_only_functions_that_every_spreadsheet_program_knows(own_season, tmp_path):
    """None beyond those of the oldest programs, and no range multiplied by '*', where text breaks it."""
    (tmp_path / "x.xlsx").write_bytes(workbook_bytes(Season.open(own_season)))
    book = openpyxl.load_workbook(tmp_path / "x.xlsx")
    formulas = {
        cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"
    }
    used = {name for one in formulas for name in re.findall(r"([A-Z][A-Z.]*)\(", one)}
    # in Excel 2010, the list of functions of Google Sheets and that of Numbers alike
    known = {"SUM", "SUMPRODUCT", "SUMIF", "RANK", "COUNT", "COUNTA", "COUNTIF", "COUNTIFS", "INDEX", "MATCH"}
    known |= {"IF", "ISERROR", "ISNUMBER", "INT", "ROUND", "MAX", "LEFT", "LEN"}
    assert used <= known
    assert not [one for one in formulas if re.search(r":\$?[A-Z]+\$?\d+\*|\*\$?[A-Z]+\$?\d+:", one)]


def test_sixty_releases_have_a_sheet_each(small, tmp_path):
    """Nothing in the layout counts on few releases."""
    season = small({f"release-{number:02}": number for number in range(1, 61)})
    write_workbook(season, tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx", data_only=True)
    assert len(book.sheetnames) == 65
    assert [row[0] for row in named(book, "ranks")] == list(range(1, 61))
    assert [row[0] for row in named(book, "grades")] == list(range(60, 0, -1))
