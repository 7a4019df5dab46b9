"""Teams that a checklist shows and the season does not know: their names, codes and divisions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rating import text
from rating.release.checklist import Card
from rating.release.intake import words
from rating.release.intake.values import Grid, SeasonWords, TeamShown

_DIVISIONS = frozenset(("division", "div", "conference", "conf", "group", "pool", "league", "region"))


def missing(
    cards: Sequence[Card], season: SeasonWords, codes: Mapping[str, str], keys: Iterable[Grid]
) -> tuple[TeamShown, ...]:
    """The teams on cards that season.toml lacks, in the order of the cards.

    `codes` are the files' own, by code; `keys` are their sheets of teams, which may have divisions.
    """
    known = {text.key(name) for one in season.teams for name in (one.name, *one.aliases)}
    of = {text.key(name): code for code, name in codes.items()}
    divisions = dict(pair for grid in keys for pair in _divisions(grid))
    shown = dict.fromkeys(team for card in cards for team in card.teams if team)
    used = {one.code for one in season.teams}
    return tuple(
        TeamShown(
            name=name,
            code=code if (code := of.get(text.key(name), "")) not in used else "",
            division=divisions.get(text.key(name), ""),
        )
        for name in shown
        if text.key(name) not in known
    )


def _divisions(grid: Grid) -> Iterable[tuple[str, str]]:
    """Teams with their divisions, where a sheet of teams has a column of them."""
    places: dict[str, int] = {}
    for row in grid.rows:
        if not places:
            for place, cell in enumerate(row.cells):
                key = words.header_key(cell)
                if key in _DIVISIONS:
                    places.setdefault("division", place)
                elif key in words.KEY["name"]:
                    places.setdefault("name", place)
            places = places if len(places) > 1 else {}
        elif (name := row.cell(places["name"])) and (division := row.cell(places["division"])):
            yield text.key(name), division
