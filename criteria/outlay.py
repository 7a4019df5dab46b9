"""What it costs to take part: per box, card and hit, landed, against what is usual in its price class.

Amounts are held to those declared for each class in season.toml: a 25 and a 900 box cannot share one
goalpost, and observed means of the season would move grades.
"""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import Criterion, Economics, Facts, Finding, Unknown, fixed, percent, scale


def find(facts: Facts) -> Finding | Unknown:
    """The mean of box, card and hit cost over the class's declared typical amounts; 1 is usual.

    A 25 and a 900 box cannot be held to one amount, so each is held to its class; season.toml declares
    what is typical there.
    """
    economics = facts.economics
    if not isinstance(economics, Economics):
        return economics
    main = economics.main
    if not main.landed_box:
        return Unknown(f"there is no price of a {main.name} box yet")
    band = next((one for one in facts.season.classes if one.name == economics.price_class), None)
    if band is None:
        return Unknown("season.toml declares no price class for it")
    landed = Fraction(main.landed_box)
    costs = (
        ("box", landed, band.typical_box),
        ("card", _each(landed, main.cards_per_box), band.typical_card),
        ("hit", _each(landed, main.hits_per_box), band.typical_hit),
    )
    ratios = {
        name: (cost, cost / Fraction(typical))
        for name, cost, typical in costs
        if cost is not None and typical
    }
    if not ratios:
        return Unknown(f"season.toml declares no typical amounts for the class {band.name}")
    measure = sum((ratio for _, ratio in ratios.values()), Fraction(0)) / len(ratios)
    told = ", ".join(f"{fixed(cost)} a {name}" for name, (cost, _) in ratios.items())
    compared = _compared(measure)
    return Finding(
        measure=measure,
        evidence=tuple(
            f"{name}: {fixed(cost)} landed, {fixed(ratio)} times the usual of its class"
            for name, (cost, ratio) in ratios.items()
        ),
        reason=f"Landed it costs {told}: {compared} for the class {band.name}.",
        spread=4 if main.price_kind == "street" else 8,
    )


def _each(landed: Fraction, number: object) -> Fraction | None:
    return landed / Fraction(str(number)) if number else None


def _compared(ratio: Fraction) -> str:
    apart = percent(abs(ratio - 1))
    if apart < 3:
        return "about what is usual"
    return f"{apart} % {'more' if ratio > 1 else 'less'} than usual"


CRITERION = Criterion(
    key="outlay",
    group="money",
    question="What does it cost to take part, per box, card and hit?",
    scale=scale("logarithmic", "times the usual cost of its class", ("0.4", 100), (1, 50), ("2.5", 0)),
    guidance=(
        "more than twice what its class usually asks",
        "half as much again as usual",
        "what its class usually asks",
        "a third cheaper than usual",
        "half of what its class usually asks, or less",
    ),
    needs=("economics",),
    find=find,
)
