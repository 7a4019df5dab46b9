"""boxwright scoresheet and take-in: a co-host's scores go out as a workbook and come back."""

from __future__ import annotations

import io
import resource
import time
import tomllib
import zipfile
from datetime import date

import openpyxl
import pytest

FIRST = 5  # the first criterion's row; scores stand in H, reasons in I
OPINION = "The fronts breathe, which nobody else may read before."


@pytest.fixture
def scores_file(small_season):
    """What is said of deep-harbour: by the host alone."""
    path = small_season / "releases" / "deep-harbour" / "scores.toml"
    text = f'format = 1\n\n# mine\n[me.design]\nscore = 71\nreason = "{OPINION}"\n'
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def sheet(run, small_season, scores_file, tmp_path):
    """A score sheet as it goes out to Kit."""
    code, _, _ = run(
        "scoresheet", "deep-harbour", "--rater", "kit", "--into", tmp_path, "--season", small_season
    )
    assert code == 0
    return tmp_path / "deep-harbour-kit.xlsx"


@pytest.fixture
def fill(sheet, tmp_path):
    """Fill in some cells of the sheet as a spreadsheet program would; gives the file that comes back."""

    def filled(cells, *, then=None):
        book = openpyxl.load_workbook(sheet)
        for place, value in cells.items():
            book["Scores"][place].value = value
        if then:
            then(book)
        path = tmp_path / "back.xlsx"
        book.save(path)
        return path

    return filled


@pytest.fixture
def rows(sheet):
    """The row of each criterion."""
    page = openpyxl.load_workbook(sheet).active
    return {page.cell(row, 1).value: row for row in range(FIRST, page.max_row)}


def everything_in(path):
    with zipfile.ZipFile(path) as book:
        return b"\n".join(book.read(name) for name in book.namelist()).decode()


def test_the_sheet_is_blind_unless_it_is_opened(run, small_season, sheet, tmp_path):
    """No word and no score of the host is anywhere in the file; --open shows both."""
    text = everything_in(sheet)
    assert OPINION not in text
    assert "the host" not in text
    page = openpyxl.load_workbook(sheet).active
    assert (page["A4"].value, page["H4"].value, page["I4"].value) == (
        "criterion",
        "your score",
        "your reason",
    )
    assert {page.cell(row, 8).value for row in range(FIRST, page.max_row)} == {None}
    words = ("--rater", "kit", "--open", "--into", tmp_path / "open", "--season", small_season)
    assert run("scoresheet", "deep-harbour", *words)[0] == 0
    page = openpyxl.load_workbook(tmp_path / "open" / "deep-harbour-kit.xlsx").active
    shown = {page.cell(row, 1).value: page.cell(row, 11).value for row in range(FIRST, page.max_row)}
    # as worked out by hand where the season is laid out, and what the host says
    assert (shown["roster"], shown["rookies"], shown["record"], shown["design"]) == ("44", "53", "50", "71")


def test_each_criterion_is_asked_with_what_is_known(sheet, rows):
    """Question, fact sentence and what 0, 50 and 100 look like stand beside the key."""
    page = openpyxl.load_workbook(sheet).active
    told = [page.cell(rows["roster"], column).value for column in range(3, 8)]
    assert told[0].endswith("every team served?")
    assert told[1].startswith("3 of the 4 teams have cards")
    assert told[2].startswith("half the league")
    assert told[4].startswith("every team, every wanted name")
    assert page.cell(rows["design"], 4).value == "Nothing is computed here: go by what you saw."


def test_scores_come_back_with_their_reasons(run, small_season, scores_file, fill, rows):
    """By key, wherever the row stands; text that looks like a formula is text; the host's stay."""
    roster, design, finish = (rows[key] for key in ("roster", "design", "finish"))
    before = scores_file.read_text(encoding="utf-8")
    words = '@home "best" -1 + 2\nand so on'
    path = fill(
        {
            f"H{roster}": 60.0, f"I{roster}": "Four of them.", f"H{design}": " 85 ", f"I{design}": words,
            f"H{finish}": "–", f"I{finish}": "I have none in hand.",
        }
    )  # fmt: skip
    code, out, _ = run("take-in", path, "--season", small_season)
    assert code == 0
    after = scores_file.read_text(encoding="utf-8")
    assert after.startswith(before)
    assert tomllib.loads(after)["kit"] == {
        "roster": {"score": 60, "reason": "Four of them."},
        "design": {"score": 85, "reason": '@home "best" -1 + 2 and so on'},
        "finish": {"does_not_apply": "I have none in hand."},
    }
    assert "Kit scored 3 of" in " ".join(out.split())
    code, out, _ = run("take-in", path, "--season", small_season)
    assert "Nothing in it is new." in out
    assert scores_file.read_text(encoding="utf-8") == after


