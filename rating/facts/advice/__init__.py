"""The section on advice: what to buy, aim by aim, and the price that goes with the verdict."""

from __future__ import annotations

from typing import Any

from rating.facts.advice.tables import shown
from rating.facts.advice.tell import lead, told
from rating.facts.advice.value import Advice
from rating.facts.plain import Unknown, as_json_values
from rating.facts.section import Section, Source, always


def _computed(facts: Source) -> Advice | Unknown:
    from rating.facts.advice.compute import advice  # loads scipy

    return advice(facts)


def _answered(value: Advice | Unknown) -> dict[str, Any]:
    """The aims alone, and the price that goes with the verdict beside them."""
    plain = as_json_values(value)
    return {
        "advice": plain if isinstance(value, Unknown) else plain["aims"],
        "price_advice": price_answer(value),
    }


def price_answer(value: Advice | Unknown) -> dict[str, Any] | None:
    """The sensible price for a JSON answer, None where it is not known."""
    if isinstance(value, Unknown) or isinstance(value.price, Unknown):
        return None
    found: dict[str, Any] = as_json_values(value.price)
    return found


SECTION = Section(
    key="advice",
    value=Advice,
    compute=_computed,
    lead=lead,
    tell=told,
    tables=shown,
    answer=_answered,
    has_prices=always,
)
