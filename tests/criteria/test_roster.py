"""`roster`: without demand, the share of the season's teams that are served."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.roster import CRITERION
from rating.criterion import Unknown
from rating.facts.context import Demand
from rating.facts.people.value import Wanted


@pytest.mark.parametrize(
    ("served", "score"),
    [
        (8, 65),
        (7, 56),  # 0.875: 50 + 15 x 0.075 / 0.2 = 55.6
        (6, 44),  # 0.75: 50 x 0.35 / 0.4 = 43.75
        (4, 13),  # 0.5: 50 x 0.1 / 0.4 = 12.5
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
        (1, "7 of the 8 teams have cards; Team H are missing."),
        (3, "5 of the 8 teams have cards; Team F, Team G and Team H are missing."),
        (4, "4 of the 8 teams have cards; Team E, Team F, Team G and others are missing."),
    ],
)
def test_the_reason_says_who_is_missing(facts, missing, words):
    """And that demand is not counted."""
    teams = facts().season.teams
    served = len(teams) - missing
    found = CRITERION.ask_of(facts(people={"teams_served": teams[:served], "teams_missing": teams[served:]}))
    assert found.reason == (f"{words} Who is wanted is not known yet, so this score goes by teams alone.")
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
    assert scored(CRITERION, found).score == 55  # 50 + 15 x 0.0675 / 0.2 = 55.1
    assert found.reason.endswith("2 of the 3 most-wanted players have cards; Cy is missing.")
    assert "most wanted, but without a card: Cy" in found.evidence


def test_a_small_checklist_with_few_of_the_wanted_stays_above_the_bottom(facts, scored):
    """All teams, one of five wanted, not signing: 0.5 + 0.1 = 0.6, and 50 x 0.2 / 0.4 = 25."""
    absent = tuple(Demand(subject=name, demand=Decimal(90), basis="sales", why="") for name in "BCDE")
    people = {
        "teams_served": facts().season.teams,
        "teams_missing": (),
        "wanted": (wanted("A", 90, signatures=0),),
        "wanted_missing": absent,
    }
    found = CRITERION.ask_of(facts(people=people))
    assert scored(CRITERION, found).score == 25
    assert found.evidence[-1] == "most wanted, but without a card: B, C, D, E"


def test_everybody_wanted_and_signing_is_the_top_of_the_scale(facts, scored):
    """All teams, all wanted, all signing: 0.5 + 0.5 + 0.25."""
    teams = facts().season.teams
    people = {"teams_served": teams, "teams_missing": (), "wanted": (wanted("Ada", 90),)}
    assert scored(CRITERION, CRITERION.ask_of(facts(people=people))).score == 100


def test_own_sales_alone_do_not_say_who_is_missing(facts, scored):
    """Who was sold in it is in it, so all wanted would be: 8 of 8 teams alone count."""
    teams = facts().season.teams
    people = {"teams_served": teams, "teams_missing": (), "wanted": (wanted("Ada", 90),)}
    own = {"has_own_sales": True}
    found = CRITERION.ask_of(facts(people=people, season=own))
    assert scored(CRITERION, found).score == 65
    assert found.reason.endswith(
        "Only this release's own sales show who is wanted, and they cannot show who is missing, so this "
        "score goes by teams alone."
    )
    ada = Demand(subject="Ada", demand=Decimal(90), basis="nudge", why="")
    by_host = CRITERION.ask_of(facts(people=people, season=own | {"demand_elsewhere": {"ada": ada}}))
    assert scored(CRITERION, by_host).score == 100
