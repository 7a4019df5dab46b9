"""The section on values: what a seller keeps of each card, from sales, a model of them, or earlier releases.

Sales are matched, raw, in the season's currency and up to the day. A version that was sold at least three
times is worth the median of what those sales leave; all others what the model of prices expects. Selling
takes a share of price and postage, the postage itself and a fixed charge, and nothing is worth less than the
season's bulk floor, which is what a card leaves that is not worth selling alone.
"""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

import numpy as np

from rating import money, text
from rating.facts import copies
from rating.facts.card_model import Contrast, PriceModel, Seen, Version, price_model, wanted
from rating.facts.lines import Line, lines_of
from rating.facts.price_model import Flags, Floats
from rating.facts.values import (
    Demand,
    Effect,
    LineValues,
    Scarcity,
    SeasonContext,
    Selling,
    SubjectEffect,
    Unknown,
    Values,
)
from rating.release.market import Sale
from rating.release.release import Release
from rating.tenths import six_digits, six_places

# fewer sales of a version say less of it than the model does
FEWEST_OWN = 3
# fewer sales, or carried-over prices, say nothing of the others
FEWEST_SALES = 20
SOLD, MODELLED, CARRIED_OVER, BULK = "sold", "modelled", "carried over", "bulk"
# what another release's prices say of this one is taken to be this many times as far off
_WIDER = 2.0


class Donor(NamedTuple):
    """What a card of an earlier or similar release went for."""

    kind: str
    copies: int | None
    price: Decimal


class _Used(NamedTuple):
    """A sale with the places of its line and of its card there."""

    sale: Sale
    line: int
    card: int


@dataclass(frozen=True, slots=True)
class _Expected:
    """What a model says of the cards of all lines, one after the other."""

    values: Floats
    low: Floats
    high: Floats
    bulk: Flags
    factors: tuple[Floats, Floats]


def net(price: Decimal, postage: Decimal, selling: Selling) -> Decimal:
    """What a seller keeps of a price and the postage that a buyer paid, exact, never below the bulk floor."""
    kept = (price + postage) * (1 - selling.fee) - selling.postage - selling.fixed
    return max(kept, selling.bulk_floor)


def valuation(
    sales: Iterable[Sale] | None,
    lines: Sequence[Line],
    scarcity: Scarcity | Unknown,
    season: SeasonContext,
    *,
    released_on: date | None,
    as_of: date,
    donors: Sequence[Donor] = (),
) -> Values | Unknown:
    """The section as of a day.

    Parameters
    ----------
    donors : prices to carry over while fewer than twenty sales can be used; twenty of them are needed
    """
    if not lines:
        return Unknown("there is no checklist.csv yet, so no sale says which card it was")
    given = tuple(sales or ())
    used, aside = _sorted_out(given, lines, season.currency, as_of)
    versions = _versions(lines, scarcity, season.demand_for_prices or {})
    since = _since(used, released_on, as_of)
    carried = len(used) < FEWEST_SALES
    if carried and len(donors) < FEWEST_SALES:
        return Unknown(_too_few(used, given, lines, donors))
    if not carried and (why := _tells_nothing(used, lines)):
        return Unknown(why)
    seen = [_carried(one) for one in donors] if carried else _seen(used, lines, versions, since)
    model = price_model(seen)
    # no further than sales reach: what weeks do after them nobody has seen
    week = min(max(0.0, (as_of - since).days / 7), max(one.week for one in seen))
    expected = _expected(model, versions, week, season.selling, wider=_WIDER if carried else 1.0)
    made = _lines(lines, used, expected, season.selling, CARRIED_OVER if carried else MODELLED)
    shares = _shares(made, versions)
    own = [] if carried else model.subjects()
    shown = _names(lines)
    return Values(
        sales=len(used),
        presales=sum(one.sale.day < since for one in used),
        set_aside=dict(aside),
        wild=0 if carried else model.wild,
        sold_share=shares[SOLD],
        modelled_share=shares[MODELLED],
        carried_over=shares[CARRIED_OVER],
        bulk_share=shares[BULK],
        least=None if model.least is None or carried else money.cents(Decimal(model.least)),
        coverage=None if carried else six_digits(model.coverage),
        effects=tuple(
            Effect(name=one.name, value=six_places(one.value), error=six_places(one.error))
            for one in ([] if carried else model.effects())
        ),
        subjects=tuple(_subject(one, shown) for one in own),
        lines=made,
    )


