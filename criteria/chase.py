"""What keeps a box worth opening once the base set is done."""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="chase",
    group="chase",
    question=(
        "What keeps a box worth opening once the base set is done: "
        "inserts, numbered parallels, and how far apart the rungs are?"
    ),
    guidance=(
        "nothing but base cards and a parallel or two in every pack",
        "inserts that look alike, rungs so far apart that nobody climbs them",
        "a usual mix of inserts and three or four rungs",
        "a long ladder with short steps and inserts people ask for",
        "something to chase in every box, from every pack to one of one",
    ),
)
