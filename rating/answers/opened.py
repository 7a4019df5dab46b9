"""The answer of `opened`: the box that was noted, and what was in it."""

from __future__ import annotations

from typing import Any

from rating.season.noting import Box, Logged


def opened(box: Box, found: Logged) -> dict[str, Any]:
    """A box that was noted. `boxes` are those of that day and format in the file now."""
    return {
        "release": box.release,
        "date": box.day.isoformat(),
        "product_format": box.product_format,
        "boxes": found.boxes,
        "file": found.file,
        "noted": [{"subset": line.subset, "parallel": line.parallel or None} for line in box.noted],
        "found": [
            {
                "subset": line.subset,
                "parallel": line.parallel or None,
                "number": card.number,
                "subjects": list(card.subjects),
                "count": count,
            }
            for line, card, count in found.pulls
        ],
    }
