"""Relics: worn in a game, worn, or unattributed."""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import (
    Content,
    Criterion,
    Economics,
    Facts,
    Finding,
    NotApplicable,
    Unknown,
    amount,
    falls,
    fixed,
    scale,
    spread_over,
)

# what a relic counts by what the maker says of its material
WORTH = {
    "game-worn": Fraction(1),
    "player-worn": Fraction(7, 10),
    "event-worn": Fraction(5, 10),
    "unattributed": Fraction(3, 10),
    "not said": Fraction(3, 10),
}


def find(facts: Facts) -> Finding | Unknown | NotApplicable:
    """Relics in 100 worth of boxes of the headline format, each counted by its provenance."""
    economics, content = facts.economics, facts.content
    if not isinstance(content, Content):
        return content
    if not content.has_relics:
        return NotApplicable("the release has no relics, by design")
    if not isinstance(economics, Economics):
        return economics
    main = economics.main
    if main.relics_per_box is None:
        return Unknown(f"neither guarantees nor odds say how many relics a {main.name} box holds")
    if not main.box_price:
        return Unknown(f"there is no price for a {main.name} box yet")
    total = sum(content.relics_by.values())
    worth = sum((WORTH[by] * number for by, number in content.relics_by.items()), Fraction(0)) / total
    per_hundred = Fraction(main.relics_per_box) * 100 / Fraction(main.box_price)
    by_packing = falls(facts, lambda line: line.has_relic)
    limits = {per_hundred, per_hundred if by_packing is None else by_packing * 100 / Fraction(main.box_price)}
    shares = ", ".join(
        f"{number} {by}" for by, number in sorted(content.relics_by.items(), key=lambda one: -one[1])
    )
    mostly, most = max(content.relics_by.items(), key=lambda one: one[1])
    part, verb = ("most", "are") if 2 * most > total else ("the largest part of the", "is")
    manner = {
        "not said": "the maker does not say where their material comes from",
        "unattributed": f"{part} relics in the release {verb} not tied to any player or game",
    }.get(mostly, f"{part} relics in the release {verb} {mostly}")
    count = fixed(per_hundred, 1)
    return Finding(
        measure=per_hundred * worth,
        evidence=(
            f"relics in a box: {fixed(main.relics_per_box, 2)} ({main.counts_from})",
            f"box price: {amount(main.box_price, facts)} ({main.price_kind})",
            f"relic cards: {shares}",
            *(
                ()
                if by_packing is None
                else (f"relics in a box, worked out from packing and odds: {fixed(by_packing, 2)}",)
            ),
        ),
        reason=(
            f"{amount(100, facts, whole=True)}, before tax and shipping, gets you "
            f"{count} {'relic' if count == '1.0' else 'relics'} on average; {manner}."
        ),
        spread=spread_over(SCALE, *(limit * worth for limit in limits), least=7),
    )


SCALE = scale(
    "logarithmic",
    "relics per 100 spent, weighted by where their material comes from",
    ("0.06", 0),
    ("0.5", 50),
    (4, 100),
)
CRITERION = Criterion(
    key="relics",
    group="hits",
    question="How many relics do you get for 100 spent: worn in a game, worn, or unattributed?",
    scale=SCALE,
    guidance=(
        "relics hardly exist, and nobody says what they are",
        "plain swatches of unattributed material",
        "one relic for 100 spent, worn by somebody",
        "game-worn pieces, patches among them",
        "game-worn patches in numbers, with the day of the game on the back",
    ),
    needs=("content",),
    find=find,
)
