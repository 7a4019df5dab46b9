"""Prices of other releases: at which level they are carried over, and how far that may be off."""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from scipy import stats

from rating.facts.context import Demand, Donor, SeasonContext, Selling
from rating.facts.falling.lines import lines_of
from rating.facts.plain import Unknown
from rating.facts.values.compute import valuation
from rating.facts.values.lent import seen_price
from rating.release.checklist import Card
from rating.release.release import Release
from rating.release.sheet import Sheet

OUT = date(2031, 3, 12)
SEASON = SeasonContext(
    name="Test",
    currency="USD",
    teams=(),
    rookies=None,
    classes=(),
    buying=None,
    aliases={},
    selling=Selling(bulk_floor=Decimal("0.01")),
)
SHEET = Sheet(
    slug="a", title="A", maker="M", line="L", released_on=OUT, formats=(), headline="", disclosure=None
)
KINDS = {"base": (50, 6.0), "autograph": (10, 60.0)}
CARDS = tuple(
    Card(kind, kind, str(n), (f"{kind} {n}",), (), False, copies, "", "", False, False, "", 2)
    for kind, (copies, _) in KINDS.items()
    for n in range(5)
)
LINES = lines_of(Release(sheet=SHEET, cards=CARDS))
DEVIATION = 0.3
# what all copies together leave where nothing is deducted, at the level of 1: 5 x 50 x 6 + 5 x 10 x 60
WHOLE = 4500 * math.exp(DEVIATION**2 / 2)


def lent(name, level, count, rng, **more):
    """What a release lends: prices of both kinds in turn."""
    found = []
    for i in range(count):
        kind = ("base", "autograph")[i % 2]
        copies, price = KINDS[kind]
        paid = Decimal(f"{price * level * math.exp(DEVIATION * rng.normal()):.2f}")
        found.append(Donor(kind, copies, paid, release=name, **more))
    return found


def valued(donors, box=None, **more):
    """The values of a release without sales."""
    unknown = Unknown("no odds")
    options = {"released_on": OUT, "as_of": OUT, "donors": donors, "box": lambda: box, **more}
    return valuation(None, LINES, unknown, SEASON, **options)


def worth(found):
    """What all copies leave."""
    return sum(
        value * run
        for line, own in zip(LINES, found.lines, strict=True)
        for value, run in zip(own.worth, line.runs, strict=True)
    )


def test_where_few_lend_the_distance_of_levels_is_declared():
    """A quarter between editions of a line, half between others; many prices add little."""
    rng = np.random.default_rng(1)
    for same_line, apart in ((True, 0.25), (False, 0.5)):
        found = valued(lent("A", 1, 200, rng, same_line=same_line))
        assert float(found.values.level_error) == pytest.approx(apart, rel=0.05)


def test_how_far_levels_lie_apart_follows_from_three_releases():
    """At 1, 2 and 4 times the price logarithms deviate by log 2; a fourth by the root of 4/3 times that.

    Known from three only, nine in ten need 2.92 of it (t with two degrees) instead of 1.645: 1.42 in all.
    """
    rng = np.random.default_rng(2)
    donors = [one for name, level in (("A", 1), ("B", 2), ("C", 4)) for one in lent(name, level, 200, rng)]
    expected = math.log(2) * math.sqrt(4 / 3) * 2.92 / 1.645
    assert float(valued(donors).values.level_error) == pytest.approx(expected, rel=0.1)


def test_a_dear_release_of_many_autographs_makes_autographs_no_dearer():
    """One lends mainly base cards, one at five times the level autographs: they are ten times as dear."""
    rng = np.random.default_rng(7)
    cheap, dear = lent("A", 1, 300, rng), lent("B", 5, 300, rng)
    some = [
        *(one for one in cheap if one.kind == "base"),
        *[one for one in cheap if one.kind == "autograph"][:15],
        *[one for one in dear if one.kind == "base"][:15],
        *(one for one in dear if one.kind == "autograph"),
    ]
    base, autographs = (own.worth[0] for own in valued(some).lines)
    assert autographs / base == pytest.approx(10, rel=0.25)


