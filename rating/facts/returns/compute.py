"""The section on returns: what a box and a case of each format bring, from how cards fall.

Cards fall as `falling.laws` says; where more than a hundredth of the run is opened, promised cards of which
all print runs are known are drawn without replacement from it.

Draws without replacement take promised cards of known runs in that format alone, up to a quarter of the pool:
below a hundredth of the run nothing shows in two digits, and a run in several formats does not say how many
are here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rating import money, tenths, text
from rating.facts.context import Buying
from rating.facts.economics.compute import landed
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.laws import draws_in, law
from rating.facts.falling.lines import CardLine, share_weights
from rating.facts.plain import Unknown
from rating.facts.returns.value import NOTICED_SHARE, FormatReturns, Payout, Returns
from rating.facts.scarcity.value import Scarcity
from rating.facts.values.value import BULK, Valuation
from rating.facts.worth.level import Level
from rating.numerics.draws import WITHOUT_REPLACEMENT, Different
from rating.numerics.sums import Category, Distribution, distribution, moments

# steps of money; a card between two of them counts as either, in such shares that its mean stays
BOX_GRID, CASE_GRID = 0.05, 0.25
# 2^17 cells are 6,500 for a box and 32,000 for a case; amounts of which more lies beyond, as in money of
# small units, take coarser steps
_LONGEST = 1 << 17
_COARSER = (0.25, 1.0, 5.0, 25.0, 100.0, 500.0, 2500.0, 10_000.0, 50_000.0, 250_000.0, 1_000_000.0)
# less than what lies above the highest quantile told, which stays exact, as does what is below a price
_MOST_BEYOND = 0.04
_HAIR = 1e-9
# nothing is added to a price
# a mean that may be so many times more or less says nothing; no logarithm needs to be larger than the other
SAYS_NOTHING, _OPEN = 10, 9.0
# more of a box than this is most of it
_MOST = Decimal("0.5")
_AS_PRICED = Buying()
# draws times cells of a pool without replacement: beyond it they would take seconds and much memory
_MOST_FINITE = 1 << 22


def returns(
    economics: Economics | Unknown,
    lines: Sequence[CardLine],
    collations: Mapping[str, Collation],
    values: Sequence[Sequence[float]] | Unknown,
    scarcity: Scarcity | Unknown,
    worth: Valuation | None = None,
    *,
    buying: Buying = _AS_PRICED,
) -> Returns | Unknown:
    """The section; unknown without values, and by format where packing is not known.

    Parameters
    ----------
    values : what each card of each line brings, in the order of the lines and their cards
    scarcity : how many packs exist
    worth : what these values rest on, so that their doubt is told; without it there is none
    buying : what is added to a price until it is on the table
    """
    if isinstance(values, Unknown):
        return values
    if isinstance(economics, Unknown):
        return economics
    return Returns(
        formats={
            key: _format(one, lines, collations[key], values, _run(key, scarcity), worth, buying)
            if key in collations
            else Unknown(f"how a {one.name} box is packed is not described")
            for key, one in economics.formats.items()
        },
        as_of=None if worth is None else worth.values.as_of,
    )


class _Commons(NamedTuple):
    """Lines whose cards mostly count as bulk though they sell, and what they would add to a box by that."""

    lines: tuple[str, ...]
    least: Decimal | None
    more: float


def _commons(collation: Collation, lines: Sequence[CardLine], worth: Valuation | None) -> _Commons:
    """None where no least price of the market is known; kinds that were never sold do not sell at it."""
    if worth is None or worth.values.least is None:
        return _Commons((), None, 0.0)
    least, more, named = float(worth.values.least), 0.0, []
    for copies, line, own in zip(collation.expected(len(lines)), lines, worth.lines, strict=True):
        weights = share_weights(line.runs)
        bulk = [
            weight * max(0.0, least - value)
            for weight, value, basis in zip(weights, own.expected, own.basis, strict=True)
            if basis == BULK and line.kind not in worth.values.never_sold
        ]
        if copies and bulk:
            more += copies * sum(bulk) / sum(weights)
            if 2 * len(bulk) > len(weights):
                named.append((copies, line.name))
    return _Commons(tuple(name for _, name in sorted(named, reverse=True)), worth.values.least, more)


def doubt(level: Level, amounts: npt.NDArray[np.float64], name: str, sales: int) -> Decimal | Unknown:
    """By how many times the mean of a box of a format may be off in nine of ten, or why sales do not tell it.

    Parameters
    ----------
    amounts : (m,) what each card adds to it
    """
    share = tenths.six_digits(level.never_on_offer(amounts))
    if share > _MOST:
        part = f"{tenths.percent(share)} % of a {name} box's value"
        return Unknown(
            f"none of the {text.count(sales, 'sale')} is of the people who make up {part}, so they cannot "
            "say what a box returns"
        )
    # nine in ten of a normal law lie within 1.645 deviations
    factor = tenths.six_digits(math.exp(min(1.645 * level.error(amounts), _OPEN)))
    if factor > SAYS_NOTHING:
        return Unknown(
            f"{text.count(sales, 'sale')} are too few: what a {name} box returns on average may be over "
            f"{SAYS_NOTHING} times more or less than they say"
        )
    return factor


def _amounts(
    collation: Collation, lines: Sequence[CardLine], values: Sequence[Sequence[float]]
) -> npt.NDArray[np.float64]:
    """What each card of each line adds to what a box returns on average."""
    found = []
    for copies, line, own in zip(collation.expected(len(lines)), lines, values, strict=True):
        weights = share_weights(line.runs)
        found.append(copies * np.array(weights, dtype=np.float64) / sum(weights) * np.asarray(own))
    return np.concatenate(found)


def _run(key: str, scarcity: Scarcity | Unknown) -> int | None:
    """How many packs of a format exist, as far as known."""
    found = None if isinstance(scarcity, Unknown) else scarcity.formats.get(key)
    return found.packs.estimate if found else None


def _format(
    packed: FormatEconomics,
    lines: Sequence[CardLine],
    collation: Collation,
    values: Sequence[Sequence[float]],
    run: int | None,
    worth: Valuation | None,
    buying: Buying,
) -> FormatReturns | Unknown:
    if not collation.draws:
        return Unknown(f"nothing says what a {packed.name} box holds")
    factor: Decimal | Unknown = Decimal(1)
    if worth is not None and worth.level is not None:
        factor = doubt(worth.level, _amounts(collation, lines, values), packed.name, worth.values.sales)
    if isinstance(factor, Unknown):
        return factor
    boxes = collation.boxes_per_case
    finite, added = [], []

    def opened(
        what: str, count: int, finest: float, share: Fraction | None, price: Decimal | None
    ) -> Distribution:
        is_noticed = share is not None and tenths.six_digits(share) > NOTICED_SHARE
        for grid in (finest, *(one for one in _COARSER if one > finest)):
            drawn = categories(collation, lines, values, boxes=count, finite=grid if is_noticed else None)
            drawn, step = on_grid(drawn, grid)
            made = distribution(drawn, grid, longest=_LONGEST)
            if made.cut_off <= _MOST_BEYOND and float(price or 0) * float(factor) < _LONGEST * grid:
                break
        added.append(step)
        if any(isinstance(one.draws, tuple) and one.draws[0] == WITHOUT_REPLACEMENT for one in drawn):
            finite.append(what)
        return made

    box_share = Fraction(collation.packs_per_box, run) if run else None
    case_share = box_share * boxes if box_share is not None and boxes is not None else None
    box = opened("box", 1, BOX_GRID, box_share, packed.box_price)
    case = None
    if boxes is not None:
        order = packed.of_boxes(boxes)
        price = None if order is None else money.cents(order.price)
        whole = opened("case", boxes, CASE_GRID, case_share, price)
        case = payout(whole, price, factor, _landed(price, buying))
    commons = _commons(collation, lines, worth)
    return FormatReturns(
        name=packed.name,
        box=payout(box, packed.box_price, factor, _landed(packed.box_price, buying)),
        case=case,
        left_out=tuple(lines[i].name for i in collation.open_lines),
        grid=Decimal(repr(box.grid).removesuffix(".0")),
        grid_error=tenths.six_digits(added[0]),
        cut_off=tenths.six_places(box.cut_off),
        box_share=None if box_share is None else tenths.six_digits(box_share),
        case_share=None if case_share is None else tenths.six_digits(case_share),
        finite=tuple(finite),
        factor=factor,
        commons=commons.lines,
        least=commons.least,
        with_commons=_money(box.mean + commons.more) if commons.lines else None,
    )


def _landed(price: Decimal | None, buying: Buying) -> Decimal | None:
    return None if not price else landed(price, buying)


def payout(
    found: Distribution,
    price: Decimal | None,
    factor: Decimal = Decimal(1),
    landed: Decimal | None = None,
) -> Payout:
    """What a distribution says at a price, in half-up cents; chances in the six places that transforms keep.

    Parameters
    ----------
    factor : so many times less or more all cards may be worth; a sum times f returns a price just where the
        sum returns the price over f
    landed : what it costs with shipping, duty and tax
    """
    asked = None if not price else float(price)

    def chance(times: float) -> Decimal | None:
        return None if asked is None else tenths.six_places(found.at_least(asked / times))

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
        p_return=chance(1.0),
        loss_given_loss=None if loss is None else _money(loss),
        even_price=_money(found.price_of_even_chance),
        p_low=chance(1 / float(factor)),
        p_high=chance(float(factor)),
        p_landed=None if landed is None else tenths.six_places(found.at_least(float(landed))),
    )


def _money(amount: float) -> Decimal:
    return money.cents(Decimal(tenths.six_digits(amount)))


def categories(
    collation: Collation,
    lines: Sequence[CardLine],
    values: Sequence[Sequence[float]],
    *,
    boxes: int = 1,
    finite: float | None = None,
) -> list[Category]:
    """What so many boxes hold, as draws; boxes of whole cases bring what is promised by the case.

    Parameters
    ----------
    finite : the step of money where promised cards are to be drawn without replacement as far as possible
    """
    found: list[Category] = []
    packs = collation.packs_per_box * boxes
    for draw in collation.draws:
        worth, weights = _cards(draw, lines, values)
        if not worth:
            continue
        drawn = [Category(one, worth, weights) for one in draws_in(law(draw, collation), packs)]
        copies = _copies(draw, lines, collation.format) if finite else None
        found += [_from_run(one, copies, finite) for one in drawn] if copies and finite else drawn
    return _together(found)


def _together(drawn: Sequence[Category]) -> list[Category]:
    """The categories with all that may be any number as one: a sum of such draws is such a draw."""
    loose = [(moments(one.draws)[0], one) for one in drawn if _is_any(one)]
    total = math.fsum(mean for mean, _ in loose)
    found = [one for one in drawn if not _is_any(one)]
    if total:
        worth = [value for _, one in loose for value in one.values]
        weights = [mean * weight for mean, one in loose for weight in one.weights]
        found.append(Category(("poisson", total), worth, weights))
    return found


def _is_any(one: Category) -> bool:
    return isinstance(one.draws, tuple) and one.draws[0] == "poisson"


def on_grid(drawn: Sequence[Category], grid: float) -> tuple[list[Category], float]:
    """The categories with values in whole steps, each mean kept, and the standard deviation that this adds.

    A value between two steps becomes the lower or the upper one, by where it lies between them. Rounding
    to the nearest would make a hundred commons worth 0.08 nothing, or a quarter each. `sums` itself does so
    for cards of a pack that are all different; whole copies of a known run cannot be shared out: they are
    left to be rounded.
    """
    found, added = [], 0.0
    for one in drawn:
        if isinstance(one.draws, tuple) and one.draws[0] == WITHOUT_REPLACEMENT:
            found.append(one)
            continue
        values = np.asarray(one.values, dtype=np.float64) / grid
        weights = np.asarray(one.weights, dtype=np.float64)
        # a hair above a step is that step: 0.15 / 0.05 is not 3 in floats
        down = np.floor(values + _HAIR)
        part = np.maximum(0.0, values - down)
        if isinstance(one.draws, Different):
            found.append(one)
        else:
            between = part > 0
            steps = np.concatenate([down, down[between] + 1])
            shares = np.concatenate([weights * (1 - part), (weights * part)[between]])
            found.append(Category(one.draws, (steps * grid).tolist(), shares.tolist()))
        mean, _ = moments(one.draws)
        added += mean * float(weights @ (part * (1 - part)) / weights.sum())
    return found, grid * math.sqrt(added)


def _cards(
    draw: Draw, lines: Sequence[CardLine], values: Sequence[Sequence[float]]
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


def _copies(draw: Draw, lines: Sequence[CardLine], key: str) -> list[int] | None:
    """The copies of each card of a promise that are in one format, None where they are not known.

    The print run of a line that is in several formats does not say how many are in this one.
    """
    if not draw.certain or any(lines[i].formats != (key,) for i in draw.lines):
        return None
    runs = [run for i in draw.lines for run in lines[i].runs]
    known = [run for run in runs if run is not None]
    return known if len(known) == len(runs) else None


def _from_run(drawn: Category, copies: Sequence[int], grid: float) -> Category:
    """A whole number of draws from a known run; left as it is where the run is too small or too large."""
    cells = max(drawn.values) / grid + 1
    if not isinstance(drawn.draws, int) or 4 * drawn.draws > sum(copies):
        return drawn
    if cells * drawn.draws**2 > _MOST_FINITE:
        return drawn
    return Category((WITHOUT_REPLACEMENT, drawn.draws), drawn.values, copies)
