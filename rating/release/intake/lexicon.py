"""The word lists beside the code, which are data: words/NAME.toml, read once."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

from rating.release.intake.words import fold


@cache
def table(name: str) -> Mapping[str, Mapping[str, Any]]:
    """The tables of a word list."""
    path = resources.files("rating.release.intake").joinpath("words", f"{name}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


@cache
def listed(name: str, group: str, key: str) -> frozenset[str]:
    """The words of one list, folded as they are compared."""
    return frozenset(fold(word) for word in table(name)[group][key])


@cache
def meaning(name: str, group: str) -> Mapping[str, str]:
    """What each word of a group stands for: the key of the list that it stands in."""
    return {fold(word): key for key, words in table(name)[group].items() for word in words}


@cache
def numbers(name: str, group: str) -> Mapping[str, int]:
    """The number that each word of a group says."""
    return {fold(word): int(number) for word, number in table(name)[group].items()}
