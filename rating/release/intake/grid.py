"""A foreign workbook or text file as grids of text, its rows numbered as people see them."""

from __future__ import annotations

import csv
import io
import posixpath
import re
import unicodedata
import warnings
import zipfile
import zlib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar
from xml.etree.ElementTree import ParseError
from xml.parsers import expat

from rating import text
from rating.errors import Problem, RatingError
from rating.release.intake import decoding, guards, sheet_xml, steady, texts, thousands, unfold
from rating.release.intake.sheet_xml import Cells, Styles
from rating.release.intake.values import Grid, Repaired, Row

T = TypeVar("T")

_CELL_LIMIT = 32_767
_CELL_LINES = 40  # of one cell that a text has
# vertical tab, next line, and the line and paragraph separators end a line as well
_LINE_ENDS = re.compile("\r\n?|[\v\x85\u2028\u2029]")
_ZEROS = re.compile(r"0{2,}\Z")
_ANEW = "get the file again, or open it and save it again"
_PERCENTS = (9, 10)  # the formats 0% and 0.00% by their numbers, ECMA-376 part 1, 18.8.30
_OWN_FORMATS = 164  # number formats below are the program's own
_BLANK_SHEET = (
    b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><dimension '
    b'ref="A1"/><sheetData/></worksheet>'
)
_NOTHING: Mapping[int, str] = MappingProxyType({})
_DELIMITERS = ("\t", ";", ",", "|")
# UTF-8 read as cp1252 leaves these first letters; the pair says that the whole cell was misread
_MISREAD = re.compile(r"[ÂÃÄÅÆÇÈÐÑ][\u0080-\u00bf€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]|â[€„‚†]|ï¿½")


def read(path: Path) -> list[Grid]:
    """The sheets of a workbook, or the one table of a text file, whatever the name's ending says.

    Raises
    ------
    RatingError
        if a guard refuses the file, or it cannot be read at all
    """
    return read_data(guards.read_bytes(path), path.name)


def read_data(data: bytes, name: str) -> list[Grid]:
    """The sheets in a file's content, see `read`."""
    if guards.is_workbook(data, name):
        return _workbook(data, name)
    content = decoding.decode(data, name)
    return _parts(content, name) or [text_grid(content, name)]


def _parts(content: str, name: str) -> list[Grid]:
    """The parts of a text that is no table of one kind, as grids; none where it is one."""
    found = []
    plain = texts.plain(_LINE_ENDS.sub("\n", content.lstrip("\ufeff")))
    parts = texts.parts(plain)
    if not parts and delimiter_of(plain) == "\n":
        parts = texts.loose_parts(plain)
    for part in parts:
        whole = _grid(part.rows, file=name, sheet="")
        found.append(replace(whole, last=len(whole.rows), kind=part.kind, why=part.why, roles=part.roles))
    return found


def text_grid(content: str, name: str) -> Grid:
    """The rows of a text table, its delimiter found by which one gives the steadiest columns."""
    content = texts.plain(_LINE_ENDS.sub("\n", content.lstrip("\ufeff")))
    told = re.match(r"sep=(.)\r?\n", content)
    delimiter = told[1] if told else delimiter_of(content)
    unclosed: dict[int, str] = {}
    rows = list(_parsed(content, delimiter, name, unclosed))
    if told:
        rows[0] = []
    repaired = [
        Repaired(
            file=name,
            sheet="",
            row=row,
            was=line,
            now=rows[row - 1][0] if delimiter == "\n" else line.replace('"', ""),
        )
        for row, line in unclosed.items()
    ]
    for place, cells in thousands.in_step(rows).items() if delimiter == "," else ():
        was, rows[place] = delimiter.join(rows[place]), list(cells)
        repaired.append(Repaired(file=name, sheet="", row=place + 1, was=was, now=" | ".join(cells)))
    damaged = _brought_in_step(rows, delimiter, name, repaired, is_whole=content.endswith("\n"))
    grid = _grid(enumerate(rows, start=1), file=name, sheet="")
    return replace(
        grid,
        repaired=(*repaired, *grid.repaired),
        damaged=damaged,
        last=max([grid.last, *(one.row or 0 for one in damaged)]),
    )


