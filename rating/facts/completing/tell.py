"""What a host would say of completing the base set."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts.completing.value import Completing, SetCost
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def told(completing: Completing, facts: Kept) -> str:
    """The headline format's set: how long, what one box has, and the cheapest way."""
    found = completing.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    packs, boxes, first = found.packs, found.independent.boxes, found.independent.after[0]
    words = (
        f"{found.cards} base cards at {tenths.fixed(found.base_per_pack, 1)} a pack: if packs know nothing "
        f"of each other, the set takes {tenths.fixed(packs.mean, 0)} packs on average "
        f"({_boxes(boxes.mean)}), at most {packs.q90} in nine of ten tries"
    )
    if found.no_duplicates is not None:
        words += f"; without a base card twice in a box it takes {_boxes(found.no_duplicates.boxes.mean)}"
    words += (
        f". After one box you have {tenths.fixed(first.distinct, 0)} of them and "
        f"{tenths.fixed(first.duplicates, 0)} to swap."
    )
    cost = found.best_boxes_then_singles
    if not isinstance(cost, SetCost):
        return f"{words} What that costs is not known: {cost.why}."
    if cost.boxes:
        way = f"{text.count(cost.boxes, 'box', 'boxes')}, then singles"
    else:
        way = "no box at all, but singles"
    return (
        f"{words} Cheapest is {way} at {money.show(cost.single)} each: {money.show(cost.cost)}, against "
        f"{money.show(cost.until_done)} for boxes until it is complete."
    )


def _boxes(number: Decimal) -> str:
    return text.count(tenths.half_up(Fraction(number)), "box", "boxes")
