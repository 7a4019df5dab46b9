"""boxwright standings: everything reviewed this season, ranked."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing
from rating.stage import STAGES


def standings(
    as_of: Annotated[str, typer.Option("--as-of", metavar="DATE", help="As they stood on that day.")] = "",
    since: Annotated[str, typer.Option("--since", metavar="DATE", help="Count movement from that day.")] = "",
    stage: Annotated[
        str, typer.Option("--stage", metavar="STAGE", help=f"Reviews of one stage only: {', '.join(STAGES)}.")
    ] = "",
    price_class: Annotated[str, typer.Option("--class", metavar="CLASS", help="One price class only.")] = "",
    audit: Annotated[
        bool, typer.Option("--audit", help="Show whether price decides: rank correlations.")
    ] = False,
    ranges: Annotated[
        bool, typer.Option("--ranges", help="Show how sure each place is: its range under doubt.")
    ] = False,
    landing: Annotated[
        str,
        typer.Option("--landing", metavar="RELEASE", help="What moved when that release landed, and why."),
    ] = "",
    between: Annotated[
        tuple[str, str] | None,
        typer.Option("--between", metavar="DATE DATE", help="What moved from one day to another."),
    ] = None,
    around: options.Around = "rubric",
    spreads: options.Spreads = True,
    draws: options.Draws = 20_000,
    seed: options.Seed = 1,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """The season's ranking by the recorded reviews: what moved, how sure it is, what a landing changed.

    Example: boxwright standings --landing halyard
    """
    from rating import standings as ranking
    from rating.answers import standings as answers
    from rating.cli.shown import standings as shown
    from rating.season.days import day_from

    season = opening.opened(season_folder, today)
    day = day_from(as_of, where="--as-of") if as_of else season.today
    start = day_from(since, where="--since") if since else None
    if stage:
        refusing.hold_to(STAGES, stage, "stage", where="--stage")
    names = [band.name for band in season.config.classes]
    if price_class:
        refusing.hold_to(names, price_class, "class", where="--class")
    opening.need_ledger(season)
    if landing or between or ranges:
        from rating.cli.shown import doubt

        asked = doubt.Drawing(around=around, spreads=spreads, draws=draws, seed=seed)
        if landing:
            doubt.landing(season, landing, asked, as_json=as_json)
        elif between:
            doubt.between(season, *between, as_json=as_json)
        else:
            doubt.ranges(season, day, asked, as_json=as_json)
        return
    rows = season.rank(as_of=day, since=start, stage=stage, price_class=price_class)
    audited = ranking.audit(rows, season.recorded.ledger.scores([one.seq for one in rows])) if audit else None
    if as_json:
        answer = shown.answer(season, rows, as_of=day)
        printing.data(answer if audited is None else answer | {"audit": answers.audit(audited)})
        return
    shown.show(season, rows, as_of=day, stage=stage, price_class=price_class)
    if audited is not None:
        shown.audit(audited)