def _brought_in_step(
    rows: list[list[str]], mark: str, name: str, repaired: list[Repaired], *, is_whole: bool
) -> tuple[Problem, ...]:
    """Put rows with a cell too many or too few in step; those that nobody can read are emptied and told."""
    damaged: list[Problem] = []
    if not is_whole and rows and steady.is_cut_short(rows, mark):
        damaged.append(_out_of_step(rows[-1], 0, name, len(rows), is_cut=True))
        rows[-1] = []
    table = steady.Table([tuple(map(str.strip, row)) for row in rows] if mark != "\n" else (), mark)
    for place, row in enumerate(rows if table.width else ()):
        if len(row) in {0, table.width}:
            continue
        cells = tuple(map(str.strip, row))
        is_cut = not is_whole and place == len(rows) - 1 and table.is_cut(cells)
        step = table.step(cells)
        if is_cut or (step and step.cells is None):
            damaged.append(_out_of_step(cells, table.width, name, place + 1, is_cut=is_cut))
            rows[place] = []
        elif step and step.cells is not None:
            line = mark.join(row)
            repaired.append(
                Repaired(file=name, sheet="", row=place + 1, was=line, now=" | ".join(step.cells))
            )
            rows[place] = list(step.cells)
    return tuple(damaged)


def _out_of_step(cells: Sequence[str], width: int, name: str, row: int, *, is_cut: bool) -> Problem:
    quoted = text.printable(" | ".join(cells)[:120])
    what = (
        f"the file ends in the middle of this row: {quoted!r}"
        if is_cut
        else f"the row has {text.count(len(cells), 'cell')}, the others have {width}, and it cannot be told"
        f" which belong together: {quoted!r}"
    )
    fix = "get the file again" if is_cut else "put quotes around a text with the separator in it"
    return Problem(code="ragged-row", file=name, row=row, what=what, fix=fix)


def delimiter_of(content: str) -> str:
    """The mark that parts the cells of a text; a line break where nothing does."""
    sample = content[:60_000]
    best, best_worth = "\n", 0.0
    quoted = _QUOTED.findall(sample)
    for mark in _DELIMITERS:
        if mark not in sample or (mark != "\t" and _is_prose(sample, mark)):
            continue
        found = [row for row in _loosely(sample, mark) if any(row)]
        widths = Counter(map(len, found))
        rows = len(found)
        wide = {width: number for width, number in widths.items() if width > 1}
        if not wide:
            continue
        width, number = max(wide.items(), key=lambda item: (item[1] * min(item[0], 6), item[0]))
        number += sum(len(row) > width and not any(row[width:]) for row in found)  # blank cells too many
        # prose has commas too, but never the same number in most of its lines
        if number * 2 < rows and sum(wide.values()) * 4 < rows * 3:
            continue
        worth = number / rows * (1 + min(width, 8) / 20) * _unquoted(quoted, mark)
        if worth > best_worth:
            best, best_worth = mark, worth
    return _of_some_lines(sample) if best == "\n" else best


def _unquoted(quoted: Sequence[tuple[str, str]], mark: str) -> float:
    """The share of quoted texts between two marks or ends of lines; 1 where few are quoted.

    Parameters
    ----------
    quoted : what stands before and behind each
    """
    if len(quoted) < _FEW_QUOTED:
        return 1.0
    return sum({before, after} <= {mark, ""} for before, after in quoted) / len(quoted)


