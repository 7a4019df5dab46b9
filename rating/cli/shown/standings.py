"""What `standings` prints: the ranking, what stands beside it, and whether price decides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from rating import money, tenths, text
from rating.answers import standings as answers
from rating.cli.shared import printing, tables
from rating.cli.shown import cells
from rating.doubt import nudges
from rating.doubt.landing import told_changes
from rating.rubric.rubric import Rubric
from rating.season.beside import Beside
from rating.season.season import Season
from rating.standings import TOO_ALIKE, Audit, Restated, Standing, notice, price_decides

# what a scale's unit says where it counts for money
_SAYS = {"buy": "buy", "fun": "for fun", "wait": "wait", "": "unknown"}
# the strongest pairs of criteria that are shown
_PAIRS = 8


def answer(season: Season, rows: Sequence[Standing], *, as_of: date) -> dict[str, Any]:
    """The JSON answer of a ranking."""
    return answers.standings(
        rows,
        season=season.config.name,
        as_of=as_of,
        rubric=season.rubric.hash,
        to_come=season.to_come(as_of=as_of),
        beside=season.beside(rows),
    )


def show(
    season: Season,
    rows: Sequence[Standing],
    *,
    as_of: date,
    since: date | None,
    stage: str = "",
    whole: bool = True,
) -> None:
    """Print a ranking, what changed since a day, who leads, and what is still to come.

    Parameters
    ----------
    since : the day from which changes are told, that of the last show; None where there is no earlier one
    stage : the one whose reviews alone are ranked
    whole : whether all releases are; of a part nothing is said of the lead and of what is to come
    """
    told_beside = season.beside(rows)
    beside = _beside(season, as_of, rows) if whole else []  # may refuse, so it goes first
    _table(season, rows, told_beside, as_of.isoformat(), stage)
    printing.say()
    lead = _lead(season, as_of) if whole else []
    changes = [_changes(season, since, as_of)] if whole and since else []
    for words in (*changes, notice(rows), *lead, *_overruled(rows, told_beside), *beside):
        printing.paragraph(words)
    if len({row.rubric for row in rows if row.rank is not None}) > 1:
        printing.paragraph(
            "Not all of these grades come from one rubric; 'boxwright standings --restate' shows them all by "
            "today's."
        )


def _table(
    season: Season, rows: Sequence[Standing], beside: Mapping[str, Beside], day: str, stage: str
) -> None:
    printing.say(f"{season.config.name}, as of {day}" + (f", stage {stage} only" if stage else ""))
    printing.say()
    cells.of_releases(
        ("place", "grade", "release", "moved", "class", "stage", "verdict", "price"),
        [
            (
                row.place,
                cells.grade(row.grade) + ("*" if row.partial else ""),
                row.moved,
                f"{row.price_class} {row.class_rank or ''}".strip(),
                row.stage,
                row.verdict,
                "" if beside[row.release].price_advice is None else _SAYS[beside[row.release].says],
            )
            for row in rows
        ],
        rows,
        right="place|grade|moved",
        spare=("class",),
    )
    if any(row.partial for row in rows):
        printing.say(
            "* partial: something is unknown; with over a quarter of the points unknown, a release gets no "
            "place."
        )
    if any(one.price_advice is not None and not one.says for one in beside.values()):
        printing.say("price unknown: the price, or what a box returns, is not known yet.")


def _changes(season: Season, since: date, day: date) -> str:
    """What changed since the last show."""
    changes = told_changes(season.moves(since, day))
    show = "the last show, " if since == season.last_show(as_of=day) else ""
    return f"Since {show}{since.isoformat()}: {changes or 'nothing moved.'}"


def _lead(season: Season, day: date) -> list[str]:
    """How far the points of one criterion go before the lead changes, where there is one."""
    table = season.table(as_of=day)
    told = [nudges.told(table, release) for release, place in table.places().items() if place == 1]
    return [f"The lead: {words[0].lower()}{words[1:]}" for words in told[:1] if words]


def _overruled(rows: Sequence[Standing], beside: Mapping[str, Beside]) -> list[str]:
    """Whose grade rests on scores overruled by more than both doubts, with the grade as computed."""
    names = cells.names(rows)
    told = [
        f"{names[row.release]} ({tenths.show(grade)} as computed)"
        for row in rows
        if (grade := beside[row.release].as_computed) is not None
    ]
    if not told:
        return []
    return [f"These grades rest on a personal score far from the computed one: {text.listed(told)}."]


def _beside(season: Season, day: date, rows: Sequence[Standing]) -> list[str]:
    """What stands beside a ranking: what is to come, and what is out and not reviewed.

    What is under embargo is counted and not named: a host shows this on camera.
    """
    told = []
    sheets = season.files.sheets
    early = [(row.release, sheets[row.release].released_on) for row in rows if row.release in sheets]
    coming = [*season.to_come(as_of=day), *((slug, out) for slug, out in early if out and out > day)]
    if coming:
        held = season.held_back()
        shown = sorted((one for one in coming if one[0] not in held), key=lambda one: one[1] or date.max)
        named = [
            f"{sheets[slug].title} ({when.isoformat() if when else 'no date yet'})" for slug, when in shown
        ]
        if number := len(coming) - len(shown):
            named.append(f"{number} {'more ' if shown else ''}under embargo")
        told.append(f"To come: {text.listed(named)}.")
    if waiting := season.not_reviewed(as_of=day):
        told.append(f"Out and not reviewed: {', '.join(sheets[slug].title for slug in waiting)}.")
    return told


def restated(rows: Sequence[Restated], *, season: str, day: str, rubric: str) -> None:
    """Print the ranking as published beside what the same reviews come to by today's rubric."""
    printing.say(f"{season}, as of {day}: as published, and by today's rubric")
    printing.say()
    published = [one.published for one in rows]
    cells.of_releases(
        ("place", "grade", "release", "place now", "grade now", "rubric"),
        [
            (
                one.published.place,
                cells.grade(one.published.grade),
                one.restated.place,
                cells.grade(one.restated.grade),
                "today's" if one.published.rubric == rubric else one.published.rubric[:8],
            )
            for one in rows
        ],
        published,
        right="place|grade|place now|grade now",
        spare=("rubric",),
    )
    printing.say()
    printing.paragraph(_restated(rows, rubric))


