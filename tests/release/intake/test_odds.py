"""Odds in several layouts become packs per copy; what is converted says so, what is misprinted is kept."""

from __future__ import annotations

import pytest

from rating.release.intake.odds import stated_in

CARDS = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Una Tarnhowes,Divers,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
WS-2,Una Tarnhowes,Divers,Wharf Signatures
"""
PARALLELS = "Set,Parallel,Print Run\nBase,Manila,45\nBase,Sisal,\nWharf Signatures,Wire,9\n"


@pytest.fixture
def listed(intake):
    """A release whose checklist is taken in."""
    intake(("cards.csv", CARDS), ("parallels.csv", PARALLELS))
    return intake


@pytest.mark.parametrize(
    ("cell", "packs"),
    [
        ("1:24", "24"),
        ("1 : 24", "24"),
        ("1:1,431", "1431"),
        ("1:1.431", "1431"),
        ("1:2.5", "2.5"),
        ("1 in 12", "12"),
        ("one in 12", "12"),
        ("1 in every 12 packs", "12"),
        ("1/12", "12"),
        ("24", "24"),
        ("approx. 1:300", "300"),
    ],
)
def test_odds_are_read_however_they_are_written(cell, packs):
    """The N of one in N packs."""
    found = stated_in(cell)
    assert (str(found.number), found.per) == (packs, "pack")


@pytest.mark.parametrize("cell", ["-", "–", "—", "n/a", "", " "])
def test_a_dash_states_that_it_is_not_in_the_format(cell):
    """No odds, and no problem."""
    assert stated_in(cell) is None


@pytest.mark.parametrize("cell", ["often", "1:0", "1:", "see box"])
def test_what_is_neither_odds_nor_a_dash_is_refused(cell):
    """It becomes a problem of its row."""
    with pytest.raises(ValueError):
        stated_in(cell)


def test_a_column_a_format(listed, table):
    """Subsets and parallels take the checklist's names, numbered-to columns are compared with it."""
    content = """\
Stated odds, average over the print run
Card,Numbered to,HOBBY,RETAIL
Base Manila,45,"1:1,431",-
BASE SISAL,,1 in 3,1:11
Wharf Signatures,,1:15,1:217
Wharf Signatures - Wire,9,1:190,—
"""
    result = listed(("odds.csv", content))
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\n"
        "Base,Manila,hobby,1431\n"
        "Base,Sisal,hobby,3\n"
        "Base,Sisal,retail,11\n"
        "Wharf Signatures,,hobby,15\n"
        "Wharf Signatures,,retail,217\n"
        "Wharf Signatures,Wire,hobby,190\n"
    )
    assert result.problems == ()


def test_a_row_a_format_with_the_parallel_in_a_column(listed, table):
    """'Base version' is the blank parallel."""
    content = """\
Set;Parallel;Format;Odds
Base;Manila;Hobby;1:30
Base;Manila;Retail;1:300
Wharf Signatures;Base version;Hobby;1:15
"""
    listed(("odds.csv", content))
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\n"
        "Base,Manila,hobby,30\n"
        "Base,Manila,retail,300\n"
        "Wharf Signatures,,hobby,15\n"
    )


def test_odds_per_box_and_case_are_converted_and_say_so(listed, release, table):
    """14 packs in a box, 10 boxes in a case: one in 2 boxes is one in 28 packs."""
    (release / "release.toml").write_text(
        'format = 1\ntitle = "C"\nmaker = "B"\nline = "C"\nheadline = "hobby"\n'
        "[formats.hobby]\ncards_per_pack = 8\npacks_per_box = 14\nboxes_per_case = 10\n",
        encoding="utf-8",
    )
    rows = [
        "Card,Hobby",
        "Base Manila,1 in 2 boxes",
        "Wharf Signatures,2 per box",
        "Wharf Signatures Wire,1 per case",
    ]
    listed(("odds.csv", "\n".join(rows)))
    packing = "14 packs in a box, 10 boxes in a case"
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy,note\n"
        "Base,Manila,hobby,28,stated per box as 1 in 2 boxes; 14 packs in a box\n"
        "Wharf Signatures,,hobby,7,stated per box as 2 per box; 14 packs in a box\n"
        f'Wharf Signatures,Wire,hobby,140,"stated per case as 1 per case; {packing}"\n'
    )


