"""Sold lists: rows of listings as sales of cards, everything that is no sale of one card set aside."""

from rating.release.intake.sold.again import matched_anew
from rating.release.intake.sold.detect import has_header, listings, looks_pasted
from rating.release.intake.sold.reader import Found, read, title_key

__all__ = ["Found", "has_header", "listings", "looks_pasted", "matched_anew", "read", "title_key"]
