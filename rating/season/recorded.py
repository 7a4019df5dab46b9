"""What the ledger of a season holds: its reviews in short, and which of them counts for each release."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Any

from rating import standings
from rating.ledger.ledger import Entry, Hold, Ledger
from rating.review import Review


class Recorded:
    """A ledger whose entries are read once, and anew after something was added."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger = ledger

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """The entries in the order they were added; none where there is no ledger."""
        return tuple(self.ledger.entries())

    @cached_property
    def current(self) -> Mapping[str, Entry]:
        """The entry that counts now for each release that was recorded and not withdrawn."""
        return standings.current(self.entries)

    @cached_property
    def tree_head(self) -> str:
        """The head over all reviews, as exports print it."""
        return self.ledger.tree_head()

    def of(self, release: str) -> tuple[Entry, ...]:
        """The entries of a release, in the order they were added."""
        return tuple(entry for entry in self.entries if entry.release == release)

    def facts(self, review: Entry | Review) -> dict[str, Any]:
        """The facts that a review was made from, as they were stored."""
        kept: dict[str, Any] = json.loads(self.ledger.facts(review.facts))
        return kept

    def rubrics(self, entries: Iterable[Entry]) -> dict[str, str]:
        """The canonical texts of the rubrics that some entries were graded by, by their hashes."""
        return {rubric: self.ledger.rubric(rubric) for rubric in {entry.rubric for entry in entries}}

    def append(self, review: Review, *, rubric: str, facts: str, hold: Hold | None = None) -> Review:
        """Add a review with the texts whose hashes it names; gives it as it was stored.

        `hold` is asked inside the transaction, and raises to stop it.
        """
        stored = self.ledger.append(review, rubric=rubric, facts=facts, hold=hold)
        self.forget()
        return stored

    def forget(self) -> None:
        """Read the entries anew when they are next asked for."""
        for name in ("entries", "current", "tree_head"):
            self.__dict__.pop(name, None)
