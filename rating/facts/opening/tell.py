"""What a host would say of opening a box."""

from __future__ import annotations

from rating import tenths, text
from rating.facts.opening.value import Opening
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def told(opening: Opening, facts: Kept) -> str:
    """The headline format's box, pack by pack."""
    found = opening.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    words = f"{tenths.percent(found.with_something)} of 100 packs hold something other than base"
    if found.in_every_pack:
        beyond = tenths.percent(found.beyond_the_usual)
        words += (
            f", {beyond} of 100 something beyond {text.listed(found.in_every_pack)}, which every pack has"
        )
    if found.longest_dry:
        words += (
            f"; the longest run of packs with base only is {tenths.fixed(found.longest_dry, 1)} on average, "
            f"and at most {found.longest_dry_q90} in nine of ten boxes"
        )
    words += f". A box holds {tenths.fixed(found.expected_hits, 1)} hits on average"
    if found.hits[0]:
        words += f", none in {tenths.percent(found.hits[0])} of 100 boxes"
    return words + f", and something numbered to 25 or less in {tenths.percent(found.surprise)} of 100 boxes."
