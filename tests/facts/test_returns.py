"""What a box of a packing returns: by hand, by simulation of the same packing, and in the sample."""

from __future__ import annotations

import dataclasses
import math
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import comb, sqrt
from types import SimpleNamespace

import numpy as np
import pytest

from rating.facts.context import Buying, SeasonContext
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.facts import Facts
from rating.facts.falling.collation import Collation, Draw, collate
from rating.facts.falling.lines import CardLine
from rating.facts.plain import Unknown
from rating.facts.returns import tell as telling_returns
from rating.facts.returns.compute import CASE_GRID, categories, on_grid, payout, returns
from rating.facts.returns.value import Returns
from rating.facts.scarcity.value import FormatPacks, Scarcity, Span
from rating.money import cents
from rating.numerics.sums import Category, distribution
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee
from rating.tenths import six_digits


def line(subset, kind="base", cards=2, run=None, odds=None):
    """A line of so many cards."""
    made = tuple(
        Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", False, False, "", i)
        for i in range(cards)
    )
    return CardLine(
        subset=subset,
        parallel="",
        kind=kind,
        cards=made,
        runs=(run,) * cards if not isinstance(run, tuple) else run,
        odds={"hobby": Decimal(odds)} if odds else {},
        formats=("hobby",),
    )


def packed(*guarantees):
    """Ten packs of five, six boxes a case."""
    return Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=Decimal(5),
        packs_per_box=10,
        boxes_per_case=6,
        guarantees=guarantees,
    )


def promise(what, count, per="box"):
    """A promise for certain."""
    return Guarantee(what=what, count=Decimal(count), per=per, hard=True)


def money(price, case=None):
    """The economics of the format at a price."""
    plain = dict.fromkeys(FormatEconomics.__dataclass_fields__)
    hobby = FormatEconomics(
        **plain
        | {"name": "Hobby", "box_price": Decimal(price), "price_kind": "street", "boxes_per_case": 6}
        | {"case_price": case and Decimal(case), "case_kind": "street", "prices": ()}
    )
    return Economics(
        headline="hobby", formats={"hobby": hobby}, price_class="", class_price=None, left_out=()
    )


LINES = [line("Base", cards=4), line("Ink", "autograph", run=(30, 10)), line("Night", "insert", odds=5)]
NO_RUN = Unknown("there are no odds")
VALUES = [[0.0] * 4, [20.0, 100.0], [1.0, 3.0]]


def test_a_box_of_a_promise_and_odds_by_hand():
    """One autograph: 20 in 3 of 4, 100 else; ten packs at 1:5 of inserts worth 2 on average: 40 + 4."""
    collation = collate(packed(promise("autograph", 1)), LINES)
    found = distribution(categories(collation, LINES, VALUES), 0.05)
    assert found.mean == pytest.approx(0.75 * 20 + 0.25 * 100 + 2 * 2)
    # 100 is returned when the dear one falls; else twenty more would take inserts worth 80
    assert found.at_least(100) == pytest.approx(0.25, abs=1e-9)
    # no insert in ten packs and the cheap one
    assert found.probabilities[400] == pytest.approx(0.75 * 0.8**10)


def test_a_case_keeps_its_promise_and_a_box_of_it_gets_a_share():
    """Three autographs in different ones of a case's sixty packs: all in the case, and a box gets its share.

    Of C(60, 3) = 34,220 ways C(50, 3) = 19,600 leave a box without and 10 x C(50, 2) = 12,250 give it one.
    """
    collation = collate(packed(promise("autograph", 3, "case")), LINES[:2])
    box = distribution(categories(collation, LINES, VALUES), 1)
    case = distribution(categories(collation, LINES, VALUES, boxes=6), 1)
    none, one = 19_600 / 34_220, 12_250 / 34_220
    assert box.probabilities[[0, 20, 100]] == pytest.approx([none, 0.75 * one, 0.25 * one])
    assert case.mean == pytest.approx(6 * box.mean) == pytest.approx(120)
    assert case.at_least(60) == pytest.approx(1)
    assert case.at_least(300) == pytest.approx(0.25**3)


@pytest.mark.parametrize(
    ("per", "count", "mean"), [("pack", "1", 400), ("pack", "0.5", 200), ("box", "2.5", 100)]
)
def test_what_is_promised_by_the_pack_or_in_parts(per, count, mean):
    """Of cards worth 40 on average."""
    collation = collate(packed(promise("autograph", count, per)), LINES[:2])
    assert distribution(categories(collation, LINES, VALUES), 1).mean == pytest.approx(mean)


