"""What is a sold list: a table of sales, or text in which listings stand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from rating.release.intake import days
from rating.release.intake.market import cells as cell_words
from rating.release.intake.market.strokes import parted_again
from rating.release.intake.sold.lines import LineReader
from rating.release.intake.sold.table import Reader as TableReader
from rating.release.intake.sold.table import Table
from rating.release.intake.values import Grid, Row, SeasonWords
from rating.release.intake.words import Columns

_FAR = date(2100, 1, 1)
_OF_LOT = re.compile(r"\b(?:lots?|sold|hammer|reali[sz]ed|bids?|ended|went for|closed at)\b", re.IGNORECASE)


def has_header(grid: Grid, columns: Columns) -> bool:
    """Whether a sheet is a table of sales: a title, its price and something more, or a date and a price."""
    reader = TableReader(SeasonWords(), _FAR, columns)
    grid = parted_again(grid)
    found = reader.table(grid)
    if found is None:
        return False
    names = found.columns.keys()
    named = set(columns.of_row(found.header.cells).values()) if found.header else set()
    if {"date", "price"} <= named or {"date", "total"} <= named:
        return True
    if "title" in named and named & {"price", "total"} and len(named) > 2:
        return True
    body = [row for row in grid.rows[found.first :][:200] if len(row.filled) > 1]
    listings = sum(map(reader.is_listing, body))
    tells = names & {"price", "total"} and names & {"date", "how", "status"}
    return bool(tells) and "title" in names and listings * 2 > len(body) and _are_titles(body, found)


def _are_titles(body: Sequence[Row], found: Table) -> bool:
    """Whether the texts of the title's column are as long and as many as titles are."""
    cells = [cell for row in body if (cell := row.cell(found.columns["title"]))]
    long = sum(cell_words.has_words(cell, 3) for cell in cells)
    told = sum(bool(re.search(r"\d", cell)) or cell_words.has_words(cell, 5) for cell in cells)
    return long * 2 > len(cells) and told * 2 > len(cells) and len(set(cells)) * 2 > len(cells)


def looks_pasted(grid: Grid) -> bool:
    """Whether text lines hold listings: amounts of money and dates in most entries, or a line each."""
    lines = [row.text for row in grid.rows[:400]]
    if len(lines) < 2:
        return False
    reader = LineReader(_FAR)
    priced = sum(reader.has_price(line) for line in lines)
    dated = sum(days.read_day(line, _FAR) is not None for line in lines)
    worded = sum(
        bool(re.search(r"\bsold\b|\bbids?\b|best offer|buy it now|buy now", line, re.IGNORECASE))
        for line in lines
    )
    whole = sum(reader.is_whole(line) and cell_words.has_words(line, 4) for line in lines)
    if whole * 2 >= len(lines):
        return True
    if _are_lots(reader, grid.rows[:400]):
        return True
    long = sum(cell_words.has_words(line, 4) for line in lines)
    return worded * 5 >= len(lines) and priced * 5 >= len(lines) and dated * 8 >= len(lines) and long > 0


def listings(grid: Grid) -> list[str]:
    """What a sold list says of each sale: a row each, or the lines of a pasted block together."""
    rows = grid.rows
    reader = LineReader(_FAR)
    is_told = sum(len(row.filled) > 1 or reader.is_whole(row.text) for row in rows)
    if is_told * 2 >= len(rows):
        return [row.text for row in rows]
    return [" ".join(row.text for row in block) for block in reader.blocks(rows)]


def _are_lots(reader: LineReader, rows: Sequence[Row]) -> bool:
    """Whether lines stand in blocks of a title, a price and a word of sales each, with days or without."""
    blocks = [[row.text for row in block] for block in reader.blocks(rows)]
    listings = [
        block
        for block in blocks
        if 1 < len(block) < 9
        and any(cell_words.has_words(line, 3) and re.search(r"\d", line) for line in block)
        and sum(map(reader.has_price, block)) in {1, 2}
        and any(_OF_LOT.search(line) for line in block)
    ]
    return len(listings) > 2 and len(listings) * 10 >= len(blocks) * 7
