"""Cards that speak against their own reading are held back; sound lists, also odd ones, are not."""

from __future__ import annotations

import pytest

from rating.release.intake import misread
from rating.release.intake.account import Account
from rating.release.intake.drafts import Draft
from rating.release.intake.values import Grid, Row

FIRST = ("Ada", "Bo", "Cy", "Dee", "Eli", "Flo")
LAST = ("Quill", "Renby", "Sotton", "Tarwick", "Ulham", "Vesdale", "Warby", "Yorler", "Zanton", "Morham")
PERSONS = [f"{one} {other}" for other in LAST for one in FIRST]
TEAMS = [f"{one} {other}" for one in ("Tarn", "Fell", "Moor", "Weir", "Quay") for other in ("Gulls", "Foxes")]


def drafts(cards):
    """Cards from (subset, number, subjects), all on one sheet."""
    account = Account(Grid(file="list.csv", sheet="", rows=(), last=0), "checklist")
    return [
        Draft(
            section=subset,
            key=subset.casefold(),
            number=number,
            subjects=list(subjects),
            teams=[],
            rookies=[False] * len(subjects),
            print_run=None,
            signed="",
            relic="",
            is_signed=False,
            has_relic=False,
            variation=False,
            redemption=False,
            note="",
            sticker="",
            stars=[""] * len(subjects),
            row=Row(at, (number, *subjects)),
            account=account,
            rungs=[],
        )
        for at, (subset, number, subjects) in enumerate(cards, 2)
    ]


def told(cards, titles=(), teams=()):
    """The signs that cards are misread, in the words of the question."""
    found = misread.doubts(drafts(cards), is_team=set(teams).__contains__, titles=list(titles))
    return [one.why for one in found]


def base(number=60, *, start=1):
    """Numbered cards of one set, a person each."""
    return [("Base", str(start + i), (PERSONS[i % 60],)) for i in range(number)]


def inserts(name, prefix, number=10):
    """Cards of the first persons under another name and other numbers."""
    return [(name, f"{prefix}{i + 1}", (PERSONS[i],)) for i in range(number)]


PAIRS = [("Twins", f"T{i + 1}", (PERSONS[i], PERSONS[-1 - i])) for i in range(10)]
SOUND = {
    "a base set": base(),
    "a base set with inserts": [*base(), *inserts("Quay Lights", "QL"), *PAIRS],
    "inserts of one person": [*base(30), *(("The Run", f"R{i + 1}", ("Ada Quill",)) for i in range(30))],
    "cards of one person alone": [("Base", str(i + 1), ("Ada Quill",)) for i in range(40)],
    "the same persons and numbers in a small set again": [
        *base(),
        *(("Mirror", n, s) for _, n, s in base(20)),
    ],
    "autographs with the numbers of the base set": [*base(), *(("Inked", n, s) for _, n, s in base())],
    "ten cards each of six persons": [("Base", str(i + 1), (PERSONS[i % 6],)) for i in range(60)],
    "two hundred cards of sixty persons": [("Base", str(i + 1), (PERSONS[i % 60],)) for i in range(200)],
    "persons who stand twice": [*base(40), *base(10, start=41)],
}


@pytest.mark.parametrize("cards", SOUND.values(), ids=SOUND)
def test_sound_lists_are_taken(cards):
    titles = [f"Tide 2031 {PERSONS[i]} #{i + 1} sold" for i in range(20)]
    assert told(cards, titles if len(cards) > 50 else ()) == []


def test_teams_are_no_persons():
    cards = [("Base", str(i + 1), (TEAMS[i % 10],)) for i in range(60)]
    assert told(cards, teams=TEAMS)[0] == "Where persons should be, teams are"
    assert told(cards) == ["The same few names stand on card after card of a subset"]


def test_teams_are_no_subsets():
    cards = [(TEAMS[i % 10], str(i + 1), (PERSONS[i],)) for i in range(60)]
    assert told(cards, teams=TEAMS) == ["Where subsets should be, teams are"]


