"""What a host would say of opening a box."""

from __future__ import annotations

from decimal import Decimal

from rating import tenths
from rating.facts import said
from rating.facts.opening.value import FormatOpening, Opening
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def lead(opening: Opening, facts: Kept) -> str:
    """The share of packs with something, and the hits of a box."""
    found = opening.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    hits = tenths.fixed(found.expected_hits, 1)
    return f"{_packs(found.with_something)} more than base cards; {hits} hits per box."


def told(opening: Opening, facts: Kept) -> str:
    """The headline format's box, pack by pack."""
    found = opening.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    words = lead(opening, facts)
    if found.in_every_pack:
        beyond = tenths.percent(found.beyond_the_usual)
        words += f" Every pack has {found.usual}" + (
            f"; {beyond} % of packs also hold something else besides base cards." if beyond else "."
        )
    if found.longest_dry:
        words += (
            " In a box, the longest run of packs with only base cards is "
            f"{tenths.fixed(found.longest_dry, 1)} packs on average; in 9 boxes out of 10 it is "
            f"{found.longest_dry_q90} or fewer."
        )
    return words + _boxes(found)


def _packs(share: Decimal) -> str:
    percent = tenths.percent(share)
    if percent == 100:
        return "Every pack holds"
    return f"{percent} % of packs hold"


def _boxes(found: FormatOpening) -> str:
    """How many boxes have no hit, and how many a scarce card."""
    low = said.do(found.surprise, "box", "boxes", "holds", "hold")
    words = f" {said.sentence(low)} a card numbered to 25 or less" if found.surprise else ""
    if found.hits[0]:
        none = said.do(found.hits[0], "box", "boxes", "has", "have")
        words += f"; {none} no hit" if words else f" {said.sentence(none)} no hit"
    return f"{words}." if words else ""
