"""Columns that look like others: two cards in a row, sales beside odds, units beside formats."""

from __future__ import annotations

import pytest

from rating.release.intake import unfold
from rating.release.intake.formats_said import could_be
from rating.release.intake.odds.detect import is_odds
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns


def _grid(*lines: str) -> Grid:
    rows = [Row(at, tuple(line.split("|"))) for at, line in enumerate(lines, 1)]
    return Grid(file="a.csv", sheet="", rows=tuple(rows), last=len(rows))


def test_two_cards_in_a_row_are_two_cards() -> None:
    grid = _grid(
        "No.|East|Club|Rank|West|Club|No.",
        "1|Ara Mine|Kaze|First|Kiri Nage|Fuka|2",
        "3|Toku Hibi|Naru|Second|Oni Zuku|Hino|4",
        "5|Gen Kai|Tobi|Third|Hoshi Baya|Iwa|6",
    )
    east, west = unfold.parts(grid)
    assert [row.cells for row in east.rows[1:]] == [
        ("1", "Ara Mine", "Kaze"),
        ("3", "Toku Hibi", "Naru"),
        ("5", "Gen Kai", "Tobi"),
    ]
    assert west.rows[1].cells == ("Kiri Nage", "Fuka", "2")


def test_a_flat_rate_in_a_list_of_sales_is_no_word_of_odds() -> None:
    grid = _grid(
        "bids|closing price (yen)|closed|item|way",
        "6|1,450|2032/09/20|Harbour Lights 2032 Indigo Bell 012/150|auction",
        "-|200|2032/09/21|Harbour Lights 2032 no. 40 Reed|flat rate",
        "11|6,200|2032/09/23|Harbour Lights 2032 Vermilion Marsh 30/30|auction",
    )
    assert not is_odds(grid, Columns("odds"))
    assert Columns("sold").name("closing price (yen)") == "price"


@pytest.mark.parametrize("heading", ["What should I pay?", "Boxes/tins per carton"])
def test_a_question_or_two_units_name_no_format(heading: str) -> None:
    assert not could_be(heading)
    assert could_be("Tide")