def test_odds_per_box_wait_for_the_packing(listed):
    """Without packs in a box the row is a problem, not a guess."""
    result = listed(("odds.csv", "Card,Hobby\nBase Manila,1 in 2 boxes\nWharf Signatures,1:15\n"))
    assert [(one.code, one.row) for one in result.problems] == [("unknown-packing", 2)]


def test_a_misprint_is_kept_as_stated(listed, table):
    """Manila /45 cannot fall in every second pack of a large run; finding that is another's work."""
    listed(("odds.csv", "Card,Hobby\nBase Manila,1:2\nBase Sisal,1:3\n"))
    assert "Base,Manila,hobby,2\n" in table("odds.csv")


def test_unknown_names_are_told_and_near_ones_asked_about(listed, table):
    """'Wharf Signature' is near; 'Harbour Lights' is unknown and stands as written."""
    result = listed(("odds.csv", "Card,Hobby\nWharf Signatrues,1:15\nHarbour Lights,1:20\n"))
    assert [one.what for one in result.questions] == [
        "'Wharf Signatrues': the checklist has 'Wharf Signatures'. Are they the same?"
    ]
    assert [one.code for one in result.problems] == ["unknown-subset"]
    assert "Harbour Lights,,hobby,20\n" in table("odds.csv")


def test_a_run_that_differs_from_the_checklist_is_told(listed):
    """The checklist's is kept."""
    result = listed(("odds.csv", "Card,Numbered to,Hobby\nBase Manila,50,1:30\nBase Sisal,,1:3\n"))
    assert [one.code for one in result.problems] == ["run-differs"]


def test_sections_and_two_formats_on_two_sheets(listed, workbook, table):
    """A sheet a format; the subset is a heading over its parallels."""
    rows = [["Odds per pack"], ["Parallel", "Odds"], ["Base"], ["Manila /45", "1:30"], ["Sisal", "1:3"]]
    rows += [["Wharf Signatures"], ["Base version", "1:15"], ["Wire /9", "1:190"]]
    listed(
        (
            "odds.xlsx",
            workbook(
                {
                    "Hobby": rows,
                    "Retail": [["Parallel", "Odds"], ["Base"], ["Sisal", "1:9"], ["Manila", "1:99"]],
                }
            ),
        )
    )
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\n"
        "Base,Manila,hobby,30\n"
        "Base,Sisal,hobby,3\n"
        "Wharf Signatures,,hobby,15\n"
        "Wharf Signatures,Wire,hobby,190\n"
        "Base,Sisal,retail,9\n"
        "Base,Manila,retail,99\n"
    )


# ---------------------------------------------------------------- lines, lists and sentences
CORDAGE = """\
subset,kind,number,subjects
Base Set,base,1,Pell Skelwith
Wharf Signatures,autograph,WS-1,Pell Skelwith
Storm Heads,insert,SH-1,Una Tarnhowes
Tarred Rope Memorabilia,relic,TR-1,Una Tarnhowes
"""
LADDERS = """\
subset,parallel,print_run
Base Set,Manila,45
Base Set,Sisal,
Wharf Signatures,Wire,9
"""


def odds_of(*files, checklist=True, formats=()):
    """What files of odds say, as lines of subset, parallel, format and packs; and all that was found."""
    from rating.release.checklist import CHECKLIST, PARALLELS
    from rating.release.intake import grid, odds
    from rating.release.intake.values import SeasonWords

    cards = CHECKLIST.parse(_padded(CORDAGE, CHECKLIST))[0] if checklist else ()
    ladders = PARALLELS.parse(_padded(LADDERS, PARALLELS))[0] if checklist else ()
    grids = [one for name, text in files for one in grid.read_data(text.encode(), name)]
    found = odds.read(grids, SeasonWords(), cards=cards, parallels=ladders, formats=formats)
    for account in found.accounts:
        account.tally()
    return [f"{one.subset}|{one.parallel}|{one.format}|{one.packs_per_copy}" for one in found.odds], found


def _padded(text, table):
    """A table with the columns that it leaves out, blank."""
    rows = [line.split(",") for line in text.splitlines()]
    return table.text_of(
        [tuple(dict(zip(rows[0], row, strict=True)).get(n, "") for n in table.names) for row in rows[1:]]
    )


EXPECTED = [
    "Base Set|Manila|quay|12",
    "Base Set|Manila|wharf-side|1431",
    "Base Set|Sisal|quay|3",
    "Wharf Signatures||quay|20",
    "Wharf Signatures|Wire|wharf-side|190",
    "Storm Heads||quay|3",
    "Tarred Rope Memorabilia||quay|1",
]

