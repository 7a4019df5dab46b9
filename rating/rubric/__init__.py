"""The rubric: which questions count for how much, and what a grade tells a buyer to do.

Public:

- `rubric`: `Rubric` with its `WeightedCriterion`, `Band` and `Wish`, as `read` from rubric.toml; its hash is
  that of what decides a grade; `points_of` and `verdict_of` look things up in a stored text
- `choosing`: `propose`, the points that follow from what a person answers: points, an order, swings or pairs
- `dialogue`: `answers`, asking a person for them, with what asks and what says passed in
"""

__all__ = ["choosing", "dialogue", "rubric"]
