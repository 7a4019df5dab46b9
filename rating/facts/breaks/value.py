"""A break as a value: its slots, what they hold, are worth and should cost, and what follows for a buyer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import TYPE_CHECKING

from rating.facts.plain import Unknown
from rating.numerics.shares import Concentration

if TYPE_CHECKING:
    import pandas as pd

PRICES, CONTENT = "prices", "content"


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakCost:
    """What the cases cost: the price, landed, and with the host's margin, in half-up cents.

    `made_of` names the cases and boxes that are bought, with the kind and day of their prices.
    """

    price: Decimal
    landed: Decimal
    total: Decimal
    made_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """Copies to expect in the cases, by kind; a copy can count in several."""

    base: Decimal
    rookies: Decimal
    inserts: Decimal
    autographs: Decimal
    relics: Decimal
    numbered: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """Different cards by kind; numbered are those with a print run in some version. A card can be several."""

    base: int
    rookies: int
    inserts: int
    autographs: int
    relics: int
    numbered: int
    subjects: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One slot.

    counts, expected
        cards of the checklist that it has a claim to, and copies to expect
    value
        the expected value of its cards in money, or without prices in points of content
    deviation
        the standard deviation of that value by the luck of the draw; None without prices
    share, share_low, share_high
        of the value of all slots, and nine-in-ten limits by what is uncertain in the prices; None without
    p_no_autograph, p_no_hit, p_only_base
        chances that it gets no autograph, no hit, and nothing but base cards
    cost_share, worth, limit
        its part of the cost; what its cards are expected to leave a seller; and the highest price that with
        shipping, duty and tax is no more than that, or without prices of cards than its part of the landed
        cost
    asked, landed, over
        what others ask for it, what that is with shipping, duty and tax as an order of its own, and by which
        share it lies above the limit; None where the limit is 0
    tier, tier_by_value, moved
        where it stands, where the breaks in the values put it, and the host's reason where they differ
    """

    slot: str
    counts: Counts
    expected: Expected
    value: Decimal
    deviation: Decimal | None
    share: float
    share_low: float | None
    share_high: float | None
    p_no_autograph: Decimal
    p_no_hit: Decimal
    p_only_base: Decimal
    cost_share: Decimal | None
    worth: Decimal | None
    limit: Decimal | None
    asked: Decimal | None = None
    landed: Decimal | None = None
    over: Decimal | None = None
    tier: str = ""
    tier_by_value: str = ""
    moved: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """In a random break: have one slot, take another for which others ask no more, and gain in worth."""

    have: str
    take: str
    gain: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomBreak:
    """A random break: a slot's price, that landed, and what one is worth on average.

    `at_least` is the share of slots that are worth what one costs landed, or more.
    """

    price: Decimal
    landed: Decimal
    worth: Decimal
    at_least: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """The slot for a buyer's aim within a budget; a blank slot is none, and `why` says why."""

    aim: str
    under: Decimal | None
    slot: str
    price: Decimal | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A break of so many cases, or boxes, of one format.

    basis
        prices, or content while no price is known
    resting_on
        of the value by prices, the shares that rest on sold, modelled, carried-over prices and on bulk
    kept
        the value of what stays with the host
    fit
        how much of the spread in the values the tiers explain, 0 to 1
    """

    release: str
    title: str
    product_format: str
    name: str
    by: str
    cases: int | None
    boxes: int
    boxes_per_case: int | None
    basis: str
    currency: str
    resting_on: Mapping[str, Decimal]
    cost: BreakCost | Unknown
    value: Decimal
    kept: Decimal
    slots: tuple[Slot, ...]
    fit: float
    concentration: Concentration
    remarks: tuple[str, ...]
    swaps: tuple[Swap, ...] = ()
    random: RandomBreak | None = None
    picks: tuple[Pick, ...] = ()
    at_least: tuple[str, ...] = ()

    def frame(self) -> pd.DataFrame:
        """The slots as a table, one a row: cards and expected copies by kind, values and chances."""
        import pandas as pd

        return pd.DataFrame([_row(slot) for slot in self.slots])


def _row(slot: Slot) -> dict[str, object]:
    row: dict[str, object] = {"slot": slot.slot}
    row |= {one.name: getattr(slot.counts, one.name) for one in fields(slot.counts)}
    row |= {f"expected_{one.name}": float(getattr(slot.expected, one.name)) for one in fields(slot.expected)}
    for one in fields(slot):
        value = getattr(slot, one.name)
        if one.name not in {"slot", "counts", "expected"}:
            row[one.name] = float(value) if isinstance(value, Decimal) else value
    return row
