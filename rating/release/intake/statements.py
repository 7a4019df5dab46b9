"""Lines beside the cards: sentences on single cards, legends of codes and kinds, and the document's own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from rating.release.intake import kinds, wordlists, words
from rating.release.intake.values import Grid, Row

_LISTS = wordlists.load("cards")
_FOOTER = re.compile(rf"\s*(?:{'|'.join(_LISTS['footers'])})\s*\.?\s*\Z", re.IGNORECASE)
_LABELS = frozenset(_LISTS["labels"])
_LEGENDS = frozenset(_LISTS["legends"])
_REDEMPTION = re.compile(
    r"\bredemptions?\b|\bredeem(?:ed|able)?\b|\bexchange (?:card|ticket|slip|coupon)s?\b"
    r"|\bexchanged for\b|\bto be exchanged\b|\bvouchers?\b",
    re.IGNORECASE,
)
_SHORT = re.compile(
    r"\bshort[\s-]*print(?:s|ed)?\b|\bS{1,2}Ps?\b|\bcopies\b|\blimited to\b|\bprint run\b", re.IGNORECASE
)
_ROOKIES = re.compile(
    r"\brookies?\b|\b(?:first|1st)[\s-](?:year|season)\b|\bnew(?:comers?)?\b|\bRCs?\b|\bdebut", re.IGNORECASE
)
_RUN = re.compile(
    r"(?:limited\s+to|with|only|numbered\s+to|print\s+run(?:\s+of)?:?|/)\s*#?/?\s*(?P<a>\d[\d,.]*)(?:\s+copies)?(?:\s+each)?"
    r"|(?P<b>\d[\d,.]*)\s+copies(?:\s+(?:each|of each))?",
    re.IGNORECASE,
)
_ONE = r"(?:[A-Z]{1,6}[-–]?\d{1,4}[a-z]?|[A-Z]{2,4}\s\d{1,3}|[A-Z]{1,6}[-–][A-Z]{1,8}\d{0,2}|\d{1,4}[a-z]?)"
_NUMBERS = re.compile(
    rf"(?<![\w/#-])(?:#|No\.\s?)?(?P<one>{_ONE})(?:\s?(?:–|-|to|through)\s?#?(?P<last>{_ONE})(?![\w/-]))?(?![\w/-])"
)
_MARK = re.compile(
    r"\s*(?:(?P<letter>[(\[][^\W\d_]{1,12}[)\]])|[\"“«](?P<quoted>[^\"”»]{1,20})[\"”»]|[(\[]?\s*(?P<mark>[*†‡§^°+]+|R|RC)\s*[)\]]?)\s*"
    r"(?:=|:|-|–|is|means|denotes|marks|stands for)?\s*(?P<rest>\D+)\Z"
)
_TOLD_MARK = re.compile(
    r"\b(?:marked|shown|noted|indicated|denoted|have|has|carry|with|by)\b[^*†‡§^°+]{0,40}(?P<mark>[*†‡§^°+]+|\(R\))"
)
_PAIR = re.compile(r"\s*(?P<key>[^:|=]{1,60}?)\s*[:=|]\s*(?P<said>[^:|]{2,160})\Z")
_SENTENCE = re.compile(r"(?<=[^\s.]{2}[.!?])\s+(?=[\"“«]|[^\W\d_a-zß-ÿ])")
_SHORT_SHEET, _MOST_CODES = 60, 400  # rows
_INLINE_BEGUN = re.compile(r"[^\W\d_][^:]{2,30}:\s*[A-ZÀ-Þ]{2,5}\s+[A-ZÀ-Þ][^;]*;")
_INLINE = re.compile(r"\b([A-ZÀ-Þ]{2,5})\s+([A-ZÀ-Þ][^;.:]{2,40}?)(?=\s*[;.])")
_CODED_LINE = re.compile(r"([A-ZÀ-Þ]{2,4})\s+([A-ZÀ-Þ][a-zß-ÿ][^\d,;:()]{2,40})\Z")
_FEW_LINES, _LEAST_CODES = 8, 3
_CARD = 3  # cells of a card's row, at the least
_CODE = re.compile(r"[^\W\d_]{1,5}\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What a sentence says of single cards: of those with numbers, or with a mark behind the name."""

    topic: str  # redemption, short print or rookie
    line: str
    numbers: tuple[str, ...] = ()
    mark: str = ""
    print_run: int | None = None


