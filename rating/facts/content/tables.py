"""What a person is shown of content: subsets, teams, and numbered cards by print run."""

from __future__ import annotations

from collections.abc import Iterator

from rating.facts.blocks import Block, Listing
from rating.facts.content.value import Content
from rating.facts.section import Source


def shown(content: Content, _: Source) -> Iterator[Block]:
    """A table each."""
    yield Listing(
        headers=("subset", "kind", "cards", "rookies", "run", "numbers", "parallels"),
        rows=[
            (
                one.subset,
                one.kind,
                one.cards,
                one.rookies or "",
                _span(one.lowest_run, one.highest_run),
                one.first_number if one.cards == 1 else f"{one.first_number} to {one.last_number}",
                one.parallels or "",
            )
            for one in content.subsets
        ],
        right="cards|rookies|run|parallels",
    )
    yield ""
    yield Listing(
        headers=("team", "autographs", "relics", "rookies", "inserts", "base", "cards"),
        rows=[
            (one.team, one.autographs, one.relics, one.rookies, one.inserts, one.base, one.cards)
            for one in content.teams
        ],
        right="autographs|relics|rookies|inserts|base|cards",
    )
    if content.tiers:
        yield ""
        yield Listing(
            headers=("numbered to", "versions", "copies"),
            rows=[(one.name, f"{one.versions:,}", f"{one.copies:,}") for one in content.tiers],
            right="versions|copies",
        )


def _span(low: int | None, high: int | None) -> str:
    if low is None or high is None:
        return ""
    return f"{low}" if low == high else f"{low}-{high}"
