"""A foreign workbook or text file as grids of text: one value for every layout, rows numbered as people see them."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
import warnings
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from rating import text
from rating.errors import Problem, RatingError
from rating.release.intake import guards
from rating.release.intake.values import Grid, Row

_ROWS_LIMIT = 100_000
_CELLS_LIMIT = 1_000_000
_PADDED_LIMIT = 5_000_000
_CELL_LIMIT = 32_767
_MERGE = re.compile(rb'<mergeCell\b[^>]*?\bref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')
_ROW_NUMBER = re.compile(rb'<row\b[^>]*?\br="(\d{1,8})"')
_EMPTY_CELL = re.compile(rb"<c\b[^>]*/>")
_EMPTY_ROW = re.compile(rb"<row\b[^>]*(?:/>|>\s*</row>)")
_UNCOMPUTED = re.compile(
    rb'<c\b[^>]*?\br="([A-Z]{1,3}\d{1,7})"[^>]*><f\b(?:[^>]*/>|[^>]*>[^<]*</f>)(?:<v\s*/>|<v></v>)?</c>'
)
_ZEROS = re.compile(r"0{2,}\Z")
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
    return [text_grid(decode(data, name), name)]


def decode(data: bytes, name: str) -> str:
    """The text of a file in UTF-8 or UTF-16 with or without a mark, else in cp1252.

    Raises
    ------
    RatingError
        if it is no text
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _strictly(data, "utf-16", name)
    if data.startswith(b"\xef\xbb\xbf"):
        return _strictly(data, "utf-8-sig", name, otherwise="cp1252")
    head = data[:4096]
    if b"\0" in head:
        odd, even = head[1::2].count(0), head[::2].count(0)
        if max(odd, even) * 4 >= len(head) // 2 and odd != even:
            return _strictly(data, "utf-16-le" if odd > even else "utf-16-be", name)
    if b"\0" in data:
        raise RatingError(
            "the file is neither a workbook nor text", where=name, fix="save it as .xlsx or CSV"
        )
    return _strictly(data, "utf-8", name, otherwise="cp1252")


def _strictly(data: bytes, encoding: str, name: str, *, otherwise: str = "") -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as fault:
        if not otherwise:
            raise RatingError(
                f"byte {fault.start + 1} is no {encoding} text", where=name, fix="save it as CSV in UTF-8"
            ) from fault
    # five bytes have no letter in cp1252; they become visible damage, never a silent loss
    return data.decode(otherwise, errors="replace")


def text_grid(content: str, name: str) -> Grid:
    """The rows of a text table, its delimiter found by which one gives the steadiest columns."""
    content = content.lstrip("\ufeff")
    told = re.match(r"sep=(.)\r?\n", content)
    delimiter = told[1] if told else delimiter_of(content)
    rows = list(_parsed(content, delimiter, name))
    if told:
        rows[0] = []
    return _grid(enumerate(rows, start=1), file=name, sheet="")


def delimiter_of(content: str) -> str:
    """The mark that parts the cells of a text; a line break where nothing does."""
    sample = content[:60_000]
    best, best_worth = "\n", 0.0
    for mark in _DELIMITERS:
        if mark not in sample:
            continue
        widths = Counter(len(row) for row in _loosely(sample, mark) if any(row))
        rows = sum(widths.values())
        wide = {width: number for width, number in widths.items() if width > 1}
        if not wide:
            continue
        width, number = max(wide.items(), key=lambda item: (item[1] * min(item[0], 6), item[0]))
        # prose has commas too, but never the same number in most of its lines
        if number * 2 < rows and sum(wide.values()) * 4 < rows * 3:
            continue
        worth = number / rows * (1 + min(width, 8) / 20)
        if worth > best_worth:
            best, best_worth = mark, worth
    return best


def _loosely(content: str, delimiter: str) -> list[list[str]]:
    try:
        return list(csv.reader(io.StringIO(content, newline=""), delimiter=delimiter))
    except csv.Error:
        return []


def _parsed(content: str, delimiter: str, name: str) -> Iterator[list[str]]:
    if delimiter == "\n":
        yield from ([line] for line in content.splitlines())
        return
    csv.field_size_limit(_CELL_LIMIT)
    number = 0
    try:
        for row in csv.reader(io.StringIO(content, newline=""), delimiter=delimiter, skipinitialspace=True):
            number += 1
            yield row
    except csv.Error as fault:
        raise RatingError(
            f"the text cannot be parted into cells: {fault}",
            where=f"{name}, row {number + 1}",
            fix='close every quote, and write a quote inside a text twice ("")',
        ) from None


def _workbook(data: bytes, name: str) -> list[Grid]:
    import openpyxl

    with guards.check_workbook(data, name) as parts:
        slim = _slimmed(parts, name)
        styles = _part(parts, "xl/styles.xml")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # remarks on styles and extensions, which are not read
        try:
            book = openpyxl.load_workbook(
                io.BytesIO(slim or data), read_only=True, data_only=True, keep_links=False
            )
            has_padding = re.search(rb'formatCode="0{2,}', styles) is not None
            return [_sheet(book, sheet, name, has_padding=has_padding) for sheet in book.worksheets]
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
            RecursionError,
            zlib.error,
            zipfile.BadZipFile,
        ) as fault:
            raise RatingError(
                f"the workbook is damaged: {text.printable(str(fault)[:120]) or type(fault).__name__}",
                where=name,
                fix="open it in a spreadsheet program, save it again and take that in",
            ) from fault


