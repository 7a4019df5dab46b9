"""The price line: what the price says beside a verdict, and the amounts at which that turns.

The verdict says how good a release is, this whether to pay for it: buy where a box is expected to return what
it costs landed, open it for fun where that share comes back which the season takes for fair entertainment,
else wait. The amounts are those of the sections on returns and advice, and the line is made of nothing else,
so that it says the same from fresh facts and from a review.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from rating import money, text
from rating.review import PriceAdvice

if TYPE_CHECKING:
    from rating.facts.advice.value import Advice, AimAdvice
    from rating.facts.economics.value import Economics, FormatEconomics
    from rating.facts.facts import Facts
    from rating.facts.plain import Unknown
    from rating.facts.returns.value import FormatReturns, Returns

Says = Literal["buy", "fun", "wait", ""]
# the grade of a typical release, in tenths: a verdict is good whose band begins there or above
TYPICAL = 500
_FAIR = {"buy": "priced to buy", "fun": "worth opening for fun"}
# who does well with boxes all the same, though they do not pay by what they return
_STILL = {
    "set builder": "you build the set",
    "rookie hunter": "you hunt rookies",
    "autograph buyer": "you want autographs",
}
# an expected return from here on is told without cents: it is an estimate
_WHOLE_FROM = 20


def price_advice(facts: Facts) -> PriceAdvice:
    """The amounts that go with a verdict, as far as they are known: those of a box of the headline format."""
    # loaded here: what stands beside a recorded grade is made of its review alone
    from rating.facts.advice.value import Advice
    from rating.facts.economics.value import Economics
    from rating.facts.plain import Unknown
    from rating.facts.returns.value import Returns
    from rating.facts.values.value import Values

    costs = facts.economics if isinstance(facts.economics, Economics) else None
    main = costs.main if costs else None
    returned = _returned(facts.returns, costs.headline) if costs else None
    box = None if returned is None else returned.box
    between = None if returned is None else returned.mean_between
    valued = facts.returns.as_of if returned is not None and isinstance(facts.returns, Returns) else None
    advice = facts.advice if isinstance(facts.advice, Advice) else None
    fair = None if advice is None or isinstance(advice.price, Unknown) else advice.price.below
    found = PriceAdvice(
        price=_text(main.box_price if main else None),
        landed=_text(main.landed_box if main else None),
        even_price=_text(box.even_price if box else None),
        entertainment_price=_text(fair),
        mean=_text(box.mean if box else None),
        p_return=_text(box.p_return if box else None),
        p_return_landed=_text(box.p_landed if box else None),
        as_of=_as_of(facts, main),
        mean_low=_text(between[0] if between else None),
        mean_high=_text(between[1] if between else None),
        p_return_low=_text(box.p_low if box and between else None),
        p_return_high=_text(box.p_high if box and between else None),
        values_as_of=valued.isoformat() if valued else None,
        is_carried=isinstance(facts.values, Values) and bool(facts.values.carried_from),
    )
    if advice is None or costs is None or says(found) != "wait":
        return found
    return replace(found, still=tuple(dict.fromkeys(_still(advice, costs))))


def _returned(returns: Returns | Unknown, headline: str) -> FormatReturns | None:
    from rating.facts.returns.value import FormatReturns, Returns

    found = returns.formats.get(headline) if isinstance(returns, Returns) else None
    return found if isinstance(found, FormatReturns) else None


def _text(amount: Decimal | None) -> str | None:
    """Decimal text without an exponent."""
    return None if amount is None else f"{amount:f}"


def _as_of(facts: Facts, main: FormatEconomics | None) -> str | None:
    """The last day that the amounts rest on: that of the price, or of a later sale of its own."""
    days = [main.price_day] if main and main.price_day else []
    days += [one.day for one in facts.files.sales or () if one.day <= facts.as_of]
    return max(days).isoformat() if days else None


def _still(advice: Advice, costs: Economics) -> Iterator[str]:
    """Who is advised to buy boxes or a case all the same, aim by aim."""
    for one in advice.aims:
        if one.buy in {"box", "case"}:
            yield _way(one, costs)


def _way(one: AimAdvice, costs: Economics) -> str:
    """What somebody does for whom it pays, with which boxes."""
    name = costs.formats[one.format].name if one.format in costs.formats else one.format
    if one.aim not in _STILL:
        return f"you take a {name} {one.buy}"
    return f"{_STILL[one.aim]} with {name} {'boxes' if one.buy == 'box' else 'cases'}"


def says(advice: PriceAdvice) -> Says:
    """What the price says: buy, open it for fun, wait; nothing where a price or the returns are not known.

    Prices of other releases are no ground to buy, however much a box is expected to return by them.
    """
    if advice.price is None or advice.landed is None or advice.mean is None:
        return ""
    if Decimal(advice.mean) >= Decimal(advice.landed) and not advice.is_carried:
        return "buy"
    fair = advice.entertainment_price
    return "fun" if fair is not None and Decimal(advice.price) < Decimal(fair) else "wait"


def price_line(verdict: str, *, is_good: bool, advice: PriceAdvice, currency: str) -> str:
    """The sentence that stands beside a verdict.

    Parameters
    ----------
    verdict : in words of quality, '' where too much is open for one
    is_good : whether that is good, so that to wait goes against it
    currency : its three letters
    """
    lead, said = verdict or "Too early for a verdict", says(advice)

    def shown(amount: str | None) -> str:
        return money.told(Decimal(amount or 0), currency)

    if not said and advice.price is not None:
        return f"{lead}. Whether it is worth {shown(advice.price)} is open: what a box returns is not known."
    if not said and advice.mean is None:
        return f"{lead}. Neither the price of a box nor what it returns is known yet."
    if not said:
        return f"{lead}. No price is known yet. A box is expected to return {_turns(advice, currency)}."
    if said == "wait":
        words = "but wait" if is_good else "so wait"
    else:
        words = f"{'and' if is_good else 'but'} {_FAIR[said]}"
    head = f"{lead}, {words}: at {shown(advice.price)} a box is expected to return"
    if said == "buy":
        costs = f"against the {shown(advice.landed)} it costs with tax and shipping"
        return f"{head} {'; '.join([f'{_about(advice, currency)}, {costs}', *_even(advice, currency)])}."
    return " ".join([f"{head} {_turns(advice, currency)}.", *_still_told(advice.still)])


def _still_told(still: Iterable[str]) -> Iterator[str]:
    """For whom boxes make sense all the same, those of one format together."""
    by_boxes: dict[str, list[str]] = {}
    for one in still:
        what, _, boxes = one.partition(" with ")
        by_boxes.setdefault(boxes, []).append(what if boxes else one.removeprefix("you take "))
    for boxes, whats in by_boxes.items():
        if not boxes:
            yield f"It still makes sense to take {text.listed(whats, last='or')}."
            continue
        first, *rest = whats
        why = text.listed([first, *(one.removeprefix("you ") for one in rest)], last="or")
        yield f"{boxes} still make sense if {why}."


def _turns(advice: PriceAdvice, currency: str) -> str:
    """What is expected back, and the prices at which it would be an even chance and fair entertainment."""
    fair = advice.entertainment_price
    if fair is None:
        last = "is too little for its shipping at any price"
    elif advice.even_price is not None and Decimal(fair) < Decimal(advice.even_price):
        # shipping alone eats what comes back
        most = money.told(Decimal(fair), currency)
        last = f"because shipping comes on top, is worth opening for fun only up to {most}"
    else:
        last = f"is worth opening for fun up to {money.told(Decimal(fair), currency)}"
    even = "".join(f"{one}, and " for one in _even(advice, currency)) or "it "
    return f"{_about(advice, currency)}; {even}{last}"


def _even(advice: PriceAdvice, currency: str) -> list[str]:
    """The price that half of all boxes return, none where half of them return nothing."""
    if advice.even_price is None or not Decimal(advice.even_price):
        return []
    return [f"it would break even half the time at {money.told(Decimal(advice.even_price), currency)}"]


def _about(advice: PriceAdvice, currency: str) -> str:
    """What is expected back, and that other releases' prices say so."""
    amount = Decimal(advice.mean or 0)
    words = money.told(amount, currency, whole=amount >= _WHOLE_FROM)
    return f"{words}, going by other releases' prices" if advice.is_carried else words
