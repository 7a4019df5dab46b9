"""Sold lists: sales matched to cards, dates and money read however they are written, the rest set aside."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date

import pytest

from rating.release.intake import SeasonWords

CARDS = """\
Card,Player,Team,Set,Print Run,RC
1,Pell Skelwith,Thornwick Bells,Base,,
2,Una Tarnhowes,Nacre Bay Divers,Base,,RC
3,Zeb Núñez-Holm,Thornwick Bells,Base,,
WS-1,Pell Skelwith,Thornwick Bells,Wharf Signatures,120,
WS-2,Una Tarnhowes,Nacre Bay Divers,Wharf Signatures,120,
WS-3,Zeb Núñez-Holm,Thornwick Bells,Wharf Signatures,60,
"""
PARALLELS = """\
Set,Parallel,Print Run
Base,Manila,45
Base,Sisal,
Wharf Signatures,Manila,25
Wharf Signatures,Wire,1
"""
TOML = """\
format = 1
title = "Brackwater 2031 Cordage"
maker = "Brackwater"
line = "Cordage"
date = 2031-03-12
"""
PELL, UNA = "2031 Cordage Pell Skelwith #1", "2031 Cordage Una Tarnhowes #2"


@pytest.fixture
def listed(intake, release):
    """A release with a checklist, parallels and a date."""
    (release / "release.toml").write_text(TOML, encoding="utf-8")
    intake(("cards.csv", CARDS), ("parallels.csv", PARALLELS))
    return intake


@pytest.fixture
def sales(table):
    """The rows of sales.csv."""
    return lambda: list(csv.DictReader(io.StringIO(table("sales.csv"))))


def one(title, price="$5.00", day="2031-04-01"):
    """A list of one sale, with another beside it that is beyond doubt."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(("Date", "Title", "Price"))
    writer.writerow((day, title, price))
    writer.writerow(("2031-04-02", "2031 Cordage Una Tarnhowes Sisal #2", "$3.00"))
    return ("list.csv", out.getvalue())


@pytest.mark.parametrize(
    ("title", "card"),
    [
        ("2031 Brackwater Cordage Pell Skelwith #1", ("Base", "", "1")),
        ("SKELWITH, PELL 2031 CORDAGE MANILA 41/45", ("Base", "Manila", "1")),
        ("2031 Cordage Zeb Nunez-Holm Wharf Sigs Auto 12/60", ("Wharf Signatures", "", "WS-3")),
        ("2031 Cordage Zeb NÃºÃ±ez-Holm Wharf Signatures WS-3", ("Wharf Signatures", "", "WS-3")),
        ("2031 Cordage Zeb N��ez-Holm sisal #3", ("Base", "Sisal", "3")),
        (
            "wharf autograph una tarnhowes manila /25 cordage 2031 divers",
            ("Wharf Signatures", "Manila", "WS-2"),
        ),
        ("2031 Cordage WS1 Skelwith Wire 1/1 auto", ("Wharf Signatures", "Wire", "WS-1")),
        ("Cordage 2031 P. Skelwith Sisal base", ("Base", "Sisal", "1")),
        ("2031 Cordage Tarnhowes RC #2 rookie Divers mint look", ("Base", "", "2")),
        ("2031 Cordage #WS-2 Una Tarnhowes", ("Wharf Signatures", "", "WS-2")),
        ("2031 Cordage Una Tarnhwoes Manila 3 of 45", ("Base", "Manila", "2")),
    ],
)
def test_titles_are_matched_however_they_are_written(title, card, listed, sales):
    """Order, capitals, abbreviations, damaged letters and slips do not matter."""
    listed(one(title))
    row = next(row for row in sales() if row["title"] == title)
    assert (row["subset"], row["parallel"], row["number"]) == card
    assert row["match"] in {"sure", "likely"}


