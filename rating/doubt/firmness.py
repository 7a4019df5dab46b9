"""Whether a place is firm, in a sentence: one meaning wherever the word stands.

A place is firm where it is kept in nine of ten simulations of `rating.doubt.ranges`. How far points can be
moved before it changes is a margin, told as one beside it, and makes nothing firm.
"""

from __future__ import annotations

from rating.doubt import nudges
from rating.doubt.ranges import Range, Ranges, share_at_most
from rating.doubt.score_table import ScoreTable

_ORDINALS = (
    "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
)  # fmt: skip


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
        return "First of one: there is nothing to compare it with."
    name = ordinal(row.rank).capitalize()
    name += f", shared, of {of}" if row.place.startswith("=") else f" of {of}"
    often = f"it keeps this place in {share_at_most(row.kept)} of simulations"
    if row.is_firm:
        return f"{name}, and firm: {often}."
    return f"{name}, but not firm: {often}, and is {between(row.low, row.high)} in nine of ten."


def between(low: int, high: int) -> str:
    """A range of places in words: '2nd to 4th', '3rd'."""
    return numbered(low) if low == high else f"{numbered(low)} to {numbered(high)}"


def ordinal(place: int) -> str:
    """A place in a word: 6 is 'sixth', 21 is '21st'."""
    return _ORDINALS[place] if place < len(_ORDINALS) else numbered(place)


def numbered(place: int) -> str:
    """A place as a number: '3rd', '21st', '112th'."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{'th' if place % 100 in {11, 12, 13} else ending}"
