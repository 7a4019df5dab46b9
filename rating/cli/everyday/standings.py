"""boxwright standings: everything reviewed this season, ranked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing
from rating.stage import STAGES

if TYPE_CHECKING:
    from datetime import date

    from rating.cli.shared.drawing import Drawing
    from rating.season.season import Season
    from rating.standings import Standing


def standings(
    as_of: Annotated[str, typer.Option("--as-of", metavar="DATE", help="As they stood on that day.")] = "",
    since: Annotated[
        str,
        typer.Option(
            "--since",
            metavar="DATE",
            help="What changed since that day. [default: the last show, the last day but one with a review]",
        ),
    ] = "",
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
    restate: Annotated[
        bool, typer.Option("--restate", help="Show them by today's rubric too, beside what was published.")
    ] = False,
    around: options.Around = "rubric",
    spreads: options.Spreads = True,
    draws: options.Draws = 20_000,
    seed: options.Seed = 1,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """The season's ranking by the recorded reviews: what changed since the last show, and how sure it is.

    Example: boxwright standings --landing halyard
    """
    from rating.cli.shared.drawing import Drawing
    from rating.season.days import day_from

    season = opening.opened(season_folder, today)
    day = day_from(as_of, where="--as-of") if as_of else season.today
    start = day_from(since, where="--since") if since else None
    if stage:
        refusing.hold_to(STAGES, stage, "stage", where="--stage")
    if price_class:
        names = [band.name for band in season.config.classes]
        refusing.hold_to(names, price_class, "class", where="--class")
    opening.need_ledger(season)
    asked = Drawing(around=around, spreads=spreads, draws=draws, seed=seed)
    if landing:
        _landing(season, landing, asked, as_json=as_json)
    elif between:
        _between(season, *between, as_json=as_json)
    elif restate:
        _restated(season, day, as_json=as_json)
    elif ranges:
        _ranges(season, day, asked, as_json=as_json)
    else:
        if start is None and not as_json:
            start = season.last_show(as_of=day)
        rows = season.rank(as_of=day, since=start, stage=stage, price_class=price_class)
        whole = not (stage or price_class)
        _ranking(season, rows, day, start, whole=whole, stage=stage, audit=audit, as_json=as_json)


def _ranking(
    season: Season,
    rows: Sequence[Standing],
    day: date,
    since: date | None,
    *,
    whole: bool,
    stage: str,
    audit: bool,
    as_json: bool,
) -> None:
    from rating import standings as ranking
    from rating.answers import standings as answers
    from rating.cli.shown import standings as shown
    from rating.season.beside import computed_scores

    scores = season.recorded.ledger.scores([row.seq for row in rows]) if audit else {}
    audited = ranking.audit(rows, scores, computed_scores(season.recorded, rows)) if audit else None
    if as_json:
        answer = shown.answer(season, rows, as_of=day)
        printing.data(answer if audited is None else answer | {"audit": answers.audit(audited)})
        return
    if audited is None:
        shown.show(season, rows, as_of=day, since=since, stage=stage, whole=whole)
    else:
        shown.audit(audited, season.rubric, season.config.currency)


def _restated(season: Season, day: date, *, as_json: bool) -> None:
    from rating.answers import standings as answers
    from rating.cli.shown import standings as shown

    rows, name, rubric = season.restated(as_of=day), season.config.name, season.rubric.hash
    if as_json:
        printing.data(answers.restated(rows, season=name, as_of=day, rubric=rubric))
    else:
        shown.restated(rows, season=name, day=day.isoformat(), rubric=rubric)


def _ranges(season: Season, day: date, asked: Drawing, *, as_json: bool) -> None:
    from rating.answers import doubt as answers
    from rating.cli.shared.drawing import drawn
    from rating.cli.shown import ranges as shown

    ranges, name = drawn(season, asked, day), season.config.name
    if as_json:
        printing.data(answers.ranges(ranges, season=name, as_of=day))
    else:
        shown.show(ranges, season=name, day=day)


def _landing(season: Season, release: str, asked: Drawing, *, as_json: bool) -> None:
    from rating.answers import doubt as answers
    from rating.cli.shown import moves as shown

    landed, name = season.landing(release, **asked.options()), season.config.name
    if as_json:
        printing.data(answers.landing(landed, season=name))
    else:
        shown.landing(landed, season=name)


def _between(season: Season, start: str, end: str, *, as_json: bool) -> None:
    from rating.answers import doubt as answers
    from rating.cli.shown import moves as shown
    from rating.errors import RatingError
    from rating.season.days import day_from

    first, last = day_from(start, where="--between"), day_from(end, where="--between")
    if first >= last:
        raise RatingError(f"{start} is not before {end}", where="--between", fix="name the earlier day first")
    moves, name = season.moves(first, last), season.config.name
    if as_json:
        printing.data(answers.between(moves, season=name, start=first, end=last))
    else:
        shown.between(moves, season=name, start=first.isoformat(), end=last.isoformat())
