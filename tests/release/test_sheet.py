"""The sheet of a release: what it is, the ways to buy it, what is promised."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from rating.errors import RatingError, Refused
from rating.release import sheet

BODY = """format = 1
title = "Wickfield 2031 Halyard"
maker = "Wickfield"
line = "Halyard"
date = 2031-03-12
since = 2026
earlier = "halyard"
headline = "hobby"
embargo = 2031-03-10
checklist_of = "halyard-base"

[disclosure]
how_obtained = ["bought", "affiliate link"]
sentence = "I bought a case; links pay me."

[formats.hobby]
name = "Hobby"
cards_per_pack = 8
packs_per_box = 14
boxes_per_case = 12

[[formats.hobby.guarantees]]
what = "autograph"
count = 3
per = "box"
certainty = "hard"

[[formats.hobby.guarantees]]
what = "autograph"
count = 36
per = "case"
certainty = "hard"

[formats.retail]
cards_per_pack = 5.5
"""


def parsed(body: str = BODY) -> sheet.Sheet:
    """The sheet in a text."""
    return sheet.parsed(body, "halyard", file="release.toml")


def test_a_sheet_is_read_whole():
    """Every value in its place."""
    one = parsed()
    assert (one.slug, one.title, one.maker, one.line) == (
        "halyard",
        "Wickfield 2031 Halyard",
        "Wickfield",
        "Halyard",
    )
    assert (one.released_on, one.embargo, one.since, one.earlier) == (
        date(2031, 3, 12),
        date(2031, 3, 10),
        2026,
        "halyard",
    )
    assert one.checklist_of == "halyard-base"
    assert one.disclosure.how_obtained == ("bought", "affiliate link")
    hobby, retail = one.formats
    assert one.headline == hobby.key
    assert (hobby.cards_per_box, hobby.packs_per_box, hobby.boxes_per_case) == (112, 14, 12)
    assert (retail.name, retail.cards_per_pack, retail.cards_per_box) == ("Retail", Decimal("5.5"), None)
    assert sheet.problems_of_guarantees(one) == []


def test_a_release_that_is_hardly_known_is_no_error():
    """Before the maker says more, a title, a maker and a line are enough."""
    one = parsed("format = 1\ntitle = 'A'\nmaker = 'B'\nline = 'C'\n")
    assert (one.released_on, one.formats, one.headline, one.disclosure) == (None, (), "", None)


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('title = "Wickfield 2031 Halyard"', "", "title is missing"),
        (
            'title = "Wickfield 2031 Halyard"',
            'title = "Hal\\u202eyard"',
            "title holds the invisible mark U+202E",
        ),
        ('title = "Wickfield 2031 Halyard"', f'title = "{"x" * 201}"', "title has 201 characters"),
        ("date = 2031-03-12", 'date = "2031-03-12"', "date is '2031-03-12', not a date"),
        ("date = 2031-03-12", "date = 2031-03-12T10:00:00", "not a date"),
        ("since = 2026", "since = 26", "since is 26"),
        ('headline = "hobby"', 'headline = "jumbo"', "headline is 'jumbo'"),
        ('headline = "hobby"', "", "headline is missing"),
        ('"halyard-base"', '"../other"', "checklist_of is '../other': only a-z"),
        ('"halyard-base"', '"/etc/passwd"', "checklist_of is '/etc/passwd'"),
        ('"affiliate link"', '"gift"', "disclosure.how_obtained holds 'gift'"),
        ('"affiliate link"', '"none"', "holds 'none' beside others"),
        ("cards_per_pack = 8", "cards_per_pack = 0", "formats.hobby.cards_per_pack is 0"),
        ("cards_per_pack = 8", "cards_per_pack = nan", "formats.hobby.cards_per_pack is NaN"),
        ("packs_per_box = 14", "packs_per_box = 14.5", "formats.hobby.packs_per_box is 14.5"),
        ("packs_per_box = 14", "packs_per_box = true", "formats.hobby.packs_per_box is true"),
        ("[formats.retail]", '[formats."../x"]', "is not a key for a format"),
        ('what = "autograph"', 'what = "autographs"', "guarantees.#1.what is 'autographs'"),
        ("count = 3\n", "count = -3\n", "guarantees.#1.count is -3"),
        ("count = 3\n", "", "guarantees.#1.count is missing"),
        ('certainty = "hard"', 'certainty = "sure"', "guarantees.#1.certainty is 'sure'"),
        ('certainty = "hard"', 'certanty = "hard"', "guarantees.#1.certanty is not known here"),
        ("packs_per_box = 14", "pack_per_box = 14", "formats.hobby.pack_per_box is not known here"),
    ],
)
def test_a_bad_sheet_is_refused(old, new, what):
    """With the name of the value, its line and a mend."""
    assert old in BODY
    with pytest.raises(Refused) as caught:
        parsed(BODY.replace(old, new, 1))
    assert any(what in one.what for one in caught.value.problems), caught.value
    assert all(one.fix and one.file == "release.toml" for one in caught.value.problems)


def test_broken_toml_is_refused():
    """By name, not by traceback."""
    with pytest.raises(RatingError, match="not TOML"):
        parsed(BODY + "[formats.hobby]\n")


def mismatches(*guarantees: str, cards: str = "8", packs: str = "14", boxes: str = "12") -> list[str]:
    """What does not fit in a format of its own; each guarantee is 'what count per certainty'."""
    head = BODY[: BODY.index("[formats.hobby]")]
    body = f"{head}[formats.hobby]\ncards_per_pack = {cards}\npacks_per_box = {packs}\n"
    body += f"boxes_per_case = {boxes}\n"
    for one in guarantees:
        what, count, per, certainty = one.split(", ")
        body += "[[formats.hobby.guarantees]]\n"
        body += f'what = "{what}"\ncount = {count}\nper = "{per}"\ncertainty = "{certainty}"\n'
    return [what for _, what in sheet.problems_of_guarantees(parsed(body))]


@pytest.mark.parametrize(
    ("guarantees", "expected"),
    [
        (["autograph, 3, box, hard", "autograph, 36, case, hard"], []),
        (["autograph, 0.5, box, average", "autograph, 6, case, average"], []),
        (
            ["autograph, 3, box, hard", "autograph, 35, case, hard"],
            ["35 autographs a case, but 3 autographs a box in 12 boxes makes 36"],
        ),
        (
            ["hit, 1, box, average", "hit, 10, case, hard"],
            ["10 hits a case, but 1 hit a box on average in 12 boxes makes 12"],
        ),
        (["autograph, 3, box, hard", "relic, 35, case, hard"], []),
        (["autograph, 8, pack, hard"], []),
        (
            ["autograph, 5, pack, hard", "relic, 4, pack, hard"],
            ["9 guaranteed cards a pack, but a pack holds 8"],
        ),
        (
            ["base, 112, box, hard", "insert, 1, box, hard"],
            ["113 guaranteed cards a box, but a box holds 112"],
        ),
        # a rookie or a numbered card may be one of the others
        (["base, 8, pack, hard", "rookie, 2, pack, hard", "numbered, 1, pack, hard"], []),
    ],
)
def test_promises_are_held_against_each_other_and_the_pack(guarantees, expected):
    """Counted by hand: 12 boxes a case, 14 packs of 8 cards a box."""
    assert mismatches(*guarantees) == expected


@pytest.mark.parametrize(
    ("per", "expected"), [("box", Decimal(1)), ("pack", Decimal(14)), ("case", 1 / Decimal(12))]
)
def test_units_are_counted_in_boxes(per, expected):
    """14 packs make a box, 12 boxes a case; what is not known is None."""
    hobby, retail = parsed().formats
    assert hobby.in_box(per) == expected
    assert retail.in_box(per) == (1 if per == "box" else None)
