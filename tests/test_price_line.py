"""The price line: one sentence of verdict and price, worked out by hand, and the same wherever it stands."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import openpyxl
import pytest

from rating import money
from rating import review as reviews
from rating.export.workbook import write_workbook
from rating.price_line import price_line, says
from rating.review import PriceAdvice
from rating.season.beside import beside
from rating.season.season import Season

BOX = PriceAdvice(
    price="178.00",
    landed="195.57",
    even_price="62.80",
    entertainment_price="135.20",
    mean="75.12",
    p_return="0.041",
    p_return_landed="0.03",
    as_of="2031-05-11",
)
TURNS = "it would break even half the time at $62.80, and is worth opening for fun up to $135.20."


def told(verdict="Strong", currency="USD", *, is_good=True, **changes):
    """The line for a box."""
    return price_line(verdict, is_good=is_good, advice=replace(BOX, **changes), currency=currency)


@pytest.mark.parametrize(
    ("verdict", "is_good", "changes", "line"),
    [
        ("Strong", True, {}, f"Strong, but wait: at $178.00 a box is expected to return $75; {TURNS}"),
        ("Weak", False, {}, f"Weak, so wait: at $178.00 a box is expected to return $75; {TURNS}"),
        (
            "Strong",
            True,
            {
                "still": (
                    "you build the set with Retail boxes",
                    "you hunt rookies with Hobby cases",
                    "you want autographs with Retail boxes",
                    "you take a Retail box",
                    "you take a Hobby case",
                )
            },
            (
                f"Strong, but wait: at $178.00 a box is expected to return $75; {TURNS} "
                "Retail boxes still make sense if you build the set or want autographs. "
                "Hobby cases still make sense if you hunt rookies. "
                "It still makes sense to take a Retail box or a Hobby case."
            ),
        ),
        (
            "Strong",
            True,
            {"price": "135.19", "landed": "150.20"},
            f"Strong, and worth opening for fun: at $135.19 a box is expected to return $75; {TURNS}",
        ),
        (
            "Strong",
            True,
            {"mean": "230.00", "is_carried": True, "entertainment_price": "400.00"},
            (
                "Strong, and worth opening for fun: at $178.00 a box is expected to return $230, going by "
                "other releases' prices; it would break even half the time at $62.80, and is worth opening "
                "for fun up to $400.00."
            ),
        ),
        (
            "Strong",
            True,
            {"entertainment_price": "60.00"},
            (
                "Strong, but wait: at $178.00 a box is expected to return $75; it would break even half the "
                "time at $62.80, and because shipping comes on top, is worth opening for fun only "
                "up to $60.00."
            ),
        ),
        (
            "Weak",
            False,
            {"price": "61.00", "landed": "71.55"},
            (
                "Weak, but priced to buy: at $61.00 a box is expected to return $75, against the $71.55 it "
                "costs with tax and shipping; it would break even half the time at $62.80."
            ),
        ),
        (
            "Strong",
            True,
            {"price": None, "landed": None},
            f"Strong. No price is known yet. A box is expected to return $75; {TURNS}",
        ),
        (
            "Strong",
            True,
            {"mean": None, "even_price": None, "entertainment_price": None},
            "Strong. Whether it is worth $178.00 is open: what a box returns is not known.",
        ),
        (
            "",
            False,
            {"price": None, "landed": None, "mean": None},
            "Too early for a verdict. Neither the price of a box nor what it returns is known yet.",
        ),
        (
            "Bad",
            False,
            {"price": "14.95", "landed": "22.74", "mean": "2.505", "even_price": "0.00"}
            | {"entertainment_price": None},
            (
                "Bad, so wait: at $14.95 a box is expected to return $2.51; "
                "it is too little for its shipping at any price."
            ),
        ),
    ],
)
def test_verdict_and_price_make_one_line(verdict, is_good, changes, line):
    """Buy where what comes back on average is what it costs landed, fun below its price, else wait."""
    assert told(verdict, is_good=is_good, **changes) == line


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"mean": "195.57"}, "buy"),
        ({"mean": "195.57", "is_carried": True, "entertainment_price": "355.00"}, "fun"),
        ({"mean": "195.56", "entertainment_price": "355.00"}, "fun"),
        ({"entertainment_price": "178.01"}, "fun"),
        ({"entertainment_price": "178.00"}, "wait"),  # at that and above it is not
        ({"price": None, "landed": None}, ""),
        ({"mean": None}, ""),
    ],
)
def test_what_the_price_says_turns_at_the_amounts_that_are_told(changes, said):
    """To the cent."""
    assert says(replace(BOX, **changes)) == said


@pytest.mark.parametrize(
    ("amount", "currency", "whole", "text"),
    [
        ("1590", "USD", False, "$1,590.00"),
        ("1590.5", "USD", True, "$1,591"),
        ("17800", "JPY", False, "¥17,800"),
        ("12.345", "SEK", False, "12,35\xa0kr"),
        ("9.99", "EUR", False, "€9.99"),
    ],
)
def test_an_amount_is_told_with_its_currency(amount, currency, whole, text):
    """In its own habit; money without a smaller coin has no decimals."""
    assert money.told(Decimal(amount), currency, whole=whole) == text


def test_grade_standings_ledger_and_workbook_say_the_same(sample_season, tmp_path):
    """Line, amounts and verdict of every release of the sample, wherever they stand, and no order to buy."""
    season = Season.open(sample_season)
    rows = season.rank()
    beside = season.beside(rows)
    write_workbook(season, tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx", data_only=True)
    sheets = {one["A1"].value: one for one in book}
    for row in rows:
        draft, told = season.grade(row.release), beside[row.release]
        assert (draft.beside, draft.graded.verdict) == (told, row.verdict)
        assert season.recorded.ledger.review(row.review).price_advice == told.price_advice
        assert told.price_line.startswith(row.verdict or "Too early for a verdict")
        assert "uy" not in row.verdict
        labels = [one.value for one in sheets[row.title]["A"]]
        place = labels.index("at its price")
        assert labels[place - 1] == "with the points now"
        assert sheets[row.title].cell(place + 1, 3).value == told.price_line


def test_advice_and_slots_of_the_sample_agree_with_the_price_line(sample_season):
    """Nobody who goes by what comes back is told to buy where the line says wait, in advice or in slots."""
    season = Season.open(sample_season)
    for row in season.rank():
        facts, told = season.grade(row.release).facts, season.beside([row])[row.release]
        aims = {one.aim: one for one in facts.advice.aims}
        opens, breaks = aims["casual opener"], aims["break buyer"]
        if told.says == "wait":
            assert not any(one.buy == "box" and one.format == facts.headline for one in (opens, breaks))
        elif told.says:
            assert opens.buy != "wait"
        if breaks.buy == "slot" and facts.files.slots:
            slots = {one.slot: one for one in season.slots(row.release).slots}
            fair = [one for one in slots.values() if one.asked and one.worth and one.worth >= one.asked]
            assert fair


def test_a_review_from_before_has_no_price_line(sample_season):
    """Its text is read as it is, and nothing is made up."""
    season = Season.open(sample_season)
    row = season.rank()[0]
    review = replace(season.recorded.ledger.review(row.review), price_advice=None)
    text = reviews.text_of(review)
    assert "price_advice" not in text
    assert reviews.from_text(text) == review
    told = beside(review, row.verdict, rubric_text=season.recorded.ledger.rubric(row.rubric), currency="USD")
    assert (told.price_line, told.says, told.price_advice) == ("", "", None)
