"""The lists of words that are data: TOML files beside the readers."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources


@cache
def load(name: str) -> dict[str, list[str]]:
    """The lists of a file, by name."""
    path = resources.files("rating.release.intake").joinpath("words", f"{name}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))
