"""What `standings` prints: the ranking, what stands beside it, and whether price decides."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from rating.cli.shared import printing, tables

if TYPE_CHECKING:
    from rating.season.season import Season
    from rating.standings import Audit, Standing


def answer(season: Season, rows: Sequence[Standing], *, as_of: date) -> dict[str, Any]:
    """The JSON answer of a ranking."""
    from rating.answers import standings as answers

    return answers.standings(
        rows,
        season=season.config.name,
        as_of=as_of,
        rubric=season.rubric.hash,
        to_come=season.to_come(as_of=as_of),
    )


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


def audit(audited: Audit) -> None:
    """Print whether price decides: rank correlations, the strongest first."""
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
