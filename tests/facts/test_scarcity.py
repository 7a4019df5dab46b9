"""The section on scarcity: packs, copies, odds that do not fit, and promises beside them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from rating.facts import scarcity
from rating.facts.gather import lasting
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import Scarcity
from rating.release.checklist import Card, Odds, Parallel
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"


def made(cards, odds, parallels=(), guarantees=(), packs_per_box=10):
    """The section of a release with one format; cards are (subset, kind, number of cards, print run)."""
    hobby = Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=Decimal(5),
        packs_per_box=packs_per_box,
        boxes_per_case=4,
        guarantees=guarantees,
    )
    sheet = Sheet(
        slug="deep-harbour",
        title="Marlow 2031 Deep Harbour",
        maker="Marlow",
        line="Deep Harbour",
        released_on=date(2031, 3, 12),
        formats=(hobby,),
        headline="hobby",
        disclosure=None,
    )
    release = Release(
        sheet=sheet,
        cards=tuple(
            Card(subset, kind, str(i), (f"P{i}",), (), False, run, "", "", False, False, "", i)
            for subset, kind, count, run in cards
            for i in range(count)
        ),
        parallels=tuple(Parallel(*one, (), 2) for one in parallels),
        odds=tuple(Odds(subset, parallel, "hobby", Decimal(x), "", 2) for subset, parallel, x in odds),
    )
    return lasting(release, {}).of(scarcity.SECTION)


@pytest.fixture(scope="module")
def halyard():
    """The facts of the sample's Halyard, whose maker's numbers are known."""
    return Season.open(SAMPLE).facts("halyard")


def test_halyard_holds_the_packs_that_it_was_made_with(halyard):
    """86,800 hobby and 144,000 retail packs: `packs` in the answers that came with the set."""
    found = {key: one.packs for key, one in halyard.scarcity.formats.items()}
    assert found["hobby"].low <= 86_800 <= found["hobby"].high
    assert found["retail"].low <= 144_000 <= found["retail"].high
    assert found["hobby"].high - found["hobby"].low < 10


def test_halyards_misprint_is_named_with_what_the_others_imply(halyard):
    """Deck Signatures Pearl: 52 cards numbered to 12 in 86,800 packs are 1:139, and 1:250 is printed."""
    assert not halyard.scarcity.consistent
    (aside,) = halyard.scarcity.set_aside
    assert (aside.subset, aside.parallel, aside.format, aside.stated) == (
        "Deck Signatures",
        "Pearl",
        "hobby",
        250,
    )
    assert round(aside.implied) == round(Decimal(86_800) / (52 * 12)) == 139
    assert aside.low <= Decimal(86_800) / 624 <= aside.high
    assert (
        "Deck Signatures Pearl is stated at 1 in 250 packs, but the other odds make it 1 in 139"
        in scarcity.SECTION.told(halyard)
    )


def test_copies_of_unnumbered_lines_follow_from_odds_with_an_interval(halyard):
    """Maiden Voyage Signatures at 1:15 hobby and 1:217 retail: 86,800/15 + 144,000/217 is 6,450."""
    line = next(one for one in halyard.scarcity.lines if one.subset.startswith("Maiden") and not one.parallel)
    truth = 86_800 / 15 + 144_000 / 217
    assert line.basis == "odds"
    assert line.copies.low <= truth <= line.copies.high
    assert line.copies.estimate == pytest.approx(truth, rel=0.02)


def test_a_line_that_was_set_aside_keeps_its_print_run(halyard):
    """52 cards numbered to 12 are 624 copies, whatever the odds say."""
    line = next(
        one for one in halyard.scarcity.lines if (one.subset, one.parallel) == ("Deck Signatures", "Pearl")
    )
    assert (line.basis, line.copies.estimate) == ("print run", 624)


def test_one_line_gives_the_packs_between_the_roundings():
    """1,000 copies at 1:20 come from 19,500 to 20,500 packs; that is 2,000 boxes and 500 cases."""
    found = made([("Base", "base", 50, None), ("Ink", "autograph", 10, 100)], [("Ink", "", 20)])
    packs = found.formats["hobby"].packs
    assert (packs.low, packs.estimate, packs.high) == (19_500, 20_000, 20_500)
    assert (found.formats["hobby"].boxes, found.formats["hobby"].cases) == (2_000, 500)


def test_base_cards_are_what_the_pack_leaves():
    """Five a pack less one autograph in 20 packs, 4.95 base cards in 20,000 packs of 50 cards: 1,980 each."""
    found = made([("Base", "base", 50, None), ("Ink", "autograph", 10, 100)], [("Ink", "", 20)])
    base = found.lines[0]
    assert (base.basis, base.copies.estimate, base.per_card) == ("packing", 99_000, 1_980)


def test_two_equally_small_ways_to_mend_the_odds_are_both_listed():
    """1:10 and 1:90 of 100 copies each cannot both be right, and nothing tells which one is wrong."""
    cards = [("A", "insert", 10, 10), ("B", "insert", 10, 10)]
    found = made(cards, [("A", "", 10), ("B", "", 90)])
    assert {one[0].subset for one in found.alternatives} == {"A", "B"}
    packs = found.formats["hobby"].packs
    assert (packs.low, packs.high) == (950, 9_050)


@pytest.mark.parametrize(
    ("hard", "count", "agrees"),
    [
        (True, "2", True),
        (True, "3", False),  # 1:5 in ten packs is two a box
        (True, "1", True),  # more than was promised is no breach
        (False, "2", True),
        (False, "3", False),
        (False, "1", False),
    ],
)
def test_a_promise_is_held_against_the_odds(hard, count, agrees):
    """For certain means at least so many; an average is a rounded number that must not be far off."""
    promise = Guarantee(what="insert", count=Decimal(count), per="box", hard=hard)
    found = made([("A", "insert", 10, 10)], [("A", "", 5)], guarantees=(promise,))
    by_odds = next(one for one in found.promises if one.against == "odds")
    assert (by_odds.implied, by_odds.agrees) == (2, agrees)


@pytest.mark.parametrize(("promised", "fits"), [("3", True), ("1", False), (None, False)])
@pytest.mark.parametrize("hard", [True, False])
def test_three_a_pack_printed_as_one_is_no_misprint_where_the_promise_says_three(promised, fits, hard):
    """300 copies in 100 packs, beside 50 at 1:2; 1:1 alone would be 200 packs at the most."""
    promise = Guarantee(what="insert", count=Decimal(promised or 1), per="pack", hard=hard, subset="A")
    found = made(
        [("A", "insert", 10, 30), ("B", "relic", 5, 10)],
        [("A", "", 1), ("B", "", 2)],
        guarantees=(promise,) if promised else (),
    )
    assert found.consistent == fits
    if fits:
        packs = found.formats["hobby"].packs
        assert (packs.low, packs.high) == (75, 125)
        assert all(one.agrees for one in found.promises)


def test_a_promise_is_held_against_the_copies_that_exist():
    """100 copies at 1:5 are 500 packs, 50 boxes: two a box, and three were promised."""
    promise = Guarantee(what="insert", count=Decimal(3), per="box", hard=True)
    found = made([("A", "insert", 10, 10)], [("A", "", 5)], guarantees=(promise,))
    by_copies = next(one for one in found.promises if one.against == "copies")
    assert by_copies.implied == pytest.approx(Decimal(2), rel=Decimal("0.03"))
    assert not by_copies.agrees


@pytest.mark.parametrize(
    ("cards", "odds", "why"),
    [
        ([("Base", "base", 5, None)], [], "there are no odds"),
        ([], [("Ink", "", 20)], "there is no checklist yet"),
        ([("Ink", "autograph", 5, None)], [("Ink", "", 20)], "no card is numbered"),
        (
            [("Ink", "autograph", 5, None), ("B", "insert", 5, 9)],
            [("Ink", "", 20)],
            "no numbered card has odds",
        ),
    ],
)
def test_what_cannot_be_known_says_why(cards, odds, why):
    """No odds, no checklist, no runs, no line with both."""
    found = made(cards, odds)
    assert isinstance(found, Unknown)
    assert why in found.why


def test_a_format_that_no_numbered_line_speaks_of_has_no_estimate():
    """Its packs are open, and the other format's are not touched."""
    formats = tuple(
        Format(key=key, name=key, cards_per_pack=Decimal(5), packs_per_box=10, boxes_per_case=4)
        for key in ("hobby", "retail")
    )
    sheet = Sheet(
        slug="x",
        title="X",
        maker="M",
        line="L",
        released_on=None,
        formats=formats,
        headline="hobby",
        disclosure=None,
    )
    cards = tuple(
        Card("Ink", "autograph", str(i), ("P",), (), False, 100, "", "", False, False, "", i)
        for i in range(10)
    )
    odds = (Odds("Ink", "", "hobby", Decimal(20), "", 2),)
    release = Release(sheet=sheet, cards=cards, parallels=(), odds=odds)
    facts = lasting(release, {})
    found = facts.of(scarcity.SECTION)
    assert isinstance(found, Scarcity)
    assert found.formats["hobby"].packs.estimate == 20_000
    assert found.formats["retail"].packs.estimate is None
    assert found.formats["retail"].boxes is None
    assert set(facts.collations) == {"hobby", "retail"}


def test_two_formats_with_the_same_odds_share_their_packs():
    """Only their sum is known; each is taken in the middle of its range and has no error of its own."""
    found = Season.open(SAMPLE).facts("gatehouse").scarcity
    hobby, keep = (found.formats[key].packs for key in ("hobby", "keep"))
    assert (hobby.low, keep.low) == (0, 0)
    assert hobby.estimate == keep.estimate
    assert hobby.estimate + keep.estimate == pytest.approx(found.total.estimate, rel=1e-4)
    assert hobby.error is None