@pytest.mark.parametrize(
    ("title", "why"),
    [
        ("2031 Cordage Pell Skelwith 7/30", "no version of this card is numbered to 30"),
        ("2031 Cordage Pell Skelwith Gold", "'gold' is not a parallel on the checklist"),
        ("2031 Cordage Pell Skelwith Una Tarnhowes #3", "number, print run and words contradict each other"),
    ],
)
def test_a_doubtful_title_is_written_without_a_card_and_listed(title, why, listed, sales):
    """A blank subset, and a line in the report with what it could be."""
    result = listed(one(title))
    row = next(row for row in sales() if row["title"] == title)
    assert (row["subset"], row["parallel"], row["number"], row["match"]) == ("", "", "", "")
    assert [(found.title, found.why) for found in result.doubtful] == [(title, why)]
    assert result.doubtful[0].guesses


@pytest.mark.parametrize(
    ("title", "why"),
    [
        ("Lot of 12 2031 Cordage base cards", "a lot of several cards"),
        ("2031 Cordage Pell Skelwith x3", "a lot of several cards"),
        ("2031 Cordage rookies you pick", "a lot of several cards"),
        ("2031 Cordage complete base set 1-150", "a complete set"),
        ("2031 Cordage hobby box factory sealed", "a sealed box, pack or case"),
        ("2031 Cordage retail packs unopened", "a sealed box, pack or case"),
        ("2030 Cordage Pell Skelwith #1", "another product: 2030"),
        ("2031 Foghorn Pell Skelwith Manila 41/45", "another product: Foghorn"),
        ("2031 Cordage Pell Skelwith custom art card", "another product: custom"),
        ("2031 Cordage team spot group break Bells", "a slot in a break"),
    ],
)
def test_what_is_no_sale_of_one_card_is_set_aside(title, why, listed, words, sales):
    """With its reason."""
    result = listed(one(title), season=replace(words, other_lines=("Foghorn",)))
    assert [(found.row, found.why) for found in result.set_aside] == [(2, why)]
    assert [row["title"] for row in sales()] == ["2031 Cordage Una Tarnhowes Sisal #2"]


def test_asking_prices_and_removed_listings_are_set_aside(listed, sales):
    """What stands in the column of how it sold decides, and 'asking' in the price too."""
    content = """\
Sold on,Title,Price,How
2031-04-01,2031 Cordage Pell Skelwith Manila 1/45,$900.00,asking
2031-04-01,2031 Cordage Pell Skelwith Manila 2/45,$20.00,cancelled
,listing removed,,
2031-04-02,2031 Cordage Pell Skelwith Manila 3/45,$21.00,best offer accepted
2031-04-03,2031 Cordage Pell Skelwith Manila 4/45,$22.00,auction
2031-04-03,2031 Cordage Pell Skelwith Manila 5/45,$22.00,buy it now
"""
    result = listed(("list.csv", content))
    assert [found.why for found in result.set_aside] == [
        "asking price, not a sale",
        "removed or cancelled listing",
        "removed or cancelled listing",
    ]
    assert [row["how"] for row in sales()] == ["offer", "auction", "fixed"]


def test_slabs_go_to_the_condition(listed, sales):
    """By the title, or by a column; a raw one that is ready for it stays raw."""
    content = """\
Date,Title,Price,Condition
2031-04-01,2031 Cordage Pell Skelwith #1 KGS 9.5,$50.00,
2031-04-01,2031 Cordage Pell Skelwith #1 slab 10,$70.00,
2031-04-01,2031 Cordage Pell Skelwith #1,$60.00,graded
2031-04-01,2031 Cordage Pell Skelwith #1 raw ready to grade,$5.00,Ungraded
"""
    listed(("list.csv", content))
    assert [row["condition"] for row in sales()] == ["slabbed", "slabbed", "slabbed", "raw"]


