"""Rows put into a person's CSV file: nothing else of it changes."""

from __future__ import annotations

import csv
import io
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.errors import RatingError
from rating.release.edit_csv import edited

NEW = {"date": "2031-07-15", "price": "178.00", "source": "two shops, by phone"}


def test_a_row_takes_the_columns_of_the_file_in_their_order():
    """What has no value is blank, what holds a comma is quoted."""
    content = "price,date,format,source\n9,2031-01-01,hobby,\n"
    assert edited(content, file="p.csv", added=[NEW]) == (
        f'{content}178.00,2031-07-15,,"two shops, by phone"\n'
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("last", [True, False])
def test_line_ends_and_the_byte_order_mark_stay(end, mark, last):
    """A last line without an end gets one, so that the new row does not run into it."""
    content = f"{mark}date,price,source{end}2031-01-01,9,"
    found = edited(content + end * last, file="p.csv", added=[NEW])
    assert found == f'{content}{end}2031-07-15,178.00,"two shops, by phone"{end}'


def test_quotes_around_everything_are_kept_up():
    """As some programs write them."""
    found = edited('"date","price"\n"2031-01-01","9"\n', file="p.csv", added=[{"price": "8", "date": "x"}])
    assert found.splitlines()[-1] == '"x","8"'


def test_a_value_without_a_column_is_refused():
    """A blank one needs none."""
    with pytest.raises(RatingError, match="no column source") as caught:
        edited("date,price\n", file="p.csv", added=[NEW])
    assert caught.value.where == "p.csv, line 1"
    assert edited("date,price\n", file="p.csv", added=[{**NEW, "source": ""}]) == (
        "date,price\n2031-07-15,178.00\n"
    )


def test_only_the_rows_that_change_are_written_anew():
    """Odd blanks and quotes of the others stay, and so does a row of another width."""
    content = 'day, count \n "1" ,2\n\n3,4\nragged\n'

    def change(cells):
        return {**cells, "count": "5"} if cells["day"] == "3" else cells

    assert edited(content, file="o.csv", added=[], change=change) == ('day, count \n "1" ,2\n\n3,5\nragged\n')


CELLS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=9)


@given(st.lists(st.tuples(CELLS, CELLS), max_size=5), CELLS, st.sampled_from(["\n", "\r\n"]))
def test_whatever_stands_in_it_is_read_as_before_with_the_new_row_behind(rows, cell, end):
    """By the csv module, which wrote the file."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator=end).writerows([("a", "b"), *rows])
    found = edited(out.getvalue(), file="x.csv", added=[{"a": cell, "b": "1"}])
    assert found.startswith(out.getvalue())
    last = list(csv.reader(io.StringIO(found, newline="")))[-1]
    assert last == [" ".join(unicodedata.normalize("NFC", cell).split()), "1"]
