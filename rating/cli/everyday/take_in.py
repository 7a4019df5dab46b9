"""boxwright take-in: a score sheet that came back, into scores.toml."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, tables

if TYPE_CHECKING:
    from rating.raters import Judgement
    from rating.season.season import Season
    from rating.season.taking_in import TakenIn


def take_in(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The score sheet that came back.")],
    replace: Annotated[
        bool, typer.Option("--replace", help="Replace what the rater said before, without asking.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Show what would change, and write nothing.")
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Take in a score sheet: show what changed, and keep the rater's scores with their reasons.

    What is left blank stays as it was. Nothing is written before you agree to replace a score.

    Example: boxwright take-in halyard-wren.xlsx
    """
    from rating.answers import scoring as answers
    from rating.season import taking_in

    season = opening.opened(season_folder, today)
    taken = taking_in.compare(season.files, file)
    if not as_json:
        _show(season, taken)
    is_written = (
        bool(taken.changes) and not dry_run and (replace or not taken.replaced or _agreed(taken, as_json))
    )
    if is_written:
        taking_in.store(season.files, taken)
    if as_json:
        printing.data(answers.taken_in(taken, is_written=is_written))
    elif is_written:
        printing.wrote([taken.file])
    elif taken.changes:
        printing.remark("Nothing was written.")


def _agreed(taken: TakenIn, as_json: bool) -> bool:
    """Whether a person agrees to replace what was said before; where nobody can be asked it is refused."""
    from rating import text
    from rating.errors import RatingError

    number = text.count(len(taken.replaced), "earlier answer")
    if as_json or not printing.is_terminal():
        keys = ", ".join(one.after.criterion for one in taken.replaced)
        raise RatingError(
            f"it would replace {number} by {taken.marks.rater}: {keys}",
            where=taken.file,
            fix="look at them with --dry-run, then say --replace",
        )
    return typer.confirm(f"Replace {number}?", default=False)


def _show(season: Season, taken: TakenIn) -> None:
    from rating import text

    total = len(taken.changes) + len(taken.same) + len(taken.open)
    name = season.config.rater_name(taken.marks.rater)
    printing.paragraph(f"{name} scored {total - len(taken.open)} of {total} criteria of {taken.title}.")
    if taken.changes:
        printing.say()
        rows = [
            (
                one.after.criterion,
                _score(one.before) if one.before is not None else "",
                _score(one.after),
                one.after.reason,
            )
            for one in taken.changes
        ]
        tables.table(("criterion", "was", "now", "reason"), rows, right="was|now")
        printing.say()
    if taken.same:
        printing.paragraph(f"As before: {text.listed(taken.same)}.")
    if taken.open:
        printing.paragraph(f"Left blank, so nothing changes there: {text.listed(taken.open)}.")
    if not taken.changes:
        printing.say("Nothing in it is new.")


def _score(one: Judgement) -> str:
    return "does not apply" if one.score is None else str(one.score)
