"""The answer of `find`: every card of somebody."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from rating.facts.plain import as_json_values
from rating.season.lookup.finder import LookUp


def cards(found: LookUp, *, caution: str) -> dict[str, Any]:
    """What a look-up gave, with a caution where it shows prices."""
    answer = {one.name: as_json_values(getattr(found, one.name)) for one in fields(found)}
    return answer | ({"caution": caution} if found.has_prices else {})