LINES = """\
Brackwater 2031 Cordage - stated odds

Base
Manila: Quay 1:12, Wharf Side 1:1,431
Sisal: Quay 1:3

Wharf Sigs
Base version: Quay 1:20
Wire: Wharf Side 1:190

Storm Heads
Base version: Quay 1:3

Tarred Rope Mem
Base version: Quay 1:1

Odds are per pack over the whole run, not for a single box.
"""
SENTENCES = """\
How often 2031 Cordage cards fall

Manila parallels of Base Set are found in one in 12 QUAY packs and one in 1431
WHARF SIDE packs. Sisal parallels of Base Set come every third QUAY pack.

Wharf Sigs cards turn up in one in twenty QUAY packs. Wire parallels of
Wharf Sigs fall in one in 190 WHARF SIDE packs.

Storm Heads cards turn up in every third QUAY pack.

Tarred Rope Mem cards fall in every QUAY pack.
"""
LISTS = """\
Cordage odds per pack

QUAY
Base: Manila 1:12; Sisal 1:3
Wharf Sigs: Common 1:20
Storm Heads: Common 1:3
Tarred Rope Mem: Common 1:1

WHARF SIDE
Base: Manila 1:1,431
Wharf Sigs: Wire 1:190
"""
GRID = """\
X1;X2;X3;QUAY;WHARF SIDE
Base;Manila;/45;1:12;1:1,431
;Sisal;;1:3;-
Wharf Sigs;;;1:20;n/a
;Wire;/9;-;1:190
Storm Heads;;;1:3;-
Tarred Rope Mem;;;1:1;-
"""
LONG = """\
Zestaw,Wersja,Opakowanie,Szansa
Base,Manila,Quay,12
Base,Manila,Wharf Side,1431
Base,Sisal,Quay,3
Wharf Sigs,Wharf Sigs,Quay,20
Wharf Sigs,Wire,Wharf Side,190
Storm Heads,Storm Heads,Quay,3
Tarred Rope Mem,Tarred Rope Mem,Quay,1
"""
JOINED = """\
Cordage - stated odds
Card,Quay,Wharf Side
Base – Manila,12,1431
Base – Sisal,3,
Wharf Sigs – (base),20,n/a
Wharf Sigs – Wire,–,190
Storm Heads – (base),3,
Tarred Rope Mem,1,
"""


@pytest.mark.parametrize("text", [LINES, SENTENCES, LISTS, GRID, LONG, JOINED])
def test_the_same_odds_in_six_layouts(text):
    """Names shorter than the checklist's take its spelling; a denied box converts nothing."""
    found, whole = odds_of(("odds.txt", text))
    assert sorted(found) == sorted(EXPECTED)
    assert whole.questions == []


SIDE_BY_SIDE = """\
Odds (Hobby / Retail)
Base Manila 1:12 / 1:30
Base Sisal 1:3 / 1:8
Wharf Signatures 1:24 / 1:90
"""
UNDER_HEADINGS = """\
Wahrscheinlichkeiten je Packung
Hobby
Base Manila 1:12
Base Sisal 1:3
Wharf Signatures 1:24
Retail
Base Manila 1:30
Base Sisal 1:8
Wharf Signatures 1:90
"""
FORMATS_FIRST = """\
Hobby odds: Manila (1:12), Sisal (1:3), Wharf Signatures (1:24)
Retail odds: Manila (1:30), Sisal (1:8), Wharf Signatures (1:90)
"""
ONE_TEXT = """\
On average you will find a Manila parallel in every twelfth hobby pack and in every thirtieth retail pack. \
A Sisal parallel falls in one of three hobby packs and one in 8 retail packs. \
Wharf Signatures: one in 24 hobby packs, one in 90 retail packs.
"""
COLONS = """\
Odds
Hobby
Manila: 1:12
Sisal: 1:3
Wharf Signatures: 1:24
Retail
Manila: 1:30
Sisal: 1:8
Wharf Signatures: 1:90
"""
SECTIONS = """\
Odds;Hobby;Retail
Base Set;;
Manila;12;30
Sisal;3;8
Wharf Signatures;24;90
"""


@pytest.mark.parametrize("text", [SIDE_BY_SIDE, UNDER_HEADINGS, FORMATS_FIRST, ONE_TEXT, COLONS, SECTIONS])
def test_formats_that_nobody_named_before(text):
    """Usual words for formats are known without a sell sheet."""
    found, _ = odds_of(("odds.txt", text))
    assert sorted(found) == [
        "Base Set|Manila|hobby|12",
        "Base Set|Manila|retail|30",
        "Base Set|Sisal|hobby|3",
        "Base Set|Sisal|retail|8",
        "Wharf Signatures||hobby|24",
        "Wharf Signatures||retail|90",
    ]


