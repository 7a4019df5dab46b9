"""boxwright standings: everything reviewed this season, ranked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli.shared import opening, options, printing, refusing, tables
from rating.stage import STAGES

if TYPE_CHECKING:
    from rating.season.season import Season
    from rating.standings import Audit, Standing


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
        printing.data(_as_json(season, rows, day, audited))
        return
    show(season, rows, as_of=day, stage=stage, price_class=price_class)
    if audited is not None:
        _audit(audited)


def show(
    season: Season, rows: Sequence[Standing], *, as_of: date, stage: str = "", price_class: str = ""
) -> None:
    """Print a ranking with the sentence to notice, and what is still to come."""
    from rating.standings import notice

    beside = _beside(season, as_of) if not stage and not price_class else []  # may refuse, so it goes first
    _table(season, rows, as_of.isoformat(), stage)
    printing.say()
    firm = _firm(season, as_of) if not stage and not price_class else []
    for words in (notice(rows), *firm, *beside):
        printing.paragraph(words)
    if len({one.rubric for one in rows if one.rank is not None}) > 1:
        printing.paragraph(
            "Not all of these grades come from one rubric; 'boxwright grade' says which reviews would change."
        )


def _firm(season: Season, day: date) -> list[str]:
    """How firm the lead is, where there is one."""
    from rating.doubt.nudges import said

    table = season.table(as_of=day)
    return [said(table, release) for release, place in table.places().items() if place == 1][:1]


def _as_json(season: Season, rows: Sequence[Standing], day: date, audited: Audit | None) -> dict[str, Any]:
    from rating.export.tables import standings_answer

    answer: dict[str, Any] = standings_answer(season, rows, as_of=day)
    if audited is not None:
        answer["audit"] = {
            "releases": audited.releases,
            "with_price": {key: _number(rho) for key, rho in audited.with_price.items()},
            "between": [
                {"first": first, "second": second, "rho": _number(rho)}
                for (first, second), rho in audited.between.items()
            ],
        }
    return answer


def _number(rho: Any) -> float | None:
    return None if rho is None else float(rho)


def _table(season: Season, rows: Sequence[Standing], day: str, stage: str) -> None:
    from rating import tenths, text

    names = text.short_titles([one.title for one in rows])
    printing.say(f"{season.config.name}, as of {day}" + (f", stage {stage} only" if stage else ""))
    printing.say()
    headers = ("place", "grade", "release", "moved", "class", "stage", "verdict")
    shown = [
        [
            one.place,
            ("" if one.grade is None else tenths.show(one.grade)) + ("*" if one.partial else ""),
            name,
            one.moved,
            f"{one.price_class} {one.class_rank or ''}".strip(),
            one.stage,
            one.verdict,
        ]
        for one, name in zip(rows, names, strict=True)
    ]
    widths = [max(len(str(cell)) for cell in column) for column in zip(headers, *shown, strict=True)]
    spare = printing.WIDTH - sum(widths) + widths[2] - 2 * (len(headers) - 1)
    for line in shown:
        line[2] = tables.shorten(line[2], max(20, spare))
    tables.table(headers, shown, right="place|grade|moved")
    if any(one.partial for one in rows):
        printing.say("* partial: something is not known yet; without a place where it is over a quarter.")


def _beside(season: Season, day: date) -> list[str]:
    """What stands beside a ranking: what is to come, and what is out and not reviewed."""
    told = []
    coming = season.to_come(as_of=day)
    if coming:
        named = [
            f"{season.files.sheets[slug].title} ({when.isoformat() if when else 'no date yet'})"
            for slug, when in coming
        ]
        told.append(f"To come: {', '.join(named)}.")
    waiting = season.not_reviewed(as_of=day)
    if waiting:
        titles = ", ".join(season.files.sheets[slug].title for slug in waiting)
        told.append(f"Out and not reviewed: {titles}.")
    return told


def _audit(audited: Audit) -> None:
    from fractions import Fraction

    from rating import tenths

    printing.heading("Does price decide?")
    tables.table(
        ("criterion against price", "rho"),
        [(key, _rho(rho)) for key, rho in audited.with_price.items()],
        right="rho",
    )
    printing.say()
    strong = sorted(
        ((abs(rho), pair, rho) for pair, rho in audited.between.items() if rho is not None), reverse=True
    )[:8]
    tables.table(
        ("criteria that go together", "rho"),
        [(f"{first} and {second}", _rho(rho)) for _, (first, second), rho in strong],
        right="rho",
    )
    printing.say()
    overall = audited.with_price.get("grade")
    if overall is None:
        printing.say("Too few priced releases to tell.")
    else:
        size = tenths.half_up(abs(Fraction(overall)) * 100)
        word = "does not decide" if size < 40 else "goes with the grade more than it should"
        printing.paragraph(
            f"Over {audited.releases} ranked releases the rank correlation of grade and price is "
            f"{_rho(overall)}: price {word}."
        )


def _rho(rho: Any) -> str:
    from rating import tenths

    return "" if rho is None else tenths.fixed(rho, 2)
