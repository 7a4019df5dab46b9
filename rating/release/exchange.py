"""Amounts in other money, brought into the season's by the rates that its host gives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

from rating.release.market import Price, Sale, SlotPrice
from rating.release.release import Release

_Priced = TypeVar("_Priced", Price, SlotPrice)


def converted(release: Release, rates: Mapping[str, Decimal]) -> Release:
    """The release with prices, sales and slot prices of known rates in the season's currency, exact.

    What is in money without a rate stays as it is, to be set aside and counted.

    Parameters
    ----------
    rates : what one unit of a currency is in the season's, by its three letters
    """
    if not rates:
        return release
    return replace(
        release,
        prices=_all(release.prices, rates),
        sales=None if release.sales is None else tuple(_sale(one, rates) for one in release.sales),
        slots=_all(release.slots, rates),
    )


def _all(given: Iterable[_Priced] | None, rates: Mapping[str, Decimal]) -> tuple[_Priced, ...] | None:
    if given is None:
        return None
    return tuple(
        one._replace(price=one.price * rates[one.currency], currency="") if one.currency in rates else one
        for one in given
    )


def _sale(one: Sale, rates: Mapping[str, Decimal]) -> Sale:
    if one.currency not in rates:
        return one
    rate = rates[one.currency]
    postage = None if one.postage is None else one.postage * rate
    return one._replace(price=one.price * rate, postage=postage, currency="")
