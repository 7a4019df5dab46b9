"""What sentences, marks and words behind names say of cards, each as a person reads it."""

from __future__ import annotations

import pytest

BASE = """\
BASE SET
1. Pell Skelwith (Tarn Otters)
2. Una Tarnhowes (Fell Herons)
3. Ida Oxley (Moor Rooks)
4. Zeb Merrow (Tarn Otters)
5. Orla Dunsley (Fell Herons)
6. Cy Fenwick (Moor Rooks)
"""
HARBOUR = """\

HARBOUR LIGHTS
HL-1. Ida Oxley (Moor Rooks)
HL-2. Zeb Merrow (Tarn Otters)
HL-3. Jo Lund (Fell Herons)
"""


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ("The Harbour Lights cards are autographs.", ("autograph", "")),
        ("All Harbour Lights are signed in ink. Harbour Lights has three cards.", ("autograph", "")),
        ("Each Harbour Lights card is signed.", ("autograph", "")),
        ("Harbour Lights cards hold a swatch of cloth.", ("relic", "")),
        ("Look for three autographs per box, one of them in Harbour Lights.", ("insert", "")),
        ("Each box has one autograph or a Harbour Lights card.", ("insert", "")),
    ],
)
def test_sentences_of_a_sell_sheet_call_a_subset_what_it_is(said, kind, read):
    """Promises per box say how many fall, and nothing of what the cards are."""
    sheet = f"FELL PRESS 2031 WAKE LINE\n\n{said} The base set has 6 cards.\n"
    found = read("number", "kind", "redemption", list_txt=BASE + HARBOUR, sheet_txt=sheet)
    assert found == [
        *((str(number), "base", "") for number in range(1, 7)),
        *((f"HL-{number}", *kind) for number in range(1, 4)),
    ]


def test_a_day_by_which_redemptions_are_claimed_marks_no_card(read):
    """Neither its figures nor those of the next sentence are numbers of cards."""
    sheet = (
        "FELL PRESS 2031 WAKE LINE\n\nRedemptions must be claimed by 01/30/2030, or they lapse. "
        "The base set has 6 cards. Each pack holds 4 cards.\n"
    )
    found = read("number", "redemption", list_txt=BASE + HARBOUR, sheet_txt=sheet)
    assert found == [(number, "") for number in ("1", "2", "3", "4", "5", "6", "HL-1", "HL-2", "HL-3")]


@pytest.mark.parametrize("mark", ["(d)", "^", "°"])
def test_marks_behind_names_are_explained_below(mark, read):
    """A letter in brackets or a sign; it is no part of the name."""
    content = f"""\
BASE SET
1. Pell Skelwith, Tarn Otters
2. Una Tarnhowes, Fell Herons
3. Ida Oxley {mark}, Moor Rooks
4. Zeb Merrow, Tarn Otters
5. Orla Dunsley, Fell Herons
6. Cy Fenwick {mark}, Moor Rooks

Legend
{mark} = rookie card
"""
    assert read("number", "subjects", "teams", "rookie", list_txt=content) == [
        ("1", "Pell Skelwith", "Tarn Otters", ""),
        ("2", "Una Tarnhowes", "Fell Herons", ""),
        ("3", "Ida Oxley", "Moor Rooks", "yes"),
        ("4", "Zeb Merrow", "Tarn Otters", ""),
        ("5", "Orla Dunsley", "Fell Herons", ""),
        ("6", "Cy Fenwick", "Moor Rooks", "yes"),
    ]


@pytest.mark.parametrize(
    "written", [", {0} copies", " – {0} copies", "; limited to {0}", ", numbered to {0}"]
)
def test_a_print_run_stands_behind_a_name(written, read):
    """And is none of the person's words."""
    content = f"""\
{BASE}
WINTER QUAY
WQ-1. Ida Oxley{written.format(30)}
WQ-2. Zeb Merrow{written.format(25)}
WQ-3. Jo Lund{written.format(30)}
"""
    found = read("number", "subjects", "print_run", list_txt=content)
    assert found[6:] == [("WQ-1", "Ida Oxley", "30"), ("WQ-2", "Zeb Merrow", "25"), ("WQ-3", "Jo Lund", "30")]
    assert [run for *_, run in found[:6]] == [""] * 6


