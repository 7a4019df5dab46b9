"""What is a list of slot prices, and what is one of the other kinds."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from rating.release.intake import SeasonWords, TeamWords, grid
from rating.release.intake.slots.layout import Layout
from rating.release.intake.slots.words import SlotNames

SAMPLE = Path(__file__).resolve().parents[3] / "sample_ratings" / "releases"
NAMES = ("Brindle Quay Otters", "Saltmarsh Herons", "Low Tarn Pike", "Kelderby Rooks", "Dunmere Harrows")
SEASON = SeasonWords(
    teams=tuple(TeamWords(name=name, aliases=(name.split()[-1],)) for name in NAMES), currency="USD"
)
TITLES = """\
Date,Product,Team,Price
2031-04-01,2031 Wickfield Halyard Orla Lowicz Amber 12/75,Rooks,$5.00
2031-04-01,2031 Wickfield Halyard Ulric Garrity-Wren Auto,Harrows,$9.00
"""
SALES = (
    "Orla Lowicz Amber 12/75",
    "Ulric Garrity-Wren Auto",
    "Ada Finch Mist",
    "Pell Quist RC",
    "Una Holt Wire 1/1",
    "Zoe Tarn Amber",
    "Bo Merrow RC",
    "Cy Oxley Auto",
)


def layout(season=SEASON):
    """What tells the lists apart."""
    return Layout(season, SlotNames(season), date(2031, 7, 15))


def is_slots(content, season=SEASON, name="list.csv"):
    """Whether a text is taken for slot prices."""
    return layout(season).is_slots(grid.text_grid(content, name))


@pytest.mark.parametrize(
    "content",
    [
        "Team,Price\nOtters,$45\n",
        "Spot;Cost\nWest;120\n",
        "date,format,slot,price,how\n2031-04-05,hobby,Otters,45,fixed\n",
        "Date,Product,Team,Ask,Type\n2031-04-05,Halyard Hobby,Otters,45,PYT\n",
        "#,Team,Spot price,Buyer\n1,Otters,45,Jo\n",
        "Team,Apr 5,Apr 12\nOtters,45,40\n",
        "Team,Hobby,Retail\nOtters,$45,$9\n",
        "Date,Otters,Herons,Pike\n2031-04-05,45,40,12\n",
        "Team,Price,Team,Price\nOtters,45,Herons,40\n",
        "Halyard case break\nOtters $45\nHerons $40\n",
        "Otters - $45\nHerons - $40\nPike - $12\n",
        "Random teams, $35 each\n",
        "Division break\nNorth: $130\nSouth: $110\n",
    ],
)
def test_lists_of_slot_prices_are_recognised(content):
    """By their headers, or by lines of teams and prices."""
    assert is_slots(content)


@pytest.mark.parametrize(
    "content",
    [
        "Date,Title,Price\n2031-04-01,2031 Halyard Orla Lowicz,$5.00\n",
        "Date,Title,Team,Price\n2031-04-01,2031 Halyard Orla Lowicz,Rooks,$5.00\n",
        "Sold,Item,Team,Price\n2031-04-01,2031 Halyard PYT break Otters,Otters,$45\n",
        TITLES,
        "Card,Player,Team\n1,Orla Lowicz,Rooks\n2,Ada Finch,Otters\n",
        "Card #,Team,Price\n1,Rooks,5\n2,Otters,4\n",
        "Player,Team,Price\nOrla Lowicz,Rooks,5\n",
        "Set,Hobby,Retail\nBase,1:3,1:5\n",
        "Team,Hobby,Retail\nOtters,26,24\nHerons,25,22\n",  # cards of each team
        "Team,Cards\nOtters,26\nHerons,25\n",
        "Otters,26\nHerons,25\nPike,12\n",
        "Code,Team\nBQO,Brindle Quay Otters\nSMH,Saltmarsh Herons\n",
        "2031 Halyard Otters team lot $45 sold Apr 5\n2031 Halyard Herons team lot $40 sold Apr 6\n",
        "Hobby: 8 cards per pack, 14 packs per box. SRP $164.95 per box.\nReleases March 12.\n",
        "date,format,unit,kind,price,currency,source\n2031-03-12,hobby,box,list,164.95,,\n",
    ],
)
def test_lists_of_other_kinds_are_left_to_their_readers(content):
    """Sold cards, checklists, odds, counts of cards, keys and sell sheets."""
    assert not is_slots(content)


@pytest.mark.parametrize("head", ["Spot,Price\n", "Slot,Cost\n", "Team,Price\n", ""])
def test_titles_of_sales_are_no_slots(head):
    """A year and words each, whatever stands above them."""
    lines = (f"2031 Wickfield Halyard {title},${place + 3}.00\n" for place, title in enumerate(SALES))
    assert not is_slots(head + "".join(lines))


def test_titles_that_name_teams_are_slots():
    """A host may write the year and the product into each row."""
    lines = (f"2031 Wickfield Halyard {name},${place + 30}.00\n" for place, name in enumerate(NAMES))
    assert is_slots("Spot,Price\n" + "".join(lines))


def test_the_makers_files_are_no_slot_prices(halyard, makers):
    """Every file of the fixtures, by every sheet of it."""
    files = {path.name: path.read_bytes() for path in halyard.iterdir() if path.is_file()}
    files |= {one.file: one.content for one in makers.values()}
    del files["answers.json"]
    grids = [one for name, data in files.items() for one in grid.read_data(data, name)]
    assert len(grids) > len(files) > 7
    assert [(one.file, one.sheet) for one in grids if layout().is_slots(one)] == []


@pytest.mark.parametrize("table", ["checklist", "parallels", "odds", "sales", "prices", "opened"])
def test_the_other_tables_of_the_sample_are_no_slot_prices(table):
    """And its slot prices are."""
    paths = list(SAMPLE.glob(f"*/{table}.csv"))
    assert [path for path in paths if layout().is_slots(grid.read(path)[0])] == []
    assert layout().is_slots(grid.read(SAMPLE / "halyard" / "slots.csv")[0])


def test_a_season_names_columns_of_its_own():
    """A word for teams is one for slots too; without it the list is not recognised."""
    content = "Crew,Toll\nOtters,45\n"
    assert not is_slots(content)
    own = SeasonWords(teams=SEASON.teams, columns={"team": ("Crew",), "price": ("Toll",)})
    assert is_slots(content, own)
