"""The checklist, its parallels and the odds: the three tables that say what there is to find."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from rating.errors import Problem
from rating.release import tables
from rating.release.tables import Columns

KINDS = ("base", "insert", "autograph", "relic", "autograph relic")
SIGNED = ("card", "sticker")
RELICS = ("game-worn", "player-worn", "event-worn", "unattributed")

_ALL_FORMATS: tuple[str, ...] = ()

CHECKLIST_COLUMNS = (
    "subset",
    "kind",
    "number",
    "subjects",
    "teams",
    "rookie",
    "print_run",
    "signed",
    "relic",
    "variation",
    "redemption",
    "note",
)
PARALLEL_COLUMNS = ("subset", "parallel", "print_run", "formats")
ODDS_COLUMNS = ("subset", "parallel", "format", "packs_per_copy", "note")


class Card(NamedTuple):
    """One card of the checklist. Blank text is not known or not so; `print_run` None is not numbered."""

    subset: str
    kind: str
    number: str
    subjects: tuple[str, ...]
    teams: tuple[str, ...]
    rookie: bool
    print_run: int | None
    signed: str
    relic: str
    variation: bool
    redemption: bool
    note: str
    row: int

    @property
    def is_hit(self) -> bool:
        """Whether it is an autograph, a relic or both."""
        return self.kind in {"autograph", "relic", "autograph relic"}

    @property
    def has_signature(self) -> bool:
        """Whether somebody signed it."""
        return self.kind in {"autograph", "autograph relic"}


class Parallel(NamedTuple):
    """A variant of a subset's cards. No formats means all of them."""

    subset: str
    parallel: str
    print_run: int | None
    formats: tuple[str, ...]
    row: int


class Odds(NamedTuple):
    """One copy of a line falls in so many packs of a format; a blank parallel is the base version."""

    subset: str
    parallel: str
    format: str
    packs_per_copy: Decimal
    note: str
    row: int


def read_checklist(path: Path, *, file: str = "") -> tuple[tuple[Card, ...], list[Problem]]:
    """The cards of checklist.csv with the problems of its rows.

    Raises
    ------
    rating.errors.RatingError
        if the file is no CSV with this header
    """
    with tables.paused_collection():
        return parse_checklist(
            tables.read(path, CHECKLIST_COLUMNS, required=("subset", "kind", "number", "subjects"), file=file)
        )


def parse_checklist(columns: Columns) -> tuple[tuple[Card, ...], list[Problem]]:
    """The cards in the columns of a checklist, see `read_checklist`."""
    subjects = _people(columns, "subjects", "write the name, two people as 'A / B'")
    teams = _people(columns, "teams", "write the team, one for each person, as 'A / B'")
    cells = (
        columns.words("subset", required=True),
        columns.one_of("kind", KINDS, required=True),
        columns.words("number", required=True, limit=40),
        subjects,
        teams,
        columns.read("rookie", tables.yes, blank=False, fix="write yes, or leave it blank"),
        columns.read(
            "print_run", tables.whole(1), blank=None, fix="write a whole number from 1, or leave it blank"
        ),
        columns.one_of("signed", SIGNED),
        columns.one_of("relic", RELICS),
        columns.read("variation", tables.yes, blank=False, fix="write yes, or leave it blank"),
        columns.read("redemption", tables.yes, blank=False, fix="write yes, or leave it blank"),
        columns.words("note", limit=500),
        columns.row_numbers,
    )
    cards = tuple(map(Card._make, zip(*cells, strict=True)))
    if any("/" in cell for cell in columns.different("teams")):
        for card in cards:
            if len(card.teams) > 1 and len(card.teams) != len(card.subjects):
                columns.problems.append(_uneven(card, columns.file))
    return cards, columns.problems


def _uneven(card: Card, file: str) -> Problem:
    return Problem(
        code="uneven-teams",
        file=file,
        row=card.row,
        what=f"{len(card.subjects)} subjects but {len(card.teams)} teams",
        fix="write one team for each person, in the same order, as 'A / B'",
    )


def read_parallels(path: Path, *, file: str = "") -> tuple[tuple[Parallel, ...], list[Problem]]:
    """The parallels of parallels.csv with the problems of its rows."""
    columns = tables.read(path, PARALLEL_COLUMNS, required=("subset", "parallel"), file=file)
    cells = (
        columns.words("subset", required=True),
        columns.words("parallel", required=True),
        columns.read(
            "print_run", tables.whole(1), blank=None, fix="write a whole number from 1, or leave it blank"
        ),
        columns.read(
            "formats", _formats, blank=_ALL_FORMATS, fix="write format keys parted by commas or blanks"
        ),
        columns.row_numbers,
    )
    return tuple(map(Parallel._make, zip(*cells, strict=True))), columns.problems


def read_odds(path: Path, *, file: str = "") -> tuple[tuple[Odds, ...], list[Problem]]:
    """The odds of odds.csv with the problems of its rows."""
    columns = tables.read(path, ODDS_COLUMNS, required=("subset", "format", "packs_per_copy"), file=file)
    cells = (
        columns.words("subset", required=True),
        columns.words("parallel"),
        columns.words("format", required=True),
        columns.read(
            "packs_per_copy",
            _odds,
            blank=Decimal(0),
            fix="write the N of '1 in N packs' as a number above 0",
            required=True,
        ),
        columns.words("note", limit=500),
        columns.row_numbers,
    )
    odds = tuple(map(Odds._make, zip(*cells, strict=True)))
    return tuple(one for one in odds if one.packs_per_copy), columns.problems


def subsets_of(cards: Sequence[Card]) -> list[str]:
    """The subsets in the order of the checklist."""
    return list(dict.fromkeys(card.subset for card in cards))


def checklist_text(cards: Iterable[Card]) -> str:
    """The cards as the text of a checklist.csv."""
    rows = ((*card[:3], " / ".join(card.subjects), " / ".join(card.teams), *card[5:12]) for card in cards)
    return tables.to_text(CHECKLIST_COLUMNS, rows)


def _people(columns: Columns, name: str, fix: str) -> list[tuple[str, ...]]:
    """A column of names, several of them parted by ' / '."""
    column = columns.words(name, required=name == "subjects", limit=400)
    special = {cell: tuple(cell.split(" / ")) for cell in columns.different(name) if "/" in cell}
    for cell, parts in special.items():
        if any(part[:1] in {"", "/"} or part[-1] == "/" for part in parts):
            what = f"{name} is {cell!r}, with nothing on one side of the stroke"
            for index in (index for index, other in enumerate(column) if other == cell):
                columns.complain(index, what, fix)
    if len(columns.different(name)) * 4 < len(column):
        names = {cell: (cell,) for cell in columns.different(name)} | special | {"": ()}
        return [names[cell] for cell in column]
    if "" in columns.different(name):
        special[""] = ()
    alone = zip(column)  # one column: each name becomes a tuple of one, at the speed of C
    if not special:
        return list(alone)
    return [special.get(cell[0], cell) for cell in alone]


def _formats(cell: str) -> tuple[str, ...]:
    return tuple(part for part in cell.replace(",", " ").split() if part)


def _odds(cell: str) -> Decimal:
    if not (cell.isascii() and cell.replace(".", "", 1).isdigit() and len(cell) <= 12):
        raise ValueError(cell)
    number = Decimal(cell)
    if number <= 0:
        raise ValueError(cell)
    return number
