"""Checklists in layouts that nobody announced, each with the facts that a person reads from it."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from rating.release.intake import TeamWords

NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")
TEAMS = ("Tarn Otters", "Fell Herons", "Moor Rooks")


@pytest.fixture
def cards(table):
    """The checklist's rows, as dicts."""
    return lambda: list(csv.DictReader(io.StringIO(table("checklist.csv"))))


@pytest.fixture
def ladder(table):
    """The rows of parallels.csv, as tuples."""
    return lambda: [tuple(row.values()) for row in csv.DictReader(io.StringIO(table("parallels.csv")))]


@pytest.fixture
def league(words):
    """A season with three teams."""
    codes = ("TO", "FH", "MR")
    teams = tuple(TeamWords(name=name, code=code) for name, code in zip(TEAMS, codes, strict=True))
    return replace(words, teams=teams)


def picked(rows, *columns):
    """The values of some columns, a tuple a row."""
    return [tuple(row[column] for column in columns) for row in rows]


def base(count=6):
    """Number, name and team of a base set."""
    return [(str(i + 1), NAMES[i % 6], TEAMS[i % 3]) for i in range(count)]


BASE = [(number, name, team) for number, name, team in base()]


@pytest.mark.parametrize(
    "head", ["Zug,Wer,Wo\n", "", "Col 1,Col 2,Col 3\n", "Info,Info,Info\n", "Numéro,Joueur,Équipe\n"]
)
def test_columns_are_told_by_their_contents(intake, cards, league, head):
    """Unknown, missing, coded, repeated and foreign headings are no hindrance."""
    intake(("list.csv", head + "".join(f"{','.join(row)}\n" for row in BASE)), season=league)
    assert picked(cards(), "number", "subjects", "teams") == BASE


def test_a_column_that_counts_rows_is_no_card_number(intake, cards, league):
    """The numbers of the cards have letters, or begin again."""
    rows = [f"{i + 1},B{number},{name},{team}\n" for i, (number, name, team) in enumerate(BASE)]
    intake(("list.csv", "".join(rows)), season=league)
    assert [one["number"] for one in cards()] == ["B1", "B2", "B3", "B4", "B5", "B6"]


@pytest.mark.parametrize(
    "line",
    [
        "{0}. {1} ({2})",
        "#{0} {1}, {2}",
        "No. {0}) {1} / {2}",
        "{0} – {1} – {2}®",
        "{0} {1} {2}",
        "{0} | {1} | {2}",
    ],
)
def test_a_card_a_line_is_read_however_it_is_written(intake, cards, league, line):
    """Number, name and team are parted by what all lines have in common."""
    text = "BASE\n" + "".join(f"{line.format(*row)}\n" for row in base(12))
    intake(("list.txt", text), season=league)
    assert picked(cards(), "number", "subjects", "teams") == base(12)


def test_cards_that_run_on_in_a_paragraph_are_parted(intake, cards, league):
    """Lines that were wrapped are joined again."""
    items = "; ".join(f"{number} {name}, {team}" for number, name, team in base(12))
    wrapped, line = [], ""
    for word in items.split(" "):
        if len(line) + 1 + len(word) > 70:
            wrapped.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    intake(("list.txt", "BASE\n" + "\n".join([*wrapped, line]) + ".\n"), season=league)
    assert picked(cards(), "number", "subjects", "teams") == base(12)


@pytest.mark.parametrize(
    "written", ["Skelwith, Pell", "SKELWITH Pell", "Pell Skelwith (RC)", "Pell Skelwith [R]"]
)
def test_names_come_out_forename_first_and_without_marks(intake, cards, written):
    """Whatever order and marks the maker likes."""

    def form(name):
        first, last = name.split()
        return written.replace("SKELWITH", last.upper()).replace("Skelwith", last).replace("Pell", first)

    rows = "".join(f'{number},"{form(name)}",{team}\n' for number, name, team in BASE)
    intake(("list.csv", "Card,Player,Team\n" + rows))
    assert [one["subjects"] for one in cards()] == list(NAMES)
    assert {one["rookie"] for one in cards()} == {"yes" if "R" in written[-3:] else ""}


@pytest.mark.parametrize(
    "form",
    [lambda t: t.split()[1], lambda t: t.split()[0], lambda t: f"{t}™", lambda t: t[0] + t.split()[1][0]],
)
def test_teams_are_known_by_a_part_of_their_names(intake, cards, league, form):
    """Nickname, city, a trade mark behind it, the code."""
    rows = "".join(f"{number},{name},{form(team)}\n" for number, name, team in BASE)
    intake(("list.csv", "Card,Player,Team\n" + rows), season=league)
    assert [one["teams"] for one in cards()] == [team for _, _, team in BASE]


