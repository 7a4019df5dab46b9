"""What happens to files on their way: rows of another width, lost quotes, mixed encodings, duplicates.

Every flaw leaves what was said readable for a person, so all facts stay stated.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from makers.dice import Dice
from makers.documents.containers import CODECS, csv_line
from makers.documents.grid import File, Line, Notes, Sheet
from makers.documents.layout import Layout

_FACTS = {"card", "odds", "sale", "slot", "ladder"}
_ENDS = ("\x85", "\x0b", "\u2028", "\u2029", "\r")
_STRAY = ("ok", "checked", "?", "see mail", "x")


def damage(seed: object, files: Sequence[File], layout: Layout, notes: Notes) -> None:
    """Damage the files as the layout has it, each flaw in one file that can have it."""
    flaws: tuple[tuple[str, str, Callable[[Dice, File, list[Line]], bool]], ...] = (
        ("page breaks", "page breaks", _break_pages),
        ("damage: duplicates", "duplicated rows", _duplicate),
        ("damage: blanks", "blank rows", _blank),
        ("damage: spaces", "stray spaces", _space),
        ("damage: widths", "rows of another width", _widen),
        ("damage: quote", "a quote that never closes", _unclose),
        ("damage: encodings", "mixed encodings", _mix),
        ("damage: line ends", "odd line ends", _end),
        ("damage: NUL", "NUL", _nul),
    )
    for choice, feature, flaw in flaws:
        if layout.has(choice):
            dice = Dice(seed, choice)
            for file in dice.shuffle(files):
                lines = [line for sheet in file.sheets for line in sheet.lines if line.role in _FACTS]
                if len(lines) > 8 and flaw(dice, file, lines):
                    notes.mark(feature)
                    break


def insert(sheet: Sheet, at: int, line: Line) -> None:
    """Put a line into a sheet, moving or stretching the merges below and around it."""
    sheet.lines.insert(at, line)
    sheet.merges = [
        (column, first + (first >= at), last + ((last >= at and first < last) or first >= at))
        for column, first, last in sheet.merges
    ]


def _duplicate(dice: Dice, file: File, lines: list[Line]) -> bool:
    for line in dice.some(lines, dice.whole(1, 4)):
        sheet = _sheet_of(file, line)
        at = _place(sheet, line)
        insert(sheet, at + 1, Line(list(line.cells), list(line.says), "again"))
    return True


def _blank(dice: Dice, file: File, lines: list[Line]) -> bool:
    for line in dice.some(lines, dice.whole(2, 5)):
        sheet = _sheet_of(file, line)
        insert(sheet, _place(sheet, line), Line([], role="blank"))
    return True


def _break_pages(dice: Dice, file: File, lines: list[Line]) -> bool:
    """Every so many rows 'Page 2' and the heading again, as prints and exports have it."""
    if file.purpose != "checklist":
        return False
    step = dice.whole(25, 45)
    broken = False
    for sheet in file.sheets:
        heading = next((line for line in sheet.lines if line.role == "heading"), None)
        cards = [line for line in sheet.lines if line.role == "card"]
        for number, line in enumerate(cards[step::step], start=2):
            at = _place(sheet, line)
            if heading is not None:
                insert(sheet, at, Line(list(heading.cells), list(heading.says), "heading"))
            insert(sheet, at, Line([f"Page {number}"], role="page"))
            broken = True
    return broken


def _space(dice: Dice, file: File, lines: list[Line]) -> bool:
    for line in dice.some(lines, 12):
        places = [place for place, cell in enumerate(line.cells) if isinstance(cell, str) and cell]
        if places:
            place = dice.pick(places)
            form = dice.pick(("{} ", " {}", "{}\u00a0", "\u200b{}", "{}  "))
            line.cells[place] = form.format(line.cells[place])
    return True


def _widen(dice: Dice, file: File, lines: list[Line]) -> bool:
    """Cells beyond the last column, and in CSV commas that nobody quoted."""
    if not file.sheets[0].is_table:
        return False
    width = max(len(line.cells) for line in lines)
    loose = [line for line in lines if any(file.delimiter in str(cell) for cell in line.cells)]
    if (
        file.container == "csv"
        and loose
        and len(line_words(loose[0], file.delimiter)) > 1
        and dice.chance(0.5)
    ):
        for line in dice.some(loose, 3):
            line.raw = file.delimiter.join("" if cell is None else str(cell) for cell in line.cells)
        return True
    for line in dice.some(lines, 4):
        line.cells += [None] * (width - len(line.cells)) + [None, dice.pick((*_STRAY, None, None))]
    return True


def line_words(line: Line, delimiter: str) -> list[str]:
    """The parts of a line's first cell that holds the delimiter."""
    return next((str(cell).split(delimiter) for cell in line.cells if delimiter in str(cell)), [])


def _unclose(dice: Dice, file: File, lines: list[Line]) -> bool:
    if file.container != "csv":
        return False
    whole = [
        line
        for line in lines
        if '"' not in line.text and file.delimiter not in line.text and line.raw is None
    ]
    for line in dice.some(whole, 1):
        places = [place for place, cell in enumerate(line.cells) if isinstance(cell, str) and len(cell) > 3]
        if places:
            at = dice.pick(places)
            cells = [f'"{cell}' if place == at else cell for place, cell in enumerate(line.cells)]
            line.raw = file.delimiter.join("" if cell is None else str(cell) for cell in cells)
            return True
    return False


def _mix(dice: Dice, file: File, lines: list[Line]) -> bool:
    if file.container == "xlsx" or not file.encoding.startswith("utf-8"):
        return False
    accented = [line for line in lines if not line.text.isascii() and _fits(line.text, "cp1252")]
    for line in dice.some(accented, dice.whole(1, 5)):
        line.encoding = "cp1252"
    return bool(accented)


def _end(dice: Dice, file: File, lines: list[Line]) -> bool:
    if file.container == "xlsx" or not file.encoding.startswith("utf"):
        return False
    end = dice.pick(_ENDS)
    for line in dice.some([one for one in lines if one.encoding is None], dice.whole(2, 6)):
        line.ending = end
    return True


def _nul(dice: Dice, file: File, lines: list[Line]) -> bool:
    if file.container == "xlsx":
        return False
    for line in dice.some([one for one in lines if one.raw is None], dice.whole(1, 3)):
        text = csv_line(line, file)
        at = dice.pick((0, len(text)))
        line.raw = text[:at] + "\0" + text[at:]
    return True


def _fits(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def legacy_encoding(file: File) -> str:
    """An old encoding that holds all of a file, UTF-8 where none does."""
    text = "\n".join(line.raw or line.text for sheet in file.sheets for line in sheet.lines)
    return next((codec for codec in CODECS if not text.isascii() and _fits(text, codec)), "utf-8")


def _sheet_of(file: File, line: Line) -> Sheet:
    return next(sheet for sheet in file.sheets if any(one is line for one in sheet.lines))


def _place(sheet: Sheet, line: Line) -> int:
    return next(place for place, one in enumerate(sheet.lines) if one is line)
