"""Dated prices and sold cards, read from tidy CSV."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from rating.release import OPENED, PRICES, SALES, SLOTS
from rating.release.market import OpenedRow, Price, Sale, SlotPrice

PRICE_HEADER = "date,format,unit,kind,price,currency,source\n"
OPENED_HEADER = ",".join(OPENED.names) + "\n"
SLOT_HEADER = ",".join(SLOTS.names) + "\n"
SALE_HEADER = ",".join(SALES.names) + "\n"


def read(tmp_path, table, content):
    """What a table makes of a text."""
    path = tmp_path / "x.csv"
    path.write_text(content, encoding="utf-8")
    return table.read(path)


def test_a_price_is_read_exactly(tmp_path):
    """Words in any capitals, the currency in capital letters, the amount as a decimal."""
    found, problems = read(
        tmp_path, PRICES, PRICE_HEADER + "2031-03-12,hobby,Box,STREET,164.95,usd,two shops\n"
    )
    assert problems == []
    assert found == (
        Price(date(2031, 3, 12), "hobby", "box", "street", Decimal("164.95"), "USD", "two shops", 2),
    )


@pytest.mark.parametrize(
    ("column", "value", "what"),
    [
        (0, "", "date is blank"),
        (0, "12.3.2031", "date is '12.3.2031'"),
        (0, "2031-02-30", "date is '2031-02-30'"),
        (0, "2031-W11-3", "date is '2031-W11-3'"),
        (0, "20310312", "date is '20310312'"),
        (0, "2031-03-12T00:00", "date is '2031-03-12T00:00'"),
        (1, "", "format is blank"),
        (2, "", "unit is blank"),
        (2, "carton", "unit is 'carton'"),
        (3, "asking", "kind is 'asking'"),
        (3, "", "kind is blank"),
        (4, "", "price is blank"),
        (4, "0", "price is '0'"),
        (4, "0.00", "price is '0.00'"),
        (4, "-5", "price is '-5'"),
        (4, "$5", "price is '$5'"),
        (4, "164,95", None),
        (4, "1e3", "price is '1e3'"),
        (4, "nan", "price is 'nan'"),
        (5, "dollars", "currency is 'dollars'"),
        (5, "U$D", "currency is 'U$D'"),
    ],
)
def test_a_bad_price_is_told_and_the_others_are_read(tmp_path, column, value, what):
    """One problem in its row; a price that cannot be used is left out, not guessed."""
    good = ["2031-03-12", "hobby", "box", "list", "160", "USD", "x"]
    bad = [*good[:column], value, *good[column + 1 :]]
    found, problems = read(tmp_path, PRICES, f"{PRICE_HEADER}{','.join(bad)}\n{','.join(good)}\n")
    assert [one.row for one in problems] == [2]
    assert problems[0].what == (what or "the row has 8 cells, the header 7")
    assert found[-1].price == 160
    assert len(found) == (2 if column in {1, 5} else 1)


def test_a_sale_is_read_exactly(tmp_path):
    """Postage may be nought or not known, and those are two things."""
    found, problems = read(
        tmp_path,
        SALES,
        SALE_HEADER
        + "2031-03-20,Base,Amber,001,4.50,0,USD,auction,raw,Halyard 001 amber,x,sure\n"
        + "2031-03-21,,,,3,,,,,Halyard lot,,\n",
    )
    assert problems == []
    assert found == (
        Sale(
            date(2031, 3, 20),
            "Base",
            "Amber",
            "001",
            Decimal("4.50"),
            Decimal(0),
            "USD",
            "auction",
            "raw",
            "Halyard 001 amber",
            "x",
            "sure",
            2,
        ),
        Sale(date(2031, 3, 21), "", "", "", Decimal(3), None, "", "", "", "Halyard lot", "", "", 3),
    )


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("2031-03-20,,,,4,-1,,,,t,,", "postage is '-1'"),
        ("2031-03-20,,,,4,,,haggle,,t,,", "how is 'haggle'"),
        ("2031-03-20,,,,4,,,,mint,t,,", "condition is 'mint'"),
        ("2031-03-20,,,,4,,,,,t,,maybe", "match is 'maybe'"),
        ("2031-03-20,,,,0,,,,,t,,", "price is '0'"),
        ("yesterday,,,,4,,,,,t,,", "date is 'yesterday'"),
    ],
)
def test_a_bad_sale_is_told(tmp_path, line, what):
    """Each with its row."""
    _, problems = read(tmp_path, SALES, f"{SALE_HEADER}{line}\n")
    assert [(one.row, one.what) for one in problems] == [(2, what)]


def test_opened_boxes_are_read_row_by_row(tmp_path):
    """A line in six boxes, one card of another, nothing found, and boxes alone."""
    content = (
        "2031-03-20,hobby,6,Ink,Amber,,4\n2031-03-20,hobby,6,Ink,,I-7,1\n"
        "2031-03-20,retail,2,Sails,,,0\n2031-03-21,hobby,1,,,,\n"
    )
    found, problems = read(tmp_path, OPENED, OPENED_HEADER + content)
    assert problems == []
    day = date(2031, 3, 20)
    assert found == (
        OpenedRow(day, "hobby", 6, "Ink", "Amber", "", 4, 2),
        OpenedRow(day, "hobby", 6, "Ink", "", "I-7", 1, 3),
        OpenedRow(day, "retail", 2, "Sails", "", "", 0, 4),
        OpenedRow(date(2031, 3, 21), "hobby", 1, "", "", "", 0, 5),
    )


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("20.3.2031,hobby,6,Ink,,,4", "date is '20.3.2031'"),
        ("2031-03-20,,6,Ink,,,4", "format is blank"),
        ("2031-03-20,hobby,,Ink,,,4", "boxes is blank"),
        ("2031-03-20,hobby,0,Ink,,,4", "boxes is '0'"),
        ("2031-03-20,hobby,1.5,Ink,,,4", "boxes is '1.5'"),
        ("2031-03-20,hobby,6,Ink,,,-1", "count is '-1'"),
        ("2031-03-20,hobby,6,Ink,,,some", "count is 'some'"),
    ],
)
def test_a_bad_row_of_opened_boxes_is_told(tmp_path, line, what):
    """Each with its row."""
    _, problems = read(tmp_path, OPENED, f"{OPENED_HEADER}{line}\n")
    assert [(one.row, one.what) for one in problems] == [(2, what)]


def test_opened_boxes_that_contradict_themselves_are_all_told(tmp_path):
    """Two numbers of boxes for one day and format, and a row that stands twice."""
    content = "2031-03-20,hobby,6,Ink,,,4\n2031-03-20,hobby,5,Sails,,,1\n2031-03-20,hobby,6,INK,,,2\n"
    _, problems = read(tmp_path, OPENED, OPENED_HEADER + content)
    assert [(one.code, one.row) for one in problems] == [("uneven-boxes", 3), ("duplicate-row", 4)]
    assert "5 boxes of hobby on 2031-03-20, and 6 in a row above" in problems[0].what


def test_slot_prices_are_read_row_by_row(tmp_path):
    """A team, a pair, and a random break, where the team is drawn."""
    content = (
        "2031-04-05,hobby,Kelderby Rooks,45,Fixed,1,usd,list.xlsx\n"
        "2031-04-05,hobby,Kelderby Rooks + Low Tarn Pike,82.50,auction,0.5,,\n"
        "2031-04-12,hobby,,39,random,,,\n"
        "2031-04-12,hobby,Low Tarn Pike,41,,,,\n"
    )
    found, problems = read(tmp_path, SLOTS, SLOT_HEADER + content)
    assert problems == []
    day, other, rooks = date(2031, 4, 5), date(2031, 4, 12), "Kelderby Rooks"
    pair = f"{rooks} + Low Tarn Pike"
    half = Decimal("0.5")
    assert found == (
        SlotPrice(day, "hobby", rooks, Decimal(45), "fixed", Decimal(1), "USD", "list.xlsx", 2),
        SlotPrice(day, "hobby", pair, Decimal("82.50"), "auction", half, "", "", 3),
        SlotPrice(other, "hobby", "", Decimal(39), "random", None, "", "", 4),
        SlotPrice(other, "hobby", "Low Tarn Pike", Decimal(41), "", None, "", "", 5),
    )


def test_slot_prices_need_no_more_than_day_format_slot_and_price(tmp_path):
    """The other columns may be left out."""
    found, problems = read(tmp_path, SLOTS, "date,format,slot,price\n2031-04-05,hobby,West,45\n")
    assert problems == []
    assert found == (SlotPrice(date(2031, 4, 5), "hobby", "West", Decimal(45), "", None, "", "", 2),)


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("5.4.2031,hobby,Rooks,45,fixed,,,", "date is '5.4.2031'"),
        (",hobby,Rooks,45,fixed,,,", "date is blank"),
        ("2031-04-05,hobby,,45,fixed,,,", "slot is blank"),
        ("2031-04-05,hobby,,45,,,,", "slot is blank"),
        ("2031-04-05,hobby,Rooks,,fixed,,,", "price is blank"),
        ("2031-04-05,hobby,Rooks,0,fixed,,,", "price is '0'"),
        ("2031-04-05,hobby,Rooks,-45,fixed,,,", "price is '-45'"),
        ("2031-04-05,hobby,Rooks,sold,fixed,,,", "price is 'sold'"),
        ("2031-04-05,hobby,Rooks,45,raffle,,,", "how is 'raffle'"),
        ("2031-04-05,hobby,Rooks,45,fixed,0,,", "cases is '0'"),
        ("2031-04-05,hobby,Rooks,45,fixed,half,,", "cases is 'half'"),
        ("2031-04-05,hobby,Rooks,45,fixed,,dollars,", "currency is 'dollars'"),
    ],
)
def test_a_bad_slot_price_is_told(tmp_path, line, what):
    """Each with its row."""
    _, problems = read(tmp_path, SLOTS, f"{SLOT_HEADER}{line}\n")
    assert [(one.row, one.what) for one in problems] == [(2, what)]
