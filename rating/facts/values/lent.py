"""What prices of other releases say of one that has none: as a model takes them, and at which level.

Releases differ in level: the same kind of card in as many copies goes for more in one than in another. How
far they lie apart is seen where several lend, else declared. Dear boxes hold dearer cards, so the level
follows the price of the box, but never as fast as the price: what a box returns may rise with its price, and
the share of the price that it returns never does.
"""

from __future__ import annotations

import math
import statistics
from collections import Counter
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

import numpy as np

from rating.facts.context import Demand, Donor
from rating.facts.worth.card_model import KNEE, Seen, Traits
from rating.facts.worth.matching import FEWEST_SALES
from rating.numerics.special import student_quantile

# where too few are known to tell, editions of one line lie about a quarter apart, others half; common
# practice, no source
_EDITIONS_APART, _APART = 0.25, 0.5
# nine of ten of a normal law lie within so many deviations
_NINETY = 1.645
# so many releases with enough prices tell how far levels lie apart, and so many whether boxes' prices matter
_FEWEST, _FEWEST_BOXES = 3, 5
# the level rises at most by this power of the price; what is added to a box in shipping rises slower than it
_STEEPEST = 0.7
# beside the spread of the logarithms of the boxes' prices, so that a few much alike say nothing of a slope
_FLAT = 1.0


class Levels(NamedTuple):
    """How the levels of the releases that lend differ, as logarithms.

    error
        how far the level of a release is from what the others make expect, as a standard error
    slope
        by how much the level rises with the logarithm of a box's price, 0 where that is not known
    usual
        the mean logarithm of the price of a box over the releases that lend
    """

    error: float
    slope: float = 0.0
    usual: float = 0.0

    def factor(self, box: Decimal | None) -> float:
        """What a box at a price makes of the values that were lent; 1 where its price is not known."""
        return math.exp(self.slope * (math.log(box) - self.usual)) if box and self.slope else 1.0


def seen_price(donor: Donor, demand: Mapping[str, Demand]) -> Seen:
    """A price that was lent, as the model takes it.

    Its subjects count by how much they were wanted in its own season; where that is not known, by how much
    they are wanted now. Most of those on the cards that it is lent to are others.
    """
    known = [None if one not in demand else float(demand[one].demand) for one in donor.subjects]
    own = donor.demand or (None,) * len(known)
    traits = Traits(
        kind=donor.kind,
        copies=float(donor.copies) if donor.copies else None,
        rookie=donor.rookie,
        subjects=(),
        demand=tuple(now if then is None else float(then) for then, now in zip(own, known, strict=True)),
    )
    return Seen(traits, float(donor.price), donor.week, donor.presale)


def levelled(seen: Sequence[Seen], donors: Sequence[Donor]) -> tuple[list[Seen], Levels]:
    """The prices as if all releases that lend enough stood at their mean level, and how these levels differ.

    Else a dear release with many autographs would make autographs dear everywhere.
    """
    apart = _levels(seen, donors)
    if len(apart) < 2:
        return list(seen), Levels(_few(donors))
    middle = statistics.fmean(apart.values())
    moved = [
        one._replace(price=one.price * math.exp(middle - apart.get(donor.release, middle)))
        for one, donor in zip(seen, donors, strict=True)
    ]
    boxes = {one.release: math.log(one.box) for one in donors if one.box}
    if len(apart) < _FEWEST:
        return moved, Levels(_few(donors))
    if len(apart) < _FEWEST_BOXES or not apart.keys() <= boxes.keys():
        return moved, Levels(_of_a_new_one(statistics.stdev(apart.values()), len(apart), 1))
    x, y = np.array([boxes[name] for name in apart]), np.array(list(apart.values()))
    x_off, y_off = x - x.mean(), y - y.mean()
    slope = min(max(float(x_off @ y_off / (x_off @ x_off + _FLAT)), 0.0), _STEEPEST)
    error = math.sqrt(float(np.sum((y_off - slope * x_off) ** 2)) / (len(apart) - 2))
    return moved, Levels(_of_a_new_one(error, len(apart), 2), slope, float(x.mean()))


def _few(donors: Sequence[Donor]) -> float:
    return _EDITIONS_APART if all(one.same_line for one in donors) else _APART


def _levels(seen: Sequence[Seen], donors: Sequence[Donor]) -> dict[str, float]:
    """The level of each release with enough prices, as a logarithm: beside what sets its cards apart."""
    counts = Counter(one.release for one in donors)
    names = [name for name, count in counts.items() if count >= FEWEST_SALES]
    if len(names) < 2:
        return dict.fromkeys(names, 0.0)
    own = np.array([[one.release == name for name in names] for one in donors], dtype=float)
    kinds = list(dict.fromkeys(one.traits.kind for one in seen))
    plain = np.array([_plain(one, kinds) for one in seen])
    prices = np.log([one.price for one in seen])
    design = np.hstack([own, plain])
    found = np.linalg.lstsq(design, prices, rcond=None)[0]
    # wild prices move a mean, and hardly a median
    off = prices - design @ found
    return {name: float(found[i] + np.median(off[own[:, i] > 0])) for i, name in enumerate(names)}


def _plain(one: Seen, kinds: Sequence[str]) -> list[float]:
    """What sets a price apart whatever the release: kind, copies, rookie, week and demand."""
    traits = one.traits
    copies = math.log(traits.copies / KNEE) if traits.copies else 0.0
    demand = [math.log1p(each) for each in traits.demand if each is not None]
    return [
        *(float(traits.kind == kind) for kind in kinds[1:]),
        min(copies, 0.0),
        max(copies, 0.0),
        float(not traits.copies),
        float(traits.rookie),
        one.week,
        statistics.fmean(demand) if demand else 0.0,
        float(bool(demand)),
    ]


def _of_a_new_one(apart: float, lenders: int, spent: int) -> float:
    """How far a level not seen yet is off, so that 1.645 of it cover nine in ten, however few have lent."""
    return apart * math.sqrt(1 + 1 / lenders) * student_quantile(0.95, lenders - spent) / _NINETY
