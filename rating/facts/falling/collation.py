"""How the cards of a format fall: which lines, how many a box, for certain or on average.

What is promised for certain falls so often; a numbered line with odds falls as often as its copies and the
packs say, within what its odds round to; another line with odds as often as they say; what is promised on
average and has no odds shares what the odds leave of the promise; numbered cards without either are spread
evenly over the packs; the rest of a pack is base. All of this is common practice, no source.

In a pool without odds an unnumbered card counts as the most frequent numbered one, and as 300 at the least:
print runs end about there, and counting cards alike made a 1/1 as likely as a common.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from rating import tenths, text
from rating.facts.falling.lines import CardLine, share_weights
from rating.numerics.rates import Rate, rate_by_odds
from rating.release.sheet import Format, Guarantee

if TYPE_CHECKING:
    from rating.facts.falling.packs import Packs  # which loads scipy

Source = Literal["guarantee", "odds", "average", "copies", "rest"]

# the narrower promise is kept first, and what it brings counts towards the wider one
_WIDTH = ("autograph relic", "autograph", "relic", "insert", "hit", "parallel", "numbered")
# more than was promised is what odds give at the least, but for the last bits of a float
_EXCESS = 1 + 1e-9
# print runs end about here: what is not numbered exists more often (common practice, no source)
_UNNUMBERED = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """Cards that fall together: `count` of them `per` pack, box or case, each from one of some lines.

    Lines are places in the release's list of lines; `weights` are their shares of the draw, summing to 1. The
    cards of a line are as likely as they have copies. A draw that is not `certain` is so many on average.
    Odds are rounded, so `per_box` lies between `low` and `high`; a `high` of None beside a `low` is no end.
    `different` is how many cards the lines have where a pack holds none of them twice, else 0.
    """

    what: str
    lines: tuple[int, ...]
    weights: tuple[float, ...]
    count: Fraction
    per: str
    per_box: float
    certain: bool
    source: Source
    low: float | None = None
    high: float | None = None
    different: int = 0


@dataclass(frozen=True, kw_only=True)
class Collation:
    """What a box of a format holds.

    `open_lines` are lines that can be in it but of which nothing says how often; `overfull` is how many
    cards a box would hold beyond its size by what is stated, 0 where all fits.
    """

    format: str
    packs_per_box: int
    boxes_per_case: int | None
    cards_per_pack: Fraction
    draws: tuple[Draw, ...]
    open_lines: tuple[int, ...]
    overfull: float

    def between(self, wanted: Mapping[int, float]) -> tuple[float, float | None]:
        """Copies of wanted lines in a box at the least and at the most, as odds are rounded; None is no end.

        Parameters
        ----------
        wanted : the wanted share of lines, by their places
        """
        low, high = 0.0, 0.0
        for draw, share in self.drawn(wanted):
            low += share * (draw.per_box if draw.low is None else draw.low)
            is_open = draw.low is not None and draw.high is None
            high += math.inf if is_open else share * (draw.high or draw.per_box)
        return low, high if math.isfinite(high) else None

    def drawn(self, wanted: Mapping[int, float]) -> list[tuple[Draw, float]]:
        """The draws that can give a wanted card, in their order, each with the share of it that is wanted.

        Parameters
        ----------
        wanted : the wanted share of lines, by their places
        """
        parts: dict[int, list[float]] = {}
        for line, share in wanted.items():
            for place, weight in self._by_line.get(line, ()):
                parts.setdefault(place, []).append(weight * share)
        found = ((self.draws[place], math.fsum(parts[place])) for place in sorted(parts))
        return [(draw, share) for draw, share in found if share > 0]

    @cached_property
    def _by_line(self) -> dict[int, list[tuple[int, float]]]:
        """The draws that give a line by their places, with its weight in each: a line is in few of many."""
        found: dict[int, list[tuple[int, float]]] = {}
        for place, draw in enumerate(self.draws):
            for line, weight in zip(draw.lines, draw.weights, strict=True):
                found.setdefault(line, []).append((place, weight))
        return found

    @property
    def base_per_pack(self) -> float:
        """Base cards in a pack, on average."""
        return math.fsum(draw.per_box for draw in self.draws if draw.source == "rest") / self.packs_per_box

    def expected(self, lines: int) -> list[float]:
        """Expected copies of each of so many lines in a box, all its cards together."""
        found = [0.0] * lines
        for draw in self.draws:
            for line, weight in zip(draw.lines, draw.weights, strict=True):
                found[line] += draw.per_box * weight
        return found


def collations(
    formats: Sequence[Format], lines: Sequence[CardLine], packs: Packs | None
) -> dict[str, Collation]:
    """How the cards of each format fall, by its key, as far as the packing is described.

    Parameters
    ----------
    packs : how many packs exist, and which odds are set aside; None where that is not known
    """
    rates, known = ({}, {}) if packs is None else (packs.rates, packs.estimates)
    each = {one.key: collate(one, lines, rates=rates, packs=known) for one in formats}
    return {key: one for key, one in each.items() if one is not None}


def collate(
    packed: Format,
    lines: Sequence[CardLine],
    *,
    rates: Mapping[tuple[int, str], Rate] | None = None,
    packs: Mapping[str, float] | None = None,
) -> Collation | None:
    """How the cards of a format fall, None where its packs are not described or there is no checklist.

    Parameters
    ----------
    rates : copies a pack by (line, format), to go by instead of what odds alone say
    packs : how many packs of each format exist, as far as known
    """
    if packed.packs_per_box is None or packed.cards_per_pack is None or not lines:
        return None
    base = _base(packed, lines)
    here = [i for i, line in enumerate(lines) if packed.key in line.formats and i not in base]
    draws, taken = _stated(packed, lines, here, _rates(packed, lines, here, rates or {}), packs or {})
    left = float(packed.cards_per_pack * packed.packs_per_box) - math.fsum(draw.per_box for draw in draws)
    return Collation(
        format=packed.key,
        packs_per_box=packed.packs_per_box,
        boxes_per_case=packed.boxes_per_case,
        cards_per_pack=Fraction(packed.cards_per_pack),
        draws=(*draws, *_rest(base, lines, left, packed.packs_per_box)),
        open_lines=tuple(i for i in here if i not in taken),
        overfull=max(0.0, -left),
    )


def _stated(
    packed: Format,
    lines: Sequence[CardLine],
    here: Sequence[int],
    rates: Mapping[int, Rate],
    packs: Mapping[str, float],
) -> tuple[list[Draw], set[int]]:
    """What promises, odds and numbers of copies say of some lines, and those that they speak of."""
    draws: list[Draw] = []
    taken: set[int] = set()
    promises = sorted(
        (one for one in packed.guarantees if one.what in _WIDTH),
        key=lambda one: (not one.hard, not (one.subset or one.parallel), _WIDTH.index(one.what)),
    )
    for promise in promises:
        draws += _promised(promise, packed, lines, here, rates, draws, taken)
    for i in here:
        if i in rates and i not in taken:
            draws.append(_by_odds(i, rates[i], lines[i].name))
            taken.add(i)
    for i in here:
        if i not in taken and (rate := _spread(packed, lines[i], packs)) is not None:
            draws.append(_draw("copies", (i,), (1.0,), rate, lines[i].name))
            taken.add(i)
    return draws, taken


def _rest(base: Sequence[int], lines: Sequence[CardLine], left: float, packs: int) -> list[Draw]:
    """The base cards that fill what is left of a box, none where nothing is.

    How many a pack holds is kept in six digits, so that all who count go by one number. Cards that are not
    equally frequent, as numbered ones of several print runs, are drawn by copies and can repeat in a pack.
    """
    if not base or left <= 0:
        return []
    cards = [len(lines[i].cards) for i in base]
    alike = all(len(set(share_weights(lines[i].runs))) == 1 for i in base)
    each = Fraction(tenths.six_digits(left / packs))
    plain = _draw("rest", tuple(base), tuple(one / sum(cards) for one in cards), float(each * packs), "base")
    return [replace(plain, count=each * packs, different=sum(cards) if alike else 0)]


def _base(packed: Format, lines: Sequence[CardLine]) -> list[int]:
    """The lines that fill what a pack has left: the base set without short prints that have their odds."""
    found = [i for i, line in enumerate(lines) if line.is_base and packed.key in line.formats]
    plain = [i for i in found if packed.key not in lines[i].odds]
    # odds of every base line are how often a pack holds base at all, which its size tells better
    return plain or found


def _draw(
    source: Source, lines: tuple[int, ...], weights: tuple[float, ...], per_box: float, what: str
) -> Draw:
    return Draw(
        what=what,
        lines=lines,
        weights=weights,
        count=Fraction(per_box),
        per="box",
        per_box=per_box,
        certain=False,
        source=source,
    )


def _by_odds(line: int, rate: Rate, what: str) -> Draw:
    plain = _draw("odds", (line,), (1.0,), rate.estimate, what)
    return replace(plain, low=rate.low, high=rate.high if math.isfinite(rate.high) else None)


def _rates(
    packed: Format, lines: Sequence[CardLine], here: Sequence[int], known: Mapping[tuple[int, str], Rate]
) -> dict[int, Rate]:
    """Copies a box, of each line that has odds."""
    found = {}
    packs = packed.packs_per_box or 0
    for i in here:
        if packed.key in lines[i].odds:
            rate = known.get((i, packed.key)) or rate_by_odds(float(lines[i].odds[packed.key]))
            found[i] = Rate(low=packs * rate.low, estimate=packs * rate.estimate, high=packs * rate.high)
    return found


def _promised(
    promise: Guarantee,
    packed: Format,
    lines: Sequence[CardLine],
    here: Sequence[int],
    rates: Mapping[int, Rate],
    draws: Sequence[Draw],
    taken: set[int],
) -> list[Draw]:
    """The draws that keep one promise, with what earlier draws bring of it taken off."""
    share = packed.in_box(promise.per)
    pool = [i for i in here if is_meant(promise, lines[i])]
    free = [i for i in pool if i not in taken]
    if share is None or not free:
        return []
    meant = set(pool)
    brought = math.fsum(
        draw.per_box * weight
        for draw in draws
        for line, weight in zip(draw.lines, draw.weights, strict=True)
        if line in meant
    )
    wanted = float(promise.count * share) - brought
    if promise.hard:
        if wanted <= 0:
            return []
        return _for_certain(promise, wanted, float(promise.count * share), free, lines, rates, taken)
    bare = [i for i in free if i not in rates]
    wanted -= math.fsum(rates[i].estimate for i in free if i in rates)
    if not bare or wanted <= 0:
        return []
    taken.update(bare)
    return [_draw("average", tuple(bare), _by_copies(bare, lines), wanted, promise.what)]


def _for_certain(
    promise: Guarantee,
    wanted: float,
    promised: float,
    free: list[int],
    lines: Sequence[CardLine],
    rates: Mapping[int, Rate],
    taken: set[int],
) -> list[Draw]:
    """So many for certain from a pool, and on average what the odds give beyond the promise."""
    stated = {i: rates[i].estimate for i in free if i in rates}
    bare = [i for i in free if i not in rates]
    known = math.fsum(stated.values())
    weights = dict(stated)
    if bare and known < wanted:
        for i, weight in zip(bare, _by_copies(bare, lines), strict=True):
            weights[i] = weight * (wanted - known)
    kept = tuple(i for i in free if weights.get(i))
    if not kept:
        return []
    total = math.fsum(weights[i] for i in kept)
    shares = tuple(weights[i] / total for i in kept)
    taken.update(kept)
    # what narrower promises brought is taken off in whole; a promise kept in full stays exact
    count = Fraction(promise.count) * (1 if wanted == promised else Fraction(wanted / promised))
    draws = [
        Draw(
            what=promise.what,
            lines=kept,
            weights=shares,
            count=count,
            per=promise.per,
            per_box=wanted,
            certain=True,
            source="guarantee",
        )
    ]
    if math.fsum(rates[i].low for i in stated) > wanted * _EXCESS:
        draws.append(_draw("odds", kept, shares, known - wanted, f"{promise.what} beyond the promise"))
    return draws


def is_meant(promise: Guarantee, line: CardLine) -> bool:
    """Whether a promise of the maker speaks of a line."""
    same_subset = not promise.subset or text.key(promise.subset) == text.key(line.subset)
    same_parallel = not promise.parallel or text.key(promise.parallel) == text.key(line.parallel)
    return same_subset and same_parallel and line.is_of(promise.what)


def _by_copies(lines_in: Sequence[int], lines: Sequence[CardLine]) -> tuple[float, ...]:
    """Shares of a pool by copies: an unnumbered card counts as many as the most frequent numbered one.

    That is at least `_UNNUMBERED`, and where none is numbered each card counts the same.
    """
    runs = [lines[i].runs for i in lines_in]
    most = max(_UNNUMBERED, max((run for own in runs for run in own if run is not None), default=0))
    sizes = [sum(most if run is None else run for run in own) for own in runs]
    whole = sum(sizes)
    return tuple(one / whole for one in sizes)


def _spread(packed: Format, line: CardLine, packs: Mapping[str, float]) -> float | None:
    """Copies a box of a numbered line that neither odds nor a promise speak of, spread over its packs."""
    if line.copies is None or line.odds or not all(one in packs for one in line.formats):
        return None
    total = math.fsum(packs[one] for one in line.formats)
    return line.copies * (packed.packs_per_box or 0) / total if total else None
