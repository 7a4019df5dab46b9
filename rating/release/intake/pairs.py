"""Teams of cards with two persons, paired by what single cards of the same list say of each of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import permutations

_Home = Mapping[str, Counter[str]]


def homes(cards: Iterable[tuple[Sequence[str], Sequence[str]]]) -> dict[str, Counter[str]]:
    """The teams of each person by the cards that name one person and one team."""
    found: dict[str, Counter[str]] = {}
    for subjects, teams in cards:
        if len(subjects) == 1 and len(teams) == 1:
            found.setdefault(subjects[0], Counter())[teams[0]] += 1
    return found


def ordered(subjects: Sequence[str], teams: Sequence[str], known: _Home) -> tuple[str, ...] | None:
    """A card's teams in the order of its persons, None where nothing is known of any of them.

    The order of the list stays where it fits as well as any other.
    """
    orders = list(dict.fromkeys(permutations(teams)))
    if len(orders) == 1:
        return orders[0]
    if not any(name in known for name in subjects):
        return None

    def fit(order: Sequence[str]) -> int:
        return sum(
            1 if known[name][team] else -1
            for name, team in zip(subjects, order, strict=True)
            if name in known
        )

    best = max(orders, key=lambda order: (fit(order), order == tuple(teams)))
    return best if fit(best) > 0 else tuple(teams)