@pytest.mark.parametrize(
    ("cell", "day"),
    [
        ("2031-03-28", "2031-03-28"),
        ("2031/3/28", "2031-03-28"),
        ("28.3.2031", "2031-03-28"),
        ("28/03/31", "2031-03-28"),
        ("3/28/2031", "2031-03-28"),
        ("28 Mar 2031", "2031-03-28"),
        ("Mar 28, 2031", "2031-03-28"),
        ("28th of March 2031", "2031-03-28"),
        ("28 mars 2031", "2031-03-28"),
        ("28. März 2031", "2031-03-28"),
        ("Sold Mar 28, 2031", "2031-03-28"),
        ("2031-03-28T14:05:00Z", "2031-03-28"),
    ],
)
def test_dates_are_read_in_several_spellings(cell, day, listed, sales):
    """All of them the 28th of March."""
    listed(one("2031 Cordage Pell Skelwith Manila 1/45", day=cell))
    assert sales()[0]["date"] == day


def test_an_ambiguous_date_is_read_by_the_seasons_order_and_asked_about(listed, words, sales):
    """3/4 is the third of April where the season puts days first; the list itself does not tell."""
    season = replace(words, date_order="day first")
    result = listed(one("2031 Cordage Pell Skelwith Manila 1/45", day="3/4/2031"), season=season)
    assert sales()[0]["date"] == "2031-04-03"
    assert [found.what for found in result.questions] == [
        "1 date such as '3/4/2031' could be 2031-04-03 or 2031-03-04. Which order does this list use?"
    ]


def test_a_list_that_shows_its_order_is_read_by_it(listed, words, sales):
    """One 28 in the first place decides for all, and that is said where the season reads otherwise."""
    content = f"Date,Title,Price\n28/3/2031,{PELL},$5\n3/4/2031,{UNA},$5\n"
    result = listed(("list.csv", content), season=replace(words, date_order="month first"))
    assert [row["date"] for row in sales()] == ["2031-03-28", "2031-04-03"]
    assert result.questions == ()
    assert any("dates are written day first" in note for note in result.notes)


@pytest.mark.parametrize(
    ("header", "cells", "price", "postage"),
    [
        ("Price,Postage", '"$1,234.50",$4.99', "1234.50", "4.99"),
        ("Price,Postage", '"1.234,50 €",free', "1234.50", "0.00"),
        ("Price,Shipping", "US $12,+$3.50 shipping", "12.00", "3.50"),
        ("Price,Shipping", "£12.00,", "12.00", ""),
        ("Price,Postage", "$12.00 + $4.00 postage,", "12.00", "4.00"),
        ("Price,Postage,Total paid", "$12.00,$4.00,$16.00", "12.00", "4.00"),
        ("Price,Total paid", "$12.00,$16.00", "12.00", "4.00"),
        ("Total paid,Postage", "$16.00,$4.00", "12.00", "4.00"),
        ("Price €,Shipping €", "12.50,4.00", "12.50", "4.00"),
        ("Price USD,Postage USD", "12.50,4.00", "12.50", "4.00"),
        ("Price kr,Shipping kr", "12.50,4.00", "12.50", "4.00"),
    ],
)
def test_prices_and_postage_are_read_in_several_ways(header, cells, price, postage, listed, sales):
    """Marks of currency and thousands, free postage, postage within the price, a total that is paid."""
    listed(("list.csv", f"Date,Title,{header}\n2031-04-01,2031 Cordage Pell Skelwith Manila 1/45,{cells}\n"))
    assert [(row["price"], row["postage"]) for row in sales()] == [(price, postage)]


def test_a_total_below_its_postage_holds_none(listed, sales):
    """So the totals of the list are prices alone, and it says so."""
    rows = f"2031-04-01,{PELL},$16.00,$4.00\n2031-04-02,{UNA},$3.00,$4.00\n"
    result = listed(("list.csv", f"Date,Title,Total,Postage\n{rows}"))
    assert [(row["price"], row["postage"]) for row in sales()] == [("16.00", "4.00"), ("3.00", "4.00")]
    assert any("totals are prices alone" in one for one in result.notes)


