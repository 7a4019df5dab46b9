"""All that is known about how firm a place, or the whole order, is, in one value."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass

from rating import text
from rating.doubt import firmness, swaps
from rating.doubt.ranges import ranges
from rating.doubt.rules import RulePlace, under_rules
from rating.doubt.score_table import ScoreTable
from rating.doubt.spans import CriterionSpans, spans
from rating.doubt.swaps import Swap


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Where a release stands, and who leads, without a criterion or a group; None where it has no place."""

    what: str
    place: int | None
    leaders: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stability:
    """How firm one release's place is, or with `whole` the leader's and the order of all.

    told says whether the place is firm, and its margin; kept is the share of simulations that keep it. swaps
    hold the changes that put it above the release before it and the one behind it above it; of the whole
    order, each release above the one before it, those that take least first.
    """

    release: str
    title: str
    whole: bool
    place: str
    of: int
    told: str
    kept: float
    spans: tuple[CriterionSpans, ...]
    swaps: tuple[Swap, ...]
    left_out: tuple[LeftOut, ...]
    rules: dict[str, RulePlace]


def stability(table: ScoreTable, release: str = "") -> Stability:
    """How firm a release's place is; without one the leader's, and the order of all.

    Raises
    ------
    ValueError
        if the release has no place, or none has one
    """
    ranked = table.ranked
    if not ranked:
        raise ValueError("no release has a place")
    own = table.ranked_row(release) if release else ranked[0]
    pairs = [
        (behind.release, before.release)
        for before, behind in itertools.pairwise(ranked)
        if not release or own in {before, behind}
    ]
    found_swaps = [swaps.over(table, behind, before) for behind, before in pairs]
    if not release:
        found_swaps.sort(key=lambda one: (one.total is None, one.total))
    drawn = ranges(table)
    its = drawn.of(own.release)
    if its is None:
        raise ValueError(f"{own.release} has no place")
    return Stability(
        release=own.release,
        title=own.title,
        whole=not release,
        place=table.shown_places()[own.release],
        of=len(ranked),
        told=firmness.told(table, drawn, own.release),
        kept=its.kept,
        spans=spans(table, own.release),
        swaps=tuple(found_swaps),
        left_out=left_out(table, own.release),
        rules=under_rules(table, own.release),
    )


def left_out(table: ScoreTable, release: str) -> tuple[LeftOut, ...]:
    """Where a release stands without each criterion, and without each group of several."""
    groups = [group for group in dict.fromkeys(table.groups) if table.groups.count(group) > 1]
    parts = [(key, {key: 0}) for key in table.criteria]
    parts += [
        (group, {key: 0 for key, its in zip(table.criteria, table.groups, strict=True) if its == group})
        for group in groups
        if group not in table.criteria
    ]
    outcomes = []
    for what, points in parts:
        without = table.with_points(points)
        places = without.places() if any(without.points) else {}
        leaders = tuple(name for name, place in places.items() if place == 1)
        outcomes.append(LeftOut(what=what, place=places.get(release), leaders=leaders))
    return tuple(outcomes)


def told_without(known: Stability, names: Mapping[str, str]) -> str:
    """What leaving a criterion or a group out does to the place, or of the whole order to the lead, in words.

    Parameters
    ----------
    names : what each release is called
    """
    if known.whole:
        return _lead_without(known, names)
    here = int(known.place.removeprefix("="))
    moved = [part for part in known.left_out if part.place != here]
    if not moved:
        return "It keeps its place whichever you leave out."
    by_place: dict[int | None, list[str]] = {}
    for part in moved:
        by_place.setdefault(part.place, []).append(part.what)
    told = [
        f"{text.ordinal(place) if place else 'unplaced'} if you left out {_any_of(left_out)}"
        for place, left_out in by_place.items()
    ]
    return f"It would be {text.listed(told)}; leaving out anything else keeps it {text.ordinal(here)}."


def _any_of(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"any one of {text.listed(parts, 'or')}"


def _lead_without(known: Stability, names: Mapping[str, str]) -> str:
    lost = [part for part in known.left_out if part.leaders and known.release not in part.leaders]
    if not lost:
        return f"{names[known.release]} leads whichever you leave out."
    told = [
        f"{text.listed([names[name] for name in part.leaders])} if you left out {part.what}" for part in lost
    ]
    return f"The lead would go to {text.listed(told)}; leaving out anything else keeps the leader."


def told_by_rules(known: Stability, names: Mapping[str, str]) -> str:
    """Where other rules of combining scores put the release, and of the whole order how far they agree.

    Parameters
    ----------
    names : what each release is called
    """
    here = int(known.place.removeprefix("="))
    others = {rule: one for rule, one in known.rules.items() if rule != "mean"}
    moved = [
        f"{text.ordinal(one.place)} by {_rules([rule])}"
        for rule, one in others.items()
        if one.place not in {here, None}
    ]
    kept = [rule for rule, one in others.items() if one.place == here]
    told = []
    if moved:
        told.append(f"would be {text.listed(moved)}")
    if kept:
        told.append(f"stays {text.ordinal(here)} by {_rules(kept)}")
    words = f"{names[known.release]} {' and '.join(told)}."
    agree = [f"{rule} {one.tau:.2f}" for rule, one in others.items() if one.tau is not None]
    if known.whole and agree:
        words += " Agreement with the published order (Kendall's tau, where 1 is the same order): "
        words += f"{', '.join(agree)}."
    return words


def _rules(names: list[str]) -> str:
    return f"the {text.listed(names)} rule{'s' if len(names) > 1 else ''}"
