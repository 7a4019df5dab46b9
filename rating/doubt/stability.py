"""All that is known about how firm a place, or the whole order, is, in one value."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from rating.doubt import place, swaps
from rating.doubt.place import Agreement, LeftOut
from rating.doubt.spans import Hold, holds, ranked_row
from rating.doubt.swaps import Swap
from rating.doubt.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Stability:
    """How firm one release's place is, or with `whole` the leader's and the order of all.

    swaps hold the changes that put it above the release before it and the one behind it above it; of the
    whole order, each release above the one before it, those that take least first.
    """

    release: str
    title: str
    whole: bool
    place: str
    of: int
    told: str
    holds: tuple[Hold, ...]
    swaps: tuple[Swap, ...]
    left_out: tuple[LeftOut, ...]
    rules: dict[str, Agreement]


def stability(table: Table, release: str = "") -> Stability:
    """How firm a release's place is; without one the leader's, and the order of all.

    Raises
    ------
    ValueError
        if the release has no place, or none has one
    """
    ranked = table.ranked
    if not ranked:
        raise ValueError("no release has a place")
    own = ranked_row(table, release) if release else ranked[0]
    pairs = [
        (behind.release, before.release)
        for before, behind in itertools.pairwise(ranked)
        if not release or own in {before, behind}
    ]
    found = [swaps.over(table, behind, before) for behind, before in pairs]
    if not release:
        found.sort(key=lambda one: (one.total is None, one.total))
    return Stability(
        release=own.release,
        title=own.title,
        whole=not release,
        place=table.shown_places()[own.release],
        of=len(ranked),
        told=place.told(table, own.release),
        holds=holds(table, own.release),
        swaps=tuple(found),
        left_out=place.left_out(table, own.release),
        rules=place.under_rules(table, own.release),
    )
