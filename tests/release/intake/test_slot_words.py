"""What hosts write of slots: prices with marks beside them, how a slot is sold, and the teams it names."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rating.release.intake import SeasonWords, TeamWords
from rating.release.intake.slots.words import SlotNames, bare_slot, how_in, parted, price_in

SEASON = SeasonWords(
    teams=(
        TeamWords(name="Brindle Quay Otters", code="BQO", aliases=("Otters",)),
        TeamWords(name="Saltmarsh Herons", code="SMH"),
        TeamWords(name="Holm & Sound Drummers", code="HSD"),
        TeamWords(name="Low Tarn Pike", code="LTP"),
        TeamWords(name="Nacre Bay Divers", code="NA"),
        TeamWords(name="Vellin Étoiles", aliases=("Étoiles",)),
    ),
    currency="USD",
)
OTTERS, HERONS, DRUMMERS = "Brindle Quay Otters", "Saltmarsh Herons", "Holm & Sound Drummers"


@pytest.mark.parametrize(
    ("cell", "price"),
    [
        ("45", "45"),
        ("$45", "45"),
        ("45,00", "45"),
        ("45.5", "45.5"),
        ("45 USD", "45"),
        ("USD 45", "45"),
        ("€45,-", "45"),
        ("45 dollars", "45"),
        ("$1,250", "1250"),
        ("1.250,50 €", "1250.5"),
        ("$45 SOLD", "45"),
        ("$45 (sold)", "45"),
        ("45 each", "45"),
        ("$45 per spot", "45"),
        ("$45 obo", "45"),
        ("asking $45", "45"),
        ("high bid $45", "45"),
        ("$45 (was $50)", "45"),
        ("was $50 now $45", "45"),
        ("~~$50~~ $45", "45"),
        ("5\u03360\u0336 45", "45"),
        ("~~$45~~", "45"),  # struck out alone: what it cost before it went
        ("33.3333333", "33.33"),  # a third of 100, as a spreadsheet program computes it
        ("$.50", "0.5"),
    ],
)
def test_a_price_is_read_however_it_is_written(cell, price):
    """In whole cents."""
    assert price_in(cell, SEASON) == Decimal(price)


@pytest.mark.parametrize(
    "cell", ["", "-", "—", "n/a", "N.A.", "SOLD", "Sold out!", "filled", "taken", "TBD", "x"]
)
def test_what_stands_for_no_price_is_none(cell):
    """The slot is gone, or nothing was asked."""
    assert price_in(cell, SEASON) is None


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        ("-45", "below 0"),
        ("$-45", "below 0"),
        ("-$45", "below 0"),
        ("(45)", "not an amount"),
        ("0", "is 0"),
        ("0.004", "is 0"),
        ("1000001", "more than any slot costs"),
        ("9" * 40, "more than any slot costs"),
        ("40-50", "several amounts"),
        ("$45 $50", "several amounts"),
        ("=B2", "not an amount"),
        ("=45+0", "several amounts"),
        ("@SUM(A1)", "not an amount"),
        ("#N/A", "not an amount"),
        ("#REF!", "not an amount"),
        ("yes", "not an amount"),
        ("1E5", "several amounts"),
        ("inf", "not an amount"),
        ("ask me", "not an amount"),
        ("1:24", "several amounts"),
        ("\u0664\u0665", "not an amount"),
    ],
)
def test_what_is_no_price_is_refused(cell, why):
    """With the reason."""
    with pytest.raises(ValueError, match=why):
        price_in(cell, SEASON)


@pytest.mark.parametrize(
    ("words", "how"),
    [
        ("PYT case break", "fixed"),
        ("Pick your team", "fixed"),
        ("Buy now", "fixed"),
        ("Asking price", "fixed"),
        ("Random teams", "random"),
        ("randomized", "random"),
        ("Auction", "auction"),
        ("winning bid", "auction"),
        ("best offer", "offer"),
        ("team draft", "draft"),
        ("draft", "draft"),
        ("first draft of the list", ""),
        ("PYT, the rest random", ""),  # it says two things
        ("case break", ""),
    ],
)
def test_how_a_slot_is_sold_is_told_by_words(words, how):
    """Nothing where nothing is said."""
    assert how_in(words) == how


@pytest.mark.parametrize(
    ("cell", "teams"),
    [
        ("Otters", [OTTERS]),
        ("BRINDLE QUAY OTTERS", [OTTERS]),
        ("bqo", [OTTERS]),
        ("NA", ["Nacre Bay Divers"]),
        ("Herons", [HERONS]),  # the only team with that nickname
        ("Low Tarn", ["Low Tarn Pike"]),
        ("Etoiles", ["Vellin Étoiles"]),
        ("Holm & Sound Drummers", [DRUMMERS]),
        ("Otters/Herons", [OTTERS, HERONS]),
        ("Otters + Herons", [OTTERS, HERONS]),
        ("Otters and Herons", [OTTERS, HERONS]),
        ("Otters & Holm & Sound Drummers", [OTTERS, DRUMMERS]),
        ("Drummers & Otters & SMH", [DRUMMERS, OTTERS, HERONS]),
        ("Otters / West", []),
        ("West", []),
        ("", []),
    ],
)
def test_teams_are_known_by_names_codes_and_nicknames(cell, teams):
    """Alone and together; an '&' inside a name joins nothing."""
    assert SlotNames(SEASON).teams(cell) == teams


def test_a_nickname_that_two_teams_have_names_neither():
    """Only what tells one team from all others does."""
    names = SlotNames(
        SeasonWords(teams=(TeamWords(name="East Tarn Foxes"), TeamWords(name="West Tarn Foxes")))
    )
    assert names.teams("Foxes") == []
    assert names.teams("East Tarn") == ["East Tarn Foxes"]


def test_the_checklists_teams_stand_in_for_those_of_a_season_without_any():
    """And the season's own go first where it has some."""
    assert SlotNames(SeasonWords(), ["Tarn End Foxes"]).teams("Foxes") == ["Tarn End Foxes"]
    assert SlotNames(SEASON, ["Tarn End Foxes"]).teams("Foxes") == []


@pytest.mark.parametrize(
    ("cell", "near"),
    [
        ("Brindle Quay Oters", OTTERS),
        ("Oters / Saltmarsh Herrons", f"{OTTERS} + {HERONS}"),
        ("Vellin ?toiles", "Vellin Étoiles"),
        ("West", ""),
        ("Oters / West", ""),
    ],
)
def test_a_misspelt_team_has_a_near_one(cell, near):
    """Every part of a pair has to."""
    assert SlotNames(SEASON).near(cell) == near


@pytest.mark.parametrize(
    ("line", "parts"),
    [
        ("Otters - $45 (sold)", ("Otters - ", "$45", " (sold)")),
        ("Otters-$45", ("Otters-", "$45", "")),
        ("$45 Otters", ("", "$45", " Otters")),
        ("Otters 45", ("Otters ", "45", "")),
        ("Otters ~~$50~~ $45", ("Otters ", "~~$50~~ $45", "")),
        ("Otters", None),
        ("2031 Halyard", None),
    ],
)
def test_a_line_is_parted_at_its_price(line, parts):
    """What stands before it, and what follows."""
    assert parted(line) == parts


@pytest.mark.parametrize(
    "cell",
    [
        "Otters",
        "* Otters:",
        "1. Otters ...",
        "[x] Otters",
        "Otters - SOLD!",
        "• Otters (taken)",
        "Otters spot",
    ],
)
def test_bullets_and_marks_are_no_part_of_a_name(cell):
    """The name alone stays."""
    assert bare_slot(cell) == "Otters"
