"""boxwright criteria list: the questions of the rubric, their points and how they are answered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, tables

if TYPE_CHECKING:
    from rating.rubric.rubric import Rubric


def list_(
    weights: Annotated[
        bool, typer.Option("--weights", help="Show each group's share of all points.")
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """The criteria of the season's rubric, with their points and how they are answered.

    Example: boxwright criteria list --weights
    """
    from rating import money, tenths
    from rating.answers import criteria as answers

    season = opening.opened(season_folder, today)
    for problem in season.files.module_problems:
        printing.remark(str(problem))
    rubric, modules = season.rubric, season.files.modules
    answer = answers.listed(rubric, modules)
    if as_json:
        printing.data(answer)
        return
    if weights:
        _weights(rubric)
        return
    tables.table(
        ("group", "criterion", "points", "answer", "question"),
        [
            (
                one.group,
                one.key,
                tenths.show_points(one.points),
                answers.how(modules.get(one.key)),
                money.in_currency(modules[one.key].criterion.question, season.config.currency)
                if one.key in modules
                else "",
            )
            for one in rubric.criteria
        ],
        right="points",
    )
    printing.say()
    printing.say(f"{rubric.name}, {tenths.show_points(rubric.total)} points, rubric {rubric.hash[:12]}.")
    if spare := answer["not_in_rubric"]:
        printing.say(f"Installed but not in the rubric: {', '.join(spare)}.")


def _weights(rubric: Rubric) -> None:
    from fractions import Fraction

    from rating import tenths
    from rating.rubric.rubric import shares

    rows = []
    for group, points in shares(rubric).items():
        inside = ", ".join(
            f"{one.key} {tenths.show_points(one.points)}" for one in rubric.criteria if one.group == group
        )
        share = tenths.half_up(Fraction(points * 1000, rubric.total))
        rows.append((group, tenths.show_points(points), f"{tenths.show(share)} %", inside))
    tables.table(("group", "points", "share", "criteria"), rows, right="points|share")
    printing.say()
    most = max(shares(rubric).items(), key=lambda one: one[1])
    printing.say(f"{rubric.groups[most[0]]} weighs most.")
    printing.say("Groups overlap: the same players count in several criteria.")
