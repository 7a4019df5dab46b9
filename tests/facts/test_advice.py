"""Who should buy what: a small release worked out by hand, aim by aim, and each way it turns.

A Hobby box holds ten packs of five: one autograph for certain and 49 base cards of a set of four, one of them
a rookie's. Landed is (price + 5) x 1.1; a card of which a seller keeps v costs (v + 0.50 + 1) / 0.9 posted.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import money
from rating.facts.advice.compute import advice
from rating.facts.advice.known import Asked
from rating.facts.completing.value import (
    Completing,
    FormatCompleting,
    SetAfter,
    SetBoxes,
    SetCost,
    SetRow,
    Wait,
)
from rating.facts.content.compute import content
from rating.facts.context import Buying, SeasonContext, Selling
from rating.facts.economics.compute import landed
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.facts import Facts
from rating.facts.falling.collation import collate
from rating.facts.falling.lines import CardLine
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.returns.value import FormatReturns, Payout, Returns
from rating.facts.values.value import Effect, Valuation, Values
from rating.facts.worth.value import LineWorth
from rating.price_line import price_advice, price_line, says
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee

D = Decimal
WHY = Unknown("there are no sales yet")


def cards(subset, kind, count, rookies=0):
    """So many cards of one team each, the first of them rookies'."""
    return tuple(
        Card(
            subset, kind, str(i), (f"{subset} {i}",), (f"Team {i}",),
            i < rookies, None, "", "", False, False, "", i,
        )
        for i in range(count)
    )  # fmt: skip


def line(subset, kind, count, runs, rookies=0, odds=None):
    """A line of every format."""
    return CardLine(
        subset=subset,
        parallel="",
        kind=kind,
        cards=cards(subset, kind, count, rookies),
        runs=runs,
        odds={"hobby": D(odds)} if odds else {},
        formats=("hobby", "retail"),
    )


LINES = (line("Base", "base", 4, (None,) * 4, rookies=1), line("Ink", "autograph", 2, (30, 10)))
WORTH = ((4.0, 0.0, 0.0, 0.0), (21.0, 102.0))


def packed(key="hobby", autographs=1):
    """Ten packs of five, six boxes a case."""
    promise = Guarantee(what="autograph", count=D(autographs), per="box", hard=True)
    return Format(
        key=key,
        name=key.capitalize(),
        cards_per_pack=D(5),
        packs_per_box=10,
        boxes_per_case=6,
        guarantees=(promise,) if autographs else (),
    )


def priced(box, case=None, kind="street", case_kind="street", name="Hobby"):
    """The economics of a format."""
    given = {
        "name": name,
        "packs_per_box": 10,
        "boxes_per_case": 6,
        "box_price": None if box is None else D(box),
        "price_kind": kind if box is not None else "",
        "case_price": None if case is None else D(case),
        "case_kind": case_kind if case is not None else "",
        "prices": (),
    }
    return FormatEconomics(**dict.fromkeys(FormatEconomics.__dataclass_fields__) | given)


def paid(mean, price=None):
    """A payout of which the mean, and the even chance, matter."""
    mean = D(mean)
    return Payout(
        price=price, mean=mean, sd=mean, median=mean, q05=mean, q25=mean, q75=mean, q95=mean,
        p_return=None if price is None else D("0.25"), loss_given_loss=None, even_price=D(30),
    )  # fmt: skip


def brings(box, case, name="Hobby"):
    """What a format returns."""
    return FormatReturns(
        name=name,
        box=paid(box),
        case=None if case is None else paid(case),
        left_out=(),
        grid=D("0.05"),
        grid_error=D(0),
        cut_off=D(0),
    )


