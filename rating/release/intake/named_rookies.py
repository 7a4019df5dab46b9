"""Rookies whom a paragraph of another document lists: 'First-year men: Ada Quill, Ben Moor and …'."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rating import text
from rating.release.intake import paragraphs, statements
from rating.release.intake.values import Row

# what says of somebody's first season that it is one
_CUE = re.compile(
    r"\brookies?\b|\b(?:first|1st)[\s-](?:year|season)s?\b|\bdebut|\bnewcomers?\b", re.IGNORECASE
)
_DENIED = re.compile(r"\b(?:no|not|never|nobody|without|last|former)\b", re.IGNORECASE)
_NAMES, _SHARE = 2, 0.4  # a list has so many names, and they are so much of its letters
_MOST = 5_000  # letters of a paragraph that is looked at


def named(rows: Iterable[Row], names: Iterable[str]) -> set[str]:
    """The persons, as compared, whom a list in a paragraph that speaks of rookies names."""
    known = sorted({name for name in names if len(name) > _NAMES}, key=len, reverse=True)
    if not known:
        return set()
    told = [one for one in paragraphs.running(rows) if len(one) <= _MOST and _CUE.search(one)]
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, known))})(?!\w)") if told else None
    found: set[str] = set()
    for paragraph in told if pattern else ():
        lists = [hits for one in statements.sentences(paragraph) if (hits := _listed(one, pattern))]
        if len(lists) == 1:  # of two lists one may be of others
            found.update(map(text.key, lists[0]))
    return found


def _listed(sentence: str, pattern: re.Pattern[str] | None) -> list[str]:
    """The names that a sentence lists and hardly says more."""
    hits = pattern.findall(sentence) if pattern else []
    is_list = len(set(hits)) >= _NAMES and sum(map(len, hits)) >= _SHARE * len(sentence)
    return hits if is_list and not _DENIED.search(sentence) else []
