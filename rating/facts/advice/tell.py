"""What a host would say of who should buy what, and at what price."""

from __future__ import annotations

from rating import text
from rating.facts import economics, said
from rating.facts.advice.value import NOT_KNOWN, NOTHING, Advice, AimAdvice, PriceAdvice
from rating.facts.plain import Unknown
from rating.facts.section import Kept

# what is said for short where a table has one word
_NONE = {NOTHING: "nothing here for them", NOT_KNOWN: "can't say yet"}


def lead(advice: Advice, facts: Kept) -> str:
    """What each kind of buyer should get, those who get the same together."""
    by_way: dict[str, list[str]] = {}
    for one in advice.aims:
        # to say what a buyer of singles buys would say nothing
        words = "go ahead" if (one.aim, one.buy) == ("singles buyer", "singles") else way(one, facts)
        is_single = one.of and one.buy == one.of and one.boxes is None
        by_way.setdefault(said.a(words) if is_single else words, []).append(f"{one.aim}s")
    open_aims = by_way.pop(NOT_KNOWN, [])
    if not by_way:
        return "It is too early to say what to buy."
    ways = [*by_way.items(), *([(NOT_KNOWN, open_aims)] if open_aims else [])]
    return " ".join(f"{said.sentence(text.listed(aims))}: {_NONE.get(words, words)}." for words, aims in ways)


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
    if one.buy == "slot":
        return f"slot in {said.a(name)} break"
    then = f", then {one.then}" if one.then else ""
    if one.buy == "box" and one.boxes is not None:
        boxes = text.count(one.boxes, f"{name} box", f"{name} boxes")
        return f"{boxes}{then}"
    return f"{name} {one.buy}{then}"


def price(advice: Advice | Unknown) -> str:
    """The sentence that stands beside a verdict."""
    found: PriceAdvice | Unknown = advice if isinstance(advice, Unknown) else advice.price
    if isinstance(found, Unknown):
        return f"There is no fair price to name yet. {said.sentence(found.why)}."
    return found.sentence
