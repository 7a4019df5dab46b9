"""Persons of one name: ring names, given names alone, names that a script writes in one word."""

from __future__ import annotations

from itertools import pairwise

RING = (
    "Arashikawa", "Benimori", "Chidorizan", "Daikokuho", "Ebisunami", "Fujigatake", "Genkaimaru",
    "Hayabusayo", "Isonokumo", "Jindaiko", "Kagerouzan", "Lumnebayar",
)  # fmt: skip
STABLES = ("Tarn Otters", "Fell Herons", "Moor Rooks")


def rows(names, teams, *, start=""):
    """A card a name, numbered on, its team beside it."""
    return "".join(f"{start}{i + 1},{name},{teams[i % len(teams)]}\n" for i, name in enumerate(names))


def test_a_column_of_single_names_beside_teams_is_who_is_on_the_cards(read):
    """The headings are no known words; the season knows the teams."""
    content = "Nr,East,Heya\n" + rows(RING, STABLES)
    assert read("number", "subjects", "teams", list_csv=content) == [
        (str(i + 1), name, STABLES[i % 3]) for i, name in enumerate(RING)
    ]


def test_a_short_list_reads_names_that_a_long_one_has(read, workbook):
    """Two persons on a card, parted by a sign; six cards alone would not tell."""
    pairs = [
        [f"P-{i + 1}", f"{a} × {b}", f"{STABLES[i % 3]} × {STABLES[(i + 1) % 3]}"]
        for i, (a, b) in enumerate(pairwise(RING[:7]))
    ]
    book = workbook(
        {
            "Base": [["Nr", "East", "Heya"], *[[i + 1, n, STABLES[i % 3]] for i, n in enumerate(RING)]],
            "Last Bout": [["Last Bout (dual autographs)"], ["Nr", "Two", "Heya"], *pairs],
        }
    )
    told = read("subset", "subjects", "teams", list_xlsx=book)
    assert told[12:] == [
        ("Last Bout", f"{RING[i]} / {RING[i + 1]}", f"{STABLES[i % 3]} / {STABLES[(i + 1) % 3]}")
        for i in range(6)
    ]


def test_forenames_and_surnames_in_two_columns_stay_whole_names(read):
    """Both are single words, and neither is a team."""
    first = ("Ada", "Ben", "Cora", "Dan") * 3
    last = ("Quill", "Moor", "Tarn", "Sykes", "Oxley", "Pell", "Rusk", "Dorn", "Bell", "Hoar", "Wren", "Fox")
    content = "Nr,A,B,Heya\n" + "".join(
        f"{i + 1},{a},{b},{STABLES[i % 3]}\n" for i, (a, b) in enumerate(zip(first, last, strict=True))
    )
    assert read("subjects", list_csv=content) == [(f"{a} {b}",) for a, b in zip(first, last, strict=True)]


def test_single_names_beside_words_that_may_be_teams_need_another_document(read):
    """No season knows the second column; a sold list names the persons, never with the word beside them."""
    camps = ("Kazamo", "Iwatsu", "Umegao", "Naruka")
    content = "Nr,East,Heya\n" + rows(RING, camps)
    sold = "title,price,date\n" + "".join(
        f"2031 Dawn Drum {name} no. {i + 1},{i + 2}.50,2031-03-0{i + 1}\n" for i, name in enumerate(RING[:6])
    )
    assert read("subjects", "teams", list_csv=content, sold_csv=sold) == [
        (name, camps[i % 4]) for i, name in enumerate(RING)
    ]


def test_names_of_one_word_in_another_script(read):
    """Thai names stand without blanks, and have no capitals."""
    names = ("สมชาย", "วิชัย", "มานะ", "ปิติ", "ชูใจ", "วีระ", "สมศักดิ์", "ประเสริฐ", "บุญมี", "ทองดี", "คำแสน", "จันทร์")
    content = "Nr,X,Heya\n" + rows(names, STABLES)
    assert read("subjects", list_csv=content) == [(name,) for name in names]


def test_a_forename_with_a_hyphen_is_no_number(read):
    """'Kayla-Mae' stands in one name of twelve, and looks like a number by initials but for its letters."""
    names = [f"{one} Tarn" for one in RING[:11]] + ["Kayla-Mae Stockett"]
    assert read("subjects", list_csv="Nr,Player,Team\n" + rows(names, STABLES)) == [(name,) for name in names]
