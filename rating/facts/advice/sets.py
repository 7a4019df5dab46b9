"""Advice for who completes the base set: the cheapest way, over all formats."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import partial

from rating import tenths, text
from rating.facts.advice.known import (
    BOX,
    CASE,
    COMPLETE_SET,
    SINGLES,
    Known,
    decided,
    entry,
    fixed,
)
from rating.facts.advice.value import NOT_KNOWN, NOTHING, AimAdvice
from rating.facts.completing.singles import FROM_FLOOR, together, told_each
from rating.facts.completing.value import Completing, FormatCompleting, SetCost, SetRow
from rating.facts.context import Buying
from rating.facts.economics.compute import landed_exactly
from rating.facts.economics.value import FormatEconomics
from rating.facts.plain import Unknown
from rating.numerics.offers import Offer, best

AIM = "set builder"
# nobody opens more boxes than this for a base set and then buys singles
_MOST_BOXES = 100


def set_builder(known: Known) -> AimAdvice:
    """The way of least expected cost, landed and posted; what else is in a box counts nothing."""
    if isinstance(known.content, Unknown):
        return entry(AIM, NOT_KNOWN, known.content.why)
    if not known.content.kinds.get("base"):
        return entry(AIM, NOTHING, "there is no base set to complete")
    if isinstance(known.completing, Unknown):
        return entry(AIM, NOT_KNOWN, known.completing.why)
    sets = {key: one for key, one in known.completing.formats.items() if isinstance(one, FormatCompleting)}
    most = max((one.cards for one in sets.values()), default=0)
    formats = [
        (key, packed, sets[key], cost)
        for key, packed in known.formats()
        if key in sets
        and sets[key].cards == most
        # a format that lacks a part of the set does not complete it
        and isinstance(cost := sets[key].best_boxes_then_singles, SetCost)
    ]
    if not formats:
        return entry(AIM, NOT_KNOWN, _no_set(known, known.completing))
    _, _, _, first = formats[0]
    singles = Offer(
        buy=SINGLES,
        cost=partial(fixed, together(most, first.single, first.postage)),
        what=f"{most} base cards as singles {_single(known, first, _basis(first))}",
    )
    offers = [singles]
    if first.complete_set is not None:
        offers.append(
            Offer(buy=COMPLETE_SET, cost=partial(fixed, Fraction(first.complete_set)), what="a complete set")
        )
    for key, packed, found, cost in formats:
        offers += _set_offers(known, key, packed, found, cost)
    chosen = best(offers) or singles
    return decided(AIM, offers, chosen, lambda _: _set_words(known, offers, chosen), (BOX, CASE))


def _basis(cost: SetCost) -> str:
    """What the price of a single rests on, where it is not sales."""
    return cost.single_from if cost.single_from == FROM_FLOOR else ""


def _boxes_and_singles(boxes: Fraction, singles: Fraction, buying: Buying, price: Decimal) -> Fraction:
    return landed_exactly(Fraction(price) * boxes, buying) + singles


def _single(known: Known, cost: SetCost, basis: str = "") -> str:
    """What a single costs among others, and their postage."""
    return told_each(cost.single, cost.postage, known.told, basis)


def _set_offers(
    known: Known, key: str, packed: FormatEconomics, found: FormatCompleting, cost: SetCost
) -> list[Offer]:
    """Boxes and then singles, boxes until it is done, and a case and then singles, as completing reckons."""

    def after(row: SetRow, of: str, name: str, price: Decimal | None, count: int) -> Offer:
        rest = Fraction(row.missing)
        left_over = text.count(tenths.half_up(rest), "single")
        bought = together(rest, cost.single, cost.postage, 1 - Fraction(row.complete))
        return Offer(
            buy=of,
            of=of,
            format=key,
            price=price,
            boxes=row.boxes,
            then=SINGLES,
            cost=partial(_boxes_and_singles, Fraction(count), bought, known.buying),
            what=f"{name}, then about {left_over} {_single(known, cost)}",
        )

    rows = cost.rows[1 : _MOST_BOXES + 1]
    offers = [
        after(
            row,
            BOX,
            text.count(row.boxes, f"{packed.name} box", f"{packed.name} boxes"),
            packed.box_price,
            row.boxes,
        )
        for row in rows
    ]
    mean = Fraction(found.independent.boxes.mean)
    count = tenths.half_up(mean)
    offers.append(
        Offer(
            buy=BOX,
            of=BOX,
            format=key,
            price=packed.box_price,
            boxes=count,
            cost=partial(_boxes_and_singles, mean, Fraction(0), known.buying),
            what=f"{packed.name} boxes until the set is complete, {count} on average",
        )
    )
    case = packed.a_case
    in_case = next((row for row in rows if row.boxes == packed.boxes_per_case), None)
    if in_case is not None and case is not None:
        offers.append(after(in_case, CASE, f"1 {packed.name} case", case, 1))
    return offers


def _set_words(known: Known, offers: Sequence[Offer], chosen: Offer) -> str:
    """What the chosen way costs, and what the others do: singles alone, the best box, boxes until done."""
    boxes = [one for one in offers if one.of == BOX]
    ways = [
        offers[0],
        best(one for one in boxes if one.then),
        best(one for one in boxes if not one.then),
    ]
    others = [
        f"{one.what} ({known.told(cost)})"
        for one in ways
        if one is not None and one is not chosen and (cost := one.now) is not None
    ]
    words = f"the cheapest way costs {known.told(chosen.now or Fraction(0))}: {chosen.what}"
    if others:
        words += f". Other ways: {'; '.join(others)}"
    return f"{words}. Inserts, hits, parallels and duplicates in the boxes are counted as worth nothing"


def _no_set(known: Known, completing: Completing) -> str:
    """Why the money of a set is not known, after how many boxes it takes."""
    found = completing.formats.get(known.economics.headline)
    if not isinstance(found, FormatCompleting):
        return found.why if found is not None else "the headline format is not described"
    why = found.best_boxes_then_singles
    boxes = tenths.fixed(found.independent.boxes.mean, 1)
    words = (
        f"if packs are filled at random, the set takes {boxes} {known.economics.main.name} boxes on average"
    )
    return f"{words}. What it costs is not known: {why.why}" if isinstance(why, Unknown) else words
