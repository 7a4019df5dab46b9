"""The section on completing: what it takes to have every base card, in packs, boxes and money.

Cards fall by `falling.laws`, beside which stands a second model: boxes without a base card twice. Real boxes
lie between (common practice, no source). Where some cards are rarer than others, cards are taken to fall
independently of each other: within 2 % of what the law says where they fall in one pack in five or less.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from rating import money
from rating.facts.completing.singles import Common
from rating.facts.completing.value import (
    Completing,
    FormatCompleting,
    SetAfter,
    SetBoxes,
    SetCost,
    SetRow,
    Wait,
)
from rating.facts.context import Buying
from rating.facts.economics.compute import landed_exactly
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.laws import in_pack
from rating.facts.falling.lines import CardLine, share_weights
from rating.facts.plain import NO_FORMAT, Unknown
from rating.numerics import collecting
from rating.release.sheet import Format
from rating.tenths import settled, six_digits, six_places

# somebody who waits for a card that falls less often than this does not complete a set by opening packs
_RAREST = 1e-5
# exact arithmetic takes a second for a thousand cards
_MOST_EXACT = 800
_INDEPENDENT = "packs filled at random"
_NO_DUPLICATES = "no base card twice in a box"


@dataclass(frozen=True, slots=True)
class _Set:
    """The base set as one format brings it: (cards, copies of each in a pack), one pair for cards alike.

    `sizes` is how many of a pack are of the set, with the chance of each number, where all are different.
    """

    groups: tuple[tuple[int, Fraction], ...]
    packs_per_box: int
    sizes: tuple[tuple[int, Fraction], ...]

    @property
    def cards(self) -> int:
        return sum(cards for cards, _ in self.groups)

    @property
    def per_pack(self) -> Fraction:
        """Base cards in a pack."""
        return sum((cards * each for cards, each in self.groups), Fraction(0))

    @property
    def is_even(self) -> bool:
        """Whether every card is as likely as any other."""
        return bool(self.sizes)

    @property
    def is_exact(self) -> bool:
        """Whether it is worked out exactly; else cards are taken to fall independently of each other."""
        return self.is_even and self.cards <= _MOST_EXACT

    def missing(self, boxes: float, draws: int) -> float:
        """Cards missing after some boxes of so many draws, none of which holds a card twice."""
        done = math.floor(boxes * draws)
        part = boxes * draws - done
        left = 0.0
        for cards, each in self.groups:
            chance = float(each * self.packs_per_box / draws)
            left += cards * (1 - min(1.0, chance)) ** done * (1 - min(1.0, part * chance))
        return left


def base_set(
    formats: Sequence[Format],
    lines: Sequence[CardLine],
    collations: Mapping[str, Collation],
    economics: Economics | Unknown,
    common: Common | Unknown,
    buying: Buying,
) -> Completing | Unknown:
    """The section: for each format what it takes to complete the base set, or why that is not known."""
    if not lines:
        return Unknown("there is no checklist yet")
    if not any(line.is_base for line in lines):
        return Unknown("there is no base set to complete")
    if not formats:
        return NO_FORMAT
    prices = economics.formats if isinstance(economics, Economics) else {}
    return Completing(
        formats={
            one.key: _format(one, lines, collations.get(one.key), prices.get(one.key), common, buying)
            for one in formats
        }
    )


def _format(
    packed: Format,
    lines: Sequence[CardLine],
    collation: Collation | None,
    prices: FormatEconomics | None,
    common: Common | Unknown,
    buying: Buying,
) -> FormatCompleting | Unknown:
    if collation is None:
        return Unknown(f"release.toml does not say how many packs and cards a {packed.name} box holds")
    if not _base_lines(packed, lines):
        return Unknown(f"{packed.name} has no base set")
    groups = _groups(packed, lines, collation)
    rarest = min(groups)
    if collation.overfull or rarest == 0:
        return Unknown(
            f"what is promised and what the odds say leave no room for base cards in {packed.name}"
        )
    if rarest < _RAREST:
        often = f"once in {round(1 / rarest):,} {packed.name} packs"
        return Unknown(f"a base card falls {often}, too seldom to wait for")
    sizes: tuple[tuple[int, Fraction], ...] = ()
    draw = next((one for one in collation.draws if one.source == "rest" and one.different), None)
    if draw is not None and all(i in draw.lines for i in _base_lines(packed, lines)):
        cards = sum(groups.values())
        groups = {draw.count / collation.packs_per_box / draw.different: cards}
        sizes = _sizes(draw, collation, cards)
    base = _Set(tuple((cards, each) for each, cards in groups.items()), collation.packs_per_box, sizes)
    packs, independent, no_duplicates = _waits(base, collation.boxes_per_case)
    return FormatCompleting(
        cards=base.cards,
        short_prints=sum(cards for cards, each in base.groups if each < max(groups)),
        base_per_pack=six_digits(base.per_pack),
        packs=packs,
        independent=independent,
        no_duplicates=no_duplicates,
        best_boxes_then_singles=_cost(packed, base, prices, common, buying),
    )


def _base_lines(packed: Format, lines: Sequence[CardLine]) -> list[int]:
    return [i for i, line in enumerate(lines) if line.is_base and packed.key in line.formats]


def _groups(packed: Format, lines: Sequence[CardLine], collation: Collation) -> dict[Fraction, int]:
    """How many cards of the set fall how often in a pack, each number of copies in six digits."""
    groups: dict[Fraction, int] = {}
    expected = collation.expected(len(lines))
    for place in _base_lines(packed, lines):
        weights = share_weights(lines[place].runs)
        whole = sum(weights)
        for card, weight in zip(lines[place].cards, weights, strict=True):
            if not card.variation:
                share = expected[place] * weight / whole
                each = Fraction(six_digits(share / collation.packs_per_box))
                groups[each] = groups.get(each, 0) + 1
    return groups


def _sizes(draw: Draw, collation: Collation, cards: int) -> tuple[tuple[int, Fraction], ...]:
    """How many different cards of the set are in a pack that holds none of them twice.

    What else is among the base cards of a pack, such as variations, takes its place (hypergeometric).
    """
    sure, more = in_pack(draw, collation)
    pool, found = draw.different, dict[int, Fraction]()
    for size, share in ((sure, 1 - more), (sure + 1, more)):
        held = min(size, pool)
        for own in range(max(0, held - (pool - cards)), min(held, cards) + 1):
            ways = math.comb(cards, own) * math.comb(pool - cards, held - own)
            found[own] = found.get(own, Fraction(0)) + share * Fraction(ways, math.comb(pool, held))
    return tuple((size, share) for size, share in sorted(found.items()) if share)


@lru_cache(maxsize=256)
def _waits(base: _Set, boxes_per_case: int | None) -> tuple[Wait, SetBoxes, SetBoxes | None]:
    """Packs until the set is complete, and boxes by both models; kept, since a season asks often."""
    packs, boxes = _even(base) if base.is_exact else _uneven(base, base.packs_per_box)
    independent = _boxes(base, boxes, base.packs_per_box, boxes_per_case, _INDEPENDENT)
    if base.packs_per_box == 1:
        return packs, independent, None
    collated = _even_boxes(base) if base.is_exact else _uneven(base, 1)[1]
    return packs, independent, _boxes(base, collated, 1, boxes_per_case, _NO_DUPLICATES)


def _even(base: _Set) -> tuple[Wait, Wait]:
    """Packs and boxes where every card is as likely, exactly."""
    cards, each = base.cards, dict(base.sizes)
    half, most = (collecting.packs_for_completion(cards, each, chance) for chance in (0.5, 0.9))
    packs = Wait(mean=six_digits(collecting.expected_packs(cards, each)), q50=half, q90=most)
    mean = collecting.expected_boxes(cards, each, base.packs_per_box)
    return packs, _in_boxes(packs, mean, base.packs_per_box)


def _even_boxes(base: _Set) -> Wait:
    """Boxes without a base card twice, exactly."""
    given = base.cards, dict(base.sizes), base.packs_per_box
    half, most = (
        collecting.boxes_for_completion(*given, chance, no_duplicates=True) for chance in (0.5, 0.9)
    )
    return Wait(mean=six_digits(collecting.expected_boxes(*given, no_duplicates=True)), q50=half, q90=most)


def _uneven(base: _Set, draws: int) -> tuple[Wait, Wait]:
    """Draws and boxes of so many draws where some cards are short-printed and fall by themselves."""
    rates = [(cards, min(1.0, float(each * base.packs_per_box / draws))) for cards, each in base.groups]

    def fewest(chance: float) -> int:
        low, high = 0, 1
        while _done(rates, high) < chance:
            low, high = high, 2 * high
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if _done(rates, middle) < chance else (low, middle)
        return high

    mean = collecting.expected_packs_by_rate([rate for cards, rate in rates for _ in range(cards)])
    packs = Wait(mean=six_digits(mean), q50=fewest(0.5), q90=fewest(0.9))
    in_box = [1 - (1 - rate) ** draws for cards, rate in rates for _ in range(cards)]
    return packs, _in_boxes(packs, collecting.expected_packs_by_rate(in_box), draws)


def _done(rates: Iterable[tuple[int, float]], draws: int) -> float:
    """Chance that every card has fallen, when cards fall independently of each other."""
    return math.prod((1 - (1 - rate) ** draws) ** cards for cards, rate in rates)


def _in_boxes(packs: Wait, mean: float, draws: int) -> Wait:
    """Whole boxes: enough of them are there when enough packs are."""
    return Wait(mean=six_digits(mean), q50=-(-packs.q50 // draws), q90=-(-packs.q90 // draws))


def _boxes(base: _Set, boxes: Wait, draws: int, boxes_per_case: int | None, model: str) -> SetBoxes:
    per_box = base.per_pack * base.packs_per_box

    def after(count: int) -> SetAfter:
        distinct = base.cards - base.missing(count, draws)
        duplicates = max(0.0, float(per_box * count) - distinct)
        return SetAfter(boxes=count, distinct=six_digits(distinct), duplicates=six_places(duplicates))

    return SetBoxes(
        model=model,
        boxes=boxes,
        duplicates=six_places(Fraction(boxes.mean) * per_box - base.cards),
        nine_tenths=six_digits(_nine_tenths(base, draws, float(boxes.mean))),
        after=tuple(after(count) for count in (1, boxes_per_case) if count),
    )


def _nine_tenths(base: _Set, draws: int, high: float) -> float:
    """Boxes after which a tenth of the cards is missing on average; all of them take `high` on average."""
    low, most = 0.0, base.cards / 10
    while base.missing(high, draws) > most:
        low, high = high, 2 * high
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if base.missing(middle, draws) > most else (low, middle)
    return high


def _cost(
    packed: Format,
    base: _Set,
    prices: FormatEconomics | None,
    common: Common | Unknown,
    buying: Buying,
) -> SetCost | Unknown:
    """The money of every number of boxes, on the table and posted, and the best of them."""
    if prices is None or not prices.box_price:
        return Unknown(f"there is no price for a {packed.name} box yet")
    if isinstance(common, Unknown):
        return common
    if not base.is_even:
        return Unknown("short prints cost more than other base cards, and no sales say how much more")
    if not base.is_exact:
        return Unknown(f"it is not worked out for more than {_MOST_EXACT} base cards")
    order = landed_exactly(Decimal(0), buying)
    found = collecting.best_boxes_then_singles(
        base.cards,
        dict(base.sizes),
        base.packs_per_box,
        box_price=float(landed_exactly(prices.box_price, buying) - order),
        order_price=float(order),
        single_price=common.single - common.postage,
        singles_postage=common.postage,
        least_rows=packed.boxes_per_case or 0,
    )
    return SetCost(
        box_price=prices.box_price,
        price_kind=prices.price_kind,
        single=common.single,
        single_from=common.source,
        postage=common.postage,
        boxes=found.best.boxes,
        cost=_cents(found.best.cost),
        until_done=_cents(found.until_done),
        complete_set=None if found.complete_set is None else _cents(found.complete_set),
        cheapest=found.cheapest,
        rows=tuple(
            SetRow(
                boxes=row.boxes,
                missing=six_places(row.missing),
                complete=six_places(row.complete),
                cost=_cents(row.cost),
            )
            for row in found.rows
        ),
    )


def _cents(amount: float) -> Decimal:
    return money.cents(settled(amount))
