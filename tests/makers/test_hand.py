"""The makers made by hand: small, complete, and true to their files."""

from __future__ import annotations

import io

import openpyxl
import pytest

from makers.hand import hand_cases
from makers.scoring.report import letters

CASES = {case.name: case for case in hand_cases()}


def test_there_are_fourteen_of_different_sports():
    """Each in a folder named by its sport."""
    assert sorted(CASES) == [
        "bandy",
        "bowls",
        "broomball",
        "coastal-rowing",
        "fencing",
        "kabaddi",
        "korfball",
        "netball",
        "petanque",
        "roller-derby",
        "sepak-takraw",
        "shinty",
        "speedway",
        "sumo",
    ]


@pytest.mark.parametrize("name", CASES)
def test_a_hand_made_maker_is_small_and_complete(name):
    """80 to 200 cards with numbers of their own, a ladder, odds, formats and prices; nearly all is stated."""
    truth = CASES[name].truth
    cards = truth.tables["checklist"]
    assert 80 <= len(cards) <= 200
    assert len({(card["subset"], card["number"]) for card in cards}) == len(cards)
    assert all(truth.tables[table] for table in ("parallels", "odds", "formats", "prices"))
    lines = {(row["subset"], row["parallel"]) for row in truth.tables["parallels"]}
    subsets = {card["subset"] for card in cards}
    for row in truth.tables["odds"]:
        assert row["subset"] in subsets
        assert not row["parallel"] or (row["subset"], row["parallel"]) in lines
        assert row["format"] in {one["name"] for one in truth.tables["formats"]}
    for column in ("subset", "number", "subjects", "teams"):
        assert all(("checklist", place, column) in truth.stated for place in range(len(cards)))


@pytest.mark.parametrize("name", CASES)
def test_sold_titles_name_the_card_they_are_given_to(name):
    """Its number or somebody on it stands in the title."""
    cards = {(card["subset"], card["number"]): card for card in CASES[name].truth.tables["checklist"]}
    for row in CASES[name].truth.tables["sales"]:
        if not row["junk"]:
            card = cards[row["subset"], row["number"]]
            words = [person.split()[-1] for person in card["subjects"].split(" / ")]
            assert row["number"] in row["title"] or any(word in row["title"] for word in words)
            assert row["parallel"] in row["title"]


@pytest.mark.parametrize("name", CASES)
def test_places_stand_in_the_files(name):
    """The text of each place is the line or row it names, in the bytes that were handed over."""
    case = CASES[name]
    lines = {}
    for file, content in case.files.items():
        if file.endswith(".xlsx"):
            for page in openpyxl.load_workbook(io.BytesIO(content)):
                for number, row in enumerate(page.iter_rows(values_only=True), start=1):
                    lines[file, page.title, number] = " ".join(str(cell) for cell in row if cell is not None)
        else:
            for number, line in enumerate(_decoded(content).splitlines(), start=1):
                lines[file, "", number] = line
    for places in case.truth.stated.values():
        for place in places:
            assert letters(place.text) == letters(lines[place.file, place.sheet, place.row]), place


def _decoded(content):
    if content.startswith(b"\xff\xfe"):
        return content.decode("utf-16")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252")


@pytest.mark.parametrize("name", CASES)
def test_numbers_and_surnames_stand_where_they_are_said(name):
    """Or the table that names them by a key does."""
    truth = CASES[name].truth
    for place, card in enumerate(truth.tables["checklist"]):
        told = letters(" ".join(one.text for one in truth.stated["checklist", place, "subjects"]))
        told += letters(" ".join(one.text for one in truth.stated["checklist", place, "number"]))
        for person in card["subjects"].split(" / "):
            assert letters(person.split()[-1]) in told
        assert letters(card["number"])[-1] in told
