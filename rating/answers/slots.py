"""The answer of `slots`: what each slot of a break holds, is worth and should cost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.facts.breaks.value import Break
from rating.facts.plain import as_json_values


def slots(found: Break, *, cautions: Sequence[str]) -> dict[str, Any]:
    """A break cut into slots; what a slot holds stands beside what it is worth."""
    plain = as_json_values(found)
    for one in plain["slots"]:
        one.update(one.pop("counts"))
    return {**plain, "cautions": list(cautions)}
