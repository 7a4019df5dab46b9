"""The section on economics: what taking part costs, per box, pack, card and hit, in every format."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from rating import tenths
from rating.facts.economics.compute import economics
from rating.facts.economics.tables import shown
from rating.facts.economics.tell import lead, told
from rating.facts.economics.value import Economics
from rating.facts.falling.outlook import numbered, outlook
from rating.facts.plain import Unknown, as_json_values
from rating.facts.section import Section, Source, always


def _computed(facts: Source) -> Economics | Unknown:
    return economics(facts.files, facts.rules, as_of=facts.as_of, numbered=_numbered(facts))


def _numbered(facts: Source) -> dict[str, Decimal]:
    """Numbered cards in a box as chances count them, where any are known to fall."""
    wanted = numbered(facts.lines)
    each = {
        key: outlook(collation, wanted, collation.packs_per_box).expected
        for key, collation in facts.collations.items()
    }
    return {key: tenths.six_digits(count) for key, count in each.items() if count}


def _answered(value: Economics | Unknown) -> dict[str, Any]:
    """Formats alone, so that a script can walk through them; what is not one stands beside."""
    plain = as_json_values(value)
    if isinstance(value, Unknown):
        return {"economics": plain}
    return {
        "economics": plain["formats"],
        "headline": value.headline,
        "class": value.price_class or None,
        "left_out": list(value.left_out),
    }


SECTION = Section(
    key="economics",
    value=Economics,
    compute=_computed,
    lead=lead,
    tell=told,
    tables=shown,
    answer=_answered,
    has_prices=always,
)
