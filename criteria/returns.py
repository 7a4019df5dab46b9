"""What is the chance that a box returns its price, what is the expected return, and how bad is a bad box?

The spread is half of what the score moves by where all values are 1.645 standard errors of their level lower
and higher: errors of single cards average out in a box, that of the level does not; to a level that is
carried over comes how far the levels of releases lie apart. A box times f returns its price where the box
returns the price over f, so nothing is computed anew.
"""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import (
    Criterion,
    Facts,
    Finding,
    FormatReturns,
    Payout,
    Returns,
    Unknown,
    Values,
    amount,
    percent,
    scale,
    spread_over,
)

# at the middle one box in ten returns its price, all of them half on average, a bad one a quarter; in
# logarithms plain boxes, which bring back a tenth or a fifth of what they cost, are told apart
SCALE = scale(
    "logarithmic",
    "mean of three: chance to break even, average and bad return over price",
    ("0.03", 0),
    ("0.3", 50),
    ("0.8", 100),
)
# what is in doubt however sure values are: boxes are not filled quite as packing and odds say
_LEAST_SPREAD = 4


def find(facts: Facts) -> Finding | Unknown:
    """The mean of three shares of the price: chance of returning it, expected return, and the bad quarter's.

    The bad quarter's return is that which three boxes of four exceed. The doubt is what the score moves by
    where all cards are worth less, or more, by as much as nine times in ten covers.
    """
    returns, values = facts.returns, facts.values
    if not isinstance(returns, Returns):
        return returns
    found = returns.formats.get(facts.headline)
    if not isinstance(found, FormatReturns):
        return found or Unknown("the headline format is not described")
    box = found.box
    if not box.price or box.p_return is None:
        return Unknown(f"there is no price for a {found.name} box yet")
    price, factor = Fraction(box.price), Fraction(found.factor)
    measure = _measure(box, price, Fraction(box.p_return))
    low = measure if box.p_low is None else _measure(box, price * factor, Fraction(box.p_low))
    high = measure if box.p_high is None else _measure(box, price / factor, Fraction(box.p_high))
    carried_from = values.carried_from if isinstance(values, Values) else ()
    opening = "Going by other releases' prices, a" if carried_from else "A"
    return Finding(
        measure=measure,
        evidence=(
            (
                f"price {amount(box.price, facts)}; a box returns {amount(box.mean, facts)} on average, "
                f"{amount(box.median, facts)} typically, and half of all boxes between "
                f"{amount(box.q25, facts)} and {amount(box.q75, facts)}"
            ),
            (
                f"{percent(box.p_return)} % of boxes return their price; "
                f"at {amount(box.even_price, facts)} half would"
            ),
            *(
                (f"losing boxes lose {amount(box.loss_given_loss, facts)} on average",)
                if box.loss_given_loss is not None
                else ()
            ),
            *((f"prices borrowed from {', '.join(carried_from)}",) if carried_from else ()),
            f"the cards may really be worth {percent(1 / factor)} % to {percent(factor)} % of their estimate",
            *((f"counted as worth nothing: {', '.join(found.left_out)}",) if found.left_out else ()),
        ),
        reason=(
            f"{opening} {found.name} box at {amount(box.price, facts)} is expected to return "
            f"{amount(box.mean, facts)}; {percent(box.p_return)} % of boxes return their price, and the "
            f"worst quarter return {amount(box.q25, facts)} or less."
        ),
        spread=spread_over(SCALE, low, measure, high, least=_LEAST_SPREAD),
    )


def _measure(box: Payout, price: Fraction, chance: Fraction) -> Fraction:
    """At a price over f everything returns f times as much of it."""
    return (chance + Fraction(box.mean) / price + Fraction(box.q25) / price) / 3


CRITERION = Criterion(
    key="returns",
    group="money",
    question=(
        "What is the chance that a box returns its price, "
        "what is the expected return, and how bad is a bad box?"
    ),
    scale=SCALE,
    guidance=(
        "no box returns its price, and next to nothing comes back",
        "hardly a box returns its price, and a tenth or a fifth of it comes back",
        "one box in ten returns its price, and about half of it comes back on average",
        "one box in four does, and a bad one still returns half",
        "every other box does, and a bad one hurts little",
    ),
    needs=("economics", "values", "returns"),
    spread=12,
    find=find,
)
