"""Cards that cannot be of the subset they stand under: a heading was missed, or its name has a slip."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from rating.release.intake.drafts import Draft

_LEAST = 3  # cards of a stretch, letters of a name
_DIGITS = re.compile(r"\d")
_NUMBER = re.compile(r"(?P<prefix>.*?)[-–\s.]*(?P<tail>\d{1,4})[a-z]?\Z")


def astray(drafts: Sequence[Draft]) -> Iterator[list[Draft]]:
    """The stretches whose numbers begin anew at 1 under a subset that has other numbers already.

    They have other letters before the number, or numbers that other persons have already. Cards that share
    numbers and persons with others are parallels, and a variation says so.
    """
    under: dict[tuple[str, int], list[Draft]] = {}
    for draft in drafts:
        under.setdefault((draft.key, id(draft.account)), []).append(draft)
    for those in under.values():
        known: dict[str, set[tuple[str, ...]]] = {}
        for place, stretch in enumerate(_stretches(those)):
            is_other = len(stretch) >= _LEAST and not any(
                tuple(draft.subjects) in known.get(draft.number, ()) or draft.variation for draft in stretch
            )
            if place and is_other:
                yield stretch
                continue
            for draft in stretch:
                known.setdefault(draft.number, set()).add(tuple(draft.subjects))


def slips(drafts: Sequence[Draft]) -> Iterator[tuple[Draft, Draft]]:
    """The cards alone in a subset whose name is a letter off that of a neighbour, each with the neighbour.

    Where numbers in the names differ, they are two subsets.
    """
    from rapidfuzz.distance import Levenshtein

    sizes = Counter(draft.key for draft in drafts)
    for place, draft in enumerate(drafts):
        if sizes[draft.key] > 1:
            continue
        for other in (*drafts[max(place - 1, 0) : place], *drafts[place + 1 : place + 2]):
            is_beside = other.account is draft.account and sizes[other.key] >= _LEAST
            digits = _DIGITS.findall(other.section)
            if (
                is_beside
                and len(other.section) >= _LEAST
                and Levenshtein.distance(draft.section.casefold(), other.section.casefold()) == 1
                and not (digits and digits != _DIGITS.findall(draft.section))
            ):
                yield draft, other
                break


def _stretches(drafts: Sequence[Draft]) -> Iterator[list[Draft]]:
    """The cards of a subset, parted where numbers begin anew at 1."""
    stretch: list[Draft] = []
    before = ("", 0)
    for draft in drafts:
        found = _NUMBER.match(draft.number)
        this = (found["prefix"].upper(), int(found["tail"])) if found else ("", -1)
        if stretch and this[1] == 1 and before != this:
            yield stretch
            stretch = []
        stretch.append(draft)
        before = this if found else before
    if stretch:
        yield stretch
