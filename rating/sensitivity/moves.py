"""The fewest points moved that give a release a place, or put it above another, in the published tenths.

m releases, n criteria. Points are whole tenths; they move from one criterion to another, so that their sum
stays and none goes below 0, and what a change costs is what is moved, counted once. For a fixed tenth t, "its
grade is at least t, and at most so many others are above t" is linear in the points, gaps or not, so the
least change is the smallest of a few integer programmes over t. Those that a bound rules out are not solved;
every answer is checked in integers, and one that fails is cut off and looked for again.
"""

from __future__ import annotations

from collections.abc import Sequence

from rating.sensitivity.leading import Leading
from rating.sensitivity.searching import WORK, Least, Score, Scores, Search

__all__ = ["Least", "Score", "Scores", "to_pass", "to_place"]


def to_place(
    scores: Scores,
    points: Sequence[int],
    row: int,
    place: int,
    *,
    work: int = WORK,
) -> Least:
    """The least change after which a release has a place or a better one.

    Parameters
    ----------
    points : n whole tenths
    row : the release
    place : from 1
    work : how much is tried at most, in linear programmes of the solver, so the same on every machine
    """
    if place == 1:
        return Leading(scores, tuple(points), row, work).least()
    return Search(scores, tuple(points), row, work, room=place - 1).least()


def to_pass(
    scores: Scores,
    points: Sequence[int],
    row: int,
    other: int,
    *,
    under: int | None = None,
    work: int = WORK,
) -> Least:
    """The least change after which a release's published grade is above that of another one.

    Parameters
    ----------
    points, row, work : as for `to_place`
    other : the one to be passed; both have a place afterwards
    under : look only for changes that move less than so many tenths; at_least tells then what that came to
    """
    search = Search(scores, tuple(points), row, work, other=other)
    if under is not None:
        search.total = min(search.total, under)
    return search.least()
