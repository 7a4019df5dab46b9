"""A maker's promises beside its odds: what cannot both be so."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from rating import tenths, text
from rating.release.checklist import Card, Odds, Parallel
from rating.release.sheet import Format, Guarantee

# makers round promises, and odds of a whole run are not those of a box: less than this is no contradiction
_TOLERANCE = 1.25
_SIGNED = {"autograph", "autograph relic"}
_WITH_RELIC = {"relic", "autograph relic"}


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A promise that the odds contradict: what it states for a box, and the least and most by the odds."""

    format: Format
    promise: Guarantee
    stated: float
    low: float
    high: float

    @property
    def what(self) -> str:
        """It in a sentence."""
        high = f" to {self.high:.3g}" if math.isfinite(self.high) else " or more"
        return f"the maker promises {self.promise.describe()}, and the odds give {self.low:.3g}{high} a box"


@dataclass(frozen=True, slots=True)
class Compared:
    """The promises that the odds contradict, and how many promises could be held against odds."""

    contradictions: tuple[Contradiction, ...]
    compared: int

    @property
    def are_many(self) -> bool:
        """Whether so many contradict that something was read or typed wrongly: three, and half of all."""
        return len(self.contradictions) > 2 and len(self.contradictions) * 2 >= self.compared


@dataclass(frozen=True, slots=True)
class _Line:
    subset: str
    parallel: str
    kind: str
    is_numbered: bool


def against_odds(
    formats: Sequence[Format], cards: Sequence[Card], parallels: Sequence[Parallel], odds: Sequence[Odds]
) -> Compared:
    """The promises held against the odds, their rounding granted; not those of lines without odds."""
    lines = _lines(cards, parallels)
    stated: dict[tuple[str, str], dict[str, Decimal]] = {}
    for one in as_meant(formats, cards, parallels, odds):
        stated.setdefault((text.key(one.subset), text.key(one.parallel)), {})[one.format] = one.packs_per_copy
    with_odds = {one.format for one in odds}
    found: list[Contradiction] = []
    compared = 0
    for packed in formats:
        if packed.key not in with_odds or packed.packs_per_box is None:
            continue
        for promise in packed.guarantees:
            one_in = _odds_of(promise, packed, lines, stated)
            share = packed.in_box(promise.per)
            if one_in and share is not None:
                compared += 1
                found += _compared(
                    packed, promise, float(promise.count * share), one_in, packed.packs_per_box
                )
    return Compared(tuple(found), compared)


def as_meant(
    formats: Sequence[Format], cards: Sequence[Card], parallels: Sequence[Parallel], odds: Sequence[Odds]
) -> tuple[Odds, ...]:
    """The odds with 1:1 read as several a pack where a promise says so: none is printed better than 1:1.

    What a promise of more than one card a pack leaves beside the lines with longer odds is shared alike by
    those at 1:1. A promise of which a line has no odds changes nothing.
    """
    several = [
        (packed, promise, each)
        for packed in formats
        for promise in packed.guarantees
        if (each := _a_pack(packed, promise)) is not None and each > 1
    ]
    if not several or not any(one.packs_per_copy == 1 for one in odds):
        return tuple(odds)
    lines = _lines(cards, parallels)
    found = {(text.key(one.subset), text.key(one.parallel), one.format): one for one in odds}
    stated = {key[:2] for key in found}
    for packed, promise, each in several:
        meant = [(one.subset, one.parallel) for one in lines if _is_meant(promise, one)]
        own = [key for one in meant if (key := (*one, packed.key)) in found]
        full = [key for key in own if found[key].packs_per_copy == 1]
        longer = sum(1 / Fraction(found[key].packs_per_copy) for key in own if key not in full)
        if not full or not stated.issuperset(meant):
            continue
        share = (each - longer) / len(full)
        if share > 1:
            x = tenths.six_digits(1 / share)
            found |= {key: found[key]._replace(packs_per_copy=x) for key in full}
    return tuple(found.values())


def _a_pack(packed: Format, promise: Guarantee) -> Fraction | None:
    """How many cards a pack are promised, None where packs are not described."""
    share = packed.in_box(promise.per)
    return (
        None
        if share is None or not packed.packs_per_box
        else Fraction(promise.count) * Fraction(share) / packed.packs_per_box
    )


def believed(
    formats: Sequence[Format], cards: Sequence[Card], parallels: Sequence[Parallel], odds: Sequence[Odds]
) -> tuple[tuple[Format, ...], int]:
    """The formats without the promises that the odds contradict, where these are many, and their number."""
    held = against_odds(formats, cards, parallels, odds) if cards and odds else None
    if held is None or not held.are_many:
        return tuple(formats), 0
    against = {(one.format.key, one.promise) for one in held.contradictions}
    kept = tuple(
        replace(one, guarantees=tuple(g for g in one.guarantees if (one.key, g) not in against))
        for one in formats
    )
    return kept, len(held.contradictions)


def _lines(cards: Sequence[Card], parallels: Sequence[Parallel]) -> list[_Line]:
    kinds: dict[str, str] = {}
    runs: dict[str, list[int | None]] = {}
    for card in cards:
        key = text.key(card.subset)
        kinds.setdefault(key, "" if card.variation else card.kind)
        runs.setdefault(key, []).append(card.print_run)
    lines = [_Line(key, "", kind, None not in runs[key]) for key, kind in kinds.items()]
    for one in parallels:
        key = text.key(one.subset)
        numbered = one.print_run is not None
        lines.append(_Line(key, text.key(one.parallel), kinds.get(key, ""), numbered))
    return lines


def _odds_of(
    promise: Guarantee,
    packed: Format,
    lines: Sequence[_Line],
    stated: Mapping[tuple[str, str], Mapping[str, Decimal]],
) -> list[float]:
    """The odds of the lines that a promise speaks of; nothing where one of them has none stated anywhere."""
    one_in = []
    for line in lines:
        if not _is_meant(promise, line):
            continue
        known = stated.get((line.subset, line.parallel))
        if known is None:
            return []
        if packed.key in known:
            one_in.append(float(known[packed.key]))
    return one_in


def _is_meant(promise: Guarantee, line: _Line) -> bool:
    if promise.subset and text.key(promise.subset) != line.subset:
        return False
    if promise.parallel and text.key(promise.parallel) != line.parallel:
        return False
    if promise.what == "hit":
        return line.kind in _SIGNED | _WITH_RELIC
    if promise.what == "numbered":
        return line.is_numbered
    if promise.what == "parallel":
        return bool(line.parallel)
    if promise.what == "autograph":
        return line.kind in _SIGNED
    if promise.what == "relic":
        return line.kind in _WITH_RELIC
    return promise.what == line.kind and promise.what != "base"


def _compared(
    packed: Format, promise: Guarantee, count: float, one_in: Sequence[float], packs_per_box: int
) -> list[Contradiction]:
    from rating.numerics.packs import guarantee_against_odds  # which loads numpy

    against = guarantee_against_odds(count, one_in, packs_per_box)
    exponent = promise.count.as_tuple().exponent
    rounding = float(Decimal(5).scaleb(exponent - 1) / promise.count) if isinstance(exponent, int) else 0.0
    low, high = against.low / _TOLERANCE, against.high * _TOLERANCE
    leeway = 0.0 if promise.hard else count * rounding
    agrees = high >= count if promise.hard else low - leeway <= count <= high + leeway
    return [] if agrees else [Contradiction(packed, promise, count, against.low, against.high)]
