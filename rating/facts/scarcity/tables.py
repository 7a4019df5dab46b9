"""What a person is shown of scarcity: packs by format, copies by line, and promises held against both."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from rating import tenths
from rating.facts.blocks import Block, Listing
from rating.facts.scarcity.value import Scarcity
from rating.facts.section import Source

# fewer boxes, cases or copies of a card than this are told with one place
_EXACT_BELOW = 100


def shown(scarcity: Scarcity, _: Source) -> Iterator[Block]:
    """A table each."""
    yield Listing(
        headers=("format", "packs", "at least", "at most", "boxes", "cases"),
        rows=[
            (
                key,
                _whole(one.packs.estimate),
                _whole(one.packs.low),
                _whole(one.packs.high),
                _number(one.boxes),
                _number(one.cases),
            )
            for key, one in scarcity.formats.items()
        ],
        right="packs|at least|at most|boxes|cases",
    )
    yield ""
    yield Listing(
        headers=("line", "cards", "copies", "at least", "at most", "a card", "from"),
        rows=[
            (
                f"{one.subset} {one.parallel}".strip(),
                one.cards,
                _whole(one.copies.estimate),
                _whole(one.copies.low),
                _whole(one.copies.high),
                _number(one.per_card),
                one.basis,
            )
            for one in scarcity.lines
        ],
        right="cards|copies|at least|at most|a card",
    )
    if scarcity.promises:
        yield ""
        yield _promises(scarcity)


def _promises(scarcity: Scarcity) -> Listing:
    return Listing(
        headers=("promise", "format", "a box", "against", "implied", "at least", "at most", "fits"),
        rows=[
            (
                one.promise,
                one.format,
                tenths.plain(one.stated),
                one.against,
                tenths.fixed(one.implied),
                tenths.fixed(one.low),
                tenths.fixed(one.high) if one.high is not None else "",
                "yes" if one.agrees else "no",
            )
            for one in scarcity.promises
        ],
        right="a box|implied|at least|at most",
    )


def _whole(number: int | None) -> str:
    return "" if number is None else f"{number:,}"


def _number(number: Decimal | None) -> str:
    if number is None:
        return ""
    return f"{tenths.half_up(Fraction(number)):,}" if number >= _EXACT_BELOW else tenths.fixed(number, 1)
