"""The current reviews as they may be shown, with what goes with each wherever it is published."""

from __future__ import annotations

from dataclasses import dataclass

from rating.export import notices
from rating.facts import cautions
from rating.facts.facts import KeptFacts
from rating.facts.stored import loaded
from rating.review import Review
from rating.season.beside import Beside
from rating.season.season import Season
from rating.standings import Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedReview:
    """A current review with its standing among those that may be shown, what is told with it, its facts."""

    standing: Standing
    review: Review
    beside: Beside
    facts: KeptFacts

    @property
    def disclosed(self) -> str:
        """How the reviewer came by the release."""
        return notices.disclosure(self.review.disclosure.how_obtained, self.review.disclosure.sentence)

    @property
    def losses(self) -> str:
        """How many of the release's own boxes return less than they cost, '' where it is not known."""
        return cautions.own_losses(self.facts)


def published(season: Season) -> list[PublishedReview]:
    """The current reviews in the order of the standings, ranked as if those under embargo were not there.

    A gap in the ranks would tell where a release that is held back stands.
    """
    held, recorded = season.held_back(), season.recorded
    shown = [entry for entry in recorded.entries if entry.release not in held]
    reviews = [(row, recorded.ledger.review(row.review)) for row in season.rank(entries=shown)]
    beside = season.beside(row for row, _ in reviews)
    return [
        PublishedReview(
            standing=row,
            review=review,
            beside=beside[row.release],
            facts=loaded(recorded.facts(review), season.files.context),
        )
        for row, review in reviews
    ]