def test_a_sheet_a_format_is_named_by_the_end_of_its_title():
    """The words over the columns say nothing."""
    quay = "Cordage - QUAY\nval1,val2\nBase: Manila,1:12\nBase: Sisal,1:3\n"
    wharf = 'Cordage - WHARF SIDE\nval1,val2\nBase: Manila,"1:1,431"\nWharf Sigs: Wire,1:190\n'
    found, _ = odds_of(("a.csv", quay), ("b.csv", wharf))
    assert found == [
        "Base Set|Manila|quay|12",
        "Base Set|Sisal|quay|3",
        "Base Set|Manila|wharf-side|1431",
        "Wharf Signatures|Wire|wharf-side|190",
    ]


def test_odds_are_read_without_a_checklist():
    """Subsets and parallels stand as the file has them."""
    found, _ = odds_of(("odds.csv", JOINED), checklist=False)
    assert found[:3] == ["Base|Manila|quay|12", "Base|Manila|wharf-side|1431", "Base|Sisal|quay|3"]
    assert "Wharf Sigs||quay|20" in found


def test_the_same_odds_twice_are_one_and_two_values_are_none():
    """What is stated twice is not written until somebody says which is right."""
    text = "Card,Quay\nBase – Manila,1:12\nBase – Manila,1:12\nBase – Sisal,1:3\nBase – Sisal,1:4\n"
    found, whole = odds_of(("odds.csv", text))
    assert found == ["Base Set|Manila|quay|12"]
    assert [one.why for one in whole.accounts[0].set_aside] == ["the same odds as in row 2"]
    assert [(one.id, one.choices) for one in whole.questions] == [
        ("odds: base set sisal in quay", ("3", "4"))
    ]


def test_a_short_name_that_fits_two_subsets_is_asked_about():
    """Nothing is written meanwhile."""
    from rating.release.checklist import CHECKLIST
    from rating.release.intake.odds.labels import Label, Lines

    rows = "subset,kind,number,subjects\nTide Pool Autos,autograph,1,A B\nTide Pool Relics,relic,1,A B\n"
    line = Lines(CHECKLIST.parse(_padded(rows, CHECKLIST))[0]).line(Label("Tide Pool"))
    assert (line.subset, line.choices) == ("", ("Tide Pool Autos", "Tide Pool Relics"))


@pytest.mark.parametrize(
    ("line", "unit"),
    [
        ("Stated odds, per box", "box"),
        ("Odds are per pack over the whole run, not for a single box.", "pack"),
        ("All odds are averages per pack; no box or case is sure to hold any of these.", "pack"),
        ("They do not say what a box will hold.", None),
        ("Cordage odds", None),
    ],
)
def test_a_unit_holds_unless_a_word_denies_it(line, unit):
    """'Not for a single box' is no unit."""
    from rating.release.intake.odds import unit_in

    assert unit_in(line) == unit


def test_odds_without_a_format_are_asked_about_once():
    """The answer is used for the whole sheet."""
    from rating.release.intake import grid, odds
    from rating.release.intake.values import FormatWords, SeasonWords

    sheet = grid.read_data(b"CORDAGE ODDS\nManila ..... 1:12\nSisal ...... 1:3\n", "list.txt")
    formats = (FormatWords(key="quay"), FormatWords(key="wharf"))
    found = odds.read(sheet, SeasonWords(), formats=formats)
    (question,) = found.questions
    assert (question.id, question.choices, question.cells) == (
        "format of odds: list.txt",
        ("quay", "wharf"),
        ("2", "3"),
    )
    answered = odds.read(sheet, SeasonWords(answers={question.id: "wharf"}), formats=formats)
    assert [(one.subset, one.format) for one in answered.odds] == [("Manila", "wharf"), ("Sisal", "wharf")]


def test_parallels_of_a_subset_that_the_checklist_lacks(listed, table):
    """The document names the subset by itself too, so that what follows the dash is its parallel."""
    listed(
        (
            "odds.csv",
            "Odds,Hobby\nBase - Manila,1:20\nFar Tide,1:30\nFar Tide - Manila,1:99\nFar Tide - Common,1:31\n",
        )
    )
    rows = [line.split(",")[:4] for line in table("odds.csv").splitlines()[1:]]
    assert ["Base", "Manila", "hobby", "20"] in rows
    assert ["Far Tide", "Manila", "hobby", "99"] in rows
    assert not [row for row in rows if "-" in row[0]]


