"""What some packs or boxes hold of a set of cards, as a value, and the models it can go by."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from rating import tenths

INDEPENDENT = "if packs are filled at random"
AVERAGE = "a box may hold more or fewer of what is promised only on average, or none"
SPREAD = "if promised cards are in different packs"
# the chance told of what is all but certain
ALMOST = Decimal("0.999999")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What some packs or boxes hold of a set of cards: expected copies, chance of none, and the model."""

    expected: float
    none: float
    model: str

    @property
    def at_least_one(self) -> float:
        """Chance of one copy or more."""
        return 1 - self.none

    @property
    def p(self) -> Decimal:
        """Chance of one copy or more in six digits; 1 only where it is certain."""
        return ALMOST if 0 < self.none < 1e-6 else tenths.six_digits(self.at_least_one)