def valued(sales=20, presales=0, week=None, carried="0", modelled="0.6", worth=WORTH, basis="modelled"):
    """Values of the cards as given."""
    values = Values(
        sales=sales,
        presales=presales,
        set_aside={},
        wild=0,
        sold_share=1 - D(modelled),
        modelled_share=D(modelled),
        carried_over=D(carried),
        bulk_share=D(0),
        least=None,
        coverage=None,
        effects=() if week is None else (Effect(name="week", value=D(week[0]), error=D(week[1])),),
    )
    lines = tuple(
        LineWorth(subset=one.subset, parallel="", worth=own, low=own, high=own, basis=(basis,) * len(own))
        for one, own in zip(LINES, worth, strict=True)
    )
    return Valuation(values=values, subjects=(), lines=lines)


def set_of(single="10", complete=None, cost=None):
    """Four cards, of which each box leaves half; 4.5 boxes until it is complete."""
    boxes = SetBoxes(
        model="independent packs",
        boxes=Wait(mean=D("4.5"), q50=4, q90=7),
        duplicates=D(0),
        nine_tenths=D(3),
        after=(SetAfter(boxes=1, distinct=D(2), duplicates=D(47)),),
    )
    money = SetCost(
        box_price=D(1), price_kind="street", single=D(single), single_from="", boxes=0, cost=D(0),
        until_done=D(0), complete_set=None if complete is None else D(complete), cheapest="",
        rows=tuple(
            SetRow(boxes=boxes, missing=D(4) / 2**boxes, complete=D(0), cost=D(0)) for boxes in (0, 1, 2, 6)
        ),
    )  # fmt: skip
    return FormatCompleting(
        cards=4,
        short_prints=0,
        base_per_pack=D("4.9"),
        packs=Wait(mean=D(45), q50=40, q90=70),
        independent=boxes,
        no_duplicates=None,
        best_boxes_then_singles=cost or money,
    )


def facts_of(
    box="60",
    *,
    case=None,
    case_kind="street",
    values=None,
    returns=None,
    completing=None,
    formats=None,
    lines=LINES,
    asked=None,
    last_sale=date(2031, 5, 1),
    buying=None,
    packing=None,
    **changes,
):
    """The facts of the small release, without its advice."""
    season = SeasonContext(
        name="Trial 2031",
        currency="USD",
        teams=(),
        rookies=None,
        classes=(),
        buying=buying or Buying(tax=D("0.1"), shipping=D(5)),
        aliases={},
        selling=Selling(fee=D("0.1"), fixed=D("0.50"), postage=D(1)),
    )
    given = {
        "economics": Economics(
            headline="hobby",
            formats=formats or {"hobby": priced(box, case, case_kind=case_kind)},
            price_class="",
            class_price=None,
            left_out=(),
        ),
        "content": content([card for one in lines for card in one.cards], None),
        "people": Unknown("not asked"),
        "completing": completing or Completing(formats={"hobby": set_of()}),
        "valuation": values or valued(),
        "returns": returns or Returns(formats={"hobby": brings("44", "264")}),
        "lines": lines,
        "collations": {one.key: found for one in packing or (packed(),) if (found := collate(one, lines))},
        "season": season,
        "released_on": date(2031, 3, 12),
        "files": SimpleNamespace(sales=(SimpleNamespace(day=last_sale, subset=""),)),
        "as_of": date(2031, 7, 15),
        "best_slot": asked,
    }
    return Facts(**given | changes)


def advised(*given, **changes):
    """All advice for the small release."""
    return advice(facts_of(*given, **changes))


def aim(name, *given, **changes):
    """The entry of one aim."""
    return next(one for one in advised(*given, **changes).aims if one.aim == name)


def told(entry):
    """What an entry says to do."""
    return entry.buy, entry.of, entry.below


# the price line


