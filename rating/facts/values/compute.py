"""The section on values: what a seller keeps of each card, from sales, a model of them, or earlier releases.

Sales are matched, raw, in the season's currency and up to the day. A version that was sold at least three
times is worth the median of what those sales would leave on the day; all others what the model of prices
expects. Selling takes a share of price and postage, the postage itself and a fixed charge, and nothing is
worth less than the season's bulk floor, which is what a card leaves that is not worth selling alone. Before
there are twenty sales the same model is fitted to what other releases went for; how far their levels lie
apart adds to the doubt, and the level follows the price of the box (`lent`).

A card's own sales are moved to the day by what a week does to all prices before their median is taken: where
prices fall, a median over two months is what nobody pays any more. A card whose expected price leaves no more
than the bulk floor is worth the floor, as it sells alone only by luck. A kind of which no sale speaks counts
as bulk and is named; its price would be made up. The doubt of the level counts each card by what its value
moves by where prices do, not by its share.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import accumulate
from typing import NamedTuple

import numpy as np

from rating import money, text
from rating.facts import scarcity
from rating.facts.context import Demand, Donor, SeasonContext, Selling
from rating.facts.falling.lines import CardLine
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import Scarcity
from rating.facts.section import Lasting
from rating.facts.values.lent import Levels, levelled, seen_price
from rating.facts.values.value import (
    BULK,
    CARRIED_OVER,
    MODELLED,
    SOLD,
    Asked,
    Dearest,
    Effect,
    Valuation,
    Values,
)
from rating.facts.worth.card_model import Contrast, PriceModel, Seen, Traits, price_model, wanted
from rating.facts.worth.level import Level
from rating.facts.worth.matching import FEWEST_SALES, Used, of_lines, sorted_out
from rating.facts.worth.value import LineWorth, SubjectEffect
from rating.numerics.robust_fit import Flags, Floats
from rating.release.checklist import Card
from rating.release.market import Sale
from rating.tenths import settled, six_digits, six_places

# fewer sales of a version say less of it than the model does
FEWEST_OWN = 3
# nothing is known of a price that may be five hundred million times as high
_FARTHEST = 20.0
_NO_PRICE = 1e12  # in whatever money
# so many cards are worked out at once: more take memory, and no less time
_STRIP = 1 << 14


@dataclass(frozen=True, slots=True)
class _Expected:
    """What a model says of the cards of all lines, one after the other.

    strangers
        (m,) the part of the people on each who were never sold
    by_parts
        (g, m) how many times as much they would be worth by a fit without a part of the sales
    """

    values: Floats
    low: Floats
    high: Floats
    bulk: Flags
    factors: tuple[Floats, Floats]
    asked: Asked
    strangers: Floats
    by_parts: Floats

    def are_prices(self) -> bool:
        """Whether what is expected is an amount somebody could pay, by every fit."""
        return all(bool((one < _NO_PRICE).all()) for one in (self.values, self.high, self.by_parts))

    def times(self, factor: float, floor: float) -> _Expected:
        """All that is not bulk so many times as much, and nothing below the floor."""
        values, low, high = (np.maximum(one * factor, floor) for one in (self.values, self.low, self.high))
        asked = replace(self.asked, middle=self.asked.middle + math.log(factor))
        return replace(
            self,
            asked=asked,
            values=np.where(self.bulk, floor, values),
            low=np.where(self.bulk, self.low, low),
            high=np.where(self.bulk, self.high, high),
        )


def net(price: Decimal, postage: Decimal, selling: Selling) -> Decimal:
    """What a seller keeps of a price and the postage that a buyer paid, exact, never below the bulk floor."""
    kept = (price + postage) * (1 - selling.fee) - selling.postage - selling.fixed
    return max(kept, selling.bulk_floor)


def valuation(
    sales: Iterable[Sale] | None,
    lines: Sequence[CardLine],
    scarcity: Scarcity | Unknown,
    season: SeasonContext,
    *,
    released_on: date | None,
    as_of: date,
    donors: Sequence[Donor] = (),
    carried_on: date | None = None,
    wanted_before: Callable[[], Mapping[str, Demand]] = dict,
    box: Callable[[], Decimal | None] = lambda: None,
) -> Valuation | Unknown:
    """The section as of a day, with what every card is worth.

    Parameters
    ----------
    donors : prices to carry over while fewer than twenty sales can be used; twenty of them are needed,
        of several cards at several prices
    carried_on : the day for which they are carried over, `as_of` where none is given
    wanted_before : gives who was wanted in earlier seasons; prices carried over go by it where this one does
        not know
    box : gives what a headline box goes for; prices carried over lie at a level that follows it
    """
    if not lines:
        return Unknown("there is no checklist yet, so sales cannot be matched to cards")
    given = tuple(sales or ())
    used, aside = sorted_out(given, lines, season.currency, as_of)
    is_carried = len(used) < FEWEST_SALES
    if is_carried and (why := _nothing_to_carry(donors)):
        return Unknown(f"{_too_few(used, given, lines)}, and {why}")
    if not is_carried and (why := _tells_nothing(used, lines)):
        return Unknown(why)
    since = _since(used, released_on, as_of)
    known = season.demand_of_others or {}
    traits = _traits(lines, scarcity, {**wanted_before(), **known} if is_carried else known)
    lent = None
    if is_carried:
        prices, lent = _prices_of_others(donors, traits, season, carried_on or as_of)
    else:
        starts = list(accumulate((len(line.cards) for line in lines), initial=0))
        sold = [traits[starts[one.line] + one.card] for one in used]
        prices = _Prices(traits, _seen(used, sold, since), as_of)
    model = price_model(prices.seen, None if is_carried else _unsold(prices))
    # no further than sales reach: what weeks do after them nobody has seen
    week = min(max(0.0, (prices.day - since).days / 7), max(one.week for one in prices.seen))
    apart = lent.error if lent else 0.0
    with np.errstate(over="ignore", invalid="ignore"):  # what is no price is told below
        expected = _expected(model, prices.traits, week, season.selling, apart=apart)
    if not expected.are_prices():
        return Unknown(
            "the sales contradict each other so much that no price follows; look for mistakes in them"
        )
    if lent:
        expected = expected.times(lent.factor(box()), float(season.selling.bulk_floor))
    today = {} if is_carried else _of_the_day(used, model, week, since)
    made = _lines(lines, used, today, expected, season.selling, prices.basis, model)
    weights = _worth(made, prices.traits)
    later = [week - max(0.0, (one.sale.day - since).days / 7) for one in used]
    level = _level(model, expected, made, used, later, season.selling, apart=apart)
    error = level.error(weights if weights.any() else level.values)
    counts = _Counts(used, aside, sum(one.sale.day < since for one in used))
    shown = _names(lines)
    section = _section(prices, model, counts, _shares(made, weights), error, _dearest(lines, made))
    return Valuation(
        values=replace(section, as_of=since + timedelta(days=round(7 * week))),
        subjects=() if is_carried else tuple(_subject(one, shown) for one in model.subjects()),
        lines=made,
        asked=expected.asked,
        level=level,
    )


class _Prices(NamedTuple):
    """What cards are priced by: their own sales, or what those of other releases went for.

    traits
        every card of every line as far as its price goes by it
    day
        the day that they are worth so much on
    releases
        where each price is from, none of their own
    """

    traits: list[Traits]
    seen: list[Seen]
    day: date
    releases: tuple[str, ...] = ()

    @property
    def basis(self) -> str:
        """What a value rests on that is modelled by them."""
        return CARRIED_OVER if self.releases else MODELLED


class _Counts(NamedTuple):
    """The sales that can be used, those set aside by reason, and how many are from before the release."""

    used: Sequence[Used]
    aside: Mapping[str, int]
    presales: int


def _prices_of_others(
    donors: Sequence[Donor], traits: Sequence[Traits], season: SeasonContext, day: date
) -> tuple[_Prices, Levels]:
    """Who is on a card counts by how much the season wants them: its own subjects are mostly others."""
    seen, lent = levelled([seen_price(one, season.demand or {}) for one in donors], donors)
    bare = [one._replace(subjects=()) for one in traits]
    return _Prices(bare, seen, day, tuple(one.release for one in donors)), lent


def _section(
    prices: _Prices,
    model: PriceModel,
    counts: _Counts,
    shares: Mapping[str, Decimal],
    error: float,
    dearest: Dearest | None,
) -> Values:
    """What all cards together rest on; of carried-over prices no own effect, coverage or floor is told."""
    kinds = dict.fromkeys(one.kind for one in prices.traits)
    found = Values(
        sales=len(counts.used),
        presales=counts.presales,
        set_aside=dict(counts.aside),
        wild=0,
        sold_share=shares[SOLD],
        modelled_share=shares[MODELLED],
        carried_over=shares[CARRIED_OVER],
        bulk_share=shares[BULK],
        least=None,
        coverage=None,
        effects=(),
        never_sold=tuple(kind for kind in kinds if not model.speaks_of(kind)),
        level_error=six_places(error),
        dearest=dearest,
    )
    if prices.releases:
        return replace(found, carried_from=tuple(dict.fromkeys(prices.releases)), carried_on=prices.day)
    return replace(
        found,
        wild=model.wild,
        below_sold=six_digits(1 - math.exp(-model.preferred)),
        least=None if model.least is None else money.cents(settled(model.least)),
        coverage=six_digits(model.coverage),
        effects=tuple(
            Effect(name=one.name, value=six_places(one.value), error=six_places(one.error))
            for one in model.effects()
        ),
    )


def subject_effects(facts: Lasting, currency: str, *, as_of: date) -> tuple[SubjectEffect, ...]:
    """What each subject that was sold in a release does to a price as a person, whatever is known of demand.

    Empty where fewer than twenty sales can be used, or they say nothing of what sets cards apart. Cards are
    not valued one by one, so that it takes a fraction of what the section does.

    Parameters
    ----------
    currency : that of the season
    """
    lines, sales = facts.lines, facts.files.sales or ()
    if len(sales) < FEWEST_SALES:
        return ()
    used, _ = sorted_out(sales, lines, currency, as_of)
    if len(used) < FEWEST_SALES or _tells_nothing(used, lines):
        return ()
    since = _since(used, facts.files.sheet.released_on, as_of)
    of_line = of_lines(lines, facts.of(scarcity.SECTION))
    people = _People({})
    traits = [
        people.traits(lines[one.line].cards[one.card], lines[one.line].runs[one.card] or of_line[one.line])
        for one in used
    ]
    shown = _names(lines)
    seen = _seen(used, traits, since)
    return tuple(_subject(one, shown) for one in wanted(seen))


def _since(used: Sequence[Used], released_on: date | None, as_of: date) -> date:
    return released_on or min((one.sale.day for one in used), default=as_of)


def _seen(used: Sequence[Used], traits: Sequence[Traits], since: date) -> list[Seen]:
    """The prices of sales, from the card of each."""
    return [
        Seen(
            card,
            float(one.sale.price),
            max(0.0, (one.sale.day - since).days / 7),
            one.sale.day < since,
        )
        for one, card in zip(used, traits, strict=True)
    ]


def _unsold(prices: _Prices) -> int:
    """How many people have cards of which none was sold."""
    sold = {name for one in prices.seen for name in one.traits.subjects}
    return len({name for one in prices.traits for name in one.subjects} - sold)


def _names(lines: Sequence[CardLine]) -> dict[str, str]:
    """The names of subjects as they are written, by those as compared."""
    subsets = {id(line.cards): line.cards for line in lines}  # the versions of a subset share its cards
    return {text.key(name): name for cards in subsets.values() for card in cards for name in card.subjects}


def _traits(
    lines: Sequence[CardLine], scarcity: Scarcity | Unknown, demand: Mapping[str, Demand]
) -> list[Traits]:
    """Every card of every line, one line after the other."""
    people = _People(demand)
    return [
        people.traits(card, run or of_line)
        for line, of_line in zip(lines, of_lines(lines, scarcity), strict=True)
        for card, run in zip(line.cards, line.runs, strict=True)
    ]


class _People:
    """Who is on a card, and how much they are wanted, looked up once: a card is in many lines."""

    def __init__(self, demand: Mapping[str, Demand]) -> None:
        self._demand = demand
        self._known: dict[tuple[str, ...], tuple[tuple[str, ...], tuple[float | None, ...]]] = {}

    def traits(self, card: Card, copies: int | Decimal | None) -> Traits:
        """A card of which there are so many copies, None or 0 where that is not known."""
        if card.subjects not in self._known:
            subjects = tuple(map(text.key, card.subjects))
            wanted = (self._demand.get(one) for one in subjects)
            self._known[card.subjects] = (
                subjects,
                tuple(None if one is None else float(one.demand) for one in wanted),
            )
        return Traits(card.kind, float(copies) if copies else None, card.rookie, *self._known[card.subjects])


def _too_few(used: Sequence[Used], given: Sequence[Sale], lines: Sequence[CardLine]) -> str:
    if not given:
        return "there are no sales on file"
    if not used:
        return f"none of the {text.count(len(given), 'sale')} on file can be used"
    if len(used) > 1 and len({one[1:] for one in used}) == 1:
        return _one_card(used, lines)
    return f"only {text.count(len(used), 'sale')} can be used, and it takes {FEWEST_SALES}"


def _nothing_to_carry(donors: Sequence[Donor]) -> str:
    """Why other releases say nothing of this one, blank where they do."""
    if not donors:
        return "there are no prices to carry over"
    if len(donors) < FEWEST_SALES:
        return f"{text.count(len(donors), 'price')} to carry over are too few"
    cards = {(one.release, one.kind, one.copies, one.subjects) for one in donors}
    if len(cards) == 1:
        return f"all {len(donors)} prices to carry over are of one card"
    if len({one.price for one in donors}) == 1:
        return f"all {len(donors)} prices to carry over are {money.show(donors[0].price)}"
    return ""


def _tells_nothing(used: Sequence[Used], lines: Sequence[CardLine]) -> str:
    """Why sales say nothing of other cards, blank where they do."""
    if len({one[1:] for one in used}) == 1:
        return _one_card(used, lines)
    if len({one.sale.price for one in used}) == 1:
        every = f"all {len(used)} sales went for {money.show(used[0].sale.price)}"
        return f"{every}, which says nothing of what sets cards apart"
    return ""


def _one_card(used: Sequence[Used], lines: Sequence[CardLine]) -> str:
    line = lines[used[0].line]
    number = line.cards[used[0].card].number
    return f"all {len(used)} sales are of one card, {line.name} {number}, and say nothing of the others"


def _expected(
    model: PriceModel, traits: Sequence[Traits], week: float, selling: Selling, *, apart: float
) -> _Expected:
    """The mean of what a sale leaves, over the errors that were seen (a smearing mean), and nine in ten.

    Kinds of which no sale speaks count as bulk: nothing is made up. Doubt about what few sales speak of, or
    where carried-over prices lie, widens the limits; beyond what subjects explain it is no reason to expect
    more. Where sales do not tell people apart, a card of anybody is worth less than those that sell.

    Parameters
    ----------
    apart : how far the level of carried-over prices may be off, as a standard error; 0 for own sales
    """
    strips = [
        _strip(model, traits[start : start + _STRIP], week, selling, apart=apart)
        for start in range(0, len(traits), _STRIP)
    ]
    values, low, high, bulk, *factors, middle, spread, strangers, silent = (
        np.concatenate(each) for each in list(zip(*strips, strict=True))[:-1]
    )
    return _Expected(
        values=values,
        low=low,
        high=high,
        bulk=bulk,
        factors=(factors[0], factors[1]),
        asked=Asked(
            kinds=tuple("" if is_silent else one.kind for one, is_silent in zip(traits, silent, strict=True)),
            middle=middle,
            spread=spread,
            errors=model.errors,
            least=model.least or 0.0,
        ),
        strangers=strangers,
        by_parts=np.concatenate([one.by_parts for one in strips], axis=1),
    )


class _Strip(NamedTuple):
    """What a model says of some cards, as in `_Expected`; `silent` are those of kinds never sold."""

    values: Floats
    low: Floats
    high: Floats
    bulk: Flags
    low_factors: Floats
    high_factors: Floats
    middle: Floats
    spread: Floats
    strangers: Floats
    silent: Flags
    by_parts: Floats


def _strip(
    model: PriceModel, traits: Sequence[Traits], week: float, selling: Selling, *, apart: float
) -> _Strip:
    foretold = model.foretold(traits, week)
    middle, spread = foretold.middle, np.hypot(foretold.spread, apart)
    noise = np.full(len(traits), model.fit.scale) if apart else foretold.noise
    floor = float(selling.bulk_floor)
    low, high = (np.exp(np.clip(end * spread, -_FARTHEST, _FARTHEST)) for end in model.ends)
    unsold = {one.kind: not model.speaks_of(one.kind) for one in traits}
    silent = np.array([unsold[one.kind] for one in traits], dtype=bool)

    def worth(anybody: Floats, noise: Floats, errors: Floats) -> tuple[Floats, Flags]:
        bulk = silent | (_kept(np.exp(anybody), selling) <= floor)
        found, sold = np.full(len(bulk), floor), ~bulk
        sums = np.exp(anybody[sold, None] + noise[sold, None] * errors)
        found[sold] = _kept(sums, selling).mean(axis=1)
        return found, bulk

    values, bulk = worth(middle - model.preferred, noise, model.errors)
    # ratios need fewer errors to average over
    some = model.errors[1::4]
    whole = worth(middle - model.preferred, noise, some)[0]
    parts = [worth(anybody, noise * times, some)[0] for anybody, times in model.by_parts(foretold)]
    return _Strip(
        values=values,
        low=np.minimum(_kept(np.exp(middle) * low, selling), values),
        high=np.maximum(_kept(np.exp(middle) * high, selling), values),
        bulk=bulk,
        low_factors=low,
        high_factors=high,
        middle=middle,
        spread=spread,
        strangers=foretold.strangers,
        silent=silent,
        by_parts=np.divide(parts, whole, out=np.ones((len(parts), len(whole))), where=whole > 0),
    )


def _kept(prices: Floats, selling: Selling) -> Floats:
    """As `net`, of prices to which a buyer adds the postage that it costs."""
    kept = (prices + float(selling.postage)) * float(1 - selling.fee) - float(selling.postage + selling.fixed)
    return np.asarray(np.maximum(kept, float(selling.bulk_floor)))


def _of_the_day(used: Iterable[Used], model: PriceModel, week: float, since: date) -> dict[Used, Decimal]:
    """What each sale would have gone for in a week, by what a week does to all prices.

    No lower than the least price that many sales share: how far below it a card lies nobody has seen.
    """
    found = {}
    for one in used:
        then = max(0.0, (one.sale.day - since).days / 7)
        moved = one.sale.price * Decimal(math.exp(model.a_week * (week - then)))
        found[one] = max(moved, min(one.sale.price, Decimal(model.least or 0)))
    return found


def _lines(
    lines: Sequence[CardLine],
    used: Sequence[Used],
    today: Mapping[Used, Decimal],
    expected: _Expected,
    selling: Selling,
    basis: str,
    model: PriceModel,
) -> tuple[LineWorth, ...]:
    starts = list(accumulate((len(line.cards) for line in lines), initial=0))
    own: dict[int, list[Used]] = {}
    for one in used:
        own.setdefault(starts[one.line] + one.card, []).append(one)
    values, low, high = expected.values.copy(), expected.low.copy(), expected.high.copy()
    means = expected.values.copy()
    noise = np.exp(model.fit.scale * (model.errors - np.median(model.errors)))
    bases = [BULK if is_bulk else basis for is_bulk in expected.bulk.tolist()]
    for at, sold in own.items():
        if len(sold) < FEWEST_OWN:
            continue
        prices = [today.get(one, one.sale.price) for one in sold]
        values[at] = statistics.median(
            net(price, selling.postage if one.sale.postage is None else one.sale.postage, selling)
            for one, price in zip(sold, prices, strict=True)
        )
        price = float(statistics.median(prices))
        ends = _kept(np.array([price * factor[at] for factor in expected.factors]), selling)
        low[at], high[at] = min(ends[0], values[at]), max(ends[1], values[at])
        if (usual := float(_kept(np.array([price]), selling)[0])) > float(selling.bulk_floor):
            # the median of n such errors is itself that much above what it is a median of, on average
            above = math.exp(model.fit.scale**2 * math.pi / 4 / len(sold))
            means[at] = values[at] * float(_kept(price / above * noise, selling).mean()) / usual
        else:
            means[at] = values[at]
        bases[at] = SOLD
    return tuple(
        LineWorth(
            subset=line.subset,
            parallel=line.parallel,
            worth=tuple(values[start:end].tolist()),
            mean=tuple(means[start:end].tolist()),
            low=tuple(low[start:end].tolist()),
            high=tuple(high[start:end].tolist()),
            basis=tuple(bases[start:end]),
        )
        for line, start, end in zip(lines, starts, starts[1:], strict=False)
    )


def _worth(lines: Sequence[LineWorth], traits: Sequence[Traits]) -> Floats:
    """What all copies of each card are worth together, 0 where it is not known how many there are."""
    values = np.array([value for line in lines for value in line.expected])
    return np.asarray(values * np.array([one.copies or 0.0 for one in traits], dtype=float))


def _shares(lines: Sequence[LineWorth], worth: Floats) -> dict[str, Decimal]:
    """The shares of the value of all copies that rest on each basis."""
    totals = dict.fromkeys((SOLD, MODELLED, CARRIED_OVER, BULK), 0.0)
    for one, basis in zip(worth, (basis for line in lines for basis in line.basis), strict=True):
        totals[basis] += float(one)
    whole = sum(totals.values())
    shares = {basis: six_places(total / whole if whole else 0.0) for basis, total in totals.items()}
    # to the last digit they sum to 1
    largest = max(shares, key=lambda basis: shares[basis])
    shares[largest] += (1 if whole else 0) - sum(shares.values(), Decimal(0))
    return shares


def _dearest(lines: Sequence[CardLine], made: Sequence[LineWorth]) -> Dearest | None:
    """The card worth most in whole cents, of equals the first, None where there is none."""
    found = [
        (money.cents(settled(max(own.worth))), line, own)
        for line, own in zip(lines, made, strict=True)
        if own.worth
    ]
    if not found:
        return None
    value, line, own = max(found, key=lambda one: one[0])
    place = next(i for i, one in enumerate(own.worth) if money.cents(settled(one)) == value)
    card = line.cards[place]
    name = f"{line.name} {card.number}, {text.listed(card.subjects)}"
    return Dearest(name=name, value=value, basis=own.basis[place])


def _level(
    model: PriceModel,
    expected: _Expected,
    lines: Sequence[LineWorth],
    used: Sequence[Used],
    later: Sequence[float],
    selling: Selling,
    *,
    apart: float,
) -> Level:
    """What the values of all cards rest on, for how sure a sum of them is; sales were moved by weeks `later`.

    (price + postage) (1 - fee) - postage - fixed moves by price (1 - fee) where the price moves by itself.
    """
    bases = np.array([basis for line in lines for basis in line.basis])
    starts = np.cumsum([0, *(len(line.worth) for line in lines)])
    places = np.array([starts[one.line] + one.card for one in used], dtype=np.intp)
    sales = np.bincount(places, minlength=len(bases)).astype(float)
    moved = np.bincount(places, weights=np.array(later, dtype=float), minlength=len(bases))
    weeks = moved / np.maximum(sales, 1)
    by_week = np.exp(
        np.outer([one.fit.effects[model.columns.week] - model.a_week for one in model.without], weeks)
    )
    sold = bases == SOLD
    return Level(
        model=model,
        strangers=expected.strangers,
        by_parts=np.where(sold, by_week, expected.by_parts),
        values=np.array([value for line in lines for value in line.expected]),
        sold=sold,
        bulk=bases == BULK,
        sales=sales,
        whatever=float(selling.fixed + selling.fee * selling.postage),
        apart=apart,
    )


def _subject(one: Contrast, shown: dict[str, str]) -> SubjectEffect:
    value, error = six_places(one.value), six_places(one.error)
    return SubjectEffect(subject=shown[one.name], value=value, error=error, sales=one.sales)
