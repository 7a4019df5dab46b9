"""Rows and columns that look like others, each document with the cards that a person reads from it."""

from __future__ import annotations

import pytest

NAMES = (
    "Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick",
    "Ada Holt", "Jo Lund", "Bram Kettlewell", "Wyn Askrigg", "Tess Muker", "Rolf Gunnerside",
)  # fmt: skip
TEAMS = ("Tarn Otters", "Fell Herons", "Moor Rooks")
CODES = ("TOT", "FHE", "MRO")


def _lines(*lines: str) -> str:
    return "\n".join(lines) + "\n"


def _team(at: int) -> str:
    return TEAMS[at % 3]


def test_a_second_person_with_a_code_is_no_legend(read):
    """Rows of code and name alone stand between the rows of cards."""
    codes = [CODES[at % 3] for at in range(12)]
    base = [f"#{at},{code},{name},/99" for at, (code, name) in enumerate(zip(codes, NAMES, strict=True), 1)]
    pairs = [
        line
        for at in range(4)
        for line in (f"#TW-{at + 1},{codes[at]},{NAMES[at]},/10", f",{codes[at + 4]},{NAMES[at + 4]},")
    ]
    key = [f"{code},{team},," for code, team in zip(CODES, TEAMS, strict=True)]
    lines = ["BASE SET,,,", *base, "", "TWO OF A KIND DUALS,,,", *pairs, "", *key]
    got = read("number", "subjects", "teams", a_csv=_lines(*lines))
    assert got[0] == ("1", "Pell Skelwith", "Tarn Otters")
    assert got[12:] == [
        (f"TW-{at + 1}", f"{NAMES[at]} / {NAMES[at + 4]}", f"{_team(at)} / {_team(at + 4)}")
        for at in range(4)
    ]


def test_a_second_person_and_team_may_stand_alone_under_the_first(read):
    base = [f"{at},{name} ({_team(at)}),," for at, name in enumerate(NAMES, 1)]
    pairs = [
        line
        for at in (1, 2, 3, 4)
        for line in (f"TW-{at},{NAMES[at]} ({_team(at)}),,", f",{NAMES[at + 4]} ({_team(at + 1)}),,")
    ]
    got = read(
        "number", "subjects", "teams", a_csv=_lines("BASE SET,,,", *base, "", "TWO OF A KIND,,,", *pairs)
    )
    assert got[12:] == [
        (f"TW-{at}", f"{NAMES[at]} / {NAMES[at + 4]}", f"{_team(at)} / {_team(at + 1)}")
        for at in (1, 2, 3, 4)
    ]


def test_a_second_person_with_the_number_again_is_no_block_of_its_own(read):
    base = [f"{_team(at)},{at}. {name},,,," for at, name in enumerate(NAMES, 1)]
    pairs = [f"{_team(at)},{at}. {NAMES[at]},,,{_team(at + 1)},{at}. {NAMES[at + 4]}" for at in (1, 2, 3, 4)]
    lines = ["Text,Text,Voucher,,Text,Text", "BASE SET,,,,,", *base, "TWO OF A KIND DUALS,,,,,", *pairs]
    got = read("subset", "number", "subjects", a_csv=_lines(*lines))
    assert len(got) == 16
    assert got[12:] == [
        ("Two of a Kind Duals", str(at), f"{NAMES[at]} / {NAMES[at + 4]}") for at in (1, 2, 3, 4)
    ]


