"""Finding a person by name as people type it."""

from __future__ import annotations

import pytest

from rating.facts.falling.names import look_up, words

PEOPLE = (
    "Maddoc Núñez-Holm",
    "Orla Łowicz",
    "Rhosyn Quenby",
    "Ivo Quenby",
    "Ulric Garrity-Wren",
    "Bo Larkin",
    "Bo Larkins",
    "Søren O'Dell",
)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Maddoc Núñez-Holm", "Maddoc Núñez-Holm"),
        ("MADDOC NUNEZ HOLM", "Maddoc Núñez-Holm"),
        ("nu\u0301n\u0303ez-holm, maddoc", "Maddoc Núñez-Holm"),
        ("lowicz orla", "Orla Łowicz"),
        ("soren odell", "Søren O'Dell"),
        ("O’Dell Søren", "Søren O'Dell"),
        ("bo larkin", "Bo Larkin"),
    ],
)
def test_accents_capitals_points_and_order_do_not_matter(typed, meant):
    """That is the name as a whole, and no guess."""
    found = look_up(typed, PEOPLE)
    assert (found.names, found.candidates, found.is_near) == ((meant,), (), False)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("lowicz", "Orla Łowicz"),
        ("nunez", "Maddoc Núñez-Holm"),
        ("garr", "Ulric Garrity-Wren"),
        ("larkins", "Bo Larkins"),
        ("rhosin quenbi", "Rhosyn Quenby"),
        ("Ulrik Garity Wren", "Ulric Garrity-Wren"),
        ("nunezholm madoc", "Maddoc Núñez-Holm"),
    ],
)
def test_a_part_or_a_misspelling_that_fits_one_person_is_taken(typed, meant):
    """And marked as such."""
    found = look_up(typed, PEOPLE)
    assert (found.names, found.is_near) == ((meant,), True)


@pytest.mark.parametrize("typed", ["quenby", "quenbi", "QUEN"])
def test_several_people_are_candidates(typed):
    """A surname that two share, right or wrong, decides nothing."""
    found = look_up(typed, PEOPLE)
    assert found.names == ()
    assert set(found.candidates) == {"Rhosyn Quenby", "Ivo Quenby"}


@pytest.mark.parametrize("typed", ["xyzzy", "", " - ", "Wilhelmina Brackenbury"])
def test_nobody_is_nobody(typed):
    """Neither a name nor a candidate."""
    found = look_up(typed, PEOPLE)
    assert (found.names, found.candidates) == ((), ())


def test_all_spellings_of_one_person_count():
    """As two makers write them."""
    assert set(look_up("orla lowicz", ["Orla Łowicz", "Orla Lowicz", "LOWICZ, Orla"]).names) == {
        "Orla Łowicz",
        "Orla Lowicz",
        "LOWICZ, Orla",
    }
    assert words("Łowicz, ORLA") == ("lowicz", "orla")