def test_parts_of_the_base_set_are_no_subsets(intake, cards, league):
    """Their numbers go on; a subset's heading is written as the first one is."""
    text = "=== Base === - 6 cards\nVeterans\n"
    text += "".join(f"{number}. {name} ({team})\n" for number, name, team in BASE[:3])
    text += "Old Masters\n" + "".join(f"{number}. {name} ({team})\n" for number, name, team in BASE[3:])
    text += "=== Long Shadows === - 2 cards\n7. Ida Oxley (Moor Rooks)\n8. Cy Fenwick (Moor Rooks)\n"
    intake(("list.txt", text), season=league)
    assert [one["subset"] for one in cards()] == ["Base"] * 6 + ["Long Shadows"] * 2
    assert [one["kind"] for one in cards()] == ["base"] * 6 + ["insert"] * 2


def test_blocks_beside_each_other_follow_one_on_the_other(intake, cards, league):
    """Each with its heading and its columns."""
    left = [["BASE", "", ""], ["Nr", "Who", "Where"], *map(list, BASE)]
    right = [["HARBOUR INK (3 cards)", "", ""], ["Nr", "Who", "Where"]]
    right += [[f"HI-{i + 1}", NAMES[i], TEAMS[i % 3]] for i in range(3)]
    right += [["", "", ""]] * (len(left) - len(right))
    rows = [",".join([*a, "", *b]) for a, b in zip(left, right, strict=True)]
    intake(("list.csv", "\n".join(rows) + "\n"), season=league)
    assert picked(cards(), "subset", "number") == [
        *(("Base", number) for number, _, _ in BASE),
        *(("Harbour Ink", f"HI-{i}") for i in (1, 2, 3)),
    ]


def test_a_subset_that_stands_in_the_first_row_alone_holds_below(intake, cards, league, workbook):
    """Merged or not, to the next one."""
    rows = [["Line", "Set", "No.", "Player", "Team"]]
    rows += [["2031 Fell", "Base" if i == 0 else None, i + 1, NAMES[i], TEAMS[i % 3]] for i in range(6)]
    rows += [
        ["2031 Fell", "Deck Hands" if i == 0 else None, f"DH{i + 1}", NAMES[i], TEAMS[0]] for i in range(3)
    ]
    intake(("list.xlsx", workbook({"Cards": rows})), season=league)
    assert [one["subset"] for one in cards()] == ["Base"] * 6 + ["Deck Hands"] * 3


LEGEND = """\
Base: base cards
Steady Hands: autographs, signed on card
Worn Well: memorabilia cards, not from any particular game or event
Base Variations: base cards, same numbers as the base set with another picture
"""


def test_a_legend_says_what_subsets_are(intake, cards, league):
    """In a file of its own, before what a name sounds like."""
    text = "".join(f"{number}. {name} ({team})\n" for number, name, team in BASE)
    listed = f"BASE\n{text}\nSTEADY HANDS\nSH-1. Ida Oxley (Moor Rooks)\nSH-2. Zeb Merrow (Tarn Otters)\n"
    listed += "\nWORN WELL\nWW-1. Ida Oxley (Moor Rooks)\nWW-2. Zeb Merrow (Tarn Otters)\n"
    listed += "\nBASE VARIATIONS\n3. Ida Oxley (Moor Rooks)\n"
    intake(("list.txt", listed), ("key.txt", LEGEND), season=league)
    told = {one["subset"]: picked([one], "kind", "signed", "relic", "variation")[0] for one in cards()}
    assert told == {
        "Base": ("base", "", "", ""),
        "Steady Hands": ("autograph", "card", "", ""),
        "Worn Well": ("relic", "", "unattributed", ""),
        "Base Variations": ("base", "", "", "yes"),
    }


def test_sentences_below_the_list_speak_of_single_cards(intake, cards, league):
    """By the numbers of a subset, or by a mark."""
    text = "BASE SET\n" + "".join(
        f"{number}. {name}{'*' if i > 3 else ''} ({team})\n" for i, (number, name, team) in enumerate(BASE)
    )
    text += "\nHARBOUR INK\nHI-1. Ida Oxley (Moor Rooks)\nHI-2. Zeb Merrow (Tarn Otters)\n\n"
    text += "Rookies are marked *\nNumbers 2 and 3 of the base set are limited to 99 copies.\n"
    text += "Harbour Ink HI-2 must be redeemed.\nPage 1 of 1\n"
    result = intake(("list.txt", text), season=league)
    assert [one["rookie"] for one in cards()] == ["", "", "", "", "yes", "yes", "", ""]
    assert [one["print_run"] for one in cards()] == ["", "99", "99", "", "", "", "", ""]
    assert [one["redemption"] for one in cards()] == [""] * 7 + ["yes"]
    assert result.set_aside == ()


