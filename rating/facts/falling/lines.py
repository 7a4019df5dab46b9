"""The lines of a release: each subset in its base version and in each parallel, with print runs and odds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.promises import as_meant
from rating.release.release import Release

HITS = ("autograph", "relic", "autograph relic")


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLine:
    """The cards of a subset in one version.

    kind
        that of most of its cards
    runs
        the print run of each card, None where it is not numbered
    odds
        X of the stated odds 1:X by format; below 1 where a promise says that 1:1 stands for several a pack
    formats
        those that it can be found in
    """

    subset: str
    parallel: str
    kind: str
    cards: tuple[Card, ...]
    runs: tuple[int | None, ...]
    odds: Mapping[str, Decimal]
    formats: tuple[str, ...]

    @property
    def name(self) -> str:
        """The subset and the parallel as one says them."""
        return f"{self.subset} {self.parallel}".strip()

    @property
    def copies(self) -> int | None:
        """The copies of all its cards by their print runs, None where a card is not numbered."""
        total = 0
        for run in self.runs:
            if run is None:
                return None
            total += run
        return total

    @property
    def is_hit(self) -> bool:
        """Whether its cards are autographs, relics or both."""
        return self.kind in HITS

    @property
    def has_signature(self) -> bool:
        """Whether its cards are signed."""
        return self.kind in {"autograph", "autograph relic"}

    @property
    def has_relic(self) -> bool:
        """Whether its cards hold a relic."""
        return self.kind in {"relic", "autograph relic"}

    @property
    def is_base(self) -> bool:
        """Whether it is the base set itself: no parallel of it and no variation."""
        return self.kind == "base" and not self.parallel and not all(card.variation for card in self.cards)

    def is_of(self, what: str) -> bool:
        """Whether a promise of some kind speaks of it, such as autograph, hit, numbered or insert."""
        if what == "hit":
            return self.is_hit
        if what == "numbered":
            return None not in self.runs
        if what == "parallel":
            return bool(self.parallel)
        if what == "autograph":
            return self.has_signature
        if what == "relic":
            return self.has_relic
        if what == "rookie":
            return any(card.rookie for card in self.cards)
        return self.is_base if what == "base" else self.kind == what


def share_weights(runs: Sequence[int | None]) -> list[int]:
    """What the cards of a line weigh in a draw: their print runs where all have one, else 1 each."""
    numbered = [run for run in runs if run is not None]
    return numbered if len(numbered) == len(runs) else [1] * len(runs)


def lines_of(release: Release) -> tuple[CardLine, ...]:
    """The lines of a release in the order of the checklist, each subset followed by its parallels.

    A line with odds in some of the formats that have any odds is not in the others of them; a line without
    odds is in every format that its parallel does not rule out.
    """
    formats = tuple(one.key for one in release.sheet.formats)
    stated: dict[tuple[str, str], dict[str, Decimal]] = {}
    cards, parallels = release.cards or (), release.parallels or ()
    for one in as_meant(release.sheet.formats, cards, parallels, release.odds or ()):
        line = stated.setdefault((text.key(one.subset), text.key(one.parallel)), {})
        line.setdefault(one.format, one.packs_per_copy)
    with_odds = {one.format for one in release.odds or ()}
    subsets: dict[str, list[Card]] = {}
    for card in cards:
        subsets.setdefault(text.key(card.subset), []).append(card)
    ladders: dict[str, list[Parallel]] = {}
    for rung in parallels:
        ladders.setdefault(text.key(rung.subset), []).append(rung)
    found = []
    for key, members in subsets.items():
        own = tuple(members)
        kind = Counter(card.kind for card in own).most_common(1)[0][0]
        versions: list[tuple[str, tuple[int | None, ...], tuple[str, ...]]] = [
            ("", tuple(card.print_run for card in own), ()),
            *((one.parallel, (one.print_run,) * len(own), one.formats) for one in ladders.get(key, ())),
        ]
        for parallel, runs, only in versions:
            odds = stated.get((key, text.key(parallel)), {})
            found.append(
                CardLine(
                    subset=own[0].subset,
                    parallel=parallel,
                    kind=kind,
                    cards=own,
                    runs=runs,
                    odds=odds,
                    formats=_where(formats, only, odds, with_odds),
                )
            )
    return tuple(found)


def _where(
    formats: Sequence[str], only: Sequence[str], odds: Mapping[str, Decimal], with_odds: set[str]
) -> tuple[str, ...]:
    allowed = [one for one in formats if not only or one in only]
    if not odds:
        return tuple(allowed)
    return tuple(one for one in allowed if one in odds or one not in with_odds)
