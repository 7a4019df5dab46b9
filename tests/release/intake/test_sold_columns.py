"""Sold lists are read by what their columns hold: no heading, unknown ones, or ones that mislead."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

CARDS = """\
Card,Player,Team,Set,Print Run
1,Pell Skelwith,Thornwick Bells,Base,
2,Una Tarnhowes,Nacre Bay Divers,Base,
WS-1,Pell Skelwith,Thornwick Bells,Wharf Signatures,120
"""
PARALLELS = "subset,parallel,print_run\nBase,Manila,45\nBase,Sisal,\n"
TOML = 'format = 1\ntitle = "Brackwater 2031 Cordage"\n'
ONE, TWO, THREE = (
    "2031 Cordage Pell Skelwith #1",
    "2031 Brackwater Cordage Una Tarnhowes Sisal",
    "2031 Cordage Pell Skelwith Wharf Signatures auto 3/120",
)


@pytest.fixture
def sold(intake, release, table):
    """What a sold list comes to: day, title, price, postage and how, by row."""
    (release / "release.toml").write_text(TOML, encoding="utf-8")
    intake(("cards.csv", CARDS))
    (release / "parallels.csv").write_text(PARALLELS, encoding="utf-8")

    def run(content, name="list.csv", **options):
        result = intake((name, content), **options)
        rows = csv.DictReader(io.StringIO(table("sales.csv")))
        names = ("date", "title", "price", "postage", "how")
        return result, [tuple(row[one] for one in names) for row in rows]

    return run


WANTED = [
    ("2031-04-01", ONE, "5.49", "1.25", "fixed"),
    ("2031-04-02", TWO, "32.55", "0.00", "offer"),
    ("2031-05-03", THREE, "12.00", "", "auction"),
]


@pytest.mark.parametrize(
    "heading",
    [
        "",
        "val1;val2;val3;val4;val5;val6;val7\n",
        "Key;Hammer;Lot;Went for;Manner;Freight;State\n",
        "Referencia;Data;Titel;Prix;Modo;Wysyłka;Estado\n",
        "ID;End date;Title;Price;Listing type;Shipping;Status\n",
        ";;;;;;\n",
    ],
)
def test_headings_are_no_condition(heading, sold):
    """None, unknown, in other languages, one that belongs to another column, or none but blanks."""
    body = (
        f"238922287591;1 Apr 2031;{ONE};5.49;Fixed price;1.25;sold\n"
        f"964263055445;2 Apr 2031;{TWO};32.55;Best offer accepted;Free shipping;sold\n"
        f"765362686394;May 3, 2031;{THREE};12.00;Auction;;sold\n"
    )
    _, rows = sold(heading + body)
    assert rows == WANTED


def test_other_money_and_orders_of_columns(sold, words):
    """A mark before or behind, decimal commas, the postage first, dates with points."""
    content = (
        f"€1,25\t{ONE}\t€ 5,49\t01.04.2031\tsold\n"
        f"0,00\t{TWO}\t32,55 EUR\t02.04.2031\tsold\n"
        f"\t{THREE}\t€12,00\t03.05.2031\tsold\n"
    )
    season = replace(words, currency="EUR", decimal_mark=",", date_order="day first")
    _, rows = sold(content, season=season)
    assert rows == [(*row[:4], "") for row in WANTED]


def test_lines_of_text_are_parted_by_what_stands_in_them(sold):
    """A day, a title, an amount and how it sold; a slab's grade before the amount is no price."""
    content = (
        f"2031-04-01  {ONE}  $5.49 + $1.25  Fixed price\n"
        f"April 2, 2031  {TWO} graded QRX 10  £ 32.55  Best offer accepted\n"
        f"3 May 2031  {THREE}  12.00 GBP  Auction\n"
    )
    _, rows = sold(content, name="list.txt")
    assert rows == [
        ("2031-04-01", ONE, "5.49", "1.25", "fixed"),
        ("2031-04-02", f"{TWO} graded QRX 10", "32.55", "", "offer"),
        ("2031-05-03", THREE, "12.00", "", "auction"),
    ]


def test_what_was_not_sold_and_what_stands_twice_is_set_aside(sold):
    """Neither is a problem; the same listing is one sale, another listing of the same title is another."""
    content = (
        "ID,Date,Title,Price,Status\n"
        f"238922287591,2031-04-01,{ONE},5.49,sold\n"
        f"238922287591,2031-04-01,{ONE},5.49,sold\n"
        f"238922287600,2031-04-01,{ONE},5.49,sold\n"
        f"238922287601,2031-04-02,{ONE},,unsold\n"
        f"238922287602,2031-04-02,{ONE} - listing removed,7.00,sold\n"
        "Count,3,,,\n"
    )
    result, rows = sold(content)
    assert rows == [("2031-04-01", ONE, "5.49", "", "")] * 2
    assert [(one.row, one.why) for one in result.set_aside] == [
        (3, "the same sale as row 2"),
        (5, "not sold"),
        (6, "removed or cancelled listing"),
        (7, "a line of totals"),
    ]
    assert [one for one in result.problems if one.severity == "error"] == []


def test_titles_of_other_releases_are_strangers(sold):
    """Another line, another year or another sport's words in place of this one's name."""
    strangers = [
        "2031 Brackwater Foghorn Pell Skelwith #1",
        "2029 Cordage Pell Skelwith #1",
        "2031 Rookie Showcase Water Polo Pell Skelwith Base",
    ]
    lines = [
        f"2031-04-0{n + 1},{title},5.00,auction\n" for n, title in enumerate([ONE, TWO, THREE, ONE, TWO])
    ]
    lines += [f"2031-04-09,{title},5.00,auction\n" for title in strangers]
    result, rows = sold("".join(lines))
    assert [row[1] for row in rows] == [ONE, TWO, THREE, ONE, TWO]
    assert [one.why for one in result.set_aside] == [
        "another product: 'foghorn' in place of this one's name",
        "another product: 2029",
        "another product: 'showcase' in place of this one's name",
    ]


def test_a_row_out_of_step_is_read_by_its_cells(sold):
    """A comma too many in front, and a title with an unquoted comma."""
    content = (
        "Date,Title,Price,How\n"
        f"2031-04-01,{ONE},5.49,auction\n"
        f"2031-04-01,{TWO},5.49,auction\n"
        f",2031-04-02,{TWO},6.49,fixed price\n"
    )
    _, rows = sold(content)
    assert ("2031-04-02", TWO, "6.49", "", "fixed") in rows


def test_the_order_of_dates_is_asked_once(sold, words):
    """And read as answered."""
    content = f"Date,Title,Price\n03/04/2031,{ONE},5.00\n05/04/2031,{TWO},6.00\n"
    season = replace(words, date_order="day first")
    result, rows = sold(content, season=season)
    assert [row[0] for row in rows] == ["2031-04-03", "2031-04-05"]
    (question,) = result.questions
    assert (question.choices, question.weight) == (("day first", "month first"), 2)
    answered = replace(season, answers={question.id: "month first"})
    result, rows = sold(content, season=answered, replace=True)
    assert ([row[0] for row in rows], result.questions) == (["2031-03-04", "2031-05-04"], ())
