"""The section on opening: every order of small boxes enumerated, published runs, scipy, simulation."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from scipy.stats import binom, hypergeom, poisson

from rating.facts.falling.collation import Collation, Draw, collate
from rating.facts.falling.lines import CardLine
from rating.facts.opening.compute import dry_packs, hit_distribution, longest_run, opening
from rating.facts.opening.value import Opening
from rating.facts.plain import Unknown
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee


def line(subset, kind="insert", odds=None, run=None, parallel="", cards=4):
    """A line of four cards."""
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
        formats=("hobby",),
    )


BASE, INK = line("Base", "base", cards=50), line("Ink", "autograph")


def packed(*guarantees, packs=5, boxes=6):
    """A format of packs of five."""
    return Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=Decimal(5),
        packs_per_box=packs,
        boxes_per_case=boxes,
        guarantees=guarantees,
    )


def promise(what, count, per="box", hard=True, **more):
    """A promise of the maker."""
    return Guarantee(what=what, count=Decimal(count), per=per, hard=hard, **more)


def opened(form, *lines):
    """What one format says of opening a box."""
    collation = collate(form, lines)
    found = opening((form,), lines, {} if collation is None else {"hobby": collation})
    return found.formats["hobby"] if isinstance(found, Opening) else found


def longest(dry):
    """The longest run of dry packs."""
    return max((len(list(run)) for is_dry, run in itertools.groupby(dry) if is_dry), default=0)


def test_every_box_of_five_packs_with_a_seeded_card_is_enumerated():
    """One autograph in any of five packs, an insert in each pack with chance 1/3: all 160 weighted boxes."""
    found = opened(packed(promise("autograph", 1)), BASE, INK, line("Night", odds=3))
    runs: Counter[int] = Counter()
    something = Fraction(0)
    for seat in range(5):
        for inserts in itertools.product((True, False), repeat=5):
            chance = Fraction(1, 5) * Fraction(1, 3) ** sum(inserts) * Fraction(2, 3) ** (5 - sum(inserts))
            dry = [not insert and i != seat for i, insert in enumerate(inserts)]
            runs[longest(dry)] += chance
            something += chance * (5 - sum(dry)) / 5
    assert float(found.with_something) == pytest.approx(float(something), abs=1e-6)
    assert float(found.longest_dry) == pytest.approx(float(sum(run * p for run, p in runs.items())), abs=1e-6)
    within = list(itertools.accumulate(float(runs[run]) for run in range(6)))
    assert found.longest_dry_q90 == next(run for run, chance in enumerate(within) if chance >= 0.9)
    assert found.hits == (0, 1)


@pytest.mark.parametrize(("packs", "within_three"), [(3, 8), (4, 15), (5, 29), (6, 56), (7, 108), (8, 208)])
def test_runs_of_fair_coins_are_as_published(packs, within_three):
    """No run above three: Schilling (1990), College Mathematics Journal 21, 196-207 (from memory)."""
    found = longest_run(binom.pmf(range(packs + 1), packs, 0.5))
    assert found[:4].sum() * 2**packs == pytest.approx(within_three)
    assert found.sum() == pytest.approx(1)


def test_a_long_box_is_simulated():
    """36 packs, six seeded cards in different ones and inserts at 1:4; 40,000 boxes, within four errors."""
    found = opened(packed(promise("autograph", 6), packs=36), BASE, INK, line("Night", odds=4))
    rng = np.random.default_rng(11)
    boxes = rng.random((40_000, 36)) >= 0.25
    seats = np.argsort(rng.random((40_000, 36)), axis=1)[:, :6]
    boxes[np.arange(40_000)[:, None], seats] = False
    run, best = np.zeros(40_000, int), np.zeros(40_000, int)
    for pack in boxes.T:
        run = (run + 1) * pack
        best = np.maximum(best, run)
    assert abs(best.mean() - float(found.longest_dry)) < 4 * best.std() / 200
    assert found.longest_dry_q90 == np.quantile(best, 0.9, method="inverted_cdf")


def drawn(*draws, packs=10):
    """A collation of draws alone."""
    return Collation(
        format="hobby",
        packs_per_box=packs,
        boxes_per_case=6,
        cards_per_pack=Fraction(5),
        draws=draws,
        open_lines=(),
        overfull=0.0,
    )


def certain(count, share, per="box"):
    """So many cards for certain, of which a share are autographs."""
    return Draw(
        what="hit",
        lines=(0, 1),
        weights=(share, 1 - share),
        count=Fraction(count),
        per=per,
        per_box=float(count),
        certain=True,
        source="guarantee",
    )


def test_hits_of_unlike_draws_are_the_poisson_binomial():
    """Chances 1/2, 1/3 and 1/4: 6, 11, 6 and 1 of 24, by enumeration of eight outcomes."""
    draws = [certain(1, share) for share in (1 / 2, 1 / 3, 1 / 4)]
    found = hit_distribution(draws, [INK, BASE], drawn(*draws))
    assert found[:4] == pytest.approx([6 / 24, 11 / 24, 6 / 24, 1 / 24])


def test_none_of_24_autographs_is_one_of_two_in_eighty():
    """(78/80)^24 = 0.5446415584, each drawn from the whole pool."""
    draw = certain(24, 2 / 80)
    assert hit_distribution([draw], [INK, BASE], drawn(draw))[0] == pytest.approx(0.5446415584)


@pytest.mark.parametrize(
    ("count", "per", "chances"),
    [
        ("2", "box", [0, 0, 1]),
        ("2.25", "box", [0, 0, 0.75, 0.25]),
        ("1", "pack", [0, 0, 0, 0, 0, 1]),
        ("0.4", "pack", binom.pmf(range(6), 5, 0.4)),
        # in different ones of thirty packs, five of which are in a box
        ("3", "case", hypergeom.pmf(range(4), 30, 3, 5)),
        ("15", "case", hypergeom.pmf(range(6), 30, 15, 5)),
    ],
)
def test_how_many_are_in_a_box_of_what_is_promised(count, per, chances):
    """Five packs a box, six boxes a case; the laws are scipy's."""
    found = opened(packed(promise("autograph", count, per)), BASE, INK)
    assert [float(one) for one in found.hits] == pytest.approx(list(chances), abs=1e-6)
    assert float(found.expected_hits) == pytest.approx(float(np.arange(len(chances)) @ chances), abs=1e-6)


