"""What a box returns: the exact distribution of a sum of independent draws, on a grid of money.

A box is so many draws of each category of cards, a fixed number or a random one. The generating function of
the box is the product of those of its categories, and Fourier transforms give every chance at once.

A card between two steps of money counts as either, in shares that keep its mean; rounded to the nearest step
a thousand commons at 0.08 would be nothing in a case on steps of a quarter. Steps grow until what lies beyond
the last cell is under 4 % and the price is before it: quantiles told end at 95 %, and a chance to return a
price counts all that is beyond, so both stay exact in money of any unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from numbers import Integral

import numpy as np
import numpy.typing as npt
from numpy import fft

from rating.numerics.checked import not_negative, number, positive, whole
from rating.numerics.draws import WITHOUT_REPLACEMENT, Counts, Different, Draws, spread_of
from rating.numerics.pack_sums import HAIR, Array, Transform, between, elementary, fast_size, longest, pack
from rating.numerics.special import binomial_end, poisson_end

# what a random number of draws exceeds less often than this is not looked at
_TAIL = 1e-15
# a support longer than this is wrapped around, with what comes back damped by exp(-_DAMPING)
_LONGEST = 1 << 22
_DAMPING = 16.0
# whole numbers beyond it are not told apart in floats
_MOST_STEPS = 2.0**53
# a chance below it is nothing but the rounding of transforms
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Category:
    """Draws of one kind of card: how many, what each may be worth, and how likely each of these is.

    draws
        a whole number, ("poisson", mean), ("binomial", trials, chance), `Counts`, ("without replacement",
        number), of which the weights are copies, see `without_replacement`; or `Different`, of which the
        weights are alike, since each value is a card that a pack holds once
    values, weights
        k values from 0 up, in the unit of the grid, and k weights from 0 up, of any positive sum
    """

    draws: Draws
    values: Sequence[float]
    weights: Sequence[float]

    def times(self, boxes: int) -> Category:
        """The same category in so many boxes together."""
        count = whole(boxes, "boxes", least=1)
        match self.draws:
            case ("poisson", mean):
                return Category(("poisson", float(mean) * count), self.values, self.weights)
            case ("binomial", trials, chance):
                return Category(("binomial", int(trials) * count, float(chance)), self.values, self.weights)
            case Counts(chances):
                total: Array = reduce(np.convolve, [np.asarray(chances, dtype=np.float64)] * count)
                return Category(Counts(tuple(total.tolist())), self.values, self.weights)
            case Different(packs, sure, more):
                return Category(Different(packs * count, sure, more), self.values, self.weights)
            case ("without replacement", number):
                return Category((WITHOUT_REPLACEMENT, int(number) * count), self.values, self.weights)
            case Integral() if not isinstance(self.draws, bool):
                return Category(int(self.draws) * count, self.values, self.weights)
        raise ValueError(_no_draws(self.draws))


@dataclass(frozen=True, kw_only=True)
class Distribution:
    """The chances of a sum of money on a grid from 0.

    probabilities
        array of shape (cells,): the chance of 0, 1, 2, … steps; it sums to 1 less what lies beyond
    grid
        the step, in the unit of the values
    mean, sd
        of the values as they were rounded to the grid
    cut_off
        at most this much lies beyond the last cell or has come back to a wrong one
    grid_error
        at most this far can rounding values to the grid have moved the sum, on average
    """

    probabilities: Array
    grid: float
    mean: float
    sd: float
    cut_off: float
    grid_error: float

    @cached_property
    def _below(self) -> Array:
        """The chance of at most 0, 1, 2, … steps."""
        return np.minimum(np.cumsum(self.probabilities), 1.0)

    def quantile(self, q: float) -> float:
        """The least amount that is not exceeded with a chance of at least q, 0 < q < 1."""
        share = number(q, "a quantile")
        if not 0 < share < 1:
            raise ValueError(f"a quantile lies between 0 and 1, both excluded, got {q!r}")
        cell = int(np.searchsorted(self._below, share - 1e-12))
        return min(cell, len(self.probabilities) - 1) * self.grid

    @property
    def median(self) -> float:
        """The amount that half of the boxes do not exceed."""
        return self.quantile(0.5)

    def at_least(self, amount: float) -> float:
        """The chance that the sum is an amount or more."""
        first = self._first(amount)
        if first <= 0:
            return 1.0
        # from below: what lies beyond the last cell is counted, and far cells carry most of the rounding
        return max(0.0, 1 - float(self._below[min(first, len(self._below)) - 1]))

    def _first(self, amount: float) -> int:
        """The first cell of at least an amount, whatever the last bits of the division say."""
        steps = number(amount, "an amount") / self.grid
        near = round(steps)
        return near if abs(steps - near) <= HAIR * max(1.0, abs(steps)) else math.ceil(steps)

    def loss_given_loss(self, price: float) -> float | None:
        """What is missing to a price on average where the sum is below it; None where it never is."""
        first = min(self._first(positive(price, "a price")), len(self.probabilities))
        below = self.probabilities[: max(0, first)]
        chance = float(below.sum())
        if chance <= _ROUNDING:
            return None
        return float(price) - float(below @ np.arange(len(below))) * self.grid / chance

    @property
    def price_of_even_chance(self) -> float:
        """The highest price that is returned with a chance of a half or more."""
        reached = 1 - np.concatenate([[0.0], self._below[:-1]])
        return int(np.flatnonzero(reached >= 0.5 - 1e-12)[-1]) * self.grid


def distribution(
    categories: Sequence[Category | tuple[object, ...]], grid: float, *, longest: int = _LONGEST
) -> Distribution:
    """The distribution of the sum of all draws of all categories, independent of each other.

    Values go to the nearest step; of cards that are different in a pack those between two steps become
    either, in shares that keep their mean. The length is that of the whole support, so nothing wraps around;
    a support of more than `longest` cells is tilted instead, and `cut_off` says what that leaves.

    Parameters
    ----------
    categories : `Category`, or triples (draws, values, weights)
    grid : the step, in the unit of the values
    longest : cells that are looked at, from 0 up

    Raises
    ------
    ValueError
        for a grid that is not above 0, a category without values, values below 0, weights that are negative
        or sum to 0, as many weights as values, or draws that are none

    References
    ----------
    Grubel and Hermesmeier (1999), Computation of compound distributions I, ASTIN Bulletin 29, 197-214 (the
    tilting).
    """
    step = positive(grid, "the grid")
    read = [_Read.of(one if isinstance(one, Category) else _category(one), step) for one in categories]
    cells = 1 + sum(one.most * one.last for one in read)
    length = min(cells, whole(longest, "the longest support", least=2))
    size = fast_size(length)
    theta = _DAMPING / size if cells > size else 0.0
    if read:
        chances = fft.irfft(_product(one.transform(size, theta) for one in read), size)[:length]
        if theta:
            chances *= np.exp(theta * np.arange(length))
        np.maximum(chances, 0.0, out=chances)
    else:
        chances = np.ones(1)
    tails = len(read) * _TAIL
    return Distribution(
        probabilities=chances,
        grid=step,
        mean=step * math.fsum(one.mean for one in read),
        sd=step * math.sqrt(math.fsum(one.variance for one in read)),
        cut_off=tails + (math.exp(-_DAMPING) + max(0.0, 1 - float(chances.sum())) if theta else 0.0),
        grid_error=math.fsum(one.moved for one in read),
    )


def _category(given: tuple[object, ...]) -> Category:
    if len(given) != 3:
        raise ValueError(f"a category is draws, values and weights, got {len(given)} parts")
    return Category(*given)  # type: ignore[arg-type]  # each part is checked where it is read


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """A category on the grid: the steps that a draw may be, with their chances, and the number of draws."""

    draws: Draws
    places: npt.NDArray[np.int64]
    chances: Array
    last: int  # the most steps of a draw
    most: int  # draws at most, but for a chance of _TAIL
    mean: float
    variance: float
    moved: float

    @classmethod
    def of(cls, category: Category, step: float) -> _Read:
        match category.draws:
            case ("without replacement", taken):
                return cls._finite(category, taken, step)
        values = np.asarray(category.values, dtype=np.float64)
        weights = np.asarray(category.weights, dtype=np.float64)
        if values.ndim != 1 or not len(values):
            raise ValueError("a category has no values: give at least one")
        if weights.shape != values.shape:
            raise ValueError(f"{len(values)} values need as many weights, got {weights.size}")
        if not np.isfinite(values).all() or (values < 0).any():
            raise ValueError(f"values must be finite and not below 0, got {values[~(values >= 0)][:1]}")
        if not np.isfinite(weights).all() or (weights < 0).any() or not weights.sum() > 0:
            raise ValueError("weights must be finite, not below 0 and not all 0")
        steps = values / step
        if steps.max() > _MOST_STEPS:
            raise ValueError(
                f"a value of {values.max():g} is too many steps of {step:g} to count: use a coarser grid"
            )
        if isinstance(category.draws, Different):
            if np.ptp(weights) > HAIR * weights.max():
                raise ValueError("cards that are different in a pack have weights that are all alike")
            return cls._packs(category.draws, steps)
        cells = np.floor(steps + 0.5 + HAIR).astype(np.int64)
        shares = weights / weights.sum()
        places, where = np.unique(cells, return_inverse=True)
        held = np.bincount(where, weights=shares).astype(np.float64)
        one, square = float(held @ places), float(held @ places.astype(np.float64) ** 2)
        count, spread, most = _count(category.draws)
        return cls(
            draws=category.draws,
            places=places,
            chances=held,
            last=int(places[-1]),
            most=most,
            mean=count * one,
            # of a random number of draws: E[N] Var(v) + Var(N) E[v]^2
            variance=count * (square - one * one) + spread * one * one,
            moved=count * float(shares @ np.abs(cells * step - values)),
        )

    @classmethod
    def _finite(cls, category: Category, taken: float, step: float) -> _Read:
        """All draws from a finite run as one draw of their sum."""
        copies = [whole(one, "copies") for one in category.weights]
        found = without_replacement(category.values, copies, whole(taken, "draws"), step)
        return cls(
            draws=1,
            places=np.arange(len(found.probabilities)),
            chances=found.probabilities,
            last=len(found.probabilities) - 1,
            most=1,
            mean=found.mean / step,
            variance=(found.sd / step) ** 2,
            moved=found.grid_error,
        )

    @classmethod
    def _packs(cls, draws: Different, steps: Array) -> _Read:
        """All cards of a pack as one draw of their sum, and the packs as draws.

        `places` and `chances` are those of `between` here, for each card.
        """
        count, spread, _ = _count(draws)
        packs, cards = whole(draws.packs, "packs"), len(steps)
        low, part = between(steps)
        mean = float(steps.mean())
        left = math.fsum(chance * spread_of(size, cards) for size, chance in draws.sizes)
        return cls(
            draws=draws,
            places=low,
            chances=part,
            last=longest(draws, low),
            most=packs,
            mean=count * mean,
            variance=count * float((part * (1 - part)).mean())
            + packs * left * float(steps.var())
            + spread * mean * mean,
            moved=count * float((2 * part * (1 - part)).mean()),
        )

    def transform(self, size: int, theta: float) -> tuple[Transform, int]:
        """A transform, tilted by theta a step, and the power of it that is all draws together."""
        if isinstance(self.draws, Different):
            return pack(self.draws, self.places, self.chances, size, theta), self.most
        one = self.chances * np.exp(-theta * self.places) if theta else self.chances
        # what lies beyond the last cell comes back damped, as the rest of the tilted sum does
        turned = fft.rfft(np.bincount(self.places % size, weights=one, minlength=size))
        match self.draws:
            case ("poisson", mean):
                turned -= 1
                turned *= float(mean)
                return np.exp(turned, out=turned), 1
            case ("binomial", trials, chance):
                turned -= 1
                turned *= float(chance)
                turned += 1
                return turned, int(trials)
            case Counts(chances):
                return reduce(lambda sofar, each: sofar * turned + each, reversed(chances), 0 * turned), 1
        return turned, int(self.draws)  # type: ignore[arg-type]  # what is left is a whole number


def _product(powers: Iterable[tuple[Transform, int]]) -> Transform:
    """The product of some whole powers, all of them squared together: bit by bit from the highest."""
    alike: dict[int, Transform] = {}
    for base, exponent in powers:
        alike[exponent] = np.multiply(alike[exponent], base, out=base) if exponent in alike else base
    result: Transform | None = None
    for bit in reversed(range(max(exponent.bit_length() for exponent in alike))):
        if result is not None:
            np.multiply(result, result, out=result)
        for exponent, base in alike.items():
            if exponent >> bit & 1:
                result = base.copy() if result is None else np.multiply(result, base, out=result)
    return np.ones_like(next(iter(alike.values()))) if result is None else result


def moments(draws: Draws) -> tuple[float, float]:
    """Mean and variance of a number of draws."""
    mean, variance, _ = _count(draws)
    return mean, variance


def _count(draws: Draws) -> tuple[float, float, int]:
    """Mean and variance of the number of draws, and how many there are at most."""
    match draws:
        case ("poisson", mean):
            expected = not_negative(mean, "the mean number of draws")
            return expected, expected, 1 + poisson_end(expected, _TAIL)
        case ("binomial", trials, chance):
            most = whole(trials, "the trials of a binomial number of draws")
            share = not_negative(chance, "the chance of a draw")
            if share > 1:
                raise ValueError(f"the chance of a draw must not be above 1, got {chance!r}")
            seen = min(most, 1 + binomial_end(most, share, _TAIL))
            return most * share, most * share * (1 - share), seen
        case Different(packs, sure, more):
            trials, size = whole(packs, "packs"), whole(sure, "cards a pack")
            share = not_negative(more, "the chance of one card more")
            if share > 1:
                raise ValueError(f"the chance of one card more must not be above 1, got {more!r}")
            expected = trials * (size + share)
            return expected, trials * share * (1 - share), trials * (size + math.ceil(share))
        case Counts(chances):
            each = np.array([not_negative(one, "the chance of a number of draws") for one in chances])
            if abs(float(each.sum()) - 1) > _ROUNDING:
                raise ValueError(f"the chances of numbers of draws must sum to 1, got {each.sum():g}")
            numbers = np.arange(len(each))
            middle = float(each @ numbers)
            return middle, float(each @ numbers**2) - middle * middle, len(each) - 1
        case bool():
            raise ValueError(_no_draws(draws))
        case Integral() | float():
            fixed = whole(draws, "draws")
            return float(fixed), 0.0, fixed
    raise ValueError(_no_draws(draws))


def _no_draws(draws: object) -> str:
    return (
        'draws are a whole number, ("poisson", mean), ("binomial", trials, chance), Counts(chances), '
        f'Different(packs, sure, more) or ("{WITHOUT_REPLACEMENT}", number), got {draws!r}'
    )


def without_replacement(
    values: Sequence[float], copies: Sequence[int], draws: int, grid: float
) -> Distribution:
    """The distribution of so many draws from a finite run, none of them put back.

    Newton's identities give the elementary symmetric polynomials of all copies from power sums of their
    histogram, frequency by frequency; good while the draws are a small part of the run.

    Parameters
    ----------
    values, copies : k values and how many copies of each there are
    draws : at most a quarter of all copies

    Raises
    ------
    ValueError
        for values below 0, copies that are no whole numbers, or more draws than that
    """
    step = positive(grid, "the grid")
    each = [not_negative(value, "a value") for value in values]
    many = [whole(count, "copies") for count in copies]
    if len(each) != len(many) or not each:
        raise ValueError(f"{len(each)} values need as many numbers of copies, got {len(many)}")
    run, taken = sum(many), whole(draws, "draws")
    if not run:
        raise ValueError("a run without copies has nothing to draw from")
    if 4 * taken > run:
        raise ValueError(f"{taken} draws are more than a quarter of a run of {run}")
    cells = [math.floor(value / step + 0.5 + HAIR) for value in each]
    length = max(cells) * taken + 1
    size = fast_size(length)
    turns = np.arange(size // 2 + 1)
    # the sum of the j-th powers at a frequency is the sum of the first powers at j times that frequency
    first = fft.fft(np.bincount(cells, weights=many, minlength=size).astype(np.complex128))
    sums = [first[turns * j % size] for j in range(1, taken + 1)]
    turned = elementary(sums, run) if sums else np.ones(len(turns), dtype=np.complex128)
    chances = np.maximum(fft.irfft(turned, size)[:length], 0.0)
    weights = np.array(many, dtype=np.float64) / run
    places = np.array(cells, dtype=np.float64)
    one = float(weights @ places)
    spread = float(weights @ places**2) - one * one
    finite = (run - taken) / (run - 1) if run > 1 else 0.0
    return Distribution(
        probabilities=chances,
        grid=step,
        mean=step * taken * one,
        sd=step * math.sqrt(max(0.0, taken * spread * finite)),
        cut_off=0.0,
        grid_error=taken * float(weights @ np.abs(places * step - np.array(each))),
    )
