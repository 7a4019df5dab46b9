"""What it takes to complete a base set: packs, boxes, duplicates and money.

n different base cards, packs that hold k different ones (k need not be whole: 5 to 6 a pack are a mixture).
The chance that a pack holds none of j given cards is `q_j = sum of share_k C(n-j, k) / C(n, k)`, and every
exact result is an alternating sum over j. In floating point such sums are garbage at a few hundred cards, so
they are summed in whole numbers with as many bits as it takes for the result to be rounded correctly.

Sources: Feller, An Introduction to Probability Theory vol. 1, chapters IV and IX; Stadje (1990), Advances in
Applied Probability 22, 866-882.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from itertools import repeat
from operator import floordiv, lshift, mul, neg, sub
from typing import Literal

import numpy as np

from rating.numerics.checked import Number, as_written, chance_between, not_negative, positive, whole

PerPack = Number | Mapping[int, Number]
Way = Literal["singles", "boxes, then singles", "open until done", "complete set"]

# Twice what the smallest double needs, and then some: whatever is still open there is a tie.
_MOST_BITS = 80 << 5
# A table of more rows than this is of no use to anybody; the best number of boxes may lie beyond it.
_MOST_ROWS = 400


@dataclass(frozen=True, slots=True)
class _Packs:
    """n cards and the mixture of pack sizes; misses[j] / whole is q_j."""

    cards: int
    mixture: tuple[tuple[int, Fraction], ...]
    misses: tuple[int, ...]
    all_ways: int

    @property
    def mean(self) -> Fraction:
        return sum((share * size for size, share in self.mixture), Fraction(0))


def mixture(per_pack: PerPack) -> dict[int, Fraction]:
    """Pack sizes with their shares: 5 is {5: 1}, 5.25 is {5: 3/4, 6: 1/4}; a mixture is checked.

    Raises
    ------
    ValueError
        for sizes below 0 or not whole, shares outside 0 to 1 or not summing to 1, or packs without a card
    """
    if isinstance(per_pack, Mapping):
        sizes = {whole(size, "cards a pack"): as_written(s, "a share") for size, s in per_pack.items()}
        total = sum(sizes.values(), Fraction(0))
        if any(share < 0 for share in sizes.values()) or abs(total - 1) > Fraction(1, 10**9):
            raise ValueError(f"shares of pack sizes must be 0 to 1 and sum to 1, got {dict(per_pack)!r}")
        shares = {size: share / total for size, share in sizes.items() if share}
    else:
        mean = as_written(per_pack, "cards a pack")
        if mean < 0:
            raise ValueError(f"cards a pack must not be below 0, got {per_pack!r}")
        size = math.floor(mean)
        shares = {size: size + 1 - mean, size + 1: mean - size}
        shares = {size: share for size, share in shares.items() if share}
    if max(shares) == 0:
        raise ValueError("packs without a base card never complete a set")
    return shares


def _packs(cards: int, per_pack: PerPack) -> _Packs:
    n = whole(cards, "cards", least=1)
    # The plain case is the common one, and is kept off the fractions.
    if isinstance(per_pack, int) and not isinstance(per_pack, bool) and per_pack > 0:
        shares = {per_pack: Fraction(1)}
    else:
        shares = mixture(per_pack)
    if max(shares) > n:
        raise ValueError(f"a pack of {max(shares)} different cards cannot come from a set of {n}")
    if len(shares) == 1:
        (k,) = shares
        misses = [math.comb(n - j, k) for j in range(n + 1)]
        return _Packs(n, ((k, Fraction(1)),), tuple(misses), misses[0])
    ways = math.lcm(*(math.comb(n, k) for k in shares))
    parts = math.lcm(*(share.denominator for share in shares.values()))
    factors = [(k, int(share * parts) * (ways // math.comb(n, k))) for k, share in shares.items()]
    missed = tuple(sum(factor * math.comb(n - j, k) for k, factor in factors) for j in range(n + 1))
    return _Packs(n, tuple(sorted(shares.items())), missed, parts * ways)


def _reach(reach: int | None, cards: int) -> int:
    """How few cards must be missing for too many: 1 when the set must be complete."""
    if reach is None:
        return 1
    wanted = whole(reach, "cards to reach", least=1)
    if wanted > cards:
        raise ValueError(f"{wanted} different cards cannot be reached in a set of {cards}")
    return cards - wanted + 1


def _signs(cards: int, least: int) -> list[int]:
    """Factors c_j, j = least to n, of P(at least `least` missing) = sum of c_j q_j^t."""
    row = [1]
    for j in range(1, cards // 2 + 1):
        row.append(row[-1] * (cards - j + 1) // j)
    row += row[-1 - (cards % 2 == 0) :: -1]
    factors = row[least:]
    if least > 1:
        factors = [math.comb(j - 1, least - 1) * way for j, way in enumerate(factors, start=least)]
    factors[1::2] = map(neg, factors[1::2])
    return factors


def _rounded(ends: Callable[[int], tuple[int, int, int]], exact: Callable[[], Fraction]) -> float:
    """The double nearest to a number that lies between two whole numbers over 2^bits."""
    guard = 80
    # Ziv's way: if the two ends round apart, ask again with twice the bits.
    while guard <= _MOST_BITS:
        low, high, bits = ends(guard)
        first, last = max(low, 0) / (1 << bits), high / (1 << bits)
        if first == last:
            return first
        guard *= 2
    # A value midway between two doubles (1 - 2^-54 is one) is never decided by more bits.
    return float(exact())


def _series(
    factors: Iterable[int], tops: Iterable[int], bottoms: Iterable[int], guard: int
) -> tuple[int, int]:
    """Whole numbers that enclose 2^guard times the sum of factor * top / bottom."""
    # Maps instead of a loop: the arithmetic is short, and this is where all of the time goes.
    shifted = map(lshift, map(mul, factors, tops), repeat(guard))
    terms = list(map(floordiv, shifted, bottoms))
    total = sum(terms)
    return total, total + len(terms)


def _exactly(factors: Iterable[int], tops: Iterable[int], bottoms: Iterable[int]) -> Fraction:
    """The sum of factor * top / bottom as a fraction, slow and exact."""
    return sum(map(Fraction, map(mul, factors, tops), bottoms), Fraction(0))


def _exact_mean(packs: _Packs, least: int) -> Fraction:
    bottoms = map(sub, repeat(packs.all_ways), packs.misses[least:])
    return _exactly(_signs(packs.cards, least), repeat(packs.all_ways), bottoms)


def _mean_packs(packs: _Packs, least: int, guard: int) -> tuple[int, int]:
    """Whole numbers that enclose 2^guard E[T], with E[T] = sum of c_j / (1 - q_j)."""
    bottoms = map(sub, repeat(packs.all_ways), packs.misses[least:])
    return _series(_signs(packs.cards, least), repeat(packs.all_ways), bottoms, guard)


def expected_packs(cards: int, per_pack: PerPack, *, reach: int | None = None) -> float:
    """Expected packs until the set is complete, or until `reach` different cards are there.

    Correctly rounded: the double nearest to the exact value.

    Parameters
    ----------
    cards : n different base cards, each as likely
    per_pack : different base cards a pack, a mean that is not whole, or a mixture {size: share}

    Raises
    ------
    ValueError
        for packs larger than the set, or numbers that cannot be
    """
    packs = _packs(cards, per_pack)
    least = _reach(reach, packs.cards)
    return _rounded(
        lambda guard: (*_mean_packs(packs, least, guard), guard), lambda: _exact_mean(packs, least)
    )


def completed_within(cards: int, per_pack: PerPack, packs: int, *, reach: int | None = None) -> float:
    """Chance that so many packs complete the set, or hold `reach` different cards; correctly rounded."""
    model = _packs(cards, per_pack)
    return _done(model, whole(packs, "packs"), _reach(reach, model.cards))


@lru_cache(maxsize=4096)
def _done(model: _Packs, count: int, least: int) -> float:
    """The chance that so many packs leave fewer than `least` cards missing; kept for next time."""
    largest = model.mixture[-1][0]
    if count * largest < model.cards - least + 1:
        return 0.0
    factors = _signs(model.cards, least)
    total_factor = sum(map(abs, factors)) + 1

    def ends(guard: int) -> tuple[int, int, int]:
        bits = guard + (total_factor * 2 * max(count, 1)).bit_length()
        low = high = 1 << bits
        slack = 2 * count
        for j, factor in enumerate(factors, start=least):
            if model.misses[j] == 0:
                break
            # A power rounded down at each step falls short by less than 2 count units.
            power = _power((model.misses[j] << bits) // model.all_ways, count, bits)
            if factor > 0:
                low -= factor * (power + slack)
                high -= factor * power
            else:
                low -= factor * power
                high -= factor * (power + slack)
        return low, high, bits

    def exact() -> Fraction:
        missed = (q**count for q in model.misses[least:])
        return 1 - Fraction(sum(map(mul, factors, missed)), model.all_ways**count)

    return _rounded(ends, exact)


def _power(base: int, exponent: int, bits: int) -> int:
    """(base / 2^bits) ** exponent in units of 2^-bits, never too large."""
    result = 1 << bits
    while exponent:
        if exponent & 1:
            result = (result * base) >> bits
        exponent >>= 1
        if exponent:
            base = (base * base) >> bits
    return result


def packs_for_completion(cards: int, per_pack: PerPack, chance: float, *, reach: int | None = None) -> int:
    """The fewest packs that complete the set with at least the wanted chance (a quantile of the packs)."""
    model = _packs(cards, per_pack)
    return _fewest(model, 1, chance, _reach(reach, model.cards))


def _fewest(model: _Packs, at_once: int, chance: float, least: int) -> int:
    """The fewest purchases, of so many packs at once, that give at least the wanted chance."""
    wanted = chance_between(chance, "the wanted chance")
    low, high = 0, 1
    while _done(model, high * at_once, least) < wanted:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        if _done(model, middle * at_once, least) < wanted:
            low = middle
        else:
            high = middle
    return high


# Single draws, several sets, unequal chances


def expected_packs_by_rate(rates: Sequence[Number]) -> float:
    """Expected packs until every card is there, from each card's own chance per pack (short prints).

    Cards are taken to fall independently of each other, which overstates slightly where a pack cannot hold
    the same card twice. Good to a relative 1e-12.

    Parameters
    ----------
    rates : each card's chance per pack, in (0, 1]
    """
    each = [positive(rate, "a card's chance per pack") for rate in rates]
    if not each:
        raise ValueError("no cards: a chance per pack is needed for each")
    if max(each) > 1:
        raise ValueError(f"a card's chance per pack must not be above 1, got {max(each):g}")
    rare, alike = np.unique(np.array([rate for rate in each if rate < 1]), return_counts=True)
    if rare.size == 0:
        return 1.0
    left = np.log1p(-rare)
    packs = 1 + math.ceil((math.log(len(each)) + 45) / -left.max())
    if packs > 5_000_000:
        raise ValueError(f"a card at {min(each):g} a pack is too rare to wait for pack by pack")
    total = 0.0
    for start in range(0, packs, 50_000):
        count = np.arange(start, min(start + 50_000, packs), dtype=float)
        with np.errstate(divide="ignore"):
            done = alike @ np.log(-np.expm1(left[:, None] * count))
        total += math.fsum(-np.expm1(done))
    return total


# Boxes


def _boxes(cards: int, per_pack: PerPack, packs_per_box: int, *, no_duplicates: bool) -> tuple[_Packs, int]:
    """The packs to draw with, and how many of them make a box; without duplicates a box is one large pack."""
    packs = whole(packs_per_box, "packs per box", least=1)
    model = _packs(cards, per_pack)
    if not no_duplicates:
        return model, packs
    inside = model.mean * packs
    # More cards than the set has: every card is in the box, and only the rest repeats.
    return _packs(cards, min(inside, Fraction(model.cards))), 1


def expected_boxes(
    cards: int, per_pack: PerPack, packs_per_box: int, *, no_duplicates: bool = False
) -> float:
    """Expected whole boxes until the set is complete; correctly rounded.

    Parameters
    ----------
    no_duplicates : no base card twice inside a box, as some makers collate (common practice, no source);
        else independent packs
    """
    model, packs = _boxes(cards, per_pack, packs_per_box, no_duplicates=no_duplicates)
    whole_box = model.all_ways**packs
    left = [whole_box - q**packs for q in model.misses[1:]]
    factors = _signs(model.cards, 1)
    return _rounded(
        lambda guard: (*_series(factors, repeat(whole_box), left, guard), guard),
        lambda: _exactly(factors, repeat(whole_box), left),
    )


def boxes_for_completion(
    cards: int, per_pack: PerPack, packs_per_box: int, chance: float, *, no_duplicates: bool = False
) -> int:
    """The fewest whole boxes that complete the set with at least the wanted chance (a quantile)."""
    model, packs = _boxes(cards, per_pack, packs_per_box, no_duplicates=no_duplicates)
    return _fewest(model, packs, chance, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxesThenSingles:
    """Open so many boxes and buy the rest as singles: cards still missing, chance of none, money."""

    boxes: int
    missing: float
    complete: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Completion:
    """The ways to a complete set and their expected cost.

    `rows` has one entry for each number of boxes from 0; `best` is the cheapest of all, which may lie beyond
    the rows. `until_done` is the cost of whole boxes until the set is complete,
    `complete_set` that of buying one, None without a price.
    """

    rows: tuple[BoxesThenSingles, ...]
    best: BoxesThenSingles
    until_done: float
    complete_set: float | None
    cheapest: Way


def _where_boxes_stop_paying(all_singles: float, share: float, packs: int) -> int:
    """The first b at which a further box saves no more than it costs; all singles are priced in boxes."""
    saved = all_singles * (1.0 if share == 1 else -math.expm1(packs * math.log1p(-share)))
    if saved <= 1:
        return 0
    if share == 1:
        return 1
    return math.ceil(math.log(saved) / (-packs * math.log1p(-share)))


def best_boxes_then_singles(
    cards: int,
    per_pack: PerPack,
    packs_per_box: int,
    *,
    box_price: float | Decimal,
    single_price: float | Decimal,
    order_price: float | Decimal = 0,
    singles_postage: float | Decimal = 0,
    set_price: float | Decimal | None = None,
    least_rows: int = 0,
) -> Completion:
    """What a complete set costs: by boxes alone, by boxes and then singles, or bought complete; and the best.

    Parameters
    ----------
    box_price : of a box, in money; less what its other cards return, if that is to count
    single_price : of one base card, mean over the set
    order_price : what is paid once for an order of boxes, whatever their number, such as its shipping
    singles_postage : what is paid once for the singles, where any are missing
    least_rows : so many boxes have a row at least
    set_price : of a complete base set, posted

    Returns
    -------
    a Completion, its packs independent of each other; rows go to where boxes alone cost more than the best
    row, and to where less than one card is missing, at most to 400

    Raises
    ------
    ValueError
        for packs larger than the set, a box without a price, or negative money

    Notes
    -----
    The expected cost of b boxes is b box_price + E[missing after b] single_price: every card is
    as likely to be missing, so the mean price of a single serves. This cost is convex in b, so the best b is
    where one more box first saves no more than its price. What is paid once moves it only among few boxes, so
    all rows are compared with it.
    """
    box = positive(box_price, "the price of a box")
    each = not_negative(single_price, "the price of a single")
    order = not_negative(order_price, "the price of an order")
    postage = not_negative(singles_postage, "the postage of singles")
    ready = None if set_price is None else not_negative(set_price, "the price of a complete set")
    model, packs = _boxes(cards, per_pack, packs_per_box, no_duplicates=False)
    share = float(model.mean / model.cards)

    def row(boxes: int) -> BoxesThenSingles:
        missing = model.cards * (1 - share) ** (boxes * packs)
        complete = _done(model, boxes * packs, 1)
        cost = boxes * box + (order if boxes else 0.0) + missing * each + (1 - complete) * postage
        return BoxesThenSingles(boxes=boxes, missing=missing, complete=complete, cost=cost)

    turn = _where_boxes_stop_paying(model.cards * each / box, share, packs)
    # The neighbours decide what rounding of the turn could not.
    near = min(map(row, range(max(0, turn - 1), turn + 2)), key=lambda row: row.cost)
    nearly = 1 if share == 1 else math.ceil(-math.log(model.cards) / (packs * math.log1p(-share)))
    last = max(math.floor(near.cost / box), nearly, least_rows)
    rows = tuple(map(row, range(min(_MOST_ROWS, last) + 1)))
    best = min((*rows, near), key=lambda row: row.cost)
    until_done = expected_boxes(cards, per_pack, packs_per_box) * box + order
    ways: dict[Way, float] = {
        "singles" if best.boxes == 0 else "boxes, then singles": best.cost,
        "open until done": until_done,
    }
    if ready is not None:
        ways["complete set"] = ready
    return Completion(
        rows=rows,
        best=best,
        until_done=until_done,
        complete_set=ready,
        cheapest=min(ways, key=ways.__getitem__),
    )
