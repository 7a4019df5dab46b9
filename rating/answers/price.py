"""The answer of `price`: the price that was written, and the price line before and after."""

from __future__ import annotations

from typing import Any

from rating.answers import parts
from rating.season.pricing import Priced


def price(release: str, found: Priced, *, currency: str, told: str) -> dict[str, Any]:
    """A price that was added.

    Parameters
    ----------
    currency : the three letters of the season's
    told : what a host should know before the price is said, '' where it is fresh
    """
    one = found.price
    return {
        "release": release,
        "date": one.day.isoformat(),
        "product_format": one.format,
        "unit": one.unit,
        "kind": one.kind,
        "price": float(one.price),
        "currency": one.currency or currency,
        "source": one.source or None,
        "file": found.file,
        "row": one.row,
        "before": None if found.before is None else parts.beside(found.before),
        "after": None if found.after is None else parts.beside(found.after),
        "price_seen": parts.day(found.seen),
        "told": told or None,
        "unknown": found.why or None,
    }
