"""boxwright intake: makers' and markets' files into the tidy tables."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, screen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rating.release.intake.values import Doubtful, IntakeResult, Question
    from rating.season.intake import Effect

# questions of one round
_ASKED = 12


def intake(
    release: options.Release,
    files: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="FILE...",
            show_default=False,
            help="Checklists, odds, sold lists, sell sheets, slot prices: xlsx, csv or text.",
        ),
    ] = None,
    yes: Annotated[
        bool, typer.Option("--yes", help="Write what is sure in a sell sheet to release.toml and prices.csv.")
    ] = False,
    replace: Annotated[
        bool, typer.Option("--replace", help="Let the files go before edits made in the tables by hand.")
    ] = False,
    ask: Annotated[
        bool, typer.Option("--ask", help="Ask what is open: the weightiest questions, then doubtful sales.")
    ] = False,
    explain: Annotated[
        bool, typer.Option("--explain", help="Show what each column was taken for, how sure, and three rows.")
    ] = False,
    answered: Annotated[
        Path | None,
        typer.Option(
            "--answers", metavar="FILE", help="Answers to questions: JSON, each by the question's id."
        ),
    ] = None,
    teams: Annotated[
        bool, typer.Option("--teams", help="Add teams that the checklist shows to season.toml.")
    ] = False,
    instead_of: Annotated[
        str,
        typer.Option(
            "--instead-of", metavar="FILE", help="A file taken in before; the one FILE takes its place."
        ),
    ] = "",
    forgotten: Annotated[
        str, typer.Option("--forget", metavar="FILE", help="Take back what this file brought.")
    ] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Take in a maker's checklist, odds and sell sheet, lists of sold cards, and what slots of breaks cost.

    What each file is, its contents tell. Every row is taken, set aside with a reason, or named as a problem;
    ends with 1 where there is a problem. Taking the same file in again changes nothing.

    Example: boxwright intake halyard checklist.xlsx odds.xlsx sold.csv
    """
    import dataclasses

    from rating.errors import RatingError, errors_in
    from rating.season.intake import add_teams, forget_for, take_in_for

    if bool(files) == bool(forgotten):
        raise typer.BadParameter("name the files to take in, or one to take back with --forget")
    if ask and not printing.is_terminal():
        raise RatingError(
            "--ask needs a terminal",
            where="standard input",
            fix="fill in the blank subsets in sales.csv instead; they are remembered",
        )
    season = opening.opened(season_folder, today)
    if forgotten:
        result, effect = forget_for(season, release, forgotten)
        _show(release, result, effect, as_json=as_json, explain=False)
        return
    taken = files or []
    said = _read_answers(answered) if answered else {}
    result, effect = take_in_for(
        season, release, taken, replace=replace, yes=yes, answers=said, instead_of=instead_of
    )
    if ask and (chosen := _choices(result.questions)):
        result, more = take_in_for(season, release, taken, replace=replace, yes=yes, answers=chosen)
        effect = more or effect
    if ask and result.doubtful and (cards := _cards(result.doubtful)):
        result, more = take_in_for(season, release, taken, replace=replace, yes=yes, corrections=cards)
        effect = more or effect
    if teams and result.teams:
        season = add_teams(season, result.teams)
        again, more = take_in_for(season, release, taken, replace=replace, yes=yes)
        changes, taken_values = (*result.changes, *again.changes), result.proposals
        result = dataclasses.replace(again, changes=changes, proposals=taken_values)
        effect = more or effect
    _show(release, result, effect, as_json=as_json, explain=explain)
    if errors_in(result.problems):
        raise typer.Exit(1)


def _show(release: str, result: IntakeResult, effect: Effect | None, *, as_json: bool, explain: bool) -> None:
    from rating.answers import intake as answers
    from rating.release.intake import report

    if as_json:
        printing.data(answers.intake(release, result, effect))
        return
    width = screen.page()
    for line in (*(report.explained(result) if explain else ()), *report.lines(result, width=width)):
        printing.wrapped(line)
    if effect is not None:
        printing.say()
        printing.paragraph(effect.told)


def _read_answers(path: Path) -> dict[str, str]:
    import json

    from rating.errors import RatingError

    fix = 'write it as {"kind: steady hands": "autograph"}'
    try:
        given = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as fault:
        raise RatingError(f"the answers cannot be read: {fault}", where=str(path), fix=fix) from fault
    if not isinstance(given, dict) or not all(isinstance(one, str) for one in given.values()):
        raise RatingError("the answers are not an object of texts", where=str(path), fix=fix)
    return given


def _choices(questions: Sequence[Question]) -> dict[str, str]:
    """What a person says of the weightiest questions that have choices, by the question's id."""
    from rating.errors import row_of

    asked = [one for one in questions if one.choices][:_ASKED]
    given: dict[str, str] = {}
    for number, one in enumerate(asked, start=1):
        place = f"{one.file}, {row_of(one.file, one.row)}" if one.row else one.file
        printing.say()
        printing.wrapped(f"{number} of {len(asked)}. {place}: {one.what}")
        choice = _choice(one.choices)
        if choice is None:
            break
        if choice >= 0:
            given[one.id] = one.choices[choice]
    return given


def _cards(doubtful: Sequence[Doubtful]) -> dict[str, tuple[str, str, str]]:
    """The cards that a person names for doubtful titles."""
    from rating.errors import row_of

    given: dict[str, tuple[str, str, str]] = {}
    printing.say(f"{len(doubtful)} doubtful titles.")
    for one in doubtful:
        if not one.guesses:
            continue
        printing.say()
        printing.say(f"{one.file}, {row_of(one.file, one.row)}: {one.title}")
        choice = _choice([" ".join(part for part in card if part) for card in one.guesses])
        if choice is None:
            break
        if choice >= 0:
            given[one.title] = one.guesses[choice]
    return given


def _choice(choices: Sequence[str]) -> int | None:
    """The place of what a person picks; -1 where nothing is picked, None where they have had enough."""
    for number, one in enumerate(choices, start=1):
        printing.say(f"  {number}  {one}")
    answer = typer.prompt("Which (Enter: skip, q: stop)", default="", show_default=False).strip()
    if answer == "q":
        return None
    return int(answer) - 1 if answer.isdigit() and 0 < int(answer) <= len(choices) else -1
