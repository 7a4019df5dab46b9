"""Draws that are the same on every machine and in every version of Python.

Only `random.Random.random` seeded with text is promised to stay the same, so everything is made of it.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from typing import TypeVar

T = TypeVar("T")


class Dice:
    """A stream of draws of its own, named by a seed and a purpose, independent of every other one."""

    def __init__(self, *name: object) -> None:
        self._next = random.Random("/".join(map(str, name))).random

    def chance(self, share: float) -> bool:
        """True in that share of draws."""
        return self._next() < share

    def whole(self, low: int, high: int) -> int:
        """A whole number from low to high, both included."""
        return low + int(self._next() * (high - low + 1))

    def share(self, low: float, high: float) -> float:
        """A number between the two."""
        return low + self._next() * (high - low)

    def pick(self, choices: Sequence[T]) -> T:
        """One of the choices, each as likely as the next."""
        return choices[int(self._next() * len(choices))]

    def weigh(self, weights: Mapping[T, float]) -> T:
        """One of the keys, as likely as its weight says."""
        left = self._next() * sum(weights.values())
        for choice, weight in weights.items():
            left -= weight
            if left < 0:
                return choice
        return next(reversed(list(weights)))

    def shuffle(self, items: Sequence[T]) -> list[T]:
        """The items in an order drawn afresh."""
        return self.some(items, len(items))

    def some(self, items: Sequence[T], count: int) -> list[T]:
        """So many different ones of the items, in an order drawn afresh; all where there are fewer."""
        mixed, last = list(items), len(items) - 1
        for place in range(min(count, last)):
            other = self.whole(place, last)
            mixed[place], mixed[other] = mixed[other], mixed[place]
        return mixed[:count]

    def normal(self) -> float:
        """About a standard normal draw: twelve uniform ones added up, less six."""
        return sum(self._next() for _ in range(12)) - 6.0
