"""What taking part costs: every figure by hand arithmetic beside it."""

from __future__ import annotations

import dataclasses
import random
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.facts.context import Buying, PriceClass, SeasonContext
from rating.facts.economics import compute as rules
from rating.facts.economics.value import Economics
from rating.facts.plain import Unknown
from rating.release.checklist import Card, Odds, Parallel
from rating.release.market import Price
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet

CENT = Decimal("0.01")
TODAY = date(2031, 7, 15)
CLASSES = (
    PriceClass(name="everyday", below=Decimal(60)),
    PriceClass(name="middle", below=Decimal(250)),
    PriceClass(name="premium", below=None),
)
SEASON = SeasonContext(
    name="Lantern Coast 2031",
    currency="USD",
    teams=(),
    rookies=None,
    classes=CLASSES,
    buying=Buying(tax=Decimal("0.06"), shipping=Decimal("6.50"), duty=Decimal("0.1")),
    aliases={},
)


def promise(what, count, per="box", **more):
    """A promise of the maker."""
    return Guarantee(what=what, count=Decimal(count), per=per, hard=True, **more)


HOBBY = Format(
    key="hobby",
    name="Hobby",
    cards_per_pack=Decimal(8),
    packs_per_box=14,
    boxes_per_case=12,
    guarantees=(promise("autograph", 3), promise("relic", 6, "case"), promise("numbered", 7)),
)
RETAIL = Format(
    key="retail", name="Retail", cards_per_pack=Decimal("5.5"), packs_per_box=24, boxes_per_case=None
)


def price(amount, kind="street", unit="box", day=(2031, 4, 1), key="hobby", currency="", row=0, source="x"):
    """A dated price."""
    price.row += 1
    return Price(date(*day), key, unit, kind, Decimal(amount), currency, source, row or price.row)


price.row = 1


def card(subset, kind, number="1", print_run=None):
    """A card of a kind."""
    return Card(subset, kind, number, ("Ada",), (), False, print_run, "", "", False, False, "", 2)


def release(*prices, formats=(HOBBY, RETAIL), released=date(2031, 3, 12), **tables):
    """A release with these prices."""
    sheet = Sheet(
        slug="halyard",
        title="Halyard",
        maker="Wickfield",
        line="Halyard",
        released_on=released,
        formats=formats,
        headline=formats[0].key if formats else "",
        disclosure=None,
    )
    return Release(sheet=sheet, prices=prices, **tables)


def facts(*prices, season=SEASON, as_of=TODAY, **more) -> Economics:
    """The economics of a release with these prices."""
    found = rules.economics(release(*prices, **more), season, as_of=as_of)
    assert isinstance(found, Economics)
    return found


def test_a_box_is_broken_down_to_pack_card_hit_and_numbered_card():
    """164.95 a box: 14 packs, 112 cards, 3 + 6/12 = 3.5 hits, 7 numbered ones."""
    one = facts(price("164.95")).main
    assert (one.cards_per_box, one.autographs_per_box, one.relics_per_box, one.hits_per_box) == (
        Decimal(112),
        Decimal(3),
        Decimal("0.5"),
        Decimal("3.5"),
    )
    assert one.box_price == Decimal("164.95")
    assert one.per_pack == Decimal("11.78")  # 164.95 / 14 = 11.7821
    assert one.per_card == Decimal("1.47")  # 164.95 / 112 = 1.47277
    assert one.per_hit == Decimal("47.13")  # 164.95 / 3.5 = 47.12857
    assert one.per_numbered == Decimal("23.56")  # 164.95 / 7 = 23.5643
    assert one.counts_from == "guarantees"


def test_the_landed_cost_adds_shipping_then_duty_then_tax():
    """(164.95 + 6.50) x 1.1 x 1.06 = 199.9107, hence 199.91; without any of them it is the price."""
    assert facts(price("164.95")).main.landed_box == Decimal("199.91")
    plain = dataclasses.replace(SEASON, buying=Buying())
    assert facts(price("164.95"), season=plain).main.landed_box == Decimal("164.95")


def test_a_case_is_shipped_once():
    """(1590 + 6.50) x 1.1 x 1.06 = 1861.519, hence 1861.52, of the last price of a case."""
    one = facts(price("164.95"), price("1590", unit="case")).main
    assert (one.case_price, one.case_kind, one.landed_case) == (
        Decimal("1590.00"),
        "street",
        Decimal("1861.52"),
    )
    assert (facts(price("164.95")).main.case_kind, facts(price("164.95")).main.landed_case) == ("", None)


