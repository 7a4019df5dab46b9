"""boxwright what-if: the standings under other points, scores or rules; nothing is recorded."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing

if TYPE_CHECKING:
    from rating.doubt.score_table import ScoreTable
    from rating.doubt.what_if import Outcome, WhatIf
    from rating.errors import Problem
    from rating.season.season import Season


def what_if(
    weight: Annotated[
        list[str] | None,
        typer.Option("--weight", metavar="CRITERION=POINTS", help="Other points; the rest stay. Repeatable."),
    ] = None,
    score: Annotated[
        list[str] | None,
        typer.Option("--score", metavar="RELEASE.CRITERION=SCORE", help="Another score. Repeatable."),
    ] = None,
    drop: Annotated[
        list[str] | None,
        typer.Option("--drop", metavar="CRITERION", help="Leave a criterion or a group out. Repeatable."),
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option("--without", metavar="RELEASE", help="Leave a release out. Repeatable."),
    ] = None,
    restate: Annotated[
        bool, typer.Option("--restate", help="Weigh every review by the points that rubric.toml has now.")
    ] = False,
    rule: Annotated[
        str,
        typer.Option("--rule", metavar="RULE", help="mean, geometric, topsis, promethee or distance."),
    ] = "mean",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What the standings would be under other points, scores or rules. Nothing is recorded.

    Example: boxwright what-if --weight design=12 --drop relics
    """
    from rating.answers import what_if as answers
    from rating.doubt.rules import RULES
    from rating.doubt.what_if import WhatIf, try_out

    refusing.hold_to(RULES, rule, "rule", where="--rule")
    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    table = season.table()
    asked = _Asked(table)
    points = _points_now(season, table) if restate else {}
    change = WhatIf(
        points=points | asked.points(weight or ()) | asked.dropped(drop or ()),
        scores=asked.scores(score or ()),
        without=asked.without(without or ()),
        rule=rule,
    )
    asked.hold(change)
    outcomes = try_out(table, change)
    if as_json:
        name, before = season.config.name, season.rank()
        printing.data(answers.what_if(change, season=name, before=before, after=outcomes))
    else:
        _show(season, table, change, outcomes)


def _points_now(season: Season, table: ScoreTable) -> dict[str, int]:
    """The points that rubric.toml has now, 0 for a criterion that it has no more."""
    points = {criterion.key: criterion.points for criterion in season.rubric.criteria}
    return {key: points.get(key, 0) for key in table.criteria}


def _show(season: Season, table: ScoreTable, change: WhatIf, outcomes: Sequence[Outcome]) -> None:
    from rating.cli.shown import tried
    from rating.doubt.what_if import told

    printing.say(f"{season.config.name}, tried out: none of this is recorded")
    printing.say()
    for words in _said(table, change):
        printing.say(words)
    printing.say()
    tried.table(outcomes, value="value", was="grade was")
    printing.say()
    printing.paragraph(told(tuple(outcomes)))
    if table.restated:
        printing.paragraph(table.restated)


def _said(table: ScoreTable, change: WhatIf) -> list[str]:
    """What is tried, a line each."""
    from rating import tenths

    old = dict(zip(table.criteria, table.points, strict=True))
    said = [
        f"{key}: {tenths.show_points(points)} points instead of {tenths.show_points(old[key])}"
        for key, points in change.points.items()
        if points != old[key]
    ]
    said += [f"{release}: {key} at {score}" for (release, key), score in change.scores.items()]
    said += [f"without {release}" for release in sorted(change.without)]
    if change.rule != "mean":
        said.append(f"combined by the rule {change.rule}")
    return said


class _Asked:
    """What options ask for of a table of scores; those that cannot be read are kept, to be told at once."""

    def __init__(self, table: ScoreTable) -> None:
        self._table = table
        self._releases = [row.release for row in table.rows]
        self._problems: list[Problem] = []

    def points(self, weights: Sequence[str]) -> dict[str, int]:
        """The points (tenths) of each `CRITERION=POINTS`."""
        from rating import tenths

        points = {}
        for written in weights:
            pair = self._pair("--weight", written, tenths.read, "write it as design=12 or design=12.5")
            if pair and self._is_known("--weight", pair[0], self._table.criteria, "criterion"):
                points[pair[0]] = pair[1]
        return points

    def dropped(self, names: Sequence[str]) -> dict[str, int]:
        """No points for each criterion, and for each of a group's."""
        criteria = self._table.criteria
        members: dict[str, list[str]] = {}
        for key, group in zip(criteria, self._table.groups, strict=True):
            members.setdefault(group, []).append(key)
        members |= {key: [key] for key in criteria}
        choices = tuple(dict.fromkeys((*criteria, *members)))
        return {
            key: 0
            for name in names
            if self._is_known("--drop", name, choices, "criterion or group")
            for key in members[name]
        }

    def scores(self, written: Sequence[str]) -> dict[tuple[str, str], int]:
        """The score of each `RELEASE.CRITERION=SCORE`."""
        scores = {}
        fix = "write it as halyard.finish=80, a whole number from 0 to 100"
        for one in written:
            pair = self._pair("--score", one, _score, fix)
            if pair is None:
                continue
            release, _, key = pair[0].partition(".")
            if self._is_known("--score", release, self._releases, "reviewed release") and self._is_known(
                "--score", key, self._table.criteria, "criterion"
            ):
                scores[release, key] = pair[1]
        return scores

    def without(self, releases: Sequence[str]) -> frozenset[str]:
        """The releases to leave out."""
        return frozenset(
            release
            for release in releases
            if self._is_known("--without", release, self._releases, "reviewed release")
        )

    def hold(self, change: WhatIf) -> None:
        """Refuse options that could not be read, and a change that leaves no points or is none."""
        from rating.errors import refuse_if_any

        if not self._problems and not any(self._table.with_points(change.points).points):
            self._complain(
                "--weight", "no criterion has points left", "give at least one of them points above 0"
            )
        if not self._problems and change.is_nothing:
            self._complain(
                "what-if",
                "nothing is tried",
                "name at least one --weight, --score, --drop, --without, --rule or --restate",
            )
        refuse_if_any(self._problems)

    def _complain(self, option: str, what: str, fix: str) -> None:
        from rating.errors import Problem

        self._problems.append(Problem(code="wrong-option", what=what, file=option, fix=fix))

    def _is_known(self, option: str, name: str, names: Sequence[str], what: str) -> bool:
        if name in names:
            return True
        self._complain(option, refusing.unknown(what, name), refusing.instead(name, names))
        return False

    def _pair(
        self, option: str, written: str, read: Callable[[str], int], fix: str
    ) -> tuple[str, int] | None:
        """The name and the number of 'NAME=NUMBER'."""
        name, mark, number = written.partition("=")
        try:
            # without a mark there is no number, which no reader takes
            return name.strip(), read(number.strip() if mark else "")
        except ValueError:
            self._complain(option, f"{written!r} cannot be read", fix)
            return None


def _score(number: str) -> int:
    if not (number.isascii() and number.isdigit() and int(number) <= 100):
        raise ValueError(number)
    return int(number)
