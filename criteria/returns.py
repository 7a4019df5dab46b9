"""What is the chance that a box returns its price, what is the expected return, and how bad is a bad box?"""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="returns",
    group="money",
    question=(
        "What is the chance that a box returns its price, "
        "what is the expected return, and how bad is a bad box?"
    ),
    guidance=(
        "hardly a box in twenty returns its price, and a bad one returns almost nothing",
        "one box in ten returns its price",
        "one box in five does, and a bad one still returns a quarter",
        "one box in three does, and a bad one returns half",
        "every other box does, and a bad one hurts little",
    ),
    spread=12,
)