def test_a_row_a_card_and_parallel_is_folded(intake, cards, ladder, league):
    """The parallel in a column of its own, or behind the subset's name."""
    runs = {"-": "", "Amber": "/75", "Mist": ""}
    columns = "".join(
        f"Base,{number},{name},{team},{parallel},{run}\n"
        for number, name, team in BASE
        for parallel, run in runs.items()
    )
    intake(("list.csv", "Set,No,Player,Team,Edition,Run\n" + columns), season=league)
    assert picked(cards(), "number", "print_run") == [(number, "") for number, _, _ in BASE]
    assert ladder() == [("Base", "Amber", "75", ""), ("Base", "Mist", "", "")]


def test_labels_of_subset_and_parallel_are_parted(intake, cards, ladder, league):
    """'Base - Amber' is a parallel of Base, since its cards are all there."""
    labels = {"Base": "", "Base - Amber": "/75"}
    rows = "".join(
        f"{label},{number},{name},{team},{run}\n"
        for label, run in labels.items()
        for number, name, team in BASE
    )
    intake(("list.csv", "Set,No,Player,Team,Run\n" + rows), season=league)
    assert {one["subset"] for one in cards()} == {"Base"}
    assert len(cards()) == 6
    assert ladder() == [("Base", "Amber", "75", "")]


@pytest.mark.parametrize(
    "listed",
    [
        "Base: Mist (unnumbered); Amber (/75, Hobby only); Wire 1/1\n",
        "Base - Mist, Amber (numbered to 75, only in Hobby), Wire one of one\n",
        "BASE\nMist; Amber (75 copies, Hobby only); Wire: one of one\n",
        "What,Which,How many,Where\nBase,Mist,unnumbered,\n,Amber,/75,Hobby only\n,Wire,1/1,\n",
    ],
)
def test_lists_of_parallels_are_read_as_text_and_as_tables(intake, ladder, league, listed):
    """Behind or below the name of the subset, or a row each without known headings."""
    rows = "Card,Player,Team\n" + "".join(f"{','.join(row)}\n" for row in BASE)
    again = (
        listed.replace("BASE\n", "FELL WALKERS\n")
        .replace("Base", "Fell Walkers")
        .removeprefix("What,Which,How many,Where\n")
    )
    rows += "\nFELL WALKERS\nFW-1,Ida Oxley,Moor Rooks\n"
    intake(
        ("list.csv", rows),
        ("2031 Fell parallels.txt", "2031 Fell: parallels\n" + listed + again),
        season=league,
    )
    assert ladder() == [
        (subset, name, run, formats)
        for subset in ("Base", "Fell Walkers")
        for name, run, formats in (("Mist", "", ""), ("Amber", "75", "hobby"), ("Wire", "1", ""))
    ]


def test_two_people_in_two_rows_are_one_card(intake, cards, league):
    """The number stands twice; their teams go with them."""
    rows = "".join(f"{','.join(row)}\n" for row in BASE)
    pairs = "TM-1,Ida Oxley,Moor Rooks\nTM-1,Una Tarnhowes,Fell Herons\n"
    pairs += "TM-2,Zeb Merrow,Tarn Otters\nTM-2,Cy Fenwick,Moor Rooks\n"
    intake(("list.csv", f"Card,Player,Team\nBASE\n{rows}TWIN MOORINGS\n{pairs}"), season=league)
    assert picked(cards()[6:], "number", "subjects", "teams") == [
        ("TM-1", "Ida Oxley / Una Tarnhowes", "Moor Rooks / Fell Herons"),
        ("TM-2", "Zeb Merrow / Cy Fenwick", "Tarn Otters / Moor Rooks"),
    ]