@pytest.mark.parametrize("written", ["(199 limited)", "(limited to 199)", "(199 copies)"])
def test_a_print_run_stands_behind_a_heading(written, read):
    """It holds for all of its cards."""
    content = BASE + HARBOUR.replace("LIGHTS", f"LIGHTS {written}")
    assert read("subset", "number", "print_run", list_txt=content)[5:] == [
        ("Base Set", "6", ""),
        *(("Harbour Lights", f"HL-{number}", "199") for number in (1, 2, 3)),
    ]


@pytest.mark.parametrize(
    ("name", "blurb", "kind"),
    [
        ("SIGNED HARBOURS", "Insert of 3 cards.", "insert"),
        ("HARBOUR RELICS", "Insert of 3 cards.", "insert"),
        ("HARBOUR LIGHTS", "15 autographed cards.", "autograph"),
        ("HARBOUR LIGHTS", "Relic: with a piece of cloth.", "relic"),
    ],
)
def test_a_line_below_a_heading_begins_with_what_the_cards_are(name, blurb, kind, read):
    """Whatever the subset's name sounds like."""
    content = BASE + HARBOUR.replace("HARBOUR LIGHTS\n", f"{name}\n{blurb}\n")
    assert {one[1] for one in read("number", "kind", list_txt=content)[6:]} == {kind}


@pytest.mark.parametrize("said", ["the basic collection", "base series", "the basic set"])
def test_a_legend_calls_a_subset_the_base_set(said, read):
    """In other words than the usual ones, and though its numbers have letters."""
    content = """\
MORNING MIST
MM-1. Pell Skelwith (Tarn Otters)
MM-2. Una Tarnhowes (Fell Herons)
MM-3. Ida Oxley (Moor Rooks)

EVENING DEW
ED-1. Zeb Merrow (Tarn Otters)
ED-2. Orla Dunsley (Fell Herons)
"""
    legend = f"Morning Mist: {said}\nEvening Dew: inserts\n"
    found = read("subset", "kind", list_txt=content, key_txt=legend)
    assert found == [("Morning Mist", "base")] * 3 + [("Evening Dew", "insert")] * 2


def test_sentences_say_how_cards_are_signed_and_where_cloth_was_worn(read):
    """One sentence a subset."""
    quay = HARBOUR.replace("HARBOUR LIGHTS", "WINTER QUAY").replace("HL-", "WQ-")
    sheet = (
        "FELL PRESS 2031 WAKE LINE\n\nEach Harbour Lights card is signed on the card. "
        "Winter Quay cards hold cloth worn in practice. Two autographs per box.\n"
    )
    found = read("number", "kind", "signed", "relic", list_txt=BASE + HARBOUR + quay, sheet_txt=sheet)
    assert found[6:] == [
        *((f"HL-{number}", "autograph", "card", "") for number in (1, 2, 3)),
        *((f"WQ-{number}", "relic", "", "event-worn") for number in (1, 2, 3)),
    ]


def test_material_worn_on_a_day_for_photographs_is_from_an_event(read):
    """'Worn on the photo day' names where it was worn."""
    content = BASE + HARBOUR.replace("LIGHTS\n", "LIGHTS\nRelic cards, with cloth worn on the photo day.\n")
    assert {one[1:] for one in read("number", "kind", "relic", list_txt=content)[6:]} == {
        ("relic", "event-worn")
    }


def test_how_a_card_is_signed_and_what_is_in_it_are_its_kind(read):
    """'Signed on card, with worn cloth' in one column is an autograph relic."""
    rows = "".join(
        f"{number};{name};{team};\n"
        for number, name, team in (
            ("1", "Pell Skelwith", "Tarn Otters"),
            ("2", "Una Tarnhowes", "Fell Herons"),
            ("3", "Ida Oxley", "Moor Rooks"),
        )
    )
    more = "".join(
        f"DP{i + 1};{name};{team};autograph relic, signed on card, player-worn\n"
        for i, (name, team) in enumerate((("Zeb Merrow", "Tarn Otters"), ("Cy Fenwick", "Moor Rooks")))
    )
    content = f"No;Player;Team;Was\nBASE\n{rows}DEEP POCKETS\n{more}"
    assert read("number", "kind", "signed", "relic", list_csv=content) == [
        *((number, "base", "", "") for number in ("1", "2", "3")),
        *((number, "autograph relic", "card", "player-worn") for number in ("DP1", "DP2")),
    ]
