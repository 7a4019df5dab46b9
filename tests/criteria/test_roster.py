"""`roster`: without demand, the share of the season's teams that are served."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.roster import CRITERION
from rating.criterion import Unknown
from rating.facts.values import Demand, Wanted


@pytest.mark.parametrize(
    ("served", "score"),
    [
        (8, 65),
        (7, 44),  # 0.875: 40 + 25 x 0.025 / 0.15 = 44.2
        (6, 29),  # 0.75: 40 x 0.25 / 0.35 = 28.6
        (4, 0),
        (3, 0),
    ],
)
def test_the_measure_is_the_share_of_teams(facts, scored, served, score):
    """Every team is what one expects, and teams alone do not make a roster: 65 at most."""
    teams = facts().season.teams
    found = CRITERION.ask_of(facts(people={"teams_served": teams[:served], "teams_missing": teams[served:]}))
    assert found.measure == Fraction(served, 8)
    assert scored(CRITERION, found).score == score


@pytest.mark.parametrize(
    ("missing", "words"),
    [
        (0, "All 8 teams have cards."),
        (1, "7 of the 8 teams have cards; missing are Team H."),
        (3, "5 of the 8 teams have cards; missing are Team F, Team G, Team H."),
        (4, "4 of the 8 teams have cards; missing are Team E, Team F, Team G and others."),
    ],
)
def test_the_reason_says_who_is_missing(facts, missing, words):
    """And that demand is not counted."""
    teams = facts().season.teams
    served = len(teams) - missing
    found = CRITERION.ask_of(facts(people={"teams_served": teams[:served], "teams_missing": teams[served:]}))
    assert found.reason == (f"{words} Who is wanted is not known yet, so this is about teams only.")
    assert [one for one in found.evidence if one.startswith("without a card")] == [
        f"without a card: {team}" for team in teams[served:]
    ]


def test_a_season_without_teams_cannot_say(facts):
    """Unknown, and the file that would tell."""
    assert CRITERION.ask_of(facts(season={"teams": ()})) == Unknown("season.toml lists no teams")
    assert CRITERION.ask_of(facts(people=Unknown("not yet"))) == Unknown("not yet")


def wanted(subject, demand, signatures=1):
    """A subject that is wanted and in it."""
    return Wanted(
        subject=subject,
        team="",
        demand=Decimal(demand),
        basis="nudge",
        why="",
        cards=2,
        signatures=signatures,
        relics=0,
        rookie=False,
        subsets=(),
        per_box=None,
        p_box=None,
        at_least=False,
    )


def test_with_demand_the_wanted_count_as_much_as_teams(facts, scored):
    """7 of 8 teams; 90 and 80 of 250 wanted are in it and 90 signs: 0.4375 + 0.34 + 0.09 = 0.8675."""
    people = {
        "wanted": (wanted("Ada", 90), wanted("Bo", 80, signatures=0)),
        "wanted_missing": (Demand(subject="Cy", demand=Decimal(80), basis="nudge", why=""),),
    }
    found = CRITERION.ask_of(facts(people=people))
    assert found.measure == Fraction(7, 16) + Fraction(170, 500) + Fraction(90, 1000)
    assert scored(CRITERION, found).score == 43  # 40 + 25 x 0.0175 / 0.15 = 42.9
    assert found.reason.endswith("Of the 3 most wanted 2 are in it, and Cy is missing.")
    assert "wanted and absent: Cy" in found.evidence


def test_everybody_wanted_and_signing_is_the_top_of_the_scale(facts, scored):
    """All teams, all wanted, all signing: 0.5 + 0.5 + 0.25."""
    teams = facts().season.teams
    people = {"teams_served": teams, "teams_missing": (), "wanted": (wanted("Ada", 90),)}
    assert scored(CRITERION, CRITERION.ask_of(facts(people=people))).score == 100