def test_a_simulation_of_the_packing_agrees():
    """100,000 boxes drawn card by card, within four standard errors."""
    lines = [*LINES, line("Rare", "relic", cards=3, odds=40)]
    values = [[0.1, 0.2, 0.3, 2.0], *VALUES[1:], [5.0, 50.0, 400.0]]
    collation = collate(packed(promise("autograph", "1.5")), lines)
    found = distribution(categories(collation, lines, values), 0.05)
    rng, n = np.random.default_rng(12), 100_000
    total = np.zeros(n)
    for number, worth, chances in (
        (1 + (rng.random(n) < 0.5), VALUES[1], [0.75, 0.25]),
        (rng.binomial(10, 0.2, n), VALUES[2], [0.5, 0.5]),
        (rng.binomial(10, 1 / 40, n), values[3], [1 / 3] * 3),
    ):
        drawn = rng.choice(worth, number.sum(), p=chances)
        total += np.bincount(np.repeat(np.arange(n), number), weights=drawn, minlength=n)
    # ten packs of 4.6 base cards a pack: all four of the set, and six times in ten one of them again
    over = (rng.random((n, 10)) < 0.6) * rng.choice(values[0], (n, 10))
    total += 10 * sum(values[0]) + over.sum(axis=1)
    for amount in (40, 60, 120, 300):
        p = found.at_least(amount)
        assert (total >= amount - 1e-9).mean() == pytest.approx(p, abs=4 * sqrt(p * (1 - p) / n) + 0.002)


def test_prices_and_chances_are_told_in_cents_and_digits():
    """Box at 50: returned when the dear one falls; the loss else is 50 less 20 and the inserts."""
    collation = collate(packed(promise("autograph", 1)), LINES[:2])
    found = payout(distribution(categories(collation, LINES, VALUES), 0.05), Decimal("50.00"))
    assert (found.mean, found.median, found.p_return) == (Decimal("40.00"), Decimal("20.00"), Decimal("0.25"))
    assert (found.loss_given_loss, found.even_price) == (Decimal("30.00"), Decimal("20.00"))


def test_chances_where_all_cards_are_worth_less_or_more():
    """20 in 3 of 4 boxes, 100 else, at a price of 50: at a third of it nobody wins, at three times all do."""
    collation = collate(packed(promise("autograph", 1)), LINES[:2])
    found = payout(distribution(categories(collation, LINES, VALUES), 0.05), Decimal(50), Decimal(3))
    assert (found.p_low, found.p_return, found.p_high) == (0, Decimal("0.25"), 1)


def test_the_factor_covers_nine_in_ten():
    """1.645 standard errors of 0.4 to either side: e^0.658 = 1.93, by the table of the normal law."""
    collations = {"hobby": collate(packed(promise("autograph", 1)), LINES[:2])}
    found = returns(money("50"), LINES[:2], collations, VALUES[:2], NO_RUN, known_to(0.4))
    assert float(found.formats["hobby"].factor) == pytest.approx(1.9309, abs=1e-4)
    assert found.formats["hobby"].box.p_high == Decimal("0.25")
    assert found.as_of == date(2031, 5, 18)


def known_to(error, never_on_offer=0.0):
    """Values whose sums are known to an error, as far as returns ask."""
    values = SimpleNamespace(least=None, as_of=date(2031, 5, 18), sales=20)
    level = SimpleNamespace(error=lambda _: error, never_on_offer=lambda _: never_on_offer)
    return SimpleNamespace(level=level, values=values)


def test_the_mean_is_told_with_its_interval_and_refused_where_that_says_nothing():
    """A tenth of it to ten times as much are 1.645 errors of 1.4: e^2.303 = 10."""
    collations = {"hobby": collate(packed(promise("autograph", 1)), LINES[:2])}
    facts = Facts(headline="hobby", season=SimpleNamespace(currency="USD"), values=Unknown("not here"))
    found = returns(money("50"), LINES[:2], collations, VALUES[:2], NO_RUN, known_to(1.39))
    mean = found.formats["hobby"].box.mean
    factor = Decimal(str(math.exp(1.645 * 1.39)))
    words = telling_returns.told(found, facts)
    assert f"likely between ${cents(mean / factor)} and ${cents(mean * factor):,} (9 in 10)" in words
    found = returns(money("50"), LINES[:2], collations, VALUES[:2], NO_RUN, known_to(1.41))
    assert found.formats["hobby"] == Unknown(
        "20 sales are too few: what a Hobby box returns on average may be over 10 times more or less than "
        "they say"
    )


