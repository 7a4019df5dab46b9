"""boxwright what-if: the standings under other points, scores or rules; nothing is recorded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing, tables

if TYPE_CHECKING:
    from rating.doubt.score_table import ScoreTable
    from rating.doubt.what_if import Outcome, WhatIf
    from rating.errors import Problem


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
    from rating.cli.shown.doubt import RESTATED
    from rating.doubt import what_if as trying
    from rating.doubt.rules import RULES

    refusing.hold_to(RULES, rule, "rule", where="--rule")
    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    table = season.table()
    today_points = {one.key: one.points for one in season.rubric.criteria}
    start = {key: today_points.get(key, 0) for key in table.criteria} if restate else {}
    change = _change(table, weight or (), score or (), drop or (), without or (), rule, start)
    tried = trying.try_out(table, change)
    if as_json:
        printing.data(answers.what_if(change, season=season.config.name, before=season.rank(), after=tried))
        return
    printing.say(f"{season.config.name}, tried out: nothing of this is recorded")
    printing.say()
    for words in _said(table, change):
        printing.say(words)
    printing.say()
    _show(tried)
    printing.say()
    printing.paragraph(trying.told(tried))
    if any(row.restated for row in table.rows):
        printing.paragraph(RESTATED)


def _show(tried: tuple[Outcome, ...]) -> None:
    from rating import tenths, text
    from rating.doubt.what_if import grade_text

    names = text.short_titles([one.title for one in tried])
    tables.table(
        ("place", "was", "moved", "value", "grade was", "release"),
        [
            (
                one.place,
                one.before or "",
                f"{one.moved:+d}" if one.moved else "",
                grade_text(one),
                tenths.show(one.before_grade) if one.before_grade is not None else "",
                tables.shorten(name, 56),
            )
            for one, name in zip(tried, names, strict=True)
        ],
        right="place|was|moved|value|grade was",
    )


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


def _change(
    table: ScoreTable,
    weights: list[str] | tuple[()],
    scores: list[str] | tuple[()],
    drops: list[str] | tuple[()],
    without: list[str] | tuple[()],
    rule: str,
    start: Mapping[str, int],
) -> WhatIf:
    """What the options ask for; every option that cannot be read is told at once."""
    from rating import tenths
    from rating.doubt.what_if import WhatIf
    from rating.errors import Problem, refuse_if_any

    problems: list[Problem] = []

    def complain(option: str, what: str, fix: str) -> None:
        problems.append(Problem(code="wrong-option", what=what, file=option, fix=fix))

    def known(option: str, name: str, names: tuple[str, ...], what: str) -> bool:
        if name in names:
            return True
        complain(option, f"there is no {what} {name!r}", f"use one of {refusing.choices(name, names)}")
        return False

    def parted(option: str, given: str, read: Callable[[str], int], fix: str) -> tuple[str, int] | None:
        name, mark, number = given.partition("=")
        try:
            # without a mark there is no number, which no reader takes
            return name.strip(), read(number.strip() if mark else "")
        except ValueError:
            complain(option, f"{given!r} cannot be read", fix)
            return None

    releases = tuple(row.release for row in table.rows)
    points = dict(start)
    for given in weights:
        pair = parted("--weight", given, tenths.read, "write it as design=12 or design=12.5")
        if pair and known("--weight", pair[0], table.criteria, "criterion"):
            points[pair[0]] = pair[1]
    groups = tuple(dict.fromkeys(table.groups))
    for name in drops:
        if name in groups and name not in table.criteria:
            members = [key for key, group in zip(table.criteria, table.groups, strict=True) if group == name]
            points |= dict.fromkeys(members, 0)
        elif known("--drop", name, tuple(dict.fromkeys((*table.criteria, *groups))), "criterion or group"):
            points[name] = 0
    found: dict[tuple[str, str], int] = {}
    for given in scores:
        pair = parted("--score", given, _score, "write it as halyard.finish=80, a whole number from 0 to 100")
        if pair is None:
            continue
        release, _, key = pair[0].partition(".")
        if known("--score", release, releases, "reviewed release") and known(
            "--score", key, table.criteria, "criterion"
        ):
            found[release, key] = pair[1]
    left_out = frozenset(one for one in without if known("--without", one, releases, "reviewed release"))
    change = WhatIf(points=points, scores=found, without=left_out, rule=rule)
    if not problems and not any(table.with_points(points).points):
        complain("--weight", "no criterion has points left", "give at least one of them points above 0")
    if not problems and change.is_nothing:
        complain(
            "what-if",
            "nothing is tried",
            "name at least one --weight, --score, --drop, --without, --rule or --restate",
        )
    refuse_if_any(problems)
    return change


def _score(number: str) -> int:
    if not (number.isascii() and number.isdigit() and int(number) <= 100):
        raise ValueError(number)
    return int(number)