def test_an_earlier_answer_is_replaced_only_when_somebody_says_so(
    run, answer, refused, small_season, scores_file, fill, rows
):
    """Nobody can be asked here: --dry-run shows it, --replace does it; what is blank stays."""
    kits = '\n[kit.design]\nscore = 40\nreason = "Dull."\nspread = 3\n'
    kits += '\n[kit.finish]\nscore = 9\nreason = "Bent."\n'
    scores_file.write_text(scores_file.read_text(encoding="utf-8") + kits, encoding="utf-8")
    before = scores_file.read_text(encoding="utf-8")
    path = fill({f"H{rows['design']}": 55, f"I{rows['design']}": "It grew on me."})
    told = answer("take-in", path, "--dry-run", "--season", small_season)
    assert (told["written"], told["changes"]) == (
        False,
        [
            {
                "criterion": "design",
                "before": {"score": 40, "reason": "Dull."},
                "now": {"score": 55, "reason": "It grew on me."},
            }
        ],
    )
    assert "finish" in told["open"]
    code, _, err = run("take-in", path, "--season", small_season)
    assert code == 1
    assert "it would replace 1 earlier answer by kit: design" in err
    assert scores_file.read_text(encoding="utf-8") == before
    assert run("take-in", path, "--replace", "--season", small_season)[0] == 0
    kept = tomllib.loads(scores_file.read_text(encoding="utf-8"))["kit"]
    assert kept["design"] == {"score": 55, "reason": "It grew on me.", "spread": 3}
    assert kept["finish"] == {"score": 9, "reason": "Bent."}


@pytest.mark.parametrize(
    ("value", "form", "told"),
    [
        ("8.5", None, "'8.5', which is not a whole number"),
        ("8,5", None, "'8,5', which is not a whole number"),
        (8.25, "# ?/?", "8.25, which is not a whole number"),
        (84.6, "0", "84.6, which is not a whole number"),
        (0.85, "0%", "'85 %', which is not a whole number"),
        (1, "0.0 %", "'100 %', which is not a whole number"),
        (date(2031, 8, 5), None, "holds a date, 2031-08-05"),
        (-5, None, "-5, which is not a whole number"),
        (101, None, "101, which is not a whole number"),
        (1e300, None, "1e+300, which is not a whole number"),
        (True, None, "TRUE, which is not a whole number"),
        ("good", None, "'good', which is not a whole number"),
        ("٨٥", None, "'٨٥', which is not a whole number"),
        ("#N/A", None, "shows the error #N/A"),
        ("=80+5", None, "holds a formula without its result"),
    ],
)
def test_what_is_no_score_is_refused_with_its_cell(
    run, small_season, scores_file, fill, rows, value, form, told
):
    """And a sound answer beside it is not kept either."""
    cell, before = f"H{rows['design']}", scores_file.read_bytes()

    def shown(book):
        if form:
            book["Scores"][cell].number_format = form

    sound = {f"H{rows['roster']}": 60, f"I{rows['roster']}": "Fine."}
    path = fill({cell: value, f"I{rows['design']}": "Because.", **sound}, then=shown)
    code, _, err = run("take-in", path, "--season", small_season)
    assert code == 1
    assert f"error: {cell} " in err
    assert told in err
    assert err.count("error: ") == 1
    assert scores_file.read_bytes() == before


def test_everything_that_is_wrong_is_told_at_once(run, small_season, scores_file, fill, rows):
    """A reason without a score, a score without one, an error for a reason, a key twice, merged cells."""
    one, two, three, four, five = sorted(rows.values())[:5]
    name = next(key for key, row in rows.items() if row == one)
    cells = {f"I{one}": "Why not?", f"H{two}": 50, f"H{three}": 50, f"I{three}": "#NAME?"}
    cells |= {f"A{four}": name, f"H{four}": 1, f"I{four}": "Again.", f"A{five}": "charm", f"H{five}": 3}
    last = max(rows.values())
    path = fill(cells, then=lambda book: book["Scores"].merge_cells(f"H{last - 1}:H{last}"))
    code, _, err = run("take-in", path, "--season", small_season)
    assert code == 1
    for told in (
        f"H{one} is blank, and a reason",
        f"I{two} is blank, and a score needs its reason",
        f"I{three} shows the error #NAME?",
        f"A{four} names {name}, as A{one} does",
        f"A{five} names 'charm', which the rubric does not ask",
        f"H{last - 1} to H{last} are merged",
    ):
        assert told in err
    assert "kit" not in scores_file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("mark", "value", "told"),
    [
        ("season_id", "another", "belongs to another season"),
        ("release", "../high-water", "has no such release"),
        ("rubric", "0" * 64, "another rubric"),
        ("rater", "nobody", "not a rater of this season"),
    ],
)
def test_a_sheet_about_something_else_is_refused(
    refused, small_season, scores_file, fill, rows, mark, value, told
):
    """By its marks: season, release, rubric and rater; nothing is kept."""

    def other(book):
        about = book["About"]
        row = next(row for row in range(1, 20) if about.cell(row, 1).value == mark)
        about.cell(row, 2).value = value
        release = value if mark == "release" else "deep-harbour"
        book["Scores"]["A2"].value = f"Release {release}, scored by {value if mark == 'rater' else 'kit'}"

    path = fill({f"H{rows['design']}": 55, f"I{rows['design']}": "So."}, then=other)
    assert told in refused("take-in", path, "--season", small_season)
    assert "kit" not in scores_file.read_text(encoding="utf-8")