def test_the_currency_is_that_of_the_marks(listed, sales):
    """A pound sign in a season of dollars says so; no sign is the season's."""
    content = f"Date,Title,Price\n2031-04-01,{PELL},£5\n2031-04-01,{PELL},6\n"
    listed(("list.csv", content))
    assert [row["currency"] for row in sales()] == ["GBP", "USD"]


def test_without_a_currency_in_the_season_the_files_own_is_taken(listed, sales):
    """Nothing waits for an answer, and the report says what was taken."""
    content = f"Date,Title,Price\n2031-04-01,{PELL},5 €\n2031-04-01,{PELL},6\n"
    result = listed(("list.csv", content), season=SeasonWords())
    assert [row["currency"] for row in sales()] == ["EUR", "EUR"]
    assert any("the season has no currency yet; EUR is taken" in note for note in result.notes)


def test_pasted_lines_are_read(listed, sales):
    """A line each: date, title, price and postage in any order, without a header."""
    content = """\
3/28/2031  2031 Cordage Pell Skelwith Manila 1/45  $12.50 + $4.99 shipping  auction
3/29/2031  2031 Cordage Una Tarnhowes Sisal #2  $3.00 free shipping  buy it now
3/30/2031  2031 Cordage Zeb Núñez-Holm Wharf Signatures 9/60  $31.00  best offer
"""
    listed(("pasted.txt", content))
    assert [(row["date"], row["number"], row["price"], row["postage"], row["how"]) for row in sales()] == [
        ("2031-03-28", "1", "12.50", "4.99", "auction"),
        ("2031-03-29", "2", "3.00", "0.00", "fixed"),
        ("2031-03-30", "WS-3", "31.00", "", "offer"),
    ]


def test_pasted_blocks_are_read(listed, sales):
    """A listing over several lines, as it is copied from a page."""
    content = """\
Sold  Mar 28, 2031
2031 Cordage Pell Skelwith Manila 1/45
$12.50
+$4.99 shipping
3 bids

Sold  Mar 29, 2031
2031 Cordage Una Tarnhowes Sisal #2 rookie
$3.00
Free shipping
Buy It Now
"""
    listed(("pasted.txt", content))
    assert [(row["date"], row["parallel"], row["price"], row["postage"], row["how"]) for row in sales()] == [
        ("2031-03-28", "Manila", "12.50", "4.99", "auction"),
        ("2031-03-29", "Sisal", "3.00", "0.00", "fixed"),
    ]


def lots(*after):
    """Three lots of an auction, a block each, with these lines at the end."""
    titles = (
        "2031 Cordage Pell Skelwith #1",
        "2031 Cordage Una Tarnhowes Sisal #2",
        "2031 Cordage Una Tarnhowes #2",
    )
    return "\n\n".join(
        "\n".join((f"Lot {at}", f"  Title {title}", f"  Realised ${at}.50", *after))
        for at, title in enumerate(titles, 1)
    )


@pytest.mark.parametrize(
    "content",
    [
        "Evening auction, 5 April 2031\n\n" + lots(),
        lots("  Ended 5 April 2031"),
        lots("  5 April 2031", "  1 bid"),
    ],
)
def test_lots_in_blocks_have_the_day_that_stands_over_or_in_them(content, listed, sales):
    """A label before every title is no part of it."""
    listed(("lots.txt", content))
    assert [
        (row["date"], row["number"], row["parallel"], row["price"], row["title"][:12]) for row in sales()
    ] == [
        ("2031-04-05", "1", "", "1.50", "2031 Cordage"),
        ("2031-04-05", "2", "Sisal", "2.50", "2031 Cordage"),
        ("2031-04-05", "2", "", "3.50", "2031 Cordage"),
    ]


