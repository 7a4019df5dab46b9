"""`roster`: without demand, the share of the season's teams that are served."""

from __future__ import annotations

from fractions import Fraction

import pytest

from criteria.roster import CRITERION
from rating.criterion import Unknown


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
    assert found.reason == (f"{words} Who is wanted is not counted yet, so this is about teams only.")
    assert [one for one in found.evidence if one.startswith("without a card")] == [
        f"without a card: {team}" for team in teams[served:]
    ]


def test_a_season_without_teams_cannot_say(facts):
    """Unknown, and the file that would tell."""
    assert CRITERION.ask_of(facts(season={"teams": ()})) == Unknown("season.toml lists no teams")
    assert CRITERION.ask_of(facts(people=Unknown("not yet"))) == Unknown("not yet")
