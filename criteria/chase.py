"""What keeps a box worth opening once the base set is done.

The measure is how many different inserts and numbered parallels 100 spent is expected to meet: the tenth card
of one insert is nothing new, and a rung too far up is not met, so number and distance of the rungs are one
count. Cards per 100 would reward one insert in every pack. Without odds it is unknown: promises name only a
part of what falls.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from rating.criterion import (
    CardLine,
    Criterion,
    Economics,
    Facts,
    Finding,
    Unknown,
    amount,
    fixed,
    percent,
    scale,
    spread_over,
)

SCALE = scale(
    "logarithmic",
    "different inserts and numbered parallels per 100 spent",
    ("0.1", 0),
    (2, 50),
    (10, 100),
)
# how far off a price of each kind may be
_PRICE_DOUBT = {"street": 1.1, "restock": 1.1}
_OTHER_PRICE = 1.3


def find(facts: Facts) -> Finding | Unknown:
    """How many different inserts and numbered parallels 100 spent is expected to bring.

    Each counts once, however often it falls: the tenth card of one insert is no new thing to chase, and a
    rung too far up to be met counts for little. So long ladders with short steps score best.
    """
    economics, collation = facts.economics, facts.collations.get(facts.headline)
    if not isinstance(economics, Economics):
        return economics
    main = economics.main
    if not facts.lines:
        return Unknown("there is no checklist yet")
    if not facts.odds:
        return Unknown("there are no odds yet, so how often anything falls is not known")
    if collation is None:
        return Unknown(
            f"how a {main.name} box is packed is not known, so neither is how often anything falls"
        )
    if not main.box_price:
        return Unknown(f"there is no price for a {main.name} box yet")
    boxed = collation.expected(len(facts.lines))
    wanted = [i for i, line in enumerate(facts.lines) if _is_chased(line) and facts.headline in line.formats]
    silent = [i for i in wanted if i in collation.open_lines]
    if wanted and len(silent) == len(wanted):
        names = ", ".join(facts.lines[i].name for i in silent[:3])
        return Unknown(f"neither promises nor odds say how often {names} fall")
    rates = [boxed[i] for i in wanted if i not in silent]
    price = float(main.box_price)
    doubt = _PRICE_DOUBT.get(main.price_kind, _OTHER_PRICE)
    measure = _met(rates, 100 / price)
    hundred = f"{amount(100, facts, whole=True)}, before tax and shipping,"
    rungs = [boxed[i] for i in wanted if facts.lines[i].parallel and facts.lines[i].kind == "base"]
    return Finding(
        measure=measure,
        evidence=(
            f"kinds of insert and numbered parallel: {len(wanted)}",
            f"inserts and numbered parallels in a box: {fixed(Fraction(sum(rates)), 1)}",
            f"box price: {amount(main.box_price, facts)} ({main.price_kind})",
            *((f"not counted, as their odds are not stated: {len(silent)}",) if silent else ()),
        ),
        reason=f"{_told(measure, len(wanted), hundred)} {_ladder(rungs)}",
        spread=spread_over(
            SCALE, _met(rates, 100 / price / doubt), _met(rates, 100 / price * doubt), least=5
        ),
    )


def _is_chased(line: CardLine) -> bool:
    """Whether it is an insert, a variation or a numbered parallel; hits are asked about elsewhere."""
    return not line.is_hit and not line.is_base and (line.copies is not None or not line.parallel)


def _met(rates: Sequence[float], boxes: float) -> float:
    """Lines of which at least one falls in so many boxes, on average (any number may fall)."""
    return math.fsum(-math.expm1(-rate * boxes) for rate in rates)


def _told(measure: float, lines: int, hundred: str) -> str:
    if not lines:
        return "It has neither inserts nor numbered parallels."
    if lines == 1:
        often = percent(Fraction(measure))
        if often == 100:
            return f"It has only one insert or numbered parallel; {hundred} almost always gets you one."
        return f"It has only one insert or numbered parallel; {hundred} gets you one {often} times in 100."
    return (
        f"{hundred} gets you about {fixed(Fraction(measure), 1)} of the {lines} kinds of insert and "
        "numbered parallel."
    )


def _ladder(rungs: Sequence[float]) -> str:
    """The rungs of the base set's ladder and how many times scarcer each is than the one before."""
    if len(rungs) < 2:
        return f"The base set has {('no numbered parallel', 'only one numbered parallel')[len(rungs)]}."
    rates = sorted((rate for rate in rungs if rate), reverse=True)
    if len(rates) < 2:
        return f"The base set has {len(rungs)} numbered parallels; how far apart they are is not known."
    widest = max(common / rare for common, rare in pairwise(rates))
    usual = (rates[0] / rates[-1]) ** (1 / (len(rates) - 1))
    return (
        f"From most to least common, each of the {len(rates)} numbered base parallels is on average "
        f"{fixed(Fraction(usual), 1)} times scarcer than the one before; the biggest step is "
        f"{fixed(Fraction(widest), 1)} times."
    )


CRITERION = Criterion(
    key="chase",
    group="rarity",
    question=(
        "What keeps a box worth opening once the base set is done: "
        "inserts, numbered parallels, and how far apart the rungs are?"
    ),
    scale=SCALE,
    guidance=(
        "nothing but base cards and an unnumbered parallel or two",
        "one insert for 100 spent, rungs so far apart that nobody climbs them",
        "two or three different things to chase for 100 spent",
        "five for 100 spent: a long ladder with short steps and inserts people ask for",
        "ten for 100 spent, from every pack to one of one",
    ),
    needs=("economics",),
    find=find,
)
