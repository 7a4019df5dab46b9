"""Choosing the points of a rubric: what a person answers, and the points that follow from it.

There are four methods: points given directly, a rank order, swings, and comparisons in pairs, these on groups
and then within each group, since fourteen criteria would need 91 answers.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from rating import tenths, text
from rating.core import weights
from rating.rubric.rubric import Rubric

METHODS = ("points", "rank", "swing", "pairwise")
RULES = {
    "centroid": weights.rank_order_centroid,
    "sum": weights.rank_sum,
    "reciprocal": weights.rank_reciprocal,
}
FULL = 1000
MOST_TIMES = 9
GROUPS = ""
_TIMES = re.compile(r"(\d{1,4})/(\d{1,4})\Z|\d(?:[.,]\d{1,3})?\Z", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The first counts so many times as much as the second; `within` is their group, '' for groups."""

    within: str
    first: str
    second: str
    times: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a person said: pairs, or a number a criterion: tenths of points or of a swing, or a place."""

    method: str
    numbers: Mapping[str, int] = field(default_factory=dict)
    comparisons: tuple[Comparison, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedSet:
    """How consistent the comparisons within one group are, or those of the groups (`within` is '')."""

    within: str
    names: tuple[str, ...]
    pairwise: weights.Pairwise
    matrix: tuple[tuple[Fraction | None, ...], ...]

    @property
    def can_contradict(self) -> bool:
        """Whether there are more answers than just join the names."""
        return self.pairwise.table != weights.NO_TABLE

    @property
    def triple(self) -> tuple[str, str, str] | None:
        """The three that contradict each other most, None where no three do."""
        if self.pairwise.worst_triple is None:
            return None
        first, second, third = self.pairwise.worst_triple
        return self.names[first], self.names[second], self.names[third]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """Points in tenths by criterion, which sum to 100.0 exactly, and how they came about in words."""

    method: str
    points: Mapping[str, int]
    compared: tuple[ComparedSet, ...] = ()
    remark: str = ""


def sets(rubric: Rubric) -> dict[str, tuple[str, ...]]:
    """What is compared in pairs: the groups under '', and the criteria of each group under its key."""
    members = {
        group: tuple(one.key for one in rubric.criteria if one.group == group) for group in rubric.groups
    }
    members = {group: keys for group, keys in members.items() if keys}
    return {GROUPS: tuple(members), **members}


def times_of(written: str) -> Fraction:
    """How many times, as a person writes it: '3', '1/3', '2.5'.

    Raises
    ------
    ValueError
        if it is no number from 1/9 to 9
    """
    match = _TIMES.match(written)
    if match is None or (match[2] and not int(match[2])):
        raise ValueError(written)
    times = Fraction(written.replace(",", "."))
    if not Fraction(1, MOST_TIMES) <= times <= MOST_TIMES:
        raise ValueError(written)
    return times


def swing_of(written: str) -> int:
    """A swing from 0 to 100 in tenths, as a person writes it: '80', '62.5'.

    Raises
    ------
    ValueError
        if it is none
    """
    swing = tenths.read(written)
    if swing > FULL:
        raise ValueError(written)
    return swing


def propose(rubric: Rubric, answers: Answers, *, rule: str = "centroid") -> Proposal:
    """The points that follow from the answers.

    Parameters
    ----------
    rule : for a rank order: centroid, sum or reciprocal

    Raises
    ------
    ValueError
        if a criterion has no number, all are 0, or comparisons leave parts that nothing joins; names them
    """
    keys = [one.key for one in rubric.criteria]
    if answers.method == "pairwise":
        return _from_pairs(rubric, answers.comparisons)
    absent = [key for key in keys if key not in answers.numbers]
    if absent:
        raise ValueError(f"there is no number for {text.listed(absent)}")
    numbers = [answers.numbers[key] for key in keys]
    if answers.method == "rank":
        shares = _by_rank(numbers, RULES[rule](len(keys)).tolist())
        return _proposal(f"rank order, {rule} weights", keys, shares)
    if not any(numbers):
        raise ValueError("all are 0")
    if answers.method == "swing":
        # in proportion to the swings: Goodwin and Wright, Decision Analysis for Management Judgment, ch. 3
        return _proposal("swing weights", keys, numbers)
    total = sum(numbers)
    scaled = f"The points given sum to {tenths.show_points(total)} and were scaled to 100."
    return _proposal("points given directly", keys, numbers, remark="" if total == FULL else scaled)


def _proposal(method: str, keys: Sequence[str], shares: Sequence[float], *, remark: str = "") -> Proposal:
    points = dict(zip(keys, tenths.shared_out(shares, FULL), strict=True))
    return Proposal(method=method, points=points, remark=remark)


def _by_rank(places: Sequence[int], falling: Sequence[float]) -> list[float]:
    """The weight of each place; those that share one get the mean of the places they take up."""
    order = sorted(range(len(places)), key=places.__getitem__)
    shares = [0.0] * len(places)
    start = 0
    for _, group in itertools.groupby(order, key=places.__getitem__):
        shared = list(group)
        mean = sum(falling[start : start + len(shared)]) / len(shared)
        for place in shared:
            shares[place] = mean
        start += len(shared)
    return shares


def compare(within: str, names: Sequence[str], comparisons: Sequence[Comparison]) -> ComparedSet:
    """The weights of one set that is compared in pairs.

    Raises
    ------
    ValueError
        if nothing joins some of the names with the others
    """
    matrix = matrix_of(within, names, comparisons)
    apart = joined(names, matrix)
    if len(apart) > 1:
        parts = [text.listed(part) for part in apart]
        raise ValueError(f"nothing joins {'; '.join(parts)}")
    found = weights.pairwise(_floats(matrix))
    return ComparedSet(within=within, names=tuple(names), pairwise=found, matrix=matrix)


def matrix_of(
    within: str, names: Sequence[str], comparisons: Sequence[Comparison]
) -> tuple[tuple[Fraction | None, ...], ...]:
    """The answers about one set as a square, None where a pair was not answered."""
    given = {(one.first, one.second): one.times for one in comparisons if one.within == within}
    given |= {(second, first): 1 / times for (first, second), times in given.items()}
    given |= {(name, name): Fraction(1) for name in names}
    return tuple(tuple(given.get((first, second)) for second in names) for first in names)


def joined(names: Sequence[str], matrix: Sequence[Sequence[Fraction | None]]) -> tuple[tuple[str, ...], ...]:
    """The names that answers join, directly or by way of others; one part is good."""
    return tuple(tuple(names[place] for place in part) for part in weights.parts(_floats(matrix)))


def _floats(matrix: Sequence[Sequence[Fraction | None]]) -> weights.Array:
    return np.array([[np.nan if one is None else float(one) for one in row] for row in matrix])


def _from_pairs(rubric: Rubric, comparisons: Sequence[Comparison]) -> Proposal:
    compared = [compare(within, names, comparisons) for within, names in sets(rubric).items()]
    inside = {
        name: share
        for one in compared
        if one.within != GROUPS
        for name, share in zip(one.names, one.pairwise.weights.tolist(), strict=True)
    }
    of_group = dict(zip(compared[0].names, compared[0].pairwise.weights.tolist(), strict=True))
    keys = [one.key for one in rubric.criteria]
    points = tenths.shared_out([of_group[one.group] * inside[one.key] for one in rubric.criteria], FULL)
    asked = tuple(one for one in compared if len(one.names) > 1)
    method = "comparisons in pairs on groups, then within each"
    ratios = [one.pairwise for one in asked if one.can_contradict]
    if ratios:
        worst = max(ratios, key=lambda found: found.consistency_ratio)
        method += f"; consistency ratio {ratio_text(worst.consistency_ratio)} at most ({worst.table})"
    return Proposal(method=method, points=dict(zip(keys, points, strict=True)), compared=asked)


def ratio_text(ratio: float) -> str:
    """A consistency ratio as it is shown."""
    return tenths.fixed(Fraction(ratio), 2)


def told(compared: ComparedSet) -> str:
    """How consistent one set of comparisons is, in a sentence, with the three to look at again."""
    pairwise = compared.pairwise
    ratio = ratio_text(pairwise.consistency_ratio)
    head = f"{compared.within or 'groups'}: consistency ratio {ratio} ({pairwise.table})"
    if not pairwise.is_inconsistent:
        return f"{head}."
    head += ", over 0.1: the answers contradict each other"
    if pairwise.worst_triple is None:
        return f"{head}."
    first, second, third = pairwise.worst_triple
    steps = [_step(compared, *pair) for pair in ((first, second), (second, third), (third, first))]
    return f"{head}, most of all {text.listed(steps)}."


def _step(compared: ComparedSet, first: int, second: int) -> str:
    times = compared.matrix[first][second]
    if times is None:
        raise ValueError(f"{compared.names[first]} and {compared.names[second]} were not compared")
    if times < 1:
        first, second, times = second, first, 1 / times
    if times == 1:
        return f"{compared.names[first]} as much as {compared.names[second]}"
    shown = times.numerator if times.denominator == 1 else tenths.fixed(times, 1)
    return f"{compared.names[first]} {shown} times {compared.names[second]}"
