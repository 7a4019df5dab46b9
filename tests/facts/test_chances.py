"""The section on chances, and boxes really opened against stated odds."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from scipy import stats

from rating.facts.blocks import Listing
from rating.facts.chances import SECTION
from rating.facts.chances.compute import against_odds, chances
from rating.facts.chances.value import Chances, FormatChances
from rating.facts.falling.lines import lines_of
from rating.facts.gather import lasting
from rating.facts.plain import Unknown
from rating.release.checklist import Card, Odds
from rating.release.market import OpenedRow
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"


def made(cards, odds=(), guarantees=(), opened=None, packs=10):
    """Lines, formats and section of a release; cards are (subset, kind, number of cards, print run)."""
    hobby = Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=Decimal(5),
        packs_per_box=packs,
        boxes_per_case=4,
        guarantees=guarantees,
    )
    sheet = Sheet(
        slug="x",
        title="X",
        maker="M",
        line="L",
        released_on=None,
        formats=(hobby,),
        headline="hobby",
        disclosure=None,
    )
    release = Release(
        sheet=sheet,
        cards=tuple(
            Card(subset, kind, str(i), (f"P{i}",), (), i == 0, run, "", "", False, False, "", i)
            for subset, kind, count, run in cards
            for i in range(count)
        ),
        odds=tuple(Odds(subset, "", "hobby", Decimal(x), "", 2) for subset, x in odds),
    )
    lines = lines_of(release)
    collations = lasting(release, {}).collations
    return chances(sheet.formats, lines, collations, opened, has_odds=bool(odds)), sheet.formats, lines


@pytest.fixture(scope="module")
def halyard():
    """The facts of the sample's Halyard."""
    return Season.open(SAMPLE).facts("halyard")


def test_kinds_and_lines_by_hand():
    """Ink at 1:20 in ten packs: half a copy, 1 - 0.95^10 = 0.401263; ln 0.5 / ln 0.95 is 13.5, 14 packs."""
    found, _, _ = made([("Base", "base", 50, None), ("Ink", "autograph", 10, 100)], [("Ink", 20)])
    hobby = found.formats["hobby"]
    ink = hobby.lines[0]
    assert (ink.what, ink.expected_box, ink.expected_case) == ("Ink", Decimal("0.5"), 2)
    assert (ink.p_pack, ink.p_box, ink.packs) == (Decimal("0.05"), Decimal("0.401263"), 14)
    assert ink.p_case == pytest.approx(Decimal(str(1 - 0.95**40)), abs=Decimal("1e-6"))
    kinds = {one.what: one for one in hobby.kinds}
    assert set(kinds) == {"autograph", "numbered", "rookie", "rookie autograph"}
    assert kinds["rookie autograph"].expected_box == Decimal("0.05")
    assert kinds["autograph"].p_box == ink.p_box


def test_a_promise_for_certain_is_certain_in_its_box():
    """Two inserts a box: in one pack a fifth, in the box 1."""
    promise = Guarantee(what="insert", count=Decimal(2), per="box", hard=True)
    found, _, _ = made([("Base", "base", 50, None), ("A", "insert", 10, None)], guarantees=(promise,))
    (line,) = found.formats["hobby"].lines
    assert (line.p_pack, line.p_box, line.p_case) == (Decimal("0.2"), 1, 1)


def test_what_rounded_odds_leave_open_is_told():
    """1:2 in ten packs is 10 / 2.5 to 10 / 1.5 a box; 1:0.4 has no end; what 1:40 leaves open is little."""
    found, _, _ = made(
        [
            ("Base", "base", 50, None),
            ("A", "insert", 9, None),
            ("B", "insert", 9, None),
            ("C", "relic", 9, None),
        ],
        [("A", 2), ("B", "0.4"), ("C", 40)],
    )
    a, b, c = found.formats["hobby"].lines
    assert (a.low_box, a.high_box) == (4, Decimal("6.66667"))
    assert (b.low_box, b.high_box) == (Decimal("11.1111"), None)
    rows = {row[0]: row[2] for row in next(iter(blocks(found))).rows}
    assert rows == {"A": "4.00 to 6.67", "B": "11.11 or more", "C": ""}
    assert c.low_box < c.expected_box < c.high_box


def blocks(found):
    """The tables of lines."""
    tables = [one for one in SECTION.tables(found, None) if isinstance(one, Listing)]
    return [one for one in tables if one.headers[0] == "line"]


def test_halyards_odds_come_back(halyard):
    """Fathom Green at 1:3 in boxes of 14 packs lies between 14 / 3.5 = 4 and 14 / 2.5 = 5.6 a box, and by its
    43,780 copies and the packs nearer to the second; Maiden Voyage Signatures, unnumbered, at 1:15.

    There are 86,800 Hobby and 144,000 Retail packs; all 65,780 of Driftwood are in Retail.
    """
    lines = {one.what: one for one in halyard.chances.formats["hobby"].lines}
    green = lines["Base Fathom Green"]
    assert 4.67 < green.expected_box < 5.6
    copies = {"hobby": 86_800 / 14, "retail": 144_000 / 8}
    fell = [
        float(one.expected_box) * copies[key]
        for key, found in halyard.chances.formats.items()
        for one in found.lines
        if one.what == "Base Fathom Green"
    ]
    assert sum(fell) == pytest.approx(43_780, rel=0.01)
    retail = {one.what: one for one in halyard.chances.formats["retail"].lines}
    assert float(retail["Base Driftwood"].p_pack) == pytest.approx(65_780 / 144_000, rel=0.01)
    assert lines["Maiden Voyage Signatures"].p_pack == Decimal("0.0666667")
    # the printed 1:250 is a misprint; chances go by what the other lines imply
    assert round(1 / lines["Deck Signatures Pearl"].p_pack) == 139
    assert "Base Mist" in halyard.chances.formats["retail"].open_lines
    assert "97 % of Hobby boxes hold an autograph" in SECTION.told(halyard)


