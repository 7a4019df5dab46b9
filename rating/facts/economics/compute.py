"""What taking part costs: per box, pack, card and hit, for every format and every dated price.

Landed cost is what a box costs until it is on the table: (price + shipping) x (1 + duty) x (1 + tax), with
the season's own shares (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Any

from rating import money, tenths, text
from rating.facts.context import Buying, PriceClass, SeasonContext
from rating.facts.economics.value import BY_ODDS, DatedPrice, Economics, FormatEconomics
from rating.facts.plain import NO_FORMAT, Unknown
from rating.release.checklist import Card
from rating.release.market import Price
from rating.release.promises import believed
from rating.release.release import Release
from rating.release.sheet import Format

# the price that the grade goes by: what a viewer would really pay, as far as it is known
_PREFERENCE = ("street", "restock", "presale", "list")


def economics(
    release: Release,
    season: SeasonContext,
    *,
    as_of: date,
    numbered: Mapping[str, Decimal] = MappingProxyType({}),
) -> Economics | Unknown:
    """The economics of a release from its prices up to a day.

    Parameters
    ----------
    numbered : numbered cards in a box by format, where it is known how they fall; they go before what is
        promised, which may speak of some of them alone
    """
    sheet = release.sheet
    if not sheet.formats:
        return NO_FORMAT
    own, foreign = _own_currency(release.prices or (), season.currency)
    known = {one.key for one in sheet.formats}
    prices = [one for one in own if one.day <= as_of and one.format in known]
    later = sum(one.day > as_of for one in own)
    left_out = []
    if foreign:
        left_out.append(f"{text.count(len(foreign), 'price')} in another currency than {season.currency}")
    if later:
        left_out.append(f"{text.count(later, 'price')} dated after the day it is graded for")
    believable, against = believed(
        sheet.formats, release.cards or (), release.parallels or (), release.odds or ()
    )
    if against:
        left_out.append(f"{against} promises that the odds contradict{BY_ODDS}")
    formats = {
        one.key: _format(one, [p for p in prices if p.format == one.key], release, season.buying, numbered)
        for one in believable
    }
    class_price = _launch_price(formats[sheet.headline], sheet.released_on)
    return Economics(
        headline=sheet.headline,
        formats=formats,
        price_class=season.frozen_class or class_of(class_price, season.classes),
        class_price=class_price,
        left_out=tuple(left_out),
    )


def class_of(price: Decimal | None, classes: Sequence[PriceClass]) -> str:
    """The name of the band that a box price falls in, '' where there is no price."""
    if price is None:
        return ""
    return next((band.name for band in classes if band.below is None or price < band.below), "")


def landed(price: Decimal | Fraction, buying: Buying) -> Decimal:
    """The price of an order with shipping, duty and tax, in half-up cents."""
    return money.cents(landed_exactly(price, buying))


def landed_exactly(price: Decimal | Fraction, buying: Buying) -> Fraction:
    """As `landed`, not rounded. An order of several boxes is shipped once."""
    shipped = Fraction(price) + Fraction(buying.shipping)
    return shipped * (1 + Fraction(buying.duty)) * (1 + Fraction(buying.tax))


def before_landing(amount: Decimal, buying: Buying) -> Decimal:
    """The highest price in cents of an order that costs no more than an amount landed, 0 where none does."""
    price = Fraction(amount) / (1 + Fraction(buying.duty)) / (1 + Fraction(buying.tax))
    cents = math.floor(100 * (price - Fraction(buying.shipping)))
    return Decimal(max(cents, 0)).scaleb(-2)


def box_of(price: Price, packed: Format) -> Decimal | None:
    """What a box costs at a dated price of a pack, box or case, in half-up cents."""
    if price.unit == "box":
        return money.cents(price.price)
    if price.unit == "pack":
        return None if packed.packs_per_box is None else money.cents(price.price * packed.packs_per_box)
    if packed.boxes_per_case is None:
        return None
    return money.cents(Fraction(price.price) / packed.boxes_per_case)


def latest(prices: Iterable[Price], kind: str, unit: str = "box") -> Price | None:
    """The last price of a kind and unit; of two on one day the later row."""
    found = [one for one in prices if one.kind == kind and one.unit == unit]
    return max(found, key=lambda one: (one.day, one.row), default=None)


def per_box(packed: Format, release: Release) -> tuple[dict[str, Decimal], str]:
    """Autographs, relics, hits and numbered cards in a box, and where the counts come from.

    Promises come first: a maker is held to them, and odds are rounded. Where the law of falling makes another
    number of them, as 3.48 of 3.5 autographs, that stands under chances and in the evidence of a score. Of
    what is not promised, odds tell the number, as packs over packs per copy.
    """
    promised = _promised(packed)
    counts, source = dict(promised), "guarantees" if promised else ""
    stated = _from_odds(packed, release) if release.odds and release.cards else {}
    for what in ("autographs", "relics", "numbered"):
        if what not in counts and what in stated:
            counts[what] = stated[what]
            source = "guarantees and odds" if promised else "odds"
            if what != "numbered" and "both" in stated:
                counts.setdefault("both", stated["both"])  # counted with both kinds, and still one card
    if "hits" not in counts and counts.keys() & {"autographs", "relics"}:
        both = counts.pop("both", Decimal(0))
        counts["hits"] = counts.get("autographs", Decimal(0)) + counts.get("relics", Decimal(0)) - both
    counts.pop("both", None)
    return counts, source


def _promised(packed: Format) -> dict[str, Decimal]:
    found: dict[str, Decimal] = {}
    names = {
        "autograph": ("autographs",),
        "relic": ("relics",),
        "autograph relic": ("autographs", "relics", "both"),
        "hit": ("hits",),
        "numbered": ("numbered",),
    }
    for one in packed.guarantees:
        share = packed.in_box(one.per)
        for name in names.get(one.what, ()) if share is not None else ():
            found[name] = found.get(name, Decimal(0)) + one.count * (share or 0)
    return {name: tenths.six_digits(count) for name, count in found.items()}


def _from_odds(packed: Format, release: Release) -> dict[str, Decimal]:
    """Expected copies in a box by the odds; a subset's kind is that of its cards."""
    if packed.packs_per_box is None:
        return {}
    kinds: dict[str, Card] = {}
    for card in release.cards or ():
        kinds.setdefault(card.subset, card)
    kinds = {text.key(subset): card for subset, card in kinds.items()}
    runs = {(text.key(one.subset), text.key(one.parallel)): one.print_run for one in release.parallels or ()}
    found: dict[str, Fraction] = {}
    for line in release.odds or ():
        subset = text.key(line.subset)
        if line.format != packed.key or subset not in kinds:
            continue
        card = kinds[subset]
        copies = Fraction(packed.packs_per_box) / Fraction(line.packs_per_copy)
        run = runs.get((subset, text.key(line.parallel))) if line.parallel else card.print_run
        for name, counts in (
            ("autographs", card.has_signature),
            ("relics", card.kind in {"relic", "autograph relic"}),
            ("both", card.kind == "autograph relic"),
            ("numbered", run is not None),
        ):
            if counts:
                found[name] = found.get(name, Fraction(0)) + copies
    return {name: tenths.six_digits(count) for name, count in found.items()}


