"""The one sentence of each section: with its numbers, and without what is not known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from rating.facts import sections
from rating.facts.context import Buying, PriceClass, Rookie, SeasonContext
from rating.facts.gather import gather
from rating.facts.history.value import Edition, History
from rating.facts.plain import Unknown, as_json_values, as_text_values
from rating.facts.stored import stored
from rating.release.checklist import Card
from rating.release.market import Price
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"

HOBBY = Format(
    key="hobby",
    name="Hobby",
    cards_per_pack=Decimal(8),
    packs_per_box=14,
    boxes_per_case=12,
    guarantees=(Guarantee(what="autograph", count=Decimal(4), per="box", hard=True),),
)
BY_KEY = {one.key: one for one in sections.SECTIONS}
BLANK = History(line="Halyard", since=None, editions=())
TEAMS = ("Otters", "Herons", "Rooks", "Foxes", "Gulls")


def told(section, *prices, cards=None, teams=TEAMS, rookies=None, history=BLANK, tax="0", formats=(HOBBY,)):
    """The sentence of one section."""
    return BY_KEY[section].told(facts(prices, cards, teams, rookies, history, tax, formats))


def facts(prices=(), cards=None, teams=TEAMS, rookies=None, history=BLANK, tax="0", formats=(HOBBY,)):
    """The facts of a small release."""
    sheet = Sheet(
        slug="halyard",
        title="Halyard",
        maker="Wickfield",
        line="Halyard",
        released_on=date(2031, 3, 12),
        formats=formats,
        headline="hobby",
        disclosure=None,
    )
    season = SeasonContext(
        name="2031",
        currency="USD",
        teams=teams,
        rookies=rookies,
        classes=(PriceClass(name="all", below=None),),
        buying=Buying(tax=Decimal(tax)),
        aliases={},
    )
    rows = tuple(
        Price(date(2031, 4, 1), "hobby", unit, kind, Decimal(amount), "", "x", place)
        for place, (amount, kind, unit) in enumerate(prices)
    )
    return gather(Release(sheet=sheet, prices=rows, cards=cards), season, history, as_of=date(2031, 7, 15))


def card(number, subset="Base", kind="base", subjects=("Ada",), teams=("Otters",), **more):
    """A card."""
    values = {"rookie": False, "print_run": None, "signed": "", "relic": "", "variation": False}
    values |= {"redemption": False, "note": "", "row": 2} | more
    return Card(subset=subset, kind=kind, number=number, subjects=subjects, teams=teams, **values)


# 168 / 112 cards = 1.50, 168 / 4 hits = 42; 1680 x 1.06 = 1780.80; 168 / 160 = 1.05 and 168 / 224 = 0.75;
# twelve boxes are 2016, a case of 1814.40 is a tenth cheaper
USUAL = "A Hobby box sells for $168.00: $1.50 a card and $42.00 a hit."
DEAR = "A Hobby box sells for $1,680.00: $15.00 a card and $420.00 a hit."
PRICES = [
    ([], "0", "There is no price for a Hobby box yet."),
    ([("168", "list", "box")], "0", USUAL.replace("sells for", "lists at")),
    ([("1680", "street", "box")], "0.06", f"{DEAR} With tax and shipping it costs $1,780.80."),
    (
        [("160", "list", "box"), ("168", "street", "box"), ("1814.40", "street", "case")],
        "0",
        (
            f"{USUAL} The going price is 5 % above the maker's price. A case sells for $1,814.40, 10 % less "
            "than its boxes cost one by one at the street price."
        ),
    ),
    (
        [("224", "list", "box"), ("168", "street", "box"), ("2016", "street", "case")],
        "0",
        f"{USUAL} The going price is 25 % below the maker's price.",
    ),
    (
        [("167.99", "list", "box"), ("168", "street", "box")],
        "0",
        f"{USUAL} The going price is right at the maker's price.",
    ),
]


@pytest.mark.parametrize(("prices", "tax", "sentence"), PRICES)
def test_prices_are_told_as_a_host_would(prices, tax, sentence):
    """Worked out beside each."""
    assert told("economics", *prices, tax=tax) == sentence


def test_a_checklist_is_told_with_what_stands_out():
    """Cards, subsets, hits, signers, the team that has most, what exists once."""
    cards = (
        card("1"),
        card("2", teams=("Herons",)),
        card("S1", "Ink", "autograph", ("Ada",), print_run=1),
        card("S2", "Ink", "autograph", ("Bo",), print_run=99),
        card("R1", "Cuts", "relic"),
    )
    assert told("content", cards=cards) == (
        "5 cards in 3 subsets; 3 are hits, and 2 people sign. Otters have the most cards: 4. "
        "Counting parallels, there is 1 one-of-one."
    )
    twice = told("content", cards=(*cards, card("S3", "Ink", "autograph", ("Bo",), print_run=1)))
    assert twice.endswith(" Counting parallels, there are 2 one-of-ones.")
    assert told("content", cards=(card("1", teams=()),)) == "1 card in 1 subset, none of them a hit."


PEOPLE = [
    (("Otters",), None, "1 of 1 team has cards. There is no rookies.csv, so who is a rookie is not known."),
    (
        ("Otters", "Herons"),
        ("Ada",),
        "1 of 2 teams has cards; Herons have none. 1 of the 1 rookie has cards.",
    ),
    (
        ("Otters", "Herons", "Rooks"),
        ("Ada", "Bo"),
        "1 of 3 teams has cards; Herons and Rooks have none. 1 of the 2 rookies has cards; Bo is missing.",
    ),
    (TEAMS, ("Ada", "Bo", "Cy", "Di", "Eve"), "1 of 5 teams has cards. 1 of the 5 rookies has cards."),
    (TEAMS, ("Bo", "Cy"), "1 of 5 teams has cards. 0 of the 2 rookies have cards; Bo and Cy are missing."),
]


@pytest.mark.parametrize(("teams", "rookies", "sentence"), PEOPLE)
def test_people_are_told_with_who_is_missing(teams, rookies, sentence):
    """By name up to three."""
    members = None
    if rookies is not None:
        members = tuple(Rookie(subject=name, team="", since=None) for name in rookies)
    found = told("people", cards=(card("1"),), teams=teams, rookies=members)
    unknown = " Who is wanted is not known: neither sales nor demand.csv say."
    if "1 of the" in sentence:
        sentence = f"{sentence} 1 rookie has nothing but base cards."
    assert found == sentence + unknown


def edition(**changes):
    """An edition of the year before."""
    values = {"season": "2030", "release": "halyard", "title": "Wickfield 2030 Halyard", "scores": {}}
    values |= {"list_price": Decimal(140), "street_price": Decimal("172.50"), "grade": 585}
    values |= {"launch_price": Decimal(150)} | changes
    return Edition(**values)


BEFORE = "he previous edition, Wickfield 2030 Halyard,"
SOLD = "sold for $150.00 at launch and $172.50 most recently"
NEW = "No earlier edition of Halyard is on file"


@pytest.mark.parametrize(
    ("history", "sentence"),
    [
        (BLANK, f"{NEW}."),
        (
            History(line="Halyard", since=2026, editions=()),
            f"{NEW}, though it began in 2026.",
        ),
        (
            History(line="Halyard", since=2026, editions=(edition(), edition(title="older"))),
            f"A box of t{BEFORE} {SOLD}; that edition was graded 58.5.",
        ),
        (
            History(line="Halyard", since=None, editions=(edition(launch_price=None, grade=None),)),
            f"T{BEFORE} has no going prices on file to compare.",
        ),
    ],
)
def test_the_past_is_told_by_the_edition_before(history, sentence):
    """Its prices and grade, as far as they are on file."""
    assert told("history", history=history) == sentence


def test_what_is_not_known_says_why():
    """A section that cannot be computed is told as such."""
    assert told("content") == "Not known: there is no checklist yet."
    assert told("people") == "Not known: there is no checklist yet."
    assert told("economics", formats=()) == "Not known: no box formats are on file yet."


@pytest.mark.parametrize("section", sections.all_keys())
def test_every_section_has_one_line(section):
    """No line ends, no blanks at the ends, and a full stop."""
    said = told(section, ("168", "street", "box"), cards=(card("1"),))
    assert said == said.strip()
    assert "\n" not in said
    assert said[-1] == "."


def test_facts_are_stored_as_text_and_whole_numbers():
    """Decimals become decimal text, dates ISO text; nothing is a float, and the tables stay outside."""

    def floats(value):
        if isinstance(value, dict):
            return [one for inner in value.values() for one in floats(inner)]
        if isinstance(value, list):
            return [one for inner in value for one in floats(inner)]
        return [value] if isinstance(value, float) else []

    kept = stored(facts([("168.50", "street", "box")], (card("1"),)))
    assert floats(kept) == []
    main = kept["economics"]["formats"]["hobby"]
    assert (main["box_price"], main["price_day"]) == ("168.5", "2031-04-01")
    assert kept["released_on"] == "2031-03-12"
    assert not {"cards", "parallels", "odds"} & set(kept)
    assert stored(facts())["content"] == {"unknown": "there is no checklist yet"}


def test_a_decimal_is_text_when_stored_and_a_number_when_answered():
    """Whole numbers stay whole."""
    assert as_text_values((Decimal("1.50"), Decimal(3), date(2031, 1, 2))) == ["1.5", "3", "2031-01-02"]
    assert as_json_values((Decimal("1.50"), Decimal("3.0"), None)) == [1.5, 3, None]
    assert isinstance(as_json_values(Decimal("3.0")), int)


@pytest.mark.parametrize(
    ("launched", "street", "held"),
    [
        ("150", "172.50", "1.15"),
        ("150", "50", "0.333333"),
        (None, "5", None),
        ("5", None, None),
        ("0", "5", None),
    ],
)
def test_what_an_edition_held_is_its_last_price_over_that_at_launch(launched, street, held):
    """172.50 / 150 = 1.15, to six digits; without both it is not known."""
    values = [None if one is None else Decimal(one) for one in (launched, street, held)]
    assert edition(launch_price=values[0], street_price=values[1]).held == values[2]


def test_the_set_is_told_with_packs_boxes_and_money():
    """The packs of 220 cards by 5.3 a pack, what one box has, and the cheapest way over all formats.

    Three Retail boxes are (3 x 24.99 + 6.50) x 1.06 = 86.36; 121.04 missing at 1.09 and 1.10 for all, 133.03.
    """
    facts = Season.open(SAMPLE).facts("halyard")
    words = BY_KEY["completing"].told(facts)
    assert words.startswith(
        "If packs are filled at random, collecting all 220 base cards takes about 18 Hobby boxes on average, "
        "and nine times in ten no more than "
    )
    assert (
        "If instead no base card comes twice in the same box, the whole set takes about 15 Hobby boxes."
        in words
    )
    assert words.endswith(
        "The cheapest way costs $219.40: 3 Retail boxes, then singles at $1.09 each, plus $1.10 postage in "
        "total. Opening Hobby boxes until the set is complete costs $3,410.89 on average."
    )
    (advised,) = (one for one in facts.advice.aims if one.aim == "set builder")
    assert (advised.buy, advised.boxes, advised.format) == ("box", 3, "retail")
    assert advised.why.startswith("The cheapest way costs $219.40: 3 Retail boxes, ")
    lead = BY_KEY["completing"].led(facts.completing, facts)
    assert lead == "Base set: about 18 Hobby boxes; the cheapest way costs $219.40."


def test_a_cheap_box_is_told_with_how_many_to_open():
    """Singles at what leaves a seller the bulk floor: (0.08 + 1.10 + 0.40) / 0.87 = 1.82, 1.10 of it once."""
    words = BY_KEY["completing"].told(Season.open(SAMPLE).facts("ropewalk"))
    assert "singles at $0.72 each, plus $1.10 postage in total" in words


def test_opening_is_told_with_waits_hits_and_surprises():
    """With and without something that every pack has."""
    season = Season.open(SAMPLE)
    words = BY_KEY["opening"].told(season.facts("slipway"))
    assert words.startswith("54 % of packs hold more than base cards; ")
    assert " In a box, the longest run of packs with only base cards is " in words
    assert "60 % of boxes have no hit" in words
    words = BY_KEY["opening"].told(season.facts("halyard"))
    assert words.startswith("Every pack holds more than base cards; 4.5 hits per box.")
    assert (
        "Every pack has a Base Mist card; 84 % of packs also hold something else besides base cards." in words
    )


@pytest.mark.parametrize("section", ["completing", "opening"])
def test_a_format_that_is_not_known_is_told(section):
    """The headline's reason."""
    facts = Season.open(SAMPLE).facts("halyard")
    known = getattr(facts, section)
    dark = replace(known, formats={**known.formats, "hobby": Unknown("nobody said how it is packed")})
    told = BY_KEY[section].told(facts.replaced(**{section: dark}))
    assert told == "Not known: nobody said how it is packed."
