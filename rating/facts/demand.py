"""How much collectors want each subject, from what the sales of a season's releases say, and from the host.

A subject's effect on prices is averaged over releases, each weighing by its precision. Its demand is where
that puts it among all subjects if their effects are normal: 50 is typical, and 84 one deviation above.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Mapping
from decimal import Decimal

from rating import tenths, text
from rating.facts.values import Demand, SubjectEffect, Unknown, Values

_SALES, _NUDGE, _BOTH = "sales", "nudge", "both"
# no deviation can be told from fewer subjects
_FEWEST = 3
_LEAST_ERROR = 1e-6


def demand(
    found: Iterable[Values | Unknown], nudges: Mapping[str, Demand] | None = None
) -> dict[str, Demand] | None:
    """The demand of every subject that was sold or that the host names, by names as compared.

    Where both speak, the demand lies halfway between. None where neither does.

    Parameters
    ----------
    found : the values of a season's releases
    nudges : the host's own word, by the names of subjects as compared
    """
    effects: dict[str, list[SubjectEffect]] = {}
    for values in found:
        if isinstance(values, Values):
            for one in values.subjects:
                effects.setdefault(text.key(one.subject), []).append(one)
    known = _from_sales(effects) if len(effects) >= _FEWEST else {}
    for name, word in (nudges or {}).items():
        known[name] = _nudged(known[name], word) if name in known else word
    return known or None


def _from_sales(effects: Mapping[str, list[SubjectEffect]]) -> dict[str, Demand]:
    means = {name: _mean(each) for name, each in effects.items()}
    middle, deviation = statistics.fmean(means.values()), statistics.stdev(means.values())
    if not deviation:
        return {}
    spread = statistics.NormalDist(middle, deviation)
    return {name: _demand(effects[name], mean, spread) for name, mean in means.items()}


def _mean(effects: Iterable[SubjectEffect]) -> float:
    weighed = [(float(one.value), max(float(one.error), _LEAST_ERROR) ** -2) for one in effects]
    return sum(value * weight for value, weight in weighed) / sum(weight for _, weight in weighed)


def _demand(each: list[SubjectEffect], mean: float, spread: statistics.NormalDist) -> Demand:
    sales = text.count(sum(one.sales for one in each), "sale")
    where = f" in {len(each)} releases" if len(each) > 1 else ""
    times = tenths.fixed(tenths.six_digits(math.exp(mean - spread.mean)), 1)
    return Demand(
        subject=each[0].subject,
        demand=_tenth(tenths.six_digits(100 * spread.cdf(mean))),
        basis=_SALES,
        why=f"{sales}{where} at {times} times what is usual",
    )


def _nudged(sold: Demand, word: Demand) -> Demand:
    return Demand(
        subject=sold.subject,
        demand=_tenth((sold.demand + word.demand) / 2),
        basis=_BOTH,
        why=f"{sold.why}; {word.why}" if word.why else sold.why,
    )


def _tenth(demand: Decimal) -> Decimal:
    return Decimal(tenths.fixed(demand, 1))
