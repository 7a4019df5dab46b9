"""The frozen values of the section on chances."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from rating.facts.plain import Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How often cards of a set fall in a format: expected copies, and chances of at least one.

    `packs` are the fewest for an even chance, or for the one that was asked for; None where no number would
    do. `at_least` says that more of them may fall, of which nothing says how often. Odds are rounded, so that
    copies a box may be `low_box` to `high_box`, None where they set no such end.
    """

    what: str
    expected_box: Decimal
    expected_case: Decimal | None
    p_pack: Decimal
    p_box: Decimal
    p_case: Decimal | None
    packs: int | None
    at_least: bool
    model: str
    low_box: Decimal | None = None
    high_box: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatChances:
    """The chances in one format, by kind of card and by line.

    `open_lines` are those whose odds are not stated; `overfull` is by how many cards a box
    would be too small for what is stated.
    """

    name: str
    packs_per_box: int
    boxes_per_case: int | None
    kinds: tuple[Chance, ...]
    lines: tuple[Chance, ...]
    open_lines: tuple[str, ...]
    overfull: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedLine:
    """One line in boxes really opened: hits in packs, against X of its stated odds 1:X.

    `p` is two-sided and adjusted for the number of lines; `low` and `high` are the ends of the exact interval
    of hits a pack, `wilson` those of the score interval, None where a line can fall more than once a pack.
    """

    format: str
    subset: str
    parallel: str
    packs: int
    hits: int
    expected: Decimal
    stated: Decimal
    p: Decimal
    low: Decimal
    high: Decimal
    wilson: tuple[Decimal, Decimal] | None
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """Boxes really opened, by format, and the lines that could be held against stated odds."""

    boxes: Mapping[str, int]
    lines: tuple[OpenedLine, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """How often cards fall, by format, and whether boxes really opened bear it out."""

    formats: Mapping[str, FormatChances | Unknown]
    opened: Opened | Unknown
