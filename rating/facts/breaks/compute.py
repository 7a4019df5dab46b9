"""A break: what each slot of some cases holds, what that is worth, and what it should cost.

Two numbers stand side by side. A slot's cost share is its part of what the cases cost, by its share of the
value; its worth is what its cards are expected to leave a seller. While no price is known, what it holds
stands in for the value: copies by kind, each weighed by the demand for who is on it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from rating import money, tenths, text
from rating.errors import RatingError
from rating.facts import economics
from rating.facts.breaks import owners as owning
from rating.facts.breaks.owners import PAIR, Owners, pair_up
from rating.facts.breaks.value import CONTENT, PRICES, Break, BreakCost, Counts, Expected, Slot
from rating.facts.economics.compute import landed
from rating.facts.falling.outlook import outlook, share_weights
from rating.facts.house import TierMove
from rating.facts.plain import Unknown
from rating.facts.returns.compute import categories
from rating.facts.section import Source
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Values
from rating.numerics.shares import concentration, cost_shares, tiers
from rating.numerics.sums import Category, moments

if TYPE_CHECKING:
    from rating.facts.falling.collation import Collation
    from rating.release.checklist import Card

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
# who is asked for by nobody in particular, of 100
_TYPICAL = Decimal(50)
# nine of ten
_NINETY = 1.645
_MOST_CASES = 1000


class _Split(NamedTuple):
    """All cards of all lines one after the other, and every share of a slot in one of them."""

    cards: list[Card]
    lines: Places
    card: Places
    slot: Places
    share: Floats

    def by_slot(self, of_card: Floats, slots: int) -> Floats:
        """What each slot has of something that every card carries."""
        found = np.bincount(self.slot, weights=self.share * of_card[self.card], minlength=slots)
        return found.astype(np.float64)


def broken_down(
    facts: Source,
    *,
    packed: str = "",
    cases: int | None = 1,
    boxes: int | None = None,
    by: Sequence[str] = (owning.TEAM,),
) -> Break:
    """The break of some cases of a format, without what others ask and without picks.

    Parameters
    ----------
    packed : the key of a format; the headline format where it is blank
    cases, boxes : how much is opened; `boxes` goes before
    by : how it is cut, see `rating.facts.breaks.owners.owners`

    Raises
    ------
    rating.errors.RatingError
        where there is no checklist, format or packing to go by, and for a break that cannot be cut so
    """
    key, collation = _collation(facts, packed)
    count, cases = _boxes(facts, key, collation, cases, boxes)
    pairs = facts.rules.slots.pairs
    if tuple(by) == (PAIR,) and not pairs:
        teams = owning.teams_of(facts.lines, facts.rules)
        alone = _weigh(facts, collation, owning.owners(facts.lines, facts.rules), count)
        pairs = tuple(pair_up(teams, alone.value.tolist()))
    owned = owning.owners(facts.lines, facts.rules, by, boxes=count, pairs=pairs)
    weighed = _weigh(facts, collation, owned, count)
    if not weighed.value.sum() > 0:
        raise RatingError(
            f"a {key} box holds nothing that has a value here",
            where=f"releases/{facts.release}",
            fix="state odds or promises, so that cards are known to fall",
        )
    cost = _cost(facts, key, count, cases)
    return _assembled(facts, key, collation, owned, weighed, cost, count, cases)


def _collation(facts: Source, packed: str) -> tuple[str, Collation]:
    where = f"releases/{facts.release}"
    if not facts.lines:
        raise RatingError(
            "there is no checklist.csv yet, so nothing says which cards a slot holds",
            where=where,
            fix="put the checklist beside release.toml, or take it in with 'boxwright intake'",
        )
    keys = list(dict.fromkeys(key for line in facts.lines for key in line.formats))
    key = packed or facts.headline
    if key not in keys:
        raise RatingError(
            f"there is no format {text.printable(key)!r}",
            where="--format",
            fix=f"name one of {', '.join(keys)}",
        )
    collation = facts.collations.get(key)
    if collation is None or not collation.draws:
        raise RatingError(
            f"nothing says how a {key} box is packed",
            where=f"{where}/release.toml",
            fix=f"write cards_per_pack and packs_per_box under [formats.{key}]",
        )
    return key, collation


def _boxes(
    facts: Source, key: str, collation: Collation, cases: int | None, boxes: int | None
) -> tuple[int, int | None]:
    """How many boxes are opened, and how many cases that are, None where they are no whole ones."""
    size, is_by_case = collation.boxes_per_case, boxes is None
    if boxes is None:
        if size is None:
            raise RatingError(
                f"how many boxes a {key} case holds is not known",
                where=f"releases/{facts.release}/release.toml",
                fix=f"write boxes_per_case under [formats.{key}], or say how many boxes with --boxes",
            )
        boxes = size * (1 if cases is None else cases)
    most = _MOST_CASES * (size or 1)
    if not 0 < boxes <= most:
        raise RatingError(
            f"{boxes:,} boxes are no break",
            where="--cases" if is_by_case else "--boxes",
            fix=f"open from 1 to {_MOST_CASES:,} cases",
        )
    return boxes, boxes // size if size and boxes % size == 0 else None


class _Weighed(NamedTuple):
    """Copies of each card, the value of a copy, and by slot the expected value and its variance."""

    split: _Split
    copies: Floats
    each: Floats
    value: Floats
    variance: Floats
    kept: float


def _weigh(facts: Source, collation: Collation, owned: Owners, boxes: int) -> _Weighed:
    split = _split(facts, owned)
    each = _each(facts, split)
    places, start = [], 0
    for line in facts.lines:
        places.append(list(range(start, start + len(line.cards))))
        start += len(line.cards)
    slots = len(owned.slots)
    copies, value, variance = np.zeros(len(split.cards)), np.zeros(slots), np.zeros(slots)
    for one in categories(collation, facts.lines, places, boxes=boxes):
        shares = _shares(one, len(split.cards))
        expected, spread = moments(one.draws)
        copies += expected * shares
        first = split.by_slot(shares * each, slots)
        second = split.by_slot(shares * each * each, slots)
        value += expected * first
        # of a random number of draws: E[N] Var(v) + Var(N) E[v]^2
        variance += expected * (second - first * first) + spread * first * first
    return _Weighed(split, copies, each, value, variance, float(copies @ each) - float(value.sum()))


def _split(facts: Source, owned: Owners) -> _Split:
    cards: list[Card] = []
    lines: list[int] = []
    card: list[int] = []
    slot: list[int] = []
    share: list[float] = []
    for place, (line, own) in enumerate(zip(facts.lines, owned.cards, strict=True)):
        for one, shares in zip(line.cards, own, strict=True):
            for owner, part in shares:
                card.append(len(cards))
                slot.append(owner)
                share.append(part)
            cards.append(one)
            lines.append(place)
    return _Split(cards, np.array(lines), np.array(card, int), np.array(slot, int), np.array(share, float))


def _each(facts: Source, split: _Split) -> Floats:
    """The value of a copy of each card: by prices, else by its kind and the demand for who is on it."""
    worth = facts.of(VALUATION)
    if not isinstance(worth, Unknown):
        return np.array([value for line in worth.lines for value in line.values])
    demand, content = facts.season.demand or {}, facts.rules.slots.content
    found = []
    for one in split.cards:
        wanted = [
            demand[key].demand if (key := text.key(name)) in demand else _TYPICAL for name in one.subjects
        ]
        mean = sum(wanted, Decimal(0)) / len(wanted) if wanted else _TYPICAL
        found.append(float(content[one.kind] * mean / _TYPICAL))
    return np.array(found)


def _shares(category: Category, cards: int) -> Floats:
    """The share of each card in a draw whose values are the places of its cards."""
    weights = np.asarray(category.weights, dtype=np.float64)
    places = np.asarray(category.values, dtype=np.intp)
    return np.bincount(places, weights=weights / weights.sum(), minlength=cards).astype(np.float64)


def _cost(facts: Source, key: str, boxes: int, cases: int | None) -> BreakCost | Unknown:
    costs = facts.of(economics.SECTION)
    if isinstance(costs, Unknown):
        return costs
    one = costs.formats[key]
    price = None
    if cases is not None and one.case_price is not None:
        price = one.case_price * cases
    elif one.box_price is not None:
        price = one.box_price * boxes
    if not price:
        return Unknown(f"there is no price of a {one.name} box or case yet")
    on_table = landed(price, facts.rules.buying)
    margin = 1 + facts.rules.slots.margin
    return BreakCost(price=money.cents(price), landed=on_table, total=money.cents(on_table * margin))


def _assembled(
    facts: Source,
    key: str,
    collation: Collation,
    owned: Owners,
    weighed: _Weighed,
    cost: BreakCost | Unknown,
    boxes: int,
    cases: int | None,
) -> Break:
    worth_of_all, costs = facts.of(VALUATION), facts.of(economics.SECTION)
    by_prices = not isinstance(worth_of_all, Unknown)
    values = [tenths.six_digits(max(0.0, one)) for one in weighed.value.tolist()]
    total = weighed.value.sum()
    # what no filter takes the host keeps unsold, and pays for; what house rules keep the buyers pay for
    unsold = [tenths.six_digits(max(0.0, weighed.kept))] if owned.by == owning.FILTERS else []
    charged: Sequence[Decimal | None] = [None] * len(values)
    at_cost = charged
    if isinstance(cost, BreakCost):
        charged, at_cost = (cost_shares([*values, *unsold], one) for one in (cost.total, cost.landed))
    limits = _limits(facts, weighed) if by_prices else None
    put = tiers(values, len(facts.rules.slots.tiers))
    names = facts.rules.slots.tiers
    expected = _expected(facts, weighed, len(owned.slots))
    counts = _counts(facts, weighed.split, owned)
    none = _chances(facts, collation, owned, weighed, boxes)
    slots = []
    for i, name in enumerate(owned.slots):
        worth = money.cents(values[i]) if by_prices else None
        own, tier = at_cost[i], names[put.tier[i]]
        move = _move(facts, name)
        slots.append(
            Slot(
                slot=name,
                counts=counts[i],
                expected=expected[i],
                value=worth if worth is not None else values[i],
                deviation=money.cents(tenths.six_digits(math.sqrt(max(0.0, weighed.variance[i]))))
                if by_prices
                else None,
                share=float(weighed.value[i] / total),
                share_low=None if limits is None else float(limits[0][i]),
                share_high=None if limits is None else float(limits[1][i]),
                p_no_autograph=none[i][0],
                p_no_hit=none[i][1],
                p_only_base=none[i][2],
                cost_share=charged[i],
                worth=worth,
                limit=max((one for one in (worth, own) if one is not None), default=None),
                tier=move.tier if move else tier,
                tier_by_value=tier,
                moved=move.reason if move and move.tier != tier else "",
            )
        )
    return Break(
        release=facts.release,
        title=facts.title,
        product_format=key,
        name=key if isinstance(costs, Unknown) else costs.formats[key].name,
        by=owned.by,
        cases=cases,
        boxes=boxes,
        boxes_per_case=collation.boxes_per_case,
        basis=PRICES if by_prices else CONTENT,
        currency=facts.rules.currency,
        resting_on={} if isinstance(worth_of_all, Unknown) else _resting_on(worth_of_all.values),
        cost=cost,
        value=_amount(float(total), by_prices=by_prices),
        kept=_amount(max(0.0, weighed.kept), by_prices=by_prices),
        slots=tuple(slots),
        fit=put.fit,
        concentration=concentration(values),
        remarks=owned.remarks,
        at_least=tuple(facts.lines[i].name for i in collation.open_lines),
    )


def _resting_on(values: Values) -> dict[str, Decimal]:
    return {
        "sold": values.sold_share,
        "modelled": values.modelled_share,
        "carried over": values.carried_over,
        "bulk": values.bulk_share,
    }


def _amount(value: float, *, by_prices: bool) -> Decimal:
    found = tenths.six_digits(value)
    return money.cents(found) if by_prices else found


def _move(facts: Source, slot: str) -> TierMove | None:
    """The host's own word on a slot of this release, None where there is none."""
    for one in facts.rules.slots.moves:
        if one.release == facts.release and owning.same_slot(one.slot, slot, facts.rules.team_names()):
            return one
    return None