def priced(rng, power, count=60):
    """Six releases whose level rises by a power of the price of the box, 40 to 1,280."""
    return [
        one for i in range(6) for one in lent(f"R{i}", 2 ** (i * power), count, rng, box=Decimal(40 * 2**i))
    ]


def test_a_level_follows_the_price_of_the_box():
    """By the root of the price: 17.5 squares of log 2 about the mean box, and 1 more, make it 0.447."""
    donors = priced(np.random.default_rng(3), 0.5)
    cheap, dear = (worth(valued(donors, box=Decimal(box))) for box in (100, 400))
    spread = 17.5 * math.log(2) ** 2
    assert math.log(dear / cheap) / math.log(4) == pytest.approx(0.5 * spread / (spread + 1), rel=0.15)
    # without a price of its own it is at the mean of those that lend
    assert cheap < worth(valued(donors)) < dear


@pytest.mark.parametrize("power", [-0.5, 0.0, 0.5, 1.0, 2.0])
def test_the_share_of_its_price_never_rises_with_the_price(power):
    """However steeply the levels of others rise; and what it returns never falls."""
    donors = priced(np.random.default_rng(4), power)
    boxes = [20, 59, 60, 61, 120, 249, 250, 251, 400, 1000]
    found = [worth(valued(donors, box=Decimal(box))) for box in boxes]
    assert found == sorted(found)
    # landed, with 6.50 of shipping
    shares = [value / (box * 1.06 + 6.5) for value, box in zip(found, boxes, strict=True)]
    assert shares == sorted(shares, reverse=True)


def test_subjects_count_by_who_was_wanted_in_their_own_season():
    """Where that season does not say, by who is wanted now."""
    now = {name: Demand(subject=name, demand=Decimal(80), basis="sales", why="") for name in ("ann", "bo")}
    donor = Donor("base", 50, Decimal(4), subjects=("ann", "bo", "cy"), demand=(Decimal(30), None, None))
    assert seen_price(donor, now).traits.demand == (30.0, 80.0, None)
    assert seen_price(donor._replace(demand=()), now).traits.demand == (80.0, 80.0, None)


def test_who_was_wanted_before_counts_where_this_season_does_not_say():
    """Prices rise with who was wanted then; a card of somebody wanted then is worth more than the others."""
    rng = np.random.default_rng(5)
    donors = [
        one._replace(
            subjects=("who",),
            demand=(Decimal(high),),
            price=(one.price * Decimal(2 if high > 50 else 1)).quantize(Decimal("0.01")),
        )
        for high in (10, 90)
        for one in lent("A", 1, 100, rng)
    ]
    before = {"base 3": Demand(subject="base 3", demand=Decimal(90), basis="sales", why="")}
    found = valued(donors, wanted_before=lambda: before).lines[0].worth
    assert found[3] > 1.15 * found[2]


@pytest.mark.parametrize(
    ("lenders", "apart", "same_line"), [(8, 0.4, False), (4, 0.4, False), (1, 0.25 / 2**0.5, True)]
)
@pytest.mark.trial(seed=9, few=60, full=1000)
def test_the_doubt_of_a_level_fits(trial, lenders, apart, same_line):
    """Simulated seasons whose releases differ in level: nine in ten inside, by a z as wide as it says.

    One edition of the line lends, four or eight other releases do. The new release is drawn with them;
    two editions, each off by a quarter over the root of two, lie a quarter apart.
    """
    rng = np.random.default_rng(trial.seed)
    inside = []
    for _ in range(trial.count):
        levels = np.exp(apart * rng.normal(size=lenders + 1))
        donors = [
            one
            for i, level in enumerate(levels[1:])
            for one in lent(f"R{i}", level, 40, rng, same_line=same_line)
        ]
        found = valued(donors)
        off = math.log(worth(found) / WHOLE) - math.log(levels[0])
        inside.append(abs(off / float(found.values.level_error)) <= 1.645)
    # as many as chance lets a sure nine in ten be off, once in a hundred trials on either side
    low, high = stats.binom.interval(0.99, trial.count, 0.9)
    assert low <= sum(inside) <= high
