"""How sure a sum of values is: what all copies are worth, or a box returns, by what its values share.

Errors that cards share through the model do not average out. How far off a sum may be is told by what it
would be by fits that leave a part of the sales out each, all that follows from them worked out anew: who
sells more, how large errors are, what is bulk (the delete-a-group jackknife: Kott 2001, Journal of Official
Statistics 17, 521-526). Errors of the sales of single cards do average out. What no sale speaks of is added:
people who were not on offer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rating.facts.worth.card_model import PriceModel
from rating.numerics.robust_fit import Flags, Floats
from rating.numerics.special import student_quantile

# the median of n normal errors is so much less sure than their mean, in variance
_OF_MEDIAN = math.pi / 2
# nine of ten of a normal law lie within so many deviations
_NINETY = 1.645


@dataclass(frozen=True, kw_only=True)
class Level:
    """What the values of m cards rest on, one after the other.

    strangers
        (m,) the part of the people on each who were never sold
    values
        (m,) what each leaves a seller on average
    sold, bulk
        (m,) whether it is worth what its own sales say, or the bulk floor
    sales
        (m,) how many sales of its own it has
    by_parts
        (g, m) how many times as much each would be worth by a fit that leaves a part of the sales out
    whatever
        what selling costs whatever the price, which makes values move by more than prices do
    apart
        how far the level of carried-over prices may be off, as a standard error; 0 for own sales
    """

    model: PriceModel
    strangers: Floats
    values: Floats
    sold: Flags
    bulk: Flags
    sales: Floats
    by_parts: Floats
    whatever: float
    apart: float = 0.0

    def never_on_offer(self, amounts: Floats) -> float:
        """The share of a sum that is of people of whom none was sold, though others sold often.

        Whether they are like those sold, no number of sales tells (Meng 2018, Annals of Applied Statistics
        12, 685-726): who is on offer is mostly who is wanted, and who is wanted has more cards.

        Parameters
        ----------
        amounts : (m,) what each card adds
        """
        if self.model.were_on_offer or not amounts.any():
            return 0.0
        by_model = np.where(self.sold | self.bulk, 0.0, amounts)
        return float(by_model @ self.strangers / amounts.sum())

    def error(self, amounts: Floats) -> float:
        """The standard error of the logarithm of a sum, of which each card adds an amount (m,).

        It is so much wider that 1.645 of it cover nine in ten though few fits, or people, tell it.
        """
        if not amounts.any():
            return 0.0
        moved = 1 + np.divide(self.whatever, self.values, out=np.zeros(len(amounts)), where=self.values > 0)
        shares = amounts * moved / amounts.sum()
        by_model = np.where(self.sold | self.bulk, 0.0, shares)
        own = np.where(self.sold, shares, 0.0)
        model = self.model
        sums = np.log(self.by_parts @ amounts)
        parts = len(sums)
        variance = (parts - 1) / parts * float(np.sum((sums - sums.mean()) ** 2))
        variance += model.of_few * float(by_model.sum()) ** 2
        variance += model.fit.scale**2 * _OF_MEDIAN * float(np.sum(own**2 / np.maximum(self.sales, 1)))
        wider = student_quantile(0.95, model.freedom) / _NINETY
        strange = math.sqrt(model.of_strangers) * float(by_model @ self.strangers)
        return math.hypot(wider * math.sqrt(variance), strange, self.apart)
