"""Teams that titles name and no checklist does: words that go along with the same people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rating.release.checklist import Card
from rating.release.intake.titles.tokens import FINISHES, name_words
from rating.release.intake.values import TeamWords

# by judgement: so often must somebody's team come again or stand behind a parallel, and so many teams must be
# told, before words count
_SIGNS = 4
_TEAMS = 4
_MOST_WORDS = 4


class Said(NamedTuple):
    """Words of a title that nothing explains, whose card is otherwise told, and what else the title names.

    `who` is the card's team where the checklist has one, else the person.
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
    torn = [told for told in of.values() if len(told) > 1]
    again = sum(told.total() - 1 for told in of.values() if len(told) == 1)
    whole = {next(iter(told)) for told in of.values() if len(told) == 1}
    found = {words for words in whole & beside if words[-1] not in FINISHES}
    signs = again + len(behind & found)
    is_sure = signs >= _SIGNS and len(torn) * 10 <= signs and len(found) >= _TEAMS
    return found if is_sure else set()


def of_slots(slots: Iterable[str], cards: Iterable[Card]) -> tuple[TeamWords, ...]:
    """The teams that names of slots tell, by the checklist's names for them where it has shorter ones.

    A slot of another shape than the checklist's teams, which may be codes, tells nothing.
    """
    known = {name_words(team): team for card in cards for team in card.teams}
    found: dict[str, TeamWords] = {}
    for name in dict.fromkeys(part for slot in slots for part in slot.split(" + ")):
        words = name_words(name)
        parts = {words[:place] for place in range(1, len(words))} | {
            words[place:] for place in range(len(words))
        }
        fits = [known[part] for part in parts if part in known]
        if len(fits) == 1:
            found[fits[0]] = TeamWords(name=fits[0], aliases=(name,))
        elif not known and len(words) > 1:
            found[name] = TeamWords(name=name)
    return tuple(found.values())
