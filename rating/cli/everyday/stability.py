"""boxwright stability: how firm a place is, or the whole order, and what it would take to change it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing, tables

if TYPE_CHECKING:
    from fractions import Fraction

    from rating.doubt.drivers import Driver
    from rating.doubt.ranges import Range, Ranges
    from rating.doubt.score_table import ScoreTable
    from rating.doubt.spans import Span
    from rating.doubt.stability import Stability
    from rating.doubt.swaps import Swap
    from rating.season.season import Season

# so many of the easiest swaps are shown of the whole order
_SHOWN = 6


def stability(
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="The release. [default: the leader, and the order]")
    ] = "",
    lift: Annotated[
        int | None,
        typer.Option("--lift", metavar="PLACE", help="The smallest change that gives it that place."),
    ] = None,
    over: Annotated[
        str,
        typer.Option("--over", metavar="RELEASE", help="The smallest change that puts it above that one."),
    ] = "",
    ranks: Annotated[
        bool, typer.Option("--ranks", help="The share of each place when weights and scores are drawn.")
    ] = False,
    drivers: Annotated[
        bool, typer.Option("--drivers", help="Which points and scores the grade and the place hang on.")
    ] = False,
    around: options.Around = "rubric",
    spreads: options.Spreads = True,
    draws: options.Draws = 20_000,
    seed: options.Seed = 1,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """How firm a place is, or the whole order, and the smallest change of points that would alter it.

    Example: boxwright stability halyard --lift 2
    """
    from rating.answers import stability as answers
    from rating.cli.shown.doubt import RESTATED, Drawing, drawn
    from rating.doubt import drivers as driving
    from rating.doubt import swaps

    asked = Drawing(around=around, spreads=spreads, draws=draws, seed=seed)
    asked.options()  # refuses what cannot be drawn before any work
    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    if (lift is not None or over) and not release:
        refusing.refuse(
            "--lift and --over need a release to lift", "name it: boxwright stability RELEASE --lift 2"
        )
    found = season.stability(release)
    table = season.table()
    wanted = _wanted(table, found, lift, over)
    if not release:
        wanted.append((swaps.dethrone(table), None))
    ranges = drawn(season, asked) if ranks or as_json else None
    hangs = driving.drivers(table, found.release, draws=draws, seed=seed) if drivers else ()
    if as_json:
        printing.data(
            answers.stability(
                found,
                season=season.config.name,
                wanted=[swap for swap, _ in wanted],
                ranges=ranges,
                drivers=hangs,
            )
        )
        return
    _show(season, table, found, wanted)
    if ranges is not None:
        _ranks(table, found, ranges)
    if hangs:
        _drivers(hangs)
    if any(row.restated for row in table.rows):
        printing.say()
        printing.paragraph(RESTATED)


def _wanted(
    table: ScoreTable, found: Stability, lift: int | None, over: str
) -> list[tuple[Swap, int | None]]:
    """The changes that were asked for, and the place that one of them is to give."""
    from rating.doubt import swaps
    from rating.errors import RatingError

    places = table.places()
    changes: list[tuple[Swap, int | None]] = []
    if over:
        refusing.hold_to([name for name in places if name != found.release], over, "rival", where="--over")
        changes.append((swaps.over(table, found.release, over), None))
    if lift is not None:
        if not 1 <= lift <= len(places):
            raise RatingError(
                f"there is no place {lift}", where="--lift", fix=f"use a place from 1 to {len(places)}"
            )
        changes.append((swaps.lift(table, found.release, lift), lift))
    return changes


def _show(season: Season, table: ScoreTable, found: Stability, wanted: list[tuple[Swap, int | None]]) -> None:
    from rating import text
    from rating.doubt.nudges import said

    ranked = table.ranked
    names = dict(
        zip([row.release for row in ranked], text.short_titles([row.title for row in ranked]), strict=True)
    )
    printing.say(f"{season.config.name}: how firm {'the order' if found.whole else 'the place'} is")
    printing.say()
    printing.paragraph(said(table, found.release))
    for swap, place in wanted:
        printing.paragraph(_in_words(swap, names, place))
    printing.heading("How far the points of one criterion can go")
    _intervals(found, names)
    printing.heading("The fewest points that swap two neighbours")
    shown = found.swaps[:_SHOWN] if found.whole else found.swaps
    for swap in shown:
        printing.paragraph(_in_words(swap, names))
    if len(shown) < len(found.swaps):
        printing.say(f"The other {len(found.swaps) - len(shown)} pairs take more.")
    if not shown:
        printing.say("It has no neighbours.")
    printing.heading("Without a criterion or a group")
    printing.paragraph(_without(found, names))
    printing.heading("By other rules")
    tables.table(
        ("rule", "place", "agrees"),
        [(rule, one.place, "" if one.tau is None else f"{one.tau:.2f}") for rule, one in found.rules.items()],
        right="place|agrees",
    )
    printing.say("agrees: Kendall's tau of all places with the published ones, 1 where they are the same")


def _intervals(found: Stability, names: dict[str, str]) -> None:
    from rating import tenths

    rows, room = [], 50 if found.whole else 38
    for hold in found.spans:
        own = hold.order if found.whole else hold.place
        rows.append(
            (
                hold.criterion,
                tenths.show_points(hold.points),
                _between(hold.order),
                _between(hold.leader),
                *([] if found.whole else [_between(hold.place)]),
                tables.shorten(_past(own, hold.points, names, "" if found.whole else found.release), room),
            )
        )
    what = "the order" if found.whole else "its place"
    headers = ["criterion", "points", "order", "leader", *([] if found.whole else ["place"])]
    tables.table([*headers, f"what changes {what} first"], rows, right="points")
    printing.say("in points, by unrounded grades; the points of the others stay as they are")


def _between(span: Span) -> str:
    """The whole tenths at which something holds: '4.8 to 5.8', '0 and more' where nothing changes it."""
    from rating import tenths

    low = tenths.show_points(_up(span.low))
    if span.high is None:
        return "any" if not span.low and span.below_low is None else f"{low} and more"
    return f"{low} to {tenths.show_points(int(span.high))}"


def _up(size: Fraction) -> int:
    return -int(-size // 1)


def _past(span: Span, points: int, names: dict[str, str], own: str) -> str:
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


def _in_words(swap: Swap, names: dict[str, str], place: int | None = None) -> str:
    """A change as a person could try it, to pass a release or to come to a place."""
    from rating import tenths, text

    if not swap.moves:
        return _no_change(swap, names, place)
    given = [(key, change) for key, change in swap.moves.items() if change > 0]
    taken = [(key, -change) for key, change in swap.moves.items() if change < 0]

    def listed(parts: list[tuple[str, int]]) -> str:
        if len(parts) == 1:
            return parts[0][0]
        return text.listed([f"{key} ({tenths.show_points(size)})" for key, size in parts])

    total = tenths.show_points(swap.total or 0)
    words = f"Move {total} point{'' if total == '1' else 's'} from {listed(taken)} to {listed(given)} and "
    if place is not None:
        return f"{words}{names[swap.up]} comes to place {place}."
    words += f"{names[swap.up]} passes {names[swap.down]}"
    return words + (f"; {swap.level / 10:.2f} bring them level." if swap.level else ".")


def _no_change(swap: Swap, names: dict[str, str], place: int | None) -> str:
    if not swap.up:
        return f"Nobody passes {names[swap.down]}: {swap.reason}."
    if swap.total == 0:
        return f"{names[swap.up]}: {swap.reason}."
    does = f"pass {names[swap.down]}" if place is None else f"come to place {place}"
    return f"{names[swap.up]} cannot {does}: {swap.reason}."


def _without(found: Stability, names: dict[str, str]) -> str:
    from rating import text

    if not found.whole:
        here = int(found.place.removeprefix("="))
        moved = [one for one in found.left_out if one.place != here]
        if not moved:
            return "It keeps its place whatever one leaves out."
        told = [f"{one.place or 'none'} without {one.what}" for one in moved]
        return f"Its place would be {text.listed(told)}; without any other it stays {here}."
    fallen = [one for one in found.left_out if found.release not in one.leaders and one.leaders]
    if not fallen:
        return f"{names[found.release]} leads whatever one leaves out."
    told = [f"{text.listed([names[name] for name in one.leaders])} without {one.what}" for one in fallen]
    return f"Another one would lead: {text.listed(told)}; without any other it leads on."


def _ranks(table: ScoreTable, found: Stability, ranges: Ranges) -> None:
    from rating import text
    from rating.cli.shown.doubt import basis
    from rating.doubt.ranges import percent_text, who_would_put_first, words

    def often(row: Range) -> str:
        parts = enumerate(row.shares, start=1)
        return text.listed([f"{place} in {percent_text(share)}" for place, share in parts if share >= 0.005])

    printing.heading("The share of each place")
    names = dict(
        zip(
            [row.release for row in ranges.rows],
            text.short_titles([row.title for row in ranges.rows]),
            strict=True,
        )
    )
    for row in ranges.rows:
        if found.whole or row.release == found.release:
            told = f"{names[row.release]}: {words(row, found.of)}, on average {row.expected:.1f}."
            printing.paragraph(f"{told} Place {often(row)}.")
            if not found.whole or row.shares[0] >= 0.005:
                printing.paragraph(who_would_put_first(table, row), indent="    ")
    printing.paragraph(basis(ranges))


def _drivers(hangs: tuple[Driver, ...]) -> None:
    def share(part: float) -> str:
        return f"{100 * max(0.0, part):.0f} %"

    printing.heading("What it hangs on")
    tables.table(
        ("criterion", "its score alone", "grade: points", "score", "place: points", "score "),
        [
            (one.criterion, *map(share, (one.score_alone, one.grade_points, one.grade_score,
                                         one.place_points, one.place_score)))
            for one in hangs
        ],
        right="its score alone|grade: points|score|place: points|score ",
    )  # fmt: skip
    printing.paragraph(
        "its score alone: the part of the grade's doubt at the rubric's points. The others are total indices "
        "with points and its own scores in doubt at once; together they may pass 100 %."
    )
