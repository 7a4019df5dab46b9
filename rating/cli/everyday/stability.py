"""boxwright stability: how firm a place is, or the whole order, and what it would take to change it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing

if TYPE_CHECKING:
    from rating.doubt.score_table import ScoreTable
    from rating.doubt.swaps import Swap


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
    can_lead: Annotated[
        bool,
        typer.Option("--can-lead", help="Whether any points make it first, and which are nearest."),
    ] = False,
    ranks: Annotated[
        bool, typer.Option("--ranks", help="The share of each place when weights and scores are drawn.")
    ] = False,
    drivers: Annotated[
        bool, typer.Option("--drivers", help="Which points and scores the grade and the place depend on.")
    ] = False,
    margins: Annotated[
        bool, typer.Option("--margins", help="How far the points of each criterion can go.")
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
    from rating.cli.shared.drawing import Drawing, drawn
    from rating.cli.shown import stability as shown
    from rating.doubt import swaps
    from rating.doubt.drivers import drivers as driving
    from rating.doubt.spans import spans

    asked = Drawing(around=around, spreads=spreads, draws=draws, seed=seed)
    asked.options()  # refuses what cannot be drawn before any work
    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    if (lift is not None or over or can_lead) and not release:
        refusing.refuse(
            "--lift, --over and --can-lead need a release to lift",
            "name it: boxwright stability RELEASE --lift 2",
        )
    table, one = season.table(), season.placed(release)
    lifts = [*([] if lift is None else [lift]), *([1] if can_lead else [])]
    wanted = _wanted(table, one, lifts, over)
    ranges = drawn(season, asked) if ranks or as_json else None
    hangs_on = driving(table, one, draws=draws, seed=seed) if drivers else ()
    name, is_whole = season.config.name, not release
    if as_json or not (wanted or ranks or drivers or margins):
        wanted += [(swaps.dethrone(table), None)] if is_whole else []
        known = season.stability(release)
        if as_json:
            printing.data(
                answers.stability(known, season=name, wanted=wanted, ranges=ranges, drivers=hangs_on)
            )
            return
        shown.show(known, table, wanted, season=name)
    else:
        shown.wanted(wanted, table)
        if ranges is not None:
            shown.ranks(table, ranges, "" if is_whole else one)
        if hangs_on:
            shown.drivers(hangs_on, table, one)
        if margins:
            shown.margins(spans(table, one), table, "" if is_whole else one)
    if table.restated:
        printing.say()
        printing.paragraph(table.restated)


def _wanted(table: ScoreTable, release: str, lifts: list[int], over: str) -> list[tuple[Swap, int | None]]:
    """The changes that were asked for, and the place that one of them is to give."""
    from rating.doubt import swaps
    from rating.errors import RatingError

    places = table.places()
    changes: list[tuple[Swap, int | None]] = []
    if over:
        refusing.hold_to([name for name in places if name != release], over, "rival", where="--over")
        changes.append((swaps.over(table, release, over), None))
    for lift in dict.fromkeys(lifts):
        if not 1 <= lift <= len(places):
            raise RatingError(
                f"there is no place {lift}", where="--lift", fix=f"use a place from 1 to {len(places)}"
            )
        changes.append((swaps.lift(table, release, lift), lift))
    return changes
