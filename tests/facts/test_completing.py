"""The section on completing: published values, exact chains, simulation, and money worked out by hand."""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest

from rating.facts.completing.compute import base_set
from rating.facts.completing.singles import (
    FROM_FLOOR,
    Common,
    price_of_common,
    single_price,
    single_prices,
    together,
)
from rating.facts.completing.value import Completing
from rating.facts.context import Buying, SeasonContext, Selling
from rating.facts.economics.compute import economics
from rating.facts.falling.collation import collate
from rating.facts.falling.lines import CardLine
from rating.facts.plain import Unknown
from rating.numerics.collecting import expected_packs
from rating.release.checklist import Card
from rating.release.market import Price, Sale
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet

DAY = date(2031, 3, 12)
BULK = Common(single=Decimal("1.18"), postage=Decimal(0), source=FROM_FLOOR)


def line(subset="Base", kind="base", cards=10, odds=None, variations=0, formats=("hobby",)):
    """A line of so many cards, the last of them variations."""
    made = tuple(
        Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", i >= cards, False, "", i)
        for i in range(cards + variations)
    )
    return CardLine(
        subset=subset,
        parallel="",
        kind=kind,
        cards=made,
        runs=(None,) * len(made),
        odds={"hobby": Decimal(odds)} if odds else {},
        formats=formats,
    )


def packed(cards, packs=1, boxes=None, guarantees=()):
    """A format of packs of so many cards."""
    return Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=None if cards is None else Decimal(cards),
        packs_per_box=packs,
        boxes_per_case=boxes,
        guarantees=guarantees,
    )


def context(**selling):
    """A season with selling costs."""
    return SeasonContext(
        name="Trial",
        currency="USD",
        teams=(),
        rookies=None,
        classes=(),
        buying=Buying(),
        aliases={},
        selling=Selling(**{key: Decimal(value) for key, value in selling.items()}),
    )


def costs(form, box):
    """The economics of one price of a box."""
    sheet = Sheet(
        slug="x",
        title="X",
        maker="M",
        line="L",
        released_on=DAY,
        formats=(form,),
        headline="hobby",
        disclosure=None,
    )
    prices = (Price(DAY, "hobby", "box", "street", Decimal(box), "", "shop", 2),)
    return economics(Release(sheet=sheet, prices=prices), context(), as_of=DAY)


def completing(form, *lines, box=None, single=BULK, buying=None):
    """What one format says of completing its set."""
    collation = collate(form, lines)
    known = {} if collation is None else {"hobby": collation}
    prices = Unknown("not yet") if box is None else costs(form, box)
    found = base_set((form,), lines, known, prices, single, buying or Buying())
    return found.formats["hobby"] if isinstance(found, Completing) else found


@pytest.mark.parametrize(
    ("cards", "per_pack", "packs"),
    [
        (6, 1, 14.7),
        (100, 1, 518.737751764),
        (10, 3, 9.0462129993),
        (52, 5, 45.7440346705),
        (200, 8, 144.7969938),
    ],
)
def test_packs_are_those_of_the_collectors_problem(cards, per_pack, packs):
    """Single draws n H_n (Feller vol. 1, ch. IX); packs: Stadje (1990), Adv. Appl. Prob. 22, 866-882."""
    found = completing(packed(per_pack), line(cards=cards))
    assert float(found.packs.mean) == pytest.approx(packs, rel=1e-5)
    assert found.independent.boxes == found.packs
    assert found.no_duplicates is None


def chance_of_all(cards, per_pack, packs):
    """P(every card is there after so many packs), from the chain of cards held, in fractions."""
    held = {0: Fraction(1)}
    for _ in range(packs):
        after: dict[int, Fraction] = {}
        for have, chance in held.items():
            for new in range(per_pack + 1):
                ways = math.comb(cards - have, new) * math.comb(have, per_pack - new)
                if ways:
                    after[have + new] = after.get(have + new, Fraction(0)) + chance * Fraction(
                        ways, math.comb(cards, per_pack)
                    )
        held = after
    return held.get(cards, Fraction(0))