def at_random(seed):
    """The small release with prices, returns, costs and a best slot drawn at random, and its advice."""
    rng = np.random.default_rng((20310715, seed))

    def amount(low, high):
        return D(f"{math.exp(rng.uniform(math.log(low), math.log(high))):.2f}")

    buying = Buying(tax=D(f"{rng.uniform(0, 0.2):.2f}"), shipping=D(f"{rng.uniform(0, 12):.2f}"))
    formats, returned = {}, {}
    for key in ("hobby", "retail")[: rng.integers(1, 3)]:
        price = None if rng.random() < 0.1 else amount(5, 400)
        case = None if price is None or rng.random() < 0.5 else money.cents(price * 6 * D("0.9"))
        packing = priced(price, case, name=key.capitalize())
        costs = None if price is None else landed(price, buying)
        formats[key] = replace(packing, landed_box=costs, price_day=date(2031, 5, 3))
        mean = amount(5, 400)
        returned[key] = WHY if rng.random() < 0.1 else brings(mean, 6 * mean, name=key.capitalize())
    slot = Asked(slot="Team 1", worth=amount(2, 60), asked=amount(2, 60)) if rng.random() < 0.5 else None
    facts = facts_of(
        formats=formats, returns=Returns(formats=returned), buying=buying, asked=slot,
        completing=Completing(formats={"hobby": set_of(single=str(amount(1, 60)))}),
    )  # fmt: skip
    return facts.replaced(advice=advice(facts))


@pytest.mark.parametrize("seed", range(200))
def test_the_price_line_contradicts_no_advice(seed):
    """Over random releases: it says wait, fun or buy just where whoever goes by returns is told so."""
    facts = at_random(seed)
    aims = {one.aim: one for one in facts.advice.aims}
    amounts = price_advice(facts)
    said, line = says(amounts), price_line("Strong", is_good=True, advice=amounts, currency="USD")
    opens, breaks = aims["casual opener"], aims["break buyer"]
    of_headline = {one.buy for one in (opens, breaks) if one.format == "hobby"}
    if said == "wait":
        assert line.startswith("Strong, but wait: at $")
        assert "box" not in of_headline
        buyers = [one for one in aims.values() if one.buy in {"box", "case"}]
        assert bool(amounts.still) == bool(buyers)
        assert all(one.startswith("you take a ") or " with " in one for one in amounts.still)
        assert (" still make" in line) == bool(buyers)
    elif said:
        assert "wait" not in line
        assert opens.buy not in {"wait", "not known"}
        assert amounts.still == ()
    else:
        assert "wait" not in line
        assert "buy" not in line
    assert (said == "buy") == ("priced to buy" in line)
    if said == "buy":
        assert D(amounts.mean) >= landed(D(amounts.price), facts.season.buying)
        assert breaks.buy != "wait"
    if amounts.price and amounts.entertainment_price:
        assert (said in {"fun", "buy"}) == (D(amounts.price) < D(amounts.entertainment_price))


def test_the_price_lines_of_random_releases_say_all_there_is_to_say():
    """A trial in which one of them never came up would prove nothing of it."""
    said = [says(price_advice(at_random(seed))) for seed in range(200)]
    assert all(said.count(one) >= 15 for one in ("buy", "fun", "wait", ""))


# set builder


@pytest.mark.parametrize(
    ("box", "buy", "boxes", "below"),
    [
        # two boxes (2 x 8 + 5) x 1.1 + 1 x 10 = 33.10; one 34.30; singles 40; until complete 45.10
        ("8", "box", 2, "9.10"),
        # one more box saves 10 and costs 1.1 x price: equal at 9.0909
        ("9.09", "box", 2, "9.10"),
        # one box is (p + 5) x 1.1 + 20, as dear as 40 at 13.1818
        ("9.10", "box", 1, "13.19"),
        ("13.18", "box", 1, "13.19"),
        ("13.19", "singles", None, "13.19"),
        # boxes until it is complete: (4.5 p + 5) x 1.1 against (2 p + 5) x 1.1 + 10: equal at 3.636
        ("3.60", "box", 5, "3.64"),
    ],
)
def test_a_set_builder_takes_the_number_of_boxes_that_costs_least(box, buy, boxes, below):
    """And is told the price at which that number changes."""
    found = aim("set builder", box)
    assert (found.buy, found.boxes, found.below) == (buy, boxes, D(below))
    assert (found.of, found.format, found.price) == ("box", "hobby", D(box))


