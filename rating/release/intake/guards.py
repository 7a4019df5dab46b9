"""What is checked before a foreign file is opened: its type by content, and the ways a workbook can bite.

A workbook is a zip of XML parts. Sizes, counts and marks are looked at part by part in small bites, so that a
bomb is refused quickly and cheaply, with the part named.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from pathlib import Path

from rating import text
from rating.errors import RatingError

MIB = 1024 * 1024
FILE_LIMIT = 40 * MIB
BOOK_LIMIT = 10 * MIB
LINES_LIMIT = 400_000
PARTS_LIMIT = 500
ALL_LIMIT = 64 * MIB
SHEET_LIMIT = 32 * MIB
STRINGS_LIMIT = 24 * MIB
STYLES_LIMIT = 2 * MIB
WORKBOOK_LIMIT = 1 * MIB
RATIO_LIMIT = 200
RATIO_FROM = 1 * MIB
_BITE = 256 * 1024

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_DOCTYPE = re.compile(rb"<!\s*(DOCTYPE|ENTITY)", re.IGNORECASE)
_OTHER_TYPES = (
    (b"%PDF", "a PDF", "copy the table out of it, or ask the maker for the workbook"),
    (b"\x89PNG", "a picture", "type the table, or ask the maker for the workbook"),
    (b"\xff\xd8\xff", "a picture", "type the table, or ask the maker for the workbook"),
    (b"GIF8", "a picture", "type the table, or ask the maker for the workbook"),
    (b"\x1f\x8b", "a gzip archive", "unpack it and take in what is inside"),
    (b"7z\xbc\xaf", "a 7z archive", "unpack it and take in what is inside"),
    (b"Rar!", "a rar archive", "unpack it and take in what is inside"),
    (b"{\\rtf", "a rich-text document", "save it as plain text"),
    (b"SQLite format 3", "a database", "export the table as CSV"),
)
_SAVE_AS = "open it in a spreadsheet program and save it as .xlsx or CSV"


def read_bytes(path: Path) -> bytes:
    """The content of a file that is not too large.

    Raises
    ------
    RatingError
        if it is missing, no file, too large or empty
    """
    name = path.name
    try:
        if path.is_dir():
            raise RatingError("this is a folder, not a file", where=name, fix="name the files in it")
        if not path.exists():
            raise RatingError("there is no such file", where=str(path), fix="check its name and folder")
        if not path.is_file():
            raise RatingError("this is not an ordinary file", where=name, fix="copy it into a file first")
        size = path.stat().st_size
        if size > FILE_LIMIT:
            raise RatingError(
                f"the file has {size:,} bytes, at most {FILE_LIMIT:,} are read",
                where=name,
                fix="take out pictures and unused sheets, or save the table alone as CSV",
            )
        data = path.read_bytes()
    except OSError as fault:
        raise RatingError(
            f"the file cannot be read: {fault.strerror}", where=name, fix="check its name and rights"
        ) from fault
    if not data.strip(b"\0\r\n\t \xef\xbb\xbf"):
        raise RatingError("the file is empty", where=name, fix="get it again")
    _refuse_long(data, name)
    return data


def _refuse_long(data: bytes, name: str) -> None:
    """Refuse a text of too many lines, or a workbook of too many bytes, before it is read."""
    if data.startswith(b"PK"):
        if len(data) > BOOK_LIMIT:
            raise RatingError(
                f"the workbook has {len(data):,} bytes, at most {BOOK_LIMIT:,} are read",
                where=name,
                fix="take out pictures and unused sheets, or save the table alone as CSV",
            )
        return
    lines = max(data.count(b"\n"), data.count(b"\r"))
    if lines > LINES_LIMIT:
        raise RatingError(
            f"the file has {lines:,} rows, at most {LINES_LIMIT:,} are read",
            where=name,
            fix="take out the rows that are not cards of this release, or split it into several files",
        )


def is_workbook(data: bytes, name: str) -> bool:
    """Whether the content is a workbook; False for text.

    Raises
    ------
    RatingError
        if it is something else, whatever the name's ending says
    """
    if data.startswith(b"PK\x03\x04"):
        return True
    if data.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise RatingError(
                "the workbook is protected with a password",
                where=f"{name}, part EncryptedPackage",
                fix="open it, take the password away, save it and take it in again",
            )
        raise RatingError("this is an old .xls workbook or another Office file", where=name, fix=_SAVE_AS)
    if data.startswith(b"PK"):
        raise RatingError("this is an empty or split zip archive", where=name, fix="get the file again")
    for start, what, fix in _OTHER_TYPES:
        if data.startswith(start):
            raise RatingError(f"this is {what}, not a table", where=name, fix=fix)
    head = data[:2048].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if head.startswith((b"<!doctype", b"<html", b"<table", b"<?xml", b"<meta")):
        raise RatingError("this is a web page or XML, not a table", where=name, fix=_SAVE_AS)
    return False


def check_workbook(data: bytes, name: str) -> zipfile.ZipFile:
    """The opened zip of a workbook that passed every guard.

    Raises
    ------
    RatingError
        with the part that is to blame
    """
    try:
        book = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, ValueError, OSError, RuntimeError) as fault:
        raise _damaged(name, "", str(fault)) from fault
    _check_list(book, name)
    for part in book.infolist():
        if not part.is_dir():
            _check_part(book, part, name)
    return book


def _check_list(book: zipfile.ZipFile, name: str) -> None:
    """What the table of contents alone tells."""
    parts = book.infolist()
    if len(parts) > PARTS_LIMIT:
        raise _refused(name, "", f"the workbook has {len(parts):,} parts, at most {PARTS_LIMIT} are read")
    seen: set[str] = set()
    total = 0
    for part in parts:
        lower = part.filename.lower()
        if lower in seen:
            raise _refused(name, part.filename, "a part of this name stands in the workbook twice")
        seen.add(lower)
        if part.flag_bits & 0x1:
            raise RatingError(
                "the part is encrypted",
                where=_place(name, part.filename),
                fix="open the file, take the password away, save it and take it in again",
            )
        if lower.endswith(("vbaproject.bin", "vbadata.xml")) or "macrosheets/" in lower:
            raise RatingError(
                "the workbook holds macros",
                where=_place(name, part.filename),
                fix="save it as .xlsx, without macros, and take that in",
            )
        total += part.file_size
        _check_size(part, name)
    if total > ALL_LIMIT:
        largest = max(parts, key=lambda part: part.file_size)
        raise _refused(
            name,
            largest.filename,
            f"unpacked the workbook has {total:,} bytes, at most {ALL_LIMIT:,} are read",
        )
    if "xl/workbook.xml" not in seen:
        raise RatingError(f"this is {_other_zip(seen)}, no .xlsx workbook", where=name, fix=_SAVE_AS)


def _check_size(part: zipfile.ZipInfo, name: str) -> None:
    lower = part.filename.lower()
    limit = ALL_LIMIT
    if lower.startswith("xl/worksheets/"):
        limit = SHEET_LIMIT
    elif lower == "xl/sharedstrings.xml":
        limit = STRINGS_LIMIT
    elif lower == "xl/styles.xml":
        limit = STYLES_LIMIT
    elif lower == "xl/workbook.xml":
        limit = WORKBOOK_LIMIT
    if part.file_size > limit:
        raise _refused(
            name, part.filename, f"unpacked the part has {part.file_size:,} bytes, at most {limit:,} are read"
        )
    if part.file_size > RATIO_FROM and part.file_size > RATIO_LIMIT * max(part.compress_size, 1):
        ratio = part.file_size // max(part.compress_size, 1)
        raise _refused(
            name, part.filename, f"the part is packed {ratio:,} to 1, at most {RATIO_LIMIT} to 1 is read"
        )


def _check_part(book: zipfile.ZipFile, part: zipfile.ZipInfo, name: str) -> None:
    """Unpack a part in bites: its real size must be the stated one, and XML must not declare entities."""
    is_xml = part.filename.lower().endswith((".xml", ".rels", ".vml"))
    tail = b""
    size = 0
    try:
        with book.open(part) as stream:
            while bite := stream.read(_BITE):
                size += len(bite)
                if is_xml and _declares(tail + bite, first=size == len(bite)):
                    raise RatingError(
                        "the part declares a document type or entities, which no workbook needs",
                        where=_place(name, part.filename),
                        fix="do not open this file; ask who sent it for a clean one",
                    )
                tail = bite[-32:]
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, OSError) as fault:
        raise _damaged(name, part.filename, str(fault)) from fault
    if size != part.file_size:
        raise _damaged(name, part.filename, f"{size:,} bytes where {part.file_size:,} are stated")


def _declares(bite: bytes, *, first: bool) -> bool:
    if first and bite[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return True  # UTF-16 could hide what is looked for, and no program writes its parts so
    if b"<!" in bite and _DOCTYPE.search(bite):
        return True
    return b"\0" in bite


def _other_zip(names: set[str]) -> str:
    if "xl/workbook.bin" in names:
        return "a binary workbook (.xlsb)"
    if "word/document.xml" in names:
        return "a text document"
    if "ppt/presentation.xml" in names:
        return "a presentation"
    if "content.xml" in names:
        return "an OpenDocument file"
    return "a zip archive"


def _place(name: str, part: str) -> str:
    return f"{name}, part {text.printable(part[:120])}" if part else name


def _refused(name: str, part: str, what: str) -> RatingError:
    return RatingError(
        what,
        where=_place(name, part),
        fix="open it, copy the table alone into a new workbook or CSV, and take that in",
    )


def _damaged(name: str, part: str, why: str) -> RatingError:
    return RatingError(
        f"the workbook is damaged: {text.printable(why[:120])}",
        where=_place(name, part),
        fix="get the file again, or open it and save it again",
    )