@pytest.mark.parametrize(("cards", "per_pack"), [(5, 2), (12, 3), (20, 5)])
def test_half_and_nine_of_ten_tries_are_the_fewest_packs_that_do(cards, per_pack):
    """Against the chain of cards held; five cards by packs of two: 54/125 in four packs, by enumeration."""
    assert chance_of_all(5, 2, 4) == Fraction(54, 125)
    found = completing(packed(per_pack), line(cards=cards)).packs
    for count, wanted in ((found.q50, 0.5), (found.q90, 0.9)):
        assert chance_of_all(cards, per_pack, count - 1) < wanted <= chance_of_all(cards, per_pack, count)


@pytest.mark.parametrize(
    ("cards", "per_pack", "packs", "distinct", "duplicates"),
    [
        (10, 3, 5, 8.3193, 6.6807),
        (100, 10, 20, 87.8423345409, 112.1576654591),
        (200, 10, 36, 168.4441570423, 191.5558429577),
    ],
)
def test_a_box_of_independent_packs_holds_so_many_different_cards(
    cards, per_pack, packs, distinct, duplicates
):
    """n (1 - (1 - m/n)^k), by linearity of expectation; two of them in a case."""
    (box, case) = completing(packed(per_pack, packs, 2), line(cards=cards)).independent.after
    assert (box.boxes, case.boxes) == (1, 2)
    assert float(box.distinct) == pytest.approx(distinct, rel=1e-5)
    assert float(box.duplicates) == pytest.approx(duplicates, rel=1e-5)
    assert float(case.distinct) == pytest.approx(
        cards * (1 - (1 - per_pack / cards) ** (2 * packs)), rel=1e-5
    )


def test_two_models_of_a_box_stand_side_by_side():
    """280 cards, 24 packs of 8: a card is in 0.6857 of boxes if all differ, else in 0.5013."""
    found = completing(packed(8, 24), line(cards=280))
    assert float(found.independent.after[0].distinct) == pytest.approx(280 * 0.5012752232, rel=1e-5)
    assert float(found.no_duplicates.after[0].distinct) == pytest.approx(280 * 0.6857142857, rel=1e-5)
    assert found.no_duplicates.boxes.mean < found.independent.boxes.mean


def test_a_tenth_is_missing_after_nine_tenths():
    """0.7^6 = .117649 is left after six packs, .0823543 after seven, and straight between them."""
    found = completing(packed(3), line())
    assert float(found.independent.nine_tenths) == pytest.approx(6 + (0.117649 - 0.1) / 0.0352947, rel=1e-5)


def test_a_box_without_duplicates_is_simulated():
    """24 cards, four packs of 2 or 3: boxes of 10 different cards; 20,000 runs, four standard errors."""
    found = completing(packed("2.5", 4), line(cards=24)).no_duplicates.boxes
    rng = np.random.default_rng(7)
    taken = []
    for _ in range(20_000):
        held, boxes = np.zeros(24, bool), 0
        while not held.all():
            held[rng.permutation(24)[:10]] = True
            boxes += 1
        taken.append(boxes)
    assert abs(np.mean(taken) - float(found.mean)) < 4 * np.std(taken) / math.sqrt(20_000)
    assert found.q50 == np.quantile(taken, 0.5, method="inverted_cdf")


def test_short_prints_are_waited_for_by_their_own_odds():
    """Two cards at 7/8 a pack and one at 1/4: inclusion and exclusion over all three, each by itself."""
    found = completing(packed(2), line(cards=2), line("Short", cards=1, odds=4), box="30")
    rates = [Fraction(7, 8), Fraction(7, 8), Fraction(1, 4)]
    exact = sum(
        (-1) ** (size + 1) / (1 - math.prod(1 - rate for rate in some))
        for size in (1, 2, 3)
        for some in combinations(rates, size)
    )
    assert (found.cards, found.short_prints) == (3, 1)
    assert float(found.packs.mean) == pytest.approx(float(exact), rel=1e-5)
    done = [math.prod(1 - (1 - rate) ** packs for rate in rates) for packs in range(20)]
    assert found.packs.q50 == next(packs for packs, chance in enumerate(done) if chance >= 0.5)
    assert found.packs.q90 == next(packs for packs, chance in enumerate(done) if chance >= 0.9)
    assert "short prints cost more" in found.best_boxes_then_singles.why


