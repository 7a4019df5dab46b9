"""Lists of which one column decides everything: read as a person reads them, or held back as a whole."""

from __future__ import annotations

NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")
CLUBS = ("Tarn Otters", "Fell Herons", "Moor Rooks")


def test_a_numbered_name_is_no_heading_of_a_block(read, workbook):
    """A column of marks that is nearly blank parts no blocks, though the sets stand in merged cells."""
    who = [f"{one.split()[0]} {other.split()[1]}" for one in NAMES for other in NAMES[:5]]
    rows = [("Count", "Club", "Mark", "Player", "Set")]
    rows += [
        (i + 1, CLUBS[i % 3], "x" if i == 20 else None, f"{start}{n + 1} {who[n]}", None if n else name)
        for i, (start, n, name) in enumerate(
            (start, n, name)
            for start, name in (("", "Long Shadows"), ("QL", "Quay Lights"))
            for n in range(30)
        )
    ]
    book = workbook({"Cards": rows}, merged={"Cards": ["E2:E31", "E32:E61"]})
    assert read("subset", "number", "subjects", "teams", cards_xlsx=book) == [
        (name, f"{start}{n + 1}", who[n], CLUBS[(at + n) % 3])
        for start, name, at in (("", "Long Shadows", 0), ("QL", "Quay Lights", 30))
        for n in range(30)
    ]


def test_two_columns_under_one_heading_are_told_by_what_is_in_them(read):
    """'Name' stands over clubs, and over persons."""
    clubs = ("Pike Rovers", "Glen Harriers", "Quay Wardens", "Fold Drovers", "Ash Heralds", "Weir Gulls")
    who = [f"{one.split()[0]} {other.split()[1]}" for one in NAMES for other in NAMES[:5]]
    content = "Name,No.,Name\n" + "".join(f"{clubs[i % 5]},{i + 1},{name}\n" for i, name in enumerate(who))
    assert read("number", "subjects", "teams", list_csv=content) == [
        (str(i + 1), name, clubs[i % 5]) for i, name in enumerate(who)
    ]


def test_marks_beside_lines_of_numbered_names_are_rookies(read, workbook):
    """Number and name stand in one cell, and most rows have no other."""
    who = [f"{one.split()[0]} {other.split()[1]}" for one in NAMES for other in NAMES[:3]]
    marks = ["Y" if i % 4 == 3 else "" for i in range(18)]
    rows = [("Name", "Rookie?"), ("Base Cards", None)]
    rows += [
        (f"#{i + 1} - {name}", mark or None) for i, (name, mark) in enumerate(zip(who, marks, strict=True))
    ]
    assert read("number", "subjects", "rookie", cards_xlsx=workbook({"Cards": rows})) == [
        (str(i + 1), name, "yes" if mark else "")
        for i, (name, mark) in enumerate(zip(who, marks, strict=True))
    ]


def test_a_mark_beside_a_heading_is_no_part_of_it(read):
    """It stands in the column of rookies, in the row of the heading."""
    cards = [f"{i + 1},{name},{'x' if i == 2 else ''}" for i, name in enumerate(NAMES)]
    content = "No.,Player,Rookie\nBase,,\n" + "\n".join(cards) + "\nQuay Notes,,x\n" + "\n".join(cards[::-1])
    assert {name for (name,) in read("subset", list_csv=content)} == {"Base", "Quay Notes"}


def test_labels_of_subset_and_parallel_are_subsets_under_any_heading(read, table):
    """Each card stands in a row for itself and one for each of its parallels, one below the other."""
    labels = ("Main Set", "Main Set - Peach", "Main Set - Ivory")
    rows = [f"{label},{i + 1},{name},{CLUBS[i % 3]}" for i, name in enumerate(NAMES) for label in labels]
    others = ("Second Wind", "Second Wind - Ivory")
    rows += [f"{label},SW{i + 1},{name},{CLUBS[i % 3]}" for i, name in enumerate(NAMES) for label in others]
    content = "Line,Description,,Player,Club\n" + "".join(f"{i},{row}\n" for i, row in enumerate(rows, 1))
    assert read("subset", "number", list_csv=content) == [
        *(("Main Set", str(i + 1)) for i in range(6)),
        *(("Second Wind", f"SW{i + 1}") for i in range(6)),
    ]
    assert [row.split(",")[:2] for row in table("parallels.csv").splitlines()[1:]] == [
        ["Main Set", "Peach"],
        ["Main Set", "Ivory"],
        ["Second Wind", "Ivory"],
    ]


