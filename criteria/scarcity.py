"""How many copies exist?"""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="scarcity",
    group="chase",
    question="How many copies exist?",
    guidance=(
        "printed without end",
        "plenty of everything, few numbered cards",
        "as many copies as a usual release of its kind",
        "clearly fewer boxes than usual, most hits numbered",
        "a few hundred boxes in all, everything numbered low",
    ),
    spread=10,
)
