"""Columns of blanks in a text, whole or block by block, with the cards that a person reads from them."""

from __future__ import annotations

ABOVE_A_LEGEND = """\
No.  Last        First  Club
1    Skelwith    Pell   Tarn Otters
2    Tarnhowes   Una    Fell Herons
3    Oxley *     Ida    Moor Rooks
4    Merrow      Zeb    Tarn Otters
5    Dunsley     Orla   Fell Herons

* rookie card

The list may change before the boxes leave the house.

All names are those of the press, which made them up.

Nobody on these cards has ever lived.

Cards are cut by hand, and edges may differ.

Printed on the quay.

Write to us with questions.
"""


def test_columns_above_a_legend_that_is_longer(read_text):
    """Lines of a block without columns count for nothing."""
    assert read_text(ABOVE_A_LEGEND, "number", "subjects", "teams", "rookie") == [
        ("1", "Pell Skelwith", "Tarn Otters", ""),
        ("2", "Una Tarnhowes", "Fell Herons", ""),
        ("3", "Ida Oxley", "Moor Rooks", "yes"),
        ("4", "Zeb Merrow", "Tarn Otters", ""),
        ("5", "Orla Dunsley", "Fell Herons", ""),
    ]


BY_BLOCKS = """\
BASE SET

1    Pell Skelwith            Tarn Otters
2    Una Tarnhowes            Fell Herons
3    Ida Oxley                Moor Rooks    RC
4    Zeb Merrow               Tarn Otters

LONG SHADOWS

LS-One-1   Orla Dunsley   Fell Herons
LS-One-2   Cy Fenwick     Moor Rooks
LS-One-3   Jo Lund        Tarn Otters   RC
LS-One-4   Nye Holt       Moor Rooks
"""


def test_columns_that_move_from_block_to_block(read_text):
    """Each block has its own columns, and marks may stand behind the last."""
    assert read_text(BY_BLOCKS, "subset", "number", "subjects", "teams", "rookie") == [
        ("Base Set", "1", "Pell Skelwith", "Tarn Otters", ""),
        ("Base Set", "2", "Una Tarnhowes", "Fell Herons", ""),
        ("Base Set", "3", "Ida Oxley", "Moor Rooks", "yes"),
        ("Base Set", "4", "Zeb Merrow", "Tarn Otters", ""),
        ("Long Shadows", "LS-One-1", "Orla Dunsley", "Fell Herons", ""),
        ("Long Shadows", "LS-One-2", "Cy Fenwick", "Moor Rooks", ""),
        ("Long Shadows", "LS-One-3", "Jo Lund", "Tarn Otters", "yes"),
        ("Long Shadows", "LS-One-4", "Nye Holt", "Moor Rooks", ""),
    ]