def _limits(facts: Source, weighed: _Weighed) -> tuple[Floats, Floats]:
    """Nine-in-ten limits of each slot's share, by what is uncertain in the prices.

    What sets all prices alike cancels in a share. What is left is mostly who is on a card: each subject's
    effect has its own standard error, and those never sold lie as far apart as subjects do; a card with sales
    of its own is off by itself.
    """
    worth = facts.of(VALUATION)
    if isinstance(worth, Unknown):
        raise TypeError("shares have limits only where there are prices")
    split, slots = weighed.split, len(weighed.value)
    basis = [one for line in worth.lines for one in line.basis]
    low = np.array([one for line in worth.lines for one in line.low])
    high = np.array([one for line in worth.lines for one in line.high])
    spread = np.log(np.maximum(high, 1e-9) / np.maximum(low, 1e-9)) / (2 * _NINETY)
    known = {text.key(one.subject): float(one.error) for one in worth.subjects}
    effects = np.array([float(one.value) for one in worth.subjects])
    errors = np.array([float(one.error) for one in worth.subjects])
    unsold = math.sqrt(float(np.mean(effects**2) + np.mean(errors**2))) if len(effects) else None
    amount = weighed.copies * weighed.each
    # value that hangs on each source of error: a subject, or a card by itself
    sources: dict[object, dict[int, float]] = {}
    sizes: dict[object, float] = {}
    for card, slot, part in zip(split.card.tolist(), split.slot.tolist(), split.share.tolist(), strict=True):
        held = part * amount[card]
        if not held or basis[card] == "bulk":
            continue
        names = [text.key(name) for name in split.cards[card].subjects]
        if basis[card] == "sold" or not names:
            hung: list[object] = [card]
            sizes[card] = spread[card] * 1.253 / math.sqrt(3)
        else:
            hung = list(names)
            for name in names:
                sizes[name] = spread[card] if unsold is None else known.get(name, unsold)
        for source in hung:
            own = sources.setdefault(source, {})
            own[slot] = own.get(slot, 0.0) + held / len(hung)
    variance = np.zeros(slots)
    whole = 0.0
    for source, own in sources.items():
        for slot, held in own.items():
            variance[slot] += (held * sizes[source]) ** 2
        whole += (sum(own.values()) * sizes[source]) ** 2
    total = weighed.value.sum()
    share = weighed.value / total
    off = np.sqrt((1 - share) ** 2 * variance + share**2 * np.maximum(0.0, whole - variance)) / total
    return np.maximum(0.0, share - _NINETY * off), np.minimum(1.0, share + _NINETY * off)


