"""How cards fall: lines, collation, and what packs, boxes and cases hold of any set of cards.

- `lines`: each subset in its base version and each parallel; `packs`: how many packs a format has
- `collation`: how often the lines of a format fall; `laws`: how many of a draw a pack, a box and a case hold
- `outlook`: copies to expect of some cards, the chance of none
- `filters`: a set of cards in words; `names`: finding a person as people type a name
"""

__all__ = [
    "collation",
    "filters",
    "laws",
    "lines",
    "names",
    "outlook",
    "packs",
]