@given(st.decimals("0.01", "9999.99", places=2), st.decimals(0, 1, places=3), st.decimals(0, 50, places=2))
def test_landed_cost_agrees_with_plain_decimal_arithmetic(amount, share, shipping):
    """The same product written out, in half-up cents."""
    buying = Buying(tax=share, shipping=shipping, duty=share)
    expected = ((amount + shipping) * (1 + share) * (1 + share)).quantize(CENT, rounding=ROUND_HALF_UP)
    assert rules.landed(amount, buying) == expected


@pytest.mark.parametrize(
    ("unit", "amount", "box"),
    [
        ("box", "164.95", "164.95"),
        ("pack", "11.785", "164.99"),
        ("case", "1979.46", "164.96"),
        ("case", "1000", "83.33"),
    ],
)
def test_a_price_of_a_pack_or_a_case_is_that_of_a_box(unit, amount, box):
    """14 packs of 11.785 are 164.99; 1979.46 / 12 = 164.955, half up 164.96; 1000 / 12 = 83.333."""
    (line,) = facts(price(amount, unit=unit)).main.prices
    assert line.box == Decimal(box)


def test_what_is_not_known_stays_unknown():
    """Retail has no boxes a case and no promises: a case tells no box, and hits are not nought."""
    one = facts(price("500", unit="case", key="retail"), price("50", key="hobby")).formats["retail"]
    assert (one.box_price, one.case_price, one.case_discount) == (None, Decimal("500.00"), None)
    assert (one.hits_per_box, one.per_hit, one.counts_from) == (None, None, "")
    assert one.cards_per_box == 132
    bare = dataclasses.replace(HOBBY, packs_per_box=None)
    (line,) = facts(price("11", unit="pack"), formats=(bare,)).main.prices
    assert (line.box, line.per_card, line.landed_box) == (None, None, None)


@pytest.mark.parametrize(
    ("prices", "kind", "amount"),
    [
        ([("150", "list"), ("140", "presale"), ("160", "street"), ("170", "restock")], "street", "160"),
        ([("150", "list"), ("140", "presale"), ("170", "restock")], "restock", "170"),
        ([("150", "list"), ("140", "presale")], "presale", "140"),
        ([("150", "list")], "list", "150"),
        ([], "", None),
    ],
)
def test_the_price_that_counts_is_what_a_viewer_would_pay(prices, kind, amount):
    """Street before restock before presale before the maker's own."""
    one = facts(*(price(value, each) for value, each in prices)).main
    assert (one.price_kind, one.box_price) == (kind, None if amount is None else Decimal(f"{amount}.00"))


def test_the_last_price_of_a_kind_counts_and_of_two_on_one_day_the_later_row():
    """Whatever their order in the file; a box price goes before one worked out from a case."""
    prices = [
        price("150", day=(2031, 4, 1), row=9),
        price("170", day=(2031, 5, 1), row=3),
        price("175", day=(2031, 5, 1), row=4),
        price("1200", unit="case", day=(2031, 6, 1), row=5),
    ]
    for seed in range(6):
        random.Random(seed).shuffle(prices)
        assert facts(*prices).main.street_price == Decimal("175.00")


def test_list_and_street_are_kept_apart():
    """Each with its own last value."""
    one = facts(price("160", "list"), price("175", "list", day=(2031, 4, 2)), price("200")).main
    assert (one.list_price, one.street_price) == (Decimal("175.00"), Decimal("200.00"))


@pytest.mark.parametrize(
    ("box", "case", "kinds", "discount"),
    [
        ("160", "1824", ("street", "street"), "0.05"),  # 12 x 160 = 1920; 96 / 1920
        ("160", "1920", ("street", "street"), "0"),
        ("160", "2016", ("street", "street"), "-0.05"),
        ("150", "1700", ("street", "street"), "0.0555556"),  # 100 / 1800
        ("160", "1824", ("list", "street"), None),  # a list price is no match for a street price
    ],
)
def test_a_case_discount_compares_prices_of_one_kind(box, case, kinds, discount):
    """Against twelve single boxes; dearer by the case is a negative discount."""
    one = facts(price(box, kinds[0]), price(case, kinds[1], "case")).main
    assert one.case_discount == (None if discount is None else Decimal(discount))


