"""boxwright opened: a box, card by card, into opened.csv."""

from __future__ import annotations

import pytest

HEADER = "date,format,boxes,subset,parallel,number,count\n"


@pytest.fixture
def file(small_season):
    """The boxes opened of deep-harbour, of which there are none; its hits are the subset Ink."""
    return small_season / "releases" / "deep-harbour" / "opened.csv"


@pytest.fixture
def with_gold(small_season):
    """A numbered parallel of Ink, and one of Tides."""
    rows = "subset,parallel,print_run,formats\nInk,Gold,25,\nTides,Gold,50,\n"
    (small_season / "releases" / "deep-harbour" / "parallels.csv").write_text(rows, encoding="utf-8")


def test_a_first_box_counts_what_was_found_and_what_was_looked_for(run, small_season, file, with_gold):
    """Hits alone, unless something else is said: a line that was looked for and not found has the count 0."""
    code, out, err = run("opened", "deep-harbour", "--card", "ink 1", "--season", small_season)
    assert code == 0
    assert file.read_text(encoding="utf-8") == (
        f"{HEADER}2031-05-01,hobby,1,Ink,,INK-1,1\n2031-05-01,hobby,1,Ink,Gold,,0\n"
    )
    assert "now has 1 box of hobby opened on 2031-05-01; this one held 1 noted card." in " ".join(out.split())
    assert "--section chances" in err


def test_a_second_box_of_the_day_adds_up(run, answer, small_season, file):
    """All rows of the day and format speak of two boxes; other days stay to the byte."""
    other = "2031-04-01,hobby,12,Ink,,,3\n"
    file.write_text(HEADER + other + "2031-05-01,hobby,1,Ink,,INK-1,1\n", encoding="utf-8")
    words = ("--card", "INK-1", "--card", "marsh", "--season", small_season)
    told = answer("opened", "deep-harbour", *words)
    assert file.read_text(encoding="utf-8") == (
        f"{HEADER}{other}2031-05-01,hobby,2,Ink,,INK-1,2\n2031-05-01,hobby,2,Ink,,INK-2,1\n"
    )
    assert told["boxes"] == 2
    assert [(one["number"], one["subjects"], one["count"]) for one in told["found"]] == [
        ("INK-1", ["Ada Finch"], 1),
        ("INK-2", ["Di Marsh"], 1),
    ]


def test_an_empty_box_counts(run, small_season, file):
    """It is as much of an answer as a full one."""
    assert run("opened", "deep-harbour", "--nothing", "--season", small_season)[0] == 0
    assert file.read_text(encoding="utf-8") == f"{HEADER}2031-05-01,hobby,1,Ink,,,0\n"


@pytest.mark.parametrize(("noting", "lines"), [("hits", 2), ("numbered", 3), ("all", 5)])
def test_what_is_noted_is_said_at_the_first_box(answer, small_season, with_gold, noting, lines):
    """Ink and its Gold; Gold Tides too; Base and Tides as well."""
    told = answer("opened", "deep-harbour", "--nothing", "--noting", noting, "--season", small_season)
    assert len(told["noted"]) == lines


def test_boxes_after_it_are_noted_alike(refused, answer, small_season, file, with_gold):
    """A line that was not counted in the boxes before would look more common than it is."""
    file.write_text(f"{HEADER}2031-04-01,hobby,12,Ink,,,3\n", encoding="utf-8")
    words = ("opened", "deep-harbour", "--season", small_season)
    assert "noted the same way" in refused(*words, "--nothing", "--noting", "all")
    assert "no card that is noted goes by 'T-1'" in refused(*words, "--card", "T-1")
    told = answer(*words, "--nothing")
    assert told["noted"] == [{"subset": "Ink", "parallel": None}]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--card", "finch"), "Ada Finch, Ink INK-1"),
        (("--card", "nobody"), "no card that is noted goes by 'nobody'"),
        (("--card", "ink"), "'ink' can be Ada Finch, Ink INK-1 and Di Marsh, Ink INK-2"),
        (("--nothing", "--format", "hoby"), "no format named 'hoby'"),
        (("--nothing", "--on", "2031-05-02"), "2031-05-02 is after today"),
        (("--nothing", "--noting", "some"), "name one of hits, numbered, all"),
        ((), "a dialogue needs a terminal"),
    ],
)
def test_what_cannot_be_noted_is_refused_and_nothing_is_written(
    run, small_season, file, with_gold, words, told
):
    """One message; a card that is named clearly is none."""
    code, out, err = run("opened", "deep-harbour", *words, "--season", small_season)
    if words == ("--card", "finch"):  # its base version: the parallel is named behind a colon
        assert code == 0
        return
    assert (code, out) == (1, "")
    assert told in " ".join(err.split())
    assert not file.exists()


def test_a_parallel_is_named_behind_a_colon(answer, small_season, with_gold):
    """However it is written."""
    told = answer("opened", "deep-harbour", "--card", "FINCH: gold", "--season", small_season)
    assert [(one["parallel"], one["number"]) for one in told["found"]] == [("Gold", "INK-1")]


def test_a_dialogue_finds_cards_and_writes_at_its_end(terminal, small_season, file, with_gold):
    """By a part of a name, with the version asked for; one is taken back."""
    person = terminal(["opened", "deep-harbour", "--season", small_season])
    person.answer("Which (Enter: 1): ", "")
    person.answer("Card 1: ", "finch")
    person.answer("Which (Enter: none): ", "2")
    person.answer("Card 2: ", "ink-2")
    person.answer("Which (Enter: none): ", "1")
    person.answer("Card 3: ", "-")
    person.wait_for("taken back: Di Marsh, Ink INK-2")
    person.answer("Card 2: ", "nobody")
    person.wait_for("no noted card of that number or name")
    person.answer("Card 2: ", "")
    person.answer("Write this box", "")
    assert person.ended() == 0
    assert file.read_text(encoding="utf-8") == (
        f"{HEADER}2031-05-01,hobby,1,Ink,Gold,INK-1,1\n2031-05-01,hobby,1,Ink,,,0\n"
    )


@pytest.mark.parametrize("how", ["ctrl-c", "no"])
def test_a_dialogue_that_is_broken_off_writes_nothing(terminal, small_season, file, how):
    """Neither half a box nor an empty file."""
    person = terminal(["opened", "deep-harbour", "--noting", "hits", "--season", small_season])
    person.answer("Card 1: ", "ink-1")
    if how == "no":
        person.answer("Card 2: ", "")
        person.answer("Write this box", "n")
    else:
        person.wait_for("Card 2: ")
        person.interrupt()
    assert person.ended() == (0 if how == "no" else 130)
    assert not file.exists()
