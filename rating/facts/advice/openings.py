"""Advice for who opens for fun or joins a break, and the price at which a headline box is sensible."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import partial

from rating import money, tenths, text
from rating.facts import said
from rating.facts.advice.known import BOX, CASE, SLOT, WAIT, Known, decided, entry, fixed
from rating.facts.advice.value import NOT_KNOWN, AimAdvice, PriceAdvice
from rating.facts.content.value import Content
from rating.facts.context import Buying
from rating.facts.economics.compute import landed_exactly
from rating.facts.economics.value import FormatEconomics
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.returns.value import FormatReturns, Returns
from rating.facts.said import a
from rating.facts.values.value import Values
from rating.numerics.offers import Offer, best, turning_price

BREAK_BUYER, CASUAL_OPENER = "break buyer", "casual opener"


def _paid_back(worth: Fraction, buying: Buying, price: Decimal) -> Fraction:
    """What is paid for each unit of money that comes back, landed as an order of its own."""
    return landed_exactly(price, buying) / worth


def _fun(known: Known) -> Offer:
    """To wait, unless the season's share of what is paid comes back, which is fair as entertainment."""
    return Offer(buy=WAIT, cost=partial(fixed, 1 / Fraction(known.buying.entertainment)))


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
    return one.why if isinstance(one, Unknown) else "its cards sell for nothing"


def _boxes(known: Known) -> list[Offer]:
    """A box of each format, by what is paid for each unit that comes back."""
    return [
        Offer(
            buy=BOX,
            of=BOX,
            format=key,
            price=packed.box_price,
            cost=partial(_paid_back, Fraction(found.box.mean), known.buying),
            what=f"{a(packed.name)} box",
        )
        for key, packed, found in _paid(known)
    ]


def _cases(known: Known) -> list[Offer]:
    """A case of each format that has a price of one, in the same way."""
    return [
        Offer(
            buy=CASE,
            of=CASE,
            format=key,
            price=packed.a_case,
            cost=partial(_paid_back, Fraction(found.case.mean), known.buying),
            what=f"{a(packed.name)} case",
        )
        for key, packed, found in _paid(known)
        if packed.a_case is not None and found.case is not None and found.case.mean > 0
    ]


def _out_of_100(offer: Offer) -> str:
    cost = offer.now
    return "" if not cost else f"{tenths.half_up(100 / cost)} % of what you pay"


def break_buyer(known: Known) -> AimAdvice:
    """A slot, a box or a case, whichever returns more of what is paid, if it is all of it; else wait."""
    slot, words = _slot(known)
    # without asked prices a slot is a share of the case, so the case is no rival of it
    boxes = [*_boxes(known), *(_cases(known) if known.asked is not None else [])]
    if slot is None:
        return entry(BREAK_BUYER, NOT_KNOWN, words)
    wait = Offer(buy=WAIT, cost=partial(fixed, Fraction(1)))
    offers = [slot, *boxes, wait]
    chosen = best(offers) or wait
    rival = best(boxes)
    if rival is not None:
        words += f". {said.sentence(rival.what)} is expected to return {_out_of_100(rival)}"
    return decided(BREAK_BUYER, offers, chosen, lambda _: words, (SLOT, BOX, CASE))


def _slot(known: Known) -> tuple[Offer | None, str]:
    """The best slot at what is asked, or the average one of a headline case; its evidence, or why none."""
    main, headline = known.economics.main, known.economics.headline
    asked = known.asked
    if asked is not None:
        if asked.worth <= 0:
            return None, "the cards of the best slot sell for nothing"
        offer = Offer(
            buy=SLOT,
            of=SLOT,
            format=headline,
            price=money.cents(asked.asked),
            cost=partial(_paid_back, Fraction(asked.worth), known.buying),
        )
        return offer, (
            f"the best slot is {asked.slot}: listed at {known.told(asked.asked)}, it costs "
            f"{known.landed(asked.asked)} with tax and shipping. Its cards are expected to return "
            f"{known.told(asked.worth)}, {_out_of_100(offer)}"
        )
    found = known.returns.formats.get(headline) if isinstance(known.returns, Returns) else None
    teams = _teams(known)
    order = None if main.boxes_per_case is None else main.of_boxes(main.boxes_per_case)
    if not teams:
        return None, "the checklist names no teams, so a case cannot be split by team"
    if order is None:
        return None, f"there is no price for a {main.name} case yet"
    each = money.cents(order.price / teams)
    words = (
        f"{a(main.name)} case costs {known.told(order.price)} ({main.named(order)}). Split across "
        f"{text.count(teams, 'team')}, that is {known.told(each)} a slot on average, or {known.landed(each)} "
        "with tax and shipping, without a margin for the host"
    )
    if not isinstance(found, FormatReturns) or found.case is None or found.case.mean <= 0:
        return None, f"{words}. What its cards return is not known: {_no_returns(known)}"
    offer = Offer(
        buy=SLOT,
        of=SLOT,
        format=headline,
        price=each,
        cost=partial(_paid_back, Fraction(found.case.mean) / teams, known.buying),
    )
    worth = known.told(Fraction(found.case.mean) / teams)
    return offer, f"{words}. A slot's cards are expected to return {worth}, {_out_of_100(offer)}"


