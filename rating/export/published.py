"""The current reviews as they may be shown, with what goes with each wherever it is published."""

from __future__ import annotations

from rating.export import notices
from rating.facts.facts import KeptFacts
from rating.facts.stored import loaded
from rating.review import Review
from rating.season.season import Season
from rating.standings import Standing


def published(season: Season) -> list[tuple[Standing, Review]]:
    """The current reviews in the order of the standings, ranked as if those under embargo were not there.

    A gap in the ranks would tell where a release that is held back stands.
    """
    held = season.held_back()
    shown = [entry for entry in season.recorded.entries if entry.release not in held]
    return [(row, season.recorded.ledger.review(row.review)) for row in season.rank(entries=shown)]


def facts_of(season: Season, review: Review) -> KeptFacts:
    """The facts that a review kept."""
    return loaded(season.recorded.facts(review), season.files.context)


def disclosed(review: Review) -> str:
    """How the reviewer came by one release, as it goes with whatever is published of it."""
    return notices.disclosure(review.disclosure.how_obtained, review.disclosure.sentence)
