"""What a person is shown of completing: packs and boxes by format and model, and boxes then singles."""

from __future__ import annotations

from collections.abc import Iterator

from rating import money, tenths, text
from rating.facts.blocks import Block, Listing, unknown_formats
from rating.facts.completing.value import Completing, FormatCompleting, SetCost
from rating.facts.section import Source

# so many rows beyond the best show that no more boxes pay
_BEYOND = 4


def shown(completing: Completing, facts: Source) -> Iterator[Block]:
    """The waits, the money of every number of boxes, and the formats of which it is not known."""
    known = {k: one for k, one in completing.formats.items() if isinstance(one, FormatCompleting)}
    yield Listing(
        headers=("format", "model", "packs", "half", "9 in 10", "boxes", "after", "different", "duplicates"),
        rows=[
            (
                key,
                model.model,
                tenths.fixed(one.packs.mean, 1) if model is one.independent else "",
                one.packs.q50 if model is one.independent else "",
                one.packs.q90 if model is one.independent else "",
                tenths.fixed(model.boxes.mean, 1),
                text.count(after.boxes, "box", "boxes"),
                tenths.fixed(after.distinct, 1),
                tenths.fixed(after.duplicates, 1),
            )
            for key, one in known.items()
            for model in (one.independent, one.no_duplicates)
            if model is not None
            for after in model.after
        ],
        right="packs|half|9 in 10|boxes|different|duplicates",
        spare=("half", "packs"),
    )
    rows = [
        (
            key,
            row.boxes,
            tenths.fixed(row.missing, 1),
            money.told(row.cost, facts.rules.currency),
            "best" if row.boxes == cost.boxes else "",
        )
        for key, one in known.items()
        if isinstance(cost := one.best_boxes_then_singles, SetCost)
        for row in cost.rows
        if row.boxes <= cost.boxes + _BEYOND
    ]
    if rows:
        yield ""
        yield Listing(
            headers=("format", "boxes, then singles", "missing", "in all", ""),
            rows=rows,
            right="boxes, then singles|missing|in all",
        )
        yield (
            "'in all' is what it costs to buy the boxes in one order, with tax and shipping, and the missing "
            "cards as singles in one parcel."
        )
    yield from unknown_formats(completing.formats)
