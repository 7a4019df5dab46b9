"""boxwright grade: from facts and judgements to a reasoned grade, and into the ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli.shared import opening, options, printing, refusing, tables
from rating.stage import STAGES

if TYPE_CHECKING:
    from rating.season.recording import Draft
    from rating.season.season import Season


def grade(
    release: options.Release,
    stage: Annotated[
        str,
        typer.Option(
            "--stage",
            metavar="STAGE",
            help=f"How much is known: {', '.join(STAGES)}. [default: the last recorded, else by the files]",
        ),
    ] = "",
    ask: Annotated[bool, typer.Option("--ask", help="Ask for the scores that a person gives.")] = False,
    rater: Annotated[str, typer.Option("--rater", metavar="KEY", help="Who answers --ask.")] = "",
    record: Annotated[bool, typer.Option("--record", help="Append the review to the ledger.")] = False,
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day it was published, with --record.")
    ] = "",
    because: Annotated[
        str, typer.Option("--because", metavar="TEXT", help="Why it changed, kept with the review.")
    ] = "",
    refresh_demand: Annotated[
        bool,
        typer.Option("--refresh-demand", help="Take who is wanted, and prices carried over, from now."),
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Grade a release from its files as they are now, with a reason for every score.

    Example: boxwright grade halyard --stage launch --record
    """
    from datetime import UTC, datetime

    from rating import text
    from rating.answers import grading as answers
    from rating.errors import RatingError
    from rating.season.days import day_from
    from rating.season.recording import default_stage, stage_of_files

    if stage:
        refusing.hold_to(STAGES, stage, "stage", where="--stage")
    if mark := text.bad_marks(because):
        raise RatingError(
            f"the reason holds the invisible mark {mark}", where="--because", fix="type it anew"
        )
    season = opening.opened(season_folder, today)
    day = day_from(on, where="--on") if on else None
    if ask:
        from rating.cli.everyday import asking

        asking.ask(season, release, rater=rater, stage=stage or default_stage(season.files, release))
    found = season.grade(
        release,
        stage=stage,
        on=day,
        reason_for_change=text.tidy(because),
        refresh_demand=refresh_demand,
    )
    if found.recorded is not None and not refresh_demand and found.facts.season.demand != season.demand(day):
        printing.remark(
            "Who is wanted, and prices carried over, are taken as they were when this was last recorded; "
            "--refresh-demand takes today's."
        )
    known = stage_of_files(season.files, release)
    if not stage and found.recorded is not None and STAGES.index(known) > STAGES.index(found.stage):
        printing.remark(
            f"Its files say {known}, it was last recorded as {found.stage}: --stage {known} says so."
        )
    opening.not_counted(season)
    for problem in (*season.files.module_problems, *found.graded.problems):
        printing.remark(str(problem))
    place = season.place_of(found)
    told = ""
    if record:
        stored = season.record(found, now=datetime.now(UTC))
        if stored is None:
            told = "Unchanged since the last recorded review: nothing was appended."
        else:
            told = f"Recorded as of {stored.published_on}, stage {stored.stage}."
            if found.recorded is not None and not stored.reason_for_change:
                told += " It changes the review before without saying why: --because TEXT keeps the reason."
            found = season.grade(release, stage=stage, on=day)
    if as_json:
        printing.data(
            answers.grade(
                found,
                rank=place.rank if place else None,
                rubric=season.rubric.hash,
                since_launch=_since_launch(season, found),
            )
        )
        if told:
            printing.remark(told)
        return
    _show(season, found, place)
    if told:
        printing.say()
        printing.say(told)


def _show(season: Season, found: Draft, place: Any) -> None:
    from rating import tenths
    from rating.export.notices import disclosure
    from rating.facts import cautions
    from rating.facts.advice.tell import price

    graded = found.graded
    printing.say(f"{found.review.title}, stage {found.stage}")
    told = found.sheet.disclosure
    printing.paragraph(
        disclosure(told.how_obtained, told.sentence)
        if told
        else "How the reviewer came by it is not filled in yet; nothing can be recorded without it."
    )
    printing.say()
    if graded.grade is None:
        printing.paragraph("No grade: no criterion has a score yet.")
    else:
        printing.say(_headline(graded))
        printing.paragraph(price(found.facts.advice))
        printing.paragraph(_placed(season, place))
        if found.recorded is not None and not found.differs and place is not None and place.rank is not None:
            from rating.doubt.nudges import told as firm

            printing.paragraph(firm(season.table(), found.review.release))
        printing.say()
        _scores(found)
        printing.say()
        printing.paragraph(_lifts(found))
    for title, left in (("Not known yet", graded.unknown), ("Does not apply", graded.not_applicable)):
        if left:
            printing.heading(title)
            for one in left:
                printing.paragraph(f"{one.criterion}: {one.why}")
    if graded.grade is not None:
        _reasons(found)
        _against_earlier(found)
    if told_since := _since_launch(season, found):
        printing.heading("Since launch")
        printing.paragraph(told_since)
    printing.say()
    printing.paragraph(cautions.short(found.facts))
    if found.recorded is None:
        printing.paragraph("Not recorded yet; 'boxwright grade RELEASE --record' puts it into the ledger.")
    elif found.differs:
        was = found.recorded.grade
        printing.paragraph(
            f"This differs from the review recorded on {found.recorded.published_on} "
            f"({tenths.show(was) if was is not None else 'no grade'}): {', '.join(found.differences())}."
        )
    else:
        printing.paragraph(f"As recorded on {found.recorded.published_on}.")


