"""The frozen values of the section on economics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from rating import text

# what is paid on any day after the release
PAID = ("street", "restock")
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


class Order(NamedTuple):
    """What some boxes cost before shipping, duty and tax, and of how many cases and boxes that is made."""

    price: Fraction
    cases: int
    boxes: int


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

    @property
    def a_case(self) -> Decimal | None:
        """The last price of a case where it can stand beside that of a box: of its kind, or what is paid.

        A maker's price from before the release is not what a case costs when boxes go for a street price.
        """
        fits = self.box_price is None or self.case_kind in {self.price_kind, *PAID}
        return self.case_price if fits else None

    def of_boxes(self, boxes: int) -> Order | None:
        """The cheapest way to so many boxes or more, of cases and single boxes; None where nothing is priced.

        The one rule for what a case costs too: that of as many boxes.
        """
        size, case = self.boxes_per_case, self.a_case
        most = -(-boxes // size) if size and case is not None else 0
        found = []
        for cases in range(most + 1):
            alone = max(0, boxes - cases * (size or 0))
            if not alone or self.box_price is not None:
                price = Fraction(case or 0) * cases + Fraction(self.box_price or 0) * alone
                found.append((price, cases, alone))
        if not found:
            return None
        price, cases, alone = min(found)
        return Order(price=price, cases=cases, boxes=alone)

    def named(self, order: Order) -> str:
        """What an order is made of, with the kind and day of each price: '10 boxes at the street price'."""
        parts = []
        if order.cases:
            day = max((one.day for one in self.prices if one.unit == "case"), default=None)
            parts.append(_priced(order.cases, "case", "cases", self.case_kind, day))
        if order.boxes:
            parts.append(_priced(order.boxes, "box", "boxes", self.price_kind, self.price_day))
        return " and ".join(parts)


def _priced(count: int, one: str, several: str, kind: str, day: date | None) -> str:
    when = f" on {day.isoformat()}" if day else ""
    return f"{text.count(count, one, several)} at the {kind} price{when}"


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