@pytest.mark.parametrize(("share", "is_told"), [(0.5, True), (0.501, False), (0.79, False)])
def test_a_box_of_people_who_were_not_on_offer_has_no_mean(share, is_told):
    """Sales of others say nothing of more than half of it, however sure they are of the rest."""
    collations = {"hobby": collate(packed(promise("autograph", 1)), LINES[:2])}
    worth = known_to(0.1, never_on_offer=share)
    found = returns(money("50"), LINES[:2], collations, VALUES[:2], NO_RUN, worth).formats["hobby"]
    assert isinstance(found, Unknown) != is_told
    if not is_told:
        assert found.why == (
            f"none of the 20 sales is of the people who make up {round(100 * share)} % of a Hobby box's "
            "value, so they cannot say what a box returns"
        )


def rests_on(least, bases, never_sold=()):
    """Values of the lines that rest on this, as far as returns ask."""
    own = [
        SimpleNamespace(expected=values, basis=[basis] * len(values))
        for values, basis in zip(VALUES, bases, strict=True)
    ]
    told = SimpleNamespace(least=least, as_of=date(2031, 5, 18), never_sold=never_sold)
    return SimpleNamespace(level=None, values=told, lines=own)


def test_commons_that_sell_at_the_least_price_are_named_with_what_they_would_add():
    """47 base cards a box, worth 0 as bulk and sold at 0.99: 46.53 more, by hand."""
    collations = {"hobby": collate(packed(promise("autograph", 1)), LINES)}
    worth = rests_on(Decimal("0.99"), ("bulk", "modelled", "modelled"))
    found = returns(money("50"), LINES, collations, VALUES, NO_RUN, worth).formats["hobby"]
    assert (found.commons, found.least) == (("Base",), Decimal("0.99"))
    assert found.with_commons == found.box.mean + Decimal("46.53")
    facts = Facts(headline="hobby", season=SimpleNamespace(currency="USD"), values=Unknown("not here"))
    words = telling_returns.told(Returns(formats={"hobby": found}, as_of=date(2031, 5, 18)), facts)
    assert words.startswith("At 2031-05-18 prices, a Hobby box is expected to return ")
    assert "Most cards in Base sell for $0.99, the lowest price of any card, so they count as bulk." in words


@pytest.mark.parametrize(
    "worth",
    [
        rests_on(None, ("bulk", "modelled", "modelled")),
        rests_on(Decimal("0.99"), ("modelled", "modelled", "modelled")),
        rests_on(Decimal("0.99"), ("bulk", "modelled", "modelled"), never_sold=("base",)),
    ],
)
def test_commons_are_not_named_where_none_sells_at_a_least_price(worth):
    """No such price, no bulk, or nobody knows what they sell for."""
    collations = {"hobby": collate(packed(promise("autograph", 1)), LINES)}
    found = returns(money("50"), LINES, collations, VALUES, NO_RUN, worth).formats["hobby"]
    assert (found.commons, found.with_commons) == ((), None)


def test_without_a_price_there_is_a_mean_and_no_chance():
    """A price of 0 is no price either."""
    collation = collate(packed(promise("autograph", 1)), LINES[:2])
    for price in (None, Decimal(0)):
        found = payout(distribution(categories(collation, LINES, VALUES), 0.05), price)
        assert (found.p_return, found.loss_given_loss) == (None, None)
        assert found.mean == Decimal("40.00")


def test_the_section_holds_box_and_case_and_says_what_is_left_out():
    """The case at its own price, else at that of its boxes; open lines are named."""
    lines = [*LINES[:2], line("Fog", "insert")]
    collations = {"hobby": collate(packed(promise("autograph", 1)), lines)}
    found = returns(money("50", "270"), lines, collations, [*VALUES[:2], [1.0, 1.0]], NO_RUN).formats["hobby"]
    assert (found.box.price, found.case.price) == (50, 270)
    assert found.left_out == ("Fog",)
    assert (
        returns(money("50"), lines, collations, [*VALUES[:2], [1.0, 1.0]], NO_RUN).formats["hobby"].case.price
        == 300
    )


