"""What a host would say of completing the base set."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts import economics
from rating.facts.completing.singles import told_each
from rating.facts.completing.value import Completing, FormatCompleting, SetCost
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def lead(completing: Completing, facts: Kept) -> str:
    """How many boxes the headline format's set takes, and what it costs the cheapest way."""
    found = completing.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    boxes = _boxes(found.independent.boxes.mean, _names(facts).get(facts.headline, facts.headline))
    words = f"Base set: about {boxes}"
    costs = completing.costs
    if not costs:
        return f"{words}."
    best = min(costs.values(), key=lambda one: one.cost)
    cost = money.told(best.cost, facts.rules.currency)
    return f"{words}; the cheapest way costs {cost}." if best.boxes else f"{words}, or {cost} as singles."


def told(completing: Completing, facts: Kept) -> str:
    """The headline format's set: how long, what one box has, and the cheapest way over all formats."""
    found = completing.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    words = _waits(found, _names(facts).get(facts.headline, facts.headline))
    cost = found.best_boxes_then_singles
    costs = completing.costs
    if not costs:
        return f"{words} What it costs is not known: {cost.why if isinstance(cost, Unknown) else ''}."
    return f"{words} {_cheapest(costs, facts)}"


def _waits(found: FormatCompleting, name: str) -> str:
    boxes, first = found.independent.boxes, found.independent.after[0]
    words = (
        f"If packs are filled at random, collecting all {found.cards} base cards takes about "
        f"{_boxes(boxes.mean, name)} on average, and nine times in ten no more than "
        f"{text.count(boxes.q90, 'box', 'boxes')}."
    )
    nine = tenths.fixed(found.independent.nine_tenths, 1)
    words += f" On average {nine} {'box gets' if nine == '1.0' else 'boxes get'} you 90 % of the set."
    swaps = text.count(tenths.half_up(Fraction(first.duplicates)), "duplicate")
    words += f" One box gets you about {tenths.fixed(first.distinct, 0)} different base cards and {swaps}."
    if found.no_duplicates is not None:
        takes = _boxes(found.no_duplicates.boxes.mean, name)
        words += f" If instead no base card comes twice in the same box, the whole set takes about {takes}."
    return words


def _cheapest(costs: Mapping[str, SetCost], facts: Kept) -> str:
    """The cheapest of boxes and singles over all formats, and what opening until it is complete costs."""
    key = min(costs, key=lambda one: costs[one].cost)
    best, currency, names = costs[key], facts.rules.currency, _names(facts)

    def shown(amount: Decimal) -> str:
        return money.told(amount, currency)

    singles = f"singles {told_each(best.single, best.postage, shown)}"
    if best.boxes:
        name = names.get(key, key)
        way = f"{text.count(best.boxes, f'{name} box', f'{name} boxes')}, then {singles}"
    else:
        way = f"no boxes, only {singles}"
    done = costs.get(facts.headline, best)
    which = names.get(facts.headline, facts.headline) if facts.headline in costs else names.get(key, key)
    return (
        f"The cheapest way costs {shown(best.cost)}: {way}. Opening {which} boxes until the set is complete "
        f"costs {shown(done.until_done)} on average."
    )


def _names(facts: Kept) -> Mapping[str, str]:
    known = facts.of(economics.SECTION)
    return {} if isinstance(known, Unknown) else {key: one.name for key, one in known.formats.items()}


def _boxes(number: Decimal, name: str) -> str:
    return text.count(tenths.half_up(Fraction(number)), f"{name} box", f"{name} boxes")
