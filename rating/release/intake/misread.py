"""What tells that a list of cards was misread in one stroke: a column taken for another, headings missed.

Each sign is independent of how the columns were told. A person stands once in a set and is no team; a number
is one card's; sold titles name the persons and numbers of the list. Cards under such a sign are held back and
asked about, since hundreds of wrong facts are worse than one question.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

from rating import text
from rating.release.intake import words
from rating.release.intake.drafts import Draft
from rating.release.intake.values import Question

AS_READ, LEFT_OUT = "as read", "left out"
_LEAST = 12  # cards, and numbers of a set, that tell
_SEVERAL = 3  # subsets that hold the same cards
_FEW = 4  # subsets, cards and numbers that tell nothing
_ABOUT = 7  # persons whom a set may be about, with several cards of each
_TEAMS = 50  # of a league, at most
_MANY, _DIFFERENT = 25, 0.7  # cards of the largest set, and the share of them with a name of its own
_TITLES, _PAIRS = 15, 8  # sold titles that tell: with words of names, with a name and a number
_NUMBERED = re.compile(
    r"(?:#\s?|\bno\.?\s)(?P<number>[^\W_]{1,6}(?:[-–.][^\W_]{1,6})?)(?![\w/])", re.IGNORECASE
)
_SHORT = 3  # letters of a word that says hardly anything
_MARK = 6  # letters that a mark has not
_LOOKED_AT = 2_000  # cards of a sheet that tell whether they are of teams


@dataclass(frozen=True, slots=True)
class Doubt:
    """Cards that were likely misread, and by what sign."""

    why: str
    drafts: Sequence[Draft]

    def question(self) -> Question:
        """Whether the cards are to be taken as they were read."""
        first = self.drafts[0]
        grid = first.account.grid
        card = f"{first.section}: {first.number} {' / '.join(first.subjects)}"
        return Question(
            file=grid.file,
            sheet=grid.sheet,
            row=first.row.number,
            what=(
                f"Are these {text.count(len(self.drafts), 'card')} read rightly, such as"
                f" {text.printable(card[:80])!r}? {self.why}."
            ),
            meanwhile="left out",
            topic="list",
            about=f"{grid.file} {grid.sheet}: {self.why}",
            choices=(AS_READ, LEFT_OUT),
            cells=(f"{first.row.number}:{self.drafts[-1].row.number}",),
            weight=4 * len(self.drafts),
        )


def doubts(
    drafts: Sequence[Draft], *, is_team: Callable[[str], bool], titles: Sequence[str]
) -> Iterator[Doubt]:
    """The signs that all cards of a list, or of all lists, were misread; the first one tells."""
    for those in _by_sheet(drafts):
        if why := _of_sheet(those, is_team):
            yield Doubt(why, those)
    if why := _of_all(drafts, titles):
        yield Doubt(why, drafts)


def _by_sheet(drafts: Sequence[Draft]) -> list[list[Draft]]:
    sheets: dict[int, list[Draft]] = defaultdict(list)
    for draft in drafts:
        sheets[id(draft.account)].append(draft)
    return list(sheets.values())


def _of_sheet(drafts: Sequence[Draft], is_team: Callable[[str], bool]) -> str:
    """What tells that the cards of one sheet were misread, in a sentence; blank where nothing does."""
    if len(drafts) < _LEAST:
        return ""
    some = drafts[:: 1 + len(drafts) // _LOOKED_AT]
    if sum(any(map(is_team, draft.subjects)) for draft in some) * 10 > 3 * len(some):
        return "Where persons should be, teams are"
    sets = {draft.section for draft in drafts}
    if len(sets) > _FEW and sum(map(is_team, sets)) * 2 > len(sets):
        return "Where subsets should be, teams are"
    if _share_numbers(drafts):
        return "The same numbers stand in one subset with different persons"
    return ""


def _share_numbers(drafts: Sequence[Draft]) -> bool:
    """Whether many numbers of a subset are those of several persons' cards."""
    who: dict[tuple[str, str], set[tuple[str, ...]]] = defaultdict(set)
    for draft in drafts:
        if not draft.variation:
            who[draft.key, draft.number.casefold()].add(tuple(draft.subjects))
    shared = sum(len(persons) > 1 for persons in who.values())
    return shared * 5 > len(who) and shared > _FEW


