"""What does it take to complete the base set: neither a chore nor a gift?

The measure is boxes to nine tenths of the base set, midway between two models of a box: nearly everybody buys
the last tenth as singles, the models bound how real boxes are filled, and their distance is the spread. Boxes
to the last card would measure luck; money cannot be had where singles of scarce sets have no price.
"""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import (
    Completing,
    Criterion,
    Facts,
    Finding,
    NotApplicable,
    SetBoxes,
    Unknown,
    fixed,
    scale,
    spread_over,
)

SCALE = scale(
    "peak", "boxes that get you 90 % of the base set",
    ("0.5", 15), (1, 40), (2, 85), ("2.5", 95), (3, 90), ("4.5", 60), (8, 35), (20, 15), (60, 0),
)  # fmt: skip


def find(facts: Facts) -> Finding | Unknown | NotApplicable:
    """Boxes of the headline format until nine of ten base cards are there, midway between two models.

    The last tenth is bought as singles by nearly everybody, so that waiting for it would measure patience.
    Packs that know nothing of each other repeat more, boxes without a base card twice repeat less than real
    ones; what lies between is the spread.
    """
    completing = facts.completing
    if facts.lines and not any(line.is_base for line in facts.lines):
        return NotApplicable("the release has no base set, by design")
    if not isinstance(completing, Completing):
        return completing
    found = completing.formats.get(facts.headline, Unknown("no format is described yet"))
    if isinstance(found, Unknown):
        return found
    slow = found.independent
    fast = found.no_duplicates or slow
    low, high = Fraction(fast.nine_tenths), Fraction(slow.nine_tenths)
    measure = (low + high) / 2
    first = slow.after[0]
    return Finding(
        measure=measure,
        evidence=(
            f"base cards: {found.cards}, a pack holds {fixed(found.base_per_pack, 1)} of them",
            *((f"short prints among the base cards: {found.short_prints}",) if found.short_prints else ()),
            f"90 % of the set: {_boxes(slow)} with {slow.model}"
            + (f", {_boxes(fast)} with {fast.model}" if fast is not slow else ""),
            *(
                ()
                if facts.odds
                else ("there are no odds, so packs are taken to hold no inserts or parallels",)
            ),
            f"the whole set: {fixed(slow.boxes.mean, 1)} boxes on average with {slow.model}",
        ),
        reason=(
            f"It takes {_range(low, high)} boxes to get 90 % of the {found.cards} base cards; one box gets "
            f"you about {fixed(first.distinct, 0)} of them and {_repeats(fixed(first.duplicates, 0))}."
        ),
        spread=spread_over(SCALE, low, measure, high, least=4 if facts.odds else 12),
    )


def _range(low: Fraction, high: Fraction) -> str:
    least, most = fixed(low, 1), fixed(high, 1)
    return f"about {least}" if least == most else f"between {least} and {most}"


def _repeats(shown: str) -> str:
    return "no duplicates" if shown == "0" else f"{shown} duplicate{'' if shown == '1' else 's'}"


def _boxes(model: SetBoxes) -> str:
    return f"{fixed(model.nine_tenths, 1)} boxes"


CRITERION = Criterion(
    key="building",
    group="set",
    question="What does it take to complete the base set: neither a chore nor a gift?",
    scale=SCALE,
    guidance=(
        "it cannot be done with any sensible number of boxes",
        "a case and a long search, or half a box does it",
        "four or five boxes and some trading, or a little more than one",
        "three or four boxes, the rest from the singles bin",
        "two or three boxes bring nine of ten, and a last hunt that is fun",
    ),
    find=find,
)
