"""Who gets which card in a break: slots by team, pair, division, subject, box or any filters.

Each card of each line is given to slots by shares that sum to 1: to one slot, to several where the house
rules draw lots, or to none where it stays with the host.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from rating import text
from rating.errors import RatingError
from rating.facts import house
from rating.facts.context import SeasonContext
from rating.facts.falling.filters import KEYS, card_test
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import Printing, printings
from rating.release.checklist import Card

TEAM, PAIR, DIVISION, SUBJECT, BOX, FILTERS = "team", "pair", "division", "subject", "box", "filters"
WAYS = (TEAM, PAIR, DIVISION, SUBJECT, BOX)
# slots that one card lies in: how often, as a share
Shares = tuple[tuple[int, float], ...]
_NOBODY: Shares = ()
_MOST_SLOTS = 5000


@dataclass(frozen=True, slots=True, kw_only=True)
class Owners:
    """The slots of a break, and the share that each has in each card.

    slots
        their names, in the order of the season's teams, of the checklist, or as they were asked for
    cards
        by line and card, the slots that it goes to with their shares; empty where the host keeps it
    unclaimed
        cards, by line and place there, for which lots are drawn among all slots, since none has a claim
    remarks
        a sentence for each thing that the house rules had to settle, or that nobody gets
    """

    by: str
    slots: tuple[str, ...]
    cards: tuple[tuple[Shares, ...], ...]
    unclaimed: frozenset[tuple[int, int]]
    remarks: tuple[str, ...]


def owners(
    lines: Sequence[CardLine],
    season: SeasonContext,
    by: Sequence[str] = (TEAM,),
    *,
    boxes: int = 1,
    pairs: Sequence[tuple[str, ...]] = (),
) -> Owners:
    """The slots of a break of these lines.

    Parameters
    ----------
    by : one of team, pair, division, subject and box; or a filter for each slot, such as 'team=Low Tarn Pike'
        or 'Signed: kind=autograph; rookie=yes'
    boxes : how many boxes are opened, which are the slots where whole boxes are sold
    pairs : the teams that are sold together, where the break is cut by pair

    Raises
    ------
    rating.errors.RatingError
        for a way to cut a break that is none, divisions or pairs that do not hold every team, and filters
        that match nothing or overlap
    """
    way = by[0] if by else TEAM
    if len(by) > 1 or "=" in way:
        return _by_filters(lines, season, by)
    if way == TEAM:
        return _by_groups(lines, season, way, [(team, (team,)) for team in teams_of(lines, season)])
    if way == PAIR:
        return _by_groups(lines, season, way, _pairs(lines, season, pairs))
    if way == DIVISION:
        return _by_groups(lines, season, way, _divisions(lines, season))
    if way == SUBJECT:
        return _by_subjects(lines, season)
    if way == BOX:
        return _by_boxes(lines, boxes)
    raise RatingError(
        f"a break cannot be cut by {text.printable(way)!r}",
        where="--by",
        fix=f"write one of {', '.join(WAYS)}, or filters such as team=NAME",
    )


def pair_up(teams: Sequence[str], values: Sequence[float]) -> list[tuple[str, ...]]:
    """The strongest team with the weakest, and so on inwards; one in the middle stays by itself.

    Common practice, no source.
    """
    order = [team for _, team in sorted(zip(values, teams, strict=True), key=lambda one: -one[0])]
    half = len(order) // 2
    pairs = [(order[i], order[-1 - i]) for i in range(half)]
    return pairs + ([(order[half],)] if len(order) % 2 else [])


def same_slot(given: str, slot: str, shown: Mapping[str, str]) -> bool:
    """Whether words mean a slot: its name, other spellings of its team, its teams in any order."""

    def teams(name: str) -> frozenset[str]:
        parts = [part.strip() for part in name.replace("/", "+").split("+")]
        return frozenset(text.key(shown.get(text.key(part), part)) for part in parts)

    return text.key(given) == text.key(slot) or teams(given) == teams(slot)


def teams_of(lines: Sequence[CardLine], season: SeasonContext) -> list[str]:
    """The season's teams, then those that only the checklist names."""
    shown = season.team_names()
    named = {shown.get(text.key(team), team) for card in _cards(lines) for team in card.teams if team}
    known = {text.key(team) for team in season.teams}
    strange = sorted({team for team in named if text.key(team) not in known}, key=text.key)
    found = [*season.teams, *strange]
    if not found:
        raise RatingError(
            "neither season.toml nor the checklist names a team",
            where="season.toml",
            fix="list the teams under [[teams]], or cut the break by subject with --by subject",
        )
    return found


