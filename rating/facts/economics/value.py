"""The frozen values of the section on economics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

# how words of what was left out end where promises gave way to odds
BY_ODDS = ", so what is in a box is counted by the odds"


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedPrice:
    """One dated price and what follows from it; amounts in half-up cents, None where unknown."""

    day: date
    unit: str
    kind: str
    price: Decimal
    box: Decimal | None
    per_pack: Decimal | None
    per_card: Decimal | None
    per_hit: Decimal | None
    per_numbered: Decimal | None
    landed_box: Decimal | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatEconomics:
    """What one way to buy costs. Counts are per box; `box_price` is the price that the grade goes by.

    `case_price` is the last of a case, of whatever kind; a landed case is shipped once.
    """

    name: str
    cards_per_pack: Decimal | None
    packs_per_box: int | None
    boxes_per_case: int | None
    cards_per_box: Decimal | None
    autographs_per_box: Decimal | None
    relics_per_box: Decimal | None
    hits_per_box: Decimal | None
    numbered_per_box: Decimal | None
    counts_from: str
    box_price: Decimal | None
    price_kind: str
    price_day: date | None
    landed_box: Decimal | None
    per_pack: Decimal | None
    per_card: Decimal | None
    per_hit: Decimal | None
    per_numbered: Decimal | None
    list_price: Decimal | None
    street_price: Decimal | None
    case_price: Decimal | None
    case_discount: Decimal | None
    restocks: int
    sources: int
    prices: tuple[DatedPrice, ...]
    case_kind: str = ""
    landed_case: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Economics:
    """Prices of every format, the class the release falls in, and promises that do not fit each other."""

    headline: str
    formats: Mapping[str, FormatEconomics]
    price_class: str
    class_price: Decimal | None
    left_out: tuple[str, ...]

    @property
    def is_by_odds(self) -> bool:
        """Whether the maker's promises contradict its odds so often that the odds alone count."""
        return any(one.endswith(BY_ODDS) for one in self.left_out)

    @property
    def main(self) -> FormatEconomics:
        """The headline format."""
        return self.formats[self.headline]
