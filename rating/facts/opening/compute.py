"""The section on opening: what a box feels like pack by pack, as far as it can be counted.

Cards fall by `falling.laws`: what is promised for certain lies in different packs as far as there are packs,
all others fall into each pack independently of each other. So every order of a box's packs is equally likely,
and how many packs hold nothing but base decides how long the longest wait is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.laws import counts_in_unit, draws_in, law, none_in
from rating.facts.falling.lines import CardLine
from rating.facts.opening.value import FormatOpening, Opening
from rating.facts.plain import NO_FORMAT, Unknown
from rating.numerics import chances
from rating.numerics.draws import Counts
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
        return Unknown("there is no checklist yet")
    if not formats:
        return NO_FORMAT
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
        surprise=six_places(1 - _none_up_to(SURPRISE, draws, lines, collation)),
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


def dry_packs(draws: Sequence[Draw], collation: Collation) -> Array:
    """Chances that 0, 1, 2 … packs of a box hold no card of some draws."""
    packs = collation.packs_per_box
    open_packs = np.zeros(packs + 1)
    open_packs[packs] = 1
    none = 1.0
    for draw in draws:
        one = law(draw, collation)
        if one.unit == 1:
            none *= none_in(one, 1.0, 1)
            continue
        open_packs = np.sum(
            [chance * _seeded(open_packs, cards) for cards, chance in counts_in_unit(one, packs)], axis=0
        )
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
    packs = collation.packs_per_box
    counts: Array = np.ones(1)
    single: list[float] = []
    any_number = 0.0
    for draw in draws:
        share = _share(draw, shares)
        if not share:
            continue
        for number in draws_in(law(draw, collation), packs):
            match number:
                case ("poisson", mean):
                    any_number += float(mean) * share
                case ("binomial", trials, chance):
                    single += [float(chance) * share] * int(trials)
                case Counts(chances=held):
                    counts = np.convolve(counts, _meant(held, share))
                case int():
                    single += [share] * number
    return np.convolve(np.convolve(counts, chances.hit_counts(single)), _poisson(any_number))


def _meant(held: Sequence[float], share: float) -> Array:
    """Chances of 0, 1, 2 … cards that are meant, of a number of cards that each are with some chance."""
    found = np.zeros(len(held))
    for cards, chance in enumerate(held):
        if chance:
            found[: cards + 1] += chance * chances.hit_counts([share] * cards)
    return found


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


def _none_up_to(run: int, draws: Sequence[Draw], lines: Sequence[CardLine], collation: Collation) -> float:
    """Chance that a box holds no card numbered so low; lines with unnumbered cards count for nothing."""
    shares = [
        sum(one for one in line.runs if one and one <= run) / line.copies if line.copies else 0.0
        for line in lines
    ]
    packs = collation.packs_per_box
    return math.prod(none_in(law(one, collation), _share(one, shares), packs) for one in draws)
