"""What a launch review foretells, for later sales to score: quantiles of prices and of what a box returns.

A price is that of one sale of a card of a kind, every card in every version counting once, with the luck of a
sale and the doubt of the level in it. What a single box returns is drawn at the values that cards are
expected to have; what boxes return on average is in doubt by their level alone. The day is that of prices.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from statistics import NormalDist

from rating import money, tenths
from rating.facts.facts import Facts
from rating.facts.returns.value import FormatReturns, Returns
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Asked, Valuation
from rating.review import FORETOLD_LEVELS, Foretold, KindPrices

STAGE = "launch"


def foretold(facts: Facts, stage: str) -> Foretold | None:
    """What is foretold at launch, None at another stage and where nothing says what cards go for."""
    worth = facts.of(VALUATION) if stage == STAGE else None
    if not isinstance(worth, Valuation) or worth.asked is None:
        return None
    found = facts.returns.formats.get(facts.headline) if isinstance(facts.returns, Returns) else None
    box = found.box if isinstance(found, FormatReturns) else None
    error = float(worth.values.level_error)
    return Foretold(
        as_of=(worth.values.carried_on or facts.as_of).isoformat(),
        prices=tuple(
            KindPrices(kind=kind, quantiles=tuple(map(_cents, each)))
            for kind, each in _by_kind(worth.asked).items()
        ),
        box=tuple(f"{one:f}" for one in (box.q05, box.q25, box.median, box.q75, box.q95)) if box else (),
        box_mean=tuple(_cents(float(box.mean) * math.exp(error * one)) for one in _normal()) if box else (),
    )


def _by_kind(asked: Asked) -> Mapping[str, list[float]]:
    """Quantiles of the price of a sale of each kind that sales speak of, in the order of the checklist."""
    import numpy as np

    kinds = np.array(asked.kinds)
    levels = [int(one) / 100 for one in FORETOLD_LEVELS]
    found = {}
    for kind in dict.fromkeys(one for one in asked.kinds if one):
        own = kinds == kind
        logs = asked.middle[own, np.newaxis] + asked.spread[own, np.newaxis] * asked.errors
        prices = np.exp(np.quantile(logs, levels))
        found[kind] = [max(one, asked.least) for one in prices.tolist()]
    return found


def _normal() -> list[float]:
    return [NormalDist().inv_cdf(int(one) / 100) for one in FORETOLD_LEVELS]


def _cents(amount: float) -> str:
    return f"{money.cents(tenths.settled(amount)):f}"
