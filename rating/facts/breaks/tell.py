"""What a host would say about the slots of a break."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts import said
from rating.facts.breaks import aims
from rating.facts.breaks.value import PRICES, Break, BreakCost, Pick, Slot
from rating.facts.plain import Unknown

_NAMED = 3
# how an aim is said, where its name promises what no slot does
_AIMS = {aims.SAFE: "least likely to go empty-handed"}


def heading(found: Break) -> str:
    """What is opened, of which release, and how it is cut."""
    boxes = text.count(found.boxes, f"{found.name} box", f"{found.name} boxes")
    if found.cases:
        boxes = f"{text.count(found.cases, f'{found.name} case')} ({text.count(found.boxes, 'box', 'boxes')})"
    cut = {"filters": "by filters", "box": "whole boxes"}.get(found.by, f"by {found.by}")
    return f"{found.title}: a break of {boxes}, {cut}"


def cost(found: Break) -> str:
    """What it costs, or why that is not known."""
    if isinstance(found.cost, Unknown):
        return f"What it costs is not known: {found.cost.why}."
    made_of = f" ({found.cost.made_of})" if found.cost.made_of else ""
    price, landed, total = (
        money.told(one, found.currency) for one in (found.cost.price, found.cost.landed, found.cost.total)
    )
    words = f"The break costs {price}{made_of}"
    if landed != price:
        words += f"; with tax and shipping it costs {landed}"
    if total != landed:
        words += (
            f", and with the host's margin {total}"
            if landed != price
            else f"; with the host's margin, {total}"
        )
    return f"{words}."


def limits(found: Break) -> str:
    """What the limit of a slot is; blank where there is none."""
    if all(slot.limit is None for slot in found.slots):
        return ""
    words = "Don't bid past a slot's limit: above it, with tax and shipping, you pay more than"
    if all(slot.worth is None for slot in found.slots):
        return f"{words} its share of the break."
    return f"{words} its cards are expected to sell for after fees."


def worth(found: Break) -> str:
    """What all slots are worth together against their cost, and what that rests on."""
    if found.basis != PRICES:
        return (
            "No price of a card is known, so shares go by content: the copies to expect of each kind, each "
            "weighed by how wanted the player on it is. What a slot is worth is not known."
        )
    words = (
        "The cards of all slots together are expected to sell for about "
        f"{money.told(found.value, found.currency)} after fees"
    )
    if isinstance(found.cost, BreakCost):
        words += f", against {money.told(found.cost.total, found.currency)} paid"
        above = [slot for slot in found.slots if _is_above(slot)]
        if len(above) == len(found.slots):
            words += "; no slot is worth its share of the cost"
        elif above:
            verb = "is worth less than its" if len(above) == 1 else "are worth less than their"
            words += f"; {len(above)} of {text.count(len(found.slots), 'slot')} {verb} share of the cost"
        else:
            words += "; every slot is worth its share of the cost"
    words += "."
    words += _resting(found)
    if found.kept:
        words += f" Cards worth {money.told(found.kept, found.currency)} stay with the host."
    return words


def _resting(found: Break) -> str:
    named = {"sold": said.SOLD, "modelled": said.MODELLED, "carried over": said.BORROWED}
    parts = [(share, named.get(basis, said.BULK)) for basis, share in found.resting_on.items()]
    return f" {said.worth_of_all(parts)}".rstrip()


def _is_above(slot: Slot) -> bool:
    return slot.cost_share is not None and slot.worth is not None and slot.cost_share > slot.worth


def spread(found: Break) -> str:
    """How the value is spread over the slots, and how well the tiers tell them apart."""
    ranked = sorted(found.slots, key=lambda slot: -slot.share)
    if len(ranked) <= _NAMED or ranked[0].share == ranked[-1].share:
        return ""
    first = ranked[:_NAMED]
    part = sum((Fraction(slot.share) for slot in first), Fraction(0))
    even = Fraction(_NAMED, len(ranked))
    number = {slot.tier for slot in found.slots}
    words = (
        f"{text.listed([slot.slot for slot in first])} hold {tenths.percent(part)} % of the value; three "
        f"average slots would hold {tenths.percent(even)} %."
    )
    explained = tenths.percent(tenths.six_digits(found.fit))
    tiers = text.count(len(number), "tier")
    return (
        f"{words} Sorting the slots into {tiers} accounts for {explained} % of the differences in value "
        "between slots."
    )


def moves(found: Break) -> list[str]:
    """What the host put elsewhere than the values do, and why."""
    return [
        f"{slot.slot} is in {slot.tier}; by value it would be in {slot.tier_by_value}: {slot.moved}"
        for slot in found.slots
        if slot.moved
    ]


def asked(found: Break) -> str:
    """Which slots others ask too much and too little for."""
    given = [(slot.over, slot) for slot in found.slots if slot.over is not None]
    if not given:
        return ""
    dear, cheap = max(given, key=lambda one: one[0]), min(given, key=lambda one: one[0])
    total = sum((slot.asked or Decimal(0) for _, slot in given), Decimal(0))
    slots = text.count(len(given), "slot is", "slots are")
    words = f"{slots} on offer, for {money.told(total, found.currency)} in all."
    if dear[0] > 0:
        words += f" Furthest above its limit: {_against(dear[1], dear[0], found.currency)}."
    if cheap[1] is not dear[1]:
        lead = "Nearest to its limit" if cheap[0] > 0 else "The best offer"
        words += f" {lead}: {_against(cheap[1], cheap[0], found.currency)}."
    return words


def _against(slot: Slot, over: Decimal, currency: str) -> str:
    """An asked price beside the limit: 'twice' is easier said than 100 % above."""
    limit = money.told(slot.limit or Decimal(0), currency)
    apart = tenths.percent(abs(over))
    if over >= 1:
        beside = f"{tenths.fixed(1 + over, 1).removesuffix('.0')} times its limit of {limit}"
    elif not apart:
        beside = f"just about its limit of {limit}"
    else:
        beside = f"{apart} % {'above' if over > 0 else 'below'} its limit of {limit}"
    return f"{slot.slot} at {money.told(slot.asked or Decimal(0), currency)}, {beside}"


def drawn(found: Break) -> str:
    """What a random slot is worth against its price."""
    if found.random is None:
        return ""
    one = found.random
    some = said.do(one.at_least, "slot", "slots", "is", "are") if one.at_least else "no slot is"
    words = f"A random slot at {money.told(one.price, found.currency)}"
    if one.landed != one.price:
        words += f" costs {money.told(one.landed, found.currency)} with tax and shipping, and"
    worth = money.told(one.worth, found.currency)
    return f"{words} is worth {worth} on average; {some} worth what it costs."


def swaps(found: Break) -> list[str]:
    """Even swaps after a draw that gain in worth."""
    return [
        f"trade {one.have} for {one.take}: +{money.told(one.gain, found.currency)}" for one in found.swaps
    ]


def pick(one: Pick, currency: str) -> str:
    """A pick in a sentence."""
    budget = "" if one.under is None else f" under {money.told(one.under, currency)}"
    price = "" if one.price is None else f" at {money.told(one.price, currency)}"
    return f"{_AIMS.get(one.aim, one.aim)}{budget}: {one.slot or 'none'}{price}; {one.why}"
