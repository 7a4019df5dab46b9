"""One law for all that counts: cases laid out card by card, and each section asked what is in them.

The simulation knows only what the maker says of a case: three boxes of four packs of eight cards; a Mist
parallel in every pack; five relics a case in different packs; autographs at 1:3, by copies; inserts at three
a box on average, any number of them; the rest of a pack are different ones of twelve base cards.
"""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.stats import binom, hypergeom, poisson

from rating.facts.breaks.owners import Owners
from rating.facts.breaks.weighing import weigh
from rating.facts.chances.compute import chance
from rating.facts.completing.compute import base_set
from rating.facts.context import Buying
from rating.facts.falling.collation import collate
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import outlook
from rating.facts.opening.compute import hit_distribution, opening
from rating.facts.plain import Unknown
from rating.facts.returns.compute import categories
from rating.numerics.sums import distribution
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee
from rating.season.season import Season

PACKS, BOXES, BASE_CARDS, CASES = 4, 3, 12, 30_000
CASE = PACKS * BOXES
ODDS, RELICS, INSERTS = 3, 5, 3
RUNS = (30, 10)
# base cards a pack: eight less an autograph in three, five relics in twelve, a Mist, three inserts in four
REST = 8 - 1 / ODDS - RELICS / CASE - 1 - INSERTS / PACKS
BASE, MIST, INK, CLOTH, NIGHT = range(5)


def made(subset, kind, cards, runs=None, parallel="", odds=None):
    """A line of so many cards."""
    return CardLine(
        subset=subset,
        parallel=parallel,
        kind=kind,
        cards=tuple(
            Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", False, False, "", i)
            for i in range(cards)
        ),
        runs=runs or (None,) * cards,
        odds={"hobby": Decimal(odds)} if odds else {},
        formats=("hobby",),
    )


LINES = (
    made("Base", "base", BASE_CARDS),
    made("Base", "base", BASE_CARDS, parallel="Mist"),
    made("Ink", "autograph", 2, RUNS, odds=ODDS),
    made("Cloth", "relic", 3),
    made("Night", "insert", 2),
)
PACKED = Format(
    key="hobby",
    name="Hobby",
    cards_per_pack=Decimal(8),
    packs_per_box=PACKS,
    boxes_per_case=BOXES,
    guarantees=(
        Guarantee(what="parallel", count=Decimal(1), per="pack", hard=True, parallel="Mist"),
        Guarantee(what="relic", count=Decimal(RELICS), per="case", hard=True),
        Guarantee(what="insert", count=Decimal(INSERTS), per="box", hard=False),
    ),
)
WORTH = (
    tuple(0.1 * (i + 1) ** 2 for i in range(BASE_CARDS)),
    (0.5,) * BASE_CARDS,
    (12.0, 80.0),
    (3.0, 5.0, 30.0),
    (1.0, 2.5),
)


@pytest.fixture(scope="module")
def collation():
    """How the format falls by the program."""
    return collate(PACKED, LINES)


@pytest.fixture(scope="module")
def cases():
    """Copies of each card in each pack of many cases, by line: arrays (cases, packs, cards)."""
    rng = np.random.default_rng(20310312)
    shape = (CASES, CASE)
    order = rng.random((*shape, BASE_CARDS)).argsort(axis=2).argsort(axis=2)
    size = math.floor(REST) + (rng.random(shape) < REST - math.floor(REST))
    found = [order < size[..., None]]
    found.append(np.arange(BASE_CARDS) == rng.integers(BASE_CARDS, size=shape)[..., None])
    signed = rng.random(shape) < 1 / ODDS
    dear = rng.random(shape) < RUNS[1] / sum(RUNS)
    found.append(np.stack([signed & ~dear, signed & dear], axis=2))
    relic = rng.random(shape).argsort(axis=1).argsort(axis=1) < RELICS
    found.append(relic[..., None] & (np.arange(3) == rng.integers(3, size=shape)[..., None]))
    found.append(rng.poisson(INSERTS / PACKS / 2, (*shape, 2)))
    return [one.astype(np.int16) for one in found]


