"""A release as its files describe it: the sheet with every table that is there."""

from __future__ import annotations

from dataclasses import dataclass

from rating.release.checklist import Card, Odds, Parallel
from rating.release.market import OpenedRow, Price, Sale, SlotPrice
from rating.release.sheet import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """The sheet and the tables. None means the table is not there yet, () that it is there and empty."""

    sheet: Sheet
    cards: tuple[Card, ...] | None = None
    parallels: tuple[Parallel, ...] | None = None
    odds: tuple[Odds, ...] | None = None
    prices: tuple[Price, ...] | None = None
    sales: tuple[Sale, ...] | None = None
    opened: tuple[OpenedRow, ...] | None = None
    slots: tuple[SlotPrice, ...] | None = None

    @property
    def slug(self) -> str:
        """The name of the release's folder."""
        return self.sheet.slug
