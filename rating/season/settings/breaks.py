"""What season.toml says about breaks: house rules, the host's margin, pairs, divisions and tiers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from rating import text
from rating.facts import house
from rating.facts.house import HouseRules, SlotRules, TierMove
from rating.season.settings.teams import Team
from rating.tomlfile import TomlTable

_MOST_TIERS = 12


def house_rules(table: TomlTable, teams: Sequence[Team]) -> HouseRules:
    """The table [house_rules]; what it leaves out is as in a season without one."""
    inner = table.table("house_rules")
    if inner is None:
        return HouseRules()
    usual = HouseRules()

    def rule(name: str, choices: tuple[str, ...], default: str) -> str:
        return inner.one_of(name, choices, default=default) or default

    rules = HouseRules(
        two_teams=rule("two_teams", house.TWO_TEAMS, usual.two_teams),
        no_team=rule("no_team", house.NO_TEAM, usual.no_team),
        traded=rule("traded", house.TRADED, usual.traded),
        redemptions=rule("redemptions", house.REDEMPTIONS, usual.redemptions),
        base=rule("base", house.BASE, usual.base),
        now_with=_now_with(inner, _spellings(teams)),
    )
    inner.finish()
    return rules


def _now_with(table: TomlTable, known: Mapping[str, str]) -> dict[str, str]:
    inner = table.table("now_with")
    teams: dict[str, str] = {}
    if inner is None:
        return teams
    for name in list(inner.values):
        team = inner.text(name, required=True)
        if team is not None and text.key(team) not in known:
            inner.complain(
                name, f"is with {team!r}, which is not a team of the season", "name one of [[teams]]"
            )
        elif team is not None:
            teams[text.key(name)] = known[text.key(team)]
    return teams


def slot_rules(table: TomlTable, teams: Sequence[Team]) -> SlotRules:
    """The table [slots], with the divisions that the teams name."""
    divisions: dict[str, tuple[str, ...]] = {}
    for team in teams:
        if team.division:
            divisions[team.division] = (*divisions.get(team.division, ()), team.name)
    inner = table.table("slots")
    if inner is None:
        return SlotRules(divisions=divisions)
    usual = SlotRules()
    tiers = _tiers(inner) or usual.tiers
    rules = SlotRules(
        margin=inner.decimal("margin", high="5") or Decimal(0),
        tiers=tiers,
        pairs=_pairs(inner, _spellings(teams)),
        divisions=divisions,
        content=_content(inner),
        moves=_moves(inner, tiers),
    )
    inner.finish()
    return rules


def _spellings(teams: Sequence[Team]) -> dict[str, str]:
    return {text.key(spelling): team.name for team in teams for spelling in team.spellings}


def _tiers(table: TomlTable) -> tuple[str, ...]:
    names = table.texts("tiers", fix='name them, the best first, such as tiers = ["first", "second"]')
    if len(names) > _MOST_TIERS:
        table.complain("tiers", f"are {len(names)}", f"name at most {_MOST_TIERS}")
    if len({text.key(name) for name in names}) < len(names):
        table.complain("tiers", "have two of one name", "give each tier its own name")
    return names


def _pairs(table: TomlTable, known: Mapping[str, str]) -> tuple[tuple[str, ...], ...]:
    given = table.raw("pairs")
    if given is None:
        return ()
    if not isinstance(given, list) or not all(map(_is_pair, given)):
        fix = 'write lists of teams, such as pairs = [["Otters", "Herons"]]'
        table.complain("pairs", "are not lists of at least two teams", fix)
        return ()
    strange = [team for pair in given for team in pair if text.key(team) not in known]
    if strange:
        shown = text.listed([text.printable(team) for team in strange])
        table.complain("pairs", f"name {shown}, which the season does not have", "name teams of [[teams]]")
        return ()
    pairs = tuple(tuple(known[text.key(team)] for team in pair) for pair in given)
    every = [team for pair in pairs for team in pair]
    if len(set(every)) < len(every):
        twice = next(team for team in every if every.count(team) > 1)
        table.complain("pairs", f"name {twice} twice", "let each team stand in one pair")
    return pairs


def _is_pair(given: object) -> bool:
    return isinstance(given, list) and len(given) > 1 and all(isinstance(team, str) for team in given)


def _content(table: TomlTable) -> Mapping[str, Decimal]:
    inner = table.table("content")
    if inner is None:
        return house.CONTENT_POINTS
    own = {kind: inner.decimal(kind) for kind in house.CONTENT_POINTS}
    inner.finish()
    return {
        kind: usual if (given := own[kind]) is None else given for kind, usual in house.CONTENT_POINTS.items()
    }


def _moves(table: TomlTable, tiers: Sequence[str]) -> tuple[TierMove, ...]:
    moves = []
    for inner in table.tables("moves"):
        release, slot = inner.text("release", required=True), inner.text("slot", required=True)
        tier = inner.one_of("tier", tuple(tiers), required=True)
        reason = inner.text("reason", required=True, limit=500)
        inner.finish()
        if release and slot and tier and reason:
            moves.append(TierMove(release, slot, tier, reason))
    return tuple(moves)
