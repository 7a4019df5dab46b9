"""What packs, boxes and cases hold of any set of cards: expected copies, and the chance of none.

Plain numbers only, so that a look-up need load neither numpy nor scipy. Cards fall by `laws`, and an outlook
names those that it went by.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.laws import law, none_in
from rating.facts.falling.lines import CardLine, share_weights
from rating.numerics.outlook import AVERAGE, INDEPENDENT, SPREAD, Outlook
from rating.release.checklist import Card

# no wish is followed further than this
MOST_PACKS = 100_000_000


class Printing(NamedTuple):
    """A card in one of its lines, with its print run there, None where it is not numbered."""

    line: CardLine
    card: Card
    run: int | None


def printings(line: CardLine) -> list[Printing]:
    """The cards of a line, each with its print run."""
    return [Printing(line, card, run) for card, run in zip(line.cards, line.runs, strict=True)]


def shares(lines: Sequence[CardLine], is_wanted: Callable[[Printing], bool]) -> dict[int, float]:
    """The wanted share of each line's copies, by the line's place; lines with none are left out.

    Copies weigh by print run where all cards of the line have one, else each card alike.
    """
    return shares_of_each(lines, {"": is_wanted})[""]


def shares_of_each(
    lines: Sequence[CardLine], wanted: Mapping[str, Callable[[Printing], bool]]
) -> dict[str, dict[int, float]]:
    """As `shares`, of several sets of cards by their names, in one pass over the cards."""
    found: dict[str, dict[int, float]] = {name: {} for name in wanted}
    for place, line in enumerate(lines):
        weights = share_weights(line.runs)
        whole, versions = sum(weights), printings(line)
        for name, is_wanted in wanted.items():
            part = [weight for one, weight in zip(versions, weights, strict=True) if is_wanted(one)]
            if part:
                found[name][place] = 1.0 if len(part) == len(weights) else sum(part) / whole
    return found


def numbered(lines: Sequence[CardLine]) -> dict[int, float]:
    """As `shares`, of the cards that are numbered."""
    counts = (len(line.runs) - line.runs.count(None) for line in lines)
    return {
        place: count / len(line.runs)
        for place, (count, line) in enumerate(zip(counts, lines, strict=True))
        if count
    }


def open_part(collation: Collation, wanted: Mapping[int, float]) -> tuple[int, ...]:
    """The wanted lines that can be in the format but of which nothing says how often."""
    return tuple(place for place in collation.open_lines if wanted.get(place))


def outlook(collation: Collation, wanted: Mapping[int, float], packs: int) -> Outlook:
    """What so many packs of a format, opened one after the other, hold of a set of cards.

    Lines whose odds are not stated count for nothing; `open_part` names them.

    Parameters
    ----------
    wanted : the wanted share of lines, by their places, as `shares` gives it
    packs : whole packs; a box is `packs_per_box` of them, a case `boxes_per_case` times as many

    Raises
    ------
    ValueError
        for packs below 0
    """
    if packs < 0:
        raise ValueError(f"packs must not be below 0, got {packs!r}")
    return _outlook(_parts(collation, wanted), packs, collation)


def packs_for(collation: Collation, wanted: Mapping[int, float], chance: float) -> int | None:
    """The fewest packs that hold at least one wanted card with a chance; None where no packs would do.

    Raises
    ------
    ValueError
        for a chance that is not between 0 and 1, the ends excluded
    """
    if not 0 < chance < 1:
        raise ValueError(f"a wanted chance must lie between 0 and 1, got {chance!r}")

    parts = _parts(collation, wanted)

    def is_enough(packs: int) -> bool:
        # written as the chance of none, which is good however small; 1e-12 lets 0.1 be met by exactly 0.1
        return _outlook(parts, packs, collation).none <= (1 - chance) * (1 + 1e-12)

    high = 1
    while not is_enough(high):
        if high >= MOST_PACKS:
            return None
        high *= 2
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        if is_enough(middle):
            high = middle
        else:
            low = middle
    return high


def _parts(collation: Collation, wanted: Mapping[int, float]) -> list[tuple[Draw, float]]:
    """The draws that can give a wanted card, each with the share of its cards that is wanted."""
    return [(draw, min(share, 1.0)) for draw, share in collation.drawn(wanted)]


def _outlook(parts: Sequence[tuple[Draw, float]], packs: int, collation: Collation) -> Outlook:
    none = 1.0
    models: dict[str, None] = {}
    for draw, share in parts:
        one = law(draw, collation)
        none *= none_in(one, share, packs)
        models |= dict.fromkeys(
            (SPREAD, INDEPENDENT) if draw.certain else (AVERAGE,) if one.is_any else (INDEPENDENT,)
        )
    per_box = math.fsum(draw.per_box * share for draw, share in parts)
    return Outlook(expected=per_box * packs / collation.packs_per_box, none=none, model="; ".join(models))
