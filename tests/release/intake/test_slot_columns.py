"""Lists of slot prices are read by what their columns hold, with teams known or not."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from rating.release.intake import TeamWords

TOML = 'format = 1\ntitle = "Wickfield 2031 Halyard"\n'
OTTERS, HERONS = "Brindle Quay Otters", "Åsavik Iron Bells"
TEAMS = (TeamWords(name=OTTERS, code="BQO"), TeamWords(name=HERONS, code="AIB"))
BODY = (
    f"{OTTERS};€ 45.50;auction;Corner Shop;0.5;5 April 2031\n"
    f"{HERONS};108.00 EUR;auction;Corner Shop;0.5;5 April 2031\n"
    f"{OTTERS} + {HERONS};€150.00;auction;Corner Shop;0.5;5 April 2031\n"
)
WANTED = [
    ("2031-04-05", "corner-shop", OTTERS, "45.50", "auction", "0.5"),
    ("2031-04-05", "corner-shop", HERONS, "108.00", "auction", "0.5"),
    ("2031-04-05", "corner-shop", f"{OTTERS} + {HERONS}", "150.00", "auction", "0.5"),
]

SLOTS = (
    *(
        "Ember Bay Larks",
        "Low Tarn Elks",
        "Old Quay Iron Bells",
        "Hollow Mere Rams",
        "Saltby Comets",
        "Dun Pike",
    ),
    *("Kirk Hill Union", "Aldmoor Thunder", "Rook Isle Salmon + Fen Cross Red Stags", "Nine Wells Kites"),
)


@pytest.fixture
def host(intake, release, words, table):
    """What a host's list comes to, by row."""
    (release / "release.toml").write_text(TOML, encoding="utf-8")

    def run(content, name="list.csv", teams=TEAMS):
        result = intake((name, content), season=replace(words, currency="EUR", teams=teams))
        rows = csv.DictReader(io.StringIO(table("slots.csv")))
        names = ("date", "format", "slot", "price", "how", "cases")
        return result, [tuple(row.get(one, "") for one in names) for row in rows]

    return run


@pytest.mark.parametrize(
    "heading",
    [
        "Wickfield 2031 Halyard breaks\n",
        "X1;X2;X3;X4;X5;X6\n",
        "Pick;Went for;Way;Channel;Opened;Hammer\n",
        "Team;Price;Sale type;Box Type;Cases;Date\n",
        "Równo;;;;;\n",
    ],
)
@pytest.mark.parametrize("teams", [TEAMS, ()])
def test_headings_are_no_condition(heading, teams, host):
    """None, unknown ones, ones that belong to other columns; with the season's teams typed or not."""
    result, rows = host(heading + BODY, teams=teams)
    assert rows == WANTED
    assert result.tallies[0].read_as == "list of slot prices"


@pytest.mark.parametrize(
    ("heading", "line", "wanted"),
    [
        (
            "2031 Halyard Corner Shop, 1 case, 5 April 2031 - auction",
            f"{OTTERS} - € 45.50",
            ("2031-04-05", "corner-shop", OTTERS, "45.50", "auction", "1"),
        ),
        (
            "2031 Halyard Velvet, half a case, April 5, 2031 - random teams",
            "Random team: €45.50",
            ("2031-04-05", "velvet", "", "45.50", "random", "0.5"),
        ),
        (
            "Sat 5 April 2031, 2 cases Velvet, fixed prices",
            f"{OTTERS} {45.5:.2f} EUR",
            ("2031-04-05", "velvet", OTTERS, "45.50", "fixed", "2"),
        ),
        ("Halyard PYT 2031-04-05", f"{OTTERS} - € 45.50", ("2031-04-05", "", OTTERS, "45.50", "fixed", "")),
    ],
)
def test_a_heading_line_says_format_day_cases_and_how(heading, line, wanted, host):
    """The format by any name, right behind the release's or beside the cases; blank where it is not said."""
    more = "" if "Random" in line else f"{HERONS} - €20.00\n{OTTERS} + {HERONS} - €60.00\n"
    result, rows = host(f"{heading}\n{line}\n{more}", name="breaks.txt")
    assert rows[0] == wanted
    asked = [one.topic for one in result.questions if one.topic == "format of slots"]
    assert bool(asked) == (wanted[1] == "")


def test_a_team_that_was_read_in_a_wrong_encoding_is_taken_for_the_near_one(host):
    """And asked about; so is the mark before its price."""
    result, rows = host(BODY.replace("Åsavik", "Еsavik").replace("€", "Ђ"))
    assert rows == WANTED
    assert any("it looks like" in one.what for one in result.questions)


