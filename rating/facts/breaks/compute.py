"""A break: what each slot of some cases holds, what that is worth, and what it should cost.

Two numbers stand side by side. A slot's cost share is its part of what the cases cost, by its share of the
value; its worth is what its cards are expected to leave a seller. While no price is known, what it holds
stands in for the value: copies by kind, each weighed by the demand for who is on it.

The limit for a bid is the highest price that with shipping, duty and tax is no more than the worth; where no
price of a card is known, the part of the landed cost stands in for the worth. Slots cut by filters pay for
their own part of the value; what house rules leave to the host all slots pay for. Limits of a share count the
errors of its subjects, each by itself; what sets all prices alike cancels.
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
from rating.facts.breaks.limits import share_limits
from rating.facts.breaks.owners import PAIR, Owners, pair_up
from rating.facts.breaks.value import CONTENT, PRICES, Break, BreakCost, Counts, Expected, Slot
from rating.facts.breaks.weighing import Floats, Split, Weighed, weigh
from rating.facts.context import Buying
from rating.facts.economics.compute import before_landing, landed
from rating.facts.falling.lines import share_weights
from rating.facts.falling.outlook import outlook
from rating.facts.house import TierMove
from rating.facts.plain import Unknown
from rating.facts.section import Source
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Values
from rating.numerics.shares import concentration, cost_shares, tiers

if TYPE_CHECKING:
    from rating.facts.falling.collation import Collation

_MOST_CASES = 1000
# shares are told in whole billionths that sum to 1: far above what processors differ by
_SHARE_PLACES = 9


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
        alone = weigh(facts, collation, owning.owners(facts.lines, facts.rules), count)
        pairs = tuple(pair_up(teams, alone.value.tolist()))
    owned = owning.owners(facts.lines, facts.rules, by, boxes=count, pairs=pairs)
    weighed = weigh(facts, collation, owned, count)
    if not weighed.value.sum() > 0:
        raise RatingError(
            f"a {key} box holds nothing that has a value here",
            where=f"releases/{facts.release}",
            fix="state odds or promises, so the program knows which cards fall",
        )
    cost = _cost(facts, key, count)
    return _assembled(facts, key, collation, owned, weighed, cost, count, cases)


def _collation(facts: Source, packed: str) -> tuple[str, Collation]:
    where = f"releases/{facts.release}"
    if not facts.lines:
        raise RatingError(
            "there is no checklist yet, so nothing says which cards a slot holds",
            where=where,
            fix="take the checklist in with 'boxwright intake', or save it there as checklist.csv",
        )
    keys = list(dict.fromkeys(key for line in facts.lines for key in line.formats))
    key = packed or facts.headline
    if key not in keys:
        raise RatingError(
            f"there is no format {text.printable(key)!r}",
            where="--format",
            fix=text.hinted(key, keys, f"name one of {', '.join(keys)}"),
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
            f"{boxes:,} boxes are not a break",
            where="--cases" if is_by_case else "--boxes",
            fix=f"open from 1 to {_MOST_CASES:,} cases",
        )
    return boxes, boxes // size if size and boxes % size == 0 else None


def _cost(facts: Source, key: str, boxes: int) -> BreakCost | Unknown:
    costs = facts.of(economics.SECTION)
    if isinstance(costs, Unknown):
        return costs
    one = costs.formats[key]
    order = one.of_boxes(boxes)
    if order is None or not order.price:
        return Unknown(f"there is no price for a {one.name} box or case yet")
    on_table = landed(order.price, facts.rules.buying)
    margin = 1 + facts.rules.slots.margin
    return BreakCost(
        price=money.cents(order.price),
        landed=on_table,
        total=money.cents(on_table * margin),
        made_of=one.named(order),
    )


def _assembled(
    facts: Source,
    key: str,
    collation: Collation,
    owned: Owners,
    weighed: Weighed,
    cost: BreakCost | Unknown,
    boxes: int,
    cases: int | None,
) -> Break:
    worth, costs = facts.of(VALUATION), facts.of(economics.SECTION)
    by_prices = not isinstance(worth, Unknown)
    floored = [max(0.0, one) for one in weighed.value.tolist()]
    values = [tenths.six_digits(one) for one in floored]
    put = tiers(values, len(facts.rules.slots.tiers))
    priced = _priced(values, owned, weighed, cost, facts.rules.buying, by_prices=by_prices)
    limits = None if isinstance(worth, Unknown) else share_limits(worth, weighed)
    share = cost_shares(floored, 1, _SHARE_PLACES)
    expected = _expected(facts, weighed, len(owned.slots))
    counts = _counts(facts, weighed.split, owned)
    none = _chances(facts, collation, owned, weighed, boxes)
    slots = []
    for i, name in enumerate(owned.slots):
        tier = _tier(facts, name, facts.rules.slots.tiers[put.tier[i]])
        slots.append(
            Slot(
                slot=name,
                counts=counts[i],
                expected=expected[i],
                value=priced[i].value,
                deviation=priced[i].deviation,
                share=float(share[i]),
                share_low=None if limits is None else round(float(limits[0][i]), _SHARE_PLACES),
                share_high=None if limits is None else round(float(limits[1][i]), _SHARE_PLACES),
                p_no_autograph=none[i][0],
                p_no_hit=none[i][1],
                p_only_base=none[i][2],
                cost_share=priced[i].cost_share,
                worth=priced[i].worth,
                limit=priced[i].limit,
                tier=tier.tier,
                tier_by_value=tier.by_value,
                moved=tier.moved,
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
        resting_on={} if isinstance(worth, Unknown) else _resting_on(worth.values),
        cost=cost,
        value=_amount(float(weighed.value.sum()), by_prices=by_prices),
        kept=_amount(max(0.0, weighed.kept), by_prices=by_prices),
        slots=tuple(slots),
        fit=put.fit,
        concentration=concentration(values),
        remarks=owned.remarks,
        at_least=tuple(facts.lines[i].name for i in collation.open_lines),
    )


class _Priced(NamedTuple):
    """The money of a slot, see `Slot`; without prices its value is in points of content."""

    value: Decimal
    deviation: Decimal | None
    worth: Decimal | None
    cost_share: Decimal | None
    limit: Decimal | None


def _priced(
    values: Sequence[Decimal],
    owned: Owners,
    weighed: Weighed,
    cost: BreakCost | Unknown,
    buying: Buying,
    *,
    by_prices: bool,
) -> list[_Priced]:
    # what no filter takes the host keeps unsold, and pays for; what house rules keep the buyers pay for
    unsold = [tenths.six_digits(max(0.0, weighed.kept))] if owned.by == owning.FILTERS else []
    charged: Sequence[Decimal | None] = [None] * len(values)
    at_cost = charged
    if isinstance(cost, BreakCost):
        charged, at_cost = (cost_shares([*values, *unsold], one) for one in (cost.total, cost.landed))
    found = []
    for i, value in enumerate(values):
        worth = deviation = None
        if by_prices:
            worth = money.cents(value)
            deviation = money.cents(tenths.six_digits(math.sqrt(max(0.0, weighed.variance[i]))))
        most = at_cost[i] if worth is None else worth
        limit = None if most is None else before_landing(most, buying)
        found.append(_Priced(value if worth is None else worth, deviation, worth, charged[i], limit))
    return found


class _Tier(NamedTuple):
    """Where a slot stands and where its value puts it, with the host's reason where these differ."""

    tier: str
    by_value: str
    moved: str


