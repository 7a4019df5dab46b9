"""What a checklist sheet parts into: headers, lines of cards, sections; and how a card's number looks."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from rating.release.intake.account import Account
from rating.release.intake.values import Grid, Row

_NUMBER = re.compile(
    r"#?\s?(?:[A-Za-z0-9]{1,10}(?:\s?[-–./]\s?[A-Za-z0-9]{1,8}){0,3}|[A-Z]{1,4}\.?\s\d{1,4}[a-z]?)[*†]?\Z"
)


BASE = "Base"  # what the only cards are that no heading and no sheet names


@dataclass(slots=True)
class Header:
    """The columns that a header row named, by position; unknown ones wait to be told by their contents."""

    row: Row | None
    named: dict[int, str]
    unknown: dict[int, str] = field(default_factory=dict)
    parallels: dict[int, str] = field(default_factory=dict)
    left: frozenset[int] = frozenset()  # columns that somebody said hold nothing
    width: int = 0  # columns of the table
    places: dict[str, int] = field(init=False)  # of the named columns

    def __post_init__(self) -> None:
        self.places = {name: place for place, name in self.named.items()}

    def name(self, place: int, name: str) -> None:
        """Say what a column holds that only its cells tell."""
        self.named[place] = name
        self.places[name] = place

    def place(self, name: str) -> int | None:
        """Where a named column stands, None where there is none."""
        return self.places.get(name)

    def get(self, row: Row, name: str) -> str:
        """The cell of a row in a named column."""
        place = self.places.get(name)
        return "" if place is None else row.cell(place)

    def has(self, name: str) -> bool:
        """Whether a column is there."""
        return name in self.places


@dataclass(slots=True)
class Line:
    """One row of cards with the columns that held for it, and a team that a heading gave."""

    row: Row
    header: Header
    team: str = ""
    grid: Grid | None = None  # the part of the sheet that it stands in

    def get(self, name: str) -> str:
        """The cell in a named column, blank where there is none."""
        place = self.header.places.get(name)
        return "" if place is None else self.row.cell(place)


@dataclass(slots=True)
class Section:
    """A stretch of cards under one heading."""

    name: str
    blurbs: list[str] = field(default_factory=list)
    group: str = ""
    lines: list[Line] = field(default_factory=list)
    is_closed: bool = False
    heading: Row | None = None
    is_guessed: bool = False
    full: str = ""  # the name with its kind words, as the heading wrote it


@dataclass(slots=True)
class Sheet:
    """A sheet parted into sections, with the footnotes found in it."""

    grid: Grid
    account: Account
    sections: list[Section]
    footnotes: list[Row]
    headers: list[Header]
    orphans: list[Line]
    titles: list[str]


_BEFORE_NUMBER = re.compile(
    r"^(?:no\.?|nr\.?|card)\s+(?=\S*\d|(?-i:[A-Z]{1,6}[-–][A-Z]{1,8}\Z))", re.IGNORECASE
)


def is_number(cell: str) -> bool:
    """Whether a cell may be a card's number: '12', 'DS-4', 'MV JT', 'RC-A', never a phrase."""
    bare = _BEFORE_NUMBER.sub("", cell.strip())
    if not bare or len(bare) > 20 or not _NUMBER.match(bare):
        return False
    if any(mark.isdigit() for mark in bare):
        return True
    letters = re.sub(r"[^A-Za-z]", "", bare)
    return letters.isupper() and (len(letters) <= 4 or "-" in bare) and len(letters) <= 8
