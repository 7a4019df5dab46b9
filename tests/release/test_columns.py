"""What the cells of a column may hold: read, and written again."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

import pytest

from rating import money
from rating.release import columns, csv_file
from rating.release.columns import read_yes, whole_between


def read(cell, *written, required=False):
    """The values of some cells, with row, what and fix of each problem."""
    content = "x,a\n" + "".join(f"x,{one}\n" for one in written)
    found = csv_file.parse(content, ("x", "a"), required=(), file="x.csv")
    values = cell.read(found, "a", required)
    return list(values), [(one.row, one.what, one.fix) for one in found.problems]


@pytest.mark.parametrize(
    ("written", "good"),
    [(one, True) for one in ("1", "007", "250")]
    + [(one, False) for one in ("0", "251", "-1", "+1", "1.0", "1e2", "1_0", "٣", "²", "9" * 5000)],
)
def test_only_whole_numbers_between_the_ends_are_read(written, good):
    """ASCII digits and nothing else."""
    parse = whole_between(1, 250)
    if good:
        assert parse(written) == int(written)
    else:
        with pytest.raises(ValueError, match=re.escape(written)):
            parse(written)


@pytest.mark.parametrize(
    ("written", "good"), [("yes", True), ("YES", True), ("no", False), ("x", False), ("1", False)]
)
def test_a_flag_is_yes_or_blank(written, good):
    """Anything else is a problem, not a no."""
    values, problems = read(columns.yes(), written)
    assert values == [good]
    assert len(problems) == (0 if good else 1)
    if good:
        assert read_yes(written)


def test_a_word_of_a_few_is_read_without_regard_to_capitals():
    """And comes out as it is declared."""
    values, problems = read(columns.choice(("card", "sticker")), "CARD", " sticker ", "ink", "")
    assert values == ["card", "sticker", "", ""]
    assert problems == [(4, "a is 'ink'", "write one of card, sticker, or leave it blank")]


def test_a_word_that_is_required_has_no_blank_among_its_choices():
    """The mend does not offer what is refused."""
    _, problems = read(columns.choice(("card", "sticker")), "", required=True)
    assert problems == [(2, "a is blank", "write one of card, sticker")]


def test_names_are_parted_by_strokes_with_blanks_around_them():
    """A stroke within a name is none; a half without a name is a problem, and the row is told."""
    cell = columns.names(fix="write the name")
    values, problems = read(cell, "Ada", "Ada / Bo", "AC/DC", "", " / Bo", "Ada /", "Ada / / Cy")
    assert values[:4] == [("Ada",), ("Ada", "Bo"), ("AC/DC",), ()]
    assert [row for row, _, _ in problems] == [6, 7, 8]
    assert {fix for _, _, fix in problems} == {"write the name"}


@pytest.mark.parametrize("names", [("Ada", "Ada / Bo", "") * 10, tuple(f"P{n} / Q" for n in range(30))])
def test_names_are_the_same_whether_there_are_few_or_many(names):
    """Few are looked up, many are made at once."""
    values, problems = read(columns.names(fix=""), *names)
    assert values == [tuple(one.split(" / ")) if one else () for one in names]
    assert problems == []


@pytest.mark.parametrize(
    ("cell", "value", "written"),
    [
        (columns.words(), "a text", "a text"),
        (columns.names(fix=""), ("Ada", "Bo"), "Ada / Bo"),
        (columns.names(fix=""), (), ""),
        (columns.keys(fix=""), ("hobby", "retail"), "hobby retail"),
        (columns.choice(("card", "sticker")), "sticker", "sticker"),
        (columns.whole(low=0, fix=""), 0, "0"),
        (columns.whole(low=0, fix=""), 75, "75"),
        (columns.whole(low=0, fix=""), None, ""),
        (columns.decimal(money.read, fix=""), Decimal("4.50"), "4.50"),
        (columns.decimal(money.read, fix=""), None, ""),
        (columns.day(blank=None, fix=""), date(2031, 3, 12), "2031-03-12"),
        (columns.day(blank=None, fix=""), None, ""),
        (columns.yes(), True, "yes"),
        (columns.yes(), False, ""),
    ],
)
def test_a_value_is_written_as_it_is_read(cell, value, written):
    """Both ways."""
    assert cell.write(value) == written
    assert read(cell, written) == ([value], [])


def test_a_large_amount_is_written_in_plain_digits():
    """Python shows 1E+3 for it, which no table holds."""
    assert columns.decimal(money.read, fix="").write(Decimal("1E+3")) == "1000"
