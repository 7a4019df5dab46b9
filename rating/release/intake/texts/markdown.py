"""Texts in markdown: headings, tables between bars, lists, struck-out rows; emphasis is taken out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from rating.release.intake import looks, unfold, words
from rating.release.intake.sheet_kinds import ASIDE, CARD_LIST, KEY, PARALLEL_LIST
from rating.release.intake.texts.part import Part

_RULE = re.compile(r"\s*\|?\s*:?-+:?\s*(?:\|\s*:?-+:?\s*)*\|?\s*\Z")
_HEADING = re.compile(r"\s{0,3}(#{1,6})\s+(?P<said>\S.*?)\s*#*\s*\Z")
_ITEM = re.compile(r"(?P<indent>\s*)(?:[-*+•]|\d{1,3}[.)])\s+(?P<said>\S.*)\Z")
_STRUCK = re.compile(r"~~(.+?)~~")
_LINK = re.compile(r"\[([^\[\]]+)\]\([^()\s]+\)")
_EMPHASIS = re.compile(r"(?<![\w*])(\*{1,3}|_{1,3}|`)(?=\S)(?P<said>[^*_`]+?)(?<=\S)\1(?![\w*])")
_LADDER = re.compile(
    r"(?P<name>.+?)\s+(?:also\s+)?(?:comes?|is|are|found|available|exists?)\s+(?:also\s+)?(?:in|as)\s*:?\Z"
    r"|(?:the\s+)?(?:parallels?|versions?|variants?|colou?rs)\s+(?:of|for|in)\s+(?P<of>.+?)\s*:?\Z"
    r"|(?P<before>.+?)\s+(?:parallels?|versions?|variants?|colou?rs)\s*:?\Z"
    r"|(?:also in|also as|parallels?|versions?|variants?|colou?rs|ladder)\s*:?\Z",
    re.IGNORECASE,
)
_IN_BRACKETS = re.compile(r"\(([^()]+)\)\Z")
_ROLE = re.compile(r",\s*[a-z]+(?=\W*\Z)")  # what somebody plays: ', striker'
_LEAST = 3


@dataclass(slots=True)
class _Section:
    """What stands under one heading: tables and lines, in their order."""

    heading: tuple[int, str] | None = None
    level: int = 0
    tables: list[list[tuple[int, list[str]]]] = field(default_factory=list)
    lines: list[tuple[int, str, int]] = field(default_factory=list)  # number, text, indent of an item or -1


def parts(lines: Sequence[str]) -> list[Part]:
    """The parts of a text in markdown, none where it is none."""
    rules = sum(bool(_RULE.match(line)) and "|" in line for line in lines)
    headings = sum(bool(_HEADING.match(line)) for line in lines)
    if not rules:
        return _lists(lines) if headings > 1 else []
    if not headings and rules < 2:
        return []
    marks, struck = Part(kind=KEY), Part(kind=ASIDE, why="struck out in the file")
    sections = list(_sections(lines, marks, struck))
    cards, ladders, rest = Part(kind=CARD_LIST), Part(kind=PARALLEL_LIST), Part()
    ladders.roles = ((0, "subset"), (1, "parallel"))
    found = [cards, ladders]
    for one in sections:
        if any(map(_holds_cards, one.tables)):
            _cards(one, cards, ladders, marks)
        elif one.tables and _are_numbers(one.tables):
            found.append(Part(rows=sorted(_all(one))))
        else:
            rest.rows += _all(one)
    return [one for one in (*found, rest, marks, struck) if one.rows]


def _lists(lines: Sequence[str]) -> list[Part]:
    """What is told before the first list of cards, and the lists with all below them; none without a list."""
    marks, struck = Part(kind=KEY), Part(kind=ASIDE, why="struck out in the file")
    sections = list(_sections(lines, marks, struck))
    with_cards = [place for place, one in enumerate(sections) if _lists_cards(one)]
    if not with_cards:
        return []
    told, cards = Part(), Part(kind=CARD_LIST)
    teams = _teams(sections)
    for place, one in enumerate(sections):
        if place < with_cards[0] and not (one.heading and one.level < sections[with_cards[0]].level):
            told.rows += _all(one)
        elif one.heading and one.heading[1] in teams:
            marks.rows.append((one.heading[0], [one.heading[1]]))
            cards.rows += [
                (number, [f"{_ROLE.sub('', said)} ({one.heading[1]})" if unfold.start(said) else said])
                for number, said, _ in one.lines
            ]
        else:
            cards.rows += [(number, [one]) for number, cells in _all(one) for one in _each(cells[0])]
    return [one for one in (told, cards, marks, struck) if one.rows]


def _each(line: str) -> list[str]:
    """The cards that run on in a line, each behind a semicolon; else the line."""
    pieces = [one.strip(" .") for one in line.split(";") if one.strip()]
    return pieces if len(pieces) > 1 and all(map(unfold.start, pieces)) else [line]


def _teams(sections: Sequence[_Section]) -> frozenset[str]:
    """Headings over lists of cards that elsewhere stand in brackets behind names, as teams do."""
    heads = {one.heading[1] for one in sections if one.heading and _lists_cards(one)}
    behind = {name for one in sections for _, said, _ in one.lines for name in _IN_BRACKETS.findall(said)}
    return frozenset(heads & behind)


def _lists_cards(section: _Section) -> bool:
    """Whether most items of a section's lists begin with a card's number."""
    items = [said for _, said, indent in section.lines if indent >= 0]
    told = sum(unfold.start(said) is not None for said in items)
    return told >= _LEAST and told * 10 >= 6 * len(items)


def _sections(lines: Sequence[str], marks: Part, struck: Part) -> Iterator[_Section]:
    section = _Section()
    table: list[tuple[int, list[str]]] = []
    for number, line in enumerate(lines, start=1):
        bare = line.strip()
        if "|" not in bare or not bare:
            table = []
        if not bare:
            continue
        if _RULE.match(bare):
            marks.rows.append((number, [bare]))
        elif found := _HEADING.match(line):
            yield section
            section = _Section((number, _plain(found["said"])), len(found[1]))
        elif "|" in bare and (bare.startswith("|") or table):
            raw = [cell.strip() for cell in re.split(r"(?<!\\)\|", bare.strip("|") if bare != "|" else "")]
            cells = [_plain(cell) for cell in raw]
            if sum(bool(_STRUCK.fullmatch(cell)) for cell in raw) > 1:
                struck.rows.append((number, cells))
                continue
            if not table:
                section.tables.append(table)
            table.append((number, cells))
        else:
            item = _ITEM.match(line)
            said = _plain(item["said"] if item else bare.lstrip("> "))
            section.lines.append((number, said, len(item["indent"]) if item else -1))
    yield section


def _plain(said: str) -> str:
    """Words without the marks of emphasis and links."""
    said = _LINK.sub(r"\1", _STRUCK.sub(r"\1", said))
    return _EMPHASIS.sub(lambda found: found["said"], said).strip()


def _holds_cards(table: Sequence[tuple[int, list[str]]]) -> bool:
    """Whether rows have a card's number and a person each."""
    told = sum(
        any(map(looks.is_number, cells))
        and any(looks.is_person(cell) and not looks.is_number(cell) for cell in cells)
        for _, cells in table
    )
    return told >= _LEAST and told * 10 >= 6 * len(table)


