"""boxwright export workbook: the season as one spreadsheet with live formulas."""

from __future__ import annotations

from pathlib import Path

from rating.cli.export import handing
from rating.cli.shared import opening, options


def workbook(
    into: options.Into = None,
    to: options.To = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """One spreadsheet with live formulas: change a weight and the season is ranked anew.

    Example: boxwright export workbook --to "Bo, co-host"
    """
    from rating.export.workbook import write_workbook

    season = opening.opened(season_folder, today)

    def write(folder: Path) -> list[Path]:
        path = folder / "season.xlsx"
        write_workbook(season, path)
        return [path]

    handing.hand_out(season, into, write, to=to, as_json=as_json)
