"""What it costs to take part: per box, card and hit, landed, against what is usual at its price.

The usual amounts are those that season.toml declares for each class, joined to a curve (`typical`): observed
means of the season would move grades, and a step at the border of a class would let a dearer box look
cheaper. The measure is the geometric mean of the ratios, so that half and twice the usual cancel out, and the
one hit in a dozen plain boxes does not drown what a card costs. With the same content it never falls as the
price rises.
"""

from __future__ import annotations

import math
from fractions import Fraction

from rating.criterion import (
    Criterion,
    Economics,
    Facts,
    Finding,
    Unknown,
    amount,
    fixed,
    listed,
    percent,
    scale,
    typical,
)


def find(facts: Facts) -> Finding | Unknown:
    """The geometric mean of box, card and hit cost over what is typical at its price; 1 is usual."""
    economics = facts.economics
    if not isinstance(economics, Economics):
        return economics
    main = economics.main
    if not main.landed_box:
        return Unknown(f"there is no price for a {main.name} box yet")
    usual = typical(facts.season.classes, main.landed_box)
    landed = Fraction(main.landed_box)
    costs = {
        "box": landed,
        "card": landed / Fraction(main.cards_per_box) if main.cards_per_box else None,
        "hit": landed / Fraction(main.hits_per_box) if main.hits_per_box else None,
    }
    known = {name: cost for name, cost in costs.items() if cost is not None and name in usual}
    if not known:
        return Unknown("season.toml declares no typical amounts for its classes")
    ratios = {name: float(cost) / usual[name] for name, cost in known.items()}
    measure = math.exp(math.fsum(map(math.log, ratios.values())) / len(ratios))
    told = [
        f"a {name} {'' if place else 'costs '}{amount(cost, facts)}"
        for place, (name, cost) in enumerate(known.items())
    ]
    return Finding(
        measure=measure,
        evidence=tuple(
            f"{name}: {amount(cost, facts)} with tax and shipping, {fixed(Fraction(ratios[name]))} times "
            "what is usual in this price range"
            for name, cost in known.items()
        ),
        reason=(
            f"With tax and shipping {listed(told)}. "
            f"{'Overall, that' if len(told) > 1 else 'That'} is {_compared(Fraction(measure))} in this price "
            "range."
        ),
        spread=4 if main.price_kind == "street" else 8,
    )


def _compared(ratio: Fraction) -> str:
    apart = percent(abs(ratio - 1))
    if apart < 3:
        return "usual"
    return f"{apart} % {'more' if ratio > 1 else 'less'} than usual"


CRITERION = Criterion(
    key="outlay",
    group="money",
    question="What does it cost to take part, per box, card and hit?",
    scale=scale("logarithmic", "times the usual cost at its price", ("0.5", 100), (1, 60), (2, 30), (6, 0)),
    guidance=(
        "six times what is usual at its price",
        "more than twice what is usual",
        "a quarter more than is usual",
        "a quarter less than is usual",
        "half of what is usual at its price, or less",
    ),
    needs=("economics",),
    find=find,
)
