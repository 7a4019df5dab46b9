"""The section on opening: what a box feels like pack by pack, as far as it can be counted.

Cards promised for certain lie in different packs of a box as far as there are packs (common practice, no
source); all others fall into each pack independently of each other. So every order of a box's packs is
equally likely, and how many packs hold nothing but base decides how long the longest wait is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.lines import CardLine
from rating.facts.opening.value import FormatOpening, Opening
from rating.facts.plain import Unknown
from rating.numerics import chances
from rating.release.sheet import Format
from rating.tenths import six_places

Array = NDArray[np.float64]

# the print run up to which a numbered card is a surprise
SURPRISE = 25
MOST_PACKS = 100
_RARE = 1e-6


def opening(
    formats: Sequence[Format], lines: Sequence[CardLine], collations: Mapping[str, Collation]
) -> Opening | Unknown:
    """The section: each format's packs, longest waits, hits and surprises, or why they are not known."""
    if not lines:
        return Unknown("there is no checklist.csv yet")
    if not formats:
        return Unknown("release.toml describes no format yet")
    return Opening(
        formats={
            one.key: _format(collations[one.key], lines)
            if one.key in collations
            else Unknown(f"release.toml does not say how many packs and cards a {one.name} box holds")
            for one in formats
        }
    )


def _format(collation: Collation, lines: Sequence[CardLine]) -> FormatOpening | Unknown:
    draws = [one for one in collation.draws if one.source != "rest"]
    if not draws and collation.open_lines:
        names = ", ".join(lines[i].name for i in collation.open_lines[:3])
        return Unknown(f"neither promises nor odds say how often {names} fall")
    packs = collation.packs_per_box
    if packs > MOST_PACKS:
        return Unknown(f"a box of {packs:,} packs is not opened pack by pack")
    usual = [one for one in draws if _in_every_pack(one, packs)]
    dry = dry_packs(draws, collation)
    longest = longest_run(dry)
    others = dry_packs([one for one in draws if one not in usual], collation)
    hits = hit_distribution(draws, lines, collation)
    return FormatOpening(
        packs=packs,
        with_something=six_places(1 - _mean(dry) / packs),
        beyond_the_usual=six_places(1 - _mean(others) / packs),
        in_every_pack=tuple(dict.fromkeys(_name(one, lines) for one in usual)),
        longest_dry=six_places(_mean(longest)),
        longest_dry_q90=int(np.searchsorted(np.cumsum(longest), 0.9 - 1e-12)),
        hits=tuple(six_places(chance) for chance in _without_tail(hits)),
        expected_hits=six_places(_mean(hits)),
        surprise=six_places(1 - _none(draws, _shares_up_to(SURPRISE, lines), collation)),
        not_counted=tuple(lines[i].name for i in collation.open_lines),
    )


def _in_every_pack(draw: Draw, packs: int) -> bool:
    """Whether every pack holds one: promised for each pack, or odds of one a pack or better."""
    return draw.per_box >= packs * (1 - 1e-9) and (
        draw.per == "pack" or draw.source == "odds" or (draw.certain and packs == 1)
    )


def _name(draw: Draw, lines: Sequence[CardLine]) -> str:
    return lines[draw.lines[0]].name if len(draw.lines) == 1 else draw.what


def _mean(chances_of: Array) -> float:
    return float(np.arange(len(chances_of)) @ chances_of)


def _without_tail(counts: Array) -> Array:
    """The chances up to the last that is not rarer than one in a million."""
    return counts[: int(np.flatnonzero(counts >= _RARE)[-1]) + 1]


def certain_in_box(draw: Draw, collation: Collation) -> tuple[int, float]:
    """Cards of a promise that are in every box, and the chance of one more."""
    count = float(draw.count)
    if draw.per == "pack":
        count *= collation.packs_per_box
    elif draw.per == "case" and collation.boxes_per_case:
        count /= collation.boxes_per_case
    sure = math.floor(count + 1e-9)
    return sure, max(0.0, count - sure)


def _pack_chance(draw: Draw, packs: int) -> float | None:
    """The chance per pack of a line at odds of 1:1 or rarer; None where any number may fall (Poisson)."""
    each = draw.per_box / packs
    return each if draw.source == "odds" and len(draw.lines) == 1 and each <= 1 else None


