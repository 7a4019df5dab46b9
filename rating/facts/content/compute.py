"""What the checklist holds, counted: kinds, subsets, teams, rookies, numbered tiers, who signs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from rating import text
from rating.facts.content.value import Content, SubsetContent, TeamContent, Tier
from rating.facts.plain import Unknown
from rating.release.checklist import KINDS, Card, Parallel

_TIERS: tuple[tuple[str, int, int | None], ...] = (
    ("one of one", 1, 1),
    ("2 to 10", 2, 10),
    ("11 to 25", 11, 25),
    ("26 to 50", 26, 50),
    ("51 to 100", 51, 100),
    ("101 to 250", 101, 250),
    ("251 to 500", 251, 500),
    ("over 500", 501, None),
)


def content(
    cards: Sequence[Card] | None,
    parallels: Sequence[Parallel] | None,
    teams: Mapping[str, str] | None = None,
) -> Content | Unknown:
    """The counts of a checklist with its parallels.

    Parameters
    ----------
    teams : every spelling of the season's teams, as compared, to the name that is shown; a team that is not
        among them keeps its own
    """
    if not cards:
        return Unknown("there is no checklist yet")
    kinds = Counter(card.kind for card in cards)
    signed = [card for card in cards if card.has_signature]
    relics = [card for card in cards if card.kind in {"relic", "autograph relic"}]
    where_signed = Counter(card.signed for card in signed)
    return Content(
        cards=len(cards),
        kinds={kind: kinds[kind] for kind in KINDS if kinds[kind]},
        subsets=_subsets(cards, parallels or ()),
        teams=_teams(cards, teams or {}),
        without_team=sum(not card.teams for card in cards),
        rookies=sum(card.rookie for card in cards),
        variations=sum(card.variation for card in cards),
        redemptions=sum(card.redemption for card in cards),
        subjects=_subjects(cards),
        tiers=_tiers(cards, parallels or ()),
        signed_on_card=where_signed["card"],
        signed_on_stickers=where_signed["sticker"],
        signed_unknown=where_signed[""],
        signers=_subjects(signed),
        relics_by=dict(sorted(Counter(card.relic or "not said" for card in relics).items())),
        has_signatures=bool(signed),
        has_relics=bool(relics),
    )


def _subjects(cards: Sequence[Card]) -> int:
    """How many people some cards name."""
    return len({text.key(name) for card in cards for name in card.subjects})


def _subsets(cards: Sequence[Card], parallels: Sequence[Parallel]) -> tuple[SubsetContent, ...]:
    ladder = Counter(text.key(one.subset) for one in parallels)
    groups: dict[str, list[Card]] = {}
    names: dict[str, str] = {}  # each spelling of a subset to its first one
    for card in cards:
        if card.subset not in names:
            same = (one for one in groups if text.key(one) == text.key(card.subset))
            names[card.subset] = next(same, card.subset)
        groups.setdefault(names[card.subset], []).append(card)
    found = []
    for subset, members in groups.items():
        runs = [card.print_run for card in members if card.print_run is not None]
        found.append(
            SubsetContent(
                subset=subset,
                kind=Counter(card.kind for card in members).most_common(1)[0][0],
                cards=len(members),
                rookies=sum(card.rookie for card in members),
                lowest_run=min(runs, default=None),
                highest_run=max(runs, default=None),
                parallels=ladder[text.key(subset)],
                first_number=members[0].number,
                last_number=members[-1].number,
                digits=_digits(members),
            )
        )
    return tuple(found)


def _digits(cards: Sequence[Card]) -> int:
    """The width of plain numbers that are padded with zeros, 0 where they are not."""
    plain = [card.number for card in cards if card.number.isdigit()]
    widths = set(map(len, plain))
    return widths.pop() if len(widths) == 1 and any(number[0] == "0" for number in plain) else 0


def _teams(cards: Sequence[Card], shown: Mapping[str, str]) -> tuple[TeamContent, ...]:
    """Counts by team, all its spellings together."""
    names: dict[str, Counter[str]] = {}
    counts: dict[str, Counter[str]] = {}
    merged: dict[str, str] = {}  # each spelling to what it counts under, as compared
    for card in cards:
        own = set()
        for team in card.teams:
            if team not in merged:
                merged[team] = text.key(shown.get(text.key(team), team))
            own.add(merged[team])
            names.setdefault(merged[team], Counter())[team] += 1
        for key in own:
            counted = counts.setdefault(key, Counter())
            counted["cards"] += 1
            counted["rookies"] += card.rookie
            counted["base"] += card.kind == "base"
            counted["inserts"] += card.kind == "insert"
            counted["autographs"] += card.has_signature
            counted["relics"] += card.kind in {"relic", "autograph relic"}
    found = [
        TeamContent(
            team=shown.get(key) or names[key].most_common(1)[0][0],
            cards=counted["cards"],
            base=counted["base"],
            rookies=counted["rookies"],
            inserts=counted["inserts"],
            autographs=counted["autographs"],
            relics=counted["relics"],
        )
        for key, counted in counts.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.cards, text.key(one.team))))


def _tiers(cards: Sequence[Card], parallels: Sequence[Parallel]) -> tuple[Tier, ...]:
    """Numbered versions by print run: the cards' own, and each parallel once a card of its subset."""
    sizes = Counter(text.key(card.subset) for card in cards)
    runs: Counter[int] = Counter(card.print_run for card in cards if card.print_run is not None)
    for one in parallels:
        if one.print_run is not None:
            runs[one.print_run] += sizes[text.key(one.subset)]
    found = []
    for name, low, high in _TIERS:
        here = {run: number for run, number in runs.items() if run >= low and (high is None or run <= high)}
        if any(here.values()):
            copies = sum(run * number for run, number in here.items())
            found.append(Tier(name=name, low=low, high=high, versions=sum(here.values()), copies=copies))
    return tuple(found)
