"""The section on scarcity: how many packs exist, how many copies of each line, and which odds do not fit.

Copies of a numbered line are the sum of its print runs, an upper bound of what is in packs. Where print runs
and odds of several lines do not fit each other, the smallest sets of lines are set aside and named with what
the others imply; they are never averaged away.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from rating import tenths
from rating.facts.falling.collation import Collation, is_meant
from rating.facts.falling.lines import CardLine
from rating.facts.falling.packs import Packs
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import FormatPacks, LineCopies, OddsAside, PromiseCheck, Scarcity, Span
from rating.numerics.packs import (
    Against,
    Implied,
    PackRange,
    boxes_from_packs,
    copies_of_line,
    guarantee_against_copies,
    guarantee_against_odds,
)
from rating.release.sheet import Format, Guarantee


def scarcity(
    formats: Sequence[Format],
    lines: Sequence[CardLine],
    packs: Packs | None,
    collations: Mapping[str, Collation],
    *,
    has_odds: bool,
) -> Scarcity | Unknown:
    """The section.

    Parameters
    ----------
    packs : what numbered lines with odds say, None where there are none
    collations : how the cards of each format fall
    """
    if packs is None:
        return Unknown(_why_not(lines, has_odds))
    found, best = packs.found, packs.best
    aside = tuple(_aside(one.implied, packs.used, lines) for one in found.alternatives)
    set_aside = {packs.used[one.line] for one in best.implied}
    return Scarcity(
        formats={one.key: _format(one, found.packs[one.key]) for one in formats},
        total=_span(found.total),
        consistent=found.consistent,
        set_aside=_aside(best.implied, packs.used, lines),
        alternatives=() if found.consistent else aside,
        all_listed=found.all_listed,
        lines_used=len(packs.used),
        lines=tuple(
            _line(i, line, packs.known, collations, set_aside=set_aside) for i, line in enumerate(lines)
        ),
        promises=_promises(formats, lines, packs.known),
    )


def _why_not(lines: Sequence[CardLine], has_odds: bool) -> str:
    if not has_odds:
        return "there are no odds, so there is no way to tell how many packs exist"
    if not lines:
        return "there is no checklist yet, so odds say nothing of copies"
    if not any(line.copies for line in lines):
        return "no card is numbered, so there is no way to tell how many packs exist"
    return "no numbered card has odds, so there is no way to tell how many packs exist"


def _aside(
    implied: Sequence[Implied], used: Sequence[int], lines: Sequence[CardLine]
) -> tuple[OddsAside, ...]:
    return tuple(
        OddsAside(
            subset=lines[used[one.line]].subset,
            parallel=lines[used[one.line]].parallel,
            format=one.format,
            stated=tenths.six_digits(one.stated),
            implied=_digits(one.implied),
            low=_digits(one.low),
            high=_digits(one.high),
        )
        for one in implied
    )


def _digits(number: float | None) -> Decimal | None:
    """Six digits of a finite number, None for any other."""
    return None if number is None or not math.isfinite(number) else tenths.six_digits(number)


def _span(span: PackRange) -> Span:
    """Whole packs or copies: the ends are rounded outwards, so that the truth stays inside."""
    return Span(
        low=tenths.whole_below(span.low),
        high=tenths.whole_above(span.high) if math.isfinite(span.high) else None,
        estimate=None if span.estimate is None else tenths.nearest(span.estimate),
        error=_digits(span.error),
    )


def _format(packed: Format, span: PackRange) -> FormatPacks:
    per_box, per_case = packed.packs_per_box, packed.boxes_per_case
    boxes = cases = None
    remark = ""
    if span.estimate is not None and per_box:
        boxes = tenths.six_digits(Fraction(tenths.nearest(span.estimate), per_box))
        if per_case:
            cases = tenths.six_digits(Fraction(tenths.nearest(span.estimate), per_box * per_case))
            if span.low == span.high:
                remark = boxes_from_packs(span.low, per_box, per_case).remark
    return FormatPacks(packs=_span(span), boxes=boxes, cases=cases, remark=remark)


class _Known(NamedTuple):
    """The copies of a line as far as known, and what says so."""

    basis: str
    low: int | None
    high: int | None
    estimate: float | None


def _line(
    i: int,
    line: CardLine,
    packs: Mapping[str, PackRange],
    collations: Mapping[str, Collation],
    *,
    set_aside: set[int],
) -> LineCopies:
    """Copies of a line: by print runs, else by odds, else by how its format's boxes are filled."""
    odds = {key: float(x) for key, x in line.odds.items() if key in packs}
    if line.copies is not None:
        known = _Known("print run", line.copies, line.copies, float(line.copies))
    elif odds and set(odds) >= set(line.odds) and i not in set_aside:
        known = _by_odds(odds, packs)
    else:
        known = _by_packing(i, line, packs, collations)
    estimate = None if known.estimate is None else tenths.nearest(known.estimate)
    return LineCopies(
        subset=line.subset,
        parallel=line.parallel,
        kind=line.kind,
        cards=len(line.cards),
        basis=known.basis,
        copies=Span(low=known.low, high=known.high, estimate=estimate, error=None),
        per_card=None if known.estimate is None else tenths.six_digits(known.estimate / len(line.cards)),
    )