def test_without_values_packing_or_draws_it_says_why():
    """Nothing is made up."""
    assert returns(money("50"), LINES, {}, Unknown("there are no sales"), NO_RUN) == Unknown(
        "there are no sales"
    )
    assert "not described" in returns(money("50"), LINES, {}, VALUES, NO_RUN).formats["hobby"].why
    bare = Collation(
        format="hobby",
        packs_per_box=10,
        boxes_per_case=None,
        cards_per_pack=Fraction(5),
        draws=(),
        open_lines=(0,),
        overfull=0.0,
    )
    assert "nothing says" in returns(money("50"), LINES, {"hobby": bare}, VALUES, NO_RUN).formats["hobby"].why


def test_a_line_without_cards_to_draw_from_is_passed_over():
    """A draw of lines that have no values brings nothing."""
    draw = Draw(
        what="x", lines=(0,), weights=(1.0,), count=Fraction(1), per="box", per_box=1.0, certain=True,
        source="guarantee",
    )  # fmt: skip
    bare = Collation(
        format="hobby",
        packs_per_box=10,
        boxes_per_case=None,
        cards_per_pack=Fraction(5),
        draws=(draw,),
        open_lines=(),
        overfull=0.0,
    )
    assert categories(bare, [line("Empty", cards=0)], [[]]) == []


def test_commons_worth_less_than_a_step_keep_their_sum():
    """A hundred commons at 0.08 are 8, not nothing; each adds 0.32 x 0.68 steps squared of variance."""
    drawn, added = on_grid([Category(100, [0.08, 0.25], [1, 0])], CASE_GRID)
    found = distribution(drawn, CASE_GRID)
    assert found.mean == pytest.approx(8, abs=1e-9)
    assert added == pytest.approx(0.25 * sqrt(100 * 0.32 * 0.68))
    assert found.sd == pytest.approx(added)


def test_values_on_the_grid_are_left_as_they_are():
    """0.15 is three steps of 0.05, though not in floats."""
    drawn, added = on_grid([Category(2, [0.15, 0.3], [1, 3])], 0.05)
    assert (drawn[0].values, added) == (pytest.approx([0.15, 0.3]), pytest.approx(0, abs=1e-9))


def run_of(packs):
    """So many packs of the format exist."""
    span = Span(low=packs, high=packs, estimate=packs, error=None)
    return Scarcity(
        formats={"hobby": FormatPacks(packs=span, boxes=None, cases=None, remark="")},
        total=span,
        consistent=True,
        set_aside=(),
        alternatives=(),
        all_listed=True,
        lines_used=1,
        lines=(),
        promises=(),
    )


def one_pack(boxes_per_case=None):
    """Boxes of a single pack of three signed cards, and nothing else."""
    return dataclasses.replace(
        packed(promise("autograph", 3)),
        cards_per_pack=Decimal(3),
        packs_per_box=1,
        boxes_per_case=boxes_per_case,
    )


def test_a_box_of_a_tiny_run_is_that_of_all_its_combinations():
    """Twelve copies of four cards: each of the 220 ways to take three of them is as likely."""
    ink, worth = [line("Ink", "autograph", cards=4, run=(1, 2, 3, 6))], [[90.0, 40.0, 12.0, 1.0]]
    copies = [value for value, run in zip(worth[0], (1, 2, 3, 6), strict=True) for _ in range(run)]
    sums = sorted(Fraction(sum(map(int, three))) for three in combinations(copies, 3))
    assert len(sums) == 220
    found = returns(money("50"), ink, {"hobby": collate(one_pack(), ink)}, worth, run_of(4)).formats["hobby"]
    assert (found.box_share, found.case_share, found.finite) == (Decimal("0.25"), None, ("box",))
    below = [one for one in sums if one < 50]
    assert found.box.p_return == six_digits(1 - Fraction(len(below), 220))
    assert found.box.mean == cents(sum(sums) / 220)
    assert found.box.loss_given_loss == cents(50 - sum(below) / len(below))
    quantiles = {0.05: found.box.q05, 0.25: found.box.q25, 0.5: found.box.median, 0.75: found.box.q75}
    for share, amount in quantiles.items():
        assert amount == sums[math.ceil(round(share * 220, 9)) - 1]
    variance = sum(one**2 for one in sums) / 220 - (sum(sums) / 220) ** 2
    assert float(found.box.sd) == pytest.approx(sqrt(variance), abs=0.005)