def test_a_very_large_set_is_worked_out_as_if_cards_fell_by_themselves():
    """900 cards, five a pack: within a percent of the exact 900 cards by packs of five, and in no time."""
    found = completing(packed(5, 10), line(cards=900), box="30")
    assert float(found.packs.mean) == pytest.approx(expected_packs(900, 5), rel=0.01)
    assert "more than 800 base cards" in found.best_boxes_then_singles.why


def test_variations_are_apart():
    """Ten cards and two variations of them are a set of ten."""
    assert completing(packed(3), line(variations=2)).cards == 10


def test_what_falls_beside_the_base_cards_takes_their_room():
    """Four a pack of which one is an insert every other pack: 3.5 base cards, a mixture."""
    found = completing(packed(4), line(), line("Night", "insert", odds=2))
    assert found.base_per_pack == Decimal("3.5")


def test_a_pack_larger_than_the_set_completes_it():
    """Twelve cards of a set of ten."""
    found = completing(packed(12, 2), line())
    assert found.packs.mean == found.packs.q90 == 1


TEN = Common(single=Decimal(10), postage=Decimal(0), source="said so")


def test_boxes_are_landed_in_one_order_and_singles_posted_together():
    """Boxes at 3 and 5 shipping, a tenth tax; singles at 8 and 2 postage for all.

    0 boxes: 2 x 8 + 2 = 18. One: 8.80 + 8 + 2, since the other card is always missing. Two: 12.10, and in
    half of all tries the other card for 10: 17.10. Three: 15.40 + 2.50 = 17.90. Until done, 3 boxes: 15.40.
    """
    buying = Buying(tax=Decimal("0.1"), shipping=Decimal(5))
    single = Common(single=Decimal(10), postage=Decimal(2), source="said so")
    found = completing(
        packed(1), line(cards=2), box="3", single=single, buying=buying
    ).best_boxes_then_singles
    assert [str(row.cost) for row in found.rows[:4]] == ["18.00", "18.80", "17.10", "17.90"]
    assert (found.boxes, str(found.cost), str(found.until_done)) == (2, "17.10", "15.40")


def test_the_best_number_of_boxes_is_worked_out_by_hand():
    """Two cards, one a box at 3, singles at 10: 20, 13, 11, 11.50 for 0 to 3 boxes; until done 3 boxes."""
    found = completing(packed(1), line(cards=2), box="3", single=TEN).best_boxes_then_singles
    assert [str(row.cost) for row in found.rows] == ["20.00", "13.00", "11.00", "11.50"]
    assert [row.complete for row in found.rows] == [0, 0, Decimal("0.5"), Decimal("0.75")]
    assert (found.boxes, found.cost, found.until_done) == (2, 11, 9)
    assert (found.cheapest, found.complete_set, found.single_from) == ("open until done", None, "said so")


def sale(price, subset="Base", parallel="", postage=None, currency="", condition="raw", day=DAY):
    """One sold card."""
    given = None if postage is None else Decimal(postage)
    return Sale(
        day, subset, parallel, "1", Decimal(price), given, currency, "auction", condition, "t", "s", "sure", 2
    )


