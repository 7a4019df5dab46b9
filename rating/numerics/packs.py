"""How many packs, and so how many copies, exist: from stated odds and print runs.

Odds of 1:X per pack in format f mean Packs_f / X copies in that format, so each numbered line j says
`sum over f of Packs_f / X_fj = copies_j`. X is known only to its rounding, so a line gives a strip and not
a point, and lines agree when their strips have a point in common. F is the number of formats.

Copies that follow from print runs are an upper bound: makers hold some back (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rating.numerics.checked import not_negative, number, odds, positive, whole
from rating.numerics.rates import Rate, Rounding, leeway, odds_interval, rate_by_odds
from rating.numerics.strips import Strips

# No release comes near it; a larger count is a slip of the keyboard and would drown every other line.
MOST_COPIES = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class Implied:
    """What the other lines say about the odds of a line that was set aside.

    `implied`, `low` and `high` are X of 1:X; infinite where the other formats already take every copy.
    """

    line: int
    format: str
    stated: float
    implied: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRange:
    """Packs of one format: the range that the rounding leaves, and the least-squares estimate within it.

    `error` is the standard error of the estimate before it is held inside the range. `high` is infinite, and
    the estimate None, where no line that was kept speaks of the format.
    """

    low: float
    high: float
    estimate: float | None
    error: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """One smallest set of lines to set aside, and what the rest then say.

    `packs` has one entry a format (the name is empty where there is only one and it was not named);
    `misfit` is the sum of squared residuals of the lines kept, each over its rounding variance.
    """

    set_aside: tuple[int, ...]
    packs: Mapping[str, PackRange]
    total: PackRange
    implied: tuple[Implied, ...]
    misfit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PacksByFormat:
    """Packs of several formats; ranges span every alternative, the estimates are those of the best fit.

    `unknown` names the formats that no line speaks of: their packs cannot be known. `all_listed` is False
    where there are more smallest sets than were asked for. `programmes` counts the linear and integer
    programmes that were solved.
    """

    packs: Mapping[str, PackRange]
    total: PackRange
    consistent: bool
    set_aside: list[tuple[int, ...]]
    alternatives: tuple[Alternative, ...]
    unknown: tuple[str, ...]
    all_listed: bool
    programmes: int


def _copies(value: object, line: int) -> int:
    found = whole(value, f"the copies of line {line}", least=1)
    if found > MOST_COPIES:
        raise ValueError(
            f"line {line} has {found} copies, more than any release can hold ({MOST_COPIES}); "
            "copies are the sum of the print runs of its cards"
        )
    return found


def packs_by_format(
    lines: Sequence[tuple[int, Mapping[str, float]]],
    formats: Sequence[str],
    rounding: Rounding = "nearest",
    *,
    most: int = 40,
) -> PacksByFormat:
    """Packs of several formats, from the copies of numbered lines and their odds in each format.

    Every format's packs are minimised and maximised under all lines (linear programmes, HiGHS). Where the
    lines disagree, the smallest sets of lines are set aside so that the rest agree; every equally small set
    is listed, and the ranges span all of them.

    Parameters
    ----------
    lines : pairs (copies, {format: X of the stated odds 1:X}); a format left out has none of the copies
    formats : the names of the formats
    rounding : how X was rounded when it was printed
    most : how many equally small sets are listed at most; `all_listed` tells whether that was enough

    Raises
    ------
    ValueError
        without lines or formats, for odds and copies that cannot be, or for a format not named in `formats`
    """
    names = list(formats)
    if not names or len(set(names)) != len(names):
        raise ValueError(f"formats must be named, each once, got {names!r}")
    if not lines:
        raise ValueError("no lines: without odds of numbered cards the number of packs cannot be known")
    most = whole(most, "the number of sets listed", least=1)
    copies, stated = [], []
    for j, (count, by_format) in enumerate(lines):
        strange = [name for name in by_format if name not in names]
        if strange:
            raise ValueError(f"line {j} has odds in {strange[0]!r}, which is none of {', '.join(names)}")
        if not by_format:
            raise ValueError(f"line {j} has no odds in any format")
        copies.append(_copies(count, j))
        stated.append({names.index(name): odds(x) for name, x in by_format.items()})
    strips = Strips(copies, stated, len(names), rounding)
    sets, all_listed = strips.smallest_sets(most)
    found = tuple(_alternative(strips, names, aside, miss, rounding) for aside, miss in sets)
    best = min(found, key=lambda alternative: alternative.misfit)
    consistent = not found[0].set_aside
    return PacksByFormat(
        packs={name: _spanning([a.packs[name] for a in found], best.packs[name]) for name in names},
        total=_spanning([a.total for a in found], best.total),
        consistent=consistent,
        set_aside=[] if consistent else [alternative.set_aside for alternative in found],
        alternatives=found,
        unknown=tuple(name for f, name in enumerate(names) if not strips.used[:, f].any()),
        all_listed=all_listed,
        programmes=strips.programmes,
    )


def _spanning(ranges: Sequence[PackRange], best: PackRange) -> PackRange:
    return PackRange(
        low=min(r.low for r in ranges),
        high=max(r.high for r in ranges),
        estimate=best.estimate,
        error=best.error,
    )


def _alternative(
    strips: Strips, names: Sequence[str], aside: tuple[int, ...], miss: float, rounding: Rounding
) -> Alternative:
    """What the lines say that are left when those of `aside` are taken out."""
    kept = [j for j in range(strips.lines) if j not in aside]
    low, high, least, largest = strips.extremes(kept, miss)
    estimate, error, total_error, misfit = strips.least_squares(kept, low, high, miss)
    packs = {
        name: PackRange(
            low=float(low[f]),
            high=float(high[f]),
            # Rounding of the last digit must not put an estimate on an end outside of it.
            estimate=None if np.isnan(estimate[f]) else float(np.clip(estimate[f], low[f], high[f])),
            error=None if np.isnan(error[f]) else float(error[f]),
        )
        for f, name in enumerate(names)
    }
    known = not np.isnan(estimate).any()
    total = PackRange(
        low=least,
        high=largest,
        estimate=float(np.clip(estimate.sum(), least, largest)) if known else None,
        error=None if not known or np.isnan(total_error) else total_error,
    )
    implied = tuple(
        _implied(strips, packs, rounding, j=j, f=int(f))
        for j in aside
        for f in np.flatnonzero(strips.used[j])
    )
    return Alternative(set_aside=aside, packs=packs, total=total, implied=implied, misfit=misfit)


def _implied(
    strips: Strips, packs: Mapping[str, PackRange], rounding: Rounding, *, j: int, f: int
) -> Implied:
    """X that one format of a line set aside would need, its other formats being right.

    The ends come from the ranges of the formats taken one by one, so they are never too narrow.
    """
    names = list(packs)
    others = [int(g) for g in np.flatnonzero(strips.used[j]) if g != f]
    fewest, most, middle = (float(strips.copies[j]),) * 3
    for g in others:
        x_low, x_high = odds_interval(float(strips.odds[j, g]), rounding)
        other = packs[names[g]]
        fewest -= other.high / x_low if x_low > 0 else math.inf
        most -= other.low / x_high
        middle = math.nan if other.estimate is None else middle - other.estimate * float(strips.rates[j, g])
    own = packs[names[f]]

    def ratio(count: float | None, left: float) -> float:
        if count is None or math.isnan(left):
            return math.nan
        return count / left if left > 0 else math.inf

    return Implied(
        line=j,
        format=names[f],
        stated=float(strips.odds[j, f]),
        implied=ratio(own.estimate, middle),
        low=ratio(own.low, most),
        high=ratio(own.high, fewest),
    )


def rates_of_line(
    copies: int, one_in: Mapping[str, float], packs: Mapping[str, PackRange], rounding: Rounding = "nearest"
) -> dict[str, Rate]:
    """Copies a pack of a numbered line in each format, which its copies and packs say better than its odds.

    In one format they are copies over packs. Over several formats rates move from what the odds say towards
    their ends, each by the same share of its way, until all copies are where the packs are; none leaves the
    rounding of its odds, which at 1:2 is a half of the rate.

    Parameters
    ----------
    one_in : X of the odds 1:X by format
    packs : by format; where one of the line's formats has no estimate, odds alone are gone by
    """
    found = {name: rate_by_odds(x, rounding) for name, x in one_in.items()}
    known = {name: packs[name] for name in found if name in packs}
    middle = {name: one.estimate for name, one in known.items() if one.estimate}
    if len(middle) < len(found):
        return found
    # where odds set no end, a format may hold all copies
    most = {name: min(found[name].high, max(copies / middle[name], found[name].estimate)) for name in found}
    missing = copies - math.fsum(middle[name] * one.estimate for name, one in found.items())
    ends = most if missing > 0 else {name: one.low for name, one in found.items()}
    room = math.fsum(middle[name] * abs(ends[name] - one.estimate) for name, one in found.items())
    share = min(1.0, abs(missing) / room) if room else 0.0
    return {
        name: _narrowed(name, copies, found, known, one.estimate + share * (ends[name] - one.estimate))
        for name, one in found.items()
    }


def _narrowed(
    name: str, copies: int, rates: Mapping[str, Rate], packs: Mapping[str, PackRange], estimate: float
) -> Rate:
    """The ends of a rate by its odds, and by the copies that the other formats leave."""
    others = [other for other in rates if other != name]
    most = copies - math.fsum(packs[other].low * rates[other].low for other in others)
    fewest = copies - math.fsum(packs[other].high * rates[other].high for other in others)
    own = packs[name]
    low = max(rates[name].low, fewest / own.high if fewest > 0 else 0.0)
    high = min(rates[name].high, most / own.low if own.low > 0 else math.inf)
    return Rate(low=min(low, estimate), estimate=estimate, high=max(high, estimate))


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxes:
    """Boxes and cases that a number of packs fills; `remark` says where they do not divide, else empty."""

    boxes: float
    cases: float
    remark: str


def boxes_from_packs(packs: float, packs_per_box: int, boxes_per_case: int) -> Boxes:
    """Boxes and cases of a number of packs; packs that do not fill them are a remark, not an error."""
    count = positive(packs, "packs")
    per_box = whole(packs_per_box, "packs per box", least=1)
    per_case = whole(boxes_per_case, "boxes per case", least=1)
    boxes = count / per_box
    cases = count / (per_box * per_case)
    if count % per_box:
        remark = f"{count:g} packs do not fill boxes of {per_box}: {boxes:.2f} boxes"
    elif count % (per_box * per_case):
        remark = f"{boxes:g} boxes do not fill cases of {per_case}: {cases:.2f} cases"
    else:
        remark = ""
    return Boxes(boxes=boxes, cases=cases, remark=remark)


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """A guarantee beside what follows from odds or copies; `low` and `high` allow for the rounding."""

    stated: float
    implied: float
    low: float
    high: float
    agrees: bool


def guarantee_against_odds(
    guaranteed: float, one_in: Iterable[float], packs_per_box: int, rounding: Rounding = "nearest"
) -> Against:
    """Hits per box that are promised, beside those that the odds of their lines give."""
    stated = not_negative(guaranteed, "a guarantee per box")
    packs = whole(packs_per_box, "packs per box", least=1)
    each = [odds(x) for x in one_in]
    if not each:
        raise ValueError("no odds to compare the guarantee with")
    ends = [odds_interval(x, rounding) for x in each]
    low = packs * math.fsum(1 / high for _, high in ends)
    high = packs * math.fsum(1 / low if low > 0 else math.inf for low, _ in ends)
    implied = packs * math.fsum(1 / x for x in each)
    return Against(stated=stated, implied=implied, low=low, high=high, agrees=low <= stated <= high)


def guarantee_against_copies(
    guaranteed: float, boxes: tuple[float, float], copies: int | tuple[float, float]
) -> Against:
    """Hits per box that are promised, beside the copies that exist for that many boxes.

    Parameters
    ----------
    guaranteed : hits per box
    boxes : lowest and highest number of boxes
    copies : of all cards that count as such a hit, as one number or lowest and highest
    """
    stated = not_negative(guaranteed, "a guarantee per box")
    least, largest = (positive(count, "boxes") for count in boxes)
    few, many = copies if isinstance(copies, tuple) else (copies, copies)
    few, many = not_negative(few, "copies"), not_negative(many, "copies")
    if least > largest or few > many:
        raise ValueError(f"lowest and highest are the wrong way round: boxes {boxes!r}, copies {copies!r}")
    low, high = few / largest, many / least
    implied = (few + many) / (least + largest)
    return Against(stated=stated, implied=implied, low=low, high=high, agrees=low <= stated <= high)


@dataclass(frozen=True, slots=True, kw_only=True)
class CopiesRange:
    """Copies of a line, all its cards together; `estimate` is None where a format has no estimate."""

    low: float
    high: float
    estimate: float | None


def copies_of_line(
    one_in: Mapping[str, float], packs: Mapping[str, PackRange], rounding: Rounding = "nearest"
) -> CopiesRange:
    """Copies of an unnumbered line from its odds: the sum of packs / X over its formats, as an interval.

    The ends take each format's range by itself, so the interval is never too narrow.

    Raises
    ------
    ValueError
        without odds, or for a format whose packs are not given
    """
    if not one_in:
        raise ValueError("no odds: the copies of the line cannot be known")
    low, high = 0.0, 0.0
    estimate: float | None = 0.0
    middle = float(sum(leeway(rounding))) / 2
    for name, x in one_in.items():
        if name not in packs:
            raise ValueError(f"the packs of {name!r} are not known; known are {', '.join(packs) or 'none'}")
        x_low, x_high = odds_interval(odds(x), rounding)
        there = packs[name]
        low += there.low / x_high
        high += there.high / x_low if x_low > 0 else math.inf
        if estimate is not None and there.estimate is not None:
            estimate += there.estimate / (number(x, "odds") + middle)
        else:
            estimate = None
    return CopiesRange(low=low, high=high, estimate=estimate)
