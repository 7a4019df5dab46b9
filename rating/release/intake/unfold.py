"""A sheet as its tables: lines of text parted at card numbers, running text into cards, blocks side by side.

What comes out are grids again, with the numbers of the rows they came from, so that whoever reads tables can
read all of them: number and name have a cell each, and blocks beside each other follow one on the other.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from rating.release.intake import looks, statements, words
from rating.release.intake.values import Grid, Row

# a card's number at the start of a text, with what marks it and what parts it from the name
_START = re.compile(
    r"(?P<mark>#\s?|(?:no|nr|num)\.?\s?(?=\S*\d|(?-i:[A-Z]{1,6}[-–][A-Z]))|n°\s?|card\s+(?=\S*\d))?"
    r"(?P<core>(?:[^\W\d_]{1,6}(?:\d{0,2}[-–.])?)?\d{1,4}[a-z]?|(?-i:[A-Z]{1,6}[-–][A-Z]{1,8})\d{0,2}|[A-Z]{1,6}[-–]\d{1,3}[a-z]?)"
    r"(?P<sep>\s?[.):](?=\s)|\s+[-–—|:/](?=\s)|\t|(?=\s))\s*(?P<rest>\S.*)",
    re.IGNORECASE | re.DOTALL,
)
_YEAR = re.compile(r"(?:19|20)\d\d\Z")
_PIECES = re.compile(r"[•·;|,]\s+")
_BOUNDARIES = ("•", "·", ";", "|", ",")
# a line after which nothing need follow: 'No. 7 – A.' goes on, and so does 'No.'
_ENDED = re.compile(r"(?::|(?<![^\w]no)(?<![^\w]nr)(?<=\S\S)[.)]*\.)\Z", re.IGNORECASE)
# a line that stops behind a card's number: '; 12.', '; No. 12.', '; DS-AQ.'
_STOPPED = re.compile(
    r"[•·;|,]\s+(?:(?:#|(?i:no|nr|num)\.?|n°|(?i:card)\s)\s?)?"
    r"(?:(?:[^\W\d_]{0,6}[-–]?)?\d{1,4}[a-z]?|[A-Z]{1,6}[-–][A-Z]{1,8}\d{0,2})\s?[.):]?\Z"
)
_TAKEN_UP = re.compile(r"\s(?:/|&|\+|and)\Z")
_LEAST = 3
_LOOKED_AT = 2_000  # rows of a table that tell how its numbers are written
_MANY = 20  # cards of a list, though each stands in many rows
# words that surnames begin with
_PARTICLES = frozenset(
    ("de", "van", "von", "der", "den", "di", "da", "du", "la", "le", "al", "el", "af", "ter", "dos")
)
_LONG = 160
_REPEATED = 30  # letters of a line that stands twice by mistake


@dataclass(frozen=True, slots=True)
class Start:
    """A card number at the start of a text, how it is written, and what follows."""

    style: tuple[bool, str]
    number: str
    rest: str


def start(cell: str) -> Start | None:
    """The card number that a text starts with, None where it starts with none."""
    found = _START.match(cell)
    if found is None or (_YEAR.match(found["core"]) and not found["mark"]):
        return None
    sep, rest = found["sep"].strip(), found["rest"]
    sep = "-" if sep in {"–", "—"} else sep  # who types a list types any of them
    if not found["mark"] and not sep and not _may_be_name(rest):
        return None
    return Start((bool(found["mark"]), sep), found["core"], rest)


def _may_be_name(rest: str) -> bool:
    """Whether words after a bare number can be a person: they begin with a letter that is no small one."""
    if rest.split(" ", 1)[0].casefold() in _PARTICLES:
        return True
    return rest[:1].isalpha() and not (rest[:1].islower() and not "\u10d0" <= rest[0] <= "\u10ff")


def parts(grid: Grid) -> list[Grid]:
    """The tables of a sheet in the order they are read."""
    if not grid.rows:
        return [grid]
    grid = _without_page_heads(grid)
    if _is_text(grid.rows):
        return [_lines(grid)]
    blocks = _beside(grid)
    return [
        _lines(one) if len(blocks) > 1 and _is_text(one.rows) else _with_numbers_apart(one) for one in blocks
    ]


def _without_page_heads(grid: Grid) -> Grid:
    """A sheet where the row that a new page repeats stands for the page alone."""
    rows, seen = list(grid.rows), set()
    for place, row in enumerate(rows):
        above = rows[place - 1] if place else None
        is_head = len(row.filled) > 1 and not any(map(_NUMBER.fullmatch, row.filled))
        if above is not None and is_head and row.cells in seen and statements.is_footer(above.text):
            rows[place] = replace(row, cells=above.cells)
        seen.add(row.cells)
    return replace(grid, rows=tuple(rows))


def _is_text(rows: Sequence[Row]) -> bool:
    """Whether most rows hold one cell, and so do most down to the last that holds more."""
    wide = [place for place, row in enumerate(rows, start=1) if len(row.filled) > 1]
    broad = [rows[place - 1] for place in wide]
    if _are_marked(broad) or _stand_beside_marks(broad):
        return False
    among = rows[: wide[-1]] if len(wide) >= _LEAST else rows
    alone = [row for row in among if len(row.filled) == 1]
    single = len(alone)
    if 2 * sum(not row.cell(0) for row in alone) > single:
        return False  # a table whose first columns are blank in most rows
    is_narrow = max(len(row.cells) for row in rows) < 4 or len(wide) * 20 <= len(rows)  # a line of each page
    return single * 10 >= 6 * len(among) and is_narrow


def _are_marked(rows: Sequence[Row]) -> bool:
    """Whether a heading names a column that has a mark in some rows and is blank in the others."""
    if len(rows) <= _LEAST or any(len(row.filled) != _LEAST - 1 for row in rows):
        return False
    places = {place for row in rows for place, cell in enumerate(row.cells) if cell}
    marks = [row.filled[1] for row in rows[1:]]
    is_headed = not any(map(words.is_yes, rows[0].filled)) and start(rows[0].filled[0]) is None
    return len(places) == _LEAST - 1 and is_headed and all(map(words.is_yes, marks))


def _stand_beside_marks(rows: Sequence[Row]) -> bool:
    """Whether cards in one column have marks and runs beside them: '12 - Ada Quill', 'rookie'."""
    if len(rows) <= _LEAST:
        return False
    told = [[place for place, cell in enumerate(row.cells) if cell and not _is_mark(cell)] for row in rows]
    places = {one[0] for one in told if one}
    return len(places) == 1 and all(
        len(one) == 1 and start(row.cells[one[0]]) is not None for row, one in zip(rows, told, strict=True)
    )


def _is_mark(cell: str) -> bool:
    return words.is_yes(cell) or bool(looks.ROOKIE.match(cell) or looks.RUN_MARKED.match(cell))


# ---------------------------------------------------------------- lines of text
def _lines(grid: Grid) -> Grid:
    """A text as rows of number and rest; what is no card stays in one cell."""
    texts = _ended([(row, _joined(row)) for row in grid.rows])
    style = _usual([said for _, said in texts])
    if style is None:
        return grid
    mark = _boundary([said for _, said in texts], style)
    paragraphs = _paragraphs(texts, mark, style) if mark else [(row, said, ()) for row, said in texts]
    rows: list[Row] = []
    for row, said, more in paragraphs:
        pieces = _items(said, mark, style) if mark else [said]
        for piece in pieces:
            found = start(piece)
            if found is not None and found.style == style:
                rows.append(Row(row.number, (found.number, found.rest.rstrip(" ,;•·"))))
            else:
                alone = row if len(row.cells) < 4 else Row(row.number, (said,))
                rows.append(Row(row.number, ("", piece)) if len(pieces) > 1 else alone)
        rows += [Row(one.number, ()) for one in more]
    return replace(grid, rows=tuple(rows), spans=(), roles=((0, "number"), (1, "subject")))


def _ended(texts: Sequence[tuple[Row, str]]) -> list[tuple[Row, str]]:
    """Lines of which the next takes up the end, 'Ada Quill /', as one; the other is left blank."""
    found: list[tuple[Row, str]] = []
    for row, said in texts:
        before = found[-1] if found else None
        goes_on = before is not None and _TAKEN_UP.search(before[1]) and row.number == before[0].number + 1
        if before is not None and goes_on and start(said) is None:
            found[-1] = before[0], f"{before[1]} {said}"
            found.append((replace(row, cells=()), ""))
        else:
            found.append((row, said))
    return found


def _joined(row: Row) -> str:
    """A row as one text; 'RC' beside a name is none of its persons."""
    return "".join(
        cell if not place else f" {cell}" if looks.ROOKIE.match(cell) else f" | {cell}"
        for place, cell in enumerate(row.filled)
    )


def _usual(texts: Sequence[str]) -> tuple[bool, str] | None:
    """How most card numbers at the start of a text are written, None where hardly any text has one."""
    begun = [
        found
        for said in texts
        for piece in (said, *_PIECES.split(said)[1:])
        if (found := start(piece)) is not None
    ]
    if not begun:
        return None
    style, number = Counter(found.style for found in begun).most_common(1)[0]
    numbered = [found.number for found in begun if found.style == style]
    enough = number >= _LEAST or any(len(said) > _LONG for said in texts)
    return style if enough and (style != (False, "") or len(set(numbered)) > 1) else None


def _boundary(texts: Sequence[str], style: tuple[bool, str]) -> str:
    """The mark between cards that run on in a paragraph, blank where each has a line of its own."""
    whole = " ".join(texts)
    best, most = "", 2
    for mark in _BOUNDARIES:
        pieces = whole.split(f"{mark} ")
        number = sum((found := start(piece)) is not None and found.style == style for piece in pieces[1:])
        if number > most:
            best, most = mark, number
    lines = sum((found := start(said)) is not None and found.style == style for said in texts)
    return best if most > lines else ""


def _paragraphs(
    texts: Sequence[tuple[Row, str]], mark: str, style: tuple[bool, str]
) -> Iterator[tuple[Row, str, tuple[Row, ...]]]:
    """Texts with wrapped lines joined again: the row each begins in, and those it goes on in.

    A line goes on where the next one's first word had no room in it, and where a card in it is not ended.
    """
    widest = _width([len(said) for _, said in texts if f"{mark} " in said])
    first: Row | None = None
    whole, last = "", ""
    more: list[Row] = []
    number = 0
    for (row, said), (below, then) in zip(texts, (*texts[1:], (None, "")), strict=True):
        word = said.split(" ", 1)[0]
        is_again = said == last and len(said) > _REPEATED
        if first is not None and (is_again or statements.is_footer(said)):
            more.append(row)  # the same line twice, or a page that ends
            number = row.number
            continue
        is_full = widest < _LONG and len(last) <= widest and len(last) + 1 + len(word) > widest
        are_cards = _has_style(whole, style)
        is_cut = are_cards and _STOPPED.search(last) is not None  # between a number and its name
        is_ended = last.endswith(mark) or _ENDED.search(last) is not None
        goes_on = row.number == number + 1 and not _has_style(said, style) and _holds_more(said, mark, style)
        is_ended = is_ended and not goes_on  # 'Ada Quill, St.' was no end
        is_open = is_cut or (are_cards and f"{mark} " in whole and not is_ended)
        is_next = row.number == number + 1 and (are_cards or not _has_style(said, style))
        has_more = is_open and _holds_more(said, mark, style)
        # a page may end there, or a blank line stand in the midst of a card
        is_next = is_next or is_cut or (has_more and row.number == number + 2)
        # a short line above one that begins with a card is a heading
        if below is not None and below.number == row.number + 1 and _has_style(then, style):
            is_next = is_next and (has_more or _has_style(said, style) or len(said) * 4 > 3 * widest)
        if first is not None and is_next and (is_full or is_open):
            begins = _has_style(said, style) and are_cards and not whole.endswith(mark)
            whole = f"{whole.rstrip()}{mark} {said}" if begins else f"{whole.rstrip()} {said}"
            more.append(row)
        else:
            if first is not None:
                yield first, whole, tuple(more)
            first, whole, more = row, said, []
        last, number = said, row.number
    if first is not None:
        yield first, whole, tuple(more)


def _width(lengths: Sequence[int]) -> int:
    """The width that a text is wrapped at: the longest line, but for a few that were not wrapped."""
    ordered = sorted(lengths)
    usual = ordered[len(ordered) * 3 // 4]
    return max(length for length in ordered if length <= usual * 1.15 + 5)


def _has_style(said: str, style: tuple[bool, str]) -> bool:
    """Whether a text starts with a card's number, written as most are."""
    found = start(said)
    return found is not None and found.style == style


