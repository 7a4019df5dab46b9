"""boxwright criteria test: the contract of a criterion, run against a module of your own."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Any

import typer

from rating.cli.shared import opening, options, printing


def try_out(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The module, a Python file.")],
    limit: Annotated[
        float, typer.Option("--limit", metavar="SECONDS", min=1, help="How long it may take in all.")
    ] = 300,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
    inside: Annotated[bool, typer.Option("--inside", hidden=True)] = False,
) -> None:
    """Run the contract against a module: it loads, answers for every release, twice alike, with a reason.

    It runs in a process of its own, which is ended when the time is up.

    Example: boxwright criteria test my_criterion.py
    """
    if inside:
        _tried_inside(file, season_folder, today)
        return
    found = _tried(file, season_folder, today, limit)
    if as_json:
        printing.data(found)
    else:
        for line in found["passed"]:
            printing.say(f"kept:   {line}")
        for line in found["failed"]:
            printing.say(f"broken: {line}")
        printing.say()
        printing.say(f"{found['criterion']}: {len(found['passed'])} kept, {len(found['failed'])} broken.")
    if found["failed"]:
        raise typer.Exit(1)


def _tried(file: Path, season_folder: Path | None, today: str | None, limit: float) -> dict[str, Any]:
    """What a process of its own finds; one that does not come back is the module's doing."""
    import subprocess
    import sys

    words = [sys.executable, "-m", "rating", "criteria", "test", str(file), "--inside"]
    words += ["--season", str(season_folder)] if season_folder else []
    words += ["--today", today] if today else []
    try:
        done = subprocess.run(  # noqa: S603  (this very program, and the words of the person who calls it)
            words, capture_output=True, text=True, encoding="utf-8", timeout=limit, check=False
        )
    except subprocess.TimeoutExpired:
        return _broken(file, f"it did not end within {limit:g} seconds, and was ended")
    for line in done.stderr.splitlines():
        printing.remark(line)
    try:
        found: dict[str, Any] = json.loads(done.stdout)
    except ValueError:
        if done.returncode == 1 and done.stderr.startswith("error: "):
            raise typer.Exit(1) from None
        return _broken(file, f"it ended the program in the middle, with the code {done.returncode}")
    return found


def _broken(file: Path, what: str) -> dict[str, Any]:
    return {"criterion": file.stem, "passed": [], "failed": [what]}


def _tried_inside(file: Path, season_folder: Path | None, today: str | None) -> None:
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
    printing.data(answers.tried(module.criterion.key, contract.run(module, facts)))
