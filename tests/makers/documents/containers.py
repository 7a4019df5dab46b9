"""Files as bytes: xlsx, CSV in several dialects, plain text."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime

import xlsxwriter

from makers.documents.grid import Cell, File, Line

CODECS = ("cp1252", "cp1250", "cp1251", "cp1253", "cp1254", "cp949", "cp932")
_MARKS = {"utf-8-sig": b"\xef\xbb\xbf", "utf-16": b"\xff\xfe"}
_CODECS = {"utf-8-sig": "utf-8", "utf-16": "utf-16-le"}


def to_bytes(file: File) -> bytes:
    """The file as it lies on disk."""
    return _workbook(file) if file.container == "xlsx" else _text(file)


def csv_line(line: Line, file: File) -> str:
    """A line's text, its cells quoted where they must be."""
    if not file.sheets[0].is_table:
        return "".join(str(cell) for cell in line.cells)
    return file.delimiter.join(_quoted(cell, file) for cell in line.cells)


def _quoted(cell: Cell, file: File) -> str:
    text = "" if cell is None else str(cell)
    if any(sign in text for sign in (file.delimiter, '"', "\n")) or (file.quote_all and text):
        return '"' + text.replace('"', '""') + '"'
    return text


def _text(file: File) -> bytes:
    codec = _CODECS.get(file.encoding, file.encoding)
    parts = [_MARKS.get(file.encoding, b"")]
    for line in file.sheets[0].lines:
        text = csv_line(line, file) if line.raw is None else line.raw
        parts.append(text.encode(line.encoding or codec))
        parts.append((line.ending or file.newline).encode(codec))
    return b"".join(parts)


def _workbook(file: File) -> bytes:
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(
        stream, {"in_memory": True, "strings_to_numbers": False, "strings_to_formulas": False}
    )
    book.set_properties({"created": datetime(2030, 1, 1, tzinfo=UTC)})
    bold = book.add_format({"bold": True})
    days = book.add_format({"num_format": "yyyy-mm-dd"})
    top = book.add_format({"valign": "top"})
    for sheet in file.sheets:
        page = book.add_worksheet(sheet.title)
        inside = {(row, column) for column, first, last in sheet.merges for row in range(first, last + 1)}
        for row, line in enumerate(sheet.lines):
            for column, cell in enumerate(line.cells):
                if cell is None or cell == "" or (row, column) in inside:
                    continue
                form = bold if line.role in {"heading", "banner", "title"} else None
                if isinstance(cell, str):
                    page.write_string(row, column, cell, form)
                elif isinstance(cell, date):
                    page.write_datetime(row, column, datetime(cell.year, cell.month, cell.day), days)
                else:
                    page.write_number(row, column, cell, form)
        for column, first, last in sheet.merges:
            page.merge_range(first, column, last, column, sheet.lines[first].cells[column], top)
    book.close()
    return stream.getvalue()
