"""The teams of a season, as season.toml lists them."""

from __future__ import annotations

from dataclasses import dataclass

from rating import text
from rating.tomlfile import TomlTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Team:
    """A team of the season, with its code, other spellings, and the division it plays in."""

    name: str
    code: str = ""
    aliases: tuple[str, ...] = ()
    division: str = ""

    @property
    def spellings(self) -> tuple[str, ...]:
        """Its name, its code and its other spellings."""
        return tuple(filter(None, (self.name, self.code, *self.aliases)))


def read_teams(table: TomlTable) -> tuple[Team, ...]:
    """The tables [[teams]]; a spelling that two teams share is a problem."""
    teams: list[Team] = []
    seen: dict[str, str] = {}
    for inner in table.tables("teams"):
        name = inner.text("name", required=True)
        team = Team(
            name=name or "",
            code=inner.text("code", limit=10) or "",
            aliases=inner.texts("aliases"),
            division=inner.text("division") or "",
        )
        inner.finish()
        for spelling in set(map(text.key, team.spellings)):
            if spelling in seen and seen[spelling] != team.name:
                inner.complain(
                    "name", f"and {seen[spelling]} share the spelling {spelling!r}", "take it from one"
                )
            elif spelling == text.key(team.name) and spelling in seen:
                inner.complain("name", f"lists {team.name} twice", "take one of them out")
            seen[spelling] = team.name
        if name:
            teams.append(team)
    return tuple(teams)