def test_prices_of_another_currency_are_left_out_and_said():
    """They are neither converted nor taken for the season's own."""
    one = facts(
        price("160"),
        price("90", currency="EUR", day=(2031, 6, 1)),
        price("150", currency="USD", day=(2031, 3, 1)),
    )
    assert one.main.box_price == Decimal("160.00")
    assert [str(line.price) for line in one.main.prices] == ["150.00", "160.00"]
    assert one.left_out == ("1 price in another currency than USD",)


def test_later_prices_do_not_count():
    """As of a day, what was seen after it is left out, and that is said without naming a price."""
    prices = [price("160", day=(2031, 4, 1)), price("999", day=(2031, 4, 2)), price("998", day=(2031, 5, 1))]
    one = facts(*prices, as_of=date(2031, 4, 1))
    assert (one.main.box_price, len(one.main.prices)) == (Decimal("160.00"), 1)
    assert len(one.left_out) == 1
    assert one.left_out[0].startswith("2 prices dated after")
    assert facts(*prices).left_out == ()


def test_a_price_of_a_format_that_is_not_described_does_not_count():
    """The check tells it; the sums go without."""
    assert facts(price("160"), price("5", key="jumbo")).main.box_price == Decimal("160.00")


def test_restocks_and_sources_are_counted():
    """Days of restocks; places where street and restock prices were seen."""
    one = facts(
        price("160", "restock", day=(2031, 4, 1), source="a"),
        price("161", "restock", day=(2031, 4, 1), source="b"),
        price("162", "restock", day=(2031, 5, 1), source="a"),
        price("150", "list", source="maker"),
        price("163", source=""),
    ).main
    assert (one.restocks, one.sources) == (2, 2)


@pytest.mark.parametrize(
    ("amount", "name"),
    [("59.99", "everyday"), ("60", "middle"), ("249.99", "middle"), ("250", "premium"), ("9000", "premium")],
)
def test_a_class_begins_with_its_own_limit(amount, name):
    """Up to but not including `below`."""
    assert facts(price(amount)).price_class == name
    assert rules.class_of(Decimal(amount), CLASSES) == name
    assert rules.class_of(None, CLASSES) == ""


@pytest.mark.parametrize(
    ("prices", "released", "class_price"),
    [
        (
            [
                ("55", "street", (2031, 3, 11)),
                ("70", "street", (2031, 3, 12)),
                ("300", "street", (2031, 6, 1)),
            ],
            True,
            "70",
        ),
        ([("55", "street", (2031, 3, 1)), ("80", "list", (2031, 2, 1))], True, "80"),
        ([("80", "list", (2031, 2, 1)), ("300", "street", (2031, 3, 20))], False, "80"),
        ([("65", "presale", (2031, 2, 1))], True, "65"),
        ([], True, None),
    ],
)
def test_the_class_goes_by_the_street_price_at_launch(prices, released, class_price):
    """The first from the release date on, else the maker's; what it costs later changes no class."""
    found = facts(
        *(price(amount, kind, day=day) for amount, kind, day in prices),
        released=date(2031, 3, 12) if released else None,
    )
    assert found.class_price == (None if class_price is None else Decimal(f"{class_price}.00"))


def test_a_release_without_formats_says_so():
    """There is nothing to count a price for."""
    found = rules.economics(release(price("160"), formats=()), SEASON, as_of=TODAY)
    assert found == Unknown("no box formats are on file yet")


# what is in a box --------------------------------------------------------------------------------------

CARDS = (
    card("Base", "base"),
    card("Deck Signatures", "autograph"),
    card("Canvas Cut", "relic", print_run=99),
    card("Signed Canvas", "autograph relic", print_run=25),
)
ODDS = (
    Odds("Base", "Amber", "hobby", Decimal(7), "", 2),  # 14 / 7 = 2 numbered
    Odds("Base", "Mist", "hobby", Decimal(2), "", 3),  # not numbered
    Odds("Deck Signatures", "", "hobby", Decimal(10), "", 4),  # 1.4
    Odds("Canvas Cut", "", "hobby", Decimal(20), "", 5),  # 0.7, numbered
    Odds("Signed Canvas", "", "hobby", Decimal(140), "", 6),  # 0.1 of both, numbered
    Odds("Deck Signatures", "", "retail", Decimal(1), "", 7),
)
PARALLELS = (Parallel("Base", "Amber", 75, (), 2), Parallel("Base", "Mist", None, (), 3))
BARE = dataclasses.replace(HOBBY, guarantees=())
TABLES = {"cards": CARDS, "odds": ODDS, "parallels": PARALLELS}


def in_a_box(*guarantees, **changes):
    """Counts and their source of a hobby box with these promises."""
    packed = dataclasses.replace(HOBBY, guarantees=guarantees)
    return rules.per_box(packed, release(formats=(packed,), **(TABLES | changes)))


