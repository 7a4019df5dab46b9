"""Advice for who opens for fun or joins a break, and the price at which a headline box is sensible."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import partial

from rating import money, tenths
from rating.facts.advice.known import BOX, SLOT, WAIT, Known, a, decided, entry, fixed
from rating.facts.advice.value import NOT_KNOWN, AimAdvice, PriceAdvice
from rating.facts.content.value import Content
from rating.facts.context import Buying
from rating.facts.economics.compute import landed_exactly
from rating.facts.economics.value import FormatEconomics
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.returns.value import FormatReturns, Returns
from rating.facts.values.value import Values
from rating.numerics.offers import Offer, best, turning_price

BREAK_BUYER, CASUAL_OPENER = "break buyer", "casual opener"
# the share of what is paid that has to come back on average for a box to be worth its fun
FUN = Fraction(1, 2)


def _paid_back(pieces: int, worth: Decimal, buying: Buying, price: Decimal) -> Fraction:
    """What is paid for each unit of money that comes back, where so many pieces make one order."""
    return landed_exactly(price * pieces, buying) / Fraction(worth)


def _paid(known: Known) -> list[tuple[str, FormatEconomics, FormatReturns]]:
    """The formats of which it is known what a box returns, headline first."""
    if isinstance(known.returns, Unknown):
        return []
    return [
        (key, packed, found)
        for key, packed in known.formats()
        if isinstance(found := known.returns.formats.get(key), FormatReturns) and found.box.mean > 0
    ]


def _no_returns(known: Known) -> str:
    if isinstance(known.returns, Unknown):
        return known.returns.why
    one = known.returns.formats.get(known.economics.headline)
    return one.why if isinstance(one, Unknown) else "its cards bring nothing"


def _boxes(known: Known) -> list[Offer]:
    """A box of each format, by what is paid for each unit that comes back."""
    return [
        Offer(
            buy=BOX,
            of=BOX,
            format=key,
            price=packed.box_price,
            cost=partial(_paid_back, 1, found.box.mean, known.buying),
            what=f"{a(packed.name)} box",
        )
        for key, packed, found in _paid(known)
    ]


def _out_of_100(offer: Offer) -> str:
    cost = offer.now
    return "" if not cost else f"{tenths.half_up(100 / cost)} of 100 paid"


def break_buyer(known: Known) -> AimAdvice:
    """A slot or a box, whichever returns more of what is paid, if it is all of it; else wait."""
    slot, words = _slot(known)
    boxes = _boxes(known)
    if slot is None:
        return entry(BREAK_BUYER, NOT_KNOWN, words)
    wait = Offer(buy=WAIT, cost=partial(fixed, Fraction(1)))
    offers = [slot, *boxes, wait]
    chosen = best(offers) or wait
    rival = best(boxes)
    if rival is not None:
        words += f"; {rival.what} is expected to return {_out_of_100(rival)}"
    return decided(BREAK_BUYER, offers, chosen, lambda _: words, (SLOT, BOX))


def _slot(known: Known) -> tuple[Offer | None, str]:
    """The best slot at what is asked, or the average one of a headline case; its evidence, or why none."""
    main, headline = known.economics.main, known.economics.headline
    asked = known.asked
    if asked is not None:
        if asked.worth <= 0:
            return None, "the cards of the best slot bring nothing"
        offer = Offer(
            buy=SLOT,
            of=SLOT,
            format=headline,
            price=money.cents(asked.asked),
            cost=partial(_paid_back, 1, asked.worth, known.buying),
        )
        return offer, (
            f"the best slot, {asked.slot}, is asked at {money.show(asked.asked)}, which lands at "
            f"{known.landed(asked.asked)}, and its cards are expected to return {money.show(asked.worth)}: "
            f"{_out_of_100(offer)}"
        )
    found = known.returns.formats.get(headline) if isinstance(known.returns, Returns) else None
    teams = _teams(known)
    price, kind = main.case_price, main.case_kind
    if price is None and main.box_price is not None and main.boxes_per_case is not None:
        price, kind = main.box_price * main.boxes_per_case, "boxes"
    if not teams:
        return None, "no team is named on its cards, so a case has no slots"
    if price is None:
        return None, f"there is no price of a {main.name} case yet"
    each = money.cents(Fraction(price) / teams)
    cost = money.show(landed_exactly(price, known.buying) / teams)
    told = (
        f"{a(main.name)} case at {money.show(price)} ({'as boxes' if kind == 'boxes' else f'{kind} price'})"
    )
    words = f"{told}, shared by {teams} teams, lands at {cost} an average slot before the host's margin"
    if not isinstance(found, FormatReturns) or found.case is None or found.case.mean <= 0:
        why = "how many boxes a case has is not said" if found and not isinstance(found, Unknown) else ""
        return None, f"{words}; what its cards return is not known: {why or _no_returns(known)}"
    offer = Offer(
        buy=SLOT,
        of=SLOT,
        format=headline,
        price=each,
        cost=partial(_paid_back, teams, found.case.mean, known.buying),
    )
    worth = money.show(Fraction(found.case.mean) / teams)
    return offer, f"{words}, and its cards are expected to return {worth}: {_out_of_100(offer)}"


def _teams(known: Known) -> int:
    """How many teams share a case: the season's with a card, else all that cards name."""
    if isinstance(known.people, People) and known.people.teams_served:
        return len(known.people.teams_served)
    return len(known.content.teams) if isinstance(known.content, Content) else 0


