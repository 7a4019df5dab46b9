"""How persons and teams are written in a layout, and which spellings are then as good as the truth's."""

from __future__ import annotations

from makers.documents.layout import Layout
from makers.truth.league import League, Team
from makers.truth.people import CASED, Person


def person_text(person: Person, form: str) -> str:
    """A person's name in a form of the grammar; names that have no other way round stay as they are."""
    if form == "capitals":
        return person.name.upper() if person.script in CASED else person.name
    if not person.turns:
        return person.name
    family = person.family
    if form == "comma":
        return f"{_with(family, person)}, {person.given}"
    if form == "surname first" and person.script in CASED:
        return f"{_with(family.upper(), person)} {person.given}"
    if form == "initials":
        return f"{person.given[0]}. {_with(family, person)}"
    return person.name


def _with(family: str, person: Person) -> str:
    return f"{family} {person.suffix}" if person.suffix else family


def person_forms(person: Person, form: str, *, split: bool) -> set[str]:
    """Spellings as good as the name where it was written in this form."""
    if form == "initials":
        return {person_text(person, form)}
    if split:  # nothing but a heading says which of two columns is the surname
        family = _with(person.family, person)
        return {f"{family} {person.given}", f"{person.given} {family}"}
    return set()


def team_text(team: Team, form: str, mark: str) -> str:
    """A team in a form of the grammar."""
    text = {"full": team.name, "nick": team.nick, "code": team.code, "city": team.city}[form]
    return text if form == "code" else text + mark


def team_forms(team: Team, form: str, layout: Layout, *, legend: bool) -> set[str]:
    """Spellings as good as the whole name, since nothing tells a reader the whole name."""
    if layout["typed teams"] == "none":
        return {team_text(team, form, "")} if form != "code" or not legend else set()
    unknown = form == "code" and not legend and layout["typed teams"] == "names"
    return {team.code} if unknown else set()


def is_known(form: str, layout: Layout, *, legend: bool) -> bool:
    """Whether a team written in this form can be known, as itself or by what was written."""
    return not (form == "code" and not legend and layout["typed teams"] == "names")


def pair_sign(layout: Layout, *, commas: bool) -> str:
    """What stands between two persons in one cell."""
    sign = {"stroke": " / ", "and": " & ", "semicolon": "; ", "break": "\n"}.get(layout["pairs"], " / ")
    return "; " if commas and sign == " & " else sign


def written_teams(league: League, persons: tuple[Person, ...], *, sort: bool) -> list[Team]:
    """The teams of a card's persons as they are written: in their order, or by the alphabet."""
    teams = [league.team_of(one) for one in persons]
    return sorted(teams, key=lambda team: team.nick) if sort else teams
