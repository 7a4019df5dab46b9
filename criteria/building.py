"""What does it take to complete the base set: neither a chore nor a gift?"""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="building",
    group="building",
    question="What does it take to complete the base set: neither a chore nor a gift?",
    guidance=(
        "it cannot be done with any sensible number of boxes, or one box does it",
        "a case and a long search, or two boxes and a heap of duplicates",
        "several boxes and some trading",
        "a few boxes, few duplicates, the rest from the singles bin",
        "two or three boxes, nearly no duplicates, and a last hunt that is fun",
    ),
)
