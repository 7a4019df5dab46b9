"""What a card costs as a single: one rule for commons and for all others, and postage that is shared.

Posted, a card costs the sale of which its seller keeps what it is worth; no card costs less than a common of
the release does. Singles bought together are posted once.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from rating import money, text
from rating.facts.context import SeasonContext, Selling
from rating.facts.falling.lines import CardLine
from rating.facts.plain import Unknown
from rating.release.market import Sale

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

# fewer sales of base cards than this say nothing of what one costs
FEWEST_SALES = 3
_CENT = Decimal("0.01")
# far above what floats err by, as a share of an amount
_HAIR = 1e-9
FROM_FLOOR = "as low as sellers go"


@dataclass(frozen=True, slots=True, kw_only=True)
class Common:
    """What one base card costs posted, the postage in that, and where it comes from."""

    single: Decimal
    postage: Decimal
    source: str


def single_price(value: Decimal | float, selling: Selling) -> Decimal:
    """What a card costs posted, of which a seller keeps its value: the sale that leaves so much, in cents."""
    kept = Fraction(value) + Fraction(selling.postage) + Fraction(selling.fixed)
    return money.cents(kept / (1 - Fraction(selling.fee)))


def single_prices(values: npt.NDArray[np.float64], selling: Selling) -> npt.NDArray[np.float64]:
    """As `single_price`, of (m,) values: the same cents, worked out exactly where floats may err."""
    import numpy as np

    kept = float(1 - Fraction(selling.fee))
    cents = 100 * (values + float(selling.postage + selling.fixed)) / kept
    found = np.floor(cents + 0.5)
    unsure = np.abs(cents + 0.5 - np.round(cents + 0.5)) <= _HAIR * np.maximum(cents, 1.0)
    for i in np.flatnonzero(unsure).tolist():
        found[i] = float(100 * single_price(float(values[i]), selling))
    return found / 100


def price_of_common(
    sales: Iterable[Sale] | None, lines: Sequence[CardLine], season: SeasonContext, *, as_of: date
) -> Common | Unknown:
    """What a base card costs as a single.

    The median of the base cards' own sales where there are at least three, raw ones in the season's currency
    up to a day; else the sale that leaves a seller the season's bulk floor.
    """
    subsets = {text.key(line.subset) for line in lines if line.is_base}
    selling = season.selling
    paid = [
        one.price + (selling.postage if one.postage is None else one.postage)
        for one in sales or ()
        if text.key(one.subset) in subsets
        and not one.parallel
        and one.condition != "slabbed"
        and one.currency in {"", season.currency}
        and one.day <= as_of
    ]
    if len(paid) >= FEWEST_SALES:
        single = money.cents(statistics.median(paid))
        return Common(
            single=single,
            postage=shared_postage(single, selling),
            source=f"the median of {len(paid)} sales of base cards",
        )
    if selling.bulk_floor:
        single = single_price(selling.bulk_floor, selling)
        return Common(single=single, postage=shared_postage(single, selling), source=FROM_FLOOR)
    return Unknown(
        "what a base card costs is not known: there are fewer than three sales of base cards, "
        "and season.toml has no bulk floor"
    )


def told_each(single: Decimal, postage: Decimal, shown: Callable[[Decimal], str], basis: str = "") -> str:
    """At what each of several singles goes, of which `single` is one posted and `postage` is paid once.

    Parameters
    ----------
    basis : what the price of one rests on, where that is to be said
    """
    each = single - postage
    if postage and not each:
        return "for no more than their postage"
    words = f"at {shown(each)} each{f', {basis},' if basis else ''}"
    if not postage:
        return words.removesuffix(",")
    return f"{words.removesuffix(',')}, plus {shown(postage)} postage in total"


def shared_postage(single: Decimal, selling: Selling) -> Decimal:
    """The postage in what a card costs posted: nobody sells the card itself below the season's bulk floor."""
    return max(Decimal(0), min(selling.postage, single - max(selling.bulk_floor, _CENT)))


def together(count: Fraction | int, single: Decimal, postage: Decimal, share: Fraction | int = 1) -> Fraction:
    """What so many singles cost that are posted once, with the chance that any is bought at all."""
    each = Fraction(single) - Fraction(postage)
    return max(Fraction(0), each) * count + Fraction(postage) * share
