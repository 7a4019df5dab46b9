"""What a pack of different cards brings: the transform of its sum, from elementary symmetric polynomials.

A card between two steps of money counts as either, in shares that keep its mean, so it is a polynomial of two
terms; a pack of k of n cards is the k-th elementary symmetric polynomial of these over C(n, k).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import reduce

import numpy as np
import numpy.typing as npt
from numpy import fft

from rating.numerics.draws import Different

Array = npt.NDArray[np.float64]
Transform = npt.NDArray[np.complex128]
# a value that is a whole number of steps but for the last bits of a float is one
HAIR = 1e-9
# of more than this part of a set, Newton's identities lose too many digits
_MOST_NEWTON = 0.25


def fast_size(cells: int) -> int:
    """A length that transforms fast: a multiple of eight, since powers of three alone are slow."""
    eighths = -(-cells // 8)
    odd = (3**threes * 5**fives for threes in range(20) for fives in range(14))
    # each times the least power of two that makes it long enough
    lengths: list[int] = [one << max(0, (-(-eighths // one) - 1).bit_length()) for one in odd]
    return 8 * min(lengths)


def elementary(sums: Sequence[Transform], run: int) -> Transform:
    """The elementary symmetric polynomial of as many of `run` numbers as there are power sums, by its terms.

    Newton's identities; each polynomial is over its own value at 0, which is a binomial coefficient, so that
    none overflows. Good while those taken are a small part of the run.
    """
    scaled: list[Transform] = [np.ones(len(sums[0]), dtype=np.complex128)]
    for k in range(1, len(sums) + 1):
        total = np.zeros(len(sums[0]), dtype=np.complex128)
        ratio = 1.0
        for j in range(1, k + 1):
            # C(run, k - j) / C(run, k), step by step
            ratio *= (k - j + 1) / (run - k + j)
            total += (-1) ** (j - 1) * ratio * scaled[k - j] * sums[j - 1]
        scaled.append(total / k)
    return scaled[-1]


def between(steps: Array) -> tuple[npt.NDArray[np.int64], Array]:
    """The step below each value and the part of a step above it, which is the chance of the next step."""
    low = np.floor(steps + HAIR)
    return low.astype(np.int64), np.maximum(0.0, steps - low)


def longest(draws: Different, low: npt.NDArray[np.int64]) -> int:
    """At most so many steps are in a pack."""
    held = [divmod(size, len(low)) for size, _ in draws.sizes]
    most, whole = int(low.max()) + 1, int(low.sum()) + len(low)
    return max(whole * sets + most * over for sets, over in held)


def pack(draws: Different, low: npt.NDArray[np.int64], part: Array, room: int, theta: float) -> Transform:
    """The transform of what is in a pack, tilted by theta a step, worked out on as few cells as it takes.

    Parameters
    ----------
    low, part : the steps of n cards, and the chance of each to count one step more, see `between`
    room : cells of the transform, over which a longer support is wrapped around
    """
    last = longest(draws, low)
    small = fast_size(last + 1)
    if small >= room:
        return _mixed(draws, low, part, room, theta)
    held = fft.irfft(_mixed(draws, low, part, small, 0.0), small)[: last + 1]
    return np.asarray(fft.rfft(held * np.exp(-theta * np.arange(len(held))), room))


def _mixed(draws: Different, low: npt.NDArray[np.int64], part: Array, room: int, theta: float) -> Transform:
    """The transform of a pack that may have one of two sizes; whole sets of the cards come first."""
    total = np.zeros(room // 2 + 1, dtype=np.complex128)
    for size, chance in draws.sizes:
        sets, over = divmod(size, len(low))
        way = _by_powers if over <= _MOST_NEWTON * len(low) else _card_by_card
        turned = chance * way(low, part, over, room, theta)
        total += turned * _all_of(low, part, room, theta) ** sets if sets else turned
    return total


def _by_powers(low: npt.NDArray[np.int64], part: Array, size: int, room: int, theta: float) -> Transform:
    """By power sums: the j-th power of a card's polynomial is binomial in how often it counts a step more."""
    sums = []
    for j in range(1, size + 1):
        more = np.arange(j + 1)
        ways = np.array([math.comb(j, one) for one in more], dtype=np.float64)
        shares = ways * part[:, None] ** more * (1 - part[:, None]) ** (j - more)
        places = j * low[:, None] + more
        shares *= np.exp(-theta * places)
        sums.append(fft.rfft(np.bincount(places.ravel() % room, weights=shares.ravel(), minlength=room)))
    return elementary(sums, len(low)) if sums else np.ones(room // 2 + 1, dtype=np.complex128)


def _one_card(low: int, part: float, room: int, theta: float) -> Transform:
    """The transform of a card that counts `low` steps, or one more with a chance."""
    step = np.exp(-theta - 2j * math.pi / room * np.arange(room // 2 + 1))
    return np.asarray(step**low * (1 - part + part * step))


def _all_of(low: npt.NDArray[np.int64], part: Array, room: int, theta: float) -> Transform:
    """The transform of all cards together."""
    pairs = zip(low.tolist(), part.tolist(), strict=True)
    return reduce(np.multiply, (_one_card(one, more, room, theta) for one, more in pairs))


def _card_by_card(low: npt.NDArray[np.int64], part: Array, size: int, room: int, theta: float) -> Transform:
    """By adding one card after the other to those that may be taken: a mean of two numbers at each step."""
    taken = np.zeros((size + 1, room // 2 + 1), dtype=np.complex128)
    taken[0] = 1.0
    for cards, (one, more) in enumerate(zip(low.tolist(), part.tolist(), strict=True), start=1):
        turned = _one_card(one, more, room, theta)
        # of packs of k of so many cards, k in `cards` hold the last one
        for k in range(min(size, cards), 0, -1):
            share = k / cards
            taken[k] = (1 - share) * taken[k] + share * turned * taken[k - 1]
    return np.asarray(taken[size])
