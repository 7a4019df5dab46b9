"""The generator as a whole: the same for a seed, every feature often enough, facts where they are said."""

from __future__ import annotations

import re
from collections import Counter

import numpy as np
import pytest

from makers.documents.layout import FEATURES, GRAMMAR, draw_layout
from makers.maker import make
from makers.scoring.report import fold


def test_the_same_seed_gives_the_same_bytes(makers):
    """Of files and of truth."""
    for seed in (3, 11):
        again, before = make(seed).case(), makers[seed].case()
        assert dict(again.files) == dict(before.files)
        assert again.truth == before.truth
        assert again.features == before.features


def test_every_feature_occurs_in_a_tenth_of_seeds(features):
    """Over two hundred seeds, by what the writers did and not by what was planned."""
    counts = Counter(feature for found in features for feature in found)
    assert len(FEATURES) >= 30
    assert len(set(FEATURES)) == len(FEATURES)
    rare = {feature: counts[feature] for feature in FEATURES if counts[feature] < len(features) / 10}
    assert rare == {}


def test_features_are_features_of_their_own(features):
    """The correlation of any two over the seeds stays far from 1: none is another by a second name."""
    occurs = np.array([[feature in found for found in features] for feature in FEATURES], dtype=float)
    correlation = np.corrcoef(occurs) - np.eye(len(FEATURES))
    assert np.abs(correlation).max() < 0.8, FEATURES[int(np.abs(correlation).max(axis=1).argmax())]
    assert np.quantile(np.abs(correlation), 0.95) < 0.2


def test_choices_of_the_grammar_are_drawn_independently():
    """Fixing one changes no other that can stand beside it."""
    before, after = draw_layout(5, {"odds": "grid"}), draw_layout(5, {"odds": "lines"})
    assert {name for name in GRAMMAR if before[name] != after[name]} == {"odds"}


def test_a_choice_that_the_grammar_does_not_know_is_refused():
    """By its name."""
    with pytest.raises(ValueError, match="odds"):
        draw_layout(5, {"odds": "tea leaves"})


def test_what_is_stated_stands_where_it_is_said(makers):
    """Numbers, surnames, parallels, titles and amounts stand in the text of each place that states them."""
    looked = Counter()
    for maker in makers[:24]:
        people = {card.index: card.persons for _, card in maker.release.cards()}
        for key, places in maker.truth.stated.items():
            wanted = _wanted(maker, key, people)
            if not wanted:
                continue
            looked[key.table, key.column] += 1
            texts = [place.text for place in places]
            if (
                key.table == "formats"
            ):  # a sentence may be broken over lines, and all of them state what it says
                texts = [" ".join(texts)]
            found = [_letters(text) for text in texts]
            assert all(_letters(word) in text for word in wanted for text in found), (maker.seed, key, wanted)
    assert all(
        looked[one] > 100 for one in (("checklist", "number"), ("checklist", "subjects"), ("sales", "title"))
    )
    assert looked["parallels", "parallel"] > 100


def _wanted(maker, key, people):
    """Words that must stand in every place that states a fact; none for facts that are said in many ways."""
    row = maker.truth.tables[key.table][key.row]
    if key.table == "checklist" and key.column == "number":
        return [row["number"]] if maker.layout["pairs"] != "rows" or len(people[key.row]) == 1 else []
    if key.table == "checklist" and key.column == "subjects" and len(people[key.row]) == 1:
        return [people[key.row][0].family]
    if (key.table, key.column) == ("parallels", "parallel") and maker.layout["ladders"] != "columns":
        return [row["parallel"]]  # a column of its own has the name in its heading
    if (key.table, key.column) == ("sales", "title"):
        return [row["title"]]
    if (key.table, key.column) == ("slots", "slot"):
        return row["slot"].split(" + ") if row["slot"] else []
    if key.table == "formats":
        return [row[key.column]]
    return []


def _letters(text):
    return re.sub(r"[\W_]", "", fold(text))


def test_marks_stand_where_they_are_said(makers):
    """A rookie's or a redemption's after the name; a hit's kind in a legend, beside its subset."""
    looked = Counter()
    for maker in makers:
        signs = {
            "rookie": {"asterisk": r"\*", "after name": r"RC|ookie|\[R\]"}.get(maker.layout["rookies"], ""),
            "redemption": {"after name": "edemption|REDEMPTION|exchange"}.get(
                maker.layout["redemptions"], ""
            ),
        }
        for key, places in maker.truth.stated.items():
            if key.table != "checklist" or not maker.truth.value(key):
                continue
            if sign := signs.get(key.column):
                looked[key.column] += 1
                broken = (
                    maker.layout["arrangement"] == "running"
                )  # a card may begin on one line, end on the next
                texts = [" ".join(place.text for place in places)] if broken else [one.text for one in places]
                assert all(re.search(sign, text) for text in texts), (maker.seed, key)
            hit = maker.truth.value(key) not in {"base", "insert"}
            if key.column == "kind" and hit and maker.layout["kinds"] == "legend":
                looked["kind"] += 1
                subset = fold(maker.truth.tables["checklist"][key.row]["subset"])
                assert any(subset in fold(place.text) for place in places), (maker.seed, key)
    assert all(looked[column] > 50 for column in ("rookie", "redemption", "kind"))


def test_places_are_lines_of_the_files(makers):
    """Each names a file and a sheet that are there, and no line beyond its end."""
    for maker in makers[:30]:
        sizes = {
            (file.name, sheet.title if file.container == "xlsx" else ""): len(sheet.lines)
            for file in maker.documents
            for sheet in file.sheets
        }
        for places in maker.truth.stated.values():
            assert all(1 <= place.row <= sizes[place.file, place.sheet] for place in places)


def test_nearly_every_card_is_stated_whole(makers):
    """Subset, number and subjects of every card; kinds of all but those that nothing tells."""
    for maker in makers:
        for card in range(len(maker.truth.tables["checklist"])):
            for column in ("subset", "number", "subjects"):
                assert ("checklist", card, column) in maker.truth.stated, (maker.seed, card, column)
    kinds = Counter(
        ("checklist", card, "kind") in maker.truth.stated
        for maker in makers
        for card in range(len(maker.truth.tables["checklist"]))
    )
    assert kinds[True] > 40 * kinds[False]


def test_teams_on_cards_and_slots_are_the_leagues(makers):
    """Each name is that of a team."""
    for maker in makers:
        names = {team.name for team in maker.release.league.teams}
        for row in maker.truth.tables["checklist"]:
            assert set(row["teams"].split(" / ")) <= names
        for row in maker.truth.tables["slots"]:
            assert not row["slot"] or set(row["slot"].split(" + ")) <= names