def test_tabs_at_both_ends_of_lines_part_a_table(intake, release):
    """The first cell of one row is blank, and the last of another."""
    sheet = (
        "TIDE 2031 LONG SHADOWS\n\n\tLodge\tStall\tTin\nCards per pack\t6\t5\t4\nPacks / box\t20\t24\t8\n"
        "Boxes / case\t6\t8\t9\nSuggested price per case\t752.40 USD\t\t\n\n"
        "Every Lodge box holds six autographs, guaranteed.\nEvery Stall box holds 5 inserts on average.\n"
        "One relic a Lodge case.\nIn shops on 26 January 2031.\nStock is limited.\n"
    )
    intake(
        (
            "cards.csv",
            "Number,Player,Team\n" + "".join(f"{i + 1},{n},Tarn Otters\n" for i, n in enumerate(NAMES)),
        ),
        ("sheet.tsv", sheet),
        yes=True,
    )
    told = (release / "release.toml").read_text()
    assert "[formats.lodge]" in told
    assert "[formats.stall]" in told
    assert all(f"cards_per_pack = {n}" in told for n in (6, 5, 4))


def test_a_page_may_end_between_a_number_and_its_name(read_text):
    """The next line of the same list stands below a blank one."""
    lines = ("001. Pell Skelwith (Tarn Otters); 002. Una Tarnhowes (Fell Herons); 003.", "")
    more = ("Ida Oxley (Moor Rooks); 004. Zeb Merrow (Tarn Otters); 005. Orla Dunsley", "(Fell Herons).")
    assert read_text("\n".join(("Base, 5 cards", *lines, *more)), "number", "subjects") == [
        (f"00{i + 1}", NAMES[i]) for i in range(5)
    ]


def test_a_second_person_s_row_heads_no_table(read):
    """It has no number, and the rows below it have one; two parallels of a card have two persons each."""
    pairs = (("HA-PSUT", NAMES[0], NAMES[1]), ("HA-IOZM", NAMES[2], NAMES[3]))
    rows = [f"{i + 1},{name},Base,{CLUBS[i % 3]}" for i, name in enumerate(NAMES)]
    for number, one, other in pairs:
        for label in ("Handshakes", "Handshakes - Saffron"):
            rows += [f"{number},{one},{label},Tarn Otters", f",{other},{label},Fell Herons"]
    rows += [f"RS-{i + 1},{name},Rookie Ink,{CLUBS[i % 3]}" for i, name in enumerate(NAMES)]
    content = "No.,On the front,Part,Squad\n" + "\n".join(rows) + "\n"
    assert read("subset", "number", "subjects", list_csv=content) == [
        *(("Base", str(i + 1), name) for i, name in enumerate(NAMES)),
        *(("Handshakes", number, f"{one} / {other}") for number, one, other in pairs),
        *(("Rookie Ink", f"RS-{i + 1}", name) for i, name in enumerate(NAMES)),
    ]


def test_the_page_count_below_a_legend_is_no_print_run(read):
    """'Page 1 of 1' ends the list."""
    cards = "".join(f"Quay Twins,{i + 1},{name}\n" for i, name in enumerate(NAMES))
    legend = "Long Shadows: regular cards\nQuay Twins: autograph cards, on-card\n"
    content = "Set,No.,Player\n" + "".join(f"Long Shadows,{i + 1},{n}\n" for i, n in enumerate(NAMES)) + cards
    told = read("kind", "print_run", list_csv=f"{content}\nEnd of list\nPage 1 of 1\n", key_txt=legend)
    assert told == [("base", "")] * 6 + [("autograph", "")] * 6


def test_a_day_without_quotes_parts_no_sale(intake, table):
    """'May 10, 2030' stands in two cells, and all behind it a column further on."""
    cards = "No.,Player,Team\n" + "".join(f"{i + 1},{name},Tarn Otters\n" for i, name in enumerate(NAMES))
    sales = [f"{i + 1} May 2030,Tide {name} #{i + 1},{i}.40,1.25,sold" for i, name in enumerate(NAMES * 2, 0)]
    sales[4] = f"May 5, 2030,Tide {NAMES[4]} #5,4.40,1.25,sold"
    intake(("list.csv", cards), ("sold.csv", "Datum,Título,Precio,Wysyłka,Stan\n" + "\n".join(sales) + "\n"))
    rows = [row.split(",") for row in table("sales.csv").splitlines()]
    date, price, postage = map(rows[0].index, ("date", "price", "postage"))
    assert ["2030-05-05", "4.40", "1.25"] in [[row[date], row[price], row[postage]] for row in rows]


def test_a_file_that_ends_within_a_subset_s_name_ends_within_a_card(read):
    """The name stands once before, whole; the card that the file was cut in is told of and not written."""
    rows = [f"{i + 1}\t{NAMES[i % 6]}\tTarn Otters\tBase" for i in range(20)]
    content = "\n".join(("Card\tPlayer\tTeam\tSet", *rows, "NT-1\tIda Oxley\tFell Herons\tNight Tide"))
    cut = f"{content}\nNT-2\tZeb Merrow\tMoor Rooks\tNight T"
    assert read("subset", "number", list_tsv=cut)[20:] == [("Night Tide", "NT-1")]