def _pairs(
    lines: Sequence[CardLine], season: SeasonContext, pairs: Sequence[tuple[str, ...]]
) -> list[tuple[str, tuple[str, ...]]]:
    """The pairs, then the teams that stand in none."""
    paired = {team for pair in pairs for team in pair}
    alone = [(team,) for team in teams_of(lines, season) if team not in paired]
    return [(" + ".join(group), group) for group in (*pairs, *alone)]


def _divisions(lines: Sequence[CardLine], season: SeasonContext) -> list[tuple[str, tuple[str, ...]]]:
    divisions = season.slots.divisions
    placed = {team for teams in divisions.values() for team in teams}
    without = [team for team in teams_of(lines, season) if team not in placed]
    if without:
        raise RatingError(
            f"no division is named for {text.listed(without[:6])}" + (" and others" if without[6:] else ""),
            where="season.toml",
            fix='write division = "North" beside each name under [[teams]]',
        )
    return list(divisions.items())


def _cards(lines: Sequence[CardLine]) -> Iterable[Card]:
    """The cards of a checklist, each once."""
    seen: set[str] = set()
    for line in lines:
        if text.key(line.subset) not in seen:
            seen.add(text.key(line.subset))
            yield from line.cards


def _by_groups(
    lines: Sequence[CardLine], season: SeasonContext, by: str, groups: Sequence[tuple[str, tuple[str, ...]]]
) -> Owners:
    """Slots of one team or several each."""
    rules, shown = season.house, season.team_names()
    place = {text.key(team): i for i, (_, teams) in enumerate(groups) for team in teams}

    def claims(card: Card) -> list[int]:
        teams = list(card.teams)
        if rules.traded == house.TEAM_NOW:
            now = [rules.now_with.get(text.key(one)) for one in card.subjects]
            teams = [
                new or (teams[i] if i < len(teams) else (teams[0] if len(teams) == 1 else ""))
                for i, new in enumerate(now)
            ]
        found = (place.get(text.key(shown.get(text.key(team), team))) for team in teams if team)
        return list(dict.fromkeys(one for one in found if one is not None))

    return _shared_out(lines, season, by, tuple(name for name, _ in groups), claims)


def _by_subjects(lines: Sequence[CardLine], season: SeasonContext) -> Owners:
    names: dict[str, str] = {}
    for card in _cards(lines):
        for name in card.subjects:
            names.setdefault(text.key(name), name)
    if len(names) > _MOST_SLOTS:
        raise RatingError(
            f"{len(names):,} subjects would be as many slots",
            where="--by",
            fix=f"cut the break another way: at most {_MOST_SLOTS:,} slots",
        )
    place = {key: i for i, key in enumerate(names)}

    def claims(card: Card) -> list[int]:
        return list(dict.fromkeys(place[text.key(name)] for name in card.subjects))

    return _shared_out(lines, season, SUBJECT, tuple(names.values()), claims)


def _by_boxes(lines: Sequence[CardLine], boxes: int) -> Owners:
    even = tuple((i, 1 / boxes) for i in range(boxes))
    return Owners(
        by=BOX,
        slots=tuple(f"box {i}" for i in range(1, boxes + 1)),
        cards=tuple((even,) * len(line.cards) for line in lines),
        unclaimed=frozenset(),
        remarks=(),
    )


def _shared_out(
    lines: Sequence[CardLine],
    season: SeasonContext,
    by: str,
    slots: tuple[str, ...],
    claims: Callable[[Card], list[int]],
) -> Owners:
    """Every card to those who have a claim to it, by the house rules."""
    rules = season.house
    every = tuple((i, 1 / len(slots)) for i in range(len(slots)))
    kept: dict[tuple[int, bool], Shares] = {}
    told: dict[str, set[int]] = {}

    def note(what: str, card: Card) -> None:
        told.setdefault(what, set()).add(id(card))

    def settle(card: Card, *, is_base: bool) -> Shares:
        if is_base and rules.base == house.NOT_SHIPPED:
            note("base", card)
            return _NOBODY
        if card.redemption and rules.redemptions == house.HOST:
            note("redemption", card)
            return _NOBODY
        found = claims(card)
        if not found:
            note("none", card)
            return every if rules.no_team == house.RANDOMISED else _NOBODY
        if len(found) == 1:
            return ((found[0], 1.0),)
        note("several", card)
        if rules.two_teams != house.RANDOMISED:
            return ((found[0], 1.0),)
        return tuple((one, 1 / len(found)) for one in found)

    cards = []
    for line in lines:
        own = []
        for card in line.cards:
            # what a parallel of a base card is, the base card need not be: it may not be shipped
            key = (id(card), line.is_base)
            if key not in kept:
                kept[key] = settle(card, is_base=line.is_base)
            own.append(kept[key])
        cards.append(tuple(own))
    none = told.get("none", set())
    return Owners(
        by=by,
        slots=slots,
        cards=tuple(cards),
        unclaimed=frozenset(
            (i, j) for i, line in enumerate(lines) for j, one in enumerate(line.cards) if id(one) in none
        ),
        remarks=_remarks(told, season, by, lines),
    )


