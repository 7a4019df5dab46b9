"""Teams that titles name and no checklist does: words that go along with the same people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rating.release.checklist import Card
from rating.release.intake.titles.tokens import FINISHES, name_words

# by judgement, before words count: so often must somebody's team come again or stand behind a parallel, so
# many behind a parallel if few come again, and so many must be told
_SIGNS = 4
_BEHIND = 2
_TEAMS = 4
_MOST_WORDS = 4


class Said(NamedTuple):
    """Words of a title that nothing explains, whose card is otherwise told, and what else the title names.

    `who` is the card's team where the checklist has one, else its people.
    """

    who: str
    words: tuple[str, ...]
    is_beside: bool  # whether a subset, parallel or number stands in the title too
    is_of_parallel: bool  # whether a parallel does, so that these words name none


def unexplained(words: Sequence[str], unknown: Iterable[str]) -> tuple[str, ...]:
    """The words of a title that nothing explains, where they stand in a row; else none."""
    named = set(unknown)
    places = [place for place, word in enumerate(words) if word in named]
    if not places or len(places) > _MOST_WORDS or places[-1] - places[0] != len(places) - 1:
        return ()
    return tuple(words[places[0] : places[-1] + 1])


def learned(said: Iterable[Said]) -> set[tuple[str, ...]]:
    """The words of teams that titles name; none where that is not sure.

    A team stands beside all that its people are on, their autographs and parallels too, and people have one
    team: where words come again with the same people, or stand where a parallel is named already, and hardly
    anybody has two such words, the list names teams.
    """
    of: dict[str, Counter[tuple[str, ...]]] = {}
    beside: set[tuple[str, ...]] = set()
    behind: set[tuple[str, ...]] = set()
    for one in said:
        of.setdefault(one.who, Counter())[one.words] += 1
        if one.is_beside:
            beside.add(one.words)
        if one.is_of_parallel:
            behind.add(one.words)
    torn = again = 0
    whole: set[tuple[str, ...]] = set()
    for told in of.values():
        (words, number), *others = told.most_common(2)
        if others and others[0][1] * 2 > number:
            torn += 1
        else:
            whole.add(words)
            again += number - 1
    found = {words for words in whole & beside if words[-1] not in FINISHES}
    are_told = again >= _SIGNS or len(behind & found) >= _BEHIND
    signs = again + len(behind & found) + len(found - behind) // 2
    is_sure = are_told and signs >= _SIGNS and torn * 10 <= signs and len(found) >= _TEAMS
    return found if is_sure else set()


def of_slots(slots: Iterable[str], cards: Iterable[Card]) -> dict[str, str]:
    """The teams that names of slots tell, each with the checklist's shorter name for it, if it has one.

    A name that two of the checklist's teams fit tells nothing.
    """
    known = {name_words(team): team for card in cards for team in card.teams}
    found: dict[str, str] = {}
    for name in dict.fromkeys(part for slot in slots for part in slot.split(" + ")):
        words = name_words(name)
        parts = {words[:place] for place in range(1, len(words))} | {
            words[place:] for place in range(len(words))
        }
        fits = [known[part] for part in parts if part in known]
        if len(words) > 1 and len(fits) < 2:
            found[name] = fits[0] if fits else ""
    return found
