"""Looking up a person: every card over the season or in one release, its chances and its going price."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from statistics import median
from typing import Any

from rating import money, text
from rating.errors import RatingError
from rating.facts.falling import names
from rating.facts.falling.names import Match
from rating.facts.falling.outlook import open_part, outlook
from rating.season.lookup import catalogue as catalogues
from rating.season.lookup.catalogue import Catalogue, Packing

# so many releases take a while to read anew
_MANY = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedCard:
    """A card in one version, with its chances in a format and what it goes for.

    `p_pack`, `p_box` and `p_case` are None where nothing says how often it falls, 0 where it is not in the
    format; `formats` are those it is in. `price` is the median of what was paid for it raw, postage apart, up
    to the day of the look-up; None where no sale is known.
    """

    release: str
    subset: str
    parallel: str
    number: str
    kind: str
    subjects: tuple[str, ...]
    teams: tuple[str, ...]
    rookie: bool
    print_run: int | None
    signed: str
    relic: str
    redemption: bool
    formats: tuple[str, ...]
    p_pack: Decimal | None
    p_box: Decimal | None
    p_case: Decimal | None
    price: Decimal | None
    sales: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedRelease:
    """A release that has the person: how many cards, versions counted apart, and the chance of any of them.

    `at_least` says that some of them fall beyond what is known.
    """

    release: str
    title: str
    format: str
    cards: int
    p_box: Decimal | None
    p_case: Decimal | None
    at_least: bool
    model: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookUp:
    """What a look-up gave: who was meant, or who may be meant, and the cards.

    `left_out` are releases that could not be read, each with why.
    """

    names: tuple[str, ...]
    candidates: tuple[str, ...]
    is_near: bool
    releases: tuple[ListedRelease, ...]
    cards: tuple[ListedCard, ...]
    left_out: tuple[str, ...]

    @property
    def has_prices(self) -> bool:
        """Whether a price is known of any of the cards."""
        return any(one.price is not None for one in self.cards)


def find(
    season: Path,
    name: str,
    slugs: Sequence[str],
    *,
    packed: str = "",
    today: date,
    currency: str,
    rates: Mapping[str, Decimal] | None = None,
    remark: Callable[[str], None] = lambda _: None,
) -> LookUp:
    """Every card of a person in some releases; the spelling may be off.

    Parameters
    ----------
    packed : the format that chances are for; else the headline format of each release
    currency, rates : that of the season, and what others are in it; sales in any other do not count
    remark : told when reading the files will take a while

    Raises
    ------
    rating.errors.RatingError
        if nobody has such a name, no release has the format, or the only release cannot be read
    """
    opened, left_out = _open(season, slugs, remark)
    match = _match(name, opened)
    if packed:
        _hold_format(packed, opened)
    having = [
        catalogue
        for catalogue in opened
        if set(catalogue.names) & set(match.names) and (not packed or packed in catalogue.packing.formats)
    ]
    having.sort(key=lambda catalogue: (catalogue.packing.released_on or "9999", catalogue.slug))
    worth = {"": Decimal(1), currency: Decimal(1)} | dict(rates or {})
    cards: list[ListedCard] = []
    releases: list[ListedRelease] = []
    for catalogue in having:
        own = [card for who in match.names if who in catalogue.names for card in catalogue.cards(who)]
        key = packed or catalogue.packing.headline
        cards += [
            _card(catalogue, card, place, run, key, today, worth)
            for card in own
            for place, run in card["lines"]
        ]
        releases.append(_release(catalogue, own, key))
    return LookUp(
        names=match.names,
        candidates=match.candidates,
        is_near=match.is_near,
        releases=tuple(releases),
        cards=tuple(cards),
        left_out=tuple(left_out),
    )


def _match(name: str, opened: Sequence[Catalogue]) -> Match:
    """Who on a card is meant by a name; refused where nobody is."""
    people = dict.fromkeys(person for catalogue in opened for person in catalogue.names)
    if not people:
        raise RatingError(
            "there is no card to find anybody on: no release has a checklist yet",
            fix="take one in with 'boxwright intake'",
        )
    match = names.look_up(name, people)
    if not match.names and not match.candidates:
        raise RatingError(
            f"nobody on a card is called {text.printable(name[:60])!r}",
            fix="write the name as on the card, or a part of it",
        )
    return match


def _hold_format(packed: str, opened: Sequence[Catalogue]) -> None:
    """Refuse a format that no release has."""
    known = dict.fromkeys(key for catalogue in opened for key in catalogue.packing.formats)
    if packed not in known:
        raise RatingError(
            f"there is no format {text.printable(packed)!r}",
            where="--format",
            fix=text.hinted(packed, known, f"name one of {', '.join(known)}"),
        )


def _open(
    season: Path, slugs: Sequence[str], remark: Callable[[str], None]
) -> tuple[list[Catalogue], list[str]]:
    """The catalogues of the releases, kept or made; of several, one that cannot be read is left out."""
    kept = {slug: catalogues.kept(season, slug) for slug in slugs}
    missing = sum(catalogue is None for catalogue in kept.values())
    if missing >= _MANY:
        remark(f"reading the files of {missing} releases; the next look-up will be quick")
    opened, left_out = [], []
    for slug, catalogue in kept.items():
        try:
            opened.append(catalogue or catalogues.made(season, slug))
        except RatingError as fault:
            if len(slugs) == 1:
                raise
            left_out.append(f"{slug}: {fault.what}; 'boxwright check {slug}' says more")
    return opened, left_out


def _share(packing: Packing, place: int, run: int | None) -> float:
    """The share of a line's copies that one card has."""
    line = packing.lines[place]
    return (run if line.by_run and run else 1) / line.weight


