"""What season.toml says of breaks: house rules, tiers, pairs, divisions, and every slip in them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rating import tomlfile
from rating.errors import Refused
from rating.facts.house import CONTENT_POINTS, HouseRules, SlotRules, TierMove
from rating.season.settings import config

HEAD = """format = 1
name = "Mine"
currency = "USD"
[[raters]]
key = "me"
name = "Me"
[[classes]]
name = "all"
[[teams]]
name = "Brindle Quay Otters"
aliases = ["Otters"]
division = "Outer"
[[teams]]
name = "Kelderby Rooks"
code = "KEL"
division = "Inner"
"""


def read(more=""):
    return config.read(tomlfile.parse(HEAD + more, file="season.toml"))


def test_a_season_that_says_nothing_has_the_usual_rules():
    """Lots for what several or none have a claim to, no margin, four tiers."""
    found = read()
    assert found.house == HouseRules()
    assert found.slots == SlotRules(
        divisions={"Outer": ("Brindle Quay Otters",), "Inner": ("Kelderby Rooks",)}
    )


def test_every_rule_is_read():
    """Teams by alias or code; kinds that are not named keep what they count."""
    found = read(
        """
[house_rules]
two_teams = "first named"
no_team = "host"
traded = "team now"
redemptions = "host"
base = "not shipped"
[house_rules.now_with]
"Orla Łowicz" = "KEL"
[slots]
margin = 0.15
tiers = ["up", "down"]
pairs = [["Otters", "KEL"]]
[slots.content]
autograph = 30
[[slots.moves]]
release = "halyard"
slot = "Otters"
tier = "down"
reason = "Nobody collects them."
"""
    )
    assert found.house == HouseRules(
        two_teams="first named",
        no_team="host",
        traded="team now",
        redemptions="host",
        base="not shipped",
        now_with={"orla łowicz": "Kelderby Rooks"},
    )
    assert found.slots.margin == Decimal("0.15")
    assert found.slots.tiers == ("up", "down")
    assert found.slots.pairs == (("Brindle Quay Otters", "Kelderby Rooks"),)
    assert found.slots.content == CONTENT_POINTS | {"autograph": Decimal(30)}
    assert found.slots.moves == (TierMove("halyard", "Otters", "down", "Nobody collects them."),)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('[house_rules]\ntwo_teams = "both"', "house_rules.two_teams is 'both'"),
        ('[house_rules]\nthree_teams = "host"', "house_rules.three_teams is not known here"),
        ('[house_rules.now_with]\n"A" = "Gulls"', "is with 'Gulls', which is not a team of the season"),
        ("[slots]\nmargin = -1", "slots.margin is -1"),
        ('[slots]\ntiers = ["a", "A"]', "slots.tiers have two of one name"),
        (f"[slots]\ntiers = {[str(i) for i in range(13)]}".replace("'", '"'), "slots.tiers are 13"),
        ('[slots]\npairs = ["Otters"]', "slots.pairs are not lists of at least two teams"),
        ('[slots]\npairs = [["Otters", "Gulls"]]', "slots.pairs name Gulls, which the season does not have"),
        (
            '[slots]\npairs = [["Otters", "KEL"], ["KEL", "Otters"]]',
            "slots.pairs name Brindle Quay Otters twice",
        ),
        ("[slots.content]\nsticker = 2", "slots.content.sticker is not known here"),
        (
            '[[slots.moves]]\nrelease = "r"\nslot = "Otters"\ntier = "top"\nreason = "Mine."',
            "slots.moves.#1.tier is 'top'",
        ),
        (
            '[[slots.moves]]\nrelease = "r"\nslot = "Otters"\ntier = "first"',
            "slots.moves.#1.reason is missing",
        ),
    ],
)
def test_every_slip_is_named_with_its_place(more, said):
    """All at once, as in the rest of the file."""
    with pytest.raises(Refused) as fault:
        read(more)
    assert said in str(fault.value)