def test_without_promises_a_box_is_counted_from_the_odds():
    """14 packs over packs per copy; an autograph relic is an autograph and a relic, and one hit."""
    counts, source = in_a_box()
    assert source == "odds"
    assert counts == {
        "autographs": Decimal("1.5"),
        "relics": Decimal("0.8"),
        "hits": Decimal("2.2"),
        "numbered": Decimal("2.8"),
    }


def test_a_promise_goes_before_the_odds_of_its_kind():
    """Two autographs promised; relics and numbered cards still come from the odds."""
    counts, source = in_a_box(promise("autograph", 2))
    assert source == "guarantees and odds"
    assert counts == {
        "autographs": Decimal(2),
        "relics": Decimal("0.8"),
        "hits": Decimal("2.7"),  # 2 + 0.8, of which 0.1 are both
        "numbered": Decimal("2.8"),
    }


@pytest.mark.parametrize(
    ("guarantees", "expected"),
    [
        ([promise("autograph", 1), promise("relic", 2)], {"autographs": 1, "relics": 2, "hits": 3}),
        ([promise("autograph relic", 1)], {"autographs": 1, "relics": 1, "hits": 1}),
        (
            [promise("autograph", 2), promise("autograph relic", 1), promise("relic", 1)],
            {"autographs": 3, "relics": 2, "hits": 4},
        ),
        ([promise("hit", 3)], {"hits": 3}),
        ([promise("autograph", 1), promise("hit", 3)], {"autographs": 1, "hits": 3}),
        ([promise("autograph", 1, "pack")], {"autographs": 14, "hits": 14}),
        ([promise("autograph", 18, "case")], {"autographs": "1.5", "hits": "1.5"}),
        ([promise("autograph", 1, "case")], {"autographs": "0.0833333", "hits": "0.0833333"}),
        ([promise("autograph", 1), promise("autograph", 6, "case")], {"autographs": "1.5", "hits": "1.5"}),
        ([promise("insert", 4), promise("rookie", 2)], {}),
    ],
)
def test_promises_are_counted_by_the_box(guarantees, expected):
    """By pack, box and case; what is both is counted once among the hits."""
    counts, _ = in_a_box(*guarantees, odds=None)
    assert counts == {name: Decimal(number) for name, number in expected.items()}


def test_names_are_compared_without_regard_to_how_they_are_written():
    """Odds for ' BASE' and 'amber' are those of Base and Amber."""
    shouted = tuple(
        one._replace(subset=f" {one.subset.upper()}", parallel=one.parallel.upper()) for one in ODDS
    )
    assert in_a_box(odds=shouted) == in_a_box()


def test_the_order_of_rows_is_irrelevant():
    """Cards, parallels, odds and prices in any order give the same facts."""
    prices = [
        price("150", "list"),
        price("160"),
        price("1800", unit="case"),
        price("12", unit="pack", key="retail"),
    ]
    expected = facts(*prices, formats=(BARE, RETAIL), **TABLES)
    for seed in range(10):
        mixed = random.Random(seed)
        shuffled = {name: tuple(mixed.sample(rows, len(rows))) for name, rows in TABLES.items()}
        assert facts(*mixed.sample(prices, len(prices)), formats=(BARE, RETAIL), **shuffled) == expected


def contradicted(*promises):
    """The economics of a box with these promises; its odds give 1.5 autographs and 0.8 relics."""
    hobby = dataclasses.replace(HOBBY, guarantees=promises)
    return facts(price("164.95"), formats=(hobby,), **TABLES)


def test_where_most_promises_contradict_the_odds_these_count_and_it_is_said():
    """Nine autographs, nine relics and thirty numbered cards a box are far above what the odds give."""
    found = contradicted(promise("autograph", 9), promise("relic", 9), promise("numbered", 30))
    by_odds = contradicted()
    assert found.main == by_odds.main
    assert found.main.counts_from == "odds"
    assert found.left_out == (
        "3 promises that the odds contradict, so what is in a box is counted by the odds",
    )
    assert found.is_by_odds
    assert not by_odds.is_by_odds


def test_one_promise_of_two_that_the_odds_contradict_stands():
    """A single misprint does not put the maker's word aside; `check` tells of it."""
    found = contradicted(promise("autograph", 9), promise("relic", 1))
    assert found.main.autographs_per_box == 9
    assert found.main.relics_per_box == 1
    assert not found.is_by_odds