def _holds_more(said: str, mark: str, style: tuple[bool, str]) -> bool:
    """Whether another card begins behind the first mark of a text."""
    return any(_has_style(piece, style) for piece in said.split(f"{mark} ")[1:])


def _items(said: str, mark: str, style: tuple[bool, str]) -> list[str]:
    """The cards of a paragraph."""
    if not _has_style(said, style):
        return [said]
    items: list[str] = []
    for piece in said.split(f"{mark} "):
        begun = start(piece)
        if items and (begun is None or begun.style != style):
            items[-1] += f"{mark} {piece}"
        else:
            items.append(piece)
    return [item.strip().rstrip(mark).strip() for item in (*items[:-1], items[-1].rstrip("."))]


# ---------------------------------------------------------------- blocks beside each other
def _beside(grid: Grid) -> list[Grid]:
    """The blocks of a sheet that stand beside each other, parted where a blank column is between cards."""
    width = max(len(row.cells) for row in grid.rows)
    if width < 3:
        return [grid]
    if half := _doubled(grid.rows):
        return [_strip(grid, 0, half), _strip(grid, half, width)]
    if _is_mirrored(grid.rows, width):
        return [_strip(grid, 0, width // 2), _strip(grid, (width + 1) // 2, width)]
    filled = [sum(bool(row.cell(place)) for row in grid.rows) for place in range(width)]
    least = max(1, len(grid.rows) // 20)  # a remark may stand in the gap
    gaps = [place for place in range(1, width - 1) if filled[place] < least]
    # where headers stand again, nothing else parts blocks
    tests = (_has_header_again, _are_alike)
    edges = next((edges for test in tests if len(edges := _edges(grid.rows, gaps, width, test)) > 1), [0])
    if len(edges) == 1:
        return [grid]
    return [_strip(grid, first, after) for first, after in zip(edges, [*edges[1:], width], strict=True)]


def _doubled(rows: Sequence[Row]) -> int:
    """Where the second of two blocks begins that stand side by side without a gap; 0 where none does.

    Their header holds the same words twice over, and rows below have a number in both.
    """
    for place, row in enumerate(rows[:_LOOKED_AT]):
        half, odd = divmod(len(row.filled), 2)
        if odd or half < 2 or row.cells[:half] != row.cells[half : 2 * half] or len(row.cells) != 2 * half:
            continue
        below = [one for one in rows[place + 1 :] if one.cell(0) and one.cell(half)]
        if len(below) >= _LEAST and not any(map(_NUMBER.fullmatch, row.cells)):
            return half
    return 0


def _is_mirrored(rows: Sequence[Row], width: int) -> bool:
    """Whether each row holds two cards with their numbers at its ends: 'No. | East | Club | West | No.'."""
    wide = [row for row in rows if len(row.filled) > 2]
    if len(wide) < _LEAST or len(wide[0].cells) != width or wide[0].cell(0) != wide[0].cell(width - 1):
        return False
    ends = [(row.cell(0), row.cell(width - 1)) for row in wide[1:]]
    numbers = [cell for pair in ends for cell in pair if cell]
    return (
        not _NUMBER.fullmatch(wide[0].cell(0))
        and len(set(numbers)) == len(numbers) >= 2 * _LEAST
        and all(map(_NUMBER.fullmatch, numbers))
    )


def _edges(
    rows: Sequence[Row],
    gaps: Sequence[int],
    width: int,
    parts: Callable[[Sequence[Row], int, int, int], bool],
) -> list[int]:
    """Where blocks begin, by a test of what stands before and behind a gap."""
    edges = [0]
    for gap in gaps:
        sides = [_holds_cards(rows, *side) for side in ((edges[-1], gap), (gap + 1, width))]
        if all(sides) and parts(rows, edges[-1], gap, width) and not _is_second(rows, edges[-1], gap):
            edges.append(gap + 1)
    return edges


def _is_second(rows: Sequence[Row], first: int, gap: int) -> bool:
    """Whether what stands behind a gap is the second person of the card before it, whose number it repeats.

    A block of its own has words without a number there too, its heading.
    """
    sides = [(row.cells[first:gap], row.cells[gap + 1 :]) for row in rows]
    pairs = [(_begun(there), number) for there, here in sides if (number := _begun(here))]
    is_headed = any(any(here) and not _begun(here) and {*here} - {*there, ""} for there, here in sides)
    return len(pairs) >= _LEAST and not is_headed and all(there == here for there, here in pairs)


def _begun(cells: Sequence[str]) -> str:
    """The first card number among cells, alone or with a name; blank where there is none."""
    found = (cell if _NUMBER.fullmatch(cell) else getattr(start(cell), "number", "") for cell in cells)
    return next(filter(None, found), "")


def _are_alike(rows: Sequence[Row], first: int, gap: int, width: int) -> bool:
    """Whether a blank column parts two blocks: behind it stand a heading or the same columns again."""
    return (
        _has_header_again(rows, first, gap, width)
        or _has_heading(rows, first, gap, width)
        or _have_columns_alike(rows, first, gap, width)
    )


def _has_header_again(rows: Sequence[Row], first: int, gap: int, width: int) -> bool:
    """Whether a row has the same words before and behind the gap."""
    for row in rows:
        here = [row.cell(place) for place in range(gap + 1, min(2 * gap + 1 - first, width))]
        there = [row.cell(place) for place in range(first, gap)]
        filled = [cell for cell in here if cell]
        if len(filled) > 1 and here == there[: len(here)] and _are_headings(filled):
            return True
    return False


def _are_headings(cells: Sequence[str]) -> bool:
    """Whether cells head columns: none is a number, or all count columns, 'U001' and 'U005'."""
    if not any(map(_NUMBER.fullmatch, cells)):
        return True
    counted = [_COUNTED.match(cell) for cell in cells]
    told = [int(one["number"]) for one in counted if one]
    stems = {one["stem"] for one in counted if one}
    return len(told) == len(cells) > 2 and len(stems) == 1 and told == sorted(set(told))


_COUNTED = re.compile(r"(?P<stem>[^\W\d_]+)(?P<number>\d+)\Z")
_RULED = re.compile(r"\A([=*~_–—-])\1+\s*")  # the marks before '=== Base ==='


def _has_heading(rows: Sequence[Row], first: int, gap: int, width: int) -> bool:
    """Whether words stand alone behind the gap, once in their column, above a row with a card's number."""
    if _is_of_card(rows, first, gap):
        return False
    after = min(2 * gap + 1 - first, width)
    once = Counter(row.cell(gap + 1) for row in rows)
    blocks = [[row.cell(place) for place in range(gap + 1, after)] for row in rows]
    for place, (row, here) in enumerate(zip(rows, blocks, strict=True)):
        is_alone = (
            [cell for cell in here if cell] == here[:1]
            and not row.cell(gap)  # a heading there makes it a column of the table
            and len(here[0]) > 3
            and _RULED.sub("", here[0])[:1].isalpha()
            and start(here[0]) is None
            and once[here[0]] == 1
            and not any(row.cell(one) for one in range(after, width))
        )
        if is_alone and any(map(_is_numbered, blocks[place + 1 : place + _LEAST + 1])):
            return True
    return False


def _is_of_card(rows: Sequence[Row], first: int, gap: int) -> bool:
    """Whether a column has a person in just the rows that have a number before it, behind a blank column."""
    numbered = [row for row in rows if any(map(_NUMBER.fullmatch, row.cells[first:gap]))]
    people = sum(looks.is_person(row.cell(gap + 1)) for row in numbered)
    others = sum(bool(row.cell(gap + 1)) for row in rows) - people
    return people * 20 > 19 * len(numbered) and others * 20 < people


def _is_numbered(cells: Sequence[str]) -> bool:
    """Whether some cells hold a card's number, alone or with the name."""
    return any(
        (len(cell) < 12 and _NUMBER.fullmatch(cell) is not None) or start(cell) is not None for cell in cells
    )


def _have_columns_alike(rows: Sequence[Row], first: int, gap: int, width: int) -> bool:
    size = gap - first
    if not size - 1 <= width - gap - 1 <= size + 1 or size < 2:
        return False
    for place in range(size):
        left = [cell for row in rows if (cell := row.cell(first + place))]
        right = [cell for row in rows if (cell := row.cell(gap + 1 + place))]
        if bool(left) != bool(right):
            return False
        for test in (_is_worded, _NUMBER.fullmatch):
            shares = [sum(bool(test(cell)) for cell in side) / max(1, len(side)) for side in (left, right)]
            if abs(shares[0] - shares[1]) > 0.3:
                return False
    return True


def _holds_cards(rows: Sequence[Row], first: int, after: int) -> bool:
    """Whether columns hold a table of cards: some rows with a number of their own and words beside it."""
    best = 0
    for place in range(first, after):
        hits: set[str] = set()
        for row in rows:
            cell = row.cell(place)
            if cell and len(cell) < 12 and _NUMBER.fullmatch(cell) and not _YEAR.match(cell):
                if any(_is_worded(row.cell(one)) for one in range(first, after) if one != place):
                    hits.add(cell)
            elif cell and (found := start(cell)) is not None and _is_worded(found.rest):
                hits.add(found.number)
        best = max(best, len(hits))
    banners = sum(
        bool(row.cell(first)) and not any(row.cell(one) for one in range(first + 1, after)) for row in rows
    )
    return best >= 3 and (best >= 5 or banners > 0)


_NUMBER = re.compile(
    r"#?\s?(?:(?:no|nr)\.?\s*)?(?:[^\W\d_]{0,6}[-–. ]?\d{1,4}[a-z]?|[A-Z]{1,6}[-–][A-Z]{1,8}\d?)",
    re.IGNORECASE,
)


def _is_worded(cell: str) -> bool:
    return len(cell) > 2 and cell[0].isalpha() and not any(mark.isdigit() for mark in cell)


def _strip(grid: Grid, first: int, after: int) -> Grid:
    rows = []
    for row in grid.rows:
        cells = list(row.cells[first:after])
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            dates = frozenset(place - first for place in row.dates if first <= place < after)
            rows.append(Row(row.number, tuple(cells), dates))
    spans = tuple(
        (top, left - first, bottom, right - first)
        for top, left, bottom, right in grid.spans
        if first <= left < after
    )
    return replace(grid, rows=tuple(rows), spans=spans)


# ---------------------------------------------------------------- number and name in one cell
def _with_numbers_apart(grid: Grid) -> Grid:
    """A table whose cells hold number and name, with a cell for each."""
    width = max((len(row.cells) for row in grid.rows), default=0)
    some = [row for row in grid.rows if len(row.filled) > 1 or not row.cell(0)]
    some = some[:: 1 + len(some) // _LOOKED_AT]
    for place in range(width):
        cells = [cell for row in some if (cell := row.cell(place))]
        styles = Counter(found.style for cell in cells if (found := start(cell)) and _is_worded(found.rest))
        if not styles or len(cells) < _LEAST:
            continue
        style, number = styles.most_common(1)[0]
        begun = [place for place, cell in enumerate(cells) if _has_style(cell, style)]
        cells = cells[begun[0] : begun[-1] + 1]  # what stands above the first and below the last is text
        if (
            number < _LEAST
            or number * 10 < len(cells) * 7
            or (style == (False, "") and not _are_cards(cells))
        ):
            continue
        rows = [_apart(row, place, style) for row in grid.rows]
        spans = tuple(
            (top, left + (left > place), bottom, right + (right > place))
            for top, left, bottom, right in grid.spans
        )
        return replace(grid, rows=tuple(rows), spans=spans)
    return grid


def _are_cards(cells: Sequence[str]) -> bool:
    """Whether cells with a bare number in front are cards: they differ, or one stands once a parallel."""
    kinds = set(cells)
    numbers = {found.number for cell in kinds if (found := start(cell))}
    return len(kinds) * 2 >= len(cells) or (len(kinds) >= _MANY and len(numbers) * 3 >= len(kinds))


def _apart(row: Row, place: int, style: tuple[bool, str]) -> Row:
    if place >= len(row.cells):
        return row
    found = start(row.cells[place]) if row.cells[place] else None
    if found is not None and found.style == style:
        number, rest = found.number, found.rest
    else:
        number, rest = "", row.cells[place]
    after = [
        again.rest if (again := start(cell)) is not None and number and again.number == number else cell
        for cell in row.cells[place + 1 :]
    ]
    dates = frozenset(one + (one > place) for one in row.dates)
    return Row(row.number, (*row.cells[:place], number, rest, *after), dates)