@dataclass(slots=True)
class Legend:
    """What codes stand for, and what the document says of its subsets."""

    codes: dict[str, str] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)
    prose: str = ""  # what other documents say, as running text
    titles: list[str] = field(default_factory=list)  # of sales
    rows: list[Row] = field(default_factory=list)  # of sheets beside the cards: what marks and subsets are


def codes_of(grids: Iterable[Grid]) -> dict[str, str]:
    """The codes that sheets explain, pairs of code and name in a row: 'GLN | Glenarrich | ARD | Ardvan'."""
    found: dict[str, str] = {}
    for grid in grids:
        told = dict(_coded_pairs(grid)) or _codes_in_text(grid)
        if len(told) > 2 and len(set(told.values())) == len(told):
            found.update(told)
    return found


def _coded_pairs(grid: Grid) -> Iterator[tuple[str, str]]:
    """The pairs of code and name in rows that hold nothing else."""
    rows = grid.rows[:_MOST_CODES] if not grid.roles else ()
    for row in _not_among_cards(rows):
        pairs = list(zip(row.filled[::2], row.filled[1::2], strict=False))
        if len(row.filled) % 2 == 0 and pairs and all(is_code_pair(*one) for one in pairs):
            yield from pairs


def _not_among_cards(rows: Sequence[Row]) -> Iterator[Row]:
    """The rows but those alone right below a wider one: the second person of a card has such a row."""
    widths = {row.number: len(row.filled) for row in rows}
    for row in rows:
        own, below = len(row.filled), widths.get(row.number + 1, 0)
        if not (widths.get(row.number - 1, 0) > own and (below > own or not below)):
            yield row


def _codes_in_text(grid: Grid) -> dict[str, str]:
    """Codes that a line or two explain one after the other: 'Sides: GLN Glenarrich; ARD Ardvan; …'."""
    ends = (*grid.rows[:_SHORT_SHEET], *grid.rows[-_SHORT_SHEET:])
    lines = [row.text for row in ends if len(row.filled) == 1]
    listed = {found[1]: found[2] for line in lines if (found := _CODED_LINE.match(line))}
    if len(listed) > _LEAST_CODES:
        return listed
    for place, line in enumerate(lines):
        text = " ".join(lines[place : place + _FEW_LINES])
        told = dict(_INLINE.findall(text)) if _INLINE_BEGUN.match(line) else {}
        if len(told) > _LEAST_CODES:
            return told
    return {}


def explains_marks(grid: Grid) -> bool:
    """Whether a short sheet says what a mark beside cards stands for."""
    told = (read(row.text) for row in grid.rows if len(row.filled) < _CARD)
    return len(grid.rows) < _SHORT_SHEET and any(one is not None and one.mark for one in told)


def is_footer(line: str) -> bool:
    """Whether a line speaks of the document and no card: its page, its end, its version."""
    return _FOOTER.match(line) is not None


def is_legend_heading(line: str) -> bool:
    """Whether a line stands above a legend."""
    return words.fold(line).strip(" :.=-") in _LEGENDS


def sentences(text: str) -> list[str]:
    """The sentences of a paragraph."""
    return [one for one in _SENTENCE.split(text) if one.strip()]


