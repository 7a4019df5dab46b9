"""What a host would say of completing the base set."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts import economics
from rating.facts.completing.value import Completing, FormatCompleting, SetCost
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def told(completing: Completing, facts: Kept) -> str:
    """The headline format's set: how long, what one box has, and the cheapest way over all formats."""
    found = completing.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    words = _waits(found)
    cost = found.best_boxes_then_singles
    costs = completing.costs
    if not costs:
        return f"{words} What that costs is not known: {cost.why if isinstance(cost, Unknown) else ''}."
    return f"{words} {_cheapest(costs, facts)}"


def _waits(found: FormatCompleting) -> str:
    packs, boxes, first = found.packs, found.independent.boxes, found.independent.after[0]
    words = (
        f"{found.cards} base cards, {tenths.fixed(found.base_per_pack, 1)} a pack: if packs are filled at "
        f"random, the set takes {text.count(tenths.half_up(Fraction(packs.mean)), 'pack')} on average "
        f"({_boxes(boxes.mean)}), at most {packs.q90} nine times in ten"
    )
    if found.no_duplicates is not None:
        words += f"; if no box holds a base card twice, {_boxes(found.no_duplicates.boxes.mean)}"
    swaps = text.count(tenths.half_up(Fraction(first.duplicates)), "duplicate")
    return f"{words}. One box gives you {tenths.fixed(first.distinct, 0)} of them and {swaps}."


def _cheapest(costs: Mapping[str, SetCost], facts: Kept) -> str:
    """The cheapest of boxes and singles over all formats, and what opening until it is complete costs."""
    key = min(costs, key=lambda one: costs[one].cost)
    best, currency = costs[key], facts.rules.currency
    known = facts.of(economics.SECTION)
    names = {} if isinstance(known, Unknown) else {one: known.formats[one].name for one in known.formats}

    def shown(amount: Decimal) -> str:
        return money.told(amount, currency)

    single = f"{shown(best.single)} each" if not best.postage else f"{shown(best.single - best.postage)} each"
    posted = f" and {shown(best.postage)} postage for all" if best.postage else ""
    if best.boxes:
        name = names.get(key, key)
        way = f"{text.count(best.boxes, f'{name} box', f'{name} boxes')}, then singles at {single}{posted}"
    else:
        way = f"no box at all but singles at {single}{posted}"
    done = costs.get(facts.headline, best)
    which = names.get(facts.headline, facts.headline) if facts.headline in costs else names.get(key, key)
    return (
        f"The cheapest way by boxes and singles is {way}: {shown(best.cost)} in all, against "
        f"{shown(done.until_done)} for {which} boxes until the set is complete."
    )


def _boxes(number: Decimal) -> str:
    return text.count(tenths.half_up(Fraction(number)), "box", "boxes")