def _remarks(
    told: Mapping[str, set[int]], season: SeasonContext, by: str, lines: Sequence[CardLine]
) -> tuple[str, ...]:
    rules = season.house
    found = []
    what = "subject" if by == SUBJECT else "team"
    if several := len(told.get("several", ())):
        how = "they are randomized among the owners of those slots"
        if rules.two_teams == house.FIRST_NAMED:
            how = f"the {what} first named gets it"
        elif rules.two_teams == house.TEAM_SHOWN:
            how = f"the {what} shown on it gets it, for which the checklist's first stands"
        verb = "belongs" if several == 1 else "belong"
        found.append(f"{_cards_of(several)} {verb} to more than one slot: {how}")
    if none := len(told.get("none", ())):
        how = "randomised among all slots" if rules.no_team == house.RANDOMISED else "kept by the host"
        found.append(f"{_cards_of(none)} without a {what} that has a slot: {how}")
    if redemption := len(told.get("redemption", ())):
        found.append(f"{_cards_of(redemption)} to be redeemed: kept by the host")
    if base := len(told.get("base", ())):
        found.append(f"{_cards_of(base)} of the base set: not shipped, so they count for nobody")
    if by in {TEAM, PAIR}:
        known = {text.key(team) for team in season.teams}
        shown = season.team_names()
        strange = {
            shown.get(text.key(team), team)
            for card in _cards(lines)
            for team in card.teams
            if team and text.key(shown.get(text.key(team), team)) not in known
        }
        if strange and known:
            found.append(f"not among the season's teams: {', '.join(sorted(strange, key=text.key))}")
    return tuple(found)


def _cards_of(count: int) -> str:
    return text.count(count, "card")


def _by_filters(lines: Sequence[CardLine], season: SeasonContext, by: Sequence[str]) -> Owners:
    """A slot for each filter; what no filter takes stays with the host, and is told."""
    names: list[str] = []
    tests: list[Callable[[Printing], bool]] = []
    for one in by:
        name, test = _named_filter(one, lines, season)
        if text.key(name) in map(text.key, names):
            raise RatingError(
                f"two slots are called {name!r}",
                where="--by",
                fix="write a name of its own before the filter: --by 'NAME: team=…'",
            )
        names.append(name)
        tests.append(test)
    cards: list[tuple[Shares, ...]] = []
    overlap: dict[tuple[int, int], Printing] = {}
    found, nobody = [0] * len(names), set[int]()
    for line in lines:
        own: list[Shares] = []
        for version in printings(line):
            wanted = [i for i, test in enumerate(tests) if test(version)]
            for i in wanted:
                found[i] += 1
            if len(wanted) > 1:
                overlap.setdefault((wanted[0], wanted[1]), version)
            if not wanted:
                nobody.add(id(version.card))
            own.append(tuple((i, 1.0) for i in wanted))
        cards.append(tuple(own))
    problems = [f"no card is of {names[i]}" for i, number in enumerate(found) if not number]
    problems += [
        f"{names[i]} and {names[j]} both take {version.line.name} {version.card.number}"
        for (i, j), version in overlap.items()
    ]
    if problems:
        raise RatingError(
            "; ".join(problems),
            where="--by",
            fix="let every filter match some card, and no card lie in two slots",
        )
    remarks = []
    if nobody:
        remarks.append(f"{_cards_of(len(nobody))} in no slot, in one version or all: kept by the host")
    return Owners(
        by=FILTERS, slots=tuple(names), cards=tuple(cards), unclaimed=frozenset(), remarks=tuple(remarks)
    )


def _named_filter(
    given: str, lines: Sequence[CardLine], season: SeasonContext
) -> tuple[str, Callable[[Printing], bool]]:
    """The name and the test of a slot such as 'Signed: kind=autograph; rookie=yes'."""
    name, colon, rest = given.partition(":")
    named = bool(colon) and "=" not in name
    words = rest if named else given
    parts = [part.strip() for part in words.split(";") if part.strip()]
    if not parts or any("=" not in part for part in parts) or (named and not text.tidy(name)):
        raise RatingError(
            f"{text.printable(given)!r} says no cards",
            where="--by",
            fix=f"write it as 'NAME: team=…; kind=…', with {', '.join(KEYS)}",
        )
    told, test = card_test(parts, lines, teams=season.teams, aliases=season.aliases, where="--by")
    return (text.tidy(name) if named else told), test
