"""Titles name teams that no checklist states, and people whose forenames a checklist shortens."""

from __future__ import annotations

import pytest

from rating.release.checklist import Card, Parallel
from rating.release.intake.titles import Matcher
from rating.release.intake.titles.teams import of_slots
from rating.release.intake.values import ReleaseWords

RELEASE = ReleaseWords(title="Fennick 2041 Tidewater", maker="Fennick", line="Tidewater")


def card(number, subject, team="", subset="Base", kind="base"):
    """A card of one person."""
    return Card(
        subset, kind, number, (subject,), (team,) if team else (), False, None, "", "", False, False, "", 0
    )


CARDS = (
    card("1", "Ada Quill"),
    card("2", "Bram Ostrow"),
    card("3", "Cleo Tarn"),
    card("4", "Dov Pell"),
    card("5", "Eva Rusk"),
    card("LW-1", "Ada Quill", subset="Long Watch", kind="insert"),
)
PARALLELS = (Parallel("Base", "Zinc", 50, (), 0), Parallel("Base", "Brine", 10, (), 0))
WITH_TEAMS = (
    "2041 Tidewater Ada Quill Zinc 3/50 Otters",
    "2041 Tidewater Bram Ostrow #2 Brine Iron Bells",
    "2041 Tidewater Cleo Tarn Zinc Parallel Larks",
    "2041 Tidewater Dov Pell Zinc /50 Red Elks",
    "2041 Tidewater Ada Quill Long Watch Otters",
)


def matched(titles, *wanted, cards=CARDS, parallels=PARALLELS, slots=()):
    """What the wanted titles of a list are taken for: subset, parallel and number."""
    matcher = Matcher(cards, parallels, release=RELEASE, titles=[*titles, *wanted], slots=slots)
    found = [matcher.match(one) for one in wanted]
    return [(one.subset, one.parallel, one.number) for one in found]


def test_teams_that_only_titles_name_tell_nothing_of_a_card():
    """They stand behind parallels and inserts alike, and come again with the same people."""
    assert matched(WITH_TEAMS, *WITH_TEAMS, "2041 Tidewater Eva Rusk #5 Thatchers") == [
        ("Base", "Zinc", "1"),
        ("Base", "Brine", "2"),
        ("Base", "Zinc", "3"),
        ("Base", "Zinc", "4"),
        ("Long Watch", "", "LW-1"),
        ("Base", "", "5"),
    ]


@pytest.mark.parametrize(
    "titles",
    [
        # too few to tell a team from a parallel that the ladder lacks
        ("2041 Tidewater Bram Ostrow #2 Driftglass", "2041 Tidewater Cleo Tarn #3 Kelp"),
        # the same people with other words: no teams
        tuple(
            f"2041 Tidewater {name} #{number} {word}"
            for number, name in (
                ("1", "Ada Quill"),
                ("2", "Bram Ostrow"),
                ("3", "Cleo Tarn"),
                ("4", "Dov Pell"),
            )
            for word in ("Driftglass", "Kelp")
        ),
    ],
)
def test_words_that_may_be_parallels_keep_a_title_in_doubt(titles):
    """A parallel that the checklist lacks must not pass as the base version."""
    assert matched(titles, titles[0]) == [("", "", "")]


def test_slots_name_the_teams_that_a_checklist_has_by_town_or_not_at_all():
    """A title's team is that of the slot; a card of another team is ruled out."""
    towns = (card("1", "Ada Quill", "Ember Bay"), card("2", "Bram Ostrow", "Low Tarn"))
    slots = ("Ember Bay Otters + Low Tarn Iron Bells", "Ember Bay Otters")
    assert of_slots(slots, towns) == {"Ember Bay Otters": "Ember Bay", "Low Tarn Iron Bells": "Low Tarn"}
    assert matched((), "2041 Tidewater Ada Quill Otters", cards=towns, slots=slots) == [("Base", "", "1")]
    assert matched((), "2041 Tidewater Ada Quill Iron Bells", cards=towns, slots=slots) == [("", "", "")]
    for team in ("", "EBO"):
        only = (card("1", "Ada Quill", team),)
        assert of_slots(slots[1:], only) == {"Ember Bay Otters": ""}
        assert matched((), "2041 Tidewater Ada Quill Otters", cards=only, slots=slots) == [("Base", "", "1")]


def test_a_subset_may_hold_the_word_of_its_own_parallel():
    """'Hall of Mirrors' names no Mirror parallel; a second 'Mirror' does."""
    halls = (card("HM-1", "Ada Quill", subset="Hall of Mirrors", kind="insert"), *CARDS)
    ladder = (Parallel("Hall of Mirrors", "Mirror", 5, (), 0),)
    titles = (
        "2041 Tidewater Ada Quill Hall of Mirrors",
        "2041 Tidewater Ada Quill Hall of Mirrors Mirror 2/5",
    )
    assert matched((), *titles, cards=halls, parallels=ladder) == [
        ("Hall of Mirrors", "", "HM-1"),
        ("Hall of Mirrors", "Mirror", "HM-1"),
    ]


@pytest.mark.parametrize(
    ("listed", "title"),
    [
        ("З. Громыль", "2041 Tidewater Захар Громыль #1"),
        ("व. रजनीकर", "2041 Tidewater विहान रजनीकर #1"),
        ("J. Marsh", "2041 Tidewater Jonah Marsh #1"),
    ],
)
def test_a_checklist_may_have_initials_in_any_script(listed, title):
    """The title has the forename that the checklist shortens."""
    assert matched((), title, cards=(card("1", listed), card("2", "Ada Quill"))) == [("Base", "", "1")]


def test_a_full_name_means_its_short_form_elsewhere_unless_two_people_fit():
    """The base set has the forename, the insert its initial."""
    insert = card("LW-2", "B. Ostrow", subset="Long Watch", kind="insert")
    title = "2041 Tidewater Bram Ostrow Long Watch"
    assert matched((), title, cards=(*CARDS, insert)) == [("Long Watch", "", "LW-2")]
    other = card("7", "Bea Ostrow")
    assert matched((), title, cards=(*CARDS, insert, other)) == [("", "", "")]


@pytest.mark.parametrize(
    ("listed", "title"),
    [
        ("라온 유", "2041 Tidewater 유라온 #1"),
        ("유라온", "2041 Tidewater 유 라온"),
        ("유라온", "2041 Tidewater 라온 유"),
        ("桐生 颯", "2041 Tidewater 桐生颯 Zinc"),
    ],
)
def test_names_that_need_no_blank_may_have_one(listed, title):
    """Family name first or last, joined or parted."""
    ((subset, _, number),) = matched((), title, cards=(card("1", listed), card("2", "박지호")))
    assert (subset, number) == ("Base", "1")
