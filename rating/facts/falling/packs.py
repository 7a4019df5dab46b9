"""How many packs of each format exist, by the numbered lines that have odds."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rating.facts.falling.lines import CardLine
from rating.numerics.packs import (
    MOST_COPIES,
    Alternative,
    PackRange,
    PacksByFormat,
    packs_by_format,
    rates_of_line,
)
from rating.numerics.rates import Rate
from rating.release.sheet import Format

# a set of odds with more equally small ways to mend it is told by these alone
_MOST_ALTERNATIVES = 12


@dataclass(frozen=True, slots=True)
class Packs:
    """What numbered lines say of how many packs exist.

    used
        their places among the release's lines
    given
        their copies, and X of their odds 1:X by format
    """

    found: PacksByFormat
    used: tuple[int, ...]
    given: tuple[tuple[int, Mapping[str, float]], ...]

    @property
    def best(self) -> Alternative:
        """Of the smallest sets of odds to set aside, the one after which the others fit best."""
        return min(self.found.alternatives, key=lambda one: one.misfit)

    @property
    def known(self) -> dict[str, PackRange]:
        """The packs of each format of which there is an estimate."""
        return {name: span for name, span in self.found.packs.items() if span.estimate is not None}

    @property
    def estimates(self) -> dict[str, float]:
        """How many packs of a format exist, where it is known."""
        return {name: span.estimate for name, span in self.known.items() if span.estimate is not None}

    @property
    def rates(self) -> dict[tuple[int, str], Rate]:
        """Copies a pack, by line and format, of the lines used.

        By their copies and the packs; as the others imply it, of odds that were set aside.
        """
        known = self.known
        found = {
            (place, name): rate
            for place, (copies, one_in) in zip(self.used, self.given, strict=True)
            for name, rate in rates_of_line(copies, one_in, known).items()
        }
        for one in self.best.implied:
            if not math.isnan(one.implied) and one.implied > 0:
                found[self.used[one.line], one.format] = Rate(
                    low=1 / one.high if one.high > 0 else 0.0,
                    estimate=1 / one.implied,
                    high=1 / one.low if one.low > 0 else math.inf,
                )
        return found


def packs_of(formats: Sequence[Format], lines: Sequence[CardLine]) -> Packs | None:
    """The packs by format, None where no numbered line has odds."""
    keys = [one.key for one in formats]
    given, used = [], []
    for i, line in enumerate(lines):
        odds = {key: float(x) for key, x in line.odds.items() if key in keys}
        if odds and line.copies is not None and 0 < line.copies <= MOST_COPIES:
            given.append((line.copies, odds))
            used.append(i)
    if not given:
        return None
    return Packs(packs_by_format(given, keys, most=_MOST_ALTERNATIVES), tuple(used), tuple(given))
