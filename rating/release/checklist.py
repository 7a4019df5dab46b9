"""The checklist, its parallels and the odds: the three tables that say what there is to find."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import lru_cache
from typing import Annotated, NamedTuple

from rating.errors import Problem
from rating.release.columns import Column, choice, decimal, keys, names, whole, words, yes
from rating.release.tables import Table

KINDS = ("base", "insert", "autograph", "relic", "autograph relic")
SIGNED = ("card", "sticker")
RELICS = ("game-worn", "player-worn", "event-worn", "unattributed")


@lru_cache(maxsize=65_536)
def plain_number(number: str) -> str:
    """A card number as it is compared with one written elsewhere: 'MV-05' is MV5, '041' is 41."""
    return re.sub(r"(?<!\d)0+(?=\d)", "", re.sub(r"[^A-Z0-9]", "", number.upper()))


CARD_NUMBER = words(limit=40, compared=plain_number)
NOTE = words(limit=500)
_PRINT_RUN = whole(low=1, fix="write a whole number from 1, or leave it blank")


class Card(NamedTuple):
    """One card of the checklist. Blank text is not known or not so; `print_run` None is not numbered."""

    subset: Annotated[str, Column("the part of the release that the card belongs to", words(), required=True)]
    kind: Annotated[str, Column("what sort of card it is", choice(KINDS), required=True)]
    number: Annotated[str, Column("the number on the card, as it stands there", CARD_NUMBER, required=True)]
    subjects: Annotated[
        tuple[str, ...],
        Column("who is on it", names(fix="write the name, two people as 'A / B'"), required=True),
    ]
    teams: Annotated[
        tuple[str, ...],
        Column(
            "their teams, one for each person", names(fix="write the team, one for each person, as 'A / B'")
        ),
    ]
    rookie: Annotated[bool, Column("whether the maker marks it as a rookie card", yes())]
    print_run: Annotated[int | None, Column("how many copies exist, if it is numbered", _PRINT_RUN)]
    signed: Annotated[str, Column("what an autograph is written on", choice(SIGNED))]
    relic: Annotated[str, Column("where the material of a relic is from", choice(RELICS))]
    variation: Annotated[bool, Column("whether it is another picture of a card in the set", yes())]
    redemption: Annotated[bool, Column("whether a voucher is in the pack, to be sent in for it", yes())]
    note: Annotated[str, Column("what else the maker says of it", NOTE)]
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

    subset: Annotated[str, Column("the subset whose cards it varies", words(), required=True)]
    parallel: Annotated[str, Column("the variant's name", words(), required=True)]
    print_run: Annotated[int | None, Column("how many copies of each card exist, if numbered", _PRINT_RUN)]
    formats: Annotated[
        tuple[str, ...],
        Column(
            "the formats that it can be found in; blank is all of them",
            keys(fix="write format keys parted by commas or blanks"),
        ),
    ]
    row: int


# a pack holds at most a thousand copies of anything
_FEWEST_PACKS = Decimal("0.001")


def _packs(cell: str) -> Decimal:
    if not (cell.isascii() and cell.replace(".", "", 1).isdigit() and len(cell) <= 12):
        raise ValueError(cell)
    number = Decimal(cell)
    if number < _FEWEST_PACKS:
        raise ValueError(cell)
    return number


class Odds(NamedTuple):
    """One copy of a subset's cards, or of a parallel of them, falls in so many packs of a format."""

    subset: Annotated[str, Column("the subset that the odds are for", words(), required=True)]
    parallel: Annotated[str, Column("which of its parallels; blank is the base version", words())]
    format: Annotated[str, Column("the format whose packs are counted, by its key", words(), required=True)]
    packs_per_copy: Annotated[
        Decimal,
        Column(
            "N of one copy in N packs",
            decimal(_packs, blank=Decimal(0), fix="write the N of '1 in N packs' as a number from 0.001 up"),
            required=True,
        ),
    ]
    note: Annotated[str, Column("what else is said of them", NOTE, is_left_out=True)]
    row: int


def _uneven_teams(cards: Sequence[Card], file: str) -> Iterator[Problem]:
    for card in cards:
        if len(card.teams) > 1 and len(card.teams) != len(card.subjects):
            yield Problem(
                code="uneven-teams",
                file=file,
                row=card.row,
                what=f"{len(card.subjects)} subjects but {len(card.teams)} teams",
                fix="write one team for each person, in the same order, as 'A / B'",
            )


CHECKLIST = Table(
    file="checklist.csv",
    about="one card of the release",
    nouns=("card", "cards"),
    row=Card,
    key=("subset", "number"),
    problems=_uneven_teams,
)
PARALLELS = Table(
    file="parallels.csv",
    about="one variant of the cards of a subset",
    nouns=("parallel", "parallels"),
    row=Parallel,
    key=("subset", "parallel"),
)
ODDS = Table(
    file="odds.csv",
    about="the odds of a subset or one of its parallels in a format",
    nouns=("line of odds", "lines of odds"),
    row=Odds,
    key=("subset", "parallel", "format"),
    is_usable=lambda odds: bool(odds.packs_per_copy),
)
