"""Can a viewer get it near the maker's price?"""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import Criterion, Economics, Facts, Finding, Unknown, amount, percent, scale


def find(facts: Facts) -> Finding | Unknown:
    """The going price of a headline box over its list price."""
    economics = facts.economics
    if not isinstance(economics, Economics):
        return economics
    main = economics.main
    if not main.list_price:
        return Unknown(f"the maker's price of a {main.name} box is not known")
    if not main.street_price:
        return Unknown(f"no street price of a {main.name} box has been seen yet")
    ratio = Fraction(main.street_price) / Fraction(main.list_price)
    apart = percent(abs(ratio - 1))
    if apart < 2:
        manner = "right at the maker's price"
    else:
        way = "above" if ratio > 1 else "below"
        manner = f"{apart} % {way} the maker's {amount(main.list_price, facts)}"
    restocked = f" It was restocked {_times(main.restocks)}." if main.restocks else ""
    return Finding(
        measure=ratio,
        evidence=(
            f"maker's price {amount(main.list_price, facts)}, going price {amount(main.street_price, facts)}",
            f"restocks seen: {main.restocks}, sources of prices: {main.sources}",
        ),
        reason=f"A {main.name} box sells for {amount(main.street_price, facts)}, {manner}.{restocked}",
        spread=4 if main.sources > 1 else 7,
    )


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


CRITERION = Criterion(
    key="access",
    group="money",
    question="Can a viewer get it near the maker's price?",
    scale=scale("logarithmic", "street price over list price", ("0.7", 100), (1, 60), ("1.1", 50), (2, 0)),
    guidance=(
        "gone in minutes, twice the price on the street",
        "half as much again on the street",
        "a little above the maker's price, with some looking",
        "on shelves at the maker's price",
        "well below the maker's price, everywhere",
    ),
    needs=("economics",),
    find=find,
)
