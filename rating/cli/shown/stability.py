"""What `stability` prints: how firm a place or the whole order is, or the one answer that was asked for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rating import tenths, text
from rating.cli.shared import printing, tables
from rating.cli.shown import cells
from rating.doubt import stability as asking
from rating.doubt import swaps
from rating.doubt.drivers import Driver
from rating.doubt.levels import percent_text
from rating.doubt.ranges import Range, Ranges, basis, who_would_put_first, words
from rating.doubt.score_table import ScoreTable
from rating.doubt.spans import CriterionSpans, Span
from rating.doubt.stability import Stability
from rating.doubt.swaps import Swap

# so many of the easiest swaps are shown of the whole order
_SHOWN = 3
# a place taken less often is left out
_SEEN = 0.005


def show(
    known: Stability, table: ScoreTable, changes: Sequence[tuple[Swap, int | None]], *, season: str
) -> None:
    """Print how firm a place or the whole order is, and the smallest changes that would alter it.

    Parameters
    ----------
    changes : what dethrones the leader, of the whole order
    season : its name
    """
    names = cells.names(table.ranked)
    printing.say(f"{season}: how firm {'the order' if known.whole else 'the place'} is")
    printing.say()
    printing.paragraph(f"{names[known.release]}: {known.told}")
    wanted(changes, table)
    printing.heading("The fewest points you must move to swap two neighbours")
    _swaps(known, names)
    printing.heading("With a criterion or a group left out")
    printing.paragraph(asking.told_without(known, names))
    printing.heading("By other rules")
    printing.paragraph(asking.told_by_rules(known, names))


def wanted(changes: Sequence[tuple[Swap, int | None]], table: ScoreTable) -> None:
    """Print the smallest changes that were asked for, each with the place that it is to give."""
    names = cells.names(table.ranked)
    for swap, place in changes:
        printing.paragraph(swaps.told(swap, names, place))


def margins(found: Sequence[CriterionSpans], table: ScoreTable, own: str) -> None:
    """Print how far the points of each criterion can go; `own` is the release asked about, '' for all."""
    names = cells.nicknames(table.ranked)
    what = "its place" if own else "the order"
    headers = ("criterion", "points", "order", "leader", *(("place",) if own else ()))
    tables.table(
        (*headers, f"what changes {what} first"),
        [
            (
                spans.criterion,
                tenths.show_points(spans.points),
                _between(spans.order, spans.points),
                _between(spans.leader, spans.points),
                *((_between(spans.place, spans.points),) if own else ()),
                _past(spans.place if own else spans.order, spans.points, names, own),
            )
            for spans in found
        ],
        right="points",
        spare=("order",) if own else (),
    )
    printing.paragraph(
        "The points of one criterion alone between which the order, the leader "
        f"{'and its place stay' if own else 'stays'}, by unrounded grades. A tie counts as a change for both."
    )


def _between(span: Span, points: int) -> str:
    """The whole tenths at which something holds: '4.8 to 5.8', '0 and more' where nothing changes it.

    At an end two are level, which is a change; where they are level now it holds at today's points alone.
    """
    least = 0 if span.below_low is None else math.floor(span.low) + (span.low < points)
    low = tenths.show_points(least)
    if span.high is None:
        return "any" if not least and span.below_low is None else f"{low} and more"
    most = math.ceil(span.high) - (span.high > points)
    return low if least == most else f"{low} to {tenths.show_points(most)}"


def _past(span: Span, points: int, names: Mapping[str, str], own: str) -> str:
    """What happens past the nearer end: of a release's own place, 'above, X passes it'."""
    ends = [(points - span.low, "below", span.below_low)]
    if span.high is not None:
        ends.append((span.high - points, "above", span.above_high))
    near = min(((size, side, pair) for size, side, pair in ends if pair), default=None)
    if near is None:
        return ""
    _, side, (up, down) = near
    if own:
        return f"{side}, it passes {names[down]}" if up == own else f"{side}, {names[up]} passes it"
    return f"{side}, {names[up]} passes {names[down]}"


def _swaps(known: Stability, names: Mapping[str, str]) -> None:
    shown = known.swaps[:_SHOWN] if known.whole else known.swaps
    for swap in shown:
        printing.paragraph(swaps.told(swap, names))
    if len(shown) < len(known.swaps):
        printing.say(f"The other {len(known.swaps) - len(shown)} pairs take more points.")
    if not shown:
        printing.say("It has no neighbours.")


def ranks(table: ScoreTable, ranges: Ranges, own: str) -> None:
    """Print how often each place is taken, of one release or, where `own` is '', of all."""
    names, of = cells.names(ranges.rows), len(ranges.rows)
    for row in ranges.rows:
        if not own or row.release == own:
            told = f"{names[row.release]}: {words(row, of)}, {row.expected:.1f} on average."
            printing.paragraph(f"{told} {_often(row)}.")
            if own or row.shares[0] >= _SEEN:
                printing.paragraph(who_would_put_first(table, row), indent="    ")
    printing.paragraph(basis(ranges))


def _often(row: Range) -> str:
    parts = enumerate(row.shares, start=1)
    told = [f"{text.ordinal(place)} in {percent_text(share)}" for place, share in parts if share >= _SEEN]
    return text.listed(told)


def drivers(hangs_on: Sequence[Driver], table: ScoreTable, own: str) -> None:
    """Print what the grade and the place of a release hang on."""
    printing.say(f"What the grade and the place of {cells.names(table.ranked)[own]} depend on")
    printing.say()
    tables.table(
        ("criterion", "its score alone", "grade: points", "score", "place: points", "score "),
        [
            (driver.criterion, *map(_part, (driver.score_alone, driver.grade_points, driver.grade_score,
                                            driver.place_points, driver.place_score)))
            for driver in hangs_on
        ],
        right="its score alone|grade: points|score|place: points|score ",
    )  # fmt: skip
    printing.paragraph(
        "its score alone: how much of the grade's doubt comes from this score, with the rubric's points. "
        "The other columns let the points and this release's scores vary at once; what two of them do "
        "together counts for both, so a column may add up to more than 100 %."
    )


def _part(share: float) -> str:
    return f"{100 * max(0.0, share):.0f} %"
