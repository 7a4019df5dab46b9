"""Hostile and clumsy files are refused quickly, cheaply and with the part named."""

from __future__ import annotations

import io
import os
import resource
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest

from rating.errors import RatingError
from rating.release.intake import grid, guards

SHEET = "xl/worksheets/sheet1.xml"
NAMESPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


@pytest.fixture
def plain(workbook):
    """A workbook with nothing wrong in it."""
    return workbook({"Base": [["Card", "Player", "Team"], [1, "Pell Skelwith", "Bells"]]})


@pytest.fixture
def altered(plain):
    """The plain workbook with parts replaced or added."""

    def build(parts, *, twice=()):
        out = io.BytesIO()
        with (
            zipfile.ZipFile(io.BytesIO(plain)) as old,
            zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
        ):
            for one in old.namelist():
                if one not in parts:
                    new.writestr(one, old.read(one))
            for name, content in parts.items():
                new.writestr(name, content)
        data = out.getvalue()
        if twice:
            out = io.BytesIO(data)
            with zipfile.ZipFile(out, "a") as new:
                for one in twice:
                    with pytest.warns(UserWarning, match="Duplicate name"):
                        new.writestr(one, b"<x/>")
            data = out.getvalue()
        return data

    return build


def refused(data, name="list.xlsx"):
    with pytest.raises(RatingError) as caught:
        grid.read_data(data, name)
    assert caught.value.fix
    return caught.value


def sheet_xml(rows="", head=""):
    return f'{head}<worksheet xmlns="{NAMESPACE}"><sheetData>{rows}</sheetData></worksheet>'


def test_a_document_type_is_refused(altered):
    """Entities that grow to gigabytes need one; no workbook does."""
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'
    fault = refused(altered({SHEET: sheet_xml(head=bomb)}))
    assert "document type" in fault.what
    assert SHEET in fault.where


def test_a_document_type_across_a_bite_is_refused(altered):
    """However far into a part it stands."""
    for filler in (256 * 1024 - 4, 256 * 1024 + 3):
        fault = refused(altered({SHEET: " " * filler + "<!DOCTYPE x>" + sheet_xml()}))
        assert SHEET in fault.where


def test_a_zip_bomb_is_refused_by_its_ratio(altered):
    """Eleven megabytes of blanks packed a thousand to one."""
    fault = refused(altered({SHEET: b" " * 11_000_000}))
    assert "to 1" in fault.what
    assert SHEET in fault.where


def test_a_part_that_is_larger_than_it_states_is_refused(altered):
    """The size in the zip's table of contents is a claim."""
    data = bytearray(altered({SHEET: b" " * 3_000_000}))
    true, lie = (3_000_000).to_bytes(4, "little"), (200_000).to_bytes(4, "little")
    assert data.count(true) == 2
    fault = refused(bytes(data.replace(true, lie)))
    assert SHEET in fault.where


def test_a_part_that_stands_twice_is_refused(altered):
    """One reader takes the first, another the last."""
    fault = refused(altered({}, twice=[SHEET]))
    assert "twice" in fault.what
    assert SHEET in fault.where


def test_macros_are_refused(altered):
    """With the part named."""
    fault = refused(altered({"xl/vbaProject.bin": b"x"}))
    assert "macros" in fault.what
    assert "xl/vbaProject.bin" in fault.where


def test_too_many_parts_are_refused(altered):
    """More than 500."""
    assert "parts" in refused(altered({f"xl/media/{n}.xml": b"x" for n in range(501)})).what


@pytest.mark.parametrize(
    ("part", "size"), [("xl/styles.xml", 2 * 1024 * 1024 + 1), ("xl/workbook.xml", 1024 * 1024 + 1)]
)
def test_parts_that_are_too_large_are_refused(part, size, altered):
    """Styles of 2 MiB and a workbook part of 1 MiB are the most."""
    fault = refused(altered({part: os.urandom(size)}))
    assert part in fault.where


def test_a_large_file_is_refused_unread(tmp_path):
    """Ten MiB are the most; a sparse terabyte takes no time."""
    path = tmp_path / "huge.xlsx"
    with path.open("wb") as file:
        file.truncate(1 << 40)
    with pytest.raises(RatingError, match="at most"):
        grid.read(path)


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "old .xls"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le") + b"\0" * 99,
            "password",
        ),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\x89PNG\r\n\x1a\n...", "a picture"),
        (b"<!doctype html><html>", "a web page"),
        (b"\x1f\x8b\x08...", "gzip"),
        (b"PK\x03\x04 broken", "damaged"),
        (b"abc\0\0\0\0\0\0\0\0def", "neither a workbook nor text"),
        (b"", "empty"),
        (b"\r\n \r\n", "empty"),
    ],
)
def test_a_wrong_type_is_told_by_its_content(data, what, tmp_path):
    """Whatever the name's ending says."""
    path = tmp_path / "list.xlsx"
    path.write_bytes(data)
    with pytest.raises(RatingError, match=what):
        grid.read(path)


