"""boxwright export: files for a co-host, a sponsor and the viewers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli import common

if TYPE_CHECKING:
    from rating.season.season import Season

app = common.group("Write the season for others: a workbook that recomputes, or plain tables.")
Into = Annotated[
    Path | None,
    typer.Option("--into", metavar="DIR", help="Where to write. [default: exports/<today> in the season]"),
]


@app.command("workbook")
def workbook(
    into: Into = None,
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """One spreadsheet with live formulas: change a weight and the season is ranked anew.

    Example: boxwright export workbook
    """
    from rating.export.workbook import write_workbook

    season = common.opened(season_folder, today)
    folder = _folder(season, into)
    path = folder / "season.xlsx"
    write_workbook(season, path)
    _told(season, [path], as_json=as_json)


@app.command("tables")
def tables(
    form: Annotated[str, typer.Option("--format", metavar="FORMAT", help="csv, json or md.")] = "csv",
    into: Into = None,
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Standings, scores and reasons as plain tables.

    Example: boxwright export tables --format md
    """
    from rating.export.tables import write_tables

    forms = ("csv", "json", "md")
    common.hold_to(forms, form, "format", where="--format")
    season = common.opened(season_folder, today)
    paths = write_tables(season, _folder(season, into), form)
    _told(season, list(paths), as_json=as_json)


def _folder(season: Season, into: Path | None) -> Path:
    return into or season.path / "exports" / season.today.isoformat()


def _told(season: Season, paths: list[Path], *, as_json: bool) -> None:
    from rating.season.folder import shown_paths

    shown = shown_paths(paths, Path.cwd())
    held = season.held_back()
    if as_json:
        common.data({"written": shown, "held_back": {slug: day.isoformat() for slug, day in held.items()}})
    else:
        common.wrote(shown)
    for slug, day in held.items():
        common.remark(f"remark: {slug} is left out, it is under embargo until {day.isoformat()}")