def _tier(facts: Source, slot: str, by_value: str) -> _Tier:
    move = _move(facts, slot)
    if move is None or move.tier == by_value:
        return _Tier(by_value, by_value, "")
    return _Tier(move.tier, by_value, move.reason)


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


def _kinds(facts: Source, split: Split) -> dict[str, npt.NDArray[np.bool_]]:
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


def _expected(facts: Source, weighed: Weighed, slots: int) -> list[Expected]:
    found = {
        name: weighed.split.by_slot(weighed.copies * held, slots)
        for name, held in _kinds(facts, weighed.split).items()
    }
    return [
        Expected(**{name: tenths.six_digits(float(each[i])) for name, each in found.items()})
        for i in range(slots)
    ]


def _counts(facts: Source, split: Split, owned: Owners) -> list[Counts]:
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
    facts: Source, collation: Collation, owned: Owners, weighed: Weighed, boxes: int
) -> list[list[Decimal]]:
    """The chances that a slot gets no autograph, no hit, and nothing but base cards."""
    split, slots = weighed.split, len(owned.slots)
    signed = np.array([one.has_signature for one in split.cards])
    hits = np.array([one.is_hit for one in split.cards])
    extra = np.array([not facts.lines[place].is_base for place in split.lines])
    weights = np.concatenate([_line_weights(line.runs) for line in facts.lines])
    packs = collation.packs_per_box * boxes
    found: list[list[Decimal]] = [[] for _ in owned.slots]
    for meant in (signed, hits, extra):
        shares = np.zeros((slots, len(facts.lines)))
        part = split.share * weights[split.card] * meant[split.card]
        np.add.at(shares, (split.slot, split.lines[split.card]), part)
        for slot in range(slots):
            wanted = {int(line): float(shares[slot, line]) for line in np.flatnonzero(shares[slot])}
            none = outlook(collation, wanted, packs).none
            found[slot].append(tenths.six_digits(none))
    return found


def _line_weights(runs: Sequence[int | None]) -> Floats:
    weights = np.array(share_weights(runs), dtype=np.float64)
    return np.asarray(weights / weights.sum())
