"""The frozen values of the section on history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from rating import tenths


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """An earlier edition of a line: its list price, street price at launch and at last, and last grade.

    `launch_price` is the first street price from the day it came out on.
    """

    season: str
    release: str
    title: str
    list_price: Decimal | None
    street_price: Decimal | None
    grade: int | None
    scores: Mapping[str, int]
    launch_price: Decimal | None = None

    @property
    def held(self) -> Decimal | None:
        """The last street price over that at launch, six digits; None where no later one is known."""
        if not self.launch_price or self.street_price is None:
            return None
        return tenths.six_digits(self.street_price / self.launch_price)


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What earlier seasons know of a line, newest first; `since` is the year the maker says it began."""

    line: str
    since: int | None
    editions: tuple[Edition, ...]
