"""boxwright criteria show: one question, what its scores look like, its usual value scale."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import options, printing, refusing

if TYPE_CHECKING:
    from rating.registry import Module


def show(
    key: Annotated[str, typer.Argument(metavar="CRITERION", help="The criterion's key, such as outlay.")],
    as_json: options.AsJson = False,
) -> None:
    """One criterion: its question, what the scores look like, and its usual value scale.

    Example: boxwright criteria show outlay
    """
    from rating import registry
    from rating.answers import criteria as answers

    modules, _ = registry.find_modules()
    refusing.hold_to(sorted(modules), key, "criterion")
    module = modules[key]
    if as_json:
        printing.data(answers.shown(module))
    else:
        _show(module)


def _show(module: Module) -> None:
    from rating.criterion import GUIDE

    one = module.criterion
    printing.heading(f"{one.key} ({one.group})")
    printing.paragraph(one.question)
    printing.say()
    for score, words in zip(GUIDE, one.guidance, strict=True):
        printing.say(f"{score:>4}  {words}")
    printing.say()
    if one.scale is None:
        until = f"; provisional until the release is {one.provisional_until}" if one.provisional_until else ""
        printing.say(f"You are asked; a score is usually good to {one.spread} points either way{until}.")
    else:
        printing.say(f"Computed from {', '.join(one.needs)}; {one.scale.better} is best. Its usual scale:")
        printing.say()
        posts = ", ".join(f"[{measure}, {score}]" for measure, score in one.scale.points)
        printing.say(f"[criteria.{one.key}.scale]")
        printing.say(f'kind = "{one.scale.kind}"')
        printing.say(f'unit = "{one.scale.unit}"')
        printing.say(f"points = [{posts}]")
    printing.say()
    printing.say(f"{module.name}, code {module.code_hash[:12]}")
