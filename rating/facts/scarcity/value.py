"""The frozen values of the section on scarcity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A whole number that is known within limits; None where there is none on that side.

    `error` is the standard error of the estimate, where one can be given.
    """

    low: int | None
    high: int | None
    estimate: int | None
    error: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatPacks:
    """How many packs of a format exist, and the boxes and cases that the estimate fills."""

    packs: Span
    boxes: Decimal | None
    cases: Decimal | None
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsAside:
    """Odds that do not fit the others: X of 1:X as stated, as the others imply, and its limits."""

    subset: str
    parallel: str
    format: str
    stated: Decimal
    implied: Decimal | None
    low: Decimal | None
    high: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCopies:
    """Copies of a subset in one version, all its cards together, and where the number comes from.

    `basis` is print run, odds, packing (what the rest of a pack leaves) or unknown.
    """

    subset: str
    parallel: str
    kind: str
    cards: int
    basis: str
    copies: Span
    per_card: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseCheck:
    """A promise a box beside what odds or copies imply, with the limits that their rounding leaves."""

    format: str
    promise: str
    against: str
    stated: Decimal
    implied: Decimal
    low: Decimal
    high: Decimal | None
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Scarcity:
    """How many packs and copies exist.

    `set_aside` are the odds left out in the best fit; `alternatives` every equally small set, all of which
    the ranges span. `all_listed` is False where there are more such sets than are listed.
    """

    formats: Mapping[str, FormatPacks]
    total: Span
    consistent: bool
    set_aside: tuple[OddsAside, ...]
    alternatives: tuple[tuple[OddsAside, ...], ...]
    all_listed: bool
    lines_used: int
    lines: tuple[LineCopies, ...]
    promises: tuple[PromiseCheck, ...]
