"""How many cards of one kind fall together, as values: numbers of draws, without arrays.

`sums` adds up what such draws bring, and a look-up need load no arrays to say how many there are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

WITHOUT_REPLACEMENT = "without replacement"


@dataclass(frozen=True, slots=True)
class Counts:
    """A number of draws by the chances of 0, 1, 2 … of them, which sum to 1."""

    chances: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Different:
    """So many packs of `sure` cards, or of one more with the chance `more`; no pack holds a card twice.

    Of fewer different cards than a pack has room for, each is in it as often as any other, but for one.
    """

    packs: int
    sure: int
    more: float

    @property
    def sizes(self) -> tuple[tuple[int, float], ...]:
        """How many cards a pack can hold, and the chance of each number."""
        both = ((self.sure, 1 - self.more), (self.sure + 1, self.more))
        return tuple((size, chance) for size, chance in both if chance > 0)


Draws = int | tuple[str, float] | tuple[str, int, float] | Counts | Different


def spread_of(size: int, cards: int) -> float:
    """So many times the variance of one card is that of a pack of `size`, drawn from different cards.

    Whole sets of the cards add nothing; of what is over, r of n cards, r (n - r) / (n - 1) is left
    (hypergeometric).
    """
    over = size % cards
    return over * (cards - over) / (cards - 1) if over else 0.0


def lost_spread(draws: Different, cards: int) -> float:
    """So many times the variance of one card is taken off, since no pack holds a card twice."""
    return draws.packs * math.fsum(chance * (size - spread_of(size, cards)) for size, chance in draws.sizes)


def none_of(size: int, wanted: float, cards: int) -> float:
    """Chance that a pack of `size` different ones of `cards` holds none of those wanted.

    Between whole numbers a last card is wanted in part: each copy of it with that chance.
    """
    whole = math.floor(wanted)

    def none(held: int) -> float:
        if held + size > cards and held:
            return 0.0
        return math.prod((cards - held - i) / (cards - i) for i in range(min(size, cards)))

    part = wanted - whole
    return (1 - part) * none(whole) + (part * none(whole + 1) if part else 0.0)
