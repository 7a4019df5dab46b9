"""The frozen values of the section on content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SubsetContent:
    """One subset: how many cards, of which kind, their print runs, rookies and parallels.

    `digits` is the width of its plain numbers where they are padded with zeros (3 for 001), else 0.
    """

    subset: str
    kind: str
    cards: int
    rookies: int
    lowest_run: int | None
    highest_run: int | None
    parallels: int
    first_number: str
    last_number: str
    digits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamContent:
    """One team: how many cards of each kind name it. A card with two teams counts for both."""

    team: str
    cards: int
    base: int
    rookies: int
    inserts: int
    autographs: int
    relics: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """Numbered versions with print runs from `low` to `high`, and the copies they sum to."""

    name: str
    low: int
    high: int | None
    versions: int
    copies: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """What the checklist holds, counted."""

    cards: int
    kinds: Mapping[str, int]
    subsets: tuple[SubsetContent, ...]
    teams: tuple[TeamContent, ...]
    without_team: int
    rookies: int
    variations: int
    redemptions: int
    subjects: int
    tiers: tuple[Tier, ...]
    signed_on_card: int
    signed_on_stickers: int
    signed_unknown: int
    signers: int
    relics_by: Mapping[str, int]
    has_signatures: bool
    has_relics: bool
