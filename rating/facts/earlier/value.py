"""The frozen values of the section on earlier."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from rating.facts.plain import Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatChange:
    """How a format is packed now and was before, in words; blank where it is not there."""

    format: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceChange:
    """The price of a headline box of some kind, and by which share it changed; None where not known."""

    kind: str
    was: Decimal | None
    now: Decimal | None
    change: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseChange:
    """What a headline box holds of a kind by its promises, else its odds; None where nothing says."""

    what: str
    was: Decimal | None
    now: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SubsetChange:
    """A subset by its name: how many cards it had and has, None where there was or is none of that name."""

    subset: str
    kind: str
    was: int | None
    now: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RungChange:
    """A parallel of a subset that both editions have, or with a blank name the cards themselves.

    `change` is added, dropped or run; the print runs are None where it is not numbered, or not there.
    """

    subset: str
    parallel: str
    change: str
    was: int | None
    now: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """The parallels of subsets that both editions have, counted, and those that changed."""

    was: int
    now: int
    kept: int
    changes: tuple[RungChange, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnover:
    """The subjects of two checklists: those who stayed, came in and went; `new` is the share that came in."""

    was: int
    now: int
    stayed: tuple[str, ...]
    came: tuple[str, ...]
    went: tuple[str, ...]
    new: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """A release against the edition before it, named by season and title."""

    season: str
    title: str
    formats: tuple[FormatChange, ...]
    prices: tuple[PriceChange, ...] | Unknown
    promises: tuple[PromiseChange, ...]
    subsets: tuple[SubsetChange, ...] | Unknown
    ladder: Ladder | Unknown
    subjects: Turnover | Unknown