def test_a_ladder_in_a_cell_and_a_heading_that_nobody_knows(intake, table):
    """Names between commas are parallels each, and a first row without a subset and a run is a heading."""
    intake(
        (
            "cards.csv",
            "Steps,No.,Athlete\n"
            + "".join(f'"Manila, Sisal, Wire /5",{n},{who}\n' for n, who in enumerate(PEOPLE, 1)),
        ),
        (
            "steps.csv",
            ",Variation / Parallel,\nBase,Jute,75 copies\nBase,Hemp,15 copies\nBase,Flax,one of one\n",
        ),
    )
    assert [line.split(",")[1:3] for line in table("parallels.csv").splitlines()[1:]] == [
        ["Manila", ""],
        ["Sisal", ""],
        ["Wire", "5"],
        ["Jute", "75"],
        ["Hemp", "15"],
        ["Flax", "1"],
    ]


PEOPLE = ("Pell Skelwith", "Una Tarnhowes", "Ada Quill", "Bram Ostrow", "Cleo Tarn", "Dov Pell", "Eva Rusk")


def test_one_row_a_card_and_parallel_behind_a_column_that_counts_rows(intake, table):
    """The card's own number recurs, the count does not; a dash is the base version."""
    versions = ("-", "Jute", "Hemp")
    rows = [(number, who, one) for one in versions for number, who in enumerate(PEOPLE, 1)]
    lines = "".join(f"{at},{one},{number:03},{who}\n" for at, (number, who, one) in enumerate(rows, 1))
    intake(("cards.csv", lines))
    cards = [line.split(",")[2:4] for line in table("checklist.csv").splitlines()[1:]]
    assert cards == [[f"{number:03}", who] for number, who in enumerate(PEOPLE, 1)]
    assert [line.split(",")[1] for line in table("parallels.csv").splitlines()[1:]] == ["Jute", "Hemp"]


def test_runs_in_columns_of_a_ladder_may_be_said_in_words(intake, table):
    """'one of one' is a run as '1/1' is; a cross is a parallel without one."""
    lines = "".join(f"{at},{who},numbered to 75,x,one of one\n" for at, who in enumerate(PEOPLE, 1))
    intake(("cards.csv", "No.,Athlete,Jute,Hemp,Flax\n" + lines))
    assert [line.split(",")[1:3] for line in table("parallels.csv").splitlines()[1:]] == [
        ["Jute", "75"],
        ["Hemp", ""],
        ["Flax", "1"],
    ]


BY_FORMAT = """\
Odds
Hobby: Manila 1:407, Sisal 1:3, Wharf Signatures 1:1,024
Retail: Manila 1:2,016, Sisal 1:8, Wharf Signatures 1:90
"""
ODDS_BY_FORMAT = """\
Hobby odds: Manila 1:407, Sisal 1:3, Wharf Signatures 1:1,024
Retail odds: Manila 1:2,016, Sisal 1:8, Wharf Signatures 1:90
"""
BY_CARD = """\
Manila: Hobby 1:407, Retail 1:2,016
Sisal: Hobby 1:3, Retail 1:8
Wharf Signatures: Retail 1:90, Hobby 1:1,024
Wire: Hobby 1:190, Retail 1:230
Storm Heads: Hobby 1:3, Retail 1:4
"""


@pytest.mark.parametrize("text", [BY_FORMAT, ODDS_BY_FORMAT, BY_CARD])
def test_odds_in_thousands_stay_whole_between_commas(text):
    """A list of odds in each line, whose parts have a comma between them as well."""
    found, _ = odds_of(("odds.txt", text))
    assert {
        "Base Set|Manila|hobby|407",
        "Base Set|Manila|retail|2016",
        "Base Set|Sisal|hobby|3",
        "Base Set|Sisal|retail|8",
        "Wharf Signatures||hobby|1024",
        "Wharf Signatures||retail|90",
    } <= set(found)