def _headline(graded: Any) -> str:
    from rating import tenths

    verdict = f": {graded.verdict}." if graded.verdict else " so far; too much is open for a verdict."
    words = f"Grade {tenths.show(graded.grade)}{verdict}"
    if graded.half_width:
        low = max(0, graded.grade - graded.half_width)
        high = min(1000, graded.grade + graded.half_width)
        words += f" With the doubt of its scores {tenths.show(low)} to {tenths.show(high)}."
    if graded.is_partial:
        words += f"\nPartial: what is unknown could make it {tenths.show(graded.lowest)} to "
        words += f"{tenths.show(graded.highest)}."
    return words


def _placed(season: Season, place: Any) -> str:
    if place is None or place.rank is None:
        return "More than a quarter of its points is unknown: it is shown apart, without a rank."
    rows = season.rank()
    others = [one for one in rows if one.release != place.release and one.rank is not None]
    in_class = [one for one in others if one.price_class == place.price_class]
    words = f"It takes place {place.place} of {len(others) + 1}"
    if place.class_rank is not None:
        words += f", place {place.class_rank} of {len(in_class) + 1} in the class {place.price_class}"
    return words + "."


def _scores(found: Draft) -> None:
    from fractions import Fraction

    from rating import tenths

    lines = found.graded.contributions
    total = sum(line.points for line in lines)
    rows = []
    for line in lines:
        one = line.score
        lift = tenths.fixed(Fraction(line.lift, total), 1) if total else "0.0"
        basis = one.basis if one.computed_score is None else f"{one.basis} {one.computed_score}"
        rows.append(
            (
                line.group,
                one.criterion,
                one.score,
                f"±{one.spread}",
                tenths.show_points(line.points),
                lift if lift.startswith("-") or lift == "0.0" else f"+{lift}",
                basis,
                _bar(one.score),
            )
        )
    tables.table(
        ("group", "criterion", "score", "doubt", "points", "lifts", "basis", "0 .... 50 .... 100"),
        rows,
        right="score|doubt|points|lifts",
    )


def _bar(score: int) -> str:
    return "█" * ((score + 2) // 5)


def _lifts(found: Draft) -> str:
    from rating import text

    lines = sorted(found.graded.contributions, key=lambda line: -line.lift)
    up = [line.score.criterion for line in lines[:3] if line.lift > 0]
    down = [line.score.criterion for line in reversed(lines[-3:]) if line.lift < 0]
    words = []
    if up:
        words.append(f"What lifts it most: {text.listed(up)}.")
    if down:
        words.append(f"What costs it most: {text.listed(down)}.")
    return " ".join(words) or "Nothing lifts it, nothing costs it: it is typical throughout."


def _reasons(found: Draft) -> None:
    printing.heading("Reasons")
    for line in found.graded.contributions:
        by = f" ({line.score.rater})" if line.score.rater else ""
        printing.paragraph(f"{line.score.criterion} {line.score.score}{by}: {line.score.reason}")
        for one in line.evidence:
            printing.paragraph(f"- {one}", indent="    ")


def _against_earlier(found: Draft) -> None:
    from rating import tenths

    editions = found.facts.history.editions
    if not editions or not editions[0].scores:
        return
    last = editions[0]
    printing.heading(f"Against {last.title}")
    now = {line.score.criterion: line.score.score for line in found.graded.contributions}
    both = [(key, last.scores[key], now[key]) for key in now if key in last.scores]
    tables.table(
        ("criterion", "then", "now", "change"),
        [(key, then, here, f"{here - then:+d}" if here != then else "0") for key, then, here in both],
        right="then|now|change",
    )
    if last.grade is not None and found.graded.grade is not None:
        change = found.graded.grade - last.grade
        way = "the same" if not change else f"{tenths.show(abs(change))} {'more' if change > 0 else 'less'}"
        printing.say()
        printing.say(f"It was graded {tenths.show(last.grade)} then; this is {way}.")


def _since_launch(season: Season, found: Draft) -> str:
    """How what was carried over at launch compares with sales since; blank where it does not."""
    from datetime import date

    from rating.facts import sections

    launch = season.launch_facts(found.review.release, before=date.fromisoformat(found.review.published_on))
    return "" if launch is None else sections.since(found.facts, launch)
