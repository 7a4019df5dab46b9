"""boxwright grade: from facts and judgements to a reasoned grade, and into the ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing
from rating.stage import STAGES

if TYPE_CHECKING:
    from rating.season.recording import Draft
    from rating.season.season import Season
    from rating.standings import Standing

_AS_RECORDED = (
    "Who is wanted, and prices carried over, are taken as they were when this was last recorded; "
    "--refresh-demand takes today's."
)


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
    evidence: Annotated[
        bool, typer.Option("--evidence", help="Show what each score rests on, and the edition before.")
    ] = False,
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
    from rating import text
    from rating.season.days import day_from

    _hold(stage, because)
    season = opening.opened(season_folder, today)
    day = day_from(on, where="--on") if on else None
    if ask:
        _ask(season, release, rater=rater, stage=stage)
    draft = season.grade(
        release,
        stage=stage,
        on=day,
        reason_for_change=text.tidy(because),
        refresh_demand=refresh_demand,
    )
    if not refresh_demand and draft.recorded is not None and draft.facts.season.demand != season.demand(day):
        printing.remark(_AS_RECORDED)
    if not stage:
        _lagging(season, draft)
    opening.not_counted(season)
    for problem in (*season.files.module_problems, *draft.graded.problems):
        printing.remark(str(problem))
    place = season.place_of(draft)
    told = ""
    if record:
        stored, told = _recorded(season, draft)
        draft = season.grade(release, stage=stage, on=day) if stored else draft
    _print(season, draft, place, told, evidence=evidence, as_json=as_json)


def _hold(stage: str, because: str) -> None:
    """Refuse a stage that is none, and a reason that cannot be kept."""
    from rating import text
    from rating.errors import RatingError

    if stage:
        refusing.hold_to(STAGES, stage, "stage", where="--stage")
    if mark := text.bad_marks(because):
        raise RatingError(
            f"the reason holds the invisible mark {mark}", where="--because", fix="type it again"
        )


def _ask(season: Season, release: str, *, rater: str, stage: str) -> None:
    from rating.cli.everyday import asking
    from rating.season.recording import default_stage

    asking.ask(season, release, rater=rater, stage=stage or default_stage(season.files, release))


def _lagging(season: Season, draft: Draft) -> None:
    """Remark a recorded stage that lags behind the files."""
    from rating.season.recording import stage_of_files

    known = stage_of_files(season.files, draft.review.release)
    if draft.recorded is not None and STAGES.index(known) > STAGES.index(draft.stage):
        printing.remark(
            f"Its files say {known}, it was last recorded as {draft.stage}: --stage {known} says so."
        )


def _recorded(season: Season, draft: Draft) -> tuple[bool, str]:
    """Record a draft; gives whether a review was appended, and what is said of it."""
    from datetime import UTC, datetime

    stored = season.record(draft, now=datetime.now(UTC))
    if stored is None:
        return False, "Unchanged since the last recorded review: nothing was appended."
    told = f"Recorded as of {stored.published_on}, stage {stored.stage}."
    if draft.recorded is not None and not stored.reason_for_change:
        told += " It changes the review before without saying why: --because TEXT keeps the reason."
    return True, told


def _print(
    season: Season, draft: Draft, place: Standing | None, told: str, *, evidence: bool, as_json: bool
) -> None:
    from rating.answers import grading as answers
    from rating.cli.shown import grading as shown

    since_launch = _since_launch(season, draft)
    if as_json:
        rank, rubric = place.rank if place else None, season.rubric.hash
        printing.data(answers.grade(draft, rank=rank, rubric=rubric, since_launch=since_launch))
        if told:
            printing.remark(told)
        return
    shown.show(season, draft, place, since_launch=since_launch, evidence=evidence)
    if told:
        printing.say()
        printing.say(told)


def _since_launch(season: Season, draft: Draft) -> str:
    """How what was carried over at launch compares with sales since; blank where it does not."""
    from datetime import date

    from rating.facts import sections

    launch = season.launch_facts(draft.review.release, before=date.fromisoformat(draft.review.published_on))
    return "" if launch is None else sections.since(draft.facts, launch)