def test_three_sales_of_base_cards_say_what_one_costs():
    """The median of 1.00 + 0.50, 2.00 + 1.10 and 9.00 + 0 is 3.10; what is no raw base single is out."""
    given = [
        sale("1.00", postage="0.50"),
        sale("2.00"),
        sale("9.00", postage="0"),
        sale("99", condition="slabbed"),
        sale("99", parallel="Mist"),
        sale("99", "Night"),
        sale("99", currency="EUR"),
        sale("99", day=date(2032, 1, 1)),
    ]
    season = context(postage="1.10", bulk_floor="0.08")
    assert price_of_common(given, [line()], season, as_of=DAY) == Common(
        single=Decimal("3.10"), postage=Decimal("1.10"), source="the median of 3 sales of base cards"
    )


def test_with_fewer_sales_a_common_costs_what_leaves_its_seller_the_bulk_floor():
    """(0.08 + 1.10 + 0.40) / 0.87 = 1.816, as any other card of that value does."""
    season = context(postage="1.10", bulk_floor="0.08", fixed="0.40", fee="0.13")
    found = price_of_common([sale("5"), sale("5")], [line()], season, as_of=DAY)
    assert found == Common(single=Decimal("1.82"), postage=Decimal("1.10"), source=FROM_FLOOR)
    assert single_price(Decimal("0.08"), season.selling) == found.single
    assert "fewer than three sales" in price_of_common(None, [line()], context(), as_of=DAY).why


def test_singles_bought_together_are_posted_once():
    """Ten at 2.09 with 1.10 postage: 9.90 + 1.10; one is 2.09; a chance of 0.5 of any halves the postage."""
    single, postage = Decimal("2.09"), Decimal("1.10")
    assert together(10, single, postage) == 11
    assert together(1, single, postage) == Fraction(209, 100)
    assert together(Fraction(1, 2), single, postage, Fraction(1, 2)) == Fraction(209, 200)


@pytest.mark.parametrize(
    ("form", "lines", "why"),
    [
        (packed(3), [], "there is no checklist yet"),
        (packed(3), [line("Ink", "autograph")], "there is no base set to complete"),
        (packed(None), [line()], "how many packs and cards a Hobby box holds"),
        (packed(3), [line(formats=("retail",))], "Hobby has no base set"),
        (packed(1), [line(), line("Night", "insert", odds=1)], "no room for base cards"),
        (packed(3), [line(), line("Short", cards=1, odds=200_000)], "once in 200,000 Hobby packs"),
    ],
)
def test_what_cannot_be_completed_says_why(form, lines, why):
    """No checklist, no base set, no packing, no base here, no room, a card too rare."""
    found = completing(form, *lines)
    assert isinstance(found, Unknown)
    assert why in found.why


def test_without_a_price_the_packs_still_stand():
    """Only the money is open, with its reason."""
    assert "no price for a Hobby box" in completing(packed(3), line()).best_boxes_then_singles.why
    priced = completing(packed(3), line(), box="30", single=Unknown("nobody knows"))
    assert priced.best_boxes_then_singles == Unknown("nobody knows")


def test_no_format_is_told_apart():
    """A release that only has a checklist."""
    assert "no box formats" in base_set((), [line()], {}, Unknown("not yet"), BULK, Buying()).why


def test_a_promise_that_fills_the_box_leaves_no_set():
    """Three autographs a pack of three, promised."""
    promise = Guarantee(what="autograph", count=Decimal(3), per="pack", hard=True)
    found = completing(packed(3, guarantees=(promise,)), line(), line("Ink", "autograph"))
    assert "no room" in found.why


def test_singles_worked_out_together_cost_what_each_costs_alone():
    """By exact fractions, half cents too: with no fee a value of 0.085 and 0.04 of charges is 12.5 cents."""
    rng = np.random.default_rng(4)
    values = np.concatenate([np.arange(0, 3, 0.005), rng.lognormal(1, 3, 500), [0.085, 1e11]])
    for fee in ("0", "0.13", "0.125"):
        selling = Selling(
            fee=Decimal(fee), fixed=Decimal("0.03"), postage=Decimal("0.01"), bulk_floor=Decimal(0)
        )
        alone = [float(single_price(float(value), selling)) for value in values]
        assert single_prices(values, selling).tolist() == alone