def _of_all(drafts: Sequence[Draft], titles: Sequence[str]) -> str:
    """What tells that the cards of all sheets were misread, in a sentence; blank where nothing does."""
    if len(drafts) < _LEAST:
        return ""
    sets = {draft.key for draft in drafts}
    if len(sets) >= _MANY and len(sets) * _FEW > len({(draft.key, draft.number) for draft in drafts}):
        return "There are nearly as many subsets as cards"
    if _are_parallels(drafts):
        return "Most subsets hold the same numbers and persons, as parallels of one do"
    if _recur(drafts, 0):
        return "The same few names stand on card after card of a subset"
    if _recur([draft for draft in drafts if len(draft.subjects) > 1], 1):
        return "The same few names stand second on card after card of a subset"
    return _of_titles(drafts, titles)


def _are_parallels(drafts: Sequence[Draft]) -> bool:
    """Whether most cards stand under three subsets or more, with one number and the same persons."""
    under: dict[tuple[str, ...], set[str]] = defaultdict(set)
    for draft in drafts:
        if not draft.variation:
            under[(draft.number.casefold(), *draft.subjects)].add(draft.key)
    return sum(len(sets) >= _SEVERAL for sets in under.values()) * 2 > len(under)


def _recur(drafts: Sequence[Draft], place: int) -> bool:
    """Whether few names stand on many numbers of the largest subset, as teams would."""
    cards: dict[str, dict[str, str]] = defaultdict(dict)
    for draft in drafts:
        cards[draft.key][draft.number] = draft.subjects[place]
    names = max((list(those.values()) for those in cards.values()), key=len, default=[])
    return len(names) >= _MANY and _ABOUT < len(set(names)) <= min(_TEAMS, _DIFFERENT * len(names))


def _of_titles(drafts: Sequence[Draft], titles: Sequence[str]) -> str:
    """Whether sold titles speak of other persons, or give them other numbers."""
    if len(titles) < _PAIRS:
        return ""
    numbers: dict[str, set[str]] = defaultdict(set)
    for draft in drafts:
        for name in draft.subjects:
            for word in (*_words(name), *_run_together(name)):
                numbers[word].add(_bare(draft.number))
    told = [(set(_words(one)), _numbers(one)) for one in titles]
    named = [
        (set().union(*map(numbers.__getitem__, hit)), said)
        for one, said in told
        if (hit := one & numbers.keys())
    ]
    if len(told) >= _TITLES and len(named) * 10 < 3 * len(told):
        return "The sold titles name other persons"
    pairs = [bool(have & said) for have, said in named if said]
    if len(pairs) >= _PAIRS and sum(pairs) * 10 < 4 * len(pairs):
        return "The sold titles give these persons other numbers"
    return ""


def _words(said: str) -> Collection[str]:
    return [word for word in words.fold(said).split() if len(word) > _SHORT or not word.isascii()]


def _run_together(name: str) -> Collection[str]:
    """A name of two words as scripts have it that write it in one, the family's first or last."""
    parts = words.fold(name).split()
    return () if name.isascii() or len(parts) != 2 else ("".join(parts), "".join(reversed(parts)))


def _numbers(title: str) -> set[str]:
    return {_bare(hit["number"]) for hit in _NUMBERED.finditer(title)}


def _bare(number: str) -> str:
    return re.sub(r"(?<!\d)0+(?=\d)|[^\w]", "", number).casefold()


def odd_names(drafts: Sequence[Draft]) -> list[Draft]:
    """The cards with a name that is a mark or a number: 'Y', 'x', '003'."""
    marks = {
        name for draft in drafts for name in draft.subjects if len(name) < _MARK or not name[0].isalpha()
    }
    odd = {
        name for name in marks if not any(map(str.isalpha, name)) or (name.isascii() and words.is_yes(name))
    }
    return [draft for draft in drafts if odd.intersection(draft.subjects)] if odd else []
