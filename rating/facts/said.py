"""How chances and prices are said of boxes, cards and people, in words that several sections share."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from rating import tenths, text

# of what is rarer one says that there is none: no model of prices is that exact
_PRACTICALLY_NONE = Decimal("0.00001")
# what a box does at a price of each kind
_GOES = {
    "list": "lists at",
    "presale": "is on presale at",
    "restock": "was restocked at",
    "street": "sells for",
}


def goes(kind: str) -> str:
    """The verb that goes with a kind of price: a box 'sells for' its street price, 'lists at' the maker's."""
    return _GOES.get(kind, "sells for")


def some(chance: Decimal, one: str, many: str) -> str:
    """How many of some things, with their noun: '6 % of boxes', '1 box in 24', 'every box'.

    A chance kept in six places says with 0 no more than that it is smaller.
    """
    words = tenths.share_in_places(chance)
    if is_one(chance):
        if chance == 1:
            return f"every {one}"
        if chance < _PRACTICALLY_NONE:
            return f"practically no {one}"
        return f"1 {one} in {words.removeprefix('1 in ')}"
    return f"{words} of {many}"


def do(chance: Decimal, one: str, many: str, verb: str, verbs: str) -> str:
    """As `some`, with the verb that fits: '1 box in 24 returns', '6 % of boxes return'."""
    return f"{some(chance, one, many)} {verb if is_one(chance) else verbs}"


def is_one(chance: Decimal) -> bool:
    """Whether `some` speaks of one thing, so that a verb for one follows."""
    return chance == 1 or "%" not in tenths.share_in_places(chance)


def part(share: Decimal) -> str:
    """A part of a whole in per cent, neither 0 nor 100 where it is not quite: '60 %', 'under 1 %'."""
    percent = tenths.percent(share)
    if not percent and share:
        return "under 1 %"
    return "over 99 %" if percent == 100 and share < 1 else f"{percent} %"


def usable_sales(number: int) -> str:
    """How few sales a release has of its own: 'there are only 3 usable sales so far'."""
    if not number:
        return "there are no usable sales yet"
    return f"there {'is' if number == 1 else 'are'} only {text.count(number, 'usable sale')} so far"


# where what cards are worth comes from
SOLD, MODELLED = "is known from sales", "is estimated from similar cards"
BORROWED, BULK = "comes from other releases' prices", "is bulk"


def worth_of_all(parts: Iterable[tuple[Decimal | None, str]]) -> str:
    """A sentence on what parts of the worth of all copies come from; blank where no part is known."""
    known = [(share, where) for share, where in parts if share]
    if not known:
        return ""
    if len(known) == 1:
        return f"{of_the_value(*known[0])}."
    told = [f"{part(share)} {where}" for share, where in known]
    return f"Of the total value of all cards, {text.listed(told)}."


def of_the_value(share: Decimal, where: str) -> str:
    """How much of what cards are worth comes from somewhere: '59 % of the cards' value is bulk'."""
    return f"{'All' if share == 1 else sentence(part(share))} of the cards' value {where}"


def sentence(words: str) -> str:
    """Words with a capital first letter."""
    return words[:1].upper() + words[1:]


def boxes(name: str) -> tuple[str, str]:
    """One box of a format and several: 'Hobby box', 'Hobby boxes'."""
    return f"{name} box", f"{name} boxes"


def a(noun: str) -> str:
    """A noun with its article: 'a Hobby box', 'an Ultra box'."""
    return f"{'an' if noun[:1] in 'AEIOUaeiou' else 'a'} {noun}"
