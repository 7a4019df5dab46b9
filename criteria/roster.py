"""Are the people and teams that collectors want in it? Without demand: the share of teams served."""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import Criterion, Facts, Finding, People, Unknown, scale


def find(facts: Facts) -> Finding | Unknown:
    """The share of the season's teams with at least one card; who is wanted is not known without demand."""
    people = facts.people
    if not isinstance(people, People):
        return people
    teams = len(facts.season.teams)
    if not teams:
        return Unknown("season.toml lists no teams")
    served = len(people.teams_served)
    missing = people.teams_missing
    if missing:
        named = ", ".join(missing[:3]) + (" and others" if len(missing) > 3 else "")
        reason = f"{served} of the {teams} teams have cards; missing are {named}."
    else:
        reason = f"All {teams} teams have cards."
    return Finding(
        measure=Fraction(served, teams),
        evidence=(
            f"teams served: {served} of {teams}",
            *(f"without a card: {team}" for team in missing),
            "which subjects are wanted is not known: no demand is counted",
        ),
        reason=f"{reason} Who is wanted is not counted yet, so this is about teams only.",
        spread=15,
    )


CRITERION = Criterion(
    key="roster",
    group="people",
    question="Are the subjects that collectors want in it, and is every team served?",
    # every team served is what one expects, hence well under 100: teams alone do not make a roster
    scale=scale("linear", "share of the season's teams", ("0.5", 0), ("0.85", 40), (1, 65)),
    guidance=(
        "half the league and most of the wanted names are missing",
        "several teams or big names are missing",
        "nearly every team, a few wanted names missing",
        "every team and nearly every wanted name",
        "every team, every wanted name, and some that nobody else has",
    ),
    needs=("people",),
    find=find,
)