def test_a_table_put_into_another_workbook_is_refused(refused, small_season, fill):
    """The line over the table says which release it scores, and the marks say another."""
    path = fill({"A2": "Release high-water, scored by kit"})
    assert "the table is not the one of this workbook" in refused("take-in", path, "--season", small_season)


def test_clumsy_sheets_are_read_right(run, answer, small_season, fill, rows):
    """Rows sorted otherwise, hidden rows and columns, a column put in, notes under the table."""

    def clumsy(book):
        page = book["Scores"]
        page.insert_cols(3)
        page.row_dimensions[rows["design"]].hidden = True
        page.column_dimensions["J"].hidden = True
        first, other = rows["design"], rows["roster"]
        for column in range(1, 12):
            a, b = page.cell(first, column), page.cell(other, column)
            a.value, b.value = b.value, a.value
        page.cell(60, 1).value = "Sorry it took so long!"

    cells = {
        f"H{rows['design']}": 55,
        f"I{rows['design']}": "So.",
        f"H{rows['roster']}": 6,
        f"I{rows['roster']}": "No.",
    }
    told = answer("take-in", fill(cells, then=clumsy), "--season", small_season)
    assert {one["criterion"]: one["now"]["score"] for one in told["changes"]} == {"design": 55, "roster": 6}


def altered(path, change):
    """The workbook with some parts put otherwise, or left out where None comes back."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = change(name, old.read(name))
            if content is not None:
                new.writestr(name, content)
        for name, content in (change("", b"") or {}).items():
            new.writestr(name, content)
    path.write_bytes(out.getvalue())


def _macro(name, content):
    return {"xl/vbaProject.bin": b"x"} if not name else content


def _no_sheet(name, content):
    return None if not name or name == "xl/worksheets/sheet1.xml" else content


def _entities(name, content):
    declared = content.replace(b"<workbook", b'<!DOCTYPE x [<!ENTITY a "b">]><workbook', 1)
    return None if not name else declared if name == "xl/workbook.xml" else content


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (_macro, "holds macros"),
        (_no_sheet, "not in the file"),
        (_entities, "declares a document type"),
    ],
)
def test_hostile_workbooks_are_refused(refused, small_season, scores_file, fill, rows, change, told):
    """By the guards of intake, with the part; nothing is kept."""
    path = fill({f"H{rows['design']}": 55, f"I{rows['design']}": "So."})
    altered(path, change)
    assert told in refused("take-in", path, "--season", small_season)
    assert "kit" not in scores_file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"%PDF-1.7 nothing", "this is a PDF"),
        (b"criterion,your score\ndesign,8\n", "this is text"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
            "protected with a password",
        ),
        (b"PK\x03\x04 and no more", "damaged"),
        (b"", "is empty"),
    ],
)
def test_another_type_by_content_is_refused(refused, small_season, tmp_path, content, told):
    """Whatever its name ends in."""
    path = tmp_path / "back.xlsx"
    path.write_bytes(content)
    assert told in refused("take-in", path, "--season", small_season)


def test_a_million_empty_rows_and_a_lying_size_cost_nothing(answer, refused, small_season, fill, rows):
    """Read right where they fit the guards, in under 3 s; a size that is stated is not believed."""

    def padded(name, content):
        if name != "xl/worksheets/sheet1.xml":
            return content if name else None
        content = content.replace(b'<dimension ref="', b'<dimension ref="A1:XFD1048576" was="', 1)
        empty = b"".join(b'<row r="%d"/>' % row for row in range(2000, 1_000_000))
        return content.replace(b"</sheetData>", empty + b"</sheetData>")

    path = fill({f"H{rows['design']}": 55, f"I{rows['design']}": "So."})
    altered(path, padded)
    start, room = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    told = answer("take-in", path, "--season", small_season)
    assert time.process_time() - start < 3
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - room < 300 * 1024
    assert [one["now"]["score"] for one in told["changes"]] == [55]


def test_an_unknown_rater_gets_no_sheet(refused, small_season, tmp_path):
    """Those that there are, are named."""
    told = refused(
        "scoresheet", "deep-harbour", "--rater", "nobody", "--into", tmp_path, "--season", small_season
    )
    assert "me, kit" in told
    assert not list(tmp_path.glob("*.xlsx"))
