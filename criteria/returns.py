"""What is the chance that a box returns its price, what is the expected return, and how bad is a bad box?"""

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
    fixed,
    percent,
    scale,
)


def find(facts: Facts) -> Finding | Unknown:
    """The mean of three shares of the price: chance of returning it, expected return, and the bad quarter's.

    The bad quarter's return is that which three boxes of four exceed.
    """
    returns, values = facts.returns, facts.values
    if not isinstance(returns, Returns):
        return returns
    found = returns.formats.get(facts.headline)
    if not isinstance(found, FormatReturns):
        return found or Unknown("the headline format is not described")
    box = found.box
    if not box.price or box.p_return is None:
        return Unknown(f"there is no price of a {found.name} box yet")
    measure = _measure(box, Fraction(box.price))
    return Finding(
        measure=measure,
        evidence=(
            f"mean {box.mean}, median {box.median}, middle half {box.q25} to {box.q75}, price {box.price}",
            f"{percent(box.p_return)} boxes of 100 return their price, every other one {box.even_price}",
            *((f"a loss is {box.loss_given_loss} on average",) if box.loss_given_loss is not None else ()),
            *((f"counted as nothing: {', '.join(found.left_out)}",) if found.left_out else ()),
        ),
        reason=(
            f"A {found.name} box at {box.price} is expected to return {fixed(box.mean)}; "
            f"{percent(box.p_return)} of 100 return what they cost, "
            f"and a bad one in four brings {fixed(box.q25)} or less."
        ),
        spread=_spread(values),
    )


def _measure(box: Payout, price: Fraction) -> Fraction:
    chance = Fraction(box.p_return or 0)
    return (chance + Fraction(box.mean) / price + Fraction(box.q25) / price) / 3


def _spread(values: Values | Unknown) -> int:
    """Sold prices leave 6 points of doubt, modelled ones up to 6 more, carried-over ones up to 14."""
    if isinstance(values, Unknown):
        return 20
    return 6 + int(6 * values.modelled_share + 14 * values.carried_over)


CRITERION = Criterion(
    key="returns",
    group="money",
    question=(
        "What is the chance that a box returns its price, "
        "what is the expected return, and how bad is a bad box?"
    ),
    # at the middle one box in five returns its price, all of them two thirds on average, a bad one a quarter
    scale=scale(
        "linear",
        "mean of chance, expected and bad return over price",
        ("0.12", 0),
        ("0.37", 50),
        ("0.75", 100),
    ),
    guidance=(
        "hardly a box in twenty returns its price, and a bad one returns almost nothing",
        "one box in ten returns its price",
        "one box in five does, and a bad one still returns a quarter",
        "one box in three does, and a bad one returns half",
        "every other box does, and a bad one hurts little",
    ),
    needs=("economics", "values", "returns"),
    spread=12,
    find=find,
)