def test_teams_of_pairs_go_by_what_the_list_knows_of_the_persons(intake, cards, league):
    """A pair that nobody knows is asked about where the list mixes the order, and its teams stay blank."""
    rows = "".join(f"{','.join(row)}\n" for row in BASE)
    pairs = "TM-1,Una Tarnhowes / Ida Oxley,Moor Rooks / Fell Herons\n"
    pairs += "TM-2,Nye Holt / Jo Lund,Fell Herons / Moor Rooks\n"
    result = intake(("list.csv", f"Card,Player,Team\nBASE\n{rows}TWIN MOORINGS\n{pairs}"), season=league)
    assert [one["teams"] for one in cards()[6:]] == ["Fell Herons / Moor Rooks", ""]
    (question,) = [one for one in result.questions if one.topic == "teams"]
    assert question.choices == ("Fell Herons / Moor Rooks", "Moor Rooks / Fell Herons")
    answered = replace(league, answers={question.id: "Moor Rooks / Fell Herons"})
    again = intake(("list.csv", f"Card,Player,Team\nBASE\n{rows}TWIN MOORINGS\n{pairs}"), season=answered)
    assert cards()[7]["teams"] == "Moor Rooks / Fell Herons"
    assert not [one for one in again.questions if one.topic == "teams"]


def test_marks_in_a_column_that_nobody_knows_are_asked_about(intake, cards, league):
    """The answer fills the column."""
    rows = "".join(f"{number},{name},{team},{'x' if number == '2' else ''}\n" for number, name, team in BASE)
    result = intake(("list.csv", "No,Player,Team,Zorp\n" + rows), season=league)
    (question,) = [one for one in result.questions if one.topic == "column"]
    assert (question.about, question.cells) == ("Zorp", ("D3",))
    assert {one["redemption"] for one in cards()} == {""}
    intake(
        ("list.csv", "No,Player,Team,Zorp\n" + rows),
        season=replace(league, answers={question.id: "redemption"}),
    )
    assert [one["number"] for one in cards() if one["redemption"]] == ["2"]


def test_the_base_set_goes_by_the_name_that_a_sell_sheet_gives_it(intake, cards, league):
    """Its numbers and name alone would not tell."""
    text = "FOUNDATION\n" + "".join(f"F-{number}. {name} ({team})\n" for number, name, team in BASE)
    text += "\nLAMPLIT\n" + "".join(f"L-{number}. {name} ({team})\n" for number, name, team in BASE)
    sheet = "FELL PRESS 2031 FELL\n\nHobby boxes hold 10 packs of 8 cards. Out on June 3, 2031.\n"
    sheet += "The base set, called Foundation, has 6 cards. Lamplit: 6 insert cards.\n"
    intake(("list.txt", text), ("sheet.txt", sheet), season=league)
    assert {one["subset"]: one["kind"] for one in cards()} == {"Foundation": "base", "Lamplit": "insert"}


@pytest.mark.parametrize("end", ["\r", "\r\n", "\u2028", "\v", "\x85"])
def test_every_line_end_ends_a_line(intake, cards, league, end):
    """Those of old machines and of word processors too."""
    content = end.join(["Card,Player,Team", *map(",".join, BASE)]) + end
    intake(("list.csv", content), season=league)
    assert picked(cards(), "number", "subjects", "teams") == BASE


def test_a_quote_that_never_closes_swallows_no_other_row(intake, cards, league):
    """The rows after it are read as they stand."""
    rows = [",".join(row) for row in BASE]
    rows[1] = rows[1].replace("Una", '"Una')
    intake(("list.csv", "Card,Player,Team\n" + "\n".join(rows) + "\n"), season=league)
    assert [one["subjects"] for one in cards()] == list(NAMES)


@pytest.mark.parametrize(
    ("name", "encoding"), [("남해든", "cp949"), ("Dvořil Věra", "cp1250"), ("Егор Степняк", "cp1251")]
)
def test_lines_in_another_encoding_than_the_rest_are_read(intake, cards, league, name, encoding):
    """What letters the sound lines have tells what the others are."""
    sound = "".join(
        f"{i + 1},{name} {'abcdef'[i] if ' ' in name else ''}".strip() + f",{TEAMS[i % 3]}\n"
        for i in range(4)
    )
    content = f"Card,Player,Team\n{sound}".encode() + f"5,{name},{TEAMS[1]}\n".encode(encoding)
    intake(("list.csv", content), season=league)
    assert cards()[-1]["subjects"] == name


def test_prices_and_odds_beside_names_are_no_cards(intake, cards, league):
    """Lists of offers and of odds have numbers and words too."""
    offers = "1,Tarn Otters,$12.00\n2,Fell Herons,$14.00\n3,Moor Rooks,$9.00\n4,Tarn Otters,$8.00\n"
    intake(
        ("list.csv", "Card,Player,Team\n" + "".join(f"{','.join(row)}\n" for row in BASE)),
        ("offers.csv", offers),
        season=league,
    )
    assert len(cards()) == 6
