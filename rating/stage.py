"""The stages of a review: how much was known, from the maker's sheet alone to sixty days of sales."""

STAGES = ("announced", "preview", "launch", "in-hand", "settled")
