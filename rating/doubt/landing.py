"""What moved when a release landed, or between two days, how sure that is, and what decided it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths, text
from rating.doubt.ranges import SOLID, Ranges, percent_text
from rating.doubt.score_table import ScoreRow, ScoreTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One release before and after; `moved` is in places gained, None where it was not there on one side.

    `passed_by` is whether the landed release went past it; `win_share` how often the landed one is before it.
    """

    release: str
    title: str
    before: int | None
    after: int | None
    grade_before: int | None
    grade: int | None
    moved: int | None
    passed: bool
    win_share: float | None

    @property
    def is_solid(self) -> bool | None:
        """Whether who is before whom holds in nine draws of ten; None where it was not asked."""
        if self.win_share is None:
            return None
        return not 1 - SOLID < self.win_share < SOLID


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """What parts a release from a neighbour: the gap in tenths, and points of grade by criterion.

    `for_it` and `against` hold the criteria that count most each way, with their share of the gap in points.
    """

    release: str
    title: str
    gap: int
    for_it: tuple[tuple[str, Fraction], ...]
    against: tuple[tuple[str, Fraction], ...]
    win_share: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """A release that landed, with its neighbours and everything that moved."""

    release: str
    title: str
    day: str
    place: str
    grade: int | None
    of: int
    above: Margin | None
    below: Margin | None
    rows: tuple[Move, ...]


def lead_by_criterion(table: ScoreTable, first: ScoreRow, second: ScoreRow) -> dict[str, Fraction]:
    """By how many points of grade one release is ahead of another, criterion by criterion.

    They sum to the difference of the unrounded grades. What does not count stands at the release's own mean,
    which is how its weight is shared out.
    """
    total = sum(table.points)

    def filled(row: ScoreRow) -> list[Fraction]:
        own = table.unrounded(row) or Fraction(0)
        return [own if score is None else Fraction(score) for score in row.scores]

    return {
        key: points * (one - two) / total
        for key, points, one, two in zip(
            table.criteria, table.points, filled(first), filled(second), strict=True
        )
    }


def margin(table: ScoreTable, row: ScoreRow, other: ScoreRow, win_share: float | None) -> Margin:
    """What parts a release from another one."""
    parts = lead_by_criterion(table, row, other)
    order = sorted(parts.items(), key=lambda one: (-abs(one[1]), one[0]))
    return Margin(
        release=other.release,
        title=other.title,
        gap=(table.grade(row) or 0) - (table.grade(other) or 0),
        for_it=tuple((key, size) for key, size in order if size > 0)[:3],
        against=tuple((key, size) for key, size in order if size < 0)[:3],
        win_share=win_share,
    )


def landing(before: ScoreTable, after: ScoreTable, release: str, *, day: str, ranges: Ranges) -> Landing:
    """What a release changed; ValueError where it has no place after it landed."""
    row = after.row(release)
    if row is None or release not in after.places():
        raise ValueError(f"{release} has no place after it landed")
    ranked = list(after.ranked)
    at = ranked.index(row)

    def beside(place: int) -> Margin | None:
        if not 0 <= place < len(ranked):
            return None
        return margin(after, row, ranked[place], ranges.win_share(release, ranked[place].release))

    wins = {one.release: ranges.win_share(release, one.release) for one in ranked if one is not row}
    return Landing(
        release=release,
        title=row.title,
        day=day,
        place=after.shown_places()[release],
        grade=after.grade(row),
        of=len(ranked),
        above=beside(at - 1),
        below=beside(at + 1),
        rows=moves(before, after, landed=release, wins=wins),
    )