def test_hits_by_odds_are_binomial_and_on_average_poisson():
    """1:8 in each of five packs; 0.7 a box on average, which may be any number."""
    by_odds = opened(packed(), BASE, line("Ink", "autograph", odds=8)).hits
    assert [float(one) for one in by_odds] == pytest.approx(
        binom.pmf(range(len(by_odds)), 5, 1 / 8), abs=1e-6
    )
    average = opened(packed(promise("autograph", "0.7", hard=False)), BASE, INK).hits
    assert [float(one) for one in average] == pytest.approx(poisson.pmf(range(len(average)), 0.7), abs=1e-6)
    assert 1 - sum(map(float, average)) < 1e-5


def test_what_every_pack_has_is_something_and_not_beyond_the_usual():
    """A parallel promised in each pack, one by odds of 1:1, and an insert in every other pack."""
    found = opened(
        packed(promise("parallel", 1, "pack", parallel="Mist")),
        BASE,
        line("Base", "base", parallel="Mist"),
        line("Tide", odds=1),
        line("Night", odds=2),
    )
    assert found.in_every_pack == ("Base Mist", "Tide")
    assert (found.with_something, found.beyond_the_usual) == (1, Decimal("0.5"))
    assert (found.longest_dry, found.longest_dry_q90) == (0, 0)


def test_a_single_pack_has_what_its_box_is_promised():
    """Two hits in a box of one pack are no surprise."""
    found = opened(packed(promise("hit", 2), packs=1), BASE, INK, line("Night", odds=4))
    assert (found.with_something, found.beyond_the_usual) == (1, Decimal("0.25"))


def test_more_seeded_cards_than_packs_leave_none_dry():
    """Six in five packs."""
    collation = collate(packed(promise("autograph", 6)), [BASE, INK])
    assert dry_packs(collation.draws[:1], collation)[0] == pytest.approx(1)


def test_a_surprise_is_numbered_to_25_or_less():
    """None at 1:10 in five packs with half of them up to 25: 1 - (1 - 0.05)^5; a run of 99 is no surprise."""
    low, high = line("Tide", odds=20, run=25), line("Night", odds=2, run=99)
    assert float(opened(packed(), BASE, low, high).surprise) == pytest.approx(1 - 0.95**5, abs=1e-6)
    seeded = opened(
        packed(promise("autograph", 1)),
        BASE,
        line("Ink", "autograph", run=10, cards=1),
        line("Pen", "autograph", run=30, cards=1),
    )
    assert seeded.surprise == Decimal("0.25")  # 10 of the pool's 40 copies


def test_lines_that_nothing_speaks_of_are_named():
    """They may be in a pack, and are not counted."""
    found = opened(packed(), BASE, line("Night"), line("Tide", odds=4))
    assert (found.not_counted, found.with_something) == (("Night",), Decimal("0.25"))


@pytest.mark.parametrize(
    ("form", "lines", "why"),
    [
        (packed(), [], "there is no checklist yet"),
        (
            Format(key="hobby", name="Hobby", cards_per_pack=None, packs_per_box=5, boxes_per_case=1),
            [BASE],
            "does not say",
        ),
        (packed(), [BASE, line("Night")], "how often Night fall"),
        (packed(packs=400), [BASE, line("Night", odds=3)], "a box of 400 packs"),
    ],
)
def test_what_cannot_be_counted_says_why(form, lines, why):
    """No checklist, no packing, no odds and promises, a box that nobody opens so."""
    found = opened(form, *lines)
    assert isinstance(found, Unknown)
    assert why in found.why


def test_without_a_format_there_is_no_box():
    """A checklist alone."""
    assert "no box formats" in opening((), [BASE], {}).why


def test_base_alone_is_dry_throughout():
    """Five packs in a row, and no hit."""
    found = opened(packed(), BASE)
    assert (found.with_something, found.longest_dry, found.longest_dry_q90, found.hits) == (0, 5, 5, (1,))
    assert math.isclose(sum(found.hits), 1)