def _of_some_lines(sample: str) -> str:
    """The mark that some lines of a text have equally often: a table above a legend, or below one."""
    for mark, least in (("\t", 1), (";", _ROWS), ("|", _ROWS)):
        told = [(place, line) for place, line in enumerate(sample.splitlines()) if mark in line]
        lines = [line for _, line in told]
        if mark != "\t" and any(after - place > 1 for (place, _), (after, _) in pairwise(told)):
            continue  # ladders, one here and one there
        counts = ([line.count(mark) for line in told] for told in (lines, [line.strip() for line in lines]))
        if any(len(marks) > least and min(marks) == max(marks) > 1 for marks in counts):
            return mark
    return "\n"


_ROWS = 3  # of a table among lines of text
_QUOTED = re.compile(r'(?:^|(.))"[^"\n]*"(?=(.?))', re.MULTILINE)
_FEW_QUOTED = 8  # texts in quotes, too few to tell what parts the cells
_PIECES = re.compile(r"[•·;|,]\s+")
_LED = re.compile(r"[^,;|\t]{2,60}(?::| [-–—]) \S")  # 'Base: Mist, Amber /75'


def _is_prose(sample: str, mark: str) -> bool:
    """Whether commas stand in sentences: a blank after nearly each, and lines that end with a stop."""
    lines = [line for line in sample.splitlines() if line.strip()]
    bare = re.sub(r'"[^"\n]*"', '""', sample)
    within = re.findall(r"\([^()\n]*\)", bare)
    if sum(mark in one for one in within) * 5 > len(lines):
        return True
    with_blank = bare.count(f"{mark} ") + bare.count(f"{mark}\n")
    stops = sum(line.rstrip().endswith((".", "!", ":")) for line in lines)
    if with_blank * 5 < bare.count(mark) * 4:
        return False
    # a blank after each mark, and lines of cards or sentences: 'Quill, Ada', 'Brass 1:4; Ember 1:30'
    numbered = sum(unfold.start(line) is not None for line in lines)
    pieces = [piece for line in lines for piece in line.split(f"{mark} ")]
    begun = sum(unfold.start(piece) is not None for piece in pieces)
    anywhere = sum(unfold.start(piece) is not None for line in lines for piece in _PIECES.split(line))
    if anywhere > 2 and anywhere * 3 >= 2 * len(lines):
        return True
    if len(pieces) > 2 * len(lines) and begun * 10 >= len(pieces) * 4:
        return True  # cards run on
    led = sum(bool(_LED.match(line)) for line in lines)
    if led * 5 >= len(lines) * 3:
        return True
    counts = Counter(line.count(mark) for line in lines if mark in line)
    is_uneven = max(counts.values()) * 10 < sum(counts.values()) * 6
    if (
        numbered >= _ROWS
        and max(counts, key=counts.__getitem__) == 1
        and sum(counts.values()) * 3 <= len(lines) * 2
    ):
        return True  # cards as 'SR-1. Quill, Ada' above lines that have no comma
    return stops * 10 >= len(lines) * 3 or numbered * 2 >= len(lines) or is_uneven


def _loosely(content: str, delimiter: str) -> list[list[str]]:
    """The cells of each row; where a quote never closes, those of each line."""
    try:
        if content.count('"') % 2:
            return list(
                map(next, (csv.reader([f"{line}\n"], delimiter=delimiter) for line in content.split("\n")))
            )
        return list(csv.reader(io.StringIO(content, newline=""), delimiter=delimiter))
    except csv.Error:
        return []