def test_a_set_builder_hears_all_ways_and_their_cost():
    """In one sentence."""
    assert aim("set builder", "8").why == (
        "The cheapest way costs $33.10: 2 Hobby boxes, then about 1 single at $10.00 each. Other ways: 4 "
        "base cards as singles at $10.00 each ($40.00); Hobby boxes until the set is complete, 5 on average "
        "($45.10). Inserts, hits, parallels and duplicates in the boxes are counted as worth nothing."
    )


def test_a_complete_set_for_sale_is_one_of_the_ways():
    """At 30 it goes before 33.10; two boxes cost (2 p + 5) x 1.1 + 10, less than 30 up to 6.59."""
    sets = Completing(formats={"hobby": set_of(complete="30")})
    found = aim("set builder", "8", completing=sets)
    assert told(found) == ("complete set", "box", D("6.60"))
    assert aim("set builder", "6.59", completing=sets).buy == "box"
    assert aim("set builder", "6.60", completing=sets).buy == "complete set"


def test_a_case_is_a_way_to_a_set_too():
    """Six boxes leave 4 / 64 of a card: (c + 5) x 1.1 + 0.625 is as much as two boxes, 33.10, at 24.5227."""
    found = aim("set builder", "8", case="16")
    assert (*told(found), found.boxes) == ("case", "case", D("24.53"), 6)
    assert aim("set builder", "8", case="24.52").buy == "case"
    assert aim("set builder", "8", case="24.53").buy == "box"
    # a maker's price from before the release does not stand beside a street price
    assert aim("set builder", "8", case="16", case_kind="list").buy == "box"


def test_formats_compete_for_the_set():
    """Retail, of the same set, at 4: two boxes (8 + 5) x 1.1 + 10 = 24.30."""
    formats = {"hobby": priced("8"), "retail": priced("4", name="Retail")}
    sets = Completing(formats={"hobby": set_of(), "retail": set_of()})
    found = aim("set builder", formats=formats, completing=sets)
    assert (found.buy, found.format, found.boxes) == ("box", "retail", 2)
    # a format that lacks a card of the set does not complete it
    short = replace(set_of(), cards=3)
    sets = Completing(formats={"hobby": set_of(), "retail": short})
    assert aim("set builder", formats=formats, completing=sets).format == "hobby"


def test_without_money_a_set_builder_hears_how_many_boxes_it_takes():
    """Or that there is no base set at all."""
    sets = Completing(formats={"hobby": set_of(cost=Unknown("there is no price for a Hobby box yet"))})
    found = aim("set builder", None, completing=sets)
    assert told(found) == ("not known", "", None)
    assert "takes 4.5 Hobby boxes on average" in found.why
    assert "no price for a Hobby box yet" in found.why
    assert told(aim("set builder", lines=LINES[1:], values=WHY)) == ("nothing", "", None)


# autographs and rookies


@pytest.mark.parametrize(
    ("name", "box", "buy", "below"),
    [
        # three of four autographs are the one worth 21: 22.50 / 0.9 = 25 as a single; base returns 49 x 1.
        # (p + 5) x 1.1 = 25 + 49 at 62.2727
        ("autograph buyer", "60", "box", "62.28"),
        ("autograph buyer", "62.27", "box", "62.28"),
        ("autograph buyer", "62.28", "singles", "62.28"),
        # 49 / 4 rookie cards at 5.50 / 0.9 = 6.11 posted, 1.00 of it once for all; the autograph returns
        # 0.75 x 21 + 0.25 x 102 = 41.25. (p + 5) x 1.1 = 12.25 x 5.11 + 1 + 41.25 = 104.8475 at 90.3159
        ("rookie hunter", "60", "box", "90.32"),
        ("rookie hunter", "90.31", "box", "90.32"),
        ("rookie hunter", "90.32", "singles", "90.32"),
    ],
)
def test_a_box_is_bought_where_its_cards_cost_less_than_singles(name, box, buy, below):
    """Its other cards are credited with what they are expected to return."""
    found = aim(name, box)
    assert told(found) == (buy, "box", D(below))
    assert (found.format, found.price) == ("hobby", D(box))