def test_a_number_is_one_card_s():
    cards = [("Base", str(i % 15 + 1), (PERSONS[i],)) for i in range(60)]
    assert told(cards) == ["The same numbers stand in one subset with different persons"]


def test_parallels_are_no_subsets():
    cards = [(name, number, who) for name in ("-", "Plum", "Rust") for _, number, who in base(30)]
    assert told(cards) == ["Most subsets hold the same numbers and persons, as parallels of one do"]


def test_a_team_behind_each_person_is_no_second_person():
    cards = [("Base", str(i + 1), (PERSONS[i], TEAMS[i % 10])) for i in range(60)]
    assert told(cards) == ["The same few names stand second on card after card of a subset"]


def test_persons_are_no_subsets():
    cards = [(PERSONS[i], str(i + 1), ("Base",)) for i in range(60)]
    assert "There are nearly as many subsets as cards" in told(cards)


def test_titles_may_run_a_name_together():
    """Korean names have no blank in a title; a list may have given name and family in columns."""
    given = ["아라", "서아", "마루", "도윤", "이솔", "한결"]
    families = "양신문오차유고손전하"
    people = [f"{one} {family}" for family in families for one in given]
    cards = [("Base", str(i + 1), (name,)) for i, name in enumerate(people)]
    titles = [f"Tide 2031 {''.join(reversed(name.split()))} base" for name in people[:20]]
    assert told(cards, titles) == []


def test_titles_name_the_persons_and_their_numbers():
    others = [f"Tide 2031 Gil Harrowden #{i} mint" for i in range(20)]
    assert told(base(), others) == ["The sold titles name other persons"]
    shifted = [f"Tide 2031 {PERSONS[i]} #{i + 30} mint" for i in range(20)]
    assert told(base(), shifted) == ["The sold titles give these persons other numbers"]
    serials = [f"Tide 2031 {PERSONS[i]} #{i + 30}/99 mint" for i in range(20)]
    assert told(base(), serials) == []


def test_a_list_that_is_held_back_is_asked_about_and_an_answer_brings_it(intake, table, words):
    """The only column of names holds ten names again and again, as teams would."""
    from dataclasses import replace

    content = "No.,Player\n" + "".join(f"{i + 1},{TEAMS[i % 10]}\n" for i in range(40))
    result = intake(("list.csv", content))
    assert table("checklist.csv") == ""
    (asked,) = [one for one in result.questions if one.topic == "list"]
    assert asked.choices == ("as read", "left out")
    assert len(result.set_aside) >= 1
    season = replace(words, answers={asked.id: "as read"})
    intake(("list.csv", content), season=season)
    assert len(table("checklist.csv").splitlines()) == 41


def test_a_mark_is_no_name(intake, table):
    """A cell of a person holds the mark of another column."""
    rows = [f"{i + 1},{name},Tarn Gulls\n" for i, name in enumerate(PERSONS[:20])]
    rows[4] = "5,x / Bo Renby,Tarn Gulls\n"
    result = intake(("list.csv", "No.,Player,Team\n" + "".join(rows)))
    assert "5" not in [row.split(",")[2] for row in table("checklist.csv").splitlines()]
    assert any("a mark or a number stands where a name should" in one.why for one in result.set_aside)


def test_cards_before_missed_headings_are_named_by_nobody(intake, table):
    """Numbers begin anew twice under no heading at all, so that 'Base' would be a guess."""
    content = "No.,Player\n" + "".join(
        f"{prefix}{i + 1},{PERSONS[at + i]}\n"
        for at, prefix in ((0, ""), (20, "QL"), (40, "RS"))
        for i in range(8)
    )
    result = intake(("list.csv", content))
    assert table("checklist.csv") == ""
    assert sum("no heading names its subset" in one.why for one in result.set_aside) == 8
