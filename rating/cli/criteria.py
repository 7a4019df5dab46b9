"""boxwright criteria: the questions of the rubric, and testing a module of your own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli import common

if TYPE_CHECKING:
    from rating.registry import Module

app = common.group("List, show and test the criteria.")


@app.command("list")
def list_(
    weights: Annotated[
        bool, typer.Option("--weights", help="Show each group's share of all points.")
    ] = False,
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """The criteria of the season's rubric, with their points and how they are answered.

    Example: boxwright criteria list --weights
    """
    from rating import tenths

    season = common.opened(season_folder, today)
    for problem in season.module_problems:
        common.remark(str(problem))
    rubric, modules = season.rubric, season.modules
    rows = []
    for one in rubric.criteria:
        module = modules.get(one.key)
        basis = "missing" if module is None else "computed" if module.criterion.find else "asked"
        rows.append((one.group, one.key, one.points, basis, module.criterion.question if module else ""))
    spare = sorted(set(modules) - {one.key for one in rubric.criteria})
    if as_json:
        names = ("group", "criterion", "points", "basis", "question")
        found = [dict(zip(names, (g, k, p / 10, b, q), strict=True)) for g, k, p, b, q in rows]
        common.data({"rubric": rubric.hash, "criteria": found, "not_in_rubric": spare})
        return
    if weights:
        _weights(season)
        return
    common.table(
        ("group", "criterion", "points", "answer", "question"),
        [(g, k, tenths.show_points(p), b, common.shorten(q, 62)) for g, k, p, b, q in rows],
        right="points",
    )
    common.say()
    common.say(f"{rubric.name}, {tenths.show_points(rubric.total)} points, rubric {rubric.hash[:12]}.")
    if spare:
        common.say(f"Installed but not in the rubric: {', '.join(spare)}.")


def _weights(season: Any) -> None:
    from fractions import Fraction

    from rating import tenths
    from rating.rubric.rubric import shares

    rubric = season.rubric
    rows = []
    for group, points in shares(rubric).items():
        inside = ", ".join(
            f"{one.key} {tenths.show_points(one.points)}" for one in rubric.criteria if one.group == group
        )
        share = tenths.half_up(Fraction(points * 1000, rubric.total))
        rows.append((group, tenths.show_points(points), f"{tenths.show(share)} %", inside))
    common.table(("group", "points", "share", "criteria"), rows, right="points|share")
    common.say()
    most = max(shares(rubric).items(), key=lambda one: one[1])
    common.say(f"{rubric.groups[most[0]]} weighs most. The same people count in several criteria.")


@app.command("show")
def show(
    key: Annotated[str, typer.Argument(metavar="CRITERION", help="The criterion's key, such as outlay.")],
    as_json: common.AsJson = False,
) -> None:
    """One criterion: its question, what the scores look like, and its usual value scale.

    Example: boxwright criteria show outlay
    """
    from rating import registry

    modules, _ = registry.find_modules()
    common.hold_to(sorted(modules), key, "criterion")
    module = modules[key]
    if as_json:
        common.data(_as_json(module))
    else:
        _show(module)


def _show(module: Module) -> None:
    from rating.criterion import GUIDE

    one = module.criterion
    common.heading(f"{one.key} ({one.group})")
    common.paragraph(one.question)
    common.say()
    for score, words in zip(GUIDE, one.guidance, strict=True):
        common.say(f"{score:>4}  {words}")
    common.say()
    if one.scale is None:
        until = f"; provisional until the release is {one.provisional_until}" if one.provisional_until else ""
        common.say(f"You are asked; a score is usually good to {one.spread} points either way{until}.")
    else:
        common.say(f"Computed from {', '.join(one.needs)}; {one.scale.better} is best. Its usual scale:")
        common.say()
        posts = ", ".join(f"[{measure}, {score}]" for measure, score in one.scale.points)
        common.say(f"[criteria.{one.key}.scale]")
        common.say(f'kind = "{one.scale.kind}"')
        common.say(f'unit = "{one.scale.unit}"')
        common.say(f"points = [{posts}]")
    common.say()
    common.say(f"{module.name}, code {module.code_hash[:12]}")


def _as_json(module: Module) -> dict[str, Any]:
    from rating.criterion import GUIDE

    one = module.criterion
    return {
        "criterion": one.key,
        "group": one.group,
        "question": one.question,
        "guidance": {str(score): words for score, words in zip(GUIDE, one.guidance, strict=True)},
        "needs": list(one.needs),
        "scale": one.scale.as_plain() if one.scale else None,
        "spread": one.spread,
        "provisional_until": one.provisional_until or None,
        "module": module.name,
        "module_hash": module.code_hash,
    }


@app.command("test")
def try_out(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The module, a Python file.")],
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Run the contract against a module: it loads, answers for every release, twice alike, with a reason.

    Example: boxwright criteria test my_criterion.py
    """
    from rating import contract, registry
    from rating.errors import RatingError

    module = registry.load_file(file)
    facts = []
    try:
        season = common.opened(season_folder, today)
        facts = [season.facts(slug) for slug in season.slugs]
    except RatingError as fault:
        common.remark(f"no season to try it on: {fault.what}")
    found = contract.run(module, facts)
    if as_json:
        common.data({"criterion": module.criterion.key, "passed": found.passed, "failed": found.failed})
    else:
        for line in found.passed:
            common.say(f"kept:   {line}")
        for line in found.failed:
            common.say(f"broken: {line}")
        common.say()
        common.say(f"{module.criterion.key}: {len(found.passed)} kept, {len(found.failed)} broken.")
    if found.failed:
        raise typer.Exit(1)