def near(seen, truth, error):
    """Whether something simulated lies within five standard errors."""
    return abs(float(seen) - float(truth)) <= 5 * float(error) + 1e-6


# cards of each line that are wanted, beside which their share of the line's copies
WISHES = {
    "a base card": {BASE: [0]},
    "five base cards": {BASE: [0, 1, 2, 3, 4]},
    "all autographs": {INK: [0, 1]},
    "the dear autograph": {INK: [1]},
    "a relic": {CLOTH: [0]},
    "a subject": {BASE: [0], MIST: [0], INK: [0], CLOTH: [0], NIGHT: [0]},
    "inserts": {NIGHT: [0, 1]},
}


def share(place, cards):
    """Of a line's copies."""
    weights = RUNS if place == INK else (1,) * len(LINES[place].cards)
    return sum(weights[card] for card in cards) / sum(weights)


@pytest.mark.parametrize("wish", WISHES)
def test_chances_are_those_of_the_cases(collation, cases, wish):
    """In a pack, a box, seven packs and a case; the section says the same in six digits."""
    wanted = {place: share(place, own) for place, own in WISHES[wish].items()}
    each = sum(cases[place][:, :, own].sum(axis=2) for place, own in WISHES[wish].items())
    for packs in (1, PACKS, 7, CASE):
        held = each[:, :packs].sum(axis=1)
        found = outlook(collation, wanted, packs)
        assert near((held == 0).mean(), found.none, math.sqrt(found.none * (1 - found.none) / CASES))
        assert near(held.mean(), found.expected, held.std() / math.sqrt(CASES))
    told = chance(wish, wanted, collation)
    for packs, p in ((1, told.p_pack), (PACKS, told.p_box), (CASE, told.p_case)):
        assert float(p) == pytest.approx(outlook(collation, wanted, packs).at_least_one, abs=2e-6)


def test_chances_are_scipys_laws(collation):
    """Binomial by odds, hypergeometric promises and base cards, Poisson averages; each by scipy."""
    none = {place: outlook(collation, {place: 1.0}, PACKS).none for place in (INK, CLOTH, NIGHT)}
    assert none[INK] == pytest.approx(binom.pmf(0, PACKS, 1 / ODDS))
    assert none[CLOTH] == pytest.approx(hypergeom.pmf(0, CASE, RELICS, PACKS))
    assert none[NIGHT] == pytest.approx(poisson.pmf(0, INSERTS))
    low, part = math.floor(REST), REST - math.floor(REST)
    pack = (1 - part) * hypergeom.pmf(0, BASE_CARDS, 4, low) + part * hypergeom.pmf(0, BASE_CARDS, 4, low + 1)
    assert outlook(collation, {BASE: 1 / 3}, 3).none == pytest.approx(pack**3, rel=1e-5)


@pytest.mark.parametrize("boxes", [1, BOXES])
def test_returns_are_those_of_the_cases(collation, cases, boxes):
    """Mean, deviation and the chance to return an amount; a fourth moment gives the deviation's error."""
    paid = sum(held @ np.array(worth) for held, worth in zip(cases, WORTH, strict=True))
    total = paid[:, : boxes * PACKS].sum(axis=1)
    found = distribution(categories(collation, LINES, WORTH, boxes=boxes), 0.1)
    assert near(total.mean(), found.mean, total.std() / math.sqrt(CASES))
    fourth = ((total - total.mean()) ** 4).mean()
    error = math.sqrt((fourth - total.var() ** 2) / CASES) / (2 * total.std())
    assert near(total.std(), found.sd, error)
    for amount in np.quantile(total, [0.05, 0.25, 0.5, 0.75, 0.95]):
        p = found.at_least(float(amount))
        assert near((total >= amount - 1e-6).mean(), p, math.sqrt(p * (1 - p) / CASES))


