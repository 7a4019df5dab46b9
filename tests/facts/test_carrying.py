"""Prices to carry over: which sales lend theirs, with what goes along, and how many are taken."""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal

from rating.facts.context import Demand, Donor
from rating.facts.falling.lines import lines_of
from rating.facts.plain import Unknown
from rating.facts.worth.carrying import ENOUGH, MOST, donors_of, gathered
from rating.facts.worth.matching import FEWEST_SALES, has_enough
from rating.release.checklist import Card, Parallel
from rating.release.market import Sale
from rating.release.release import Release
from rating.release.sheet import Format, Sheet

OUT = date(2030, 3, 13)
HOBBY = Format(key="hobby", name="Hobby", cards_per_pack=None, packs_per_box=None, boxes_per_case=None)
SHEET = Sheet(
    slug="halyard",
    title="Halyard 2030",
    maker="Wickfield",
    line="Halyard",
    released_on=OUT,
    formats=(HOBBY,),
    headline="hobby",
    disclosure=None,
)


def sale(day, price, parallel="", **changes):
    """A raw sale of the one card."""
    made = Sale(
        date.fromisoformat(day), "Ink", parallel, "1", Decimal(price), None, "", "", "raw", "", "", "sure", 2
    )
    return made._replace(**changes)


def release(*sales):
    """A release of one card by two rookies, in two versions."""
    return Release(
        sheet=SHEET,
        cards=(
            Card(
                "Ink",
                "autograph",
                "1",
                ("Ada Finch", "BO Larkin"),
                (),
                True,
                None,
                "",
                "",
                False,
                False,
                "",
                2,
            ),
        ),
        parallels=(Parallel("Ink", "Gold", 25, (), 2),),
        sales=sales,
    )


def donated(*sales, as_of=date(2030, 12, 31)):
    """What its sales say."""
    made = release(*sales)
    return donors_of(made, lines_of(made), Unknown("no odds"), "USD", as_of)


def test_a_sale_goes_along_with_what_its_price_goes_by():
    """Kind, copies by print run, rookie, subjects as compared, three weeks after its own release."""
    assert donated(sale("2030-04-03", "12.50", "Gold")) == (
        Donor(
            kind="autograph",
            copies=25,
            price=Decimal("12.50"),
            rookie=True,
            subjects=("ada finch", "bo larkin"),
            week=3.0,
            presale=False,
            release="Halyard 2030",
            demand=(None, None),
        ),
    )


def test_a_sale_from_before_the_release_is_a_presale():
    """In no week before the first."""
    found = donated(sale("2030-03-06", "9"))
    assert (found[0].presale, found[0].week, found[0].copies) == (True, 0.0, None)


def test_what_its_own_values_cannot_use_is_not_lent():
    """Unmatched, not listed, slabbed, in another currency, at no price, after the day."""
    day = "2030-04-03"
    assert (
        donated(
            sale(day, "9", subset=""),
            sale(day, "9", number="77"),
            sale(day, "9", condition="slabbed"),
            sale(day, "9", currency="CAD"),
            sale(day, "0"),
            sale("2031-01-01", "9"),
        )
        == ()
    )


def test_without_sales_nothing_is_lent():
    """No file, or an empty one."""
    made = Release(sheet=SHEET, cards=release().cards)
    assert donors_of(made, lines_of(made), Unknown("no odds"), "USD", OUT) == donated() == ()


def test_the_newest_come_first():
    """So that a limit leaves out the oldest."""
    assert [one.price for one in donated(sale("2030-04-03", "1"), sale("2030-06-03", "2"))] == [2, 1]


def lent(name, count):
    """So many prices of a release, a dollar apart."""
    return tuple(Donor("base", 50, Decimal(i + 1), release=name) for i in range(count))


def counted(found):
    """How many of each release."""
    return dict(Counter(one.release for one in found))


def test_others_join_an_edition_only_up_to_enough():
    """Each as much as any other: 200 - 150 are 50, and of two lenders each gives 25."""
    found = gathered([lent("A", 150)], lambda: [lent("B", 100), (), lent("C", 30)])
    assert counted(found) == {"A": 150, "B": 25, "C": 25}
    assert counted(gathered([lent("A", MOST + 5)], list)) == {"A": MOST}


def test_without_an_edition_all_lend_alike():
    """At most 200 each and 2,000 together, evenly out of all weeks; who has fewer gives them all."""
    found = gathered([], lambda: [lent("A", 900), lent("B", 10)])
    assert counted(found) == {"A": ENOUGH, "B": 10}
    prices = [int(one.price) for one in found if one.release == "A"]
    assert (prices[0], prices[100], prices[199]) == (1, 451, 896)
    many = gathered([], lambda: [lent(f"R{i}", 300) for i in range(25)])
    assert set(counted(many).values()) == {MOST // 25}


def test_no_release_is_looked_at_once_there_are_enough():
    """Reading one takes time."""

    def lazily():
        yield lent("A", ENOUGH)
        raise AssertionError("looked further than it had to")

    def others():
        raise AssertionError("looked at others though there are enough")

    assert len(gathered(lazily(), others)) == ENOUGH


def test_what_it_is_lent_with_goes_along():
    """The price of its box, who was wanted in its season where that is known, whether it is an edition."""
    made = release(sale("2030-04-03", "9"))
    wanted = {"ada finch": Demand(subject="Ada Finch", demand=Decimal(70), basis="sales", why="")}
    more = {"wanted": wanted, "box": Decimal(90), "same_line": True}
    (found,) = donors_of(made, lines_of(made), Unknown("no odds"), "USD", date(2030, 12, 31), **more)
    assert (found.demand, found.box, found.same_line) == ((Decimal(70), None), 90, True)


def test_twenty_usable_sales_are_enough():
    """Nineteen are not, nor twenty of which one is slabbed."""
    lines = lines_of(release())
    sales = [sale("2030-04-03", "9")] * FEWEST_SALES
    assert has_enough(sales, lines, "USD", date(2030, 4, 3))
    assert not has_enough(sales[1:], lines, "USD", date(2030, 4, 3))
    assert not has_enough(
        [*sales[1:], sales[0]._replace(condition="slabbed")], lines, "USD", date(2030, 4, 3)
    )
    assert not has_enough(sales, lines, "USD", date(2030, 4, 2))
