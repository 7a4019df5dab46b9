"""Whether a place is firm, in a sentence: one meaning wherever the word stands.

A place is firm where it is kept in nine of ten simulations of `rating.doubt.ranges`. How far points can be
moved before it changes is a margin, told as one beside it, and makes nothing firm.
"""

from __future__ import annotations

from rating import text
from rating.doubt import nudges
from rating.doubt.levels import percent_text
from rating.doubt.ranges import Range, Ranges, between
from rating.doubt.score_table import ScoreTable


def told(table: ScoreTable, drawn: Ranges, release: str) -> str:
    """How firm a release's place is, and its margin, in two sentences; ValueError where it has no place."""
    row = drawn.of(release)
    if row is None:
        raise ValueError(f"{release} has no place")
    words = [firm(row, len(drawn.rows)), nudges.told(table, release)]
    return " ".join(filter(None, words))


def firm(row: Range, of: int) -> str:
    """Whether a place is firm, with how often it is kept and, where it is not, between which it moves."""
    if of == 1:
        return "1st of 1: there is nothing to compare it with."
    name, often = placed(row.rank, of, is_shared=row.place.startswith("=")), percent_text(row.kept)
    if row.is_firm:
        return f"{name}, and firm: it keeps this place in {often} of simulations."
    moves = (
        f"it keeps this place in {often} of simulations, and is {between(row.low, row.high)} in at least "
        "nine of ten"
    )
    return f"{name}, but not firm: {moves}."


def placed(place: int, of: int, *, is_shared: bool) -> str:
    """A place among how many: '3rd of 17', 'tied for 12th of 17'."""
    return f"{'tied for ' if is_shared else ''}{text.ordinal(place)} of {of}"
