"""The answer of `explain`: what codes, words and files mean."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


def explained(found: Iterable[tuple[str, str, str, str]]) -> dict[str, Any]:
    """Codes, words and files: each with its kind, what it means, and an example."""
    names = ("name", "kind", "means", "example")
    return {"explained": [dict(zip(names, one, strict=True)) for one in found]}