def _teams(known: Known) -> int:
    """How many teams share a case: the season's with a card, else all that cards name."""
    if isinstance(known.people, People) and known.people.teams_served:
        return len(known.people.teams_served)
    return len(known.content.teams) if isinstance(known.content, Content) else 0


def casual_opener(known: Known) -> AimAdvice:
    """The box or case that returns most of what is paid, if it is fair as entertainment; else wait."""
    boxes = [*_boxes(known), *_cases(known)]
    if not boxes:
        return entry(CASUAL_OPENER, NOT_KNOWN, _pack_only(known))
    wait = _fun(known)
    offers = [*boxes, wait]
    chosen = best(offers) or wait
    if best(boxes) is None:
        chosen = Offer(buy=NOT_KNOWN, cost=wait.cost)
    return decided(CASUAL_OPENER, offers, chosen, lambda told: _fun_words(known, told), (BOX, CASE))


def _fun_words(known: Known, offer: Offer) -> str:
    packed = known.economics.formats[offer.format]
    found = next(one for key, _, one in _paid(known) if key == offer.format)
    opened = found.case if offer.of == CASE and found.case is not None else found.box
    packs = (packed.packs_per_box or 0) * ((packed.boxes_per_case or 0) if offer.of == CASE else 1)
    if offer.price is None:
        words = f"there is no price for {offer.what} yet; it is expected to return {known.told(opened.mean)}"
    else:
        words = (
            f"with tax and shipping {offer.what} costs {known.landed(offer.price)} and is expected to return "
            f"{known.told(opened.mean)}, {_out_of_100(offer)}"
        )
        lost = landed_exactly(offer.price, known.buying) - Fraction(opened.mean)
        if lost > 0 and packs:
            words += f", so the fun costs you {known.told(lost / packs)} a pack"
    if opened.p_return is not None and opened.price is not None:
        what = ("case", "cases") if opened is found.case else ("box", "boxes")
        back = said.do(opened.p_return, *what, "returns its", "return their")
        words += f". {said.sentence(back)} price of {known.told(opened.price)}"
    one = "a case" if opened is found.case else "a box"
    return f"{words}; at {known.told(opened.even_price)} {one} would break even half the time"


def _pack_only(known: Known) -> str:
    """What a pack of the headline format costs, and why no more can be said."""
    main = known.economics.main
    words = f"what {a(main.name)} box returns is not known: {_no_returns(known)}"
    if main.box_price is None or not main.packs_per_box:
        return words
    pack = landed_exactly(main.box_price, known.buying) / main.packs_per_box
    return (
        f"with tax and shipping a pack of {a(main.name)} box costs {known.told(pack)}. {said.sentence(words)}"
    )


def sensible(known: Known) -> PriceAdvice | Unknown:
    """The price of a headline box below which it is fair as entertainment, by the season's share."""
    main, headline = known.economics.main, known.economics.headline
    found = next((one for key, _, one in _paid(known) if key == headline), None)
    if found is None or isinstance(known.worth, Unknown):
        return Unknown(f"what {a(main.name)} box returns is not known: {_no_returns(known)}")
    box = next(one for one in _boxes(known) if one.format == headline)
    wait = _fun(known)
    below = turning_price([box, wait], wait, box.article)
    rests = _rests(known.worth.values, found)
    part = known.buying.entertainment
    share = "half" if part * 2 == 1 else f"{tenths.percent(part)} %"
    back = f"get back at least {share} of what you pay, tax and shipping included"
    if below is None:
        fair = f"It is worth opening for fun at no price: on average you never {back}"
    else:
        fair = f"Below {known.told(below)} it is worth opening for fun: on average you {back}"
    even = f"At {known.told(found.box.even_price)} {a(main.name)} box would break even half the time"
    now = "There is no price for one yet"
    if main.box_price is not None:
        now = f"It now sells for {known.told(main.box_price)}"
    return PriceAdvice(
        format=headline,
        price=main.box_price,
        below=below,
        sentence=f"{even}. {fair}. {now}. {rests}.",
    )


def _rests(values: Values, found: FormatReturns) -> str:
    """What share of the cards' value is modelled or carried over, and what counts as nothing."""
    if values.carried_over:
        words = said.of_the_value(values.carried_over, said.BORROWED)
    elif values.modelled_share:
        words = said.of_the_value(values.modelled_share, said.MODELLED)
    else:
        words = "None of the cards' value is estimated"
    return f"{words}; cards without odds are counted as worth nothing" if found.left_out else words
