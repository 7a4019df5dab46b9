"""A release as its files describe it: the sheet with every table that is there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rating.release.checklist import CHECKLIST, ODDS, PARALLELS, Card, Odds, Parallel
from rating.release.market import OPENED, PRICES, SALES, SLOTS, OpenedRow, Price, Sale, SlotPrice
from rating.release.sheet import Sheet
from rating.release.tables import Table

# by the field that holds its rows
TABLES_BY_FIELD: dict[str, Table[Any]] = {
    "cards": CHECKLIST,
    "parallels": PARALLELS,
    "odds": ODDS,
    "prices": PRICES,
    "sales": SALES,
    "opened": OPENED,
    "slots": SLOTS,
}


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
