"""Titles of listings: taken apart, and matched to the cards of a checklist."""

from rating.release.intake.titles.marks import years_in
from rating.release.intake.titles.matcher import Match, Matcher
from rating.release.intake.titles.tokens import is_like, name_words, stem

__all__ = ["Match", "Matcher", "is_like", "name_words", "stem", "years_in"]
