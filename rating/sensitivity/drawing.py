"""Drawing weights and scores many times over, and counting the places that follow.

u different releases, n criteria. Releases are ordered by their cost, the mean distance below the best score,
in fixed point: the cost in the upper bits of a word and the release in the lower ones, so that sorting the
words sorts the releases. Draws are made in chunks that fit the cache, each from a random stream of its own.
Numbers are in double precision: in single precision one draw in 20,000 falls on the other side of a tie on
another processor, and what is told of places must not hang on it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]
Fill = Callable[[np.random.Generator, Floats], None]

# Rows of one matrix product: small enough that the library does it in one thread, and so always alike.
_BLOCK = 64
_CHUNK = 2**17
_NOISE = 2**16
# Drawn words: their half-width, the shift that halves their bits best for a triangular shape, their means.
_HALF, _COARSE = 2.0**15, 11
_MEAN_TRIANGULAR, _MEAN_UNIFORM = 511.5, -0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is drawn, and for whom, the same for every chunk."""

    fill: Fill  # fills an array (n, draws) with weights up to a factor
    costs: Floats  # (n, u), fixed point; 0 where the criterion does not apply
    noisy: Whole  # (k,), the criteria of which some score is drawn
    half: Floats  # (k, u), half-widths of these scores in units of a drawn word
    level: Whole  # places in (k, u), flat, of the scores that are drawn uniformly
    cut: Whole  # places in (k, u), flat, of the scores that would pass an end of their scale
    least: Floats  # (len(cut),), what the drawn parts of these are held to
    most: Floats
    partial: Whole  # (q,), the releases to which some criterion does not apply
    applies: Floats  # (n, q), 1 where it does
    sizes: Whole  # (u,), how many identical releases each stands for
    draws: int  # in all chunks together
    wins: bool  # whether pairs are counted too

    @property
    def rows(self) -> int:
        """Draws in a chunk, whatever the number of threads."""
        return _BLOCK * min(max(1, _CHUNK // (_BLOCK * len(self.sizes))), -(-self.draws // _BLOCK))

    @property
    def noise_rows(self) -> int:
        """Draws of scores made at once."""
        return min(max(1, _NOISE // max(1, self.half.size)), self.rows)


class Buffers:
    """Arrays for one chunk at a time, kept from chunk to chunk: fresh memory costs more than the sorting."""

    __slots__ = ("costs", "keys", "leaders", "noise", "weights", "whole_noise", "words")

    def __init__(self, plan: Plan) -> None:
        (n, u), rows = plan.costs.shape, plan.rows
        self.weights = np.empty((n, rows), dtype=np.float64)
        self.costs = np.empty((rows, u), dtype=np.float64)
        self.words = np.empty((rows, u), dtype=np.int32 if _index_bits(u) <= 8 else np.int64)
        self.keys = np.empty((rows, u), dtype=np.intp)
        self.leaders = np.empty((n, rows), dtype=np.intp)
        self.whole_noise = np.empty((plan.noise_rows, *plan.half.shape), dtype=np.int16)
        self.noise = np.empty(self.whole_noise.shape, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What the draws of a chunk gave."""

    places: Whole  # (m, u), how often each release took each place
    weights: npt.NDArray[np.float64]  # (u, n), sums of the weights that put it first
    wins: Whole | None  # (u, u), how often the row's release was before the column's


def digits(releases: int) -> int:
    """Bits in which a cost is kept beside the number of a release."""
    return 31 - _index_bits(releases) if _index_bits(releases) <= 8 else 24


def plan(
    *,
    fill: Fill,
    scores: npt.NDArray[np.float64],
    spreads: npt.NDArray[np.float64],
    level: npt.NDArray[np.bool_],
    applies: npt.NDArray[np.bool_],
    sizes: Whole,
    draws: int,
    wins: bool,
    within: tuple[float, float] | None = None,
) -> Plan:
    """The plan for different releases: scores, half-widths, what is drawn uniformly, each of shape (u, n).

    `within` are the ends of the scale, at which a drawn score stays that would pass them.
    """
    top = float((scores + spreads)[applies].max())
    reach = top - float((scores - spreads)[applies].min())
    # a hair below the full width, since shares may sum to a hair above 1
    unit = 2.0 ** digits(len(sizes)) * (1 - 1e-5) / (reach or 1.0)
    half = spreads * (unit / _HALF)
    costs = (top - scores) * unit - half * np.where(level, _MEAN_UNIFORM, _MEAN_TRIANGULAR)
    noisy = np.flatnonzero((spreads > 0).any(axis=0))
    low, high = (-np.inf, np.inf) if within is None else within
    passes = (spreads > 0) & ((scores - spreads < low) | (scores + spreads > high))
    cut = np.flatnonzero(passes.T[noisy])
    drawn_costs = costs.T[noisy].ravel()[cut]
    partial = np.flatnonzero(~applies.all(axis=1))
    return Plan(
        fill=fill,
        costs=np.ascontiguousarray((costs * applies).T, dtype=np.float64),
        noisy=noisy,
        half=np.ascontiguousarray(half.T[noisy], dtype=np.float64),
        level=np.flatnonzero(level.T[noisy]),
        cut=cut,
        least=(top - high) * unit - drawn_costs,
        most=(top - low) * unit - drawn_costs,
        partial=partial,
        applies=np.ascontiguousarray(applies[partial].T, dtype=np.float64),
        sizes=sizes,
        draws=draws,
        wins=wins,
    )


def tally(plan: Plan, buffers: Buffers, stream: np.random.SeedSequence, draws: int) -> Tally:
    """Draws of one chunk, at most `plan.rows`, and the places that follow."""
    (n, u), m = plan.costs.shape, int(plan.sizes.sum())
    weights, words = buffers.weights, buffers.words
    _draw(plan, buffers, stream)
    wins = _wins(words, draws) if plan.wins else None
    _sort(words)
    keys = _keys(words[:draws], plan.sizes, buffers.keys[:draws])
    places = np.bincount(keys.ravel(), minlength=m * u)
    np.add(words[:, 0], u * np.arange(n)[:, np.newaxis], out=buffers.leaders)
    leaders, leading = buffers.leaders[:, :draws].ravel(), weights[:, :draws].ravel()
    sums = np.bincount(leaders, weights=leading, minlength=n * u)
    by_release = np.asarray(sums, dtype=np.float64).reshape(n, u).T
    return Tally(places=places.reshape(m, u), weights=by_release, wins=wins)


def nearest_to_an_end(
    plan: Plan, buffers: Buffers, stream: np.random.SeedSequence, draws: int, tails: Whole
) -> Whole:
    """In each draw of one chunk, the smallest tail of all releases at the places that they take.

    Parameters
    ----------
    tails : (m, u), for each place and release a count of draws in which it stood there or further out

    Returns
    -------
    array of shape (draws,)
    """
    _draw(plan, buffers, stream)
    _sort(buffers.words)
    keys = _keys(buffers.words[:draws], plan.sizes, buffers.keys[:draws])
    found: Whole = tails.ravel()[keys].min(axis=1)
    return found


def favourable(
    plan: Plan,
    weights: npt.NDArray[np.float64],
    stream: np.random.SeedSequence,
    draws: int,
) -> npt.NDArray[np.float64]:
    """Share of draws in which each release comes first at weights of its own, when only scores are drawn.

    Parameters
    ----------
    weights : array of shape (u, n), a row of shares for each release, NaN where there are none

    Returns
    -------
    array of shape (u,), NaN where there are no weights
    """
    rng, buffers = np.random.Generator(np.random.SFC64(stream)), Buffers(plan)
    known = np.flatnonzero(~np.isnan(weights[:, 0]))
    shares = weights[known].T
    middle = plan.costs.T @ shares
    parts = plan.applies.T @ shares
    own, hits = np.arange(len(known)), np.zeros(len(known), dtype=np.intp)
    for start in range(0, draws, plan.noise_rows):
        noise = _noise(plan, rng, buffers, min(plan.noise_rows, draws - start))
        # (draws, u, those with weights): the smallest is found faster along the middle axis than the last
        costs = noise.transpose(0, 2, 1) @ shares[plan.noisy]
        costs += middle
        costs[:, plan.partial] /= parts
        hits += (costs[:, known, own] <= costs.min(axis=1)).sum(axis=0)
    found = np.full(len(weights), np.nan)
    found[known] = hits / draws
    return found


def _draw(plan: Plan, buffers: Buffers, stream: np.random.SeedSequence) -> None:
    """Draw weights and scores, and put the costs of all releases into words."""
    rng = np.random.Generator(np.random.SFC64(stream))
    plan.fill(rng, buffers.weights)
    buffers.weights /= buffers.weights.sum(axis=0)
    _costs(plan, rng, buffers)
    _pack(buffers.costs, buffers.words)


def _sort(words: npt.NDArray[np.signedinteger]) -> None:
    """Releases in each draw from first to last, in the place of their packed costs."""
    words.sort(axis=1)
    words &= (1 << _index_bits(words.shape[1])) - 1


def _index_bits(releases: int) -> int:
    return (releases - 1).bit_length()


def _costs(plan: Plan, rng: np.random.Generator, buffers: Buffers) -> None:
    """The cost of every release in every draw, put into the buffer."""
    weights, costs = buffers.weights, buffers.costs
    (n, rows), u = weights.shape, costs.shape[1]
    blocks = weights.reshape(n, -1, _BLOCK).transpose(1, 2, 0)
    np.matmul(blocks, plan.costs, out=costs.reshape(-1, _BLOCK, u))
    if len(plan.noisy):
        by_draw = np.ascontiguousarray(weights[plan.noisy].T)[:, np.newaxis, :]
        for start in range(0, rows, plan.noise_rows):
            part = slice(start, min(start + plan.noise_rows, rows))
            noise = _noise(plan, rng, buffers, part.stop - start)
            costs[part] += np.matmul(by_draw[part], noise)[:, 0, :]
    if len(plan.partial):
        costs[:, plan.partial] /= weights.T @ plan.applies


def _noise(plan: Plan, rng: np.random.Generator, buffers: Buffers, rows: int) -> Floats:
    """Drawn parts of scores, shape (rows, k, u), good until the next call.

    A triangular number is the difference of two uniform ones: a word, and its last bits moved to the front.
    That gives 32,000 steps, and no chance is off by more than 2 in 10,000 where a single score is drawn, by
    far less where several are.
    """
    size, shape = rows * plan.half.size, (rows, plan.half.size)
    words = rng.bit_generator.random_raw(-(-size // 4)).view(np.int16)[:size].reshape(shape)
    drawn = buffers.whole_noise[:rows].reshape(shape)
    level = words[:, plan.level]
    # halved, so that the difference fits
    np.left_shift(words, _COARSE, out=drawn)
    drawn >>= 1
    words >>= 1
    np.subtract(words, drawn, out=drawn)
    drawn[:, plan.level] = level
    noise: Floats = np.multiply(buffers.whole_noise[:rows], plan.half, out=buffers.noise[:rows])
    if len(plan.cut):
        flat = noise.reshape(shape)
        flat[:, plan.cut] = np.clip(flat[:, plan.cut], plan.least, plan.most)
    return noise


def _pack(costs: Floats, words: npt.NDArray[np.signedinteger]) -> None:
    u = costs.shape[1]
    np.copyto(words, costs, casting="unsafe")
    words <<= _index_bits(u)
    words |= np.arange(u, dtype=words.dtype)


def _keys(order: npt.NDArray[np.signedinteger], sizes: Whole, keys: Whole) -> Whole:
    """The place of each release in each draw as a flat index into (m, u); identical ones share the best."""
    u, m = len(sizes), int(sizes.sum())
    if u == m:
        before: Whole = np.arange(m)
    else:
        held = sizes[order]
        before = np.cumsum(held, axis=1) - held
    np.add(order, u * before, out=keys)
    return keys


def _wins(words: npt.NDArray[np.signedinteger], draws: int) -> Whole:
    u = words.shape[1]
    words[draws:] = 0
    won = np.empty((u, u), dtype=np.intp)
    for release in range(u):
        before = (words[:, release, np.newaxis] < words).view(np.uint8)
        # fewer than 256 rows a block, so that a byte holds the sum
        won[release] = before.reshape(-1, _BLOCK, u).sum(axis=1, dtype=np.uint8).sum(axis=0)
    return won


# ways to draw weights


def uniform(rng: np.random.Generator, out: Floats) -> None:
    """Uniform on the simplex: exponentials over their sum (normalised uniforms would not be)."""
    _logarithms(rng, out)
    np.negative(out, out=out)


def dirichlet(alphas: npt.NDArray[np.float64]) -> Fill:
    """Dirichlet weights, from gamma numbers as logarithms, so that small alphas cannot give 0 over 0."""

    def fill(rng: np.random.Generator, out: Floats) -> None:
        _logarithms(rng, out)
        out /= alphas[:, np.newaxis]
        for k, alpha in enumerate(alphas):
            # Gamma(a) is Gamma(a + 1) times a uniform number to the power 1/a
            out[k] += np.log(rng.standard_gamma(alpha + 1, size=out.shape[1], dtype=np.float64))
        out -= out.max(axis=0)
        # e^-60 is as good as nothing, and keeps the mean of a release to which little applies a number
        np.exp(np.maximum(out, -60, out=out), out=out)

    return fill


def ordered(groups: Sequence[Whole]) -> Fill:
    """Uniform among weights that fall from group to group; inside a group any order is as likely."""

    def fill(rng: np.random.Generator, out: Floats) -> None:
        uniform(rng, out)
        falling = np.sort(out, axis=0)[::-1]
        start = 0
        for group in groups:
            out[group] = rng.permuted(falling[start : start + len(group)], axis=0)
            start += len(group)

    return fill


def fixed(shares: npt.NDArray[np.float64]) -> Fill:
    """The same weights every time."""

    def fill(rng: np.random.Generator, out: Floats) -> None:  # noqa: ARG001  (drawn weights need it)
        out[:] = shares[:, np.newaxis]

    return fill


def _logarithms(rng: np.random.Generator, out: Floats) -> None:
    """Logarithms of uniform numbers above 0 and below 1."""
    words = rng.bit_generator.random_raw((out.size + 1) // 2).view(np.int32)[: out.size]
    words &= 0x7FFFFFFF
    np.multiply(words.reshape(out.shape), 2.0**-31, out=out, dtype=np.float64)
    out += 2.0**-32
    np.log(out, out=out)