def test_rows_parted_at_the_wrong_mark_are_parted_again(host):
    """Strokes between cells, and a comma in the amounts."""
    lines = [
        "Team|Price|Sale type|Box Type|Cases|Date",
        *BODY.replace(".50", ",50").replace(".00", ",00").split("\n"),
    ]
    _, rows = host("\n".join(lines).replace(";", "|").replace("0.5", "0,5"))
    assert rows == WANTED


@pytest.mark.parametrize("teams", [TEAMS, ()])
def test_sales_are_no_slots_and_prices_of_boxes_are_none(teams, host):
    """Titles with their year, and the maker's own prices."""
    sales = "".join(f"2031 Halyard Ada Quill #{n},€{n}.50,auction,2031-04-0{n},sold\n" for n in range(1, 6))
    result, rows = host(sales, teams=teams)
    assert (rows, result.tallies[0].read_as) == ([], "sold list")
    result, rows = host("Hobby Box,€ 120.00\nRetail Box,€ 30.00\nHobby Case,€ 1400.00\n", teams=teams)
    assert rows == []


def test_what_was_asked_of_a_list_is_answered_once(intake, release, words, table):
    """Its format, its day and a misspelt team, by the ids of the questions."""
    (release / "release.toml").write_text(
        TOML + '[formats.hobby]\nname = "Hobby"\n[formats.retail]\nname = "Retail"\n', encoding="utf-8"
    )
    season = replace(words, teams=TEAMS)
    content = f"Team,Price\n{OTTERS},45.00\nÅsavik Iron Belts,50.00\n"
    asked = intake(("list.csv", content), season=season).questions
    given = {"format of slots": "retail", "day of slots": "2031-04-05", "team of a slot": HERONS}
    assert {one.topic for one in asked} == given.keys()
    answers = {one.id: given[one.topic] for one in asked}
    result = intake(("list.csv", content), season=replace(season, answers=answers))
    assert result.questions == ()
    rows = csv.DictReader(io.StringIO(table("slots.csv")))
    assert [(row["date"], row["format"], row["slot"]) for row in rows] == [
        ("2031-04-05", "retail", OTTERS),
        ("2031-04-05", "retail", HERONS),
    ]


@pytest.mark.parametrize(
    "lines",
    [
        "2031 Halyard Corner Shop, 1 case, 5 April 2031 - fixed prices\n"
        + "".join(f"{name}: € {price},50\n" for price, name in enumerate(SLOTS, 40)),
        "Team;Product;Ask;Way;Opened\n"
        + "".join(
            f"{name};Corner Shop;€{price},50;PYT;5 April 2031\n" for price, name in enumerate(SLOTS, 40)
        ),
    ],
)
def test_slots_of_teams_that_nobody_named_yet(lines, host):
    """Lines under the number of cases, two teams in one of them; a format that is the same in every row."""
    _, rows = host(lines, teams=())
    assert [(slot, price) for _, _, slot, price, _, _ in rows] == [
        (name, f"{price}.50") for price, name in enumerate(SLOTS, 40)
    ]
    assert {(day, form, how) for day, form, _, _, how, _ in rows} == {("2031-04-05", "corner-shop", "fixed")}


def test_prices_of_formats_are_no_slots(host):
    """Names with prices alone are not enough."""
    result, rows = host("Halyard price list\nHobby: €120.00\nRetail: €30.00\nJumbo: €220.00\n", teams=())
    assert not rows
    assert all(one.read_as != "list of slot prices" for one in result.tallies)


@pytest.mark.parametrize(
    "line",
    [
        f"{OTTERS} $45, {HERONS} $40, {OTTERS} + {HERONS} $80",
        f"{OTTERS} - $45 | {HERONS} - $40 | {OTTERS} + {HERONS} - $80",
        f"{OTTERS};$45;{HERONS};$40;{OTTERS} + {HERONS};$80",
        f"{OTTERS} 45, {HERONS} 40, {OTTERS} + {HERONS} 80",
    ],
)
def test_several_slots_in_a_row_without_headings(line, host):
    """Each has its own price; none is taken for another's."""
    _, rows = host(f"Halyard Hobby case break, 5 April 2031, fixed prices\n{line}\n", name="list.txt")
    assert [(slot, price) for _, _, slot, price, _, _ in rows] == [
        (OTTERS, "45.00"),
        (HERONS, "40.00"),
        (f"{OTTERS} + {HERONS}", "80.00"),
    ]
