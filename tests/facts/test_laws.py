"""The law by which cards fall: enumerated, scipy's, simulated, and the same in every section that counts."""

from __future__ import annotations

import itertools
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, hypergeom, poisson

from rating.facts.falling.collation import Collation, Draw, collate
from rating.facts.falling.laws import Law, counts_in_unit, law, none_in
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import outlook
from rating.facts.opening.compute import hit_distribution
from rating.facts.returns.compute import categories
from rating.numerics.sums import distribution
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee

PACKS, BOXES = 4, 3


def line(subset, kind, odds=None, run=None):
    """A line of two cards."""
    cards = tuple(
        Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", False, False, "", i) for i in range(2)
    )
    return CardLine(
        subset=subset,
        parallel="",
        kind=kind,
        cards=cards,
        runs=(run,) * 2,
        odds={"hobby": Decimal(str(odds))} if odds else {},
        formats=("hobby",),
    )


def draw(count, per="box", certain=True, source="guarantee"):
    """A draw of the first line."""
    share = {"pack": PACKS, "box": 1, "case": Fraction(1, BOXES)}[per]
    return Draw(
        what="x",
        lines=(0,),
        weights=(1.0,),
        count=Fraction(count),
        per=per,
        per_box=float(Fraction(count) * share),
        certain=certain,
        source=source,
    )


def box(*draws):
    """Three boxes a case, four packs a box."""
    return Collation(
        format="hobby",
        packs_per_box=PACKS,
        boxes_per_case=BOXES,
        cards_per_pack=Fraction(9),
        draws=draws,
        open_lines=(),
        overfull=0.0,
    )


def chances_of(one, opened):
    """How many cards some packs of a unit hold, as an array."""
    found = np.zeros(one.sure + 2)
    for cards, chance in counts_in_unit(one, opened):
        found[cards] += chance
    return found


@pytest.mark.parametrize("opened", range(13))
def test_what_a_case_is_promised_is_hypergeometric_in_a_part_of_it(opened):
    """Five cards in different ones of twelve packs, by scipy."""
    one = law(draw(5, "case"), box())
    assert chances_of(one, opened)[:6] == pytest.approx(hypergeom.pmf(range(6), 12, 5, opened), abs=1e-14)


def test_more_cards_than_packs_lie_as_evenly_as_they_can():
    """Six cards in four packs: each has one, and every way of placing two more is as likely."""
    one = law(draw(6), box())
    ways = [sum(1 + (pack in more) for pack in range(3)) for more in itertools.combinations(range(4), 2)]
    assert chances_of(one, 3) == pytest.approx(np.bincount(ways, minlength=8) / 6)


def test_parts_of_a_card_are_the_chance_of_one_more():
    """2.25 a box: a quarter of the boxes holds three."""
    assert chances_of(law(draw(Fraction(9, 4)), box()), 4) == pytest.approx([0, 0, 0.75, 0.25])


def test_one_a_pack_or_less_by_odds_is_at_most_one_a_pack():
    """1:2 in four packs is binomial, 1:0.5 any number; what is promised on average is any number, too."""
    rare, often = draw(2, certain=False, source="odds"), draw(8, certain=False, source="odds")
    loose = draw(2, certain=False, source="average")
    assert law(rare, box()) == Law(1, 0, 0.5)
    assert none_in(law(rare, box()), 1.0, 4) == pytest.approx(binom.pmf(0, 4, 0.5))
    assert none_in(law(often, box()), 0.5, 4) == pytest.approx(poisson.pmf(0, 4))
    assert none_in(law(loose, box()), 1.0, 4) == pytest.approx(poisson.pmf(0, 2))


FORMAT = Format(
    key="hobby",
    name="Hobby",
    cards_per_pack=Decimal(9),
    packs_per_box=PACKS,
    boxes_per_case=BOXES,
)


@given(
    odds=st.lists(st.sampled_from(["0.6", "1", "1.5", "3", "8", "40"]), min_size=1, max_size=4),
    promised=st.sampled_from(["0", "0.5", "1", "2.75", "5"]),
    per=st.sampled_from(["pack", "box", "case"]),
)
def test_chances_opening_and_returns_count_alike(odds, promised, per):
    """Every card worth 1: what a box returns is how many hits are in it, and none is the chance of none.

    Enumerated: the promised cards by placing them in the packs of their unit, the others pack by pack.
    """
    lines = [
        line("Base", "base"),
        line("Cloth", "relic"),
        *(line(f"Ink {i}", "autograph", one) for i, one in enumerate(odds)),
    ]
    promise = Guarantee(what="relic", count=Decimal(promised), per=per, hard=True)
    packed = Format(
        **{name: getattr(FORMAT, name) for name in FORMAT.__dataclass_fields__} | {"guarantees": (promise,)}
    )
    found = collate(packed, lines)
    worth = [[0.0] * 2, *([1.0] * 2 for _ in lines[1:])]
    returned = distribution(categories(found, lines, worth), 1.0).probabilities
    counted = hit_distribution([one for one in found.draws if one.source != "rest"], lines, found)
    truth = _placed(Fraction(promised), {"pack": 1, "box": PACKS, "case": PACKS * BOXES}[per])
    for one in odds:
        each = 1 / float(one)
        of_line = (
            binom.pmf(range(PACKS + 1), PACKS, each) if each <= 1 else poisson.pmf(range(60), PACKS * each)
        )
        truth = np.convolve(truth, of_line)
    size = max(len(truth), len(returned), len(counted))
    for other in (returned, counted):
        padded = np.zeros(size)
        padded[: len(other)] = other
        assert padded[: len(truth)] == pytest.approx(truth, abs=1e-9)
    wanted = dict.fromkeys(range(1, len(lines)), 1.0)
    none = outlook(found, wanted, PACKS).none
    assert none == pytest.approx(truth[0], abs=1e-12)


def _placed(count, unit):
    """Cards of a promise in a box, by every way of placing them in the packs of a unit."""
    found = np.zeros(1)
    for cards, weight in ((int(count), 1 - count % 1), (int(count) + 1, count % 1)):
        each, more = divmod(cards, unit)
        opened = min(unit, PACKS)
        ways = [
            each * opened + sum(pack < opened for pack in places)
            for places in itertools.combinations(range(unit), more)
        ]
        own = np.bincount(ways) / len(ways) * float(weight)
        found = np.pad(found, (0, max(0, len(own) - len(found))))
        found[: len(own)] += own
    return found if unit > 1 else _several(found, PACKS)


def _several(one, times):
    """The sum of some independent numbers."""
    found = np.ones(1)
    for _ in range(times):
        found = np.convolve(found, one)
    return found