def test_a_zip_that_is_no_workbook_is_named(tmp_path):
    """A text document, for one."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        book.writestr("word/document.xml", "<x/>")
    assert "a text document" in refused(out.getvalue()).what


def test_rows_out_of_order_are_refused(altered):
    """Readers drop a row whose number was there before, without a word."""
    rows = '<row r="2"><c r="A2"><v>1</v></c></row><row r="2"><c r="A2"><v>2</v></c></row>'
    fault = refused(altered({SHEET: sheet_xml(rows)}))
    assert "row 2 stands after row 2" in fault.what
    assert SHEET in fault.where


def test_a_million_empty_rows_are_read_past(altered):
    """A sheet that somebody formatted to its last row holds the two rows that it holds."""
    rows = '<row r="1"><c r="A1" t="str"><v>Card</v></c></row>'
    rows += "".join(f'<row r="{n}" spans="1:9"/>' for n in range(2, 600_000))
    (found,) = grid.read_data(altered({SHEET: sheet_xml(rows)}), "list.xlsx")
    assert [(row.number, row.cells) for row in found.rows] == [(1, ("Card",))]


def test_a_lying_dimension_hides_nothing(altered):
    """The sheet says it is one cell; it has three rows."""
    rows = "".join(f'<row r="{n}"><c r="B{n}" t="str"><v>x{n}</v></c></row>' for n in (1, 2, 7))
    told = sheet_xml(rows).replace("<sheetData>", '<dimension ref="A1"/><sheetData>')
    (found,) = grid.read_data(altered({SHEET: told}), "list.xlsx")
    assert [row.number for row in found.rows] == [1, 2, 7]


def test_a_sheet_of_far_too_many_columns_is_refused(altered):
    """A cell in the last column of every row makes a few kilobytes into millions of cells."""
    rows = "".join(f'<row r="{n}"><c r="XFD{n}"><v>1</v></c></row>' for n in range(1, 400))
    assert "columns wide" in refused(altered({SHEET: sheet_xml(rows)})).what


def test_a_formula_without_its_result_is_told(altered, intake):
    """The cell is named; the row cannot be read rightly."""
    rows = '<row r="1"><c r="A1" t="str"><v>Card</v></c><c r="B1" t="str"><v>Player</v></c></row>'
    rows += '<row r="2"><c r="A2"><f>1+1</f></c><c r="B2" t="str"><v>Pell Skelwith</v></c></row>'
    rows += '<row r="3"><c r="A3"><v>3</v></c><c r="B3" t="str"><v>Una Tarnhowes</v></c></row>'
    result = intake(("list.xlsx", altered({SHEET: sheet_xml(rows)})))
    assert "uncomputed-formula" in [one.code for one in result.problems]
    assert "cell A2" in next(one.what for one in result.problems if one.code == "uncomputed-formula")


def test_external_entities_and_links_are_not_followed(altered, tmp_path):
    """Nothing outside the file is read."""
    secret = tmp_path / "secret.txt"
    secret.write_text("do not read", encoding="utf-8")
    told = f'<?xml version="1.0"?><!DOCTYPE a SYSTEM "file://{secret}">' + sheet_xml()
    assert "do not read" not in str(refused(altered({SHEET: told})))


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system does not tell it")
def test_a_bomb_costs_little_memory_and_time(altered, tmp_path):
    """Under 300 MB and 3 s of CPU, imports included."""
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(altered({SHEET: b"<a>" * 20_000_000}))
    code = (
        "from pathlib import Path; from rating.errors import RatingError\n"
        "from rating.release.intake import grid\n"
        f"try: grid.read(Path({str(path)!r}))\n"
        "except RatingError: print('refused')\n"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    root = Path(__file__).resolve().parents[3]
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root)
    word, kilobytes = done.stdout.split()
    assert word == "refused"
    assert int(kilobytes) < 300 * 1024
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before < 3


def test_a_refused_file_stops_none_of_the_others(intake, plain, release):
    """Every refused file is named, and what can be read is taken."""
    result = intake(("good.xlsx", plain), ("bad.xlsx", b"%PDF-"), ("worse.csv", b"\x89PNG"))
    refused = [one.file for one in result.problems if one.code == "refused-file"]
    assert refused == ["bad.xlsx", "worse.csv"]
    assert (release / "checklist.csv").exists()


def test_nothing_is_written_where_every_file_is_refused(intake, release):
    """There is nothing to take."""
    with pytest.raises(RatingError) as caught:
        intake(("bad.xlsx", b"%PDF-"), ("worse.csv", b"\x89PNG"))
    assert [one.file for one in caught.value.problems] == ["bad.xlsx", "worse.csv"]
    assert list(release.iterdir()) == []


def test_a_million_rows_are_refused_before_they_are_read(tmp_path):
    """With their number, the most that are read, and what to do."""
    path = tmp_path / "list.csv"
    path.write_bytes(b"1,Ada Quill,Rooks\n" * 1_000_000)
    begun = time.process_time()
    with pytest.raises(RatingError, match="1,000,000 rows, at most 400,000 are read"):
        guards.read_bytes(path)
    assert time.process_time() - begun < 1
