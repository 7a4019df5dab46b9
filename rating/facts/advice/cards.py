"""Advice for who wants cards of a kind, rookie cards or autographs: out of boxes, or as singles."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from rating import money, tenths
from rating.facts.advice.known import (
    BOX,
    CASE,
    SINGLES,
    Known,
    decided,
    entry,
    fixed,
    said,
)
from rating.facts.advice.value import NOT_KNOWN, NOTHING, AimAdvice
from rating.facts.completing.singles import shared_postage, together
from rating.facts.context import Buying
from rating.facts.economics.compute import landed_exactly
from rating.facts.falling.lines import share_weights
from rating.facts.falling.outlook import open_part
from rating.facts.plain import Unknown
from rating.facts.said import a, sentence
from rating.facts.values.value import Valuation
from rating.numerics.offers import Offer, best
from rating.release.checklist import Card

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

ROOKIE_HUNTER, AUTOGRAPH_BUYER = "rookie hunter", "autograph buyer"


class _Kind(NamedTuple):
    """What a hunter wants: the cards, one of them in words, and what is said where there is none."""

    is_wanted: Callable[[Card], bool]
    noun: str
    none: str


_KINDS = {
    ROOKIE_HUNTER: _Kind(lambda card: card.rookie, "rookie card", "none of its cards is a rookie card"),
    AUTOGRAPH_BUYER: _Kind(lambda card: card.has_signature, "autograph", "none of its cards is signed"),
}


class _Held(NamedTuple):
    """What a box of a format holds of wanted cards: how many, what one costs, and what the rest returns.

    typical, average
        what the middle one costs as a single, posted, and what they cost on average, as a box brings them
    postage
        what of that is paid once for all singles of an order
    others
        what all other cards of the box return on average
    at_least
        that more may fall, of which nothing says how often
    """

    number: Decimal
    typical: Decimal
    average: Decimal
    postage: Decimal
    others: Decimal
    at_least: bool


def hunter(known: Known, aim: str) -> AimAdvice:
    """A box or case where its wanted cards cost less than as many typical ones as singles; else singles."""
    kind = _KINDS[aim]
    if isinstance(known.content, Unknown):
        return entry(aim, NOT_KNOWN, known.content.why)
    if not any(kind.is_wanted(card) for line in known.lines for card in line.cards):
        return entry(aim, NOTHING, kind.none)
    if isinstance(known.worth, Unknown):
        return _by_count(known, aim, known.worth.why)
    held = _held(known, kind.is_wanted, known.worth)
    names = dict(known.formats())
    if not held:
        return entry(aim, NOT_KNOWN, f"how often {a(kind.noun)} falls is not stated")
    singles = Offer(buy=SINGLES, cost=partial(fixed, Fraction(1)))
    offers = [singles]
    for key, one in held.items():
        packed = names[key]
        offers.append(_of_kind(BOX, key, packed.box_price, one, 1, known.buying))
        if packed.boxes_per_case is not None and (case := packed.a_case) is not None:
            offers.append(_of_kind(CASE, key, case, one, packed.boxes_per_case, known.buying))
    chosen = best(offers) or singles
    if all(one.price is None for one in offers):
        chosen = Offer(buy=NOT_KNOWN, cost=singles.cost)

    def why(told: Offer) -> str:
        return _kind_words(known, kind.noun, told, held[told.format]) + _rookies(known, aim)

    return decided(aim, offers, chosen, why, (BOX, CASE))


def _of_kind(of: str, key: str, price: Decimal | None, held: _Held, boxes: int, buying: Buying) -> Offer:
    """A box or case by what its wanted cards cost, as a share of as many typical ones as singles."""
    as_singles = together(Fraction(held.number) * boxes, held.typical, held.postage)
    others = Fraction(held.others) * boxes

    def cost(price: Decimal) -> Fraction:
        return (landed_exactly(price, buying) - others) / as_singles

    return Offer(buy=of, of=of, format=key, price=price, cost=cost)


def _held(known: Known, is_wanted: Callable[[Card], bool], worth: Valuation) -> dict[str, _Held]:
    """What a box of each format holds, headline first; formats in which none falls are left out."""
    import numpy as np

    values, shares, rests = [], [], []
    for line, own in zip(known.lines, worth.lines, strict=True):
        weights = np.array(share_weights(line.runs), dtype=np.float64)
        wanted = np.array([is_wanted(card) for card in line.cards], dtype=bool)
        of_card, total = np.array(own.worth), weights.sum()
        values.append(of_card[wanted])
        shares.append(weights[wanted] / total)
        rests.append(math.fsum((of_card[~wanted] * weights[~wanted] / total).tolist()))
    of_line = [math.fsum(one.tolist()) for one in shares]
    met = {place: share for place, share in enumerate(of_line) if share}
    found = {}
    for key, _ in known.formats():
        collation = known.collations.get(key)
        if collation is None:
            continue
        expected = collation.expected(len(of_line))
        count = math.fsum(copies * share for copies, share in zip(expected, of_line, strict=True))
        fallen = [place for place in met if expected[place] > 0]
        others = math.fsum(copies * rest for copies, rest in zip(expected, rests, strict=True))
        if not fallen or not count:
            continue
        brought = np.concatenate([values[place] for place in fallen])
        weighed = np.concatenate([expected[place] * shares[place] for place in fallen])
        typical = known.single(tenths.six_digits(_middle_of(brought, weighed)))
        if typical > 0:
            posted = math.fsum((known.singles(brought) * weighed).tolist())
            found[key] = _Held(
                number=tenths.six_digits(count),
                typical=typical,
                average=money.cents(tenths.six_digits(posted / math.fsum(weighed.tolist()))),
                postage=shared_postage(typical, known.season.selling),
                others=money.cents(tenths.six_digits(others)),
                at_least=bool(open_part(collation, met)),
            )
    return found


def _middle_of(values: npt.NDArray[np.float64], weights: npt.NDArray[np.float64]) -> float:
    """The least value that half of the weight does not exceed."""
    import numpy as np

    order = np.lexsort((weights, values))
    half = math.fsum(weights.tolist()) / 2
    reached = np.cumsum(weights[order]) >= half * (1 - 1e-12)
    return float(values[order][reached.argmax() if reached.any() else -1])


def _kind_words(known: Known, noun: str, offer: Offer, held: _Held) -> str:
    packed = known.economics.formats[offer.format]
    boxes = (packed.boxes_per_case or 1) if offer.of == CASE else 1
    if offer.price is None:
        return f"there is no price for {a(packed.name)} box yet. {_as_singles(known, held, noun)}"
    each = (landed_exactly(offer.price, known.buying) - Fraction(held.others) * boxes) / (
        Fraction(held.number) * boxes
    )
    most, least = ("at most ", "at least ") if held.at_least else ("", "")
    cost = f"costs you {most}{known.told(each) if each > 0 else 'nothing'}"
    # as exact as a listener needs who divides by it: 3.48, but 6.0 and 21.7
    in_all = tenths.six_digits(Fraction(held.number) * boxes)
    number = tenths.fixed(Fraction(in_all), 1 if in_all >= 10 or in_all * 10 % 1 == 0 else 2)
    wanted = (
        f"one {noun} on average, so {a(noun)}" if number == "1.0" else f"{number} {noun}s on average, so each"
    )
    return (
        f"with tax and shipping {a(packed.name)} {offer.of} costs {known.landed(offer.price)}. Apart from "
        f"{noun}s, it is expected to return {known.told(Fraction(held.others) * boxes)}. It holds "
        f"{least}{wanted} {cost}. {_as_singles(known, held, noun)}"
    )


def _as_singles(known: Known, held: _Held, noun: str) -> str:
    words = f"Bought as a single, {a(noun)} costs {known.told(held.average)} on average with postage"
    return f"{words}; half cost {known.told(held.typical)} or less"


def _rookies(known: Known, aim: str) -> str:
    """How much of the rookie class is in it, for a rookie hunter."""
    if aim != ROOKIE_HUNTER or isinstance(known.people, Unknown) or not known.people.rookie_class:
        return ""
    people = known.people
    return f". {len(people.rookies_carded)} of the season's {people.rookie_class} rookies have cards"


def _by_count(known: Known, aim: str, why: str) -> AimAdvice:
    """What can be said without values: what such a card costs, landed, where it is cheapest."""
    kind = _KINDS[aim]
    shares = {}
    for place, line in enumerate(known.lines):
        weights = share_weights(line.runs)
        wanted = sum(weight for card, weight in zip(line.cards, weights, strict=True) if kind.is_wanted(card))
        if wanted:
            shares[place] = wanted / sum(weights)
    found = []
    for key, packed in known.formats():
        collation = known.collations.get(key)
        count = 0.0
        if collation is not None:
            expected = collation.expected(len(known.lines))
            count = math.fsum(expected[place] * share for place, share in shares.items())
        number = tenths.six_digits(count)
        at_least = collation is not None and bool(open_part(collation, shares))
        if not number and aim == AUTOGRAPH_BUYER and packed.autographs_per_box:
            number, at_least = packed.autographs_per_box, False
        if number and packed.box_price is not None:
            cost = landed_exactly(packed.box_price, known.buying) / Fraction(number)
            found.append((cost, key, packed, number, at_least))
    unsaid = f"what {kind.noun}s cost as singles is not known: {why}"
    if not found:
        return entry(aim, NOT_KNOWN, unsaid)
    cost, key, packed, number, at_least = min(found, key=lambda one: one[0])
    most, few = ("at most ", "at least ") if at_least else ("", "")
    return AimAdvice(
        aim=aim,
        buy=NOT_KNOWN,
        format=key,
        of=BOX,
        boxes=None,
        price=packed.box_price,
        below=None,
        why=said(
            f"with tax and shipping, {a(kind.noun)} from {a(packed.name)} box costs {most}"
            f"{known.told(cost)}, as the box holds {few}{tenths.fixed(number, 1)} of them. {sentence(unsaid)}"
        ),
    )
