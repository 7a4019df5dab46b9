"""What is typical at a price: a curve in the logarithm of the price through the classes' declared amounts.

Each class of season.toml declares what a box, a card and a hit typically cost in it, landed. A step at the
border of a class would let a dearer box look cheaper than the same box a dollar below it, so the amounts are
points of a curve: straight between two classes in the logarithms of price and amount, level beyond the first
and the last. An amount that rises faster than the price of the box from one class to the next is taken only
as far as that price rises: then with the same content no box looks cheaper for costing more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from rating.facts.context import PriceClass

COSTS = ("box", "card", "hit")


def typical(classes: Sequence[PriceClass], landed: Decimal) -> dict[str, float]:
    """What a box, a card and a hit typically cost where a box costs so much landed.

    What no class with a typical box declares is left out. A box is typical at its own price between the
    classes; below the first or above the last it is held to theirs.
    """
    found = {}
    for cost in COSTS:
        points = _limited(_declared(classes, cost))
        if points:
            found[cost] = _at(points, math.log(landed))
    return found


def too_steep(classes: Sequence[PriceClass]) -> list[tuple[str, str, Decimal]]:
    """The amounts that rise faster than the price of the box, and so are not reached.

    Returns
    -------
    the class, the cost, and what it is taken for, in cents; in the order of the classes
    """
    found = []
    for cost in COSTS:
        declared = _declared(classes, cost)
        for (name, _, amount), (_, held) in zip(declared, _limited(declared), strict=True):
            if not math.isclose(math.log(amount), held, abs_tol=1e-9):
                found.append((name, cost, Decimal(f"{math.exp(held):.4g}")))
    return found


def _declared(classes: Sequence[PriceClass], cost: str) -> list[tuple[str, Decimal, Decimal]]:
    """Class, typical box and typical amount, by rising box; of equal boxes the first."""
    found: dict[Decimal, tuple[str, Decimal, Decimal]] = {}
    for one in classes:
        amount = {"box": one.typical_box, "card": one.typical_card, "hit": one.typical_hit}[cost]
        if one.typical_box and amount:
            found.setdefault(one.typical_box, (one.name, one.typical_box, amount))
    return [found[box] for box in sorted(found)]


def _limited(declared: Sequence[tuple[str, Decimal, Decimal]]) -> list[tuple[float, float]]:
    """The points of a curve as logarithms of box and amount; it rises at most as fast as the box."""
    points: list[tuple[float, float]] = []
    for _, box, amount in declared:
        x, y = math.log(box), math.log(amount)
        if points:
            before_x, before_y = points[-1]
            y = min(y, before_y + (x - before_x))
        points.append((x, y))
    return points


def _at(points: Sequence[tuple[float, float]], x: float) -> float:
    if x <= points[0][0]:
        return math.exp(points[0][1])
    for (left, low), (right, high) in pairwise(points):
        if x <= right:
            return math.exp(low + (high - low) * (x - left) / (right - left))
    return math.exp(points[-1][1])
