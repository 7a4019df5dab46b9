"""What a box holds: promises, odds, what they leave, and base for the rest, each by hand arithmetic."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from rating.facts.falling.collation import collate
from rating.facts.falling.lines import CardLine
from rating.numerics.rates import Rate
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee


def line(subset, kind="base", cards=10, run=None, odds=None, parallel="", formats=("hobby",)):
    """A line of so many cards."""
    made = tuple(
        Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", False, False, "", i)
        for i in range(cards)
    )
    return CardLine(
        subset=subset,
        parallel=parallel,
        kind=kind,
        cards=made,
        runs=(run,) * cards,
        odds={"hobby": Decimal(odds)} if odds else {},
        formats=formats,
    )


def packed(*guarantees, cards=5, packs=10, boxes=6):
    """A format of ten packs of five."""
    return Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=Decimal(cards),
        packs_per_box=packs,
        boxes_per_case=boxes,
        guarantees=guarantees,
    )


def promise(what, count, per="box", hard=True, **more):
    """A promise of the maker."""
    return Guarantee(what=what, count=Decimal(count), per=per, hard=hard, **more)


BASE = line("Base", cards=100)


def test_odds_say_how_many_a_box_and_base_fills_the_rest():
    """1:5 in ten packs is two inserts a box; 50 cards less 2 are base, 4.8 a pack."""
    found = collate(packed(), [BASE, line("Night", "insert", odds=5)])
    assert found.expected(2) == pytest.approx([48, 2])
    assert found.base_per_pack == pytest.approx(4.8)
    assert [draw.certain for draw in found.draws] == [False, False]


def test_a_hard_promise_is_drawn_for_certain_in_proportion_to_the_odds():
    """Two autographs a box from lines at 1:10 and 1:30, 1 and 1/3 a box: three quarters, a quarter."""
    lines = [BASE, line("Ink", "autograph", odds=10), line("Ink", "autograph", odds=30, parallel="Gold")]
    draw = next(one for one in collate(packed(promise("autograph", 2)), lines).draws if one.certain)
    assert (draw.lines, draw.count, draw.per) == ((1, 2), 2, "box")
    assert draw.weights == pytest.approx((0.75, 0.25))


def test_what_the_odds_give_beyond_a_hard_promise_falls_on_average():
    """Promised one a box, at 1:4 two and a half fall: one for certain and one and a half on average."""
    found = collate(packed(promise("autograph", 1)), [BASE, line("Ink", "autograph", odds=4)])
    assert [(one.per_box, one.certain) for one in found.draws if 1 in one.lines] == [
        (1, True),
        (pytest.approx(1.5), False),
    ]


def test_odds_that_only_round_to_the_promise_do_not_add_to_it():
    """1:10 in ten packs may be 1:9.6, which is within what was promised."""
    found = collate(packed(promise("autograph", 1)), [BASE, line("Ink", "autograph", odds=Decimal("9.6"))])
    assert found.expected(2)[1] == 1


def test_an_average_promise_without_odds_shares_what_the_odds_leave():
    """Ten inserts a box on average, one line at 1:5 brings two: eight are left for 30 and 10 cards."""
    lines = [BASE, line("A", "insert", odds=5), line("B", "insert", 30), line("C", "insert", 10)]
    found = collate(packed(promise("insert", 10, hard=False)), lines)
    assert found.expected(4) == pytest.approx([40, 2, 6, 2])


def test_a_wider_promise_counts_what_a_narrower_one_brings():
    """Three hits of which one is an autograph leave two relics."""
    lines = [BASE, line("Ink", "autograph"), line("Cloth", "relic")]
    found = collate(packed(promise("hit", 3), promise("autograph", 1)), lines)
    assert found.expected(3) == pytest.approx([47, 1, 2])
    assert all(one.certain for one in found.draws if one.source == "guarantee")


def test_a_promise_by_the_pack_or_case_is_kept_by_the_pack_or_case():
    """One a pack is ten a box; three a case of six boxes is half of one a box."""
    lines = [BASE, line("Base", parallel="Mist", cards=100), line("Ink", "autograph")]
    found = collate(packed(promise("parallel", 1, "pack"), promise("autograph", 3, "case")), lines)
    assert [(one.per, one.count, one.per_box) for one in found.draws if one.certain] == [
        ("case", 3, pytest.approx(0.5)),
        ("pack", 1, 10),
    ]


def test_numbered_cards_that_nothing_speaks_of_are_spread_over_the_packs():
    """Ten cards numbered to 20 in 1,000 packs are two a box of ten packs; unnumbered ones stay open."""
    lines = [BASE, line("Ink", "autograph", run=20), line("Night", "insert")]
    found = collate(packed(), lines, packs={"hobby": 1000})
    assert found.expected(3) == pytest.approx([48, 2, 0])
    assert found.open_lines == (2,)


def test_odds_that_the_others_contradict_are_replaced():
    """Stated 1:2, implied 1:5: two a box instead of five."""
    found = collate(
        packed(),
        [BASE, line("Ink", "autograph", odds=2)],
        rates={(1, "hobby"): Rate(low=0.18, estimate=0.2, high=0.22)},
    )
    assert found.expected(2)[1] == pytest.approx(2)


def test_more_cards_than_a_box_holds_are_told():
    """Sixty promised inserts do not fit into fifty cards."""
    found = collate(packed(promise("insert", 60)), [BASE, line("Night", "insert")])
    assert (found.overfull, found.base_per_pack) == (10, 0)


def test_a_promise_of_one_subset_speaks_of_it_alone():
    """Half a signed canvas a box, and two other autographs."""
    lines = [BASE, line("Canvas", "autograph relic"), line("Ink", "autograph")]
    own = promise("autograph relic", "0.5", hard=False, subset="canvas")
    found = collate(packed(promise("autograph", 2, hard=False), own), lines)
    assert found.expected(3) == pytest.approx([48, 0.5, 1.5])


def test_a_format_whose_packing_is_not_described_has_no_collation():
    """Nothing is guessed."""
    unknown = Format(key="hobby", name="Hobby", cards_per_pack=None, packs_per_box=None, boxes_per_case=None)
    assert collate(unknown, [BASE]) is None
    assert collate(packed(), []) is None


def test_shares_of_a_draw_sum_to_one():
    """Whatever the pool."""
    lines = [BASE, line("A", "autograph", 7, run=3), line("B", "autograph", 5, run=11), line("C", "relic", 3)]
    found = collate(packed(promise("hit", 4), promise("autograph", "1.5")), lines)
    assert all(sum(one.weights) == pytest.approx(1) for one in found.draws)
    assert found.draws[0].count == Fraction(3, 2)
    assert found.expected(4)[1] == pytest.approx(1.5 * 21 / 76)


def test_short_prints_of_the_base_set_fall_by_their_own_odds():
    """1:2 in ten packs is five a box, and plain cards take the other 45; odds of all base lines do not."""
    found = collate(packed(), [BASE, line("Portholes", cards=20, odds=2)])
    assert found.expected(2) == pytest.approx([45, 5])
    alike = collate(packed(), [line("Base", cards=30, odds=1), line("More", cards=20, odds=1)])
    assert alike.expected(2) == pytest.approx([30, 20])


def test_an_unnumbered_card_falls_more_often_than_any_numbered_one():
    """Of ten hits a box, ten cards without a number count 300 each, ten of 1 copy 1 each."""
    lines = [BASE, line("Hands", "relic"), line("Hands", "relic", run=1, parallel="Heart")]
    found = collate(packed(promise("hit", 10)), lines)
    assert found.expected(3)[1:] == pytest.approx([10 * 300 / 301, 10 / 301])
    # where a numbered one has more copies, as many as it has
    lines = [BASE, line("Hands", "relic"), line("Hands", "relic", run=900, parallel="Heart")]
    assert collate(packed(promise("hit", 10)), lines).expected(3)[1:] == pytest.approx([5, 5])