def _kinds(facts: Source, split: _Split) -> dict[str, npt.NDArray[np.bool_]]:
    """Which cards count as what."""
    runs = [run for line in facts.lines for run in line.runs]
    each = {
        "base": [one.kind == "base" for one in split.cards],
        "rookies": [one.rookie for one in split.cards],
        "inserts": [one.kind == "insert" for one in split.cards],
        "autographs": [one.has_signature for one in split.cards],
        "relics": ["relic" in one.kind for one in split.cards],
        "numbered": [run is not None for run in runs],
    }
    return {name: np.array(held, dtype=bool) for name, held in each.items()}


def _expected(facts: Source, weighed: _Weighed, slots: int) -> list[Expected]:
    found = {
        name: weighed.split.by_slot(weighed.copies * held, slots)
        for name, held in _kinds(facts, weighed.split).items()
    }
    return [
        Expected(**{name: tenths.six_digits(float(each[i])) for name, each in found.items()})
        for i in range(slots)
    ]


def _counts(facts: Source, split: _Split, owned: Owners) -> list[Counts]:
    """Cards of the checklist by kind that each slot has a claim to; lots among all slots are no claim."""
    kinds = _kinds(facts, split)
    cards: list[dict[str, set[int]]] = [{name: set() for name in kinds} for _ in owned.slots]
    subjects: list[set[str]] = [set() for _ in owned.slots]
    places = [(i, j) for i, line in enumerate(facts.lines) for j in range(len(line.cards))]
    for card, slot in zip(split.card.tolist(), split.slot.tolist(), strict=True):
        if places[card] in owned.unclaimed:
            continue
        one = split.cards[card]
        subjects[slot].update(map(text.key, one.subjects))
        for name, held in kinds.items():
            if held[card]:
                cards[slot][name].add(id(one))
    return [
        Counts(**{name: len(held) for name, held in own.items()}, subjects=len(who))
        for own, who in zip(cards, subjects, strict=True)
    ]