def test_blocks_that_both_begin_at_one_stay_two(read):
    """Their numbers are the same in every row; the heading of the second tells them apart."""
    left = [f"{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 1)]
    right = ["FAST TIDE,,", *(f"{at},{NAMES[-at]},{_team(at + 1)}" for at in range(1, 12))]
    rows = [f"{a},,{b}" for a, b in zip(left, right, strict=True)]
    got = read("subset", "number", a_csv=_lines("BASE SET,,,,,,", *rows))
    assert got == [
        *(("Base Set", str(at)) for at in range(1, 13)), *(("Fast Tide", str(at)) for at in range(1, 12))
    ]  # fmt: skip


def test_a_column_between_two_blank_ones_is_of_the_card_before_it(read):
    """The names stand behind a blank column, and a shorter block stands beside them."""
    left = [f"{at:03d},Alderwood,{_team(at)},,{name}" for at, name in enumerate(NAMES, 1)]
    right = [
        "FAST TIDE,,,,", *(f"FT{at},Alderwood,{_team(at)},,{NAMES[-at]}" for at in range(1, 7)), "",
        "SLOW WATER,,,,", *(f"SW{at},Alderwood,{_team(at)},,{NAMES[at]}" for at in range(1, 4)),
    ]  # fmt: skip
    rows = [f"{a},,{b}" for a, b in zip(left, right, strict=False)]
    got = read("subset", "number", "subjects", a_csv=_lines("BASE SET,,,,,,,,,,", *rows))
    assert got[:2] == [("Base Set", "001", "Pell Skelwith"), ("Base Set", "002", "Una Tarnhowes")]
    assert [one[:2] for one in got[12:]] == [
        *(("Fast Tide", f"FT{at}") for at in range(1, 7)), *(("Slow Water", f"SW{at}") for at in range(1, 4))
    ]  # fmt: skip


def test_headings_of_parallels_alone_head_a_table(read, table):
    """Nothing stands over numbers, names and teams; the maker's name stands in every row."""
    rows = [f"{at},{name},{_team(at)},x,/25,,Alderwood" for at, name in enumerate(NAMES, 1)]
    got = read("number", "print_run", a_csv=_lines("BASE SET,,,,,,", ",,,Reed,Sedge,Moss,Maker", *rows))
    assert got == [(str(at), "") for at in range(1, 13)]
    assert [line.split(",")[:3] for line in table("parallels.csv").splitlines()[1:]] == [
        ["Base Set", "Reed", ""], ["Base Set", "Sedge", "25"]
    ]  # fmt: skip


@pytest.mark.parametrize("said", ["Base cards.", "Regular cards."])
def test_what_the_cards_of_a_sheet_are_is_not_its_name(said, intake, table, workbook):
    rows = [[at, name, _team(at)] for at, name in enumerate(NAMES, 1)]
    more = [[f"FT-{at}", name, _team(at)] for at, name in enumerate(NAMES, 1)]
    head = ["No.", "Player", "Team"]
    sheets = {"Base": [[said], head, *rows], "Fast Tide": [["Insert cards."], head, *more]}
    intake(("list.xlsx", workbook(sheets)))
    subsets = [line.split(",")[0] for line in table("checklist.csv").splitlines()[1:]]
    assert set(subsets) == {"Base", "Fast Tide"}


def test_a_line_may_stop_behind_a_number_of_two_digits(read):
    """'; No. 12.' ends no sentence."""
    cards = [f"No. {at}. {name} ({_team(at)})" for at, name in enumerate(NAMES, 1)]
    text = _lines(
        "BASE SET", "; ".join(cards[:9]) + "; No. 10.", cards[9][8:] + "; " + "; ".join(cards[10:]) + "."
    )
    assert read("number", "subjects", a_txt=text) == [(str(at), name) for at, name in enumerate(NAMES, 1)]


def test_of_two_columns_of_numbers_the_one_that_begins_anew_has_the_cards(read):
    rows = [f"{at},{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 1)]
    more = [f"{12 + at},{at},{NAMES[-at]},{_team(at)}" for at in range(1, 9)]
    got = read("subset", "number", a_csv=_lines("BASE SET,,,", *rows, "FAST TIDE,,,", *more))
    assert got == [
        *(("Base Set", str(at)) for at in range(1, 13)), *(("Fast Tide", str(at)) for at in range(1, 9))
    ]  # fmt: skip


def test_numbers_in_rows_of_parallels_are_numbers_whatever_heads_them(read):
    """Most are initials; the word over them says that they are names."""
    finishes = ("", "Reed", "Sedge", "Moss")
    rows = [
        f"{count},{subset},{finish or 'Base version'},{number},{name},{run}"
        for count, (subset, number, name, finish, run) in enumerate(
            (
                (
                    subset,
                    number.format(name=name, initials="".join(one[0] for one in name.split()), at=at),
                    name,
                    finish,
                    run,
                )
                for subset, number in (("Base Set", "#{at}"), ("Fast Tide Ink", "#FTI-{initials}"))
                for at, name in enumerate(NAMES, 1)
                for finish, run in zip(finishes, ("", "/99", "/25", "/10"), strict=True)
            ),
            1,
        )
    ]
    head = "Count,Set Name,Version,Name,Player,Numbered"
    got = read("subset", "number", a_csv=_lines(head, *rows))
    assert got[:12] == [("Base Set", str(at)) for at in range(1, 13)]
    assert got[12] == ("Fast Tide Ink", "FTI-PS")
    assert len(got) == 24


def test_a_part_of_the_base_set_may_begin_above_the_head_of_a_page(read):
    rows = [f"#{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 1)]
    head = "Card,Player,Team"
    lines = [
        "=== Base ===,,",
        head,
        "Veterans,,",
        *rows[:6],
        "Page 1,,",
        head,
        *rows[6:9],
        "Rookies,,",
        "Page 2,,",
        head,
        *rows[9:],
    ]
    assert set(read("subset", a_csv=_lines(*lines))) == {("Base",)}


def test_lines_of_odds_on_a_sheet_that_nobody_knows_say_no_kind(intake, table, workbook):
    """'Harbour Ink | Regular | 30' does not say that the signatures are of the base set."""
    base = [[at, name, _team(at)] for at, name in enumerate(NAMES, 1)]
    ink = [[f"SI-{at}", name, _team(at)] for at, name in enumerate(NAMES, 1)]
    sheets = {
        "Cards": [["No.", "Player", "Team"], ["Base Set"], *base, ["Signed Ink"], *ink],
        "Hobby": [["Alder - Hobby"], ["Base Set", "Regular", 9], ["Signed Ink", "Regular", 30]],
    }
    intake(("list.xlsx", workbook(sheets)))
    kinds = {tuple(line.split(",")[:2]) for line in table("checklist.csv").splitlines()[1:]}
    assert kinds == {("Base Set", "base"), ("Signed Ink", "autograph")}


def test_a_short_list_above_a_long_legend_is_read(read):
    """More lines of the legend have several cells than the list has cards."""
    cards = [f"{at} {name}, {_team(at)}" for at, name in enumerate(NAMES[:5], 1)]
    foot = [
        f"Rookies in the base set are numbers {', '.join(map(str, range(at, at + 6)))}." for at in (1, 9, 20)
    ]
    legend = [
        f"{name}: inserts, {said}"
        for name, said in (("Slow Water", "one a box"), ("High Fell", "one a case"))
    ]
    assert read(
        "subset", "number", "subjects", a_txt=_lines("Fast Tide [FT], 5 cards", *cards, "", *foot, *legend)
    ) == [("Fast Tide", str(at), name) for at, name in enumerate(NAMES[:5], 1)]


def test_a_heading_keeps_its_name_beside_somebody_s_mark(read):
    """The mark stands behind the columns of the table."""
    rows = [f"#{at}. {name},{_team(at)},," for at, name in enumerate(NAMES, 1)]
    more = [f"#{20 + at}. {NAMES[-at]},{_team(at)},," for at in range(1, 9)]
    lines = ["Portrait,Side,Voucher,", "BASE,,,", *rows, "FAST TIDE,,,ok", *more]
    assert read("subset", "number", a_csv=_lines(*lines)) == [
        *(("Base", str(at)) for at in range(1, 13)), *(("Fast Tide", str(20 + at)) for at in range(1, 9))
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "kind"),
    [("Material Witness", "insert"), ("Dockside Materials", "relic"), ("Dockside Material Cards", "relic")],
)
def test_material_is_a_word_of_relics_where_nothing_else_follows(name, kind, read):
    rows = [f"{at},{one},{_team(at)}" for at, one in enumerate(NAMES, 1)]
    more = [f"DM-{at},{one},{_team(at)}" for at, one in enumerate(NAMES, 1)]
    got = read("subset", "kind", a_csv=_lines("No.,Player,Team", "Base Set,,", *rows, f"{name},,", *more))
    assert got[-1] == (name, kind)


def test_tabs_between_quoted_cells_part_them_though_commas_stand_within(read):
    """Each list of parallels has as many commas as the next."""
    ladder = "Reed, Sedge, Moss (150 copies), Fern (50 copies), Heath (35 copies)"
    rows = [
        "\t".join(f'"{one}"' for one in (f"#{at}", name, _team(at), ladder))
        for at, name in enumerate(NAMES, 1)
    ]
    head = "\t".join(f'"{one}"' for one in ("Card #", "Player", "Team", "Also in"))
    got = read("number", "subjects", "teams", a_csv=_lines('"=== Base ==="', head, *rows))
    assert got == [(str(at), name, _team(at)) for at, name in enumerate(NAMES, 1)]


@pytest.mark.parametrize("mark", [";", "|", "\t"])
def test_a_few_rows_of_a_table_above_a_long_legend_are_parted(mark, read):
    rows = [f"FT-{at};{name};{_team(at)};/60" for at, name in enumerate(NAMES[:7], 1)]
    legend = [f"{chr(65 + at)}AB: A place called {name}" for at, name in enumerate((*NAMES, *NAMES[:8]))]
    lines = ["Fast Tide", *(row.replace(";", mark) for row in rows), "", "Codes", *legend]
    got = read("number", "subjects", "print_run", a_csv=_lines(*lines))
    assert got == [(f"FT-{at}", name, "60") for at, name in enumerate(NAMES[:7], 1)]


def test_a_remark_beside_a_row_moves_none_of_its_cells(read):
    """The row is the first of its subset, whose name stands in no other."""
    rows = [f"{'Base Set' if at == 1 else ''},{at},{name},{_team(at)},x" for at, name in enumerate(NAMES, 1)]
    more = [f",{at},{NAMES[-at]},{_team(at)},x" for at in range(2, 9)]
    first = f"Fast Tide,1,{NAMES[-1]},{_team(1)},x,,see mail"
    got = read("subset", "number", a_csv=_lines("Set,No.,Player,Team,RC", *rows, first, *more))
    assert got == [
        *(("Base Set", str(at)) for at in range(1, 13)), *(("Fast Tide", str(at)) for at in range(1, 9))
    ]  # fmt: skip


def test_cards_whose_rows_call_them_inserts_are_not_the_base_set(read):
    """Though theirs is the largest of the lists at hand."""
    rows = [f"{at},{name},{_team(at)},Insert" for at, name in enumerate(NAMES, 1)]
    more = [f"{20 + at},{NAMES[-at]},{_team(at)},Autograph" for at in range(1, 5)]
    got = read("kind", a_csv=_lines("No.,Player,Team,Type", "FAST TIDE,,,", *rows, "DEEP INK,,,", *more))
    assert got == [("insert",)] * 12 + [("autograph",)] * 4


def test_a_star_explained_at_the_foot_is_no_bullet(read):
    """The dots between cards that run on stand before some of them too."""
    cards = [f"#{at} – {name}{'*' if at % 4 == 0 else ''} – {_team(at)}" for at, name in enumerate(NAMES, 1)]
    lines = [" • ".join(cards[:3]), *("• " + " • ".join(cards[at : at + 3]) for at in (3, 6, 9))]
    got = read("number", "rookie", a_txt=_lines("BASE SET", *lines, "", "* = first-year player (rookie)"))
    assert got == [(str(at), "yes" if at % 4 == 0 else "") for at in range(1, 13)]


def test_a_line_may_stop_behind_a_saint(read):
    cards = [f"#{at} – {name} – St. Perran" for at, name in enumerate(NAMES, 1)]
    text = _lines(
        "BASE SET", " • ".join(cards[:5])[: -len(" Perran")], "Perran • " + " • ".join(cards[5:]) + "."
    )
    assert read("number", a_txt=text) == [(str(at),) for at in range(1, 13)]


def test_parallels_below_two_headings_of_four_are_read_with_their_runs(intake, table):
    rows = [f"{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 1)]
    listed = [
        "Card Set|Parallel||",
        "Base Set|Reed||",
        "|Sedge|99|",
        "|Moss|50|Hobby only",
        "|Fern|25|",
        "|Heath|10|",
    ]
    intake(("list.csv", _lines("No.,Player,Team", "Base Set,,", *rows)), ("parallels.csv", _lines(*listed)))
    assert [line.split(",")[1:3] for line in table("parallels.csv").splitlines()[1:]] == [
        ["Reed", ""], ["Sedge", "99"], ["Moss", "50"], ["Fern", "25"], ["Heath", "10"]
    ]  # fmt: skip


def test_of_two_headings_for_a_print_run_the_one_over_runs_counts(read):
    """'Seq' stands over a column that counts the rows."""
    rows = [f"{at},#{at},{name},{_team(at)}," for at, name in enumerate(NAMES, 1)]
    more = [f"{12 + at},#FT-{at},{NAMES[-at]},{_team(at)},49" for at in range(1, 9)]
    lines = ["Seq,Card,Player,Team,Copies", "BASE SET,,,,", *rows, "FAST TIDE,,,,", *more]
    assert read("number", "print_run", a_csv=_lines(*lines)) == [
        *((str(at), "") for at in range(1, 13)), *((f"FT-{at}", "49") for at in range(1, 9))
    ]  # fmt: skip


def test_a_table_whose_first_columns_are_mostly_blank_is_one(read):
    """Most rows hold one cell, with number and name, and the subset stands beside its first card."""
    rows = [f"{'Base Set' if at == 1 else ''},,{at:03d} {name.upper()}" for at, name in enumerate(NAMES, 1)]
    more = [f"{'Fast Tide' if at == 1 else ''},,FT-{at} {NAMES[-at].upper()}" for at in range(1, 9)]
    got = read("subset", "number", a_csv=_lines("Group,Qty,On the front", *rows, *more))
    assert got == [
        *(("Base Set", f"{at:03d}") for at in range(1, 13)),
        *(("Fast Tide", f"FT-{at}") for at in range(1, 9)),
    ]  # fmt: skip


def test_a_card_with_a_word_for_its_number_heads_no_table(read):
    """'No. 12' and 'Insert' are words that stand over columns too."""
    rows = [f"No. {at},,Base,{name} ({_team(at)}),Base" for at, name in enumerate(NAMES, 1)]
    more = [f"No. {at},,Fast Tide,{NAMES[-at]} ({_team(at)}),Insert" for at in range(1, 9)]
    got = read("subset", "number", a_csv=_lines(*rows, *more))
    assert got == [
        *(("Base", str(at)) for at in range(1, 13)), *(("Fast Tide", str(at)) for at in range(1, 9))
    ]  # fmt: skip


def test_a_rookie_s_mark_beside_a_line_is_no_second_person(read):
    rows = [
        f"{at:03d}. {name} ({_team(at)}),{'RC' if at in (4, 9) else ''}," for at, name in enumerate(NAMES, 1)
    ]
    got = read(
        "number", "subjects", "rookie", a_csv=_lines("=== Fast Tide ===,,", "Player Name,,Redemption?", *rows)
    )
    assert got == [(f"{at:03d}", name, "yes" if at in (4, 9) else "") for at, name in enumerate(NAMES, 1)]


def test_words_that_somebody_wrote_beside_a_heading_are_none_of_it(read):
    rows = [f"{at},{name},{_team(at)},," for at, name in enumerate(NAMES, 1)]
    more = [f"FT-{at},{NAMES[-at]},{_team(at)},," for at in range(1, 9)]
    lines = ["No.,Player,Team,,", "Base Set,,,,", *rows, "Fast Tide,,,,see mail", *more]
    assert read("subset", a_csv=_lines(*lines)) == [("Base Set",)] * 12 + [("Fast Tide",)] * 8


def test_lines_of_odds_that_nobody_knows_say_no_print_run(intake, table, workbook):
    """A subset that stands in several rows is explained by none of them."""
    base = [[at, name, _team(at)] for at, name in enumerate(NAMES, 1)]
    sheets = {
        "Cards": [["No.", "Player", "Team"], ["Base Set"], *base],
        "Hobby": [
            ["Alder"],
            ["Base Set", "Reed", "numbered to 50", 940],
            ["Base Set", "Moss", "one of one", 4054],
        ],
    }
    intake(("list.xlsx", workbook(sheets)))
    assert {line.split(",")[6] for line in table("checklist.csv").splitlines()[1:]} == {""}


def test_a_format_in_capitals_that_begins_with_box_keeps_its_word(intake, table):
    rows = [f"{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 1)]
    odds = ["Set,Finish,BOX OFFICE,MATINEE BOX ODDS", "Base Set,Reed,1:6,1:12", "Base Set,Moss,1:24,1:48"]
    intake(("list.csv", _lines("No.,Player,Team", "Base Set,,", *rows)), ("odds.csv", _lines(*odds)))
    assert {line.split(",")[2] for line in table("odds.csv").splitlines()[1:]} == {"box-office", "matinee"}


def test_a_card_whose_cells_lost_their_places_heads_nothing(read):
    """It is set aside; the cards below it stay in their subset."""
    base = [f"{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 1)]
    inserts = [f"{at},{name},{_team(at)}" for at, name in enumerate(NAMES, 13)]
    inserts[5] = f"{18} {NAMES[5]},,"
    got = read(
        "subset", "number", "subjects", a_csv=_lines("BASE SET,,", *base, "", "LONG SHADOWS,,", *inserts)
    )
    assert [one[0] for one in got] == ["Base Set"] * 12 + ["Long Shadows"] * 11


def test_a_list_in_markdown_is_read_below_the_words_on_boxes(read):
    """Teams head parts of the base set and stand in brackets elsewhere; a role behind a comma is no team."""
    told = [
        "# Corvane presents: Upland 2032",
        "",
        "## What you can buy",
        "",
        "**Hobby** has 12 packs of 6.",
        "",
    ]
    base = []
    for at, name in enumerate(NAMES, 1):
        base += [f"### {TEAMS[(at - 1) // 4]}"] if at % 4 == 1 else []
        base += [f"- **{at}** {name}, keeper", *([""] if at % 4 == 0 else [])]
    signed = [f"- **LS{at}** {name} ({TEAMS[at % 3]})" for at, name in enumerate(NAMES[:6], 1)]
    running = "; ".join(f"GS{at} {name} ({TEAMS[at % 3]})" for at, name in enumerate(NAMES[6:10], 1))
    lists = ["# The cards", "", "## Base cards", "", *base, "## Long Shadows, six inserts", "", *signed, ""]
    lists += ["## Grand Slam, four inserts", "", f"{running}."]
    got = read("number", "subjects", "teams", a_txt=_lines(*told, *lists))
    assert got == [
        *((str(at), name, TEAMS[(at - 1) // 4]) for at, name in enumerate(NAMES, 1)),
        *((f"LS{at}", name, TEAMS[at % 3]) for at, name in enumerate(NAMES[:6], 1)),
        *((f"GS{at}", name, TEAMS[at % 3]) for at, name in enumerate(NAMES[6:10], 1)),
    ]


def test_headings_in_two_languages_are_known_by_either(read):
    """A banner says in one of them that a set is the base set; a column has one name, and then another."""
    base = [f"{at};{name};{_team(at)}" for at, name in enumerate(NAMES, 1)]
    other = [f"H{at};{name};{_team(at)}" for at, name in enumerate(NAMES[:6], 1)]
    head = "Nr / No;Spelare / Player;Klubb / Club"
    lines = [
        "GRUNDSERIE / BASE SET - 12 kort / cards;;",
        head,
        *base,
        ";;",
        "Hörnläge / insert;;",
        head,
        *other,
    ]
    got = read("subset", "kind", "number", "subjects", "teams", a_csv=_lines(*lines))
    assert got[:12] == [("Grundserie", "base", str(at), name, _team(at)) for at, name in enumerate(NAMES, 1)]
    assert [one[2:] for one in got[12:]] == [
        (f"H{at}", name, _team(at)) for at, name in enumerate(NAMES[:6], 1)
    ]
