"""Running the contract of criterion modules against one module, on the facts of real releases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rating.criterion import Finding, NotApplicable
from rating.facts import sections
from rating.facts.facts import Facts
from rating.facts.plain import Unknown
from rating.registry import Module


@dataclass(frozen=True, slots=True)
class Report:
    """Promises that a module kept and broke, in words."""

    passed: list[str]
    failed: list[str]


def run(module: Module, facts: Sequence[Facts]) -> Report:
    """Hold a module to its contract: pure, never raising, answering for releases of which little is known."""
    criterion = module.criterion
    passed = [
        f"it loads, for api {criterion.api}, as {criterion.key} in the group {criterion.group}",
        "it asks one question and says what 0, 25, 50, 75 and 100 look like",
    ]
    failed: list[str] = []
    if criterion.find is None:
        passed.append("it asks a person and computes nothing")
        return Report(passed, failed)
    for given in facts:
        failed += [f"{given.release}: {what}" for what in _answers(module, given)]
    if facts and not failed:
        passed.append(f"it answers for {len(facts)} releases, twice alike, with a reason and a measure")
    dark = Unknown("not known yet")
    bare = [
        given.replaced(**{one.key: dark})
        for given in facts[:3]
        for one in sections.SECTIONS
        if not one.is_handed_in
    ]
    blind = [what for given in bare for what in _answers(module, given)]
    failed += [f"with a section unknown: {what}" for what in dict.fromkeys(blind)]
    if bare and not blind:
        passed.append("it says unknown, and does not fail, where a section of the facts is unknown")
    return Report(passed, failed)


def _answers(module: Module, facts: Facts) -> list[str]:
    first, problem = module.ask_of(facts)
    if problem is not None:
        return [problem.what.removesuffix("; it was put back")]
    second, _ = module.ask_of(facts)
    broken = [] if first == second else ["it does not give the same answer twice"]
    if isinstance(first, Unknown | NotApplicable) and not first.why.strip():
        broken.append("it does not say why there is no score")
    if isinstance(first, Finding):
        scale = module.criterion.scale
        if first.kept is not None and scale is not None and not 0 <= scale.place(first.kept).score <= 100:
            broken.append("its score leaves 0 to 100")
        if not first.reason.rstrip().endswith((".", "!", "?")):
            broken.append("its reason is not a sentence: it ends without a full stop")
    return broken
