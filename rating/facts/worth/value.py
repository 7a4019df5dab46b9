"""The frozen values of what single cards are worth: thousands of numbers to compute with, told to nobody."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LineWorth:
    """What a seller keeps of each card of a line, in the order of the line's cards.

    worth
        the median of its own sales, moved to the day by what a week does, or the mean that is expected
    mean
        what a sale of each leaves on average, where that is not its worth: prices vary more above a median
        than below it, so that their mean is above it
    low, high
        nine of ten sales are expected to leave between these
    basis
        sold, modelled, carried over, or bulk where it is worth no more than the season's bulk floor
    """

    subset: str
    parallel: str
    worth: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    basis: tuple[str, ...]
    mean: tuple[float, ...] | None = None

    @property
    def expected(self) -> tuple[float, ...]:
        """What each leaves on average, for sums of many cards."""
        return self.worth if self.mean is None else self.mean


@dataclass(frozen=True, slots=True, kw_only=True)
class SubjectEffect:
    """What a subject does to the logarithm of a price against the others, shrunk, and from how many sales."""

    subject: str
    value: Decimal
    error: Decimal
    sales: int
