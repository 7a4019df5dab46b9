"""Odds that were parted at the comma in their thousands, whole again: '1:1' and '407' are '1:1,407'."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

_BEGUN = re.compile(r"\b(?:1\s?[:/]|(?:1|one)\s+in(?:\s+every)?\s)\s?\d{1,3}\Z", re.IGNORECASE)
_ENDED = re.compile(r"\d{3}(?!\d)")


def goes_on(before: str, after: str) -> bool:
    """Whether odds that end a text go on in the next, behind the comma that parted them."""
    return _BEGUN.search(before[-24:]) is not None and _ENDED.match(after) is not None


def joined(cells: Sequence[str]) -> tuple[str, ...]:
    """The cells of a line, odds in thousands as one."""
    found = list(cells[:1])
    for cell in cells[1:]:
        if goes_on(found[-1], cell):
            found[-1] += f",{cell}"
        else:
            found.append(cell)
    return tuple(found)


def in_step(rows: Sequence[Sequence[str]]) -> dict[int, tuple[str, ...]]:
    """The rows of a table that are as wide as most once their odds are whole, by their places."""
    widths = Counter(len(row) for row in rows if len(row) > 1)
    usual = widths.most_common(1)[0][0] if widths else 0
    wider = {place: joined(row) for place, row in enumerate(rows) if len(row) > usual > 1}
    return {place: cells for place, cells in wider.items() if len(cells) == usual}