def test_an_autograph_buyer_hears_what_each_way_costs():
    """(60 + 5) x 1.1 - 49 = 22.50 for one; three of four are at 25, the other at 103.50 / 0.9 = 115."""
    assert aim("autograph buyer").why == (
        "With tax and shipping a Hobby box costs $71.50. Apart from autographs, it is expected to return "
        "$49.00. It holds one autograph on average, so an autograph costs you $22.50. Bought as a "
        "single, an autograph costs $47.50 on average with postage; half cost $25.00 or less."
    )


def test_a_case_goes_before_a_box_where_it_is_cheaper():
    """A box costs 22.50 of the 25 of a single; six posted at once cost 6 x 24 + 1 = 145, of which a case

    costs (c + 5) x 1.1 - 294, the same share at 380.909.
    """
    found = aim("autograph buyer", case="300")
    assert told(found) == ("case", "case", D("380.91"))
    assert "returns" not in found.why
    assert "6.0 autographs" in found.why
    assert aim("autograph buyer", case="380.90").buy == "case"
    assert aim("autograph buyer", case="380.91").buy == "box"


def test_the_better_format_is_named():
    """Retail, two autographs a box at 60: 71.50 - 48 = 23.50 against 2 x 24 + 1 = 49."""
    formats = {"hobby": priced("60"), "retail": priced("60", name="Retail")}
    found = aim("autograph buyer", formats=formats, packing=(packed(), packed("retail", 2)))
    assert (found.buy, found.format) == ("box", "retail")
    # Hobby costs 22.50 of 25; 48 from base and as much of 49, 44.10, land at a price of 78.7273
    assert found.below == D("78.73")


def test_of_cards_without_values_it_is_said_what_one_costs():
    """71.50 for one autograph; 71.50 / 12.25 = 5.84 for a rookie card."""
    found = aim("autograph buyer", values=WHY)
    assert told(found) == ("not known", "box", None)
    assert (found.format, found.price) == ("hobby", D(60))
    assert found.why == (
        "With tax and shipping, an autograph from a Hobby box costs $71.50, as the box holds 1.0 of them. "
        "What autographs cost as singles is not known: there are no sales yet."
    )
    assert (
        "from a Hobby box costs $5.84, as the box holds 12.3 of them" in aim("rookie hunter", values=WHY).why
    )


def test_of_boxes_without_a_price_it_is_said_what_they_may_cost():
    """The amount does not hang on today's price."""
    found = aim("autograph buyer", None)
    assert told(found) == ("not known", "box", D("62.28"))
    assert "no price for a Hobby box yet" in found.why
    assert "half cost $25.00 or less" in found.why
    assert told(aim("autograph buyer", None, values=WHY)) == ("not known", "", None)


def test_where_there_is_none_of_it_there_is_nothing_to_buy():
    """No autograph, no rookie, no checklist."""
    base = (line("Base", "base", 4, (None,) * 4),)
    assert told(aim("autograph buyer", lines=base, values=WHY)) == ("nothing", "", None)
    assert told(aim("rookie hunter", lines=base, values=WHY)) == ("nothing", "", None)
    found = aim("autograph buyer", lines=(), values=WHY, content=Unknown("there is no checklist yet"))
    assert (found.buy, found.why) == ("not known", "There is no checklist yet.")


# a slot of a break