def _part(book: zipfile.ZipFile, part: str) -> bytes:
    try:
        return book.read(part)
    except KeyError:
        return b""


def _slimmed(book: zipfile.ZipFile, name: str) -> bytes:
    """The workbook without rows and cells that hold nothing, where there are very many; else nothing.

    A sheet that somebody formatted to its last row has a million of them.
    """
    replaced: dict[str, bytes] = {}
    for part in book.namelist():
        if not part.lower().startswith("xl/worksheets/") or not part.lower().endswith(".xml"):
            continue
        data = book.read(part)
        if data.count(b"<row") > _ROWS_LIMIT or data.count(b"<c ") > _CELLS_LIMIT:
            data = _EMPTY_ROW.sub(b"", _EMPTY_CELL.sub(b"", data))
            replaced[part] = data
        rows, cells = data.count(b"<row"), data.count(b"<c ")
        if rows > _ROWS_LIMIT or cells > _CELLS_LIMIT:
            raise RatingError(
                f"the sheet has {rows:,} rows and {cells:,} cells, at most {_ROWS_LIMIT:,} and"
                f" {_CELLS_LIMIT:,} are read",
                where=f"{name}, part {part}",
                fix="copy the table alone into a new workbook or CSV, and take that in",
            )
        _check_rows(data, f"{name}, part {part}")
    if not replaced:
        return b""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as slim:
        for info in book.infolist():
            if not info.is_dir():
                slim.writestr(info.filename, replaced.get(info.filename) or book.read(info))
    return out.getvalue()


def _check_rows(data: bytes, where: str) -> None:
    """Row numbers must rise: readers drop a row whose number was there before, without a word."""
    last = 0
    for found in _ROW_NUMBER.finditer(data):
        number = int(found[1])
        if number <= last:
            raise RatingError(
                f"row {number} stands after row {last}",
                where=where,
                fix="open the file in a spreadsheet program, save it again and take that in",
            )
        last = number


def _sheet(book: Any, sheet: Any, name: str, *, has_padding: bool) -> Grid:
    sheet.reset_dimensions()  # a stale one would hide rows
    raw = book._archive.read(sheet._worksheet_path)  # noqa: SLF001  (read-only sheets do not tell merges)
    spans = tuple(
        (int(m[2]), _column(m[1]), int(m[4]), _column(m[3]))
        for m in _MERGE.finditer(raw, max(raw.find(b"<mergeCells"), 0))
    )
    problems = [
        Problem(
            code="uncomputed-formula",
            file=name,
            sheet=sheet.title,
            row=int(re.sub(rb"\D", b"", m[1])),
            what=f"cell {m[1].decode()} holds a formula without its result",
            fix="open the workbook in a spreadsheet program, save it and take it in again",
        )
        for m in _UNCOMPUTED.finditer(raw)
    ]
    del raw
    return _grid(
        enumerate(_checked(sheet, name, has_padding=has_padding), start=1),
        file=name,
        sheet=sheet.title,
        spans=spans,
        is_hidden=sheet.sheet_state != "visible",
        problems=tuple(text_problem for text_problem in problems[:50]),
    )


def _checked(sheet: Any, name: str, *, has_padding: bool) -> Iterator[Sequence[Any]]:
    padded = 0
    for row in sheet.iter_rows(values_only=not has_padding):
        padded += len(row)
        if padded > _PADDED_LIMIT:
            raise RatingError(
                f"the sheet is {len(row):,} columns wide",
                where=f"{name}, sheet {sheet.title}",
                fix="delete the columns beyond the table, save it and take it in again",
            )
        yield [_shown_number(cell) for cell in row] if has_padding and row else row


def _shown_number(cell: Any) -> Any:
    """A cell's value; a whole number under a format such as 000 as it is shown."""
    value = cell.value
    if isinstance(value, int | float) and not isinstance(value, bool) and value == int(value) and value >= 0:
        form = str(cell.number_format or "").split(";")[0]
        if _ZEROS.match(form):
            return str(int(value)).zfill(len(form))
    return value


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number - 1


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
                    clean = known[value] = _clean(value)
                cells.append(clean)
            else:
                if isinstance(value, date):
                    dates.append(column)
                cells.append(_as_text(value))
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            kept.append(Row(number, tuple(cells), frozenset(dates)))
    last = kept[-1].number if kept else 0
    mended = sum(1 for raw in known if _MISREAD.search(raw) and "ï¿½" not in raw)
    if mended:
        problems = (
            *problems,
            Problem(
                code="misread-letters",
                file=file,
                sheet=sheet,
                what=f"letters of {text.count(mended, 'cell')} were damaged by a wrong encoding and mended",
                fix="look over names with unusual letters",
                severity="remark",
            ),
        )
    return Grid(
        file=file,
        sheet=sheet,
        rows=tuple(kept),
        last=last,
        spans=spans,
        is_hidden=is_hidden,
        problems=problems,
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
