"""What the JSON tables of an export hold beside their rows, and the rows as objects."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from rating.answers import parts
from rating.review import Review
from rating.season.settings.help_lines import HelpLines

_GRADES = {"grade", "lowest", "highest"}


def beside(
    *,
    season: str,
    as_of: date,
    reviews: Sequence[tuple[Review, str]],
    cautions: Sequence[str],
    help_lines: HelpLines | None,
    head: str,
) -> dict[str, Any]:
    """What goes with every table that is handed out.

    Parameters
    ----------
    season : its name
    reviews : each with how many of its release's own boxes return less than they cost, '' if not known
    head : that of the ledger, over all its reviews
    """
    return {
        "season": season,
        "as_of": as_of.isoformat(),
        "head": head,
        "disclosure": [
            {
                "release": review.release,
                **parts.disclosure(review.disclosure.how_obtained, review.disclosure.sentence),
                "losses": losses or None,
            }
            for review, losses in reviews
        ],
        "cautions": list(cautions),
        "help_lines": _help(help_lines),
    }


def _help(lines: HelpLines | None) -> dict[str, Any] | None:
    if lines is None or lines.as_of is None or not lines.lines:
        return None
    return {
        "as_of": lines.as_of.isoformat(),
        "lines": [
            {"name": line.name, "where": line.where, "contact": line.contact, "for": line.what_for}
            for line in lines.lines
        ],
    }


def rows(headers: Sequence[str], table: Sequence[Sequence[object]]) -> list[dict[str, Any]]:
    """Rows as objects by their headers: blank cells are None, grades numbers, disclosures stand beside."""
    return [
        {name: _cell(name, cell) for name, cell in zip(headers, row, strict=True) if name != "disclosure"}
        for row in table
    ]


def _cell(name: str, cell: object) -> object:
    if cell == "":
        return None
    return float(str(cell)) if name in _GRADES else cell