def test_a_list_without_any_day_is_asked_about_once(listed, sales, words):
    """All of its rows are named, and the answer holds for them all; nothing is dated by guess."""
    content = "Exported 6 May 2031\n\n" + lots()
    result = listed(("lots.txt", content))
    (question,) = [one for one in result.questions if one.topic == "day of sales"]
    assert (question.cells, question.weight) == (("3", "7", "11"), 3)
    assert {one.row for one in result.problems if one.code == "bad-date"} == {3, 7, 11}
    listed(("lots.txt", content), season=replace(words, answers={question.id: "2031-04-09"}))
    assert [(row["date"], row["price"]) for row in sales()] == [
        ("2031-04-09", "1.50"),
        ("2031-04-09", "2.50"),
        ("2031-04-09", "3.50"),
    ]


def test_rows_that_cannot_be_read_are_problems(listed):
    """A price in words, no date, a date that is none: each with its row."""
    content = """\
Date,Title,Price
2031-04-01,2031 Cordage Pell Skelwith #1,twelve
,2031 Cordage Pell Skelwith #1,$5.00
31/31/2031,2031 Cordage Pell Skelwith #1,$5.00
2031-04-01,2031 Cordage Pell Skelwith #1,
2031-04-02,2031 Cordage Pell Skelwith #1,$4.00
"""
    result = listed(("list.csv", content))
    assert [(found.row, found.code) for found in result.problems] == [
        (2, "bad-value"),
        (3, "bad-date"),
        (4, "bad-date"),
        (5, "missing-value"),
    ]


def test_a_correction_in_the_table_is_remembered_for_the_next_list(listed, release, sales):
    """What a person fills in for a doubtful title holds for that title in any later list."""
    title = "2031 Cordage Skelwith manilla special"
    listed(one("2031 Cordage Pell Skelwith 7/30"))
    path = release / "sales.csv"
    text = path.read_text(encoding="utf-8")
    assert ",,,,5.00" in text
    path.write_text(text.replace("2031-04-01,,,,5.00", "2031-04-01,Base,Manila,1,5.00"), encoding="utf-8")
    content = "Date,Title,Price\n2031-05-01,2031 Cordage Pell Skelwith 9/30,$6.00\n"
    listed(("later.csv", content))
    found = {row["title"]: row for row in sales()}
    assert found["2031 Cordage Pell Skelwith 7/30"]["parallel"] == "Manila"
    assert found["2031 Cordage Pell Skelwith 9/30"]["match"] == "hand"
    assert found["2031 Cordage Pell Skelwith 9/30"]["parallel"] == "Manila"
    assert title not in found


def test_a_second_list_adds_and_counts_no_sale_twice(listed, sales):
    """Lists are windows on a market: the older sales stay, those in both count once."""
    head = "Date,Title,Price\n"
    first = "2031-04-01,2031 Cordage Pell Skelwith #1,$5.00\n2031-04-02,2031 Cordage Una Tarnhowes #2,$6.00\n"
    second = (
        "2031-04-02,2031 Cordage Una Tarnhowes #2,$6.00\n2031-04-03,2031 Cordage Zeb Núñez-Holm #3,$7.00\n"
    )
    listed(("april.csv", head + first))
    result = listed(("may.csv", head + second))
    assert [row["number"] for row in sales()] == ["1", "2", "3"]
    assert "1 sale stood in sales.csv already, from another list" in result.notes


def test_without_a_checklist_a_sold_list_waits(intake):
    """There is nothing to match to, and that is said of its rows."""
    result = intake(one("2031 Cordage Pell Skelwith #1"))
    assert "sales.csv" not in result.tables
    assert any("there is no checklist yet to match sales to" in one.why for one in result.set_aside)


def test_presales_are_kept_and_flagged(listed, sales):
    """By a date before the release, or by the title."""
    content = """\
Date,Title,Price
2031-03-02,2031 Cordage Pell Skelwith #1,$5.00
2031-04-02,2031 Cordage Pell Skelwith #1 presale,$5.00
2031-04-03,2031 Cordage Pell Skelwith #1,$5.00
"""
    result = listed(("list.csv", content), today=date(2031, 7, 15))
    assert [row for _, row, _ in result.presales] == [2, 3]
    assert len(sales()) == 3