def subject_effects(release: Release, currency: str, *, as_of: date) -> tuple[SubjectEffect, ...]:
    """What each subject that was sold in a release does to a price as a person, whatever is known of demand.

    Empty where fewer than twenty sales can be used, or they say nothing of what sets cards apart. Cards are
    not valued one by one, so that it takes a fraction of what the section does.

    Parameters
    ----------
    currency : that of the season
    """
    if len(release.sales or ()) < FEWEST_SALES:
        return ()
    lines = lines_of(release)
    used, _ = _sorted_out(release.sales or (), lines, currency, as_of)
    if len(used) < FEWEST_SALES or _tells_nothing(used, lines):
        return ()
    printed, _ = copies.scarcity(release.sheet.formats, lines, has_odds=bool(release.odds))
    since = _since(used, release.sheet.released_on, as_of)
    seen = _seen(used, lines, _versions(lines, printed, {}), since)
    shown = _names(lines)
    return tuple(_subject(one, shown) for one in wanted(seen))


def _since(used: Sequence[_Used], released_on: date | None, as_of: date) -> date:
    return released_on or min((one.sale.day for one in used), default=as_of)


def _seen(
    used: Sequence[_Used], lines: Sequence[Line], versions: Sequence[Version], since: date
) -> list[Seen]:
    starts = np.cumsum([0, *(len(line.cards) for line in lines)])
    return [
        Seen(
            versions[starts[one.line] + one.card],
            float(one.sale.price),
            max(0.0, (one.sale.day - since).days / 7),
            one.sale.day < since,
        )
        for one in used
    ]


def _names(lines: Sequence[Line]) -> dict[str, str]:
    """The names of subjects as they are written, by those as compared."""
    return {text.key(name): name for line in lines for card in line.cards for name in card.subjects}


def _sorted_out(
    sales: Iterable[Sale], lines: Sequence[Line], currency: str, as_of: date
) -> tuple[list[_Used], Counter[str]]:
    """The sales that can be used, and how many cannot, by the first reason that holds."""
    given = tuple(sales)
    places: dict[tuple[str, str, str], tuple[int, int]] = {}
    for i, line in enumerate(lines if given else ()):
        for j, card in enumerate(line.cards):
            places.setdefault(_key(line.subset, line.parallel, card.number), (i, j))
    used: list[_Used] = []
    aside: Counter[str] = Counter()
    for one in given:
        place = places.get(_key(one.subset, one.parallel, one.number))
        why = _why_not(one, place is not None, currency, as_of)
        if why:
            aside[why] += 1
        elif place is not None:
            used.append(_Used(one, *place))
    return used, aside


def _key(subset: str, parallel: str, number: str) -> tuple[str, str, str]:
    return text.key(subset), text.key(parallel), text.key(number)


def _why_not(sale: Sale, is_listed: bool, currency: str, as_of: date) -> str:
    if not sale.subset:
        return "not matched to a card"
    if not is_listed:
        return "not on the checklist"
    if sale.condition == "slabbed":
        return "slabbed"
    if sale.currency not in {"", currency}:
        return "in another currency"
    return "after the day" if sale.day > as_of else ""


def _versions(
    lines: Sequence[Line], scarcity: Scarcity | Unknown, demand: Mapping[str, Demand]
) -> list[Version]:
    """Every card of every line, one line after the other."""
    each = [None] * len(lines) if isinstance(scarcity, Unknown) else [one.per_card for one in scarcity.lines]
    found = []
    for line, of_line in zip(lines, each, strict=True):
        for card, run in zip(line.cards, line.runs, strict=True):
            copies = run or of_line
            subjects = tuple(map(text.key, card.subjects))
            found.append(
                Version(
                    kind=card.kind,
                    copies=float(copies) if copies else None,
                    rookie=card.rookie,
                    subjects=subjects,
                    demand=tuple(float(demand[one].demand) if one in demand else None for one in subjects),
                )
            )
    return found


def _too_few(
    used: Sequence[_Used], given: Sequence[Sale], lines: Sequence[Line], donors: Sequence[Donor]
) -> str:
    if not given:
        why = "there are no sales yet"
    elif not used:
        why = f"none of the {text.count(len(given), 'sale')} on file can be used"
    elif len(used) > 1 and len({one[1:] for one in used}) == 1:
        why = _one_card(used, lines)
    else:
        why = f"only {text.count(len(used), 'sale')} can be used, and it takes {FEWEST_SALES}"
    if not donors:
        return f"{why}, and there are no prices to carry over"
    return f"{why}, and {text.count(len(donors), 'price')} to carry over are too few"


