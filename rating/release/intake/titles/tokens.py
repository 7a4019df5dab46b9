"""Titles as words: every script's letters kept, one spelling for abbreviations."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from rating.release.intake import wordlists
from rating.release.intake.words import fold

_ASCII = re.compile(r"[a-z0-9?]+")
_DAMAGED = frozenset("\ufffd?")
_JOINED = frozenset("'\u2019\u02bc`\u00b4")


def _words(section: str, key: str = "words") -> frozenset[str]:
    return frozenset(wordlists.load("titles")[section][key].split())


SAME: dict[str, str] = {
    short: word for word, shorts in wordlists.load("titles")["same"].items() for short in shorts.split()
}
SIGNED = _words("kinds", "signed")
RELIC = _words("kinds", "relic")
OPTIONAL = _words("optional")
NOISE = _words("noise")
FINISHES = _words("finishes")


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """A word as titles' words are compared: one spelling for abbreviations, no plural."""
    if word in SAME:
        return SAME[word]
    if len(word) > 3 and word[-1] == "s" and word[-2] != "s":
        single = word[:-1]
        return SAME.get(single, single)
    return word


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name or title, without accents and apostrophes, parted at hyphens and other marks."""
    bare = fold(name)
    if bare.isascii():
        return tuple(_ASCII.findall(bare.replace("'", "").replace("`", "")))
    return tuple(
        "".join(
            mark if mark.isalnum() or mark in _DAMAGED or unicodedata.category(mark)[0] == "M" else " "
            for mark in bare
            if mark not in _JOINED
        ).split()
    )


def is_damaged(word: str) -> bool:
    """Whether letters of a word were lost."""
    return "\ufffd" in word or "?" in word


def is_like(word: str, other: str) -> bool:
    """Whether one word is the other with a letter damaged, left out, put in or changed."""
    from rapidfuzz.distance import OSA

    return word == other or (len(word) > 4 and OSA.distance(word, other, score_cutoff=1) <= 1)