def _chances(
    facts: Source, collation: Collation, owned: Owners, weighed: _Weighed, boxes: int
) -> list[list[Decimal]]:
    """The chances that a slot gets no autograph, no hit, and nothing but base cards."""
    split, slots = weighed.split, len(owned.slots)
    signed = np.array([one.has_signature for one in split.cards])
    hits = np.array([one.is_hit for one in split.cards])
    extra = np.array([not facts.lines[place].is_base for place in split.lines])
    weights = np.concatenate([_line_weights(line.runs) for line in facts.lines])
    sizes = [len(line.cards) for line in facts.lines]
    packs = collation.packs_per_box * boxes
    found: list[list[Decimal]] = [[] for _ in owned.slots]
    for meant in (signed, hits, extra):
        shares = np.zeros((slots, len(facts.lines)))
        part = split.share * weights[split.card] * meant[split.card]
        np.add.at(shares, (split.slot, split.lines[split.card]), part)
        for slot in range(slots):
            wanted = {int(line): float(shares[slot, line]) for line in np.flatnonzero(shares[slot])}
            none = outlook(collation, wanted, packs, cards=sizes).none
            found[slot].append(tenths.six_digits(none))
    return found


def _line_weights(runs: Sequence[int | None]) -> Floats:
    weights = np.array(share_weights(runs), dtype=np.float64)
    return np.asarray(weights / weights.sum())
