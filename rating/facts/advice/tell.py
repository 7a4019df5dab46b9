"""What a host would say of who should buy what, and at what price."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rating import text
from rating.facts.advice.known import NOT_KNOWN
from rating.facts.advice.value import Advice, AimAdvice, PriceAdvice
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts
from rating.facts.plain import Unknown, as_json_values


def advice(found: Advice, facts: Facts) -> str:
    """What each kind of buyer should get, those who get the same together, and the sensible price."""
    by_way: dict[str, list[str]] = {}
    for one in found.aims:
        by_way.setdefault(way(one, facts), []).append(one.aim)
    open_aims = by_way.pop(NOT_KNOWN, [])
    told = [f"{words} for the {text.listed(aims, last='and the')}" for words, aims in by_way.items()]
    if not told:
        return f"What to buy is not known for any aim. {price(found.price)}"
    if open_aims:
        told.append(f"not known for the {text.listed(open_aims, last='and the')}")
    return f"What to buy: {'; '.join(told)}. {price(found.price)}"


def way(one: AimAdvice, facts: Facts) -> str:
    """What to buy in a few words, with the number of boxes and the format."""
    if not one.of or one.buy != one.of:
        return one.buy
    formats = facts.economics.formats if isinstance(facts.economics, Economics) else {}
    name = formats[one.format].name if one.format in formats else one.format
    if one.buy == "box" and one.boxes is not None:
        return f"1 {name} box" if one.boxes == 1 else f"{one.boxes} {name} boxes"
    return f"{name} {one.buy}"


def price(found: PriceAdvice | Unknown) -> str:
    """The sentence that stands beside a verdict."""
    if isinstance(found, Unknown):
        return f"No sensible price is known: {found.why}."
    return found.sentence


def stored_price(facts: Mapping[str, Any]) -> str:
    """The same sentence from the facts that a review keeps; blank where they are older than the section."""
    found = facts.get("advice") or {}
    if "unknown" in found:
        return price(Unknown(str(found["unknown"])))
    told = found.get("price")
    if told is None:
        return ""
    return price(Unknown(str(told["unknown"]))) if "unknown" in told else str(told["sentence"])


def price_of(facts: Facts) -> PriceAdvice | Unknown:
    """The sensible price of a release, or why there is none."""
    return facts.advice if isinstance(facts.advice, Unknown) else facts.advice.price


def price_advice(facts: Facts) -> dict[str, Any] | None:
    """The sensible price for a JSON answer, None where it is not known."""
    found = price_of(facts)
    return None if isinstance(found, Unknown) else dict(as_json_values(found))