def _card(
    catalogue: Catalogue,
    card: dict[str, Any],
    place: int,
    run: int | None,
    key: str,
    today: date,
    worth: Mapping[str, Decimal],
) -> ListedCard:
    packing = catalogue.packing
    line = packing.lines[place]
    pack, box, case = _chances(packing, {place: _share(packing, place, run)}, key)
    paid = [
        Decimal(price) * worth[money_of]
        for day, price, money_of in card["sales"].get(str(place), ())
        if day <= today.isoformat() and money_of in worth
    ]
    return ListedCard(
        release=catalogue.slug,
        subset=line.subset,
        parallel=line.parallel,
        number=card["number"],
        kind=card["kind"],
        subjects=tuple(card["subjects"]),
        teams=tuple(card["teams"]),
        rookie=card["rookie"],
        print_run=run,
        signed=card["signed"],
        relic=card["relic"],
        redemption=card["redemption"],
        formats=line.formats,
        p_pack=pack,
        p_box=box,
        p_case=case,
        price=money.cents(median(paid)) if paid else None,
        sales=len(paid),
    )


def _chances(
    packing: Packing, wanted: dict[int, float], key: str
) -> tuple[Decimal | None, Decimal | None, Decimal | None]:
    """In a pack, a box and a case of a format; None where that is not known."""
    collation = packing.collations.get(key)
    if collation is None:
        return None, None, None
    if open_part(collation, wanted) and not outlook(collation, wanted, 1).expected:
        return None, None, None

    def chance(packs: int) -> Decimal:
        return outlook(collation, wanted, packs).p

    box, boxes = collation.packs_per_box, collation.boxes_per_case
    return chance(1), chance(box), chance(box * boxes) if boxes else None


def _release(catalogue: Catalogue, cards: Sequence[dict[str, Any]], key: str) -> ListedRelease:
    packing = catalogue.packing
    wanted: dict[int, float] = {}
    for card in cards:
        for place, run in card["lines"]:
            wanted[place] = wanted.get(place, 0.0) + _share(packing, place, run)
    _, box, case = _chances(packing, wanted, key)
    collation = packing.collations.get(key)
    return ListedRelease(
        release=catalogue.slug,
        title=packing.title,
        format=key,
        cards=sum(len(card["lines"]) for card in cards),
        p_box=box,
        p_case=case,
        at_least=bool(collation and open_part(collation, wanted)),
        model=outlook(collation, wanted, 1).model if collation else "",
    )
