"""What a person is shown of opening: packs, waits and surprises, and how many hits a box holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from rating import tenths, text
from rating.facts.blocks import Block, Listing, unknown_formats
from rating.facts.opening.value import FormatOpening, Opening
from rating.facts.section import Source

# numbers of hits with a column of their own
_COUNTS = 8


def shown(opening: Opening, _: Source) -> Iterator[Block]:
    """Two tables by format, what is not counted, and the formats of which it is not known."""
    known = {k: one for k, one in opening.formats.items() if isinstance(one, FormatOpening)}
    yield Listing(
        headers=("format", "packs", "something", "beyond", "dry run", "9 in 10", "hits", "no hit", "to 25"),
        rows=[
            (
                key,
                one.packs,
                f"{tenths.percent(one.with_something)} %",
                f"{tenths.percent(one.beyond_the_usual)} %",
                tenths.fixed(one.longest_dry, 1),
                one.longest_dry_q90,
                tenths.fixed(one.expected_hits, 2),
                f"{tenths.percent(one.hits[0])} %",
                f"{tenths.percent(one.surprise)} %",
            )
            for key, one in known.items()
        ],
        right="packs|something|beyond|dry run|9 in 10|hits|no hit|to 25",
    )
    yield ""
    heads = (*(text.count(number, "hit") for number in range(_COUNTS)), "more")
    yield Listing(
        headers=("format", *heads),
        rows=[(key, *map(_percent, _counts(one.hits))) for key, one in known.items()],
        right="|".join(heads),
    )
    for key, one in known.items():
        if one.not_counted:
            yield f"Not counted in {key}, as their odds are not stated: {', '.join(one.not_counted)}."
    yield from unknown_formats(opening.formats)


def _percent(chance: Decimal) -> str:
    return f"{tenths.fixed(100 * chance, 1)} %"


def _counts(hits: Sequence[Decimal]) -> list[Decimal]:
    """The chances of 0, 1, 2 … hits, and at last of more."""
    first = [*hits[:_COUNTS], *[Decimal(0)] * (_COUNTS - len(hits))]
    return [*first, max(Decimal(0), 1 - sum(first, Decimal(0)))]
