"""What a sentence of a sell sheet says: packing and prices, each with its tokens."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from rating.release.intake import days, lexicon
from rating.release.intake.days import Money
from rating.release.intake.phrases import UNITS, Phrase
from rating.release.intake.words import fold

_PAIRS = (("c", "k", "cards_per_pack"), ("k", "b", "packs_per_box"), ("b", "e", "boxes_per_case"))
_PACKED = (
    "(?P<n>n)j{0,3}{u}p{1,6}(?P<f>f?)j{0,3}{v}",  # 12 cards per pack
    "(?P<f>f?)j{0,3}{v}h{0,4}:?(?P<n>n)j{0,3}{u}(?!p{1,6}j{0,3}f?[ckbe])",  # a pack holds 12
    "(?P<f>f?){v}o(?P<n>n)j{0,3}{u}",  # packs of 12 cards
    "(?P<n>n)j{0,3}{u}Mp{0,6}(?P<f>f?)j{0,3}{v}",  # 12 packs make a box
    "(?P<n>n){u}(?P<f>f?){v}",  # a 12-pack box
    "n{v}[hop]{1,4}(?P<f>f?)(?P<n>n){u}",  # 1 pack with 20 cards per box
    "(?<!n){u}(?<!nj{u})p{1,6}(?P<f>f?){v}[:=-]?(?P<n>n)(?!j{0,3}[ckbe])",  # Cards per pack: 12
)
_PACKING = (
    *(
        (name, re.compile(form.replace("{u}", u).replace("{v}", v)))
        for u, v, name in _PAIRS
        for form in _PACKED
    ),
    ("cards_per_pack", re.compile(r"(?P<f>f?)ko(?P<n>n)(?=[,.;)(]|\Z)")),  # packs of 12
    ("packs_per_box", re.compile(r"(?P<n>n)(?P<f>f?)kon")),  # 12 packs of 5
    (
        "packs_per_box",
        re.compile(r"(?P<n>n)k[hop]{1,4}ncp{1,6}(?P<f>f?)j{0,3}b"),
    ),  # 1 pack with 20 cards per box
    ("boxes_per_case", re.compile(r"(?P<n>n)(?P<f>f)p{1,6}e")),  # 24 blasters per case
)
_PRICES = (
    re.compile(r"(?P<m>m)[p(]{0,6}(?P<f>f?)j{0,3}(?P<u>[kbe])"),  # $99 a box
    re.compile(
        r"(?P<f>f?)j{0,3}(?P<u>[kbe])(?:[wh:=-]|p(?!p)){0,10}?(?P<m>m)(?!p{0,6}f?[kbe])"
    ),  # SRP box: $99
)
# 'with the tax in': the price that a buyer pays is the maker's own
_TAX_IN = re.compile(
    r"\b(?:with (?:the )?|incl(?:uding|\.)?\s+)(?:sales )?(?:tax|vat)\b(?:\s+in(?:cluded)?\b)?"
    r"|\b(?:sales )?(?:tax|vat)\s+(?:is\s+)?(?:in|incl\.?|included)\b",
    re.IGNORECASE,
)
_LIST = lexicon.listed("packing", "price", "list")
_OTHER = lexicon.listed("packing", "price", "other")
_LOOSE = lexicon.listed("packing", "certainty", "loose")


@dataclass(frozen=True, slots=True)
class Packing:
    """So many of one thing in another; `format` is blank where the sentence names none here."""

    name: str
    value: int | Decimal
    format: str
    sure: bool
    span: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Priced:
    """A price with its unit, blank where none stands beside it."""

    unit: str
    money: Money
    format: str
    sure: bool
    span: tuple[int, int]


def packing(phrase: Phrase) -> Iterator[Packing]:
    """What the phrase says of cards in a pack, packs in a box and boxes in a case."""
    seen: set[tuple[str, int]] = set()
    for name, pattern in _PACKING:
        for found in pattern.finditer(phrase.codes):
            place = found.start("n")
            if (name, place) in seen:
                continue
            seen.add((name, place))
            number = phrase.tokens[place].value
            value = int(number) if number == int(number) else number
            yield Packing(name, value, _format(phrase, found), not _is_loose(phrase, place), found.span())
    told = {name for name, _ in seen}
    yield from (one for one in _side_by_side(phrase, {place for _, place in seen}) if one.name not in told)


def _side_by_side(phrase: Phrase, taken: set[int]) -> Iterator[Packing]:
    """Counts that stand side by side and need no word between: '20 packs, 6 cards, 8 boxes to the case'."""
    counted: dict[str, list[re.Match[str]]] = {}
    for found in re.finditer(r"nj{0,3}(?P<u>[ckb])(?!p{1,6}f?j{0,3}[be])", phrase.codes):
        counted.setdefault(found["u"], []).append(found)
    units = set(phrase.codes) & set(UNITS)
    if len(counted) < 2 and not ("c" in counted and len(taken) > 0):
        return
    for child, parent, name in _PAIRS:
        same = counted.get(child, ())
        grand = "be" if child == "k" else parent
        if len(same) != 1 or same[0].start() in taken or not (units & {parent, *grand} or child == "k"):
            continue
        number = phrase.tokens[same[0].start()].value
        value = int(number) if number == int(number) else number
        yield Packing(name, value, "", not _is_loose(phrase, same[0].start()), same[0].span())


def prices(phrase: Phrase) -> Iterator[Priced]:
    """The maker's own prices in the phrase; no dealer's, street or former price."""
    if is_another_price(phrase):
        return
    phrase = _with_plain_amounts(phrase)
    seen: set[int] = set()
    for pattern in _PRICES:
        for found in pattern.finditer(phrase.codes):
            place = found.start("m")
            if place in seen or not _are_of_price(phrase, found.start("u") + 1, place):
                continue
            seen.add(place)
            unit = UNITS[found["u"]]
            money = phrase.tokens[place].value
            yield Priced(unit, money, _format(phrase, found), not _is_loose(phrase, place), found.span())
    for place, one in enumerate(phrase.tokens):
        if one.code == "m" and place not in seen:
            yield Priced("", one.value, "", sure=False, span=(place, place + 1))


def _are_of_price(phrase: Phrase, first: int, last: int) -> bool:
    """Whether the words between a unit and an amount are of its price and no others."""
    return all(fold(one.word) in _LIST for one in phrase.tokens[first:last] if one.code == "w")


def _with_plain_amounts(phrase: Phrase) -> Phrase:
    """The phrase with plain numbers as amounts, where its words say price and no amount has a currency."""
    words = {fold(one.word) for one in phrase.tokens if one.code in "wp"}
    if "m" in phrase.codes or _LIST.isdisjoint(words - {"at"}):
        return phrase
    tokens = list(phrase.tokens)
    for place, one in enumerate(tokens):
        after = phrase.codes[place + 1 : place + 2]
        is_apart = one.start == 0 or phrase.text[one.start - 1] in " (:="
        if one.code == "n" and is_apart and after not in {"c", "k", "b", "w", "s"} and one.word[:1].isdigit():
            money = days.read_money(one.word, "", ".")
            if money is not None:
                tokens[place] = replace(one, code="m", value=money)
    return Phrase(phrase.text, tuple(tokens), "".join(one.code for one in tokens))


def _format(phrase: Phrase, found: re.Match[str]) -> str:
    return str(phrase.tokens[found.start("f")].value) if found["f"] else ""


def _is_loose(phrase: Phrase, place: int) -> bool:
    before = phrase.tokens[max(0, place - 2) : place]
    return any(fold(one.word) in _LOOSE for one in before)


def is_another_price(phrase: Phrase) -> bool:
    """Whether the words speak of another price than the maker's own."""
    said = _TAX_IN.sub(" ", phrase.text)
    words = {fold(one.word) for one in phrase.tokens if one.code in "wp" and one.word in said}
    return not _OTHER.isdisjoint(words) and not {"suggested", "srp", "msrp", "list", "rrp", "uvp"} & words
