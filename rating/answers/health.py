"""The answer of `doctor`: what was looked at, and how it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from rating.season.health import Finding


def health(found: Sequence[Finding]) -> dict[str, Any]:
    """Each thing that was looked at; `fix` is null where nothing is to be done."""
    return {"findings": [asdict(one) | {"fix": one.fix or None} for one in found]}
