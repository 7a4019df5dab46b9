"""Titles are matched by ruling out: what alone is left is the card, what is left open is not guessed."""

from __future__ import annotations

import pytest

from rating.release.checklist import Card, Parallel
from rating.release.intake.titles import Matcher
from rating.release.intake.values import ReleaseWords, SeasonWords, TeamWords

RELEASE = ReleaseWords(title="Fennick 2041 Tidewater", maker="Fennick", line="Tidewater")
SEASON = SeasonWords(
    teams=(
        TeamWords(name="Ember Bay Black Swans", code="EBB"),
        TeamWords(name="Ivory Point Smiths", code="IVO"),
    )
)


def card(subset, kind, number, subjects, teams=("Ember Bay Black Swans",), run=None, *, variation=False):
    """A card of the checklist below."""
    return Card(subset, kind, number, subjects, teams, False, run, "", "", variation, False, "", 0)


CARDS = (
    card("Base", "base", "1", ("Ada Quill",)),
    card("Base", "base", "2", ("Bram Ostrow",), ("Ivory Point Smiths",)),
    card("Base", "base", "3", ("Cleo Ostrow",)),
    card("Base", "base", "4", ("Delia von Harnis",)),
    card("Base", "base", "5", ("Ezra Tull III",)),
    card("Base", "base", "6", ("박지호",)),
    card("Base", "base", "7", ("आरव चंद्रेय",)),
    card("Base", "base", "8", ("Réka Žďárek",)),
    card("Base", "base", "9", ("W. Tarn",)),
    card("Base", "base", "10", ("O. Tarn",)),
    card("Base Variations", "base", "1", ("Ada Quill",), variation=True),
    card("Long Watch", "insert", "LW-4", ("Bram Ostrow",), ("Ivory Point Smiths",)),
    card("By My Hand", "autograph", "BM-AQ", ("Ada Quill",), run=99),
    card("By My Hand", "autograph", "BM-DH", ("Delia von Harnis",), run=99),
    card("Rookie Autographs", "autograph", "RA-3", ("Cleo Ostrow",)),
    card("Two Keels", "autograph", "TK-1", ("Bram Ostrow", "Delia von Harnis"), ("", "")),
    card("Deck Cloth", "relic", "DC-9", ("Ezra Tull III",), run=50),
)
PARALLELS = tuple(
    Parallel(subset, name, run, (), 0)
    for subset, name, run in (
        ("Base", "Gold", 50),
        ("Base", "Gold Leaf", 25),
        ("Base", "Black Tie", 10),
        ("Base", "Ivory", None),
        ("Long Watch", "Gold", 10),
        ("By My Hand", "Ivory", 5),
        ("Deck Cloth", "Patch", 25),
    )
)


@pytest.fixture(scope="module")
def matcher():
    """A matcher of the checklist above."""
    return Matcher(CARDS, PARALLELS, season=SEASON, release=RELEASE)


@pytest.mark.parametrize(
    ("title", "card"),
    [
        ("2041 Tidewater Bram Ostrow #2 Gold 7/50", ("Base", "Gold", "2")),
        ("2041 Fennick Tidewater OSTROW, BRAM Gold Leaf", ("Base", "Gold Leaf", "2")),
        ("2041 Tidewater Bram Ostrow Gold /10", ("Long Watch", "Gold", "LW-4")),
        ("2041 Tidewater Bram Ostrow Long Watch", ("Long Watch", "", "LW-4")),
        ("2041 Tidewater Ostrow #LW4 pc from my break", ("Long Watch", "", "LW-4")),
        ("2041 Tidewater Delia von Harnis auto /99", ("By My Hand", "", "BM-DH")),
        ("2041 Tidewater von Harnis By My Hand Ivory Parallel", ("By My Hand", "Ivory", "BM-DH")),
        ("2041 Tidewater Harnis BM-DH 12/99 from my break", ("By My Hand", "", "BM-DH")),
        ("2041 Tidewater Ezra Tull III Patch /25", ("Deck Cloth", "Patch", "DC-9")),
        ("2041 Tidewater Ezra Tull relic 3/50", ("Deck Cloth", "", "DC-9")),
        ("2041 Tidewater 박지호 Black Tie 1/10", ("Base", "Black Tie", "6")),
        ("2041 Tidewater आरव चंद्रेय #7", ("Base", "", "7")),
        ("2041 Tidewater 박지호 Black Swans", ("Base", "", "6")),
        ("2041 Tidewater RÃ©ka Å½Ä\ufffdÃ¡rek Gold", ("Base", "Gold", "8")),
        ("2041 Tidewater Harnis & Ostrow Two Keels signed", ("Two Keels", "", "TK-1")),
        ("2041 Tidewater Ostrow von Harnis #TK-1", ("Two Keels", "", "TK-1")),
        ("2041 Tidewater Cleo Ostrow Rookie Autographs", ("Rookie Autographs", "", "RA-3")),
        ("2041 Tidewater Ada Quill Base Variations", ("Base Variations", "", "1")),
        ("2041 Tidewater Ada Quill /25", ("Base", "Gold Leaf", "1")),
        ("2041 Tidewater Ada Qulil Gold", ("Base", "Gold", "1")),
        ("2041 Tidewater Wanda Tarn Gold", ("Base", "Gold", "9")),
        ("2041 Tidewater TARN OLAF Gold", ("Base", "Gold", "10")),
        ("2041 Tidewater B. Ostrow Gold Leaf", ("Base", "Gold Leaf", "2")),
    ],
)
def test_what_alone_is_left_is_the_card(title, card, matcher):
    """Whatever the order, however the people are named, in any script."""
    found = matcher.match(title)
    assert (found.subset, found.parallel, found.number) == card
    assert found.match in {"sure", "likely"}