def _tells_nothing(used: Sequence[_Used], lines: Sequence[Line]) -> str:
    """Why sales say nothing of other cards, blank where they do."""
    if len({one[1:] for one in used}) == 1:
        return _one_card(used, lines)
    if len({one.sale.price for one in used}) == 1:
        every = f"all {len(used)} sales went for {money.show(used[0].sale.price)}"
        return f"{every}, which says nothing of what sets cards apart"
    return ""


def _one_card(used: Sequence[_Used], lines: Sequence[Line]) -> str:
    line = lines[used[0].line]
    number = line.cards[used[0].card].number
    return f"all {len(used)} sales are of one card, {line.name} {number}, and say nothing of the others"


def _carried(donor: Donor) -> Seen:
    copies = float(donor.copies) if donor.copies else None
    return Seen(Version(donor.kind, copies, False, ()), float(donor.price), 0.0, False)


def _expected(
    model: PriceModel, versions: Sequence[Version], week: float, selling: Selling, *, wider: float
) -> _Expected:
    """The mean of what a sale leaves, over the errors that were seen (a smearing mean), and nine in ten."""
    middle, spread = model.middle(versions, week)
    spread = wider * spread
    floor = float(selling.bulk_floor)
    low, high = (np.exp(end * spread) for end in model.ends)
    bulk = _kept(np.exp(middle), selling) <= floor
    mean = _kept(np.exp(middle[:, None] + spread[:, None] * model.errors), selling).mean(axis=1)
    return _Expected(
        values=np.where(bulk, floor, mean),
        low=_kept(np.exp(middle) * low, selling),
        high=_kept(np.exp(middle) * high, selling),
        bulk=bulk,
        factors=(low, high),
    )


def _kept(prices: Floats, selling: Selling) -> Floats:
    """As `net`, of prices to which a buyer adds the postage that it costs."""
    kept = (prices + float(selling.postage)) * float(1 - selling.fee) - float(selling.postage + selling.fixed)
    return np.asarray(np.maximum(kept, float(selling.bulk_floor)))


def _lines(
    lines: Sequence[Line], used: Sequence[_Used], expected: _Expected, selling: Selling, basis: str
) -> tuple[LineValues, ...]:
    own: dict[tuple[int, int], list[Sale]] = {}
    for one in used:
        own.setdefault((one.line, one.card), []).append(one.sale)
    values, low, high = expected.values.copy(), expected.low.copy(), expected.high.copy()
    bases = [BULK if is_bulk else basis for is_bulk in expected.bulk]
    found, start = [], 0
    for i, line in enumerate(lines):
        for j in range(len(line.cards)):
            sold = own.get((i, j), [])
            if len(sold) < FEWEST_OWN:
                continue
            at = start + j
            values[at] = statistics.median(
                net(sale.price, selling.postage if sale.postage is None else sale.postage, selling)
                for sale in sold
            )
            price = float(statistics.median(sale.price for sale in sold))
            ends = _kept(np.array([price * factor[at] for factor in expected.factors]), selling)
            low[at], high[at] = min(ends[0], values[at]), max(ends[1], values[at])
            bases[at] = SOLD
        own_part = slice(start, start + len(line.cards))
        found.append(
            LineValues(
                subset=line.subset,
                parallel=line.parallel,
                values=tuple(map(float, values[own_part])),
                low=tuple(map(float, low[own_part])),
                high=tuple(map(float, high[own_part])),
                basis=tuple(bases[own_part]),
            )
        )
        start = own_part.stop
    return tuple(found)


def _shares(lines: Sequence[LineValues], versions: Sequence[Version]) -> dict[str, Decimal]:
    """The shares of the value of all copies that rest on each basis."""
    totals = dict.fromkeys((SOLD, MODELLED, CARRIED_OVER, BULK), 0.0)
    copies = iter(versions)
    for line in lines:
        for value, basis in zip(line.values, line.basis, strict=True):
            totals[basis] += value * (next(copies).copies or 0.0)
    whole = sum(totals.values())
    shares = {basis: six_places(total / whole if whole else 0.0) for basis, total in totals.items()}
    # to the last digit they sum to 1
    largest = max(shares, key=lambda basis: shares[basis])
    shares[largest] += (1 if whole else 0) - sum(shares.values(), Decimal(0))
    return shares


def _subject(one: Contrast, shown: dict[str, str]) -> SubjectEffect:
    value, error = six_places(one.value), six_places(one.error)
    return SubjectEffect(subject=shown[one.name], value=value, error=error, sales=one.sales)
