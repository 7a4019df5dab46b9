"""The frozen values of the section on completing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from rating.facts.plain import Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How many packs or boxes something takes: on average, in half of all tries, and in nine of ten."""

    mean: Decimal
    q50: int
    q90: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAfter:
    """Different base cards and duplicates to expect after some boxes."""

    boxes: int
    distinct: Decimal
    duplicates: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetBoxes:
    """Completing a base set box by box, under one model of how boxes are filled.

    `duplicates` are those in hand when it is complete; after `nine_tenths` boxes nine of ten of its cards are
    there on average. `after` is one box, and one case where its size is known.
    """

    model: str
    boxes: Wait
    duplicates: Decimal
    nine_tenths: Decimal
    after: tuple[SetAfter, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetRow:
    """Open so many boxes and buy the rest as singles: cards missing on average, chance of none, and money."""

    boxes: int
    missing: Decimal
    complete: Decimal
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetCost:
    """What a complete base set costs, independent packs assumed; nothing is counted for a box's other cards.

    Boxes are landed in one order, and singles posted together. `single` is what one base card costs posted,
    of which `postage` is paid once, and `single_from` where that comes from. `rows` is one for each number of
    boxes from 0 up, `until_done` the cost of boxes until the set is complete, `complete_set`
    that of buying one, None without a price. `boxes` and `cost` are those of the best row.
    """

    box_price: Decimal
    price_kind: str
    single: Decimal
    single_from: str
    boxes: int
    cost: Decimal
    until_done: Decimal
    complete_set: Decimal | None
    cheapest: str
    rows: tuple[SetRow, ...]
    postage: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatCompleting:
    """Completing the base set from one format.

    `short_prints` are base cards that fall less often than the others. `no_duplicates` is the model of a box
    without a base card twice, None where it says the same as independent packs.
    """

    cards: int
    short_prints: int
    base_per_pack: Decimal
    packs: Wait
    independent: SetBoxes
    no_duplicates: SetBoxes | None
    best_boxes_then_singles: SetCost | Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Completing:
    """What it takes to complete the base set, by format."""

    formats: Mapping[str, FormatCompleting | Unknown]

    @property
    def costs(self) -> dict[str, SetCost]:
        """What the whole set costs by format; one that lacks a part of the set does not complete it."""
        known = {key: one for key, one in self.formats.items() if isinstance(one, FormatCompleting)}
        most = max((one.cards for one in known.values()), default=0)
        return {
            key: cost
            for key, one in known.items()
            if one.cards == most and isinstance(cost := one.best_boxes_then_singles, SetCost)
        }
