"""What the standings would be: other points, other scores, criteria or releases left out, another rule."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from rating import tenths, text
from rating.core.rank import tied
from rating.doubt import rules
from rating.doubt.score_table import ScoreRow, ScoreTable


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """What is tried. Points are tenths; scores are by (release, criterion)."""

    points: Mapping[str, int] = field(default_factory=dict)
    scores: Mapping[tuple[str, str], int] = field(default_factory=dict)
    without: frozenset[str] = frozenset()
    rule: str = "mean"

    @property
    def is_nothing(self) -> bool:
        """Whether nothing is tried at all."""
        return not (self.points or self.scores or self.without) and self.rule == "mean"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One release before and after: place (None without one), and grade in tenths, None under another rule.

    `value` is what another rule makes of it. `moved` is in places gained.
    """

    release: str
    title: str
    before: int | None
    before_grade: int | None
    after: int | None
    after_tied: bool
    after_grade: int | None
    value: Decimal | None
    moved: int | None

    @property
    def place(self) -> str:
        """The place after, as it is shown."""
        return "" if self.after is None else f"={self.after}" if self.after_tied else str(self.after)


def changed(table: ScoreTable, change: WhatIf) -> ScoreTable:
    """The table with other points and scores, and without some releases.

    A score on a criterion that did not apply or was unknown makes it count.
    """

    def altered(row: ScoreRow) -> ScoreRow:
        new = {key: score for (release, key), score in change.scores.items() if release == row.release}
        if not new:
            return row
        return dataclasses.replace(
            row,
            scores=tuple(new.get(key, old) for key, old in zip(table.criteria, row.scores, strict=True)),
            applies=tuple(key in new or on for key, on in zip(table.criteria, row.applies, strict=True)),
        )

    kept = [altered(row) for row in table.rows if row.release not in change.without]
    return table.with_points(change.points).only(kept)


def try_out(table: ScoreTable, change: WhatIf) -> tuple[Outcome, ...]:
    """Every release before and after a change, in the order of after; those without a place at the end.

    Releases that were left out have no row.
    """
    before, after = table.places(), changed(table, change)
    places = rules.places_by(after, change.rule)
    shared = dict(zip(places, tied(tuple(places.values())), strict=True))
    values: Mapping[str, Decimal] = {}
    if change.rule != "mean":
        ranked = after.only(after.ranked)
        names = [row.release for row in ranked.rows]
        values = dict(zip(names, rules.results_by(ranked, change.rule), strict=True))
    outcomes = []
    for row in after.rows:
        old = table.row(row.release)
        place, was = places.get(row.release), before.get(row.release)
        outcomes.append(
            Outcome(
                release=row.release,
                title=row.title,
                before=was,
                before_grade=table.grade(old) if old else None,
                after=place,
                after_tied=shared.get(row.release, False),
                after_grade=after.grade(row) if change.rule == "mean" else None,
                value=values.get(row.release),
                moved=was - place if was is not None and place is not None else None,
            )
        )
    order = {row.release: place for place, row in enumerate(table.rows)}
    return tuple(sorted(outcomes, key=lambda one: (one.after is None, one.after or 0, order[one.release])))


def told(tried: tuple[Outcome, ...]) -> str:
    """What a change does, in a sentence."""
    moved = [outcome for outcome in tried if outcome.moved]
    names = text.short_names({outcome.release: outcome.title for outcome in tried})
    if not tried:
        return "Nothing is left to rank."
    if not moved:
        return "No place changes."
    most = max(moved, key=lambda outcome: (abs(outcome.moved or 0), -(outcome.after or 0)))
    way = "up" if (most.moved or 0) > 0 else "down"
    first = [outcome for outcome in tried if outcome.after == 1]
    placed = sum(outcome.after is not None for outcome in tried)
    head = f"{len(moved)} of {text.count(placed, 'place')} would change"
    new = [outcome for outcome in first if outcome.before != 1]
    if new:
        verb = "would lead" if len(first) == 1 else "would share the lead"
        head += f"; {text.listed([names[one.release] for one in new])} {verb}"
    step = text.count(abs(most.moved or 0), "place")
    return f"{head}; {names[most.release]} would move most, {way} {step} to {text.ordinal(most.after or 0)}."


def grade_text(outcome: Outcome) -> str:
    """The grade after, or what another rule makes of it."""
    if outcome.after_grade is not None:
        return tenths.show(outcome.after_grade)
    return "" if outcome.value is None else tenths.fixed(outcome.value, 3)