@pytest.mark.parametrize(
    ("case", "buy", "below"),
    [
        # four teams share a case that returns 264, each with a parcel of its own: (s + 5) x 1.1 = 66 at 55
        ("200", "slot", "55.01"),
        ("220", "slot", "55.01"),
        ("220.04", "wait", "55.01"),
    ],
)
def test_an_average_slot_is_held_against_what_a_case_returns(case, buy, below):
    """Where no slots are known."""
    found = aim("break buyer", case=case, people=_served(4))
    assert told(found) == (buy, "slot", D(below))
    assert found.price == (D(case) / 4).quantize(D("0.01"))


def _served(teams):
    return People(
        teams_served=tuple(map(str, range(teams))), teams_missing=(), rookie_class=4, rookies_carded=("a",),
        rookies_in_base=(), rookies_signing=(), rookies_missing=(),
    )  # fmt: skip


def test_a_case_without_a_price_counts_as_its_boxes():
    """Six at 40 are 240, or 60 a slot; (60 + 5) x 1.1 = 71.50 for 66."""
    found = aim("break buyer", "40", people=_served(4))
    assert (found.buy, found.price) == ("wait", D("60.00"))
    assert (
        "A Hobby case costs $240.00 (6 boxes at the street price). Split across 4 teams, that is $60.00 a "
        "slot on average, or $71.50 with tax and shipping, without a margin for the host"
    ) in found.why
    assert "expected to return $66.00, 92 % of what you pay" in found.why


def test_a_box_goes_before_a_slot_that_returns_less():
    """A slot costs (50 + 5) x 1.1 / 66 of what it returns, a box (p + 5) x 1.1 / 44: equal at 31.6667."""
    given = {"case": "200", "people": _served(4), "asked": None}
    found = aim("break buyer", "33.40", **given)
    assert (found.buy, found.of) == ("slot", "slot")
    asked = {"asked": Asked(slot="Otters", worth=D(66), asked=D(50))}
    found = aim("break buyer", "20", **asked)
    assert told(found) == ("box", "box", D("31.67"))
    assert aim("break buyer", "31.66", **asked).buy == "box"
    assert aim("break buyer", "31.67", **asked).buy == "slot"


def test_a_case_goes_before_an_asked_slot_that_returns_less():
    """The slot costs 0.9167 of what it returns, a case (c + 5) x 1.1 / 264: equal at 215."""
    asked = {"asked": Asked(slot="Otters", worth=D(66), asked=D(50))}
    found = aim("break buyer", case="214.99", **asked)
    assert told(found) == ("case", "case", D("215.00"))
    assert aim("break buyer", case="215", **asked).buy == "slot"
    # a maker's price does not stand beside a street price
    assert aim("break buyer", case="100", case_kind="list", **asked).buy == "slot"


@pytest.mark.parametrize(("asked", "buy"), [("40", "slot"), ("49.54", "slot"), ("49.55", "wait")])
def test_a_known_slot_is_bought_up_to_what_its_cards_are_worth(asked, buy):
    """Worth 60, that is (q + 5) x 1.1 at 49.545."""
    found = aim("break buyer", asked=Asked(slot="Otters", worth=D(60), asked=D(asked)))
    assert told(found) == (buy, "slot", D("49.55"))
    assert "best slot is Otters" in found.why


def test_without_returns_a_break_buyer_hears_what_a_slot_costs():
    """(50 + 5) x 1.1 = 60.50."""
    found = aim("break buyer", case="200", people=_served(4), returns=WHY)
    assert told(found) == ("not known", "", None)
    assert "that is $50.00 a slot on average, or $60.50 with tax and shipping" in found.why
    assert aim("break buyer", None, people=_served(4)).why == "There is no price for a Hobby case yet."


# an evening


