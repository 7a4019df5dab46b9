"""boxwright criteria test: the contract of a criterion, run against a module of your own."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def try_out(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The module, a Python file.")],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Run the contract against a module: it loads, answers for every release, twice alike, with a reason.

    Example: boxwright criteria test my_criterion.py
    """
    from rating import contract, registry
    from rating.answers import criteria as answers
    from rating.errors import RatingError

    module = registry.load_file(file)
    facts = []
    try:
        season = opening.opened(season_folder, today)
        facts = [season.facts(slug) for slug in season.files.slugs]
    except RatingError as fault:
        printing.remark(f"no season to try it on: {fault.what}")
    found = contract.run(module, facts)
    if as_json:
        printing.data(answers.tried(module.criterion.key, found))
    else:
        for line in found.passed:
            printing.say(f"kept:   {line}")
        for line in found.failed:
            printing.say(f"broken: {line}")
        printing.say()
        printing.say(f"{module.criterion.key}: {len(found.passed)} kept, {len(found.failed)} broken.")
    if found.failed:
        raise typer.Exit(1)
