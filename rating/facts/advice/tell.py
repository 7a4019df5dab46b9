"""What a host would say of who should buy what, and at what price."""

from __future__ import annotations

from rating import text
from rating.facts import economics, said
from rating.facts.advice.value import NOT_KNOWN, Advice, AimAdvice, PriceAdvice
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def lead(advice: Advice, facts: Kept) -> str:
    """What each kind of buyer should get, those who get the same together."""
    by_way: dict[str, list[str]] = {}
    for one in advice.aims:
        words = way(one, facts)
        is_single = one.of and one.buy == one.of and one.boxes is None
        by_way.setdefault(said.a(words) if is_single else words, []).append(one.aim)
    open_aims = by_way.pop(NOT_KNOWN, [])
    ways = [f"{words} for the {text.listed(aims)}" for words, aims in by_way.items()]
    if not ways:
        return "What to buy is not known for anybody yet."
    if open_aims:
        ways.append(f"not known for the {text.listed(open_aims)}")
    return f"{said.sentence('; '.join(ways))}."


def told(advice: Advice, facts: Kept) -> str:
    """The lead, then the sensible price."""
    return f"{lead(advice, facts)} {price(advice)}"


def way(one: AimAdvice, facts: Kept) -> str:
    """What to buy in a few words, with the number of boxes and the format."""
    if not one.of or one.buy != one.of:
        return one.buy
    costs = facts.of(economics.SECTION)
    formats = {} if isinstance(costs, Unknown) else costs.formats
    name = formats[one.format].name if one.format in formats else one.format
    if one.buy == "box" and one.boxes is not None:
        return f"1 {name} box" if one.boxes == 1 else f"{one.boxes} {name} boxes"
    return f"{name} {one.buy}"


def price(advice: Advice | Unknown) -> str:
    """The sentence that stands beside a verdict."""
    found: PriceAdvice | Unknown = advice if isinstance(advice, Unknown) else advice.price
    if isinstance(found, Unknown):
        return f"There is no fair price to name yet: {found.why}."
    return found.sentence