def _are_numbers(tables: Sequence[Sequence[tuple[int, list[str]]]]) -> bool:
    """Whether the cells beyond the first are numbers, as odds are."""
    cells = [cell for table in tables for _, row in table[1:] for cell in row[1:] if cell]
    return len(cells) > _LEAST and sum(cell[:1].isdigit() for cell in cells) * 10 >= 7 * len(cells)


def _all(one: _Section) -> list[tuple[int, list[str]]]:
    head = [(one.heading[0], [one.heading[1]])] if one.heading else []
    return head + sorted(
        [(number, [said]) for number, said, _ in one.lines] + [row for table in one.tables for row in table]
    )


def _cards(one: _Section, cards: Part, ladders: Part, marks: Part) -> None:
    """A section of cards: lists of parallels are apart from it."""
    own = _all(one)
    told: set[int] = set()
    subset = words.smart_case(re.split(r"\s*[(:]|\s[-–—]\s", one.heading[1])[0]) if one.heading else ""
    place = 0
    while place < len(one.lines):
        number, said, indent = one.lines[place]
        after = place + 1
        while after < len(one.lines) and one.lines[after][2] > indent:
            after += 1
        found = _LADDER.match(said)
        if found and after > place + 1:
            name = found["name"] or found["of"] or found["before"] or subset
            marks.rows.append((number, [said]))
            ladders.rows += [(item[0], [name, item[1]]) for item in one.lines[place + 1 : after]]
            told.update(item[0] for item in one.lines[place:after])
        place = after
    cards.rows += [row for row in own if row[0] not in told]
