"""Finding a person by name as people type it: without accents, in another order, in part, or misspelt."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

# letters that do not come apart into a plain one and an accent
_PLAIN = str.maketrans(
    {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"}
)
# how alike a misspelt name must be to be offered, and to be taken without asking, of 100
_OFFERED, _TAKEN = 70, 76
# and by how much the next one must be behind
_CLEAR = 8
_MOST_OFFERED = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Who is meant: every spelling of one person; or, where that is not clear, those who may be.

    `is_near` says that the name was misspelt, or written in part.
    """

    names: tuple[str, ...] = ()
    candidates: tuple[str, ...] = ()
    is_near: bool = False


@cache
def words(name: str) -> tuple[str, ...]:
    """The words of a name as they are compared: no accents, capitals, points or hyphens, in sorted order."""
    apart = unicodedata.normalize("NFKD", name.casefold()).translate(_PLAIN)
    bare = "".join(mark for mark in apart if not unicodedata.combining(mark) and mark not in "'’`.")
    return tuple(sorted("".join(mark if mark.isalnum() else " " for mark in bare).split()))


def look_up(name: str, names: Iterable[str]) -> Match:
    """Who of some people is meant by a name as somebody typed it.

    First the whole name in any order, then a part of it that fits one person only, then what is spelt nearly
    so. Where several people fit, all of them are candidates.
    """
    people: dict[tuple[str, ...], list[str]] = {}
    for one in dict.fromkeys(names):
        people.setdefault(words(one), []).append(one)
    asked = words(name)
    if not asked:
        return Match()
    if asked in people:
        return Match(names=tuple(people[asked]))
    wholly = [person for person in people if set(asked) <= set(person)]
    partly = wholly or [person for person in people if _begins(asked, person)]
    if len(partly) == 1:
        return Match(names=tuple(people[partly[0]]), is_near=True)
    if partly:
        return Match(candidates=tuple(people[person][0] for person in partly[:_MOST_OFFERED]), is_near=True)
    near = _nearest(asked, people)
    if not near:
        return Match()
    (best, first), *others = near
    if best >= _TAKEN and (not others or best - others[0][0] >= _CLEAR):
        return Match(names=tuple(people[first]), is_near=True)
    return Match(candidates=tuple(people[person][0] for _, person in near[:_MOST_OFFERED]), is_near=True)


def _begins(asked: tuple[str, ...], person: tuple[str, ...]) -> bool:
    return all(any(word.startswith(part) for word in person) for part in asked)


def _nearest(
    asked: tuple[str, ...], people: Iterable[tuple[str, ...]]
) -> list[tuple[float, tuple[str, ...]]]:
    """People whose names are spelt nearly so, the most alike first."""
    from rapidfuzz import fuzz  # only a misspelling needs it

    whole = "".join(asked)
    found = []
    for person in people:
        by_words = sum(max((fuzz.ratio(part, word) for word in person), default=0) for part in asked)
        alike = max(by_words / len(asked), fuzz.ratio(whole, "".join(person)))
        if alike >= _OFFERED:
            found.append((alike, person))
    return sorted(found, key=lambda one: (-one[0], one[1]))
