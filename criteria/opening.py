"""How does a box feel, pack by pack?"""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="opening",
    group="object",
    question="How does a box feel, pack by pack?",
    guidance=(
        "pack after pack of the same base cards",
        "one moment in a box, then nothing",
        "something in every third pack",
        "something in every other pack, and never a long wait",
        "every pack has a reason to be opened, and some surprise",
    ),
)
