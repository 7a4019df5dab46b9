"""How far a place can move: the share of each rank over drawn weights and scores (SMAA-2).

m releases, n criteria. A release is placed by its unrounded weighted mean, higher is better. Ties share the
better place, as in competition ranks (1, 2, 2, 4): releases that are identical in all that weighs tie in
every draw, found by comparison, not by rounding, and each wins against the other half the time. Where a score
is in doubt it is drawn for each release on its own, so that two such releases tie in no draw. Others never
tie: grades nearer than some millionths of the range of all scores are told apart by rounding.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
import queue
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from rating.core.combine import weight_shares
from rating.sensitivity import drawing, uncertain

Array = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]
Progress = Callable[[int], None]
Found = TypeVar("Found")

# Enough for a standard error of at most 0.7 percentage points.
_CONFIDENCE_DRAWS = 5_000
# Enough for one of 0.1, and each is held in memory.
_JOINT_DRAWS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class AtOnce:
    """Ranges of places that hold all at once.

    low, high (m,): the best and the worst place of each release; share: of fresh draws, those in which every
    release was inside; share_of_single: those in which every release was inside its own range, each of which
    holds by itself at the same level.
    """

    low: Whole
    high: Whole
    share: float
    share_of_single: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RankShares:
    """Where m releases stood in many draws.

    shares (m, m): of the release in the row, the share of draws in which it took each place, first to last;
    expected_rank (m,): its mean place; central_weights (m, n): the mean of the weights that put it first,
    summing to 1, NaN where none did; confidence (m,): the share of drawn scores in which those weights do put
    it first, NaN alike; standard_error (m, m): of the shares; wins (m, m): the share of draws in which the
    row's release was before the column's, or None where pairs were not counted; at_once: ranges that hold
    together, or None where they were not asked for; draws: how many there were.
    """

    shares: Array
    expected_rank: Array
    central_weights: Array
    confidence: Array
    standard_error: Array
    wins: Array | None
    at_once: AtOnce | None
    draws: int


def rank_shares(
    scores: npt.ArrayLike,
    draws: int,
    seed: int,
    weights: npt.ArrayLike | None = None,
    concentration: float | None = None,
    spreads: npt.ArrayLike | None = None,
    threads: int = 1,
    *,
    order: bool = False,
    drawn: uncertain.Drawn = "triangular",
    applies: npt.ArrayLike | None = None,
    wins: bool = False,
    within: tuple[float, float] | None = None,
    at_once: float | None = None,
    progress: Progress | None = None,
) -> RankShares:
    """The share of draws in which each release takes each place, weights and scores being uncertain.

    Parameters
    ----------
    scores : array of shape (m, n), points; NaN where unknown, which is drawn uniformly from 0 to 100
    draws : how often weights and scores are drawn, at least 1
    seed : the same seed gives the same answer, whatever the number of threads
    weights : array of shape (n,), any positive scale; without them every set of weights is as likely. Alone,
        they are kept and only scores are drawn. A criterion of weight 0 does not count
    concentration : how close drawn weights keep to `weights`, above 0 (Dirichlet with concentration times
        share; a share p then has the standard deviation sqrt(p (1 - p) / (concentration + 1)))
    spreads : array of shape (m, n), (n,) or a number, half-widths of what scores are drawn from, in points
    threads : how many work at once
    order : every set of weights is as likely that keeps the order of `weights`, or without them the order
        in which the criteria stand, the most important first; equal weights leave their order open
    drawn : the shape of what scores are drawn from
    applies : array of shape (m, n), False where a criterion does not apply: its weight is shared out
    wins : whether to count for each pair who was before whom (time grows with m squared)
    within : the ends of the scale, at which a drawn score stays that would pass them; without them it passes
    at_once : the share of draws, between 0 and 1, in which all ranges of places are to hold together; they
        are found on fresh draws, as many again
    progress : called after each chunk with the number of draws done

    Returns
    -------
    RankShares; rows of `shares` sum to 1

    Raises
    ------
    ValueError
        if scores are no table or infinite, weights are negative, not finite, all zero or not n, spreads are
        negative or unknown, nothing that weighs applies to a release, or a number is out of its range

    References
    ----------
    Lahdelma and Salminen (2001), Operations Research 49(3), 444-454. That ranges of single places do not hold
    together: Mogstad, Romano, Shaikh and Wilhelm (2024), Review of Economic Studies 91(1), 476-518.
    """
    table = uncertain.score_table(scores)
    m, n = table.shape
    count, workers = uncertain.whole(draws, "draws"), uncertain.whole(threads, "threads")
    uncertain.whole(seed, "the seed", least=0)
    if drawn not in {"triangular", "uniform"}:
        raise ValueError(f"scores are drawn triangular or uniform, not {drawn!r}")
    if at_once is not None:
        _level(at_once)
    shares = weight_shares(np.ones(n) if weights is None else weights, n)
    kept = np.flatnonzero(shares)
    holds = uncertain.applying(applies, table)[:, kept]
    fill = uncertain.weighting(weights, shares[kept], concentration, order=order)
    middle, half, level = uncertain.drawn_from(
        table[:, kept], uncertain.half_widths(spreads, table)[:, kept], holds, drawn
    )
    constant = np.asarray(weights)[kept] if fill is None else None
    first, group = uncertain.alike(middle, half, holds, constant)
    plan = drawing.plan(
        fill=fill or drawing.fixed(shares[kept]),
        scores=middle[first],
        spreads=half[first],
        level=level[first],
        applies=holds[first],
        sizes=np.bincount(group),
        draws=count,
        wins=wins,
        within=within,
    )
    chunks = -(-count // plan.rows)
    streams = np.random.SeedSequence(seed).spawn(2 * chunks + 1)
    total = _add_up(_in_chunks(plan, drawing.tally, streams[:chunks], workers), plan, progress)
    together = None
    if at_once is not None:
        together = _at_once(plan, total.places, streams[chunks + 1 :], workers, at_once)
    return _in_shares(plan, total, streams[chunks], group=group, kept=kept, size=(m, n), together=together)


def rank_ranges(shares: npt.ArrayLike, level: float = 0.9) -> tuple[Whole, Whole]:
    """The best and the worst place of each release in the middle `level` of all draws.

    At most (1 - level) / 2 of the draws lie above and at most as many below.

    Parameters
    ----------
    shares : array of shape (m, m), as `rank_shares` gives them
    level : between 0 and 1, both excluded

    Returns
    -------
    two arrays of shape (m,), places from 1
    """
    _level(level)
    sums = np.cumsum(np.asarray(shares, dtype=np.float64), axis=1)
    # shares are quotients, and their sums must not miss a limit by a last bit
    tail = (1 - level) / 2
    low = (sums <= tail + 1e-12).sum(axis=1)
    high = (sums < 1 - tail - 1e-12).sum(axis=1)
    return np.minimum(low, high) + 1, high + 1


def _level(level: float) -> None:
    if not 0 < level < 1:
        raise ValueError(f"a level must lie between 0 and 1, both excluded, got {level!r}")


def _at_once(
    plan: drawing.Plan, places: Whole, streams: list[np.random.SeedSequence], threads: int, level: float
) -> AtOnce:
    """The narrowest ranges with tails of one size that hold all at once in a share of fresh draws.

    A place lies inside a range with tails of t draws where over t draws stood there or further out, on either
    side. So all hold in a draw where t is under the smallest of these counts, and the largest such t that
    leaves enough draws is a quantile of them.

    Parameters
    ----------
    places : flat (m, u), how often each release took each place
    """
    m = int(plan.sizes.sum())
    counts = places.reshape(m, -1)
    best, worst = counts.cumsum(axis=0), counts[::-1].cumsum(axis=0)[::-1]
    looks = min(plan.draws, _JOINT_DRAWS)

    def look(one: drawing.Plan, buffers: drawing.Buffers, stream: np.random.SeedSequence, lot: int) -> Whole:
        return drawing.nearest_to_an_end(one, buffers, stream, lot, np.minimum(best, worst))

    several = dataclasses.replace(plan, draws=looks)
    found = np.sort(np.concatenate(list(_in_chunks(several, look, streams, threads))))
    # a hair less than a whole number must not ask for one draw more
    needed = math.ceil(level * looks - 1e-9)
    tail = found[looks - needed]
    return AtOnce(
        low=(best < tail).sum(axis=0) + 1,
        high=(worst >= tail).sum(axis=0),
        share=float((found >= tail).mean()),
        share_of_single=float((found > plan.draws * (1 - level) / 2 * (1 + 1e-12)).mean()),
    )


def _in_chunks(
    plan: drawing.Plan,
    work_out: Callable[[drawing.Plan, drawing.Buffers, np.random.SeedSequence, int], Found],
    streams: list[np.random.SeedSequence],
    threads: int,
) -> Iterator[Found]:
    """What is worked out of all chunks, in their order, whoever does it."""
    lots = [min(plan.rows, plan.draws - start) for start in range(0, plan.draws, plan.rows)]
    free: queue.SimpleQueue[drawing.Buffers] = queue.SimpleQueue()
    for _ in range(threads):
        free.put(drawing.Buffers(plan))

    def work(stream: np.random.SeedSequence, lot: int) -> Found:
        buffers = free.get()
        try:
            return work_out(plan, buffers, stream, lot)
        finally:
            free.put(buffers)

    if threads == 1:
        yield from map(work, streams, lots)
        return
    with ThreadPoolExecutor(threads) as pool:
        yield from pool.map(work, streams, lots)


def _add_up(tallies: Iterator[drawing.Tally], plan: drawing.Plan, progress: Progress | None) -> drawing.Tally:
    (n, u), m = plan.costs.shape, int(plan.sizes.sum())
    places, weights = np.zeros((m, u), dtype=np.intp), np.zeros((u, n))
    wins = np.zeros((u, u), dtype=np.intp) if plan.wins else None
    for done, tally in zip(itertools.count(1), tallies, strict=False):
        places += tally.places
        weights += tally.weights
        if wins is not None and tally.wins is not None:
            wins += tally.wins
        if progress is not None:
            progress(min(done * plan.rows, plan.draws))
    return drawing.Tally(places=places, weights=weights, wins=wins)


def _in_shares(
    plan: drawing.Plan,
    total: drawing.Tally,
    stream: np.random.SeedSequence,
    *,
    group: Whole,
    kept: Whole,
    size: tuple[int, int],
    together: AtOnce | None,
) -> RankShares:
    """What was counted, as shares for all m releases and n criteria, alike and without weight ones too."""
    (m, n), draws = size, plan.draws
    firsts = total.places[0][:, np.newaxis]
    central = np.divide(total.weights, firsts, out=np.full_like(total.weights, np.nan), where=firsts > 0)
    # without doubt about scores one look at the central weights says it all
    looks = min(draws, _CONFIDENCE_DRAWS) if len(plan.noisy) else 1
    confidence = drawing.favourable(plan, central, stream, looks)
    shares = total.places.T[group] / draws
    central_weights = np.where(np.isnan(central[group, :1]), np.nan, np.zeros((m, n)))
    central_weights[:, kept] = central[group]
    return RankShares(
        shares=shares,
        expected_rank=shares @ np.arange(1, m + 1),
        central_weights=central_weights,
        confidence=confidence[group],
        standard_error=np.sqrt(shares * (1 - shares) / draws),
        wins=None if total.wins is None else _even(total.wins[np.ix_(group, group)] / draws, group),
        at_once=together
        and dataclasses.replace(together, low=together.low[group], high=together.high[group]),
        draws=draws,
    )


def _even(wins: Array, group: Whole) -> Array:
    """Half a win each between releases that always tie, themselves included."""
    return np.where(group[:, np.newaxis] == group, 0.5, wins)
