"""Odds of makers in any layout, as packs per copy."""

from rating.release.intake.odds.detect import is_odds
from rating.release.intake.odds.reader import Found, read
from rating.release.intake.odds.stated import Stated, number_of, stated_in, unit_in

__all__ = ["Found", "Stated", "is_odds", "number_of", "read", "stated_in", "unit_in"]
