"""Which slot of a break suits a buyer: by an aim and a budget, with the evidence in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from rating import money, tenths, text
from rating.facts.breaks import aims
from rating.facts.breaks.value import Break, Pick, Slot

Measure = Callable[[Slot], Decimal | None]


class _Aim(NamedTuple):
    """What a buyer wants most of, the evidence in words, and what a slot has none of where that is 0."""

    measure: Measure
    words: Callable[[Slot, str], str]
    one: str = ""


def _number(amount: Decimal) -> str:
    return tenths.fixed(amount, 1)


def _for_its_price(slot: Slot) -> Decimal | None:
    if slot.worth is None or not slot.landed:
        return None
    return tenths.six_digits(Fraction(slot.worth) / Fraction(slot.landed))


def _for_its_price_words(slot: Slot, currency: str) -> str:
    share = tenths.percent(_for_its_price(slot) or Decimal(0))
    return (
        f"its cards sell for about {money.told(slot.worth or Decimal(0), currency)}, {share} % of the "
        f"{money.told(slot.landed or Decimal(0), currency)} that it costs with tax and shipping"
    )


def _scarce_words(slot: Slot, _: str) -> str:
    return f"expect {_number(slot.expected.numbered)} numbered cards"


_BY_AIM: Mapping[str, _Aim] = {
    aims.ROOKIES: _Aim(
        lambda slot: slot.expected.rookies,
        lambda slot, _: (
            f"expect {_number(slot.expected.rookies)} copies of "
            f"{text.count(slot.counts.rookies, 'rookie card', 'different rookie cards')}"
        ),
        "a rookie card",
    ),
    aims.AUTOGRAPHS: _Aim(
        lambda slot: slot.expected.autographs,
        lambda slot, _: (
            f"expect {_number(slot.expected.autographs)} autographs; the chance of none is "
            f"{tenths.share(slot.p_no_autograph)}"
        ),
        "an autograph",
    ),
    aims.SAFE: _Aim(
        lambda slot: -slot.p_no_hit,
        lambda slot, _: f"the chance of no autograph and no relic is {tenths.share(slot.p_no_hit)}",
    ),
    aims.SET: _Aim(
        lambda slot: slot.expected.base,
        lambda slot, _: (
            f"expect {_number(slot.expected.base)} copies of "
            f"{text.count(slot.counts.base, 'base card', 'different base cards')}"
        ),
        "a base card",
    ),
    aims.TEAM: _Aim(
        lambda slot: Decimal(slot.counts.subjects),
        lambda slot, _: (
            f"{slot.counts.subjects} of its players {'is' if slot.counts.subjects == 1 else 'are'} on the "
            "checklist"
        ),
        "a player in the checklist",
    ),
    aims.NUMBERED: _Aim(lambda slot: slot.expected.numbered, _scarce_words, "a numbered card"),
    aims.BARGAIN: _Aim(_for_its_price, _for_its_price_words),
}


def price_of(slot: Slot) -> Decimal | None:
    """What a slot costs a buyer: what is asked for it, else its cost share."""
    return slot.cost_share if slot.asked is None else slot.asked


def picks(found: Break, wishes: Sequence[tuple[str, Decimal | None]]) -> tuple[Pick, ...]:
    """The slot for each wish: of those within the budget, the one with most of what the buyer wants.

    Of equals the cheaper one, then the one that stands first.

    Parameters
    ----------
    wishes : an aim, one of `rating.facts.breaks.aims.AIMS`, and what the slot must cost less than; None is
        any price

    Raises
    ------
    KeyError
        for an aim that is none of them
    """
    return tuple(_pick(found, aim, under) for aim, under in wishes)


def _pick(found: Break, name: str, under: Decimal | None) -> Pick:
    aim, slots = _BY_AIM[name], found.slots

    def none(why: str) -> Pick:
        return Pick(aim=name, under=under, slot="", price=None, why=why)

    priced = [(price_of(slot), slot) for slot in slots]
    if under is None:
        fit = [slot for _, slot in priced]
    elif all(price is None for price, _ in priced):
        return none("no price for a slot is known, so a budget says nothing")
    else:
        fit = [slot for price, slot in priced if price is not None and price < under]
    if not fit:
        cheapest = min(price for price, _ in priced if price is not None)
        return none(f"the cheapest slot is {money.told(cheapest, found.currency)}")
    measured = [(amount, slot) for slot in fit if (amount := aim.measure(slot)) is not None]
    if not measured:
        return none("no slot is listed with a price yet")
    best = max(range(len(measured)), key=lambda i: (measured[i][0], -_price(measured[i][1]), -i))
    amount, slot = measured[best]
    if name == aims.BARGAIN and amount < 1:
        nearest = _for_its_price_words(slot, found.currency).replace("its cards", "whose cards", 1)
        return none(f"no listed slot is worth what it costs; the nearest is {slot.slot}, {nearest}")
    if not amount and aim.one:
        return none(f"no slot within the budget has {aim.one}")
    return Pick(
        aim=name, under=under, slot=slot.slot, price=price_of(slot), why=aim.words(slot, found.currency)
    )


def _price(slot: Slot) -> Fraction:
    price = price_of(slot)
    return Fraction(0) if price is None else Fraction(price)
