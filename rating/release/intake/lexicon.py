"""Word lists by group, folded as words are compared: what each word of a list means."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from rating.release.intake.wordlists import load
from rating.release.intake.words import fold


@cache
def listed(name: str, group: str, key: str) -> frozenset[str]:
    """The words of one list, folded as they are compared."""
    return frozenset(fold(word) for word in load(name)[group][key])


def says(line: str, name: str, group: str, key: str) -> bool:
    """Whether a line has one of the words of a list in it."""
    folded = fold(line)
    return any(re.search(rf"(?<!\w){re.escape(word)}(?!\w)", folded) for word in listed(name, group, key))


@cache
def meaning(name: str, group: str) -> Mapping[str, str]:
    """What each word of a group stands for: the key of the list that it stands in."""
    return {fold(word): key for key, words in load(name)[group].items() for word in words}


@cache
def numbers(name: str, group: str) -> Mapping[str, int]:
    """The number that each word of a group says."""
    return {fold(word): int(number) for word, number in load(name)[group].items()}
