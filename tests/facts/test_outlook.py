"""What packs, boxes and cases hold: published values, enumeration of small boxes, and simulated boxes."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from scipy import stats

from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import (
    AVERAGE,
    INDEPENDENT,
    SPREAD,
    Outlook,
    open_part,
    outlook,
    packs_for,
    shares,
)
from rating.numerics import chances
from rating.release.checklist import Card


def certain(count, per="box", lines=(0,), weights=(1.0,), packs=24, boxes=12):
    """So many for certain in each pack, box or case."""
    share = {"pack": packs, "box": 1, "case": Fraction(1, boxes)}[per]
    return Draw(
        what="hit",
        lines=lines,
        weights=weights,
        count=Fraction(count),
        per=per,
        per_box=float(Fraction(count) * share),
        certain=True,
        source="guarantee",
    )


def loose(per_box, source="odds", lines=(0,), weights=(1.0,), different=0):
    """So many on average; base cards are of a set of so many different ones."""
    return Draw(
        what="x",
        lines=lines,
        weights=weights,
        count=Fraction(per_box),
        per="box",
        per_box=per_box,
        certain=False,
        source=source,
        different=different,
    )


def box(*draws, packs=24, boxes=12, per_pack=8, open_lines=()):
    """A format with some draws."""
    return Collation(
        format="hobby",
        packs_per_box=packs,
        boxes_per_case=boxes,
        cards_per_pack=Fraction(per_pack),
        draws=draws,
        open_lines=open_lines,
        overfull=0.0,
    )


@pytest.mark.parametrize(
    ("one_in", "packs", "chance"),
    [
        (24, 24, 0.6399206107),
        (288, 24, 0.0800889929),
        (12, 24, 0.8760990779),
        (100, 100, 0.6339676587),
        (1440, 288, 0.1813261276),
    ],
)
def test_at_least_one_at_stated_odds(one_in, packs, chance):
    """1 - (1 - 1/N)^n [A12], computed from the formula by hand."""
    found = outlook(box(loose(24 / one_in)), {0: 1.0}, packs)
    assert found.at_least_one == pytest.approx(chance, abs=1e-10)
    assert found.expected == pytest.approx(packs / one_in)
    assert found.model == INDEPENDENT


@pytest.mark.parametrize(("chance", "packs"), [(0.5, 17), (0.9, 55), (0.95, 71), (0.99, 109)])
def test_packs_for_a_chance_at_1_in_24(chance, packs):
    """ceil(ln(1-q) / ln(1-1/24)) [A13]."""
    assert packs_for(box(loose(1.0)), {0: 1.0}, chance) == packs


def test_what_a_case_holds_for_certain_is_hypergeometric_in_a_part_of_it():
    """12 hits in a case of 288 packs, 24 opened: 0.65547; one in each box: certain [A14]."""
    of_case = outlook(box(certain(12, "case")), {0: 1.0}, 24)
    assert of_case.at_least_one == pytest.approx(0.6554680376, abs=1e-10)
    assert of_case.at_least_one == pytest.approx(1 - stats.hypergeom(288, 12, 24).pmf(0), abs=1e-12)
    assert outlook(box(certain(1)), {0: 1.0}, 24).none == 0
    assert SPREAD in of_case.model


def test_a_common_of_a_box_of_independent_packs():
    """One of 280 commons in 24 packs of 8 different cards: 1 - (1 - 8/280)^24 = 0.50128 [A15]."""
    found = outlook(box(loose(192.0, "rest", different=280)), {0: 1 / 280}, 24)
    assert found.at_least_one == pytest.approx(0.5012752232, abs=1e-10)


def test_draws_of_three_pools_are_poisson_binomial():
    """One card for certain from each of three pools with 1/2, 1/3 and 1/4 wanted: none with 1/4 [C07]."""
    found = outlook(box(*(certain(1, lines=(i,)) for i in range(3))), {0: 1 / 2, 1: 1 / 3, 2: 1 / 4}, 24)
    assert found.none == pytest.approx(0.25, abs=1e-15)
    assert found.none == pytest.approx(chances.hit_counts([1 / 2, 1 / 3, 1 / 4])[0], abs=1e-15)
    assert found.expected == pytest.approx(13 / 12)


def test_a_club_with_two_of_eighty_signers():
    """24 autographs for certain, 2 of 80 subjects: none with 0.54464 [C08]."""
    found = outlook(box(certain(24)), {0: 2 / 80}, 24)
    assert found.none == pytest.approx(0.5446415584, abs=1e-10)


@pytest.mark.parametrize(("hits", "empty"), [(24, 3.3996218843), (40, 1.2105174063)])
def test_clubs_that_go_away_empty(hits, empty):
    """k hits on 16 equal clubs leave c (1 - 1/c)^k of them empty [C11]."""
    found = outlook(box(certain(hits)), {0: 1 / 16}, 24)
    assert 16 * found.none == pytest.approx(empty, abs=1e-9)


@pytest.mark.parametrize("opened", range(5))
@pytest.mark.parametrize("count", [1, 3, 4, 6])
def test_a_part_of_a_box_by_enumeration(opened, count):
    """Hits in different packs of four, each from a pool with a third wanted: every placing and every draw."""
    share = Fraction(1, 3)
    each, more = divmod(count, 4)
    none = Fraction(0)
    places = list(combinations(range(4), more))
    for place in places:
        seen = [each + (pack in place) for pack in range(opened)]
        none += (1 - share) ** sum(seen) / len(places)
    found = outlook(box(certain(count, packs=4), packs=4), {0: float(share)}, opened)
    assert found.none == pytest.approx(float(none), abs=1e-14)


def test_a_pack_of_different_base_cards_by_enumeration():
    """2.5 cards a pack of a set of six, two wanted: all packs of two and of three, half of each."""

    def missed(size):
        packs = list(combinations(range(6), size))
        return Fraction(sum(not {0, 1} & set(pack) for pack in packs), len(packs))

    exact = ((missed(2) + missed(3)) / 2) ** 3
    found = outlook(box(loose(10.0, "rest", different=6), packs=4), {0: 1 / 3}, 3)
    assert found.none == pytest.approx(float(exact), abs=1e-14)


def test_more_base_cards_than_others_leave_nobody_out():
    """Five different ones of a set of six cannot miss two."""
    assert outlook(box(loose(20.0, "rest", different=6), packs=4), {0: 1 / 3}, 1).none == 0


def test_a_count_that_is_no_whole_number_is_a_mixture():
    """2.5 a box for certain: half of the boxes have two, half three; a tenth of the pool is wanted."""
    found = outlook(box(certain(Fraction(5, 2))), {0: 0.1}, 24)
    assert found.none == pytest.approx((0.9**2 + 0.9**3) / 2)
    assert found.expected == pytest.approx(0.25)
    assert outlook(box(certain(Fraction(5, 2))), {0: 0.1}, 48).none == pytest.approx(found.none**2)


def test_averages_and_more_than_one_a_pack_are_poisson():
    """Three a box on average: e^-3; 48 in a box of 24 packs: e^-48, which is still seen."""
    found = outlook(box(loose(3.0, "average")), {0: 1.0}, 24)
    assert (found.none, found.model) == (pytest.approx(math.exp(-3)), AVERAGE)
    found = outlook(box(loose(48.0)), {0: 1.0}, 24)
    assert found.none == pytest.approx(math.exp(-48), rel=1e-12)
    assert found.p == Decimal("0.999999")


def test_a_certain_card_has_the_chance_1_and_nothing_else_has():
    """What is almost certain is written as 0.999999."""
    assert Outlook(expected=1, none=0.0, model="").p == 1
    assert Outlook(expected=1, none=1e-9, model="").p == Decimal("0.999999")
    assert Outlook(expected=0, none=1.0, model="").p == 0


def test_nothing_opened_holds_nothing():
    """And less than nothing is refused."""
    collation = box(certain(2), loose(1.0), loose(100.0, "rest"))
    found = outlook(collation, {0: 1.0}, 0)
    assert (found.expected, found.none) == (0, 1)
    with pytest.raises(ValueError, match="-1"):
        outlook(collation, {0: 1.0}, -1)


def test_cards_that_are_in_no_draw_never_fall():
    """No number of packs would do; a chance that is none is refused."""
    collation = box(loose(1.0), open_lines=(1,))
    assert packs_for(collation, {1: 1.0}, 0.5) is None
    assert open_part(collation, {0: 1.0, 1: 0.5}) == (1,)
    for wrong in (0, 1, 1.5):
        with pytest.raises(ValueError, match="between 0 and 1"):
            packs_for(collation, {0: 1.0}, wrong)


def test_packs_for_a_chance_are_the_fewest():
    """One pack less falls short, whatever the mixture of draws."""
    collation = box(certain(1, "case", lines=(0,)), loose(0.1, lines=(1,)), loose(0.2, "average", lines=(2,)))
    wanted = {0: 0.2, 1: 0.5, 2: 1.0}
    for chance in (0.1, 0.5, 0.9, 0.999):
        packs = packs_for(collation, wanted, chance)
        now, before = (outlook(collation, wanted, n).at_least_one for n in (packs, packs - 1))
        assert before < chance <= now


def line(runs, rookies=()):
    """A line of numbered or unnumbered cards."""
    cards = tuple(
        Card("Ink", "autograph", str(i), ("P",), (), i in rookies, run, "", "", False, False, "", i)
        for i, run in enumerate(runs)
    )
    return CardLine(
        subset="Ink",
        parallel="",
        kind="autograph",
        cards=cards,
        runs=tuple(runs),
        odds={},
        formats=("hobby",),
    )


def test_shares_go_by_copies_where_all_are_numbered():
    """10 of 40 copies; one of two cards where a run is not known; nothing is no entry."""
    lines = [line([10, 30], {0}), line([10, None], {0}), line([5], {0}), line([5])]
    assert shares(lines, lambda one: one.card.rookie) == {0: 0.25, 1: 0.5, 2: 1.0}


def test_simulated_boxes_agree():
    """40,000 cases laid out card by card: chances and copies within four standard errors.

    Boxes of six packs, four to a case: two hits a box for certain in different packs from a pool of 3 and 7
    copies, three a case likewise, an insert at 1:4, 1.5 a box on average, and 5 of 20 base cards a pack.
    """
    rng = np.random.default_rng(20310312)
    packs, boxes, cases = 6, 4, 40_000
    collation = box(
        certain(2, "box", (0, 1), (0.3, 0.7), packs, boxes),
        certain(3, "case", (2,), (1.0,), packs, boxes),
        loose(1.5, lines=(3,)),
        loose(1.5, "average", lines=(4,)),
        loose(30.0, "rest", lines=(5,), different=20),
        packs=packs,
        boxes=boxes,
    )
    wanted = {0: 1.0, 2: 0.5, 3: 0.25, 4: 0.2, 5: 0.05}
    found = np.zeros((cases, boxes, packs), dtype=int)
    order = rng.random((cases, boxes, packs)).argsort(axis=2)[:, :, :2]
    drawn = rng.random((cases, boxes, 2)) < 0.3
    np.add.at(found, (np.arange(cases)[:, None, None], np.arange(boxes)[None, :, None], order), drawn)
    flat = found.reshape(cases, -1)
    order = rng.random((cases, boxes * packs)).argsort(axis=1)[:, :3]
    np.add.at(flat, (np.arange(cases)[:, None], order), rng.random((cases, 3)) < 0.5)
    flat += (rng.random(flat.shape) < 0.25) & (rng.random(flat.shape) < 0.25)
    flat += rng.binomial(rng.poisson(0.25, flat.shape), 0.2)
    flat += rng.random((*flat.shape, 20)).argsort(axis=2).argmin(axis=2) < 5
    for opened in (1, 3, 6, 9, 24):
        exact = outlook(collation, wanted, opened)
        seen = flat[:, :opened].sum(axis=1)
        error = math.sqrt(exact.none * (1 - exact.none) / cases)
        assert abs((seen == 0).mean() - exact.none) <= 4 * error
        assert abs(seen.mean() - exact.expected) <= 4 * seen.std() / math.sqrt(cases)


def test_two_draws_of_one_line_are_taken_together():
    """Half of one certain card, and half of one in four packs: 1/2 x (1 - 1/8)^24."""
    none = outlook(box(certain(1), loose(6.0)), {0: 0.5}, 24).none
    assert none == pytest.approx(0.5 * (7 / 8) ** 24)
