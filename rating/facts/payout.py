"""The section on returns: what a box and a case of each format bring, from how cards fall.

What falls for certain is drawn for certain, odds of up to one in ten packs are binomial, all rarer cards
together are one compound Poisson draw, and the rest of the packs is base. Draws are taken to be independent
of each other, from a run so large that what is opened does not change it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

import numpy as np

from rating import money, tenths
from rating.facts.collation import Collation, Draw
from rating.facts.lines import Line
from rating.facts.outlook import share_weights
from rating.facts.returns import Category, Distribution, distribution, moments
from rating.facts.values import Economics, FormatEconomics, FormatReturns, Payout, Returns, Unknown

# steps of money; a card between two of them counts as either, in such shares that its mean stays
BOX_GRID, CASE_GRID = 0.05, 0.25
# 2^19 cells are 26,000 for a box and 131,000 for a case
_LONGEST = 1 << 19
# rarer than this a pack, a second one in a box is so rare that Poisson and binomial cannot be told apart
_RARE = 0.1
_HAIR = 1e-9


def returns(
    economics: Economics | Unknown,
    lines: Sequence[Line],
    collations: Mapping[str, Collation],
    values: Sequence[Sequence[float]] | Unknown,
) -> Returns | Unknown:
    """The section; unknown without values, and by format where packing is not known.

    Parameters
    ----------
    values : what each card of each line brings, in the order of the lines and their cards
    """
    if isinstance(values, Unknown):
        return values
    if isinstance(economics, Unknown):
        return economics
    return Returns(
        formats={
            key: _format(one, lines, collations[key], values)
            if key in collations
            else Unknown(f"how a {one.name} box is packed is not described")
            for key, one in economics.formats.items()
        }
    )


def _format(
    packed: FormatEconomics, lines: Sequence[Line], collation: Collation, values: Sequence[Sequence[float]]
) -> FormatReturns | Unknown:
    if not collation.draws:
        return Unknown(f"nothing says what a {packed.name} box holds")
    boxes = collation.boxes_per_case
    drawn, added = on_grid(categories(collation, lines, values), BOX_GRID)
    box = distribution(drawn, BOX_GRID, longest=_LONGEST)
    case = None
    if boxes is not None:
        price = packed.case_price or (None if packed.box_price is None else packed.box_price * boxes)
        drawn, _ = on_grid(categories(collation, lines, values, boxes=boxes), CASE_GRID)
        case = payout(distribution(drawn, CASE_GRID, longest=_LONGEST), price)
    return FormatReturns(
        name=packed.name,
        box=payout(box, packed.box_price),
        case=case,
        left_out=tuple(lines[i].name for i in collation.open_lines),
        grid=Decimal(str(BOX_GRID)),
        grid_error=tenths.six_digits(added),
        cut_off=tenths.six_digits(box.cut_off),
    )


def payout(found: Distribution, price: Decimal | None) -> Payout:
    """What a distribution says at a price, in half-up cents and six digits."""
    asked = None if not price else float(price)
    loss = None if asked is None else found.loss_given_loss(asked)
    return Payout(
        price=price,
        mean=_money(found.mean),
        sd=_money(found.sd),
        median=_money(found.median),
        q05=_money(found.quantile(0.05)),
        q25=_money(found.quantile(0.25)),
        q75=_money(found.quantile(0.75)),
        q95=_money(found.quantile(0.95)),
        p_return=None if asked is None else tenths.six_digits(found.at_least(asked)),
        loss_given_loss=None if loss is None else _money(loss),
        even_price=_money(found.price_of_even_chance),
    )


def _money(amount: float) -> Decimal:
    return money.cents(Decimal(tenths.six_digits(amount)))


def categories(
    collation: Collation, lines: Sequence[Line], values: Sequence[Sequence[float]], *, boxes: int = 1
) -> list[Category]:
    """What so many boxes hold, as draws; boxes of whole cases bring what is promised by the case."""
    found: list[Category] = []
    rare: list[tuple[float, list[float], list[float]]] = []
    for draw in collation.draws:
        worth, weights = _cards(draw, lines, values)
        if not worth:
            continue
        rate = draw.per_box / collation.packs_per_box
        if draw.certain or draw.source == "rest":
            found += _for_certain(draw, collation, worth, weights, boxes)
        elif rate <= _RARE or draw.source != "odds":
            rare.append((draw.per_box * boxes, worth, weights))
        elif rate <= 1:
            packs = collation.packs_per_box * boxes
            found.append(Category(("binomial", packs, rate), worth, weights))
        else:
            found.append(Category(("poisson", draw.per_box * boxes), worth, weights))
    total = math.fsum(count for count, _, _ in rare)
    if total:
        found.append(
            Category(
                ("poisson", total),
                [one for _, worth, _ in rare for one in worth],
                [count * weight for count, _, weights in rare for weight in weights],
            )
        )
    return found


def on_grid(drawn: Sequence[Category], grid: float) -> tuple[list[Category], float]:
    """The categories with values in whole steps, each mean kept, and the standard deviation that this adds.

    A value between two steps becomes the lower or the upper one, by where it lies between them. Rounding
    to the nearest would make a hundred commons worth 0.08 nothing, or a quarter each.
    """
    found, added = [], 0.0
    for one in drawn:
        values = np.asarray(one.values, dtype=np.float64) / grid
        weights = np.asarray(one.weights, dtype=np.float64)
        # a hair above a step is that step: 0.15 / 0.05 is not 3 in floats
        down = np.floor(values + _HAIR)
        part = np.maximum(0.0, values - down)
        between = part > 0
        steps = np.concatenate([down, down[between] + 1])
        shares = np.concatenate([weights * (1 - part), (weights * part)[between]])
        found.append(Category(one.draws, (steps * grid).tolist(), shares.tolist()))
        mean, _ = moments(one.draws)
        added += mean * float(weights @ (part * (1 - part)) / weights.sum())
    return found, grid * math.sqrt(added)


def _cards(
    draw: Draw, lines: Sequence[Line], values: Sequence[Sequence[float]]
) -> tuple[list[float], list[float]]:
    """What each card of a draw brings, and its share of the draw."""
    worth: list[float] = []
    weights: list[float] = []
    for i, share in zip(draw.lines, draw.weights, strict=True):
        own = share_weights(lines[i].runs)
        total = sum(own)
        worth += values[i]
        weights += [share * one / total for one in own]
    return worth, weights


def _for_certain(
    draw: Draw, collation: Collation, worth: list[float], weights: list[float], boxes: int
) -> list[Category]:
    """So many for certain, and one more with the chance of what is left over, in each unit of the promise."""
    cases, left = divmod(boxes, collation.boxes_per_case or boxes)
    units = {"pack": collation.packs_per_box * boxes, "box": boxes, "case": cases}[draw.per]
    count = draw.count
    if draw.per == "case" and left and collation.boxes_per_case:
        # a box of a case gets its even share of what the case is promised
        units, count = boxes, draw.count / collation.boxes_per_case
    whole, rest = divmod(Fraction(count), 1)
    found = [Category(int(whole) * units, worth, weights)] if whole else []
    if rest:
        found.append(Category(("binomial", units, float(rest)), worth, weights))
    return found
