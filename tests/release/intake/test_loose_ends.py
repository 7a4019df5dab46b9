"""What stands beside first cards, at the ends of lines and in brackets, each as a person reads it."""

from __future__ import annotations

NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")


def test_a_kind_beside_each_first_card_is_that_of_all(read):
    """The notes stand once a subset, beside its first card."""
    told = (("Long Shadows", "", "base set"), ("Quay Hands", "QH", "autographs, signed on card"))
    rows = [
        f"{name if i == 0 else ''},{start}{i + 1},{NAMES[i]},{note if i == 0 else ''}"
        for name, start, note in told
        for i in range(6)
    ]
    content = "Set,No.,Player,Notes\n" + "\n".join(rows) + "\n"
    assert read("subset", "kind", "signed", list_csv=content) == [
        *[("Long Shadows", "base", "")] * 6,
        *[("Quay Hands", "autograph", "card")] * 6,
    ]


def test_a_line_that_ends_in_a_slash_goes_on(read_text):
    """The second person stands on the next line."""
    content = "DOUBLE DRAW - dual autographs\n" + "".join(
        f"DD-{i + 1} {NAMES[i]} /\n{NAMES[i + 1]}\n" for i in range(4)
    )
    assert read_text(content, "number", "subjects") == [
        (f"DD-{i + 1}", f"{NAMES[i]} / {NAMES[i + 1]}") for i in range(4)
    ]


def test_a_bracket_over_two_lines_lists_parallels(read_text, table):
    """Its odds are no print runs, and the cards themselves are not numbered."""
    lines = "".join(f"{i + 1:4}  {name:30}Tarn Otters\n" for i, name in enumerate(NAMES))
    ladder = "   [ also as Shell (Pouch 1:3), Reef Blue #/175 (Pouch\n     1:4), Moon 1/1 (Pouch 1:476) ]\n"
    assert read_text(f"LONG SHADOWS, base\n{ladder}\n{lines}", "number", "print_run") == [
        (str(i + 1), "") for i in range(6)
    ]
    assert [row.split(",")[1:3] for row in table("parallels.csv").splitlines()[1:]] == [
        ["Shell", ""],
        ["Reef Blue", "175"],
        ["Moon", "1"],
    ]


def test_tables_are_joined_by_the_headings_of_their_keys(read):
    """A list of cards points at sets by one letter and at teams by numbers."""
    cards = "card_id,set_code,card_no,last_name,first_name,team_id\n" + "".join(
        f"{9000 + i},{'B' if i < 4 else 'S'},{i + 1},{name.split()[1]},{name.split()[0]},{401 + i % 3}\n"
        for i, name in enumerate(NAMES)
    )
    sets = "set_code,set_name,set_type\nB,Board One,Base\nS,Score Hands,Autograph\n"
    teams = "team_id,team_name\n401,Tarn Otters\n402,Fell Herons\n403,Moor Rooks\n"
    assert read("subset", "subjects", "teams", cards_csv=cards, sets_csv=sets, teams_csv=teams) == [
        ("Board One" if i < 4 else "Score Hands", name, ("Tarn Otters", "Fell Herons", "Moor Rooks")[i % 3])
        for i, name in enumerate(NAMES)
    ]


def test_a_name_in_quotes_is_the_base_set_s(read_text):
    """The words before it say what it is."""
    content = 'Base set "Leeward"\n' + "".join(f"{i + 1}. {name}\n" for i, name in enumerate(NAMES))
    assert read_text(content, "subset", "kind") == [("Leeward", "base")] * 6


def test_narrow_lists_side_by_side_are_two(read):
    """A column each, with a blank one between; one has a heading of its parts."""
    left = ["Long Shadows", "Regulars", *(f"{i + 1} {name}" for i, name in enumerate(NAMES))]
    right = ["Quay Lights", *(f"QL{i + 1} {name}" for i, name in enumerate(NAMES[::-1])), ""]
    content = "Card list\n\n" + "".join(f"{one},,{other}\n" for one, other in zip(left, right, strict=True))
    assert read("subset", "number", "subjects", list_csv=content) == [
        *(("Long Shadows", str(i + 1), name) for i, name in enumerate(NAMES)),
        *(("Quay Lights", f"QL{i + 1}", name) for i, name in enumerate(NAMES[::-1])),
    ]


def test_a_line_of_each_page_makes_no_table_of_a_text(read_text):
    """The cards are lines, whatever stands at the foot of a page."""
    cards = [f"{i + 1} {NAMES[i % 6]} {'TAR' if i % 2 else 'FEL'}" for i in range(30)]
    foot = "Oxter Cards | Long Shadows 2035 | As of 2 Sept | Page {}"
    content = "\n".join(["LONG SHADOWS - BASE SET", *cards[:15], foot.format(1), *cards[15:], foot.format(2)])
    assert [number for (number,) in read_text(content, "number")] == [str(i + 1) for i in range(30)]


def test_another_name_right_behind_a_subset_s_has_its_own_run(read):
    """'Quay Lights Sisal, 65 copies' numbers a parallel, and no card of the subset."""
    content = "QUAY LIGHTS - inserts\n" + "".join(f"QL{i + 1}. {name}\n" for i, name in enumerate(NAMES))
    said = "Colours of Quay Lights Sisal, 65 copies.\nRelease date: 4 May 2031.\n6 cards per pack.\n"
    assert read("number", "print_run", list_txt=content, sheet_txt=said) == [
        (f"QL{i + 1}", "") for i in range(6)
    ]
