"""An oracle that answers a program's questions from the truth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from makers.scoring.report import asks_about, fold
from makers.truth.facts import Key, Truth

_SMALL_WORDS = {"yes": {"yes", "true"}, "": {"no", "false", "none", "blank"}}


def answers(questions: Sequence[Mapping[str, Any]], truth: Truth) -> dict[str, str]:
    """For each question that the truth can answer: its id with the choice that most facts agree with."""
    found = {}
    for question in questions:
        choice = answer(question, truth)
        if choice is not None:
            found[str(question.get("id", ""))] = choice
    return found


def answer(question: Mapping[str, Any], truth: Truth) -> str | None:
    """The choice that most facts stated in the question's cells agree with, None where none does.

    A choice is the value of a fact ('autograph', 'Base', '99'), or the name of a column ('teams'), which the
    facts agree with whose place holds their value. Where the cells are those of a whole file, only facts of
    rows count whose subset or format is named in what the question is about.
    """
    choices = [str(choice) for choice in question.get("choices") or ()]
    about = fold(str(question.get("about") or ""))
    votes = dict.fromkeys(choices, 0)
    for key, places in truth.stated.items():
        near = [place for place in places if asks_about(question, place)]
        if not near or (not question.get("cells") and not _is_named(key, truth, about)):
            continue
        good = _spellings(key, truth)
        for choice in choices:
            votes[choice] += fold(choice) in good
            if fold(choice) == key.column:
                votes[choice] += any(form and form in fold(place.text) for form in good for place in near)
    best = max(choices, key=lambda choice: votes[choice], default=None)
    return best if best is not None and votes[best] else None


def _is_named(key: Key, truth: Truth, about: str) -> bool:
    row = truth.tables[key.table][key.row] if key.row < len(truth.tables[key.table]) else {}
    names = [fold(row[name]) for name in ("subset", "format", "name", "title") if row.get(name)]
    return any(name in about for name in names)


def _spellings(key: Key, truth: Truth) -> set[str]:
    if key.column not in truth.tables[key.table][key.row]:
        return set()
    value = fold(truth.value(key))
    return {value, *map(fold, truth.also.get(key, ())), *_SMALL_WORDS.get(value, ())}