def test_base_alone_has_the_spread_of_different_cards(collation):
    """k of n different cards: k (n - k) / (n - 1) times a card's variance, and that of k itself."""
    worth = [list(one) if place == BASE else [0.0] * len(one) for place, one in enumerate(WORTH)]
    found = distribution(categories(collation, LINES, worth), 0.1)
    values, part = np.array(WORTH[BASE]), REST - math.floor(REST)
    left = sum(
        chance * k * (BASE_CARDS - k) / (BASE_CARDS - 1)
        for k, chance in ((math.floor(REST), 1 - part), (math.floor(REST) + 1, part))
    )
    variance = PACKS * (left * values.var() + part * (1 - part) * values.mean() ** 2)
    assert found.sd**2 == pytest.approx(variance, rel=1e-4)
    apart = PACKS * (REST * values.var() + part * (1 - part) * values.mean() ** 2)
    assert variance < 0.7 * apart


def test_opening_counts_the_hits_and_the_dry_packs_of_the_cases(collation, cases):
    """Autographs and relics in a box, and packs with neither those nor an insert."""
    hits = (cases[INK].sum(axis=2) + cases[CLOTH].sum(axis=2))[:, :PACKS].sum(axis=1)
    draws = [draw for draw in collation.draws if draw.source != "rest"]
    for number, p in enumerate(hit_distribution(draws, LINES, collation)):
        assert near((hits == number).mean(), p, math.sqrt(max(0.0, p * (1 - p)) / CASES))
    something = sum(cases[place].sum(axis=2) for place in (INK, CLOTH, NIGHT))[:, :PACKS] > 0
    told = opening((PACKED,), LINES, {"hobby": collation}).formats["hobby"]
    assert near(something.mean(), told.beyond_the_usual, 0.5 / math.sqrt(CASES * PACKS))


def test_slots_hold_what_the_cases_hold(collation, cases):
    """Three slots: by card, and a third base card and relic for which lots are drawn, copy by copy."""
    lots = ((0, 0.5), (1, 0.5))
    owned = [[((i % 3, 1.0),) for i in range(len(line.cards))] for line in LINES]
    owned[BASE][3] = owned[CLOTH][1] = lots
    owners = Owners(
        by="team", slots=("a", "b", "c"), cards=tuple(map(tuple, owned)), unclaimed=frozenset(), remarks=()
    )
    valued = SimpleNamespace(lines=[SimpleNamespace(expected=one) for one in WORTH])
    facts = SimpleNamespace(lines=LINES, of=lambda _: valued)
    found = weigh(facts, collation, owners, BOXES)
    rng, held, none = np.random.default_rng(7), np.zeros((CASES, 3)), {}
    for place, own in enumerate(owned):
        for card, owner in enumerate(own):
            copies = cases[place][:, :, card].sum(axis=1)
            parts = {owner[0][0]: copies}
            if owner == lots:
                first = rng.binomial(copies, 0.5)
                parts = {0: first, 1: copies - first}
            for slot, number in parts.items():
                held[:, slot] += number * WORTH[place][card]
                if place == BASE:
                    none[slot] = none.get(slot, 0) + number
    for slot in range(3):
        total = held[:, slot]
        assert near(total.mean(), found.value[slot], total.std() / math.sqrt(CASES))
        fourth = ((total - total.mean()) ** 4).mean()
        error = math.sqrt((fourth - total.var() ** 2) / CASES)
        assert near(total.var(), found.variance[slot], error)
    # slot 0 has base cards 0, 6 and 9 and half of card 3; in two packs it may go without
    packs = cases[BASE][:, :2][:, :, [0, 6, 9]].sum(axis=(1, 2))
    tossed = rng.binomial(cases[BASE][:, :2, 3].sum(axis=1), 0.5)
    p = outlook(collation, {BASE: 3.5 / BASE_CARDS}, 2).none
    assert near((packs + tossed == 0).mean(), p, math.sqrt(p * (1 - p) / CASES))


