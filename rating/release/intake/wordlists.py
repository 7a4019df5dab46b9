"""The lists of words that are data: words/NAME.toml beside the readers, read once."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Any


@cache
def load(name: str) -> dict[str, Any]:
    """A file as it stands."""
    path = resources.files("rating.release.intake").joinpath("words", f"{name}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))