def _own_currency(prices: Sequence[Price], currency: str) -> tuple[list[Price], list[Price]]:
    own = [one for one in prices if one.currency in {"", currency}]
    return own, [one for one in prices if one.currency not in {"", currency}]


def _format(
    packed: Format,
    prices: list[Price],
    release: Release,
    buying: Buying,
    numbered: Mapping[str, Decimal],
) -> FormatEconomics:
    counts, source = per_box(packed, release)
    if packed.key in numbered:
        counts["numbered"] = numbered[packed.key]
    dated = sorted(prices, key=lambda one: (one.day, one.row))
    lines = tuple(_line(one, packed, counts, buying) for one in dated)
    street, listed = _last(lines, "street"), _last(lines, "list")
    found = FormatEconomics(
        name=packed.name,
        cards_per_pack=packed.cards_per_pack,
        packs_per_box=packed.packs_per_box,
        boxes_per_case=packed.boxes_per_case,
        cards_per_box=packed.cards_per_box,
        autographs_per_box=counts.get("autographs"),
        relics_per_box=counts.get("relics"),
        hits_per_box=counts.get("hits"),
        numbered_per_box=counts.get("numbered"),
        counts_from=source,
        list_price=listed.box if listed else None,
        street_price=street.box if street else None,
        restocks=len({one.day for one in prices if one.kind == "restock"}),
        sources=len({one.source for one in prices if one.kind in {"street", "restock"} and one.source}),
        prices=lines,
        **_NO_PRICE,
    )
    best = next((last for kind in _PREFERENCE if (last := _last(lines, kind)) is not None), None)
    case = next((one for one in reversed(dated) if one.unit == "case"), None)
    return _with_case(_with_box(found, best), case, prices, packed, buying)


