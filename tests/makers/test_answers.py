"""The oracle answers a program's questions from the truth."""

from __future__ import annotations

from makers.scoring.answers import answer, answers
from makers.truth.facts import Key, Place, from_json

ROWS = [
    ("Base", "1", "Ada Quill", ""),
    ("Base", "2", "Ben Moor", ""),
    ("Steady Hands", "S-1", "Ada Quill", "card"),
]
PLACES = [("list.csv", "", 2, "Base | 1 | Ada Quill"), ("list.csv", "", 3, "Base | 2 | Ben Moor")]
PLACES += [("list.csv", "", 4, "Steady Hands | S-1 | Ada Quill"), ("sheet.txt", "", 1, "12 packs a box")]


def truth():
    """Three cards, one of them signed, and a format."""
    cards = [
        {
            "subset": subset,
            "kind": "autograph" if signed else "base",
            "number": number,
            "subjects": who,
            "signed": signed,
        }
        for subset, number, who, signed in ROWS
    ]
    tables = dict.fromkeys(("parallels", "odds", "promises", "prices", "sheet", "sales", "slots"), ())
    tables |= {"checklist": cards, "formats": [{"name": "Hobby", "packs_per_box": "12"}]}
    stated = [
        ["checklist", n, column, [n]] for n in range(3) for column in ("subset", "kind", "number", "subjects")
    ]
    stated += [["checklist", 2, "signed", [2]], ["formats", 0, "packs_per_box", [3]]]
    return from_json({"tables": tables, "places": PLACES, "stated": stated, "also": []})


def asked(cells, choices, about="", file="list.csv"):
    """A question as the program would put it."""
    return {
        "id": "q1",
        "file": file,
        "sheet": "",
        "about": about,
        "choices": choices,
        "evidence": [],
        "cells": cells,
    }


def test_a_value_is_chosen_by_the_facts_in_the_cells():
    """The kind of the cards in row 4, the number of packs in a text."""
    assert answer(asked(["B4"], ["insert", "autograph"]), truth()) == "autograph"
    assert answer(asked(["A1"], ["10", "12"], file="sheet.txt"), truth()) == "12"


def test_a_column_is_chosen_by_what_its_rows_hold():
    """Where a choice is the name of a column."""
    assert answer(asked(["A2:A4"], ["teams", "subjects"]), truth()) == "subjects"


def test_a_question_about_a_whole_file_is_about_what_it_names():
    """By the subset in its words."""
    question = asked([], ["insert", "base", "autograph"], about="What are the cards of Steady Hands?")
    assert answer(question, truth()) == "autograph"


def test_what_the_truth_does_not_know_is_left_unanswered():
    """No choice fits, or the cells hold no facts."""
    assert answer(asked(["B4"], ["relic", "insert"]), truth()) is None
    assert answer(asked(["B40"], ["autograph"]), truth()) is None


def test_answers_go_by_id():
    """Only those that can be answered."""
    questions = [asked(["B4"], ["insert", "autograph"]), asked(["B40"], ["x"]) | {"id": "q2"}]
    assert answers(questions, truth()) == {"q1": "autograph"}


def test_the_truth_of_the_test_is_as_it_should_be():
    """Places are those of the rows."""
    assert truth().stated[Key("checklist", 2, "signed")] == (Place(*PLACES[2]),)
