"""How many copies exist: of the cards of a box that are not base, what half of them are limited to.

The measure is the copies of the typical card that is not base, each line weighed by how many a box holds:
what you pull decides, so a single 1/1 or a huge base print says nothing, and a 25 and a 900 box are asked the
same. Not the boxes made (a 30 box must be printed in more), nor the mean of copies, in which one unnumbered
insert drowns the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rating.criterion import (
    Criterion,
    Economics,
    Facts,
    Finding,
    Scarcity,
    Unknown,
    about,
    fixed,
    scale,
    spread_over,
)

SCALE = scale("logarithmic", "copies of the typical card that is not base", (10, 100), (400, 50), (8000, 0))


def find(facts: Facts) -> Finding | Unknown:
    """Copies of the typical card: half of a box's cards that are not base exist in fewer, half in more.

    What a box brings decides, so a few cards of one copy do not, and a 25 and a 900 box are asked the same.
    """
    scarcity, collation = facts.scarcity, facts.collations.get(facts.headline)
    if not isinstance(scarcity, Scarcity):
        return scarcity
    if collation is None:
        return Unknown("how a box is packed is not known, so neither is what one pulls from it")
    boxed = collation.expected(len(facts.lines))
    low, middle, high, weights = [], [], [], []
    for line, found, number in zip(facts.lines, scarcity.lines, boxed, strict=True):
        copies = found.copies
        if number and not line.is_base and copies.estimate:
            cards = len(line.cards)
            weights.append(number)
            middle.append(Fraction(copies.estimate, cards))
            low.append(Fraction(copies.low or 1, cards))
            # where nothing bounds it from above, twice as many is as good as any other doubt
            high.append(Fraction(copies.high or 2 * copies.estimate, cards))
    every = sum(number for line, number in zip(facts.lines, boxed, strict=True) if not line.is_base)
    if not every:
        return Unknown("nothing is known to be in a box but base cards")
    if 2 * sum(weights) < every:
        return Unknown("of more than half of the cards that are not base, nothing says how many copies exist")
    measure = _middle(middle, weights)
    packed = scarcity.formats[facts.headline]
    made = packed.boxes
    name = facts.economics.main.name if isinstance(facts.economics, Economics) else facts.headline
    total = f"About {about(made)} {name} boxes exist. " if made else ""
    return Finding(
        measure=measure,
        evidence=(
            *(
                (f"packs that exist, by estimate: {_packs(packed.packs.low)} to {_packs(packed.packs.high)}",)
                if made
                else ()
            ),
            f"cards in a box that are not base cards: {fixed(Fraction(every), 1)}",
            f"copies of a typical card that is not base: {_count(measure)}",
        ),
        reason=(
            f"{total}Base cards aside, half of the cards you pull exist in {_count(measure)} copies or fewer."
        ),
        spread=spread_over(SCALE, _middle(low, weights), _middle(high, weights), least=4),
    )


def _packs(number: int | None) -> str:
    return "any number" if number is None else f"{number:,}"


def _middle(copies: Sequence[Fraction], weights: Sequence[float]) -> Fraction:
    """The copies that half of the cards do not exceed, each line weighed by how many of it a box brings."""
    left = sum(weights) / 2
    for number, weight in sorted(zip(copies, weights, strict=True)):
        left -= weight
        if left <= 0:
            return number
    return max(copies)


def _count(copies: Fraction) -> str:
    return f"{max(1, round(copies)):,}"


CRITERION = Criterion(
    key="scarcity",
    group="rarity",
    question="How many copies exist?",
    scale=SCALE,
    guidance=(
        "printed without end: the typical card that is not base exists in thousands",
        "plenty of everything, few numbered cards",
        "some hundreds of copies of the typical card, as in a usual release",
        "dozens of copies, most of what is pulled is numbered",
        "nearly everything pulled is numbered to ten or so",
    ),
    needs=("scarcity",),
    find=find,
    spread=10,
)