@pytest.mark.parametrize(("box", "buy"), [("60", "box"), ("75", "box"), ("75.01", "wait"), ("200", "wait")])
def test_a_casual_opener_wants_half_back(box, buy):
    """44 is half of 88, that is (75 + 5) x 1.1."""
    found = aim("casual opener", box)
    assert told(found) == (buy, "box", D("75.01"))
    assert found.format == "hobby"


def test_a_casual_opener_hears_what_the_fun_costs():
    """71.50 - 44 = 27.50 for ten packs; 44 of 71.50 is 62 of 100."""
    assert aim("casual opener").why == (
        "With tax and shipping a Hobby box costs $71.50 and is expected to return $44.00, 62 % of what you "
        "pay, so the fun costs you $2.75 a pack; at $30.00 a box would break even half the time."
    )


def test_a_casual_opener_takes_a_case_where_that_returns_more():
    """A box costs 71.50 / 44 of what it returns, a case (c + 5) x 1.1 / 264: equal at 385."""
    found = aim("casual opener", case="300")
    assert told(found) == ("case", "case", D("385.00"))
    assert "With tax and shipping a Hobby case costs $335.50 and is expected to return $264.00" in found.why
    assert aim("casual opener", case="385").buy == "box"


@pytest.mark.parametrize(("share", "below"), [("0.5", "75.01"), ("0.8", "45.01"), ("1", "35.01")])
def test_what_is_fair_as_entertainment_is_the_seasons_choice(share, below):
    """44 is the share of (p + 5) x 1.1: of 88, of 55 and of 44."""
    buying = Buying(tax=D("0.1"), shipping=D(5), entertainment=D(share))
    assert advised(buying=buying).price.below == D(below)


def test_the_format_that_returns_most_is_opened():
    """Retail at 20 lands at 27.50 and returns 22, 80 of 100; Hobby's 62 of 100 are as much at 27.50."""
    formats = {"hobby": priced("60"), "retail": priced("20", name="Retail")}
    returns = Returns(formats={"hobby": brings("44", None), "retail": brings("22", None, "Retail")})
    found = aim("casual opener", formats=formats, returns=returns)
    assert (found.buy, found.format) == ("box", "retail")
    # (p + 5) x 1.1 / 22 = 71.50 / 44 at 27.50, where Hobby, the headline, comes first
    assert found.below == D("27.50")


def test_without_returns_a_casual_opener_hears_what_a_pack_costs():
    """71.50 for ten."""
    found = aim("casual opener", returns=WHY)
    assert told(found) == ("not known", "", None)
    assert found.why == (
        "With tax and shipping a pack of a Hobby box costs $7.15. What a Hobby box returns is not "
        "known: there are no sales yet."
    )
    found = aim("casual opener", None)
    assert told(found) == ("not known", "box", D("75.01"))


# singles


def test_a_singles_buyer_buys_what_has_a_price():
    """They bring 0, 0, 0, 4, 21 and 102: the middle is 2, and (2 + 1.5) / 0.9 = 3.89."""
    found = aim("singles buyer", last_sale=date(2031, 5, 1))
    assert told(found) == ("singles", "", None)
    assert "half cost $3.89 or less with postage" in found.why
    assert "6 cards worth buying as singles" in found.why


@pytest.mark.parametrize(("error", "buy"), [("0.024", "wait"), ("0.025", "singles")])
def test_a_singles_buyer_waits_while_prices_fall_by_more_than_chance_explains(error, buy):
    """Two standard errors of 0.025 are all of 0.05; e to the -0.05 is 0.951229, that is 4.9 % less."""
    found = aim("singles buyer", values=valued(week=("-0.05", error)))
    assert found.buy == buy
    if buy == "wait":
        assert "In sales up to 2031-05-01, prices were falling 4.9 % a week" in found.why
        assert "wait until 2031-05-11, 60 days after the release" in found.why
    later = aim("singles buyer", values=valued(week=("-0.05", error)), last_sale=date(2031, 5, 11))
    assert ("until newer sales show that the fall has stopped" in later.why) == (buy == "wait")


