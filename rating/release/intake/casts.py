"""Which columns of a table say who is on its cards, told by how persons and teams behave in the whole of it.

A person stands once among cards that are numbered in one go, and plays for one team; teams, forenames and
surnames recur there. So a reading of all these columns together is held to the rows: who would stand on many
cards of one set, and who would play for several teams. Weights are in natural-log units by judgement.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from rating.release.intake import words

# what it costs that nobody stands on any card, or one person on all; a list of one set has hardly any such
_AGAIN = 6.0
# what it costs that a person plays for several teams, and the most that all of them cost
_TWO_TEAMS, _TWO_TEAMS_AT_MOST = 0.5, 5.0
# what it is worth that another document writes a name in this order, and what all of them are
_SAID, _SAID_AT_MOST = 0.5, 4.0
# forenames and surnames are more together than either is alone
_RICHER = 1.15
# what it costs that a table of numbers names nobody
NOBODY = -4.5


@dataclass(frozen=True, slots=True)
class Cast:
    """The columns that hold persons, as one column of names, as forename and surname, or none, and teams."""

    names: tuple[int, ...]
    team: int | None = None

    @property
    def roles(self) -> dict[int, str]:
        """The role of each of its columns."""
        halves = ("first", "last") if len(self.names) > 1 else ("subject",)
        found = dict(zip(self.names, halves, strict=False))
        return found if self.team is None else found | {self.team: "team"}


def possible(
    whole: Sequence[int], firsts: Sequence[int], lasts: Sequence[int], teams: Sequence[int]
) -> Iterator[Cast]:
    """Every cast of columns that may hold whole names, forenames, surnames and teams; the fuller first."""
    pairs = [(first, last) for first in firsts for last in lasts if first != last]
    for names in (*((one,) for one in whole), *pairs):
        yield from (Cast(names, team) for team in teams if team not in names)
        yield Cast(names)


class Said:
    """What other documents write, looked into only where names in two columns have to be put in order."""

    def __init__(self, texts: Iterable[str] = ()) -> None:
        self._texts = texts

    @cached_property
    def _pairs(self) -> set[tuple[str, str]]:
        return {pair for one in self._texts for pair in pairwise(words.fold(one).split())}

    @cached_property
    def _words(self) -> set[str]:
        return {word for pair in self._pairs for word in pair}

    def alone(self, names: Sequence[str], others: Sequence[str]) -> int:
        """How many of these names are written, none of them beside the other word of its row; 0 if one is."""
        pairs = set(zip(names, others, strict=True))
        if any(self._pairs & {(name, other), (other, name)} for name, other in pairs):
            return 0
        return sum(name in self._words for name, _ in pairs)

    def order(self, firsts: Sequence[str], lasts: Sequence[str]) -> int:
        """How many more names are written in this order than the other way round."""
        found = 0
        for first, last in set(zip(firsts, lasts, strict=True)):
            if first and last:
                one, other = first.split(), last.split()
                found += ((one[-1], other[0]) in self._pairs) - ((other[-1], one[0]) in self._pairs)
        return found


NOTHING_SAID = Said()


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a table as they bear on persons: the words in each column, and the card that each is of.

    `cards` are a stretch of numbers and the number in it; parallels of a card stand in rows of their own.
    """

    words: Mapping[int, Sequence[str]]
    cards: Sequence[tuple[Hashable, str]]
    said: Said = NOTHING_SAID

    def worth(self, cast: Cast) -> float:
        """How well a cast goes with the rows, 0 at best."""
        who = [" ".join(cells) for cells in zip(*(self.words[place] for place in cast.names), strict=True)]
        once = dict(zip(self.cards, who, strict=True))
        on_cards = [(stretch, name) for (stretch, _), name in once.items() if name.strip()]
        found = -_AGAIN * (1 - len(set(on_cards)) / max(1, len(once)))
        if len(cast.names) > 1:
            alone = max(len(set(self.words[place])) for place in cast.names)
            found -= 4.0 * (len(set(who)) < alone * _RICHER)
            order = _SAID * self.said.order(*(self.words[place] for place in cast.names))
            found += max(-_SAID_AT_MOST, min(order, _SAID_AT_MOST))
        if cast.team is not None:
            found -= self._of_two_teams(who, self.words[cast.team])
        return found

    def _of_two_teams(self, who: Sequence[str], teams: Sequence[str]) -> float:
        """What it costs that persons stand beside several teams; little where most persons do not."""
        homes: dict[str, list[str]] = {}
        for name, team in zip(who, teams, strict=True):
            if name.strip() and team:
                homes.setdefault(name, []).append(team)
        again = [set(those) for those in homes.values() if len(those) > 1]
        torn = sum(len(those) > 1 for those in again)
        return min(_TWO_TEAMS * torn, _TWO_TEAMS_AT_MOST) * torn / max(1, len(again))