def moves(
    before: ScoreTable, after: ScoreTable, *, landed: str = "", wins: Mapping[str, float] | None = None
) -> tuple[Move, ...]:
    """Every release of either side, in the order of after; those that left come last."""
    old, new = before.places(), after.places()
    gone = [row for row in before.rows if after.row(row.release) is None]
    found = []
    for row in (*after.rows, *gone):
        was, place = old.get(row.release), new.get(row.release)
        earlier = before.row(row.release)
        later = after.row(row.release)
        is_behind = place is not None and landed in new and new[landed] < place and row.release != landed
        found.append(
            Move(
                release=row.release,
                title=row.title,
                before=was,
                after=place,
                grade_before=before.grade(earlier) if earlier else None,
                grade=after.grade(later) if later else None,
                moved=was - place if was is not None and place is not None else None,
                passed=is_behind and was is not None and (landed not in old or old[landed] >= was),
                win_share=(wins or {}).get(row.release),
            )
        )
    return tuple(found)


def paragraph(found: Landing) -> str:
    """The story of a landing, to be read aloud."""
    names = dict(
        zip(
            [row.release for row in found.rows],
            text.short_titles([row.title for row in found.rows]),
            strict=True,
        )
    )
    own = names[found.release]
    told = [f"{own} lands at {found.place} of {found.of} with {tenths.show(found.grade or 0)}."]
    passed = [row for row in found.rows if row.passed]
    if passed:
        solid = sum(bool(row.is_solid) for row in passed)
        who = text.listed([names[row.release] for row in passed[:3]])
        more = f" and {len(passed) - 3} more" if len(passed) > 3 else ""
        sure = (
            "and every one of these places is solid"
            if solid == len(passed)
            else (f"{solid} of {len(passed)} of these places are solid")
        )
        told.append(f"It goes in ahead of {who}{more}; {sure}.")
    for beside, where in ((found.above, "behind"), (found.below, "ahead of")):
        if beside is None:
            continue
        decisive = beside.against if where == "behind" else beside.for_it
        why = text.listed([f"{key} ({_points(size)})" for key, size in decisive[:2]])
        gap = "level with" if beside.gap == 0 else f"{tenths.show(abs(beside.gap))} {where}"
        words = f"It is {gap} {names[beside.release]}"
        words += (
            f", which {why} decide" if why and len(decisive) > 1 else f", which {why} decides" if why else ""
        )
        if beside.win_share is not None:
            words += f"; it is before it in {percent_text(beside.win_share)} of the draws"
        told.append(words + ".")
    return " ".join(told)


def _points(size: Fraction) -> str:
    tenth = tenths.half_up(size * 10)
    return ("+" if tenth > 0 else "") + tenths.show(tenth)


def told_between(rows: tuple[Move, ...], start: str, end: str) -> str:
    """What changed between two days, in a sentence or three."""
    names = dict(
        zip([row.release for row in rows], text.short_titles([row.title for row in rows]), strict=True)
    )
    new = [row for row in rows if row.before is None and row.after is not None]
    left = [row for row in rows if row.before is not None and row.after is None]
    regraded = [row for row in rows if row.before and row.after and row.grade != row.grade_before]
    moved = [row for row in rows if row.moved]
    parts = []
    if new:
        parts.append(f"{text.listed([f'{names[row.release]} came in at {row.after}' for row in new])}")
    if regraded:
        changes = [
            f"{names[row.release]} ({tenths.show(row.grade_before or 0)} to {tenths.show(row.grade or 0)})"
            for row in regraded
        ]
        parts.append(f"{text.count(len(regraded), 'grade')} changed: {text.listed(changes)}")
    if left:
        parts.append(f"{text.listed([names[row.release] for row in left])} left the ranking")
    if not parts:
        return f"Nothing was recorded between {start} and {end} that moved a place."
    most = max(moved, key=lambda row: abs(row.moved or 0), default=None)
    if most is not None:
        way = "up" if (most.moved or 0) > 0 else "down"
        step = text.count(abs(most.moved or 0), "place")
        parts.append(f"the largest move is {names[most.release]}, {way} {step} to {most.after}")
    return f"From {start} to {end}: {'; '.join(parts)}."