def _parsed(content: str, delimiter: str, name: str, unclosed: dict[int, str]) -> Iterator[list[str]]:
    """The cells of each row; rows with a quote that never closes are put into `unclosed`, by their number."""
    if delimiter == "\n":
        lines = content.splitlines()
        for number, line in enumerate(lines, start=1):
            sound = line if _heads_cells(lines[number - 1 : number + 1]) else _sound(line)
            if sound != line:
                unclosed[number] = line
            yield [sound]
        return
    csv.field_size_limit(_CELL_LIMIT)
    lines = content.split("\n")
    width = Counter(line.count(delimiter) for line in lines if delimiter in line and '"' not in line)
    usual = width.most_common(1)[0][0] if width else 0
    place = 0
    while place < len(lines):
        record, after = _record(lines, place, delimiter, usual)
        if after == place + 1 and record[0] != lines[place]:
            unclosed[after] = lines[place]
        try:
            cells = next(csv.reader(record, delimiter=delimiter, skipinitialspace=True), [])
        except csv.Error as fault:
            raise RatingError(
                f"the text cannot be split into cells: {fault}",
                where=f"{name}, row {place + 1}",
                fix='close every quote, and write a quote inside a text twice ("")',
            ) from None
        yield cells
        yield from ([] for _ in range(place + 1, after))
        place = after


def _heads_cells(pair: Sequence[str]) -> bool:
    """Whether a line begins with a blank cell, over the labels of a table among sentences."""
    mark = pair[0][:1]
    if len(pair) < 2 or mark not in {",", ";"}:
        return False
    head, below = (row[0] if (row := _loosely(line, mark)) else [] for line in pair)
    return len(head) == len(below) > 2 and not head[0] and all(map(str.strip, [*head[1:], below[0]]))


def _sound(line: str) -> str:
    """A line of text without a quote at one of its ends that has no other, and marks that part nothing."""
    if line.count('"') == 1:
        line = line.strip().removeprefix('"').removesuffix('"')
    return line.lstrip(" ,;") if line.startswith((",", ";")) else line


def _record(lines: Sequence[str], place: int, delimiter: str, usual: int) -> tuple[list[str], int]:
    """The lines of one row, and where the next begins. A quote that never closes swallows no other row."""
    first = lines[place]
    if first.count('"') % 2 == 0:
        return [first], place + 1
    whole = [first]
    for after in range(place + 1, min(place + _CELL_LINES, len(lines))):
        line = lines[after]
        if usual and line.count(delimiter) >= usual:
            break  # a row of its own
        whole.append(line)
        if line.count('"') % 2:
            return [f"{one}\n" for one in whole], after + 1
    return [first.replace('"', "")], place + 1


def cells(data: bytes, name: str) -> list[tuple[str, Cells]]:
    """The sheets of a workbook by their names, their cells as they hold them; a percentage as text, '85 %'.

    Raises
    ------
    RatingError
        if a guard refuses the file, or it cannot be read at all
    """

    def raw(parts: zipfile.ZipFile, sheet: Any, texts: Sequence[str], styles: Styles) -> tuple[str, Cells]:
        return sheet.title, _cells(parts, sheet, texts, styles, name)

    found, gone = _each(data, name, raw, with_percents=True)
    if gone:
        raise RatingError(f"the sheet {gone[0]!r} is not in the file", where=name, fix=_ANEW)
    return found


def _workbook(data: bytes, name: str) -> list[Grid]:
    def whole(parts: zipfile.ZipFile, sheet: Any, texts: Sequence[str], styles: Styles) -> Grid:
        return _sheet(parts, sheet, texts, styles, name)

    return _with_gone(*_each(data, name, whole), name)


def _each(
    data: bytes, name: str, read: Callable[..., T], *, with_percents: bool = False
) -> tuple[list[T], list[str]]:
    """What is read of each sheet of a workbook, and the names of those whose parts are gone."""
    import openpyxl

    with guards.check_workbook(data, name) as parts, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # remarks on styles and extensions, which are not read
        try:
            book = openpyxl.load_workbook(_slim(parts), read_only=True, data_only=True, keep_links=False)
            styles = _styles(book, with_percents=with_percents)
            texts = _texts(book)
            return [read(parts, sheet, texts, styles) for sheet in book.worksheets], _gone(parts)
        except RatingError:
            raise
        except (
            KeyError,
            ValueError,
            TypeError,
            AttributeError,
            IndexError,
            OverflowError,
            EOFError,
            OSError,
            ParseError,
            expat.ExpatError,
            RecursionError,
            zlib.error,
            zipfile.BadZipFile,
        ) as fault:
            raise RatingError(
                f"the workbook is damaged: {text.printable(str(fault)[:120]) or type(fault).__name__}",
                where=name,
                fix="open it in a spreadsheet program, save it again and take that in",
            ) from fault


