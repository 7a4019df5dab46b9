"""Names of several words found in a title: the longest first, each word used once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

# which of two names of the same words is meant
_ORDER = {"line": 0, "person": 1, "parallel": 2, "subset": 2, "team": 3}


class Span(NamedTuple):
    """A name in a title: what kind of name, its words from and up to, and what it names."""

    kind: str
    start: int
    end: int
    what: frozenset[str]


class Phrases:
    """Names by their first word. `spelled` turns a title's word into the spelling in which they are kept."""

    def __init__(self, spelled: Callable[[str], str] = str) -> None:
        self._spelled = spelled
        self._by_first: dict[str, dict[tuple[str, ...], dict[str, set[str]]]] = {}
        self._lengths: dict[str, list[int]] = {}

    def add(self, words: Sequence[str], kind: str, what: str) -> None:
        """Add a name of these words."""
        if words:
            found = self._by_first.setdefault(words[0], {}).setdefault(tuple(words), {})
            found.setdefault(kind, set()).add(what)
            lengths = self._lengths.setdefault(words[0], [])
            if len(words) not in lengths:
                lengths.append(len(words))

    def find(self, tokens: Sequence[str]) -> list[Span]:
        """Every name that stands in the words, whether others stand in the same words or not."""
        spelled = [self._spelled(word) for word in tokens]
        found = []
        for place, word in enumerate(spelled):
            for length in self._lengths.get(word, ()):
                if place + length > len(spelled):
                    continue
                there = self._by_first[word].get(tuple(spelled[place : place + length]))
                for kind, what in (there or {}).items():
                    found.append(Span(kind, place, place + length, frozenset(what)))
        return found


def chosen(spans: Sequence[Span]) -> list[Span]:
    """The names that a title is taken for: longer ones first, no word twice."""
    taken: set[int] = set()
    found: list[Span] = []
    for one in sorted(spans, key=lambda span: (span.start - span.end, _ORDER[span.kind], span.start)):
        places = range(one.start, one.end)
        same = [other for other in found if (other.start, other.end) == (one.start, one.end)]
        if not taken.intersection(places):
            taken.update(places)
            found.append(one)
        elif same and _ORDER[one.kind] == _ORDER[same[0].kind]:
            found.append(one)
    return sorted(found, key=lambda span: span.start)
