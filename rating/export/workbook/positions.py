"""Where cells lie: the names of the sheets, the rows and columns of the sheet Standings, addresses."""

from __future__ import annotations

from xlsxwriter.utility import xl_rowcol_to_cell

STANDINGS, SORTED, REASONS, SURE, METHOD = "Standings", "Sorted", "Reasons", "How sure", "Method"
FIXED_SHEETS = (STANDINGS, SORTED, REASONS, SURE, METHOD)

# the rows of the sheet Standings, from 0: all but the hidden ones stay in view above the releases
GROUPS, NAMES, PUBLISHED_POINTS, SHARES, WEIGHTS, SNAPPED, CHANGED, HEADS, FIRST = range(9)
# its columns left of the scores, in order; the first stays in view
LEFT = ("title", "rank", "grade", "moved", "published", "published_grade")
SCORES = len(LEFT)
# its columns right of the scores; the helpers are hidden, and right of them stand, hidden too, for every
# criterion the score as it counts and the score as published
SHOWN = (
    "verdict",
    "class",
    "in_class",
    "stage",
    "state",
    "lowest",
    "highest",
    "open",
    "obtained",
    "review",
    "slug",
)
HELPERS = (
    "order",
    "band",
    "sum",
    "weight",
    "unknown",
    "counts",
    "unplaced",
    "key",
    "wrong",
    "tried",
    "listed",
)
# what a person writes where a criterion does not apply, and how a score that is not known counts
ABSENT, UNKNOWN = "n/a", "open"


def absolute(row: int, column: int) -> str:
    """A cell's address that stays when it is copied: '$A$1'."""
    return str(xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True))


def address(row: int, column: int) -> str:
    """A cell's address: 'A1'."""
    return str(xl_rowcol_to_cell(row, column))


def down(column: int, first: int, last: int) -> str:
    """The address of a part of a column that stays when it is copied: '$A$9:$A$26'."""
    return f"{absolute(first, column)}:{absolute(last, column)}"


def across(row: int, first: int, last: int) -> str:
    """The address of a part of a row that stays when it is copied: '$G$5:$T$5'."""
    return f"{absolute(row, first)}:{absolute(row, last)}"
