"""Cards that run on over the ends of lines, each document with the cards that a person reads from it."""

from __future__ import annotations

import pytest

EIGHT = [
    ("1", "Pell Skelwith", "Tarn Otters"),
    ("2", "Una Tarnhowes", "Fell Herons"),
    ("3", "Ida Oxley", "Moor Rooks"),
    ("4", "Zeb Merrow", "Tarn Otters"),
    ("5", "Orla Dunsley", "Fell Herons"),
    ("6", "Cy Fenwick", "Moor Rooks"),
    ("7", "A. Holt", "Tarn Otters"),
    ("8", "Jo Lund", "Fell Herons"),
]
WHOLE = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida Oxley,
Moor Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla Dunsley, Fell Herons; No. 6 – Cy
Fenwick, Moor Rooks; No. 7 – A. Holt, Tarn Otters; No. 8 – Jo Lund, Fell Herons.
"""
NUMBER_PARTED = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No.
3 – Ida Oxley, Moor Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla Dunsley, Fell Herons; No.
6 – Cy Fenwick, Moor Rooks; No. 7 – A. Holt, Tarn Otters; No. 8 – Jo Lund, Fell Herons.
"""
INITIAL_PARTED = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida Oxley, Moor
Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla Dunsley, Fell Herons; No. 6 – Cy
Fenwick, Moor Rooks; No. 7 – A.
Holt, Tarn Otters; No. 8 – Jo Lund, Fell Herons.
"""
PAGE_BETWEEN = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida Oxley,
Moor Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla
Page 1 of 2
Dunsley, Fell Herons; No. 6 – Cy Fenwick, Moor Rooks; No. 7 – A. Holt, Tarn Otters; No. 8 – Jo
Lund, Fell Herons.
"""
BLANK_WITHIN = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida Oxley, Moor

Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla Dunsley, Fell Herons; No. 6 – Cy Fenwick,
Moor Rooks; No. 7 – A. Holt, Tarn Otters; No. 8 – Jo Lund, Fell Herons.
"""
DOUBLED = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida
Oxley, Moor Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla
Oxley, Moor Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla
Dunsley, Fell Herons; No. 6 – Cy Fenwick, Moor Rooks; No. 7 – A. Holt, Tarn Otters; No. 8 – Jo
Lund, Fell Herons.
"""
MARK_LEFT_OUT = """\
BASE SET

No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida Oxley, Moor Rooks
No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla Dunsley, Fell Herons; No. 6 – Cy Fenwick, Moor Rooks
No. 7 – A. Holt, Tarn Otters; No. 8 – Jo Lund, Fell Herons
"""


@pytest.mark.parametrize(
    "content",
    [WHOLE, NUMBER_PARTED, INITIAL_PARTED, PAGE_BETWEEN, BLANK_WITHIN, DOUBLED, MARK_LEFT_OUT],
    ids=[
        "anywhere",
        "behind No.",
        "behind an initial",
        "page between",
        "blank line within",
        "doubled line",
        "mark left out",
    ],
)
def test_lines_end_anywhere(content, read_text):
    """In a name, behind 'No.', behind an initial, above the foot of a page; a line may stand twice."""
    assert read_text(content) == EIGHT


def test_a_short_line_between_them_is_a_heading(read_text):
    """Though the card above it has no stop at its end."""
    content = """\
BASE SET
No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida
Oxley, Moor Rooks; No. 4 – Zeb Merrow, Tarn Otters; No. 5 – Orla Dunsley, Fell Herons
Long Shadows by Night and Day
No. LS1 – Orla Dunsley, Fell Herons; No. LS2 – Cy Fenwick, Moor Rooks; No. LS3 – Jo
Lund, Fell Herons
"""
    assert read_text(content, "subset", "number", "subjects", "teams") == [
        *(("Base Set", *card) for card in EIGHT[:5]),
        ("Long Shadows by Night and Day", "LS1", "Orla Dunsley", "Fell Herons"),
        ("Long Shadows by Night and Day", "LS2", "Cy Fenwick", "Moor Rooks"),
        ("Long Shadows by Night and Day", "LS3", "Jo Lund", "Fell Herons"),
    ]


def test_a_heading_that_says_what_the_cards_are_goes_without_it(read_text):
    """'THE MIST. The base set.' is the subset The Mist."""
    content = """\
THE MIST. The base set.
No. 1 – Pell Skelwith, Tarn Otters; No. 2 – Una Tarnhowes, Fell Herons; No. 3 – Ida Oxley,
Moor Rooks.

LONG SHADOWS. Insert cards.
No. LS1 – Orla Dunsley, Fell Herons; No. LS2 – Cy Fenwick, Moor Rooks; No. LS3 – Jo Lund,
Fell Herons.
"""
    assert read_text(content, "subset", "kind", "number") == [
        *(("The Mist", "base", number) for number in ("1", "2", "3")),
        *(("Long Shadows", "insert", number) for number in ("LS1", "LS2", "LS3")),
    ]