@pytest.mark.parametrize(
    ("cards", "odds", "why"),
    [
        ([], [], "nothing says which cards are in the packs"),
        ([], [("Ink", 20)], "odds say nothing of cards"),
    ],
)
def test_without_a_checklist_it_is_not_known(cards, odds, why):
    """With or without odds."""
    found, _, _ = made(cards, odds)
    assert isinstance(found, Unknown)
    assert why in found.why


def test_no_odds_and_a_format_without_packs_say_why():
    """The section is there, each format with its reason."""
    found, _, _ = made([("Base", "base", 50, None), ("Ink", "autograph", 10, None)])
    assert isinstance(found, Chances)
    assert "neither odds nor promises" in found.formats["hobby"].why
    found, _, _ = made([("Base", "base", 50, None)], packs=None)
    assert "packs per box are missing" in found.formats["hobby"].why
    found, _, _ = made([("Base", "base", 50, None)])
    assert "base cards only" in found.formats["hobby"].why


def test_a_line_without_odds_is_told_beside_the_others():
    """The inserts are open: their odds are not stated."""
    found, _, _ = made([("Ink", "autograph", 10, None), ("A", "insert", 10, None)], [("Ink", 20)])
    hobby = found.formats["hobby"]
    assert isinstance(hobby, FormatChances)
    assert hobby.open_lines == ("A",)
    assert [one.what for one in hobby.lines] == ["Ink"]


def row(day, boxes, subset, found, number=""):
    return OpenedRow(date(2031, 4, day), "hobby", boxes, subset, "", number, found, day)


CARDS = [("Base", "base", 50, None), ("Ink", "autograph", 10, None), ("Tides", "insert", 10, None)]


def test_boxes_opened_are_added_up_and_tested():
    """Six and four boxes of ten packs: 9 + 1 in 100 packs at 1:20, where 5 are to be expected.

    1:20 is anything from 19.5 to 20.5; the nearest to 10 in 100 is 19.5. Two lines: p times two (Holm).
    """
    rows = [row(1, 6, "Ink", 8), row(1, 6, "Ink", 1, "4"), row(2, 4, "Ink", 1), row(2, 4, "Tides", 10)]
    found, _, _ = made(CARDS, [("Ink", 20), ("Tides", 10)], opened=rows)
    assert found.opened.boxes == {"hobby": 10}
    ink, tides = found.opened.lines
    assert (ink.hits, ink.packs, ink.expected, ink.verdict) == (10, 100, Decimal(5), "fits")
    by_scipy = stats.binomtest(10, 100, 1 / 19.5)
    assert float(ink.p) == pytest.approx(min(1, 2 * by_scipy.pvalue), rel=1e-5)
    exact = by_scipy.proportion_ci(0.95, method="exact")
    assert (float(ink.low), float(ink.high)) == pytest.approx((exact.low, exact.high), rel=1e-5)
    score = by_scipy.proportion_ci(0.95, method="wilson")
    assert tuple(map(float, ink.wilson)) == pytest.approx((score.low, score.high), rel=1e-5)
    # no row on the first day, and yet its boxes were looked through
    assert (tides.hits, tides.packs) == (10, 100)


def test_odds_that_the_boxes_belie_differ():
    """No Tides in 200 packs at 1:10 is a chance of 7e-10; few boxes are too few to tell."""
    found, _, _ = made(CARDS, [("Tides", 10)], opened=[row(1, 20, "Tides", 0)])
    assert found.opened.lines[0].verdict == "differs"
    assert float(found.opened.lines[0].high) == pytest.approx(1 - 0.025 ** (1 / 200), rel=1e-5)
    found, _, _ = made(CARDS, [("Tides", 10)], opened=[row(1, 1, "Tides", 0)])
    assert found.opened.lines[0].verdict == "too few to tell"


def test_a_line_without_odds_or_checklist_is_left_out_with_a_reason():
    """The others are still compared."""
    rows = [row(1, 1, "Ink", 1), row(1, 1, "Sails", 1), row(1, 1, "Tides", 1)]
    found, formats, lines = made(CARDS, [("Ink", 20)], opened=rows)
    assert [one.subset for one in found.opened.lines] == ["Ink"]
    assert found.opened.left_out == (
        "sails in hobby: it is not in the checklist",
        "Tides in hobby: no odds are stated",
    )
    assert against_odds(formats, lines, []).lines == ()
    assert isinstance(against_odds(formats, lines, None), Unknown)
