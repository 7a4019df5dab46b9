"""The kinds of cards that no file names: asked, and left blank where something speaks for a signature."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from rating import text
from rating.release.intake import words
from rating.release.intake.drafts import Draft
from rating.release.intake.values import Question, SeasonWords

CHOICES = ("insert", "autograph", "relic", "autograph relic", "base")
_PREFIX = re.compile(r"([A-Z]+)")
# letters after the initials of a subset's name that stand for a signature: 'SHA-4' of Steady Hands
_INKED = frozenset(("A", "AU", "S", "SIG", "AUTO"))
_SHOWN = 3


def speaks_for_ink(name: str, numbers: Sequence[str], titles: Sequence[str]) -> str:
    """What speaks for a signature on the cards of a subset, in words; blank where nothing does.

    `titles` are sold titles, folded and with a blank at both ends.
    """
    initials = "".join(word[0] for word in re.findall(r"[^\W\d_]+", name)).upper()
    prefixes = {found[1] for number in numbers if (found := _PREFIX.match(number))}
    if (
        len(initials) > 1
        and prefixes
        and all(one.startswith(initials) and one[len(initials) :] in _INKED for one in prefixes)
    ):
        return f"its numbers begin with {min(prefixes)}"
    own = f" {words.fold(name)} "
    signed = [one for one in titles if own in one and words.SIGNED_WORDS.search(one.replace(own, " "))]
    return f"a sold title says {text.printable(signed[0].strip()[:60])!r}" if signed and len(name) > 3 else ""


def question(name: str, drafts: Sequence[Draft], why: str) -> Question:
    """What the cards of a subset are, with three of them."""
    first = drafts[0]
    grid = first.account.grid
    own = [one for one in drafts if one.account.grid is grid]
    shown = text.listed([f"{one.number} {' / '.join(one.subjects)}".strip() for one in drafts[:_SHOWN]])
    return Question(
        file=grid.file,
        sheet=grid.sheet,
        row=first.row.number,
        what=(
            f"What are the {text.count(len(drafts), 'card')} of {name}, such as {shown}?"
            + (f" No file says so, but {why}." if why else " No file says so.")
        ),
        meanwhile="left blank" if why else "taken as inserts",
        topic="kind",
        about=name,
        choices=CHOICES,
        cells=tuple(_ranges(sorted({one.row.number for one in own}))),
        weight=len(drafts) * (2 if why else 1),
    )


def _ranges(rows: Sequence[int]) -> list[str]:
    """Rows as '5' and '5:40'."""
    found: list[list[int]] = []
    for row in rows:
        if found and row == found[-1][1] + 1:
            found[-1][1] = row
        else:
            found.append([row, row])
    return [f"{a}" if a == b else f"{a}:{b}" for a, b in found]


def settled(
    season: SeasonWords,
    waiting: Mapping[str, Sequence[Draft]],
    names: Mapping[str, str],
    titles: Sequence[str],
) -> tuple[dict[str, str], list[Question]]:
    """The kinds of subsets that nobody named, by their keys, and what is asked of the others.

    A kind is a person's answer, or blank where something speaks for a signature.
    """
    found: dict[str, str] = {}
    asked: list[Question] = []
    folded = [f" {words.fold(one)} " for one in titles] if waiting else []
    for key, drafts in waiting.items():
        why = speaks_for_ink(names[key], [one.number for one in drafts], folded)
        one = question(names[key], drafts, why)
        if answer := season.answer_to(one):
            found[key] = answer
            continue
        asked.append(one)
        if why:
            found[key] = ""
    return found, asked