@pytest.mark.parametrize(
    ("title", "why"),
    [
        ("2041 Tidewater Bram Ostrow", "it could be more than one card"),
        ("2041 Tidewater Ada Quill #1", "it could be more than one card"),
        ("2041 Tidewater Ostrow Ivory", "it could be more than one card"),
        ("2041 Tidewater Ada Quill Gold 7/77", "no version of this card is numbered to 77"),
        ("2041 Tidewater Ada Quill Silver", "'silver' is not a parallel on the checklist"),
        ("2041 Tidewater Ada Quill Chevron /50", "'chevron' is not a word of this release"),
        ("2041 Tidewater Update Ada Quill Gold", "'update' is not a word of this release"),
        ("2041 Tidewater Cleo Ostrow Parallel", "number, print run and words contradict each other"),
        ("2041 Tidewater Cleo Ostrow Leaf", "number, print run and words contradict each other"),
        (
            "2041 Tidewater Cleo Ostrow & Delia von Harnis auto",
            "number, print run and words contradict each other",
        ),
        ("2041 Tidewater Two Keels Bram Ostrow", "number, print run and words contradict each other"),
        ("2041 Tidewater Hugo Tarn Gold", "'hugo' is not a word of this release"),
        ("2041 Tidewater Gus Quill Gold", "'gus' is not a word of this release"),
        ("2041 Tidewater Nobody Known", "no name and no number of the checklist is in the title"),
    ],
)
def test_what_a_title_leaves_open_is_not_guessed(title, why, matcher):
    """Two cards that both fit, none that fits, or a word that nothing explains."""
    found = matcher.match(title)
    assert (found.match, found.subset, found.why) == ("", "", why)


@pytest.mark.parametrize(
    ("title", "is_slabbed"),
    [
        ("2041 Tidewater Ada Quill Gold QRX 9.5", True),
        ("2041 Tidewater Ada Quill Gold slab 10", True),
        ("2041 Tidewater Ada Quill Gold graded", True),
        ("2041 Tidewater Ada Quill Gold Gem Mint 10 QRX low start", True),
        ("2041 Tidewater Ada Quill Gold LW 4", False),
        ("2041 Tidewater Ada Quill Gold RC 7", False),
        ("2041 Tidewater Ada Quill Gold 9/50", False),
    ],
)
def test_a_slab_is_letters_and_a_grade(title, is_slabbed, matcher):
    """Whoever graded it; numbers of the release are none."""
    assert matcher.match(title).is_slabbed == is_slabbed


def test_a_list_that_names_every_subset_means_the_base_set_where_it_names_none():
    """Sixty sales of inserts, all called so, tell how the list is written."""
    many = [card("Long Watch", "insert", f"LW-{n}", (f"Person{n} Of{n}",)) for n in range(10, 80)]
    base = [card("Base", "base", f"{n}", (f"Person{n} Of{n}",)) for n in range(10, 80)]
    titles = [f"2041 Tidewater Person{n} Of{n} Long Watch" for n in range(10, 80)]
    bare = "2041 Tidewater Person11 Of11"
    named = Matcher((*many, *base), (), release=RELEASE, titles=[*titles, bare])
    assert named.match(bare).subset == "Base"
    unnamed = Matcher(
        (*many, *base), (), release=RELEASE, titles=[*titles, bare, "2041 Tidewater #LW-12 Of12"]
    )
    assert unnamed.match(bare).why == "it could be more than one card"


def test_a_release_without_a_name_has_that_of_its_list():
    """The word that most titles hold and no checklist explains."""
    titles = [
        f"2041 Oakline {name} #{number}" for name, number in (("Ada Quill", 1), ("Cleo Ostrow", 3)) * 11
    ]
    found = Matcher(CARDS, PARALLELS, titles=titles).match("2041 Oakline Cleo Ostrow #3")
    assert (found.subset, found.number, found.match) == ("Base", "3", "likely")
