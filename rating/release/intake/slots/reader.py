"""Hosts' lists of what slots of breaks cost: a slot a row, days or formats across, or lines of text.

A random break is one row with a blank slot, however its places were numbered or drawn: its price is one
number, and which team was drawn says nothing of what a team costs. A list without a day is of the day it was
first taken in, and intake asks: such lists are what is asked now, and the same file taken in again changes
nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import PurePath
from typing import Any

from rating import text
from rating.release.intake.account import Account
from rating.release.intake.market import cells
from rating.release.intake.market.strokes import parted_again
from rating.release.intake.slots import layout, words
from rating.release.intake.slots.said import Listener, Said
from rating.release.intake.slots.settling import Entry, Found, Settler
from rating.release.intake.slots.words import SlotNames
from rating.release.intake.values import Grid, ReleaseWords, Row, SeasonWords


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    today: date,
    release: ReleaseWords | None = None,
    teams: Sequence[str] = (),
    taken_on: Mapping[str, date] | None = None,
) -> Found:
    """The prices of slots on hosts' lists.

    Parameters
    ----------
    teams : the checklist's teams, for a season that names none yet
    taken_on : the day on which each file was taken in first, which is the day of prices without one
    """
    reader = _Reader(season, today, release or ReleaseWords(), teams, taken_on or {})
    for grid in grids:
        reader.sheet(grid)
    return reader.found


class _Reader:
    def __init__(
        self,
        season: SeasonWords,
        today: date,
        release: ReleaseWords,
        teams: Sequence[str],
        taken_on: Mapping[str, date],
    ) -> None:
        self.names = SlotNames(season, teams)
        self.layout = layout.Layout(season, self.names, today)
        self.listener = Listener(season, release, today)
        self.settler = Settler(season, self.names, self.listener.keys, today, taken_on)
        self.found = self.settler.found

    # ------------------------------------------------------------ a sheet
    def sheet(self, grid: Grid) -> None:
        grid = parted_again(grid)
        self.account = Account(grid, "list of slot prices")
        self.found.accounts.append(self.account)
        self._hear_names(grid)
        self.layout.kinds.look(grid.rows)
        self.entries: list[Entry] = []
        self.last: dict[str, str] = {}
        headers = {
            row.number: one
            for place, row in enumerate(grid.rows)
            if (one := self.layout.header(row, grid.rows[place + 1 : place + 61]))
        }
        self.header = None if headers else self.layout.headless(grid.rows)
        self.spanned = {
            (row, column)
            for first, column, last, _ in grid.spans
            for row in range(first + 1, min(last, first + 500) + 1)
        }
        for row in grid.rows:
            self._row(row, headers)
        self.settler.settle(grid, self.account, self.entries)

    def _hear_names(self, grid: Grid) -> None:
        """Hear what the names of the file and the sheet say."""
        self.said = Said()
        self._hear(re.sub(r"[_.]+", " ", PurePath(grid.file).stem))
        if self.said.how == "draft":
            self.said = Said()  # of the list, not of the break
        self._hear(grid.sheet)

    def _row(self, row: Row, headers: Mapping[int, layout.Header]) -> None:
        if row.number in headers:
            self.header, self.last = headers[row.number], {}
            self.account.take(row, "header")
        elif self._is_sum(row):
            self.account.aside(row, "a line of sums or costs, not of a slot")
        elif not headers and not self._is_under(row):
            self._line(row)
        elif self.header is None:
            self._title(row)
        else:
            self._listed(row, self.header)

    def _is_under(self, row: Row) -> bool:
        """Whether a row of a list without headings has a slot and a price in their columns."""
        if self.header is None:
            return False
        return any(
            cells.is_marked(row.cell(price)) and any(row.cell(place) for place in places)
            for places, price in self.header.blocks
        )

    def _is_sum(self, row: Row) -> bool:
        place = self.header.slots[0] if self.header and self.header.slots else 0
        return any(
            words.NO_SLOT.match(cell) and not self.names.teams(words.bare_slot(cell))
            for cell in (row.filled[0], row.cell(place))
        )

    # ------------------------------------------------------------ what is said around the slots
    def _hear(self, line: str) -> bool:
        """Keep what a title says for the slots below it; whether it said something."""
        told = self.listener.told(line, self.said)
        self.said = replace(self.said, **told)
        return bool(told)

    def _title(self, row: Row) -> None:
        if self._hear(row.text) or not self.entries:
            self.account.take(row, "title")
        else:
            self.account.aside(row, "a line of text")

    # ------------------------------------------------------------ rows
    def _line(self, row: Row) -> None:
        """A row without columns: slots with their prices, and what is said beside them."""
        for part in words.segments(layout.joined(row)):
            self._slot(row, part)

    def _slot(self, row: Row, line: str) -> None:
        parts = words.parted(line)
        if parts is None:
            if self.names.teams(words.bare_slot(line.split(" | ", maxsplit=1)[0])):
                self.account.aside(row, "no price stands beside the slot")
            else:
                self._title(row)
            return
        before, price, after = parts
        around = [part for part in f"{before} | {after}".split(" | ") if part.strip()]
        name = layout.team_in(self.names, " | ".join(around))
        how = words.how_in(before)
        if not name and how != "random":
            name = words.bare_slot(before) or words.bare_slot(after)
            is_text = words.BREAK.search(line) or not layout.may_be_slot(name)
            if not name or is_text or not words.is_marked(price):
                self._title(row)  # 'Pick your team, from $30'
                return
        beside = " | ".join(one for one in around if words.bare_slot(one) != name)
        said = replace(self.said, **self.listener.told(beside, self.said))
        self.entries.append(Entry(row, "" if how == "random" else name, price, "", said))

    def _listed(self, row: Row, header: layout.Header) -> None:
        """A row below a header."""
        get = {name: self._cell(row, name, place) for name, place in header.named.items()}
        said = self._row_said(get, header)
        if len(row.filled) == 1 and not any(
            row.cell(p) and re.search(r"\d", row.cell(p)) for _, p in header.blocks
        ):
            name = words.bare_slot(row.filled[0])
            if self.names.teams(name):
                self.account.aside(row, "no price stands beside the slot")
            else:
                self._title(row)
            return
        found = []
        currency = get.get("currency", "") or header.currency
        for places, price in header.blocks:
            if row.cell(price) or any(row.cell(place) for place in places):
                found.append(Entry(row, self._slot_cell(row, places), row.cell(price), currency, said))
        for place, (kind, value) in header.across.items():
            if row.cell(place):
                slot = value if kind == "slot" else self._slot_cell(row, header.slots)
                own = said if kind == "slot" else replace(said, **self._of_column(kind, value))
                found.append(Entry(row, slot, row.cell(place), currency, own))
        if found:
            self.entries += found
        else:
            self.account.aside(row, "no price stands beside the slot")

    def _of_column(self, kind: str, value: str) -> dict[str, Any]:
        return {kind: self.listener.format_in(value) or text.slug_of(value) if kind == "format" else value}

    def _slot_cell(self, row: Row, places: Sequence[int]) -> str:
        told = [self._cell(row, f"slot {place}", place) for place in places]
        return " + ".join(cell for cell in told if cell)

    def _cell(self, row: Row, name: str, place: int) -> str:
        """A cell; a blank one under a merged cell, a day, a format or a break is that of the row above."""
        cell = row.cell(place)
        goes_on = name in {"date", "format", "break"} or (row.number, place) in self.spanned
        if not cell and goes_on:
            return self.last.get(name, "")
        self.last[name] = cell
        return cell

    def _row_said(self, get: Mapping[str, str], header: layout.Header) -> Said:
        said = replace(self.said, how=self.said.how or header.how, round=get.get("break", ""))
        if label := get.get("label", ""):
            said = replace(said, **{"round": label, **self.listener.told(label, self.said)})
        if day := get.get("date", ""):
            said = replace(said, day=day)
        if product := get.get("format", ""):
            key = self.listener.format_in(product)
            speaks = self.listener.told(product, self.said)
            is_name = "why_not" not in speaks and (self.listener.keys or len(product.split()) < 3)
            key = key or (text.slug_of(product) if is_name else "")
            said = replace(said, **{**speaks, "format": key or said.format})
        if how := get.get("how", ""):
            said = replace(said, how=words.how_in(how))
        if cases := get.get("cases", ""):
            plain = re.fullmatch(r"\d{1,3}(?:[.,]\d{1,2})?", cases)
            number = Decimal(cases.replace(",", ".")) if plain else self.listener.cases_in(cases, said.format)
            said = replace(said, cases=number or None)
        if words.CANCELLED.search(get.get("status", "")):
            said = replace(said, why_not="the break or the slot was cancelled")
        return said