def test_completing_takes_as_many_packs_as_the_cases_say(collation, cases):
    """Each case is a run of twelve packs: how often they hold all base cards, by the case and by five packs.

    Median and nine in ten are the fewest packs after which as many runs are complete.
    """
    told = base_set((PACKED,), LINES, {"hobby": collation}, Unknown("no"), Unknown("no"), Buying())
    packs = told.formats["hobby"].packs
    seen = cases[BASE].cumsum(axis=1) > 0
    done = seen.all(axis=2).mean(axis=0)
    for wanted, count in ((0.5, packs.q50), (0.9, packs.q90)):
        error = 5 * 0.5 / math.sqrt(CASES)
        assert done[count - 2] < wanted + error
        assert done[count - 1] >= wanted - error
    first = np.where(seen.all(axis=2), np.arange(1, CASE + 1), CASE + 1).min(axis=1)
    # few runs are longer than a case: their mean is what is left of the section's
    assert (first > CASE).mean() < 0.01
    assert near(first.mean(), packs.mean, first.std() / math.sqrt(CASES) + (first > CASE).mean())


def test_completing_knows_what_is_not_of_the_set():
    """Two variations among the base cards of a pack take the room of the set's: laid out pack by pack."""
    cards = [
        Card("Base", "base", str(i % 6), (f"P{i}",), (), False, None, "", "", i >= 6, False, "", i)
        for i in range(8)
    ]
    line = CardLine(
        subset="Base",
        parallel="",
        kind="base",
        cards=tuple(cards),
        runs=(None,) * 8,
        odds={},
        formats=("hobby",),
    )
    packed = Format(
        key="hobby", name="Hobby", cards_per_pack=Decimal(3), packs_per_box=1, boxes_per_case=None
    )
    found = collate(packed, [line])
    told = base_set((packed,), [line], {"hobby": found}, Unknown("no"), Unknown("no"), Buying())
    rng, runs = np.random.default_rng(5), 10_000
    opened = rng.random((runs, 40, 8)).argsort(axis=2).argsort(axis=2)[..., :6] < 3
    seen = opened.cumsum(axis=1) > 0
    first = np.argmax(seen.all(axis=2), axis=1) + 1
    assert near(first.mean(), told.formats["hobby"].packs.mean, first.std() / math.sqrt(runs))
    assert told.formats["hobby"].base_per_pack == Decimal("2.25")


def test_short_prints_are_taken_apart_within_two_per_cent():
    """Six base cards, three a pack, and four short prints at 1:5, one a pack at most: mean packs to all ten.

    The short prints decide: a collector of four, with one in five packs, waits 5 x 4 (1 + 1/2 + 1/3 + 1/4).
    """
    lines = [made("Base", "base", 6), made("Base Short", "base", 4, odds=5)]
    packed = Format(
        key="hobby", name="Hobby", cards_per_pack=Decimal(3), packs_per_box=1, boxes_per_case=None
    )
    found = collate(packed, lines)
    told = base_set((packed,), lines, {"hobby": found}, Unknown("no"), Unknown("no"), Buying())
    assert float(told.formats["hobby"].packs.mean) == pytest.approx(5 * 4 * 25 / 12, rel=0.02)


def test_numbered_cards_are_one_number_in_economics_and_chances():
    """Halyard's maker promises nine, of base parallels alone; a box holds more, and each costs less."""
    sample = Path(__file__).resolve().parents[2] / "sample_ratings"
    facts = Season.open(sample).facts("halyard", as_of=date(2031, 7, 15))
    for key in ("hobby", "retail"):
        costs, told = facts.economics.formats[key], facts.chances.formats[key]
        (numbered,) = (one for one in told.kinds if one.what == "numbered")
        assert costs.numbered_per_box == numbered.expected_box
        assert costs.per_numbered == round(costs.box_price / numbered.expected_box, 2)
    base = [
        one
        for one in facts.chances.formats["hobby"].lines
        if one.what.startswith("Base ") and one.what not in {"Base Mist", "Base Photo Variations"}
    ]
    assert 8.5 < sum(one.expected_box for one in base) < 9.5 < facts.economics.main.numbered_per_box
