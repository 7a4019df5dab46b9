"""Cards on their way from a sheet to the table."""

from __future__ import annotations

from dataclasses import dataclass

from rating.release.intake import kinds
from rating.release.intake.account import Account
from rating.release.intake.ladder import Rung
from rating.release.intake.values import Row


@dataclass(slots=True)
class Draft:
    """A card on its way: what the row said, before spellings are settled."""

    section: str
    key: str  # the section's name as compared
    number: str
    subjects: list[str]
    teams: list[str]
    rookies: list[bool]
    print_run: int | None
    signed: str
    relic: str
    is_signed: bool
    has_relic: bool
    variation: bool
    redemption: bool
    note: str
    sticker: str  # a note of 'sticker', which is how the card is signed if it is signed
    stars: list[str]  # the mark behind each name, as '*'
    row: Row
    account: Account
    rungs: list[Rung]
    is_parallel: bool = False  # the row is of one parallel of the card, and so is its print run
    is_short: bool = False
    said: kinds.Kind = kinds.NOTHING