def read(line: str) -> Statement | None:
    """What a sentence says of single cards, None where it says nothing of any."""
    if (marked := _MARK.match(line)) is not None:
        for name, pattern in (("rookie", _ROOKIES), ("redemption", _REDEMPTION), ("short print", _SHORT)):
            if pattern.search(marked["rest"]):
                mark = marked["mark"] or marked["letter"] or marked["quoted"]
                return Statement(topic=name, line=line, mark=mark)
    if (told := _TOLD_MARK.search(line)) is not None and not any(mark.isdigit() for mark in line):
        for name, pattern in (("rookie", _ROOKIES), ("redemption", _REDEMPTION), ("short print", _SHORT)):
            if pattern.search(line):
                return Statement(topic=name, line=line, mark=told["mark"])
    topic = (
        "redemption"
        if _REDEMPTION.search(line)
        else "rookie"
        if _ROOKIES.search(line) and not _RUN.search(line)
        else "short print"
        if _SHORT.search(line)
        else ""
    )
    if not topic:
        return None
    run = _RUN.search(line) if topic == "short print" else None
    bare = _RUN.sub(" ", line) if run else line
    numbers = [one for hit in _NUMBERS.finditer(bare) for one in _spread(hit["one"], hit["last"])]
    numbers = [one for one in numbers if not words.YEAR.fullmatch(one)] or numbers  # 'good until 2033'
    if not numbers:
        return None
    digits = re.sub(r"\D", "", run["a"] or run["b"]) if run else ""
    return Statement(
        topic=topic, line=line, numbers=tuple(numbers), print_run=int(digits) if digits else None
    )


def _spread(first: str, last: str | None) -> list[str]:
    if not last:
        return [first]
    if first.isdigit() and last.isdigit() and 0 < int(last) - int(first) < 500:
        return [str(number) for number in range(int(first), int(last) + 1)]
    return [first, last]


def pair(row: Row) -> tuple[str, str] | None:
    """A line of a legend as what it explains and how: 'WOL: Wold Union', two cells, None where it is none."""
    filled = row.filled
    if len(filled) == 2 and len(filled[0]) <= 60 and ":" not in filled[0]:
        return filled[0], filled[1]
    joined = ", ".join(filled)
    found = _PAIR.match(joined)
    return (found["key"].strip(), found["said"].strip()) if found else None


def legend(rows: Sequence[Row]) -> tuple[Legend, list[Row]]:
    """The legend in rows, two lines of it or more right below each other, and the rows that hold it."""
    found, taken = Legend(), []
    for block in _blocks(rows):
        if len(block) < 2:
            continue
        for one, key, said in block:
            (found.kinds if is_kind_pair(key, said) else found.codes)[key] = said
            taken.append(one)
    return found, taken


def legend_among(rows: Sequence[Row]) -> tuple[Legend, list[Row]]:
    """The legend in a sheet of cards, and the rows that hold it."""
    return legend([row for row in _not_among_cards(rows) if len(row.filled) < _CARD])


def _blocks(rows: Sequence[Row]) -> Iterator[list[tuple[Row, str, str]]]:
    """Lines that could be of a legend, those right below each other together."""
    block: list[tuple[Row, str, str]] = []
    number = 0
    for row in rows:
        told = pair(row)
        fits = told is not None and (is_kind_pair(*told) or is_code_pair(*told))
        if not fits or row.number > number + 2:
            yield block
            block = []
        if told is not None and fits:
            block.append((row, *told))
        number = row.number
    yield block


def is_kind_pair(key: str, said: str) -> bool:
    """Whether a line says what kind of cards a subset has."""
    return (
        len(key) > 1
        and not key.isdigit()
        and words.fold(key) not in _LABELS  # 'Subset: Base Set' is a heading
        and (kinds.are_kinds(said) or (words.SAME_NUMBERS.search(said) is not None and len(said) < 120))
    )


def is_code_pair(key: str, said: str) -> bool:
    """Whether a line says which team a code stands for."""
    letters = [mark for mark in said if mark.isalpha()]
    return (
        _CODE.match(key) is not None
        and key == key.upper()
        and len(said) > len(key)
        and len(letters) * 10 >= 7 * len(said.replace(" ", ""))
        and not any(mark.isdigit() for mark in said)
        and not kinds.are_kinds(said)
    )


def of_grid(grid: Grid) -> Legend | None:
    """The legend that a sheet holds and hardly anything else, None where it holds others."""
    rows = [row for row in grid.rows if not is_footer(row.text) and not is_legend_heading(row.text)]
    found, taken = legend(rows)
    if len(found.kinds) + len(found.codes) < 2:
        return None
    others = len(rows) - len(taken)
    return found if others <= 2 and others * 4 <= len(taken) + 4 else None