def dry_packs(draws: Sequence[Draw], collation: Collation) -> Array:
    """Chances that 0, 1, 2 … packs of a box hold no card of some draws."""
    packs = collation.packs_per_box
    open_packs = np.zeros(packs + 1)
    open_packs[packs] = 1
    none = 1.0
    for draw in draws:
        if draw.certain:
            sure, more = certain_in_box(draw, collation)
            open_packs = (1 - more) * _seeded(open_packs, sure) + more * _seeded(open_packs, sure + 1)
        elif (chance := _pack_chance(draw, packs)) is not None:
            none *= 1 - chance
        else:
            none *= math.exp(-draw.per_box / packs)
    dry = np.zeros(packs + 1)
    for left in np.flatnonzero(open_packs):
        dry[: left + 1] += open_packs[left] * chances.hit_counts([none] * int(left))
    return dry


def _seeded(open_packs: Array, cards: int) -> Array:
    """How many packs are still open when so many cards went into different ones of a box's packs."""
    packs = len(open_packs) - 1
    after = np.zeros(packs + 1)
    for left in np.flatnonzero(open_packs):
        struck = chances.counts_in_run(packs, int(left), min(cards, packs))
        for count, chance in enumerate(struck):
            after[left - count] += open_packs[left] * chance
    return after


def longest_run(dry: Array) -> Array:
    """Chances of 0, 1, 2 … dry packs in a row at the longest, when any order of the packs is as likely.

    Parameters
    ----------
    dry : chances of 0, 1, … n dry packs in a box of n packs

    Returns
    -------
    array of shape (n + 1,)
    """
    packs = len(dry) - 1
    longest = np.zeros(packs + 1)
    for count in np.flatnonzero(dry):
        longest[: count + 1] += dry[count] * np.diff(_no_longer(packs, int(count)), prepend=0.0)
    return longest


@lru_cache(maxsize=1024)
def _no_longer(packs: int, dry: int) -> tuple[float, ...]:
    """Chance that no run of dry packs is longer than 0, 1, … when so many are dry, in any order.

    The dry packs are shared out over the gaps before, between and after the others, none of which takes
    more than the run; counted by inclusion and exclusion in whole numbers. Feller, vol. 1, chapter II.
    """
    gaps = packs - dry + 1
    ways = math.comb(packs, dry)
    return tuple(
        sum(
            (-1) ** j * math.comb(gaps, j) * math.comb(dry - j * (run + 1) + gaps - 1, gaps - 1)
            for j in range(min(gaps, dry // (run + 1)) + 1)
        )
        / ways
        for run in range(dry + 1)
    )


def hit_distribution(draws: Sequence[Draw], lines: Sequence[CardLine], collation: Collation) -> Array:
    """Chances of 0, 1, 2 … autographs and relics in a box."""
    shares = [float(line.is_hit) for line in lines]
    single: list[float] = []
    any_number = 0.0
    for draw in draws:
        share = _share(draw, shares)
        if not share:
            continue
        if draw.certain:
            sure, more = certain_in_box(draw, collation)
            single += [share] * sure + [share * more]
        elif (chance := _pack_chance(draw, collation.packs_per_box)) is not None:
            single += [chance * share] * collation.packs_per_box
        else:
            any_number += draw.per_box * share
    counts: Array = np.convolve(chances.hit_counts(single), _poisson(any_number))
    return counts


def _poisson(mean: float) -> Array:
    """Chances of 0, 1, 2 … where any number may fall, up to what is too rare to print."""
    most = math.ceil(mean + 8 * math.sqrt(mean) + 8)
    counts = np.arange(most + 1)
    logs = counts * math.log(mean) - mean if mean else np.where(counts == 0, 0.0, -np.inf)
    found: Array = np.exp(logs - [math.lgamma(count + 1) for count in counts])
    return found


def _share(draw: Draw, shares: Sequence[float]) -> float:
    """The share of a draw's cards that are meant, from that of each line."""
    return min(1.0, math.fsum(w * shares[i] for i, w in zip(draw.lines, draw.weights, strict=True)))


def _none(draws: Sequence[Draw], shares: Sequence[float], collation: Collation) -> float:
    """Chance that a box holds no card that is meant."""
    none = 1.0
    for draw in draws:
        share = _share(draw, shares)
        if draw.certain:
            sure, more = certain_in_box(draw, collation)
            none *= (1 - share) ** sure * (1 - share * more)
        elif (chance := _pack_chance(draw, collation.packs_per_box)) is not None:
            none *= (1 - chance * share) ** collation.packs_per_box
        else:
            none *= math.exp(-draw.per_box * share)
    return none


def _shares_up_to(run: int, lines: Sequence[CardLine]) -> list[float]:
    """The share of each line's copies that are numbered so low, none of a line with unnumbered cards."""
    return [
        sum(one for one in line.runs if one and one <= run) / line.copies if line.copies else 0.0
        for line in lines
    ]