def test_only_what_opens_more_than_a_hundredth_of_the_run_is_drawn_without_replacement():
    """800 cards, 8 of them dear: a box of 3 opens 0.375 %, a case of six 2.25 %, hypergeometric."""
    ink, worth = [line("Ink", "autograph", run=(8, 792))], [[100.0, 0.0]]
    collations = {"hobby": collate(one_pack(6), ink)}
    found = returns(money("100", "100"), ink, collations, worth, run_of(267)).formats["hobby"]
    assert found.finite == ("case",)
    assert found.box_share == six_digits(Fraction(1, 267))
    assert found.case_share == six_digits(Fraction(6, 267))
    assert found.case.p_return == six_digits(1 - Fraction(comb(792, 18), comb(800, 18)))
    assert found.box.p_return == six_digits(1 - Fraction(99, 100) ** 3)


@pytest.mark.parametrize(
    ("ink", "packs"),
    [
        (line("Ink", "autograph", run=(8, 792)), None),  # how many exist is not known
        (line("Ink", "autograph", run=(8, None)), 267),  # nor how many of one card
        (dataclasses.replace(line("Ink", "autograph", run=(8, 792)), formats=("hobby", "jar")), 267),
        (line("Ink", "autograph", run=(8, 16)), 8),  # more than a quarter of all is opened
    ],
)
def test_without_a_known_run_of_its_own_a_case_is_drawn_as_before(ink, packs):
    """And `finite` says so, whatever the share."""
    worth, collations = [[100.0, 0.0]], {"hobby": collate(one_pack(6), [ink])}
    scarcity = NO_RUN if packs is None else run_of(packs)
    found = returns(money("100", "100"), [ink], collations, worth, scarcity).formats["hobby"]
    plain = returns(money("100", "100"), [ink], collations, worth, NO_RUN).formats["hobby"]
    assert "case" not in found.finite
    assert found.case == plain.case


def test_the_telling_speaks_of_the_run_only_where_it_shows():
    """Above a hundredth it says how cards are drawn, below it nothing."""
    ink, worth = [line("Ink", "autograph", run=(8, 792))], [[100.0, 0.0]]
    season = SeasonContext(
        name="Trial", currency="USD", teams=(), rookies=None, classes=(), buying=Buying(), aliases={}
    )
    facts = Facts(headline="hobby", season=season, values=Unknown("not here"))

    def told(packs):
        section = returns(
            money("100", "100"), ink, {"hobby": collate(one_pack(6), ink)}, worth, run_of(packs)
        )
        return telling_returns.told(section, facts)

    assert "One case is 1 in 45 of all Hobby packs that exist, so its promised cards are" in told(267)
    assert "One box is" not in told(267)
    assert "that exist" not in told(600)  # six of 600 are a hundredth


@pytest.mark.parametrize("times", [150, 16_000, 2_000_000])
def test_money_of_small_units_is_as_likely_to_come_back(times):
    """The same box and case in money of which so many are one: amounts grow, chances stay."""
    collations = {"hobby": collate(packed(promise("autograph", 1)), LINES)}

    def made(unit):
        values = [[unit * value for value in own] for own in VALUES]
        return returns(money(50 * unit, 270 * unit), LINES, collations, values, NO_RUN).formats["hobby"]

    small, large = made(1), made(times)
    for one, other in ((small.box, large.box), (small.case, large.case)):
        assert float(other.p_return) == pytest.approx(float(one.p_return), abs=0.002)
        assert float(other.mean) == pytest.approx(times * float(one.mean), rel=1e-4)
        for q in ("q05", "median", "q95"):
            assert float(getattr(other, q)) == pytest.approx(times * float(getattr(one, q)), rel=0.01)
    assert large.cut_off <= Decimal("0.04")


def test_one_card_worth_a_fortune_hides_no_other():
    """One box in fifty holds a card of a thousand million: the other 49 are told in the same steps."""
    lines = [LINES[0], line("Ink", "autograph", run=(49, 1))]
    collations = {"hobby": collate(packed(promise("autograph", 1)), lines)}
    found = returns(money(50), lines, collations, [[0.0] * 4, [20.0, 1e9]], NO_RUN).formats["hobby"].box
    assert (found.median, found.q95) == (20, 20)
    assert float(found.p_return) == pytest.approx(0.02, abs=1e-6)
    assert float(found.mean) == pytest.approx(20_000_019.6, rel=1e-6)
