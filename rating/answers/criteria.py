"""The answers of `criteria`: the rubric's questions, one of them in full, a module held to its contract."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rating.contract import Report
from rating.criterion import GUIDE
from rating.registry import Module
from rating.rubric.rubric import Rubric, WeightedCriterion


def listed(rubric: Rubric, modules: Mapping[str, Module]) -> dict[str, Any]:
    """The criteria of a rubric with their points and how they are answered, and what is not in it."""
    return {
        "rubric": rubric.hash,
        "criteria": [_listed(one, modules.get(one.key)) for one in rubric.criteria],
        "not_in_rubric": sorted(set(modules) - {one.key for one in rubric.criteria}),
    }


def how(module: Module | None) -> str:
    """How a criterion is answered: computed or asked, or missing where no module of its name is installed."""
    return "missing" if module is None else "computed" if module.criterion.find else "asked"


def _listed(one: WeightedCriterion, module: Module | None) -> dict[str, Any]:
    return {
        "group": one.group,
        "criterion": one.key,
        "points": one.points / 10,
        "basis": how(module),
        "question": module.criterion.question if module else "",
    }


def shown(module: Module) -> dict[str, Any]:
    """One criterion: its question, what scores look like, and its usual value scale."""
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


def tried(key: str, found: Report) -> dict[str, Any]:
    """The promises that a module kept and broke."""
    return {"criterion": key, "passed": found.passed, "failed": found.failed}