def _slim(parts: zipfile.ZipFile) -> io.BytesIO:
    """The workbook for openpyxl: its texts, styles and names, with a blank page in place of each sheet.

    openpyxl walks through a sheet that does not state its size while it opens a workbook, however long it is.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as slim:
        for part in parts.infolist():
            lower = part.filename.lower()
            if part.is_dir() or not lower.endswith((".xml", ".rels")):
                continue
            is_sheet = lower.startswith("xl/worksheets/") and lower.endswith(".xml")
            slim.writestr(part.filename, _BLANK_SHEET if is_sheet else parts.read(part))
    out.seek(0)
    return out


def _gone(parts: zipfile.ZipFile) -> list[str]:
    """The sheets that a workbook names and whose parts are not in it; openpyxl says nothing of them."""
    from defusedxml import ElementTree

    there = {name.lower() for name in parts.namelist()}
    try:
        relations = ElementTree.fromstring(parts.read("xl/_rels/workbook.xml.rels"))
    except KeyError:
        return []
    gone = {
        one.get("Id")
        for one in relations
        if one.get("Type", "").endswith("/worksheet")
        and posixpath.normpath(posixpath.join("/xl", one.get("Target", ""))).lstrip("/").lower() not in there
    }
    named = ElementTree.fromstring(parts.read("xl/workbook.xml")).iter() if gone else ()
    return [
        one.get("name", "")
        for one in named
        if one.tag.endswith("}sheet") and any(value in gone for value in one.attrib.values())
    ]


def _with_gone(grids: list[Grid], gone: Sequence[str], name: str) -> list[Grid]:
    """The sheets of a workbook with a problem for each that is gone.

    Raises
    ------
    RatingError
        if no other is there
    """
    told = [
        Problem(
            code="missing-sheet",
            file=name,
            sheet=one,
            what=f"the sheet {one!r} is not in the file",
            fix=_ANEW,
        )
        for one in gone
    ]
    if told and not grids:
        raise RatingError(told[0].what, where=name, fix=_ANEW)
    return [replace(grids[0], problems=(*told, *grids[0].problems)), *grids[1:]] if told else grids


def _texts(book: Any) -> Sequence[str]:
    """The shared texts that openpyxl read for its sheets."""
    return next((one._shared_strings for one in book.worksheets), ())  # noqa: SLF001 (it offers no other way)


def _styles(book: Any, *, with_percents: bool) -> Styles:
    formats = book._number_formats  # noqa: SLF001 (read-only workbooks show styles by the cell alone)
    noughts: dict[int, int] = {}
    percents: set[int] = set()
    for place, style in enumerate(book._cell_styles):  # noqa: SLF001 (the same)
        number = style.numFmtId - _OWN_FORMATS
        form = formats[number].split(";")[0] if 0 <= number < len(formats) else ""
        if _ZEROS.match(form):
            noughts[place] = len(form)
        if with_percents and (style.numFmtId in _PERCENTS or "%" in form):
            percents.add(place)
    return Styles(
        dates=book._date_formats,  # noqa: SLF001 (the same)
        durations=book._timedelta_formats,  # noqa: SLF001 (the same)
        noughts=noughts,
        epoch=book.epoch,
        percents=percents,
    )


def _cells(parts: zipfile.ZipFile, sheet: Any, texts: Sequence[str], styles: Styles, name: str) -> Cells:
    path = sheet._worksheet_path  # noqa: SLF001 (openpyxl followed the relations to it)
    return sheet_xml.read(parts.read(path), texts, styles, where=f"{name}, part {path}")


def _sheet(parts: zipfile.ZipFile, sheet: Any, texts: Sequence[str], styles: Styles, name: str) -> Grid:
    found = _cells(parts, sheet, texts, styles, name)
    problems = [
        Problem(
            code="uncomputed-formula",
            file=name,
            sheet=sheet.title,
            row=row,
            what=f"cell {place} holds a formula without its result",
            fix="open the workbook in a spreadsheet program, save it and take it in again",
        )
        for place, row in found.uncomputed[:50]
    ]
    return _grid(
        found.rows,
        file=name,
        sheet=sheet.title,
        spans=tuple(found.spans),
        is_hidden=sheet.sheet_state != "visible",
        problems=tuple(problems),
    )


def _grid(
    rows: Iterable[tuple[int, Sequence[Any]]],
    *,
    file: str,
    sheet: str,
    spans: tuple[tuple[int, int, int, int], ...] = (),
    is_hidden: bool = False,
    problems: tuple[Problem, ...] = (),
) -> Grid:
    known: dict[str, str] = {}
    altered: dict[str, str] = {}
    kept: list[Row] = []
    for number, values in rows:
        cells: list[str] = []
        dates: list[int] = []
        for column, value in enumerate(values):
            if value is None or value == "":
                cells.append("")
            elif isinstance(value, str):
                clean = known.get(value)
                if clean is None:
                    clean = _clean(value)
                    clean = known[value] = value if clean == value else clean  # one text, not two
                    if _MISREAD.search(value) and clean != (as_written := text.tidy(value)):
                        altered[clean] = as_written
                cells.append(clean)
            else:
                if isinstance(value, date):
                    dates.append(column)
                cells.append(_as_text(value))
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            raw = {p: altered[cell] for p, cell in enumerate(cells) if cell in altered} if altered else {}
            kept.append(Row(number, tuple(cells), frozenset(dates), raw or _NOTHING))
    last = kept[-1].number if kept else 0
    mended = sum(1 for raw in known if _MISREAD.search(raw) and "ï¿½" not in raw)
    if mended:
        problems = (
            *problems,
            Problem(
                code="misread-letters",
                file=file,
                sheet=sheet,
                what=f"letters of {text.count(mended, 'cell')} were damaged by a wrong encoding and repaired",
                fix="look over names with unusual letters",
                severity="remark",
            ),
        )
    repaired = tuple(
        Repaired(file=file, sheet=sheet, row=row.number, was=was, now=row.cells[place])
        for row in kept
        for place, was in row.written.items()
    )
    return Grid(
        file=file,
        sheet=sheet,
        rows=tuple(kept),
        last=last,
        spans=spans,
        is_hidden=is_hidden,
        problems=problems,
        repaired=repaired,
    )


def _clean(cell: str) -> str:
    """A cell's text tidied line by line, its misread letters mended, invisible marks taken out."""
    if cell.isascii() and "\n" not in cell and cell.isprintable():
        return " ".join(cell.split())
    cell = mended(cell)
    if not cell.isprintable():
        cell = "".join(
            mark
            for mark in cell
            if mark in "\n\t" or mark.isspace() or unicodedata.category(mark) not in {"Cf", "Cc", "Cs", "Co"}
        )
    lines = (text.tidy(line) for line in cell.split("\n"))
    return "\n".join(line for line in lines if line)


def mended(cell: str) -> str:
    """Text whose UTF-8 was read as cp1252, read rightly; any other text as it is."""
    if not _MISREAD.search(cell):
        return cell
    raw = bytearray()
    for mark in cell:
        try:
            raw += mark.encode("cp1252")
        except UnicodeEncodeError:
            if ord(mark) > 0xFF:
                return cell
            raw.append(ord(mark))
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return cell


def _as_text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return str(int(value)) if value == int(value) and abs(value) < 1e15 else f"{value:.12g}"
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return value.isoformat("minutes")
    return text.tidy(str(value))