def _restated(rows: Sequence[Restated], rubric: str) -> str:
    """How many places differ, and that what was published stays."""
    older = [one for one in rows if one.published.rubric != rubric]
    if not older:
        return "Every grade comes from today's rubric, so there is nothing to restate."
    number = sum(one.differs for one in rows)
    ranked = sum(one.published.rank is not None for one in rows)
    told = f"{number} of {text.count(ranked, 'place')} {'differs' if number == 1 else 'differ'}"
    if not number:
        told = "No place differs"
    moved = [one for one in rows if one.published.grade != one.restated.grade]
    grades = text.count(len(moved), "grade does", "grades do")
    return (
        f"{told} by today's rubric, and {grades}. What was published stays: a grade changes only "
        "when its release is graded and recorded again."
    )


def audit(audited: Audit, rubric: Rubric, currency: str) -> None:
    """Print whether price decides: rank correlations, those between criteria by their strength.

    Parameters
    ----------
    rubric : what the criteria weigh, and what they measure
    currency : that of the season
    """
    printing.say("Does price decide?")
    printing.say()
    tables.table(
        ("criterion against price", "rho"),
        [(key, _rho(rho)) for key, rho in audited.with_price.items()],
        right="rho",
    )
    printing.say()
    strong = sorted(
        ((abs(rho), pair, rho) for pair, rho in audited.between.items() if rho is not None), reverse=True
    )[:_PAIRS]
    tables.table(
        ("criteria that go together", "rho"),
        [(f"{first} and {second}", _rho(rho)) for _, (first, second), rho in strong],
        right="rho",
    )
    printing.say()
    printing.paragraph(
        "rho is a rank correlation from -1 to 1: at 1 the two rank the releases alike, at 0 their rankings "
        "have nothing to do with each other."
    )
    printing.paragraph(_alike(audited, rubric, currency))
    printing.paragraph(price_decides(audited))


def _alike(audited: Audit, rubric: Rubric, currency: str) -> str:
    """Which criteria ask nearly the same by what is computed, and how much they weigh together."""
    if not audited.alike:
        return (
            f"By computed scores no two criteria go together above {TOO_ALIKE}: each asks its own question."
        )
    told = []
    for first, second, rho in audited.alike:
        both = [rubric.by_key[key] for key in (first, second) if key in rubric.by_key]
        weigh = tenths.show_points(sum(one.points for one in both))
        hundred = money.told(Decimal(100), currency, whole=True)
        per_money = all(one.scale is not None and money.HUNDRED in one.scale.unit for one in both)
        why = f"; both count what {hundred} gets you" if per_money else ""
        told.append(f"{first} and {second} (rho {_rho(rho)}; together {weigh} points{why})")
    return f"Judging by computed scores, these rank the releases nearly alike: {text.listed(told)}."


def _rho(rho: Decimal | None) -> str:
    return "" if rho is None else tenths.fixed(rho, 2)
