"""How sure a sum of values is: what all copies are worth, or a box returns, by what its values share.

Errors that cards share through the model do not average out: those of its effects, of who was never sold, and
of a week, by which the sales of a card were moved to the day. Those of the sales of single cards do. What is
bulk is worth the floor until prices are so much higher that it sells alone: upwards a sum moves by more than
a little step says.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from rating.facts.worth.card_model import Foretold, PriceModel
from rating.numerics.robust_fit import Flags, Floats
from rating.numerics.special import student_quantile

# the median of n normal errors is so much less sure than their mean, in variance
_OF_MEDIAN = math.pi / 2
# nine of ten of a normal law lie within so many deviations
_NINETY = 1.645
# prices that may be e to this times as high say nothing
_FARTHEST = 9.0


@dataclass(frozen=True, kw_only=True)
class Level:
    """What the values of m cards rest on, one after the other.

    foretold
        what the model says of them
    values
        (m,) what each leaves a seller on average
    sold, bulk
        (m,) whether it is worth what its own sales say, or the bulk floor
    sales, weeks
        (m,) how many sales of its own it has, and by how many weeks these were moved to the day on average
    whatever
        what selling costs whatever the price, which makes values move by more than prices do
    apart
        how far the level of carried-over prices may be off, as a standard error; 0 for own sales
    rise
        gives by what (m,) values would be multiplied if the logarithms of modelled prices were so much higher
    """

    model: PriceModel
    foretold: Foretold
    values: Floats
    sold: Flags
    bulk: Flags
    sales: Floats
    weeks: Floats
    whatever: float
    rise: Callable[[float], Floats]
    apart: float = 0.0

    def error(self, amounts: Floats) -> float:
        """The standard error of the logarithm of a sum, of which each card adds an amount (m,).

        It is so much wider that 1.645 of it cover nine in ten though few sales, or people, tell the scale.
        """
        if not amounts.any():
            return 0.0
        moved = 1 + np.divide(self.whatever, self.values, out=np.zeros(len(amounts)), where=self.values > 0)
        shares = amounts * moved / amounts.sum()
        by_model = np.where(self.sold | self.bulk, 0.0, shares)
        own = np.where(self.sold, shares, 0.0)
        model = self.model
        row = by_model @ self.foretold.design
        row[model.columns.week] += float(own @ self.weeks)
        count = len(model.seen)
        strangers = float(by_model @ self.foretold.strangers)
        variance = model.variance_of(row, strangers)
        shared = model.variance_of(by_model @ self.foretold.design, strangers)
        # the mean of a price is its middle times e to half the variance, which is known to 2 in n
        of_prices = float(by_model @ self.foretold.noise**2) ** 2 / (2 * count)
        of_prices += (model.preferred[1] + model.of_few) * float(by_model.sum()) ** 2
        variance += of_prices
        variance += model.fit.scale**2 * _OF_MEDIAN * float(np.sum(own**2 / np.maximum(self.sales, 1)))
        wider = student_quantile(0.95, model.freedom) / _NINETY
        beyond = self._beyond(amounts, by_model, wider * math.sqrt(shared + of_prices))
        return math.hypot(wider * math.sqrt(variance), beyond, self.apart)

    def _beyond(self, amounts: Floats, by_model: Floats, error: float) -> float:
        """What is to be added to an error by the model, in squares, so that 1.645 of it reach what would be.

        Nine times in ten prices are no higher than by 1.645 errors of theirs, and values then as `rise` says.
        """
        moves = float(by_model.sum())
        if not moves > 0:
            return 0.0
        factors = np.where(self.sold, 1.0, self.rise(min(_NINETY * error / moves, _FARTHEST)))
        up = math.log(float(amounts @ factors) / float(amounts.sum())) / _NINETY
        return math.sqrt(max(up**2 - error**2, 0.0))
