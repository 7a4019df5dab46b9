"""Where cells lie: the names of the sheets, the rows and columns of the sheet Standings, addresses."""

from __future__ import annotations

from xlsxwriter.utility import xl_rowcol_to_cell

STANDINGS, SORTED, REASONS, SURE, METHOD = "Standings", "Sorted", "Reasons", "How sure", "Method"
FIXED_SHEETS = (STANDINGS, SORTED, REASONS, SURE, METHOD)

# the rows of the sheet Standings, from 0: groups, names, weights and their helpers stand above the scores
GROUPS, NAMES, WEIGHTS, SNAPPED, FIRST = 6, 7, 8, 9, 10
# its columns, from 0
RANK, MOVED, PUBLISHED, TITLE, GRADE, VERDICT, CLASS, IN_CLASS, STAGE, SCORES = range(10)
# its columns right of the scores, in order; those from `order` on are helpers and hidden
HELPERS = ("order", "class", "apart", "sum", "weight", "counts", "key")
RIGHT = ("obtained", "known", "slug", *HELPERS)


def absolute(row: int, column: int) -> str:
    """A cell's address that stays when it is copied: '$A$1'."""
    return str(xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True))


def address(row: int, column: int) -> str:
    """A cell's address: 'A1'."""
    return str(xl_rowcol_to_cell(row, column))


def down(column: int, first: int, last: int) -> str:
    """The address of a part of a column that stays when it is copied: '$A$11:$A$28'."""
    return f"{absolute(first, column)}:{absolute(last, column)}"


def across(row: int, first: int, last: int) -> str:
    """The address of a part of a row that stays when it is copied: '$J$9:$W$9'."""
    return f"{absolute(row, first)}:{absolute(row, last)}"
