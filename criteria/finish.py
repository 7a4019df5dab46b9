"""How are the stock, surface, cutting, and the condition out of the pack?"""

from __future__ import annotations

from rating.criterion import Criterion

CRITERION = Criterion(
    key="finish",
    group="object",
    question="How are the stock, surface, cutting, and the condition out of the pack?",
    guidance=(
        "chipped, curled, off centre by the pack",
        "soft corners and lines on many cards",
        "usual stock, now and then a bad cut",
        "firm stock, clean surfaces, well centred",
        "every card could go straight into a holder",
    ),
    provisional_until="in-hand",
)
