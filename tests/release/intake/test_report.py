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
    blanks = "subset, parallel and number"
    head = "1 row of headings, notes or blanks"
    why = "no version of this card is numbered to 30. Perhaps Base 1 or Wharf Signatures WS-1."
    assert told == [
        f"cards.csv: 5 rows, read as a checklist: 3 cards, {head} and 1 problem.",
        f"sold.csv: 6 rows, read as a sold list: 2 sales, {head}, 2 set aside and 1 problem.",
        "Of 2 sales, matched to cards: 1 likely and 1 doubtful.",
        "",
        "checklist.csv: new, 3 cards.",
        "sales.csv: new, 2 sales.",
        "",
        "2 rows could not be taken and need you:",
        "  cards.csv, row 4: the card has no name: '3 | Bells | Base'. Find out the name.",
        "  sold.csv, row 6: the price is 'gone'. Write the price of the sale, such as 4.50.",
        "",
        "Set aside, 2 rows; nothing of them is in the tables:",
        "  2 x a lot of several cards",
        "    sold.csv, row 4: 2031-04-01 | 2031 Cordage base lot of 40 | $9.00",
        "    sold.csv, row 5: 2031-04-02 | 2031 Cordage lot of 12 rookies | $4.00",
        "",
        "1 sale could not be matched for certain; it stands in sales.csv with a blank subset.",
        f"Fill in {blanks} there (or answer with --ask): it is remembered for the next list.",
        f"  row 3: 2031 Cordage Pell Skelwith 7/30\n    {why}",
        "",
        "season.toml has no teams yet; the file's own 2 names are used: Bells and Divers",
    ]


def test_a_revision_is_told_row_by_row(intake):
    """What was added, removed, and what is now what."""
    intake(("cards.csv", CARDS))
    told = report.lines(
        intake(("cards-2.csv", CARDS.replace("2,Una Tarnhowes,Divers", "2,Una Tarnhowes,Bells")))
    )
    assert "checklist.csv: 1 altered; it now has 3 cards." in told
    assert "  altered: Base 2: Divers is now Bells" in told


def test_long_lists_are_cut_and_say_so(intake):
    """Twelve of a kind are enough for the eye; the JSON has them all."""
    rows = "".join(f"2031-04-01,2031 Cordage Pell Skelwith #1,price {chr(65 + n)}\n" for n in range(20))
    told = report.lines(intake(("cards.csv", CARDS), ("sold.csv", "Date,Title,Price\n" + rows)))
    assert "  ... and 9 more; --json lists them all" in told


def test_problems_that_differ_in_numbers_only_are_told_once():
    """A thousand duplicate rows are one line, with how many there are and three of them."""
    alike = [
        Problem(code="duplicate", what=f"row {row} says it again", file="a.csv", row=row, fix="delete it")
        for row in range(2, 1002)
    ]
    other = Problem(code="odd", what="there is no name", file="a.csv", row=7, fix="write it")
    told = report.lines(IntakeResult(tables={}, problems=(*alike, other)))
    assert told[0] == "1,001 rows could not be taken and need you:"
    assert told[1:] == [
        "  a.csv: 1,000 times, in rows 2, 3, 4 and more: row 2 says it again. Delete it.",
        "  a.csv, row 7: there is no name. Write it.",
    ]
