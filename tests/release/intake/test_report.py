"""The report of a messy file reads like a careful assistant's note."""

from __future__ import annotations

from rating.errors import Problem
from rating.release.intake import IntakeResult, report

CARDS = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Una Tarnhowes,Divers,Base
3,,Bells,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
"""
SOLD = """\
Date,Title,Price
2031-04-01,2031 Cordage Pell Skelwith base #1,$5.00
2031-04-01,2031 Cordage Pell Skelwith 7/30,$9.00
2031-04-01,2031 Cordage base lot of 40,$9.00
2031-04-02,2031 Cordage lot of 12 rookies,$4.00
2031-04-02,2031 Cordage Una Tarnhowes #2,gone
"""


def test_a_messy_evening_is_told_in_order(intake):
    """What was read, what changed, what needs a person, what was left out and why, what is doubtful."""
    told = report.lines(intake(("cards.csv", CARDS), ("sold.csv", SOLD)))
    head = "1 row of headings, notes or blanks"
    doubt = (
        "could not be matched for certain; it stands in sales.csv with a blank subset. Fill in subset,"
        " parallel and number there, or answer with --ask:"
    )
    why = "no version of this card is numbered to 30. Perhaps Base 1 or Wharf Signatures WS-1."
    assert told == [
        f"cards.csv: 5 rows, read as a checklist: 3 cards, {head} and 1 problem.",
        "  1 row could not be taken and needs you:",
        "    line 4: the card has no name: '3 | Bells | Base'. Find out the name.",
        "",
        f"sold.csv: 6 rows, read as a sold list: 2 sales, {head}, 2 set aside and 1 problem.",
        "  1 row could not be taken and needs you:",
        "    line 6: the price is 'gone'. Write the price of the sale, such as 4.50.",
        f"  1 sale {doubt}",
        f"    line 3: 2031 Cordage Pell Skelwith 7/30: {why}",
        "  Set aside, 2 rows:",
        (
            "    2 x a lot of several cards: lines 4, 5, such as "
            "2031-04-01 | 2031 Cordage base lot of 40 | $9.00"
        ),
        "",
        "checklist.csv: new, 3 cards.",
        "sales.csv: new, 2 sales.",
        "Of 2 sales, matched to cards: 1 likely and 1 doubtful.",
        "season.toml lacks 2 teams that the checklist shows (Bells and Divers); --teams adds them.",
    ]


def test_a_revision_is_told_row_by_row(intake):
    """What was added, removed, and what is now what."""
    intake(("cards.csv", CARDS))
    told = report.lines(
        intake(("cards-2.csv", CARDS.replace("2,Una Tarnhowes,Divers", "2,Una Tarnhowes,Bells")))
    )
    assert "checklist.csv: 1 altered; it now has 3 cards." in told
    assert "  altered: Base 2: Divers is now Bells" in told


SCREEN = (80, 24)


def height(document, width):
    """The lines that a document's part of the report takes on a screen."""
    return sum(len(report.wrapped(line, width)) for line in document)


def documents(told):
    """The parts of a report."""
    found = [[]]
    for line in told:
        if line:
            found[-1].append(line)
        else:
            found.append([])
    return found


def test_each_document_fits_a_screen(intake):
    """However much there is to say: long lists are cut and say so, the JSON has them all."""
    very = "very " * 30
    rows = "".join(
        f"2031-04-{n % 28 + 1:02},2031 Cordage Pell Skelwith #1 {very}{chr(65 + n)},price {chr(65 + n)}\n"
        f"2031-04-{n % 28 + 1:02},2031 Cordage {chr(65 + n)} Pell Skelwith 7/30,$9.0{n % 10}\n"
        f"2031-04-{n % 28 + 1:02},2031 Cordage lot of {n + 2} rookies {chr(65 + n)},$9.00\n"
        for n in range(20)
    )
    result = intake(("cards.csv", CARDS), ("sold.csv", "Date,Title,Price\n" + rows))
    for width in (60, 80, 100):
        told = documents(report.lines(result, width=width))
        assert len(told) == 3
        assert all(height(one, width) <= 24 for one in told)
        assert any("more; --json lists them all" in line for line in told[1])


def test_sheets_of_one_kind_are_told_together(intake, workbook):
    """Forty sheets of cards are one line."""
    sheets = {
        f"Set {n}": [["Card", "Player", "Team"]]
        + [[f"{chr(65 + n % 26)}{n}-{k}", f"Ada Quill{n}", "Bells"] for k in range(1, 5)]
        for n in range(40)
    }
    told = report.lines(intake(("cards.xlsx", workbook(sheets))))
    assert told[0] == (
        "cards.xlsx, 40 sheets: 200 rows, read as a checklist: 160 cards and"
        " 40 rows of headings, notes and blanks."
    )
    assert height(documents(told)[0], 80) <= 24


def test_problems_of_one_sort_are_told_once():
    """A thousand duplicate rows are one line, with how many there are and three of them."""
    alike = [
        Problem(code="duplicate", what=f"row {row} says it again", file="a.csv", row=row, fix="delete it")
        for row in range(2, 1002)
    ]
    named = [
        Problem(code="unknown", what=f"there is no {name}", file="a.csv", row=row, fix="see to it")
        for row, name in enumerate(("Ember", "Plum", "Rust", "Moss"), start=2)
    ]
    other = Problem(code="odd", what="there is no name", file="a.csv", row=7, fix="write it")
    told = report.lines(IntakeResult(tables={}, problems=(*alike, *named, other)))
    assert told == [
        "a.csv: not taken in.",
        "  1,005 rows could not be taken and need you:",
        "    1,000 times, in lines 2, 3, 4 and more, for example: row 2 says it again. Delete it.",
        "    4 times, in lines 2, 3, 4 and more, for example: there is no Ember. See to it.",
        "    line 7: there is no name. Write it.",
    ]


def test_what_a_sell_sheet_says_is_told_by_format(intake):
    """Packing, promises and prices of a format are a line each."""
    sheet = (
        "Marlow 2031 Cordage\n\nHobby: 6 cards per pack, 20 packs per box, 12 boxes per case.\n"
        "Each Hobby box holds two autographs on average.\nSRP $4.99 per pack\n"
    )
    told = report.lines(intake(("sheet.txt", sheet), yes=True))
    assert "    hobby: 6 cards a pack, 20 packs a box, 12 boxes a case" in told
    assert "    hobby promises: 2 autographs a box on average" in told
    assert "    hobby list price: pack 4.99 USD" in told
    assert "    maker: Marlow" in told
    assert "    line: Cordage" in told