def _by_odds(odds: Mapping[str, float], packs: Mapping[str, PackRange]) -> _Known:
    found = copies_of_line(odds, packs)
    high = tenths.whole_above(found.high) if math.isfinite(found.high) else None
    return _Known("odds", tenths.whole_below(found.low), high, found.estimate)


def _by_packing(
    i: int, line: CardLine, packs: Mapping[str, PackRange], collations: Mapping[str, Collation]
) -> _Known:
    """What the rest of each format's packs leaves for a line."""
    each = {key: _per_pack(i, collations[key]) for key in line.formats if key in packs and key in collations}
    shares = {key: share for key, share in each.items() if share}
    if not shares:
        return _Known("unknown", None, None, None)
    low = tenths.whole_below(sum(packs[key].low * share for key, share in shares.items()))
    estimate = math.fsum((packs[key].estimate or 0) * share for key, share in shares.items())
    most = sum(packs[key].high * share for key, share in shares.items())
    # where nothing is said of one of its formats there are at least so many
    is_bounded = math.isfinite(most) and len(shares) == len(line.formats)
    return _Known("packing", low, tenths.whole_above(most) if is_bounded else None, estimate)


def _per_pack(i: int, collation: Collation) -> float:
    """Copies of a line in a pack."""
    total = math.fsum(draw.per_box * weight for draw, weight in collation.drawn({i: 1.0}))
    return total / collation.packs_per_box


def _promises(
    formats: Sequence[Format], lines: Sequence[CardLine], packs: Mapping[str, PackRange]
) -> tuple[PromiseCheck, ...]:
    """Each promise beside the odds and beside the copies of the lines that it speaks of."""
    found: list[PromiseCheck | None] = []
    for packed in formats:
        for promise in packed.guarantees:
            share = packed.in_box(promise.per)
            pool = [one for one in lines if packed.key in one.formats and is_meant(promise, one)]
            if share is None or not pool or packed.packs_per_box is None:
                continue
            count = float(promise.count * share)
            found.append(_against_odds(packed, promise, count, packed.packs_per_box, pool))
            found.append(_against_copies(packed, promise, count, packed.packs_per_box, pool, packs))
    return tuple(one for one in found if one is not None)


def _against_odds(
    packed: Format, promise: Guarantee, count: float, packs_per_box: int, pool: Sequence[CardLine]
) -> PromiseCheck | None:
    """None where a line of the promise has no odds in the format."""
    if not all(packed.key in one.odds for one in pool):
        return None
    x = [float(one.odds[packed.key]) for one in pool]
    return _check(packed, promise, "odds", guarantee_against_odds(count, x, packs_per_box))


def _against_copies(
    packed: Format,
    promise: Guarantee,
    count: float,
    packs_per_box: int,
    pool: Sequence[CardLine],
    packs: Mapping[str, PackRange],
) -> PromiseCheck | None:
    """None where it is not known how many boxes there are, or how many of the copies are in them."""
    span, copies = packs.get(packed.key), [one.copies for one in pool]
    only_here = all(one.formats == (packed.key,) for one in pool)
    if span is None or span.low <= 0 or not math.isfinite(span.high) or not only_here or None in copies:
        return None
    boxes = (span.low / packs_per_box, span.high / packs_per_box)
    total = sum(one or 0 for one in copies)
    return _check(packed, promise, "copies", guarantee_against_copies(count, boxes, total))


def _check(packed: Format, promise: Guarantee, against: str, found: Against) -> PromiseCheck:
    """A promise for certain must not be above what there is; an average is a rounded number."""
    leeway = found.stated * _rounding(promise.count)
    agrees = (
        found.high >= found.stated
        if promise.hard
        else found.low - leeway <= found.stated <= found.high + leeway
    )
    return PromiseCheck(
        format=packed.key,
        promise=promise.describe(),
        against=against,
        stated=tenths.six_digits(found.stated),
        implied=tenths.six_digits(found.implied),
        low=tenths.six_digits(found.low),
        high=_digits(found.high),
        agrees=agrees,
    )


def _rounding(count: Decimal) -> float:
    """Half of the last digit of a printed average, as a share of it: 3 is 2.5 to 3.5, 0.5 is 0.45 to 0.55."""
    exponent = count.as_tuple().exponent
    return float(Decimal(5).scaleb(exponent - 1) / count) if isinstance(exponent, int) and count else 0.0
