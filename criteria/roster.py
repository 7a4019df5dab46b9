"""Are the people and teams that collectors want in it? Without demand: the share of teams served.

Teams and wanted subjects weigh alike where demand is known, on the scale that serves teams alone, so that a
season may begin without demand and get it later. Teams count alone where only the release's own sales say who
is wanted: who was sold in it is in it, so nobody could be missing. The scale has 0 at 0.4 and 50 at 0.8,
since the middle of the 19 checklists of the sample season is 0.77. The share is not corrected by the size of
a checklist: who is missing is missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rating.criterion import Criterion, Facts, Finding, People, Unknown, listed, percent, scale

# where demand is known, wanted subjects count as much as teams, and those of them who sign a quarter more
HALF, SIGNING = Fraction(1, 2), Fraction(1, 4)


def find(facts: Facts) -> Finding | Unknown:
    """The share of the season's teams with a card; with demand, half of that and half the wanted subjects.

    Subjects count by their demand; the share of it that signs adds up to a quarter. Where nothing but its own
    sales says who is wanted, all of them are in it, which says nothing.
    """
    people = facts.people
    if not isinstance(people, People):
        return people
    teams = len(facts.season.teams)
    if not teams:
        return Unknown("season.toml lists no teams")
    served = Fraction(len(people.teams_served), teams)
    evidence = (
        f"teams with cards: {len(people.teams_served)} of {teams}",
        *(f"without a card: {team}" for team in people.teams_missing),
    )
    why = _why_teams_only(facts, people)
    if isinstance(people.wanted, Unknown) or why:
        return Finding(
            measure=served,
            evidence=(*evidence, people.wanted.why) if isinstance(people.wanted, Unknown) else evidence,
            reason=f"{_teams(people, teams)} {why}, so this score goes by teams alone.",
            spread=15,
        )
    here = sum((Fraction(one.demand) for one in people.wanted), Fraction(0))
    everybody = here + sum((Fraction(one.demand) for one in people.wanted_missing), Fraction(0))
    signing = sum((Fraction(one.demand) for one in people.wanted if one.signatures), Fraction(0))
    wanted, signs = here / everybody, signing / everybody
    found, missing = len(people.wanted), [one.subject for one in people.wanted_missing]
    named = _named(missing)
    return Finding(
        measure=HALF * served + HALF * wanted + SIGNING * signs,
        evidence=(
            *evidence,
            (
                f"share of the demand: {percent(wanted)} % is for players in this release, "
                f"{percent(signs)} % for those who sign"
            ),
            *((f"most wanted, but without a card: {', '.join(missing)}",) if missing else ()),
        ),
        reason=(
            f"{_teams(people, teams)} {found} of the {found + len(missing)} most-wanted players "
            f"{'has' if found == 1 else 'have'} cards{f'; {named} missing' if missing else ''}."
        ),
        # a nudge is one person's word
        spread=8 if all(one.basis == "sales" for one in people.wanted) else 12,
    )


def _why_teams_only(facts: Facts, people: People) -> str:
    """Why nobody counts as wanted, blank where somebody does."""
    if isinstance(people.wanted, Unknown):
        return "Who is wanted is not known yet"
    if facts.season.is_demand_its_own:
        return "Only this release's own sales show who is wanted, and they cannot show who is missing"
    return "" if people.wanted or people.wanted_missing else "Nobody is wanted that much"


def _teams(people: People, teams: int) -> str:
    missing = people.teams_missing
    if not missing:
        return f"All {teams} teams have cards."
    return f"{len(people.teams_served)} of the {teams} teams have cards; {_first(missing)} are missing."


def _named(missing: list[str]) -> str:
    return f"{_first(missing)} {'is' if len(missing) == 1 else 'are'}"


def _first(missing: Sequence[str]) -> str:
    return listed(list(missing)) if len(missing) <= 3 else f"{', '.join(missing[:3])} and others"


CRITERION = Criterion(
    key="roster",
    group="people",
    question="Are the subjects that collectors want in it, and is every team served?",
    # every team served is what one expects, hence well under 100: teams alone do not make a roster; half of
    # the wanted and a fifth of them signing is what a typical checklist with every team has, which makes 0.8
    scale=scale(
        "linear", "share of teams and wanted subjects", ("0.4", 0), ("0.8", 50), (1, 65), ("1.25", 100)
    ),
    guidance=(
        "half the league and most of the wanted names are missing",
        "several teams missing, or every team and few of the wanted names",
        "nearly every team, half of the wanted names",
        "every team and nearly every wanted name",
        "every team, every wanted name, and most of them signing",
    ),
    needs=("people",),
    find=find,
)