@pytest.mark.parametrize(("presales", "buy"), [(10, "singles"), (11, "wait")])
def test_a_singles_buyer_waits_while_most_sales_are_presales(presales, buy):
    """More than half of twenty."""
    found = aim("singles buyer", values=valued(presales=presales))
    assert found.buy == buy
    assert ("are from before the release on 2031-03-12" in found.why) == (buy == "wait")


def test_a_singles_buyer_waits_for_own_sales():
    """Prices of other releases are none to buy by; without any nothing is known."""
    assert aim("singles buyer", values=valued(sales=3, carried="0.9", modelled="0")).buy == "wait"
    assert told(aim("singles buyer", values=WHY)) == ("not known", "", None)
    assert aim("singles buyer", values=valued(basis="bulk")).buy == "singles"


# all of them


def test_there_is_an_entry_for_each_aim_in_its_order():
    """And none where no format is described."""
    assert [one.aim for one in advised().aims] == [
        "set builder", "rookie hunter", "autograph buyer", "break buyer", "casual opener", "singles buyer",
    ]  # fmt: skip
    unknown = Unknown("no box formats are on file yet")
    assert advised(economics=unknown) == unknown


@given(
    st.integers(1, 20_000),
    st.integers(0, 30_000),
    st.integers(1, 400),
    st.integers(0, 2000),
    st.sampled_from(["0", "0.06", "0.2"]),
)
def test_a_cent_decides_for_every_aim(box, case, mean, shipping, tax):
    """Just below the price that is named the advice is for it, at the price it is not."""
    given = {
        "case": D(case) / 100 if case else None,
        "returns": Returns(formats={"hobby": brings(mean, 6 * mean)}),
        "buying": Buying(tax=D(tax), shipping=D(shipping) / 100),
        "people": _served(4),
    }
    for one in advised(D(box) / 100, **given).aims:
        if one.below is None or one.of == "slot":
            continue
        key = "box" if one.of == "box" else "case"
        rest = {"box": D(box) / 100} | given

        def at(price, key=key, rest=rest, one=one):
            changed = rest | {key: price}
            return aim(one.aim, changed.pop("box"), **changed)

        under, there = at(one.below - D("0.01")), at(one.below)
        if one.buy == one.of:
            assert one.below > one.price
            assert (under.buy, under.boxes) == (one.buy, one.boxes)
            assert (there.buy, there.boxes) != (one.buy, one.boxes)
        else:
            assert one.price >= one.below
            assert under.buy == one.of
            assert there.buy != one.of


@pytest.mark.parametrize(
    ("box", "now"),
    [
        ("60", "It now sells for $60.00"),
        ("75.01", "It now sells for $75.01"),
        (None, "There is no price for one yet"),
    ],
)
def test_the_fair_price_is_told_after_that_of_an_even_chance(box, now):
    """With what it rests on."""
    found = advised(box).price
    assert (found.format, found.below) == ("hobby", D("75.01"))
    assert found.sentence == (
        "At $30.00 a Hobby box would break even half the time. Below $75.01 it is worth opening for fun: on "
        f"average you get back at least half of what you pay, tax and shipping included. {now}. "
        "60 % of the cards' value is estimated from similar cards."
    )


def test_the_sensible_price_may_be_none_or_not_known():
    """Shipping of 5 x 1.1 is more than twice 2.50."""
    found = advised(returns=Returns(formats={"hobby": brings("2.50", None)})).price
    assert found.below is None
    assert (
        "It is worth opening for fun at no price: on average you never get back at least half of what you pay"
        in found.sentence
    )
    found = advised(returns=WHY).price
    assert found == Unknown("what a Hobby box returns is not known: there are no sales yet")
    assert (
        "comes from other releases' prices"
        in advised(values=valued(carried="0.9", modelled="0")).price.sentence
    )