def casual_opener(known: Known) -> AimAdvice:
    """The box that returns most of what is paid, if it is `FUN` of it or more; else wait."""
    boxes = _boxes(known)
    if not boxes:
        return entry(CASUAL_OPENER, NOT_KNOWN, _pack_only(known))
    wait = Offer(buy=WAIT, cost=partial(fixed, 1 / FUN))
    offers = [*boxes, wait]
    chosen = best(offers) or wait
    if best(boxes) is None:
        chosen = Offer(buy=NOT_KNOWN, cost=wait.cost)
    return decided(CASUAL_OPENER, offers, chosen, lambda told: _fun_words(known, told), (BOX,))


def _fun_words(known: Known, offer: Offer) -> str:
    packed = known.economics.formats[offer.format]
    found = next(one for key, _, one in _paid(known) if key == offer.format)
    if offer.price is None:
        words = (
            f"there is no price of {offer.what} yet; it is expected to return {money.show(found.box.mean)}"
        )
    else:
        words = (
            f"{offer.what} lands at {known.landed(offer.price)} and is expected to return "
            f"{money.show(found.box.mean)}, {_out_of_100(offer)}"
        )
        lost = landed_exactly(offer.price, known.buying) - Fraction(found.box.mean)
        if lost > 0 and packed.packs_per_box:
            words += f"; the fun costs {money.show(lost / packed.packs_per_box)} a pack"
    if found.box.p_return is not None and found.box.price is not None:
        chance = tenths.share_in_places(found.box.p_return)
        words += f". {chance} return the price of {money.show(found.box.price)}"
    return words + f"; at {money.show(found.box.even_price)} that would be an even chance"


def _pack_only(known: Known) -> str:
    """What a pack of the headline format costs, and why no more can be said."""
    main = known.economics.main
    words = f"what {a(main.name)} box returns is not known: {_no_returns(known)}"
    if main.box_price is None or not main.packs_per_box:
        return words
    pack = landed_exactly(main.box_price, known.buying) / main.packs_per_box
    return f"a pack of {a(main.name)} box lands at {money.show(pack)}; {words}"


def sensible(known: Known) -> PriceAdvice | Unknown:
    """The price of a headline box below which `FUN` of what it costs landed comes back on average."""
    main, headline = known.economics.main, known.economics.headline
    found = next((one for key, _, one in _paid(known) if key == headline), None)
    if found is None or isinstance(known.worth, Unknown):
        return Unknown(f"what {a(main.name)} box returns is not known: {_no_returns(known)}")
    box = next(one for one in _boxes(known) if one.format == headline)
    wait = Offer(buy=WAIT, cost=partial(fixed, 1 / FUN))
    below = turning_price([box, wait], wait, box.article)
    rests = _rests(known.worth.values, found)
    if below is None:
        sentence = f"No price makes {a(main.name)} box sensible: half of its shipping does not come back"
    else:
        sentence = f"By returns alone, a sensible {main.name} box under {money.show(below)}"
        if main.box_price is None:
            sentence += "; there is no price of one yet"
        else:
            sentence += (
                f"{'; it' if main.box_price < below else ', but it'} goes for {money.show(main.box_price)}"
            )
        sentence += ". At that and above, less than half of what it costs landed comes back on average"
    return PriceAdvice(format=headline, price=main.box_price, below=below, sentence=f"{sentence} ({rests}).")


def _rests(values: Values, found: FormatReturns) -> str:
    """What share of the cards' value is modelled or carried over, and what counts as nothing."""
    whole = "of the value of all copies is"
    if values.carried_over:
        words = f"{tenths.share(values.carried_over)} {whole} carried over from other releases"
    elif values.modelled_share:
        words = f"{tenths.share(values.modelled_share)} {whole} modelled"
    else:
        words = "by sold prices and bulk"
    return f"{words}, and cards without odds count as nothing" if found.left_out else words
