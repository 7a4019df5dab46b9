"""Money without a rate stays as it is; with one it becomes the season's, exactly."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from rating.release.exchange import converted
from rating.release.market import Price, Sale, SlotPrice
from rating.release.release import Release
from rating.release.sheet import Sheet

DAY = date(2031, 4, 1)
SHEET = Sheet(
    slug="r", title="R", maker="M", line="L", released_on=None, formats=(), headline="", disclosure=None
)


def price(amount, currency):
    return Price(DAY, "hobby", "box", "street", Decimal(amount), currency, "", 2)


def sale(amount, postage, currency):
    paid = None if postage is None else Decimal(postage)
    return Sale(DAY, "Ink", "", "1", Decimal(amount), paid, currency, "", "", "t", "", "", 2)


RELEASE = Release(
    sheet=SHEET,
    prices=(price("100", "EUR"), price("90", "GBP"), price("80", "")),
    sales=(sale("10.50", "2", "EUR"), sale("10.50", None, "EUR"), sale("7", "1", "USD")),
    slots=(SlotPrice(DAY, "hobby", "Rooks", Decimal(50), "fixed", None, "EUR", "", 2),),
)


def test_amounts_of_a_known_rate_become_the_seasons():
    """At 1.08, 100 is 108, 10.50 is 11.34 and its postage 2.16; pounds have no rate."""
    found = converted(RELEASE, {"EUR": Decimal("1.08")})
    assert [(one.price, one.currency) for one in found.prices] == [
        (Decimal("108.00"), ""),
        (Decimal(90), "GBP"),
        (Decimal(80), ""),
    ]
    assert [(one.price, one.postage, one.currency) for one in found.sales] == [
        (Decimal("11.3400"), Decimal("2.16"), ""),
        (Decimal("11.3400"), None, ""),
        (Decimal(7), Decimal(1), "USD"),
    ]
    assert found.slots[0].price == Decimal("54.00")


def test_without_rates_and_without_tables_nothing_changes():
    """A table that is not there stays so."""
    assert converted(RELEASE, {}) is RELEASE
    bare = replace(RELEASE, prices=None, sales=None, slots=None)
    assert converted(bare, {"EUR": Decimal("1.08")}) == bare
