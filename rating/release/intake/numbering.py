"""Numbers that a subset lacks: cards that a list should have and that were not read."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rating import text

_NUMBER = re.compile(r"(?P<prefix>.*?)(?P<tail>\d{1,4})\Z")
_FEW = 20  # cards of a subset from which on one that lacks is an oversight and no way of numbering
_SHARE = 20  # of so many cards one may lack


def lacking(numbers: Sequence[str]) -> list[str]:
    """The numbers that stand between the first and the last of some cards and that none of them has.

    Only where nearly all run on: the same letters before them, and few that lack.
    """
    hits = [hit for number in numbers if (hit := _NUMBER.match(number))]
    prefixes = {hit["prefix"] for hit in hits}
    if len(hits) < len(numbers) or len(prefixes) != 1:
        return []
    have = {int(hit["tail"]) for hit in hits}
    gone = sorted(set(range(min(have), max(have) + 1)) - have)
    if len(gone) * _SHARE > len(have):
        return []
    width = min(len(hit["tail"]) for hit in hits)
    return [f"{prefix}{number:0{width}d}" for prefix in prefixes for number in gone]


def told(name: str, numbers: Sequence[str], stated: int | None) -> str:
    """What a subset's numbers and the count that its list states say against what was read; '' for nothing.

    Parameters
    ----------
    numbers : of the cards read, in their order
    stated : how many cards the list says there are, None where it says nothing
    """
    gone = lacking(numbers)
    gap = f"no card has the number {text.listed(gone, 'or')}" if gone else ""
    if stated is not None and stated != len(numbers):
        told = f"{name}: the list says {text.count(stated, 'card')}, {len(numbers):,} were found"
        return f"{told}; {gap}" if gap else told
    return f"{name}: {gap}" if gap and stated is None and len(numbers) >= _FEW else ""
