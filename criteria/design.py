"""How do the cards and the packaging look?"""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="design",
    group="object",
    question="How do the cards and the packaging look?",
    guidance=(
        "careless: wrong names, crowded fronts, photos from another season",
        "plain and seen before",
        "decent fronts, dull backs",
        "good photos, a clear idea, backs worth reading",
        "you would hang it on a wall",
    ),
)
