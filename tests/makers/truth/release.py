"""A release as its maker planned it: formats, subsets with cards and ladders, odds, promises, prices."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from makers.truth.league import League
from makers.truth.people import Person

AUTOGRAPHS = ("autograph", "autograph relic")
RELICS = ("relic", "autograph relic")


@dataclass(frozen=True, slots=True)
class Format:
    """One way to buy it."""

    key: str
    name: str
    cards: int
    packs: int
    boxes: int


@dataclass(frozen=True, slots=True)
class Rung:
    """A parallel of a subset. No run means it is not numbered, no formats all of them (by key)."""

    index: int
    name: str
    run: int | None
    formats: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Card:
    """A card. `run` is that of its base version."""

    index: int
    number: str
    persons: tuple[Person, ...]
    run: int | None = None
    redemption: bool = False


@dataclass(frozen=True, slots=True)
class Subset:
    """A subset. `telling` says that its kind stands in its name; `sections` are headings inside it."""

    index: int
    name: str
    kind: str
    prefix: str
    cards: tuple[Card, ...]
    telling: bool
    rungs: tuple[Rung, ...] = ()
    run: int | None = None
    signed: str = ""
    relic: str = ""
    variation: bool = False
    sections: tuple[tuple[int, str], ...] = ()  # at the card in this place begins a section of this title
    short_prints: tuple[Card, ...] = ()


@dataclass(frozen=True, slots=True)
class Odds:
    """A copy of a line falls in so many packs of a format; no rung is the base version."""

    index: int
    subset: Subset
    rung: Rung | None
    format: Format
    packs: Decimal


@dataclass(frozen=True, slots=True)
class Promise:
    """So many of something a pack, box or case; at least `minimum` of them are signed."""

    index: int
    format: Format
    what: str
    count: Decimal
    per: str
    hard: bool
    subset: Subset | None = None
    parallel: str = ""
    minimum: int = 0
    contradicts: bool = False


@dataclass(frozen=True, slots=True)
class Price:
    """The maker's price of a pack, box or case."""

    index: int
    format: Format
    unit: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """A release, whole."""

    maker: str
    line: str
    year: int
    since: int
    day: date
    league: League
    formats: tuple[Format, ...]
    subsets: tuple[Subset, ...]
    odds: tuple[Odds, ...]
    promises: tuple[Promise, ...]
    prices: tuple[Price, ...]
    siblings: tuple[str, ...] = field(default=())  # other lines of the maker, whose cards are strangers

    @property
    def title(self) -> str:
        """The title as a reviewer would type it."""
        return f"{self.maker} {self.year} {self.line}"

    @property
    def base(self) -> Subset:
        """The base set."""
        return self.subsets[0]

    def cards(self) -> list[tuple[Subset, Card]]:
        """Every card with its subset, in order; a card's index is its place here."""
        return [(subset, card) for subset in self.subsets for card in subset.cards]

    def rungs(self) -> list[tuple[Subset, Rung]]:
        """Every parallel with its subset, in order; a rung's index is its place here."""
        return [(subset, rung) for subset in self.subsets for rung in subset.rungs]


def per_box(release: Release, promise: Promise) -> Decimal:
    """How many a box holds of what a promise speaks of, by the odds alone."""
    return sum((promise.format.packs / one.packs for one in release.odds if counts(one, promise)), Decimal(0))


def counts(odds: Odds, promise: Promise) -> bool:
    """Whether a line of odds is among what a promise counts."""
    if odds.format is not promise.format:
        return False
    if promise.subset is not None and odds.subset is not promise.subset:
        return False
    if promise.parallel:
        return odds.rung is not None and odds.rung.name == promise.parallel
    numbered = odds.rung.run if odds.rung else odds.subset.run
    return {
        "autograph": odds.subset.kind in AUTOGRAPHS,
        "relic": odds.subset.kind in RELICS,
        "hit": odds.subset.kind in AUTOGRAPHS or odds.subset.kind in RELICS,
        "insert": odds.subset.kind == "insert",
        "numbered": numbered is not None,
        "autograph relic": odds.subset.kind == "autograph relic",
    }[promise.what]


def promised_per_box(promise: Promise) -> Decimal:
    """What a promise comes to in a box."""
    if promise.per == "pack":
        return promise.count * promise.format.packs
    return promise.count if promise.per == "box" else promise.count / promise.format.boxes
