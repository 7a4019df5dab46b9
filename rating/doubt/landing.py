"""What moved when a release landed, or between two days, how sure that is, and what decided it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from rating import tenths, text
from rating.doubt.levels import FIRM, percent_text
from rating.doubt.score_table import ScoreRow, ScoreTable

if TYPE_CHECKING:
    from rating.doubt.ranges import Ranges  # which loads numpy


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One release before and after; `moved` is in places gained, None where it was not there on one side.

    `passed` is whether the landed release went past it. Of the simulations, `win_share` is the part in which
    the landed one is before it, `kept` the part that keep its place after; None where they were not asked.
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
    kept: float | None

    @property
    def is_firm(self) -> bool | None:
        """Whether the place after is firm; None where it was not asked."""
        return None if self.kept is None else self.kept >= FIRM


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
    """A release that landed, with its neighbours and everything that moved.

    `day` is the one on which it came out, '' where that is not known, `reviewed_on` that of the first review
    with a place.
    """

    release: str
    title: str
    day: str
    reviewed_on: str
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


def margin(table: ScoreTable, row: ScoreRow, neighbour: ScoreRow, win_share: float | None) -> Margin:
    """What parts a release from another one."""
    parts = lead_by_criterion(table, row, neighbour)
    order = sorted(parts.items(), key=lambda one: (-abs(one[1]), one[0]))
    return Margin(
        release=neighbour.release,
        title=neighbour.title,
        gap=(table.grade(row) or 0) - (table.grade(neighbour) or 0),
        for_it=tuple((key, size) for key, size in order if size > 0)[:3],
        against=tuple((key, size) for key, size in order if size < 0)[:3],
        win_share=win_share,
    )


def landing(
    before: ScoreTable, after: ScoreTable, release: str, *, reviewed_on: str, ranges: Ranges
) -> Landing:
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

    return Landing(
        release=release,
        title=row.title,
        day=row.released_on,
        reviewed_on=reviewed_on,
        place=after.shown_places()[release],
        grade=after.grade(row),
        of=len(ranked),
        above=beside(at - 1),
        below=beside(at + 1),
        rows=moves(before, after, landed=release, drawn=ranges),
    )


def moves(
    before: ScoreTable, after: ScoreTable, *, landed: str = "", drawn: Ranges | None = None
) -> tuple[Move, ...]:
    """Every release of either side, in the order of after; those that left come last.

    Parameters
    ----------
    landed : the one that the others are held against
    drawn : the simulations of after
    """
    old, new = before.places(), after.places()
    gone = [row for row in before.rows if after.row(row.release) is None]
    moved = []
    for row in (*after.rows, *gone):
        was, place = old.get(row.release), new.get(row.release)
        earlier = before.row(row.release)
        later = after.row(row.release)
        its = drawn.of(row.release) if drawn is not None else None
        is_behind = place is not None and landed in new and new[landed] < place and row.release != landed
        moved.append(
            Move(
                release=row.release,
                title=row.title,
                before=was,
                after=place,
                grade_before=before.grade(earlier) if earlier else None,
                grade=after.grade(later) if later else None,
                moved=was - place if was is not None and place is not None else None,
                passed=is_behind and was is not None and (landed not in old or old[landed] >= was),
                win_share=drawn.win_share(landed, row.release)
                if drawn is not None and its is not None and row.release != landed
                else None,
                kept=None if its is None else its.kept,
            )
        )
    return tuple(moved)


def paragraph(landed: Landing) -> str:
    """The story of a landing, to be read aloud."""
    names = text.short_names({row.release: row.title for row in landed.rows})
    own, grade = names[landed.release], tenths.show(landed.grade or 0)
    entered = "entered tied for" if landed.place.startswith("=") else "entered"
    place = text.ordinal(int(landed.place.removeprefix("=")))
    told = [f"{own} {entered} {place} of {landed.of} with {grade}."]
    passed = [row for row in landed.rows if row.passed]
    if passed:
        told.append(_told_passed(passed, names))
    if landed.above is not None:
        told.append(_told_margin(landed.above, "behind", landed.above.against, names))
    if landed.below is not None:
        told.append(_told_margin(landed.below, "ahead of", landed.below.for_it, names))
    return " ".join(told)


def _told_passed(passed: Sequence[Move], names: Mapping[str, str]) -> str:
    of, sure = len(passed), [row.win_share >= FIRM for row in passed if row.win_share is not None]
    named = [names[row.release] for row in passed[:3]]
    who = text.listed(named if of <= 3 else [*named, f"{of - 3} more"])
    told = f"It came in ahead of {who}"
    if len(sure) < of:
        return f"{told}."
    if of == 1:
        return f"{told}, {'firmly' if all(sure) else 'but not firmly'}."
    return f"{told}; it is firmly ahead of {'all' if all(sure) else sum(sure) or 'none'} of those {of}."


def _told_margin(
    beside: Margin, where: str, decisive: Sequence[tuple[str, Fraction]], names: Mapping[str, str]
) -> str:
    """How far the release is from a neighbour, which criteria decide it, and how sure that is."""
    gap = tenths.show(abs(beside.gap))
    apart = "level with" if beside.gap == 0 else f"{gap} {'point' if gap == '1.0' else 'points'} {where}"
    words = f"It is {apart} {names[beside.release]}"
    if decisive:
        why = text.listed([f"{key} ({_points(size)})" for key, size in decisive[:2]])
        words += f", mostly on {why}"
    if beside.win_share is not None:
        words += f"; it ranks above that release in {percent_text(beside.win_share)} of simulations"
    return f"{words}."


def _points(size: Fraction) -> str:
    tenth = tenths.half_up(size * 10)
    return ("+" if tenth > 0 else "") + tenths.show(tenth)


def told_between(rows: Sequence[Move], start: str, end: str) -> str:
    """What changed between two days, in a sentence or three."""
    changes = told_changes(rows)
    return f"From {start} to {end}: {changes}" if changes else f"Nothing moved between {start} and {end}."


def told_changes(rows: Sequence[Move]) -> str:
    """What changed, as one clause after the other; '' where nothing did."""
    names = text.short_names({row.release: row.title for row in rows})
    most = max((row for row in rows if row.moved), key=lambda row: abs(row.moved or 0), default=None)
    parts = [*_came_in(rows, names), *_regraded(rows, names, most), *_left(rows, names)]
    if parts and most is not None and most.grade == most.grade_before:
        parts.append(f"{names[most.release]} moved most, {_step(most)}")
    return f"{'; '.join(parts)}." if parts else ""


def _step(row: Move) -> str:
    """How far a release moved, and where to: 'up 2 places to 4th'."""
    places = row.moved or 0
    way = "up" if places > 0 else "down"
    return f"{way} {text.count(abs(places), 'place')} to {text.ordinal(row.after or 0)}"


def _came_in(rows: Sequence[Move], names: Mapping[str, str]) -> Iterator[str]:
    new = [row for row in rows if row.before is None and row.after is not None]
    if new:
        yield text.listed([f"{names[row.release]} entered {text.ordinal(row.after or 0)}" for row in new])


def _regraded(rows: Sequence[Move], names: Mapping[str, str], most: Move | None) -> Iterator[str]:
    told = []
    for row in rows:
        was, now = row.grade_before or 0, row.grade or 0
        if row.before and row.after and was != now:
            way = "rose" if now > was else "fell"
            moved = f", {_step(row)}" if row is most else ""
            told.append(f"{names[row.release]} {way} from {tenths.show(was)} to {tenths.show(now)}{moved}")
    if told:
        yield "; ".join(told)


def _left(rows: Sequence[Move], names: Mapping[str, str]) -> Iterator[str]:
    gone = [row for row in rows if row.before is not None and row.after is None]
    if gone:
        yield f"{text.listed([names[row.release] for row in gone])} left the ranking"
