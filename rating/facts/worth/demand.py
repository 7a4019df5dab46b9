"""How much collectors want each subject, from what the sales of a season's releases say, and from the host.

An effect on prices is one against the other subjects of its release, so each release has a level: where only
stars are, a star looks typical. Levels and subjects are found together by weighted least squares, each effect
weighing by its precision; the subjects that releases share tie them. The demand of a subject is where it lies
among all if they are normal: 50 is typical, and 84 one deviation above.

Each release is fitted without demand, so that nothing goes round in a circle; what all rookies share belongs
to a rookie. A model of a release's prices takes demand from other releases and the host only: its own sales
would count twice. Who is never sold is in doubt by as much as subjects differ.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

import numpy as np

from rating import tenths, text
from rating.facts.context import Demand
from rating.facts.worth.value import SubjectEffect

_SALES, _NUDGE, _BOTH = "sales", "nudge", "both"
# no deviation can be told from fewer subjects
_FEWEST = 3
_LEAST_ERROR = 1e-6
# releases without a subject in common stay at the same level; a factor of 7 is as far as levels are likely
_LEVEL_DEVIATION = 2.0


def demand(
    found: Iterable[Sequence[SubjectEffect]], nudges: Mapping[str, Demand] | None = None
) -> dict[str, Demand] | None:
    """The demand of every subject that was sold or that the host names, by names as compared.

    Where both speak, the demand lies halfway between. None where neither does.

    Parameters
    ----------
    found : the effects of the subjects of each release, worked out without demand
    nudges : the host's own word, by the names of subjects as compared
    """
    effects: dict[str, list[SubjectEffect]] = {}
    for one in _levelled([each for each in found if each]):
        effects.setdefault(text.key(one.subject), []).append(one)
    known = _from_sales(effects) if len(effects) >= _FEWEST else {}
    for name, word in (nudges or {}).items():
        known[name] = _nudged(known[name], word) if name in known else word
    return known or None


def _levelled(found: Sequence[Sequence[SubjectEffect]]) -> list[SubjectEffect]:
    """All effects with the level of their release taken off."""
    if len(found) < 2:
        return [one for each in found for one in each]
    names = dict.fromkeys(text.key(one.subject) for each in found for one in each)
    places = {name: i for i, name in enumerate(names)}
    value, weight = np.zeros((len(found), len(places))), np.zeros((len(found), len(places)))
    for i, each in enumerate(found):
        for one in each:
            value[i, places[text.key(one.subject)]] = float(one.value)
            weight[i, places[text.key(one.subject)]] = _weight(one)
    # the normal equations of the levels, the subjects eliminated
    whole = weight.sum(axis=0)
    normal = np.diag(weight.sum(axis=1) + _LEVEL_DEVIATION**-2) - (weight / whole) @ weight.T
    levels = np.linalg.solve(normal, (weight * (value - (weight * value).sum(axis=0) / whole)).sum(axis=1))
    return [
        replace(one, value=one.value - tenths.six_places(float(level)))
        for each, level in zip(found, levels, strict=True)
        for one in each
    ]


def _from_sales(effects: Mapping[str, list[SubjectEffect]]) -> dict[str, Demand]:
    means = {name: _mean(each) for name, each in effects.items()}
    middle, deviation = statistics.fmean(means.values()), statistics.stdev(means.values())
    if not deviation:
        return {}
    spread = statistics.NormalDist(middle, deviation)
    return {name: _demand(effects[name], mean, spread) for name, mean in means.items()}


def _weight(one: SubjectEffect) -> float:
    return max(float(one.error), _LEAST_ERROR) ** -2


def _mean(effects: Iterable[SubjectEffect]) -> float:
    weighed = [(float(one.value), _weight(one)) for one in effects]
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