# of a format that nobody has seen a price of
_NO_PRICE: Mapping[str, Any] = dict.fromkeys(
    (
        "box_price",
        "price_day",
        "landed_box",
        "per_pack",
        "per_card",
        "per_hit",
        "per_numbered",
        "case_price",
        "case_discount",
    )
) | {"price_kind": ""}


def _with_box(found: FormatEconomics, best: DatedPrice | None) -> FormatEconomics:
    """The format at the price that the grade goes by."""
    if best is None:
        return found
    return replace(
        found,
        box_price=best.box,
        price_kind=best.kind,
        price_day=best.day,
        landed_box=best.landed_box,
        per_pack=best.per_pack,
        per_card=best.per_card,
        per_hit=best.per_hit,
        per_numbered=best.per_numbered,
    )


def _with_case(
    found: FormatEconomics, case: Price | None, prices: Sequence[Price], packed: Format, buying: Buying
) -> FormatEconomics:
    """The format with its last case; of two on one day the later row."""
    if case is None:
        return found
    price = money.cents(case.price)
    return replace(
        found,
        case_price=price,
        case_kind=case.kind,
        landed_case=landed(price, buying),
        case_discount=_discount(case, prices, packed),
    )


def _last(lines: Sequence[DatedPrice], kind: str) -> DatedPrice | None:
    """The last line of a kind that prices a box; a box price goes before one made from packs or cases."""
    found = [one for one in lines if one.kind == kind and one.box is not None]
    boxes = [one for one in found if one.unit == "box"]
    return (boxes or found)[-1] if found else None


def _line(one: Price, packed: Format, counts: dict[str, Decimal], buying: Buying) -> DatedPrice:
    box = box_of(one, packed)
    return DatedPrice(
        day=one.day,
        unit=one.unit,
        kind=one.kind,
        price=money.cents(one.price),
        box=box,
        per_pack=_each(box, packed.packs_per_box),
        per_card=_each(box, packed.cards_per_box),
        per_hit=_each(box, counts.get("hits")),
        per_numbered=_each(box, counts.get("numbered")),
        landed_box=None if box is None else landed(box, buying),
        source=one.source,
    )


def _each(box: Decimal | None, number: Decimal | int | None) -> Decimal | None:
    if box is None or not number:
        return None
    return money.cents(Fraction(box) / Fraction(number))


def _discount(case: Price, prices: Sequence[Price], packed: Format) -> Decimal | None:
    """How much cheaper a box is in a case, as a share, against the box price of the same kind."""
    if packed.boxes_per_case is None:
        return None
    box = latest(prices, case.kind)
    if box is None or not box.price:
        return None
    whole = box.price * packed.boxes_per_case
    return tenths.six_digits((whole - case.price) / whole)


def _launch_price(main: FormatEconomics, released_on: date | None) -> Decimal | None:
    """The street price at launch: the first from the release date on, else the last list price."""
    if released_on is not None:
        for one in main.prices:
            if one.kind == "street" and one.box is not None and one.day >= released_on:
                return one.box
    return main.list_price or main.street_price or main.box_price
