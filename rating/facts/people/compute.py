"""Who is in a release: teams served, the rookie class and its forms, and those whom collectors want.

Who is wanted comes from the season's sales and the host's nudges; without either nobody is guessed at.

A subject counts as wanted from 84 on, one deviation above the mean: at 70 a third of everybody was wanted,
which no small checklist can hold.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from rating import tenths, text
from rating.facts.context import Demand, SeasonContext
from rating.facts.falling.collation import Collation
from rating.facts.falling.lines import CardLine, share_weights
from rating.facts.falling.outlook import open_part, outlook
from rating.facts.people.value import WANTED_FROM, People, Wanted
from rating.facts.plain import Unknown
from rating.release.checklist import Card

NOT_KNOWN = "who is wanted is not known: neither sales nor demand.csv say"
# somebody of whom neither sales nor the host say anything
TYPICAL = Decimal(50)

Shares = Mapping[int, float]


@dataclass(slots=True)
class _Named:
    """The cards that name one subject."""

    cards: list[Card] = field(default_factory=list)
    teams: Counter[str] = field(default_factory=Counter)

    def count(self, is_meant: Callable[[Card], bool]) -> int:
        return sum(map(is_meant, self.cards))


def people(
    cards: Sequence[Card] | None,
    season: SeasonContext,
    *,
    released_on: date | None,
    as_of: date,
    lines: Sequence[CardLine] = (),
    collation: Collation | None = None,
) -> People | Unknown:
    """The season's teams, rookies and wanted subjects in a checklist.

    The class is counted as of the release date.

    Parameters
    ----------
    lines, collation : the release's lines, and how cards fall in a box of the headline format where known
    """
    if not cards:
        return Unknown("there is no checklist yet")
    shown = season.team_names()
    named = _by_subject(cards, shown)
    served = {shown[key] for card in cards for name in card.teams if (key := text.key(name)) in shown}
    members = _class_of(season, released_on or as_of)
    names = members or ()
    return People(
        teams_served=tuple(team for team in season.teams if team in served),
        teams_missing=tuple(team for team in season.teams if team not in served),
        rookie_class=None if members is None else len(members),
        rookies_carded=_among(names, named, lambda one: bool(one.cards)),
        rookies_in_base=_among(names, named, lambda one: any(map(_is_base, one.cards))),
        rookies_signing=_among(names, named, lambda one: any(map(_is_signed, one.cards))),
        rookies_missing=tuple(name for name in names if text.key(name) not in named),
        rookies_only_signing=_among(names, named, lambda one: all(map(_is_signed, one.cards))),
        rookies_only_base=_among(names, named, lambda one: all(map(_is_base, one.cards))),
        wanted=_wanted(season.demand, named, lines, collation),
        wanted_missing=tuple(
            one for one in _most_wanted(season.demand) if text.key(one.subject) not in named
        ),
        signer_demand=_signer_demand(season.demand, cards),
    )


def _class_of(season: SeasonContext, day: date) -> tuple[str, ...] | None:
    """The rookie class as of a day, None where it is not known."""
    if season.rookies is None:
        return None
    return tuple(one.subject for one in season.rookies if one.since is None or one.since <= day)


def _among(
    names: Iterable[str], named: Mapping[str, _Named], is_meant: Callable[[_Named], bool]
) -> tuple[str, ...]:
    """Those of some subjects who have cards, and such ones."""
    return tuple(name for name in names if (one := named.get(text.key(name))) and is_meant(one))


def _is_signed(card: Card) -> bool:
    return card.has_signature


def _is_base(card: Card) -> bool:
    return card.kind == "base"


def _by_subject(cards: Iterable[Card], shown: Mapping[str, str]) -> dict[str, _Named]:
    """The cards of each subject by the name as compared, with the teams beside it."""
    found: dict[str, _Named] = {}
    for card in cards:
        people = [text.key(name) for name in card.subjects]
        teams = card.teams if len(card.teams) == len(people) else (card.teams[:1] or ("",)) * len(people)
        for subject, team in dict(zip(people, teams, strict=True)).items():
            one = found.setdefault(subject, _Named())
            one.cards.append(card)
            if team:
                one.teams[shown.get(text.key(team), team)] += 1
    return found


def _most_wanted(demand: Mapping[str, Demand] | None) -> list[Demand]:
    """Those who count as wanted, most wanted first."""
    found = [one for one in (demand or {}).values() if one.demand >= WANTED_FROM]
    return sorted(found, key=lambda one: (-one.demand, text.key(one.subject)))


def _wanted(
    demand: Mapping[str, Demand] | None,
    named: Mapping[str, _Named],
    lines: Sequence[CardLine],
    collation: Collation | None,
) -> tuple[Wanted, ...] | Unknown:
    if demand is None:
        return Unknown(NOT_KNOWN)
    chased = [one for one in _most_wanted(demand) if text.key(one.subject) in named]
    shares = _shares({text.key(one.subject) for one in chased}, lines)
    return tuple(
        _chase(one, named[text.key(one.subject)], shares.get(text.key(one.subject), {}), collation)
        for one in chased
    )


def _shares(subjects: set[str], lines: Sequence[CardLine]) -> dict[str, dict[int, float]]:
    """The share of each line's copies that shows a subject, for some subjects, in one pass over the lines."""
    found: dict[str, dict[int, float]] = {}
    names = {name for line in lines for card in line.cards for name in card.subjects}
    wanted = {name: key for name in names if (key := text.key(name)) in subjects}
    for place, line in enumerate(lines):
        weights = share_weights(line.runs)
        total = sum(weights)
        for card, weight in zip(line.cards, weights, strict=True):
            for subject in {wanted[name] for name in card.subjects if name in wanted}:
                own = found.setdefault(subject, {})
                own[place] = own.get(place, 0.0) + weight / total
    return found


def _chase(wanted: Demand, named: _Named, shares: Shares, collation: Collation | None) -> Wanted:
    per_box = p_box = None
    unsaid = False
    if collation is not None:
        unsaid = bool(open_part(collation, shares))
        box = outlook(collation, shares, collation.packs_per_box)
        if box.expected or not unsaid:
            per_box, p_box = tenths.six_digits(box.expected), box.p
    return Wanted(
        subject=wanted.subject,
        team=named.teams.most_common(1)[0][0] if named.teams else "",
        demand=wanted.demand,
        basis=wanted.basis,
        why=wanted.why,
        cards=len(named.cards),
        signatures=named.count(lambda card: card.has_signature),
        relics=named.count(lambda card: card.kind in {"relic", "autograph relic"}),
        rookie=any(card.rookie for card in named.cards),
        subsets=tuple(dict.fromkeys(card.subset for card in named.cards)),
        per_box=per_box,
        p_box=p_box,
        at_least=unsaid and per_box is not None,
    )


def _signer_demand(demand: Mapping[str, Demand] | None, cards: Iterable[Card]) -> Decimal | None:
    """The mean demand of those who sign, card by card; None where nobody signs or demand is not known."""
    if demand is None:
        return None
    signers = [text.key(name) for card in cards if card.has_signature for name in card.subjects]
    if not signers:
        return None
    total = sum((demand[name].demand if name in demand else TYPICAL for name in signers), Decimal(0))
    return tenths.six_digits(total / len(signers))
