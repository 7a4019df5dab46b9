"""What a box of a packing returns: by hand, by simulation of the same packing, and in the sample."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import sqrt

import numpy as np
import pytest

from rating.facts.collation import Collation, Draw, collate
from rating.facts.lines import Line
from rating.facts.payout import CASE_GRID, categories, on_grid, payout, returns
from rating.facts.returns import Category, distribution
from rating.facts.values import Economics, FormatEconomics, Unknown
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee


def line(subset, kind="base", cards=2, run=None, odds=None):
    """A line of so many cards."""
    made = tuple(
        Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", False, False, "", i)
        for i in range(cards)
    )
    return Line(
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
        **plain | {"name": "Hobby", "box_price": Decimal(price), "case_price": case and Decimal(case)}
    )
    return Economics(
        headline="hobby", formats={"hobby": hobby}, price_class="", class_price=None, left_out=()
    )


LINES = [line("Base", cards=4), line("Ink", "autograph", run=(30, 10)), line("Night", "insert", odds=5)]
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
    """Three autographs a case of six boxes: half of one a box, three for certain in the case."""
    collation = collate(packed(promise("autograph", 3, "case")), LINES[:2])
    box = distribution(categories(collation, LINES, VALUES), 1)
    case = distribution(categories(collation, LINES, VALUES, boxes=6), 1)
    assert box.probabilities[[0, 20, 100]] == pytest.approx([0.5, 0.375, 0.125])
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
        (np.full(n, 46), values[0], [0.25] * 4),
    ):
        drawn = rng.choice(worth, number.sum(), p=chances)
        total += np.bincount(np.repeat(np.arange(n), number), weights=drawn, minlength=n)
    for amount in (40, 60, 120, 300):
        p = found.at_least(amount)
        assert (total >= amount - 1e-9).mean() == pytest.approx(p, abs=4 * sqrt(p * (1 - p) / n) + 0.002)


def test_prices_and_chances_are_told_in_cents_and_digits():
    """Box at 50: returned when the dear one falls; the loss else is 50 less 20 and the inserts."""
    collation = collate(packed(promise("autograph", 1)), LINES[:2])
    found = payout(distribution(categories(collation, LINES, VALUES), 0.05), Decimal("50.00"))
    assert (found.mean, found.median, found.p_return) == (Decimal("40.00"), Decimal("20.00"), Decimal("0.25"))
    assert (found.loss_given_loss, found.even_price) == (Decimal("30.00"), Decimal("20.00"))


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
    found = returns(money("50", "270"), lines, collations, [*VALUES[:2], [1.0, 1.0]]).formats["hobby"]
    assert (found.box.price, found.case.price) == (50, 270)
    assert found.left_out == ("Fog",)
    assert (
        returns(money("50"), lines, collations, [*VALUES[:2], [1.0, 1.0]]).formats["hobby"].case.price == 300
    )


def test_without_values_packing_or_draws_it_says_why():
    """Nothing is made up."""
    assert returns(money("50"), LINES, {}, Unknown("there are no sales")) == Unknown("there are no sales")
    assert "not described" in returns(money("50"), LINES, {}, VALUES).formats["hobby"].why
    bare = Collation(
        format="hobby",
        packs_per_box=10,
        boxes_per_case=None,
        cards_per_pack=Fraction(5),
        draws=(),
        open_lines=(0,),
        overfull=0.0,
    )
    assert "nothing says" in returns(money("50"), LINES, {"hobby": bare}, VALUES).formats["hobby"].why


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
