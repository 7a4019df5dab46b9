"""The frozen values of the section on opening."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from rating import text
from rating.facts.plain import Unknown
from rating.facts.said import a

# kinds of cards, which are no names of subsets
_KINDS = ("hit", "autograph", "relic", "autograph relic", "insert", "parallel", "numbered card")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatOpening:
    """How a box of one format feels, pack by pack; shares and chances are 0 to 1.

    packs
        packs in a box
    with_something
        share of packs with anything other than base cards
    beyond_the_usual
        share of packs with something other than base and than what is `in_every_pack` anyhow
    longest_dry
        packs of base only in a row, the longest run in a box on average; nine of ten boxes have none longer
        than `longest_dry_q90`
    hits
        chances of 0, 1, 2 … hits in a box; what is rarer than one box in a million is left out
    expected_hits
        hits in a box, on average
    surprise
        chance that a box holds something numbered to 25 or less
    not_counted
        lines that can be in a box, but of which nothing says how often
    """

    packs: int
    with_something: Decimal
    beyond_the_usual: Decimal
    in_every_pack: tuple[str, ...]
    longest_dry: Decimal
    longest_dry_q90: int
    hits: tuple[Decimal, ...]
    expected_hits: Decimal
    surprise: Decimal
    not_counted: tuple[str, ...]

    @property
    def usual(self) -> str:
        """What is in every pack, as a sentence lists it: 'a hit and a Base Mist card'."""
        return text.listed([a(one if one in _KINDS else f"{one} card") for one in self.in_every_pack])


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """How a box feels, pack by pack, by format."""

    formats: Mapping[str, FormatOpening | Unknown]
