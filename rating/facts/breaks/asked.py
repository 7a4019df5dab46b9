"""What others ask for the slots of a break, held against what they are worth and the most to bid.

An even swap takes a slot for which others ask no more: the other side loses nothing by what is asked, so it
may say yes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts.breaks.owners import TEAM, same_slot
from rating.facts.breaks.value import Break, RandomBreak, Slot, Swap
from rating.facts.context import Buying, SeasonContext
from rating.facts.economics.compute import landed
from rating.release.market import SlotPrice

_RANDOM = "random"
# as many swaps as anybody reads
_MOST_SWAPS = 10


def with_asked(found: Break, prices: Iterable[SlotPrice], season: SeasonContext) -> Break:
    """The break with what others ask for its slots by the latest price of each.

    Prices of another format, another number of cases or another currency say nothing here; they are counted
    in a remark.

    Parameters
    ----------
    prices : those up to the day
    season : how teams are spelled, and what is added to a price
    """
    shown = season.team_names()
    given = [one for one in prices if one.format in {"", found.product_format}]
    usable = [one for one in given if _is_like(one, found)]
    remarks = list(found.remarks)
    if other := len(given) - len(usable):
        remarks.append(
            f"{text.count(other, 'asked price')} of another number of cases or currency than this break"
        )
    fixed = [one for one in usable if one.how != _RANDOM]
    latest: dict[str, SlotPrice] = {}
    unplaced = set()
    for one in sorted(fixed, key=lambda one: (one.day, one.row)):
        name = next((slot.slot for slot in found.slots if same_slot(one.slot, slot.slot, shown)), None)
        if name is None:
            unplaced.add(one.slot)
        else:
            latest[name] = one
    if unplaced:
        remarks.append(f"asked for, but no slot here: {', '.join(sorted(unplaced, key=text.key))}")
    slots = tuple(_priced(slot, latest.get(slot.slot), season.buying) for slot in found.slots)
    drawn = [one for one in usable if one.how == _RANDOM]
    if drawn and found.by != TEAM:
        remarks.append("the price of a random slot is that of one team, which no slot here is")
        drawn = []
    latest_random = max(drawn, key=lambda one: (one.day, one.row), default=None)
    return replace(
        found,
        slots=slots,
        remarks=tuple(remarks),
        random=_random(slots, latest_random.price, season.buying) if latest_random else None,
        swaps=swaps(slots),
    )


def _is_like(one: SlotPrice, found: Break) -> bool:
    if one.currency not in {"", found.currency}:
        return False
    return one.cases is None or one.cases * (found.boxes_per_case or 0) == found.boxes


def _priced(slot: Slot, price: SlotPrice | None, buying: Buying) -> Slot:
    if price is None:
        return slot
    asked = money.cents(price.price)
    over = tenths.six_digits(Fraction(asked) / Fraction(slot.limit) - 1) if slot.limit else None
    return replace(slot, asked=asked, landed=landed(asked, buying), over=over)


def _random(slots: Sequence[Slot], price: Decimal, buying: Buying) -> RandomBreak | None:
    worth = [slot.worth for slot in slots if slot.worth is not None]
    if not worth:
        return None
    paid = landed(price, buying)
    return RandomBreak(
        price=money.cents(price),
        landed=paid,
        worth=money.cents(Fraction(sum(worth, Decimal(0))) / len(worth)),
        at_least=tenths.six_digits(Fraction(sum(one >= paid for one in worth), len(worth))),
    )


def swaps(slots: Sequence[Slot]) -> tuple[Swap, ...]:
    """Even swaps that gain: take a slot for which others ask no more, and which is worth more.

    The other side loses nothing by what is asked. One for each slot that somebody may have drawn, the largest
    gain of all first.
    """
    known = [
        (slot.slot, slot.asked, slot.worth)
        for slot in slots
        if slot.asked is not None and slot.worth is not None
    ]
    found = []
    for have, price, worth in known:
        gains = [(other - worth, name) for name, asked, other in known if asked <= price and other > worth]
        if gains:
            gain, take = max(gains, key=lambda one: one[0])
            found.append(Swap(have=have, take=take, gain=gain))
    return tuple(sorted(found, key=lambda one: -one.gain)[:_MOST_SWAPS])
