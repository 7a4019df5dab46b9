"""The frozen values of the section on history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from rating import tenths


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """An earlier edition of a line: what it listed for, the last street price seen, and its last grade."""

    season: str
    release: str
    title: str
    list_price: Decimal | None
    street_price: Decimal | None
    grade: int | None
    scores: Mapping[str, int]

    @property
    def held(self) -> Decimal | None:
        """The last street price over the list price, six digits; None where either is not known."""
        if not self.list_price or self.street_price is None:
            return None
        return tenths.six_digits(self.street_price / self.list_price)


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What earlier seasons know of a line, newest first; `since` is the year the maker says it began."""

    line: str
    since: int | None
    editions: tuple[Edition, ...]