def test_lines_under_each_format_are_no_records():
    """The same cards under three formats are odds, though labels recur as they do in records."""
    odds = {"Hobby": (12, 3, 24), "Retail": (30, 8, 90), "Mega": (20, 5, 60)}
    names = ("Manila", "Sisal", "Wharf Signatures")
    text = "".join(
        f"{form}\n" + "".join(f"{name}: 1:{one}\n" for name, one in zip(names, told, strict=True)) + "\n"
        for form, told in odds.items()
    )
    found, _ = odds_of(("odds.txt", text))
    assert sorted(found) == sorted(
        f"{card}|{form.lower()}|{one}"
        for form, told in odds.items()
        for card, one in zip(("Base Set|Manila", "Base Set|Sisal", "Wharf Signatures|"), told, strict=True)
    )


@pytest.mark.parametrize(
    ("sheet", "column"),
    [
        (
            "Lantern: 12-pack boxes of 8 cards a pack.\nQuay: 6-pack boxes of 6 cards a pack.\n",
            "Lantern (Hobby)",
        ),
        ("LANTERN (HOBBY)\n12 packs per box, 8 cards per pack\n\nQUAY\n6 packs per box\n", "Lantern"),
    ],
)
def test_a_format_explained_in_brackets_is_the_one_without_them(sheet, column, intake, table):
    """'Lantern (Hobby)' is Lantern, as hobby shops sell it."""
    odds = f"Card,{column},Quay\nBase Manila,1:20,1:30\nBase Sisal,1:3,1:8\n"
    result = intake(
        ("cards.csv", CARDS),
        ("parallels.csv", PARALLELS),
        ("sheet.txt", f"2031 WAKE LINE\n\n{sheet}"),
        ("odds.csv", odds),
    )
    assert {line.split(",")[2] for line in table("odds.csv").splitlines()[1:]} == {"lantern", "quay"}
    assert ("formats.lantern.packs_per_box", "12") in {(one.where, one.shown) for one in result.proposals}


@pytest.mark.parametrize("line", ["Pricing", "Box contents", "SRP"])
def test_headings_of_prices_and_contents_name_no_format(line):
    """Though packing stands right below them."""
    from rating.release.intake.formats_said import is_heading

    assert not is_heading(line, ["12 packs per box, 8 cards per pack"])
    assert is_heading("Lantern", ["12 packs per box, 8 cards per pack"])


FOREIGN = """\
Set,Parallel,Print Run
Far Tide,Jute,75
Far Tide,Hemp,
Low Water,Jute,50
Base,Flax,10
"""


def test_parallels_of_a_sheet_whose_subsets_are_mostly_unknown_are_held_back(listed, table):
    """It is of another release, or the checklist is not whole; each unknown one is a problem."""
    before = table("parallels.csv")
    result = listed(("more.csv", FOREIGN))
    assert table("parallels.csv") == before
    assert [(one.code, one.row) for one in result.problems] == [
        ("unknown-subset", 2),
        ("unknown-subset", 3),
        ("unknown-subset", 4),
    ]


def test_parallels_of_one_unknown_subset_are_kept(listed, table):
    """Where most of the sheet's are known, with a remark."""
    listed(("more.csv", "Set,Parallel,Print Run\nBase,Jute,75\nBase,Flax,10\nFar Tide,Jute,75\n"))
    rows = [line.split(",")[:3] for line in table("parallels.csv").splitlines()[1:]]
    assert [row for row in rows if row[1] in {"Jute", "Flax"}] == [
        ["Base", "Jute", "75"],
        ["Base", "Flax", "10"],
        ["Far Tide", "Jute", "75"],
    ]


UNDER_HEADINGS = """\
Packets to one card

                          Lantern Box        Gull Pack
                          -----------        ---------
Shore Main
  Clover                         10               4
  Chalk                           4               3
  Sovereign                      61               .
Low Water
  as it comes                     5               2
  Sovereign                     306               .

A dot: not in that box.
"""


def test_a_second_intake_reads_parallels_under_headings_as_the_first_did(intake, table):
    """By then the ladders are known, and a name on two of them is the one of the heading above."""
    cards = "Set,No.,Player,Team\n" + "".join(
        f"{name},{start}{i + 1},{who} Quill,Tarn Otters\n"
        for name, start in (("Shore Main", ""), ("Low Water", "LW"))
        for i, who in enumerate(("Ada", "Ben", "Cora", "Dan", "Eve", "Finn"))
    )
    intake(("list.csv", cards), ("odds.txt", UNDER_HEADINGS))
    first = table("odds.csv")
    assert "Low Water,Sovereign,lantern,306" in first
    intake(("list.csv", cards), ("odds.txt", UNDER_HEADINGS))
    assert table("odds.csv") == first
