"""How sure the shares of slots are, by what is uncertain in the prices.

What sets all prices alike cancels in a share. What is left is mostly who is on a card: each subject's effect
has its own standard error, and those never sold lie as far apart as subjects do; a card with sales of its own
is off by itself.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rating import text
from rating.facts.breaks.weighing import Floats, Weighed
from rating.facts.values.value import Valuation

# nine of ten
_NINETY = 1.645
# of the median of three sales, against a single one
_OF_MEDIAN = 1.253 / math.sqrt(3)


@dataclass(frozen=True, slots=True)
class _Doubt:
    """How far off logarithms of prices are: of each card, of the subjects sold, and of those never sold.

    `unsold` is None where subjects are not told apart.
    """

    basis: Sequence[str]
    spread: Floats
    known: Mapping[str, float]
    unsold: float | None

    def sources(self, card: int, names: Sequence[str]) -> list[tuple[object, float]]:
        """What the error of a card hangs on, a subject or the card by itself, with how far off that is."""
        if self.basis[card] == "sold" or not names:
            return [(card, self.spread[card] * _OF_MEDIAN)]
        if self.unsold is None:
            return [(name, self.spread[card]) for name in names]
        return [(name, self.known.get(name, self.unsold)) for name in names]


def share_limits(worth: Valuation, weighed: Weighed) -> tuple[Floats, Floats]:
    """Nine-in-ten limits of each slot's share of the value."""
    held, sizes = _by_source(_doubt(worth), weighed)
    variance = np.zeros(len(weighed.value))
    whole = 0.0
    for source, own in held.items():
        for slot, value in own.items():
            variance[slot] += (value * sizes[source]) ** 2
        whole += (sum(own.values()) * sizes[source]) ** 2
    total = weighed.value.sum()
    share = weighed.value / total
    off = np.sqrt((1 - share) ** 2 * variance + share**2 * np.maximum(0.0, whole - variance)) / total
    return np.maximum(0.0, share - _NINETY * off), np.minimum(1.0, share + _NINETY * off)


def _doubt(worth: Valuation) -> _Doubt:
    low = np.array([one for line in worth.lines for one in line.low])
    high = np.array([one for line in worth.lines for one in line.high])
    effects = np.array([float(one.value) for one in worth.subjects])
    errors = np.array([float(one.error) for one in worth.subjects])
    return _Doubt(
        basis=[one for line in worth.lines for one in line.basis],
        spread=np.log(np.maximum(high, 1e-9) / np.maximum(low, 1e-9)) / (2 * _NINETY),
        known={text.key(one.subject): float(one.error) for one in worth.subjects},
        unsold=math.sqrt(float(np.mean(effects**2) + np.mean(errors**2))) if len(effects) else None,
    )


def _by_source(doubt: _Doubt, weighed: Weighed) -> tuple[dict[object, dict[int, float]], dict[object, float]]:
    """The value that hangs on each source of error, by slot, and how far off each source is.

    What is bulk is worth the floor, whatever prices do.
    """
    split, amount = weighed.split, weighed.copies * weighed.each
    held: dict[object, dict[int, float]] = {}
    sizes: dict[object, float] = {}
    for card, slot, part in zip(split.card.tolist(), split.slot.tolist(), split.share.tolist(), strict=True):
        value = part * amount[card]
        if not value or doubt.basis[card] == "bulk":
            continue
        sources = doubt.sources(card, [text.key(name) for name in split.cards[card].subjects])
        for source, size in sources:
            sizes[source] = size
            own = held.setdefault(source, {})
            own[slot] = own.get(slot, 0.0) + value / len(sources)
    return held, sizes
