"""What a spreadsheet cell and a sheet's name may hold: text cleaned and cut, names made safe."""

from __future__ import annotations

from collections.abc import Iterable

from rating import text
from rating.errors import RatingError

# Microsoft, "Excel specifications and limits"; characters are counted as UTF-16 units
ROW_LIMIT = 1_048_576
COLUMN_LIMIT = 16_384
CELL_LIMIT = 32_767
NAME_LIMIT = 31
CUT_REMARK = " … [cut: a cell holds no more]"

_FORBIDDEN = str.maketrans(dict.fromkeys("[]:*?/\\", " "))
_RESERVED = {"history"}


def cell_text(words: str) -> str:
    """Text as a cell holds it: line ends as LF, impossible marks written out, cut at the limit.

    The name of an error gets a blank after it, so that it stays text as the value of a formula.
    """
    clean = text.printable(words.replace("\r\n", "\n").replace("\r", "\n"))
    if clean in text.SPREADSHEET_ERRORS:
        return f"{clean} "
    return _cut(clean, CELL_LIMIT, CUT_REMARK)


def looks_like_markup(words: str) -> bool:
    """Whether the writer would put text into the file as it is, taking it for its own rich text."""
    return words.startswith("<r>") and words.endswith("</r>")


def sheet_names(wanted: Iterable[str], *, taken: Iterable[str] = ()) -> list[str]:
    """A name for each sheet, as near to the wanted one as may be: 31 marks, none forbidden, none twice.

    Names are compared without regard to capitals, as spreadsheet programs do.
    """
    used = {text.key(one) for one in taken} | _RESERVED
    found = []
    for name in wanted:
        clean = text.tidy(text.printable(name).translate(_FORBIDDEN)).strip("' ") or "sheet"
        chosen, number = _cut(clean, NAME_LIMIT).strip("' "), 2
        while text.key(chosen) in used:
            end = f" ({number})"
            chosen, number = _cut(clean, NAME_LIMIT - len(end)).rstrip("' ") + end, number + 1
        used.add(text.key(chosen))
        found.append(chosen)
    return found


def hold_to_limits(rows: int, columns: int, sheet: str) -> None:
    """Refuse a table that a sheet cannot hold.

    Raises
    ------
    RatingError
        if it has more rows or columns than a sheet
    """
    for number, limit, noun in ((rows, ROW_LIMIT, "row"), (columns, COLUMN_LIMIT, "column")):
        if number > limit:
            raise RatingError(
                f"the table has {text.count(number, noun)}, a sheet holds {limit:,}",
                where=f"sheet {sheet}",
                fix="export plain tables with 'boxwright export tables'",
            )


def _cut(words: str, limit: int, remark: str = "") -> str:
    """Words of at most so many UTF-16 units; a remark takes the place of what was cut off."""
    if len(words) * 2 <= limit or _units(words) <= limit:
        return words
    room = limit - _units(remark)
    kept = words[:room]
    while _units(kept) > room:
        kept = kept[: len(kept) - max(1, (_units(kept) - room) // 2)]
    return kept + remark


def _units(words: str) -> int:
    return len(words.encode("utf-16-le", "surrogatepass")) // 2
