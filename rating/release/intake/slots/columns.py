"""What the columns of a list of slot prices hold, told by their cells, whatever stands over them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from rating.release.intake.market import cells
from rating.release.intake.market.headings import share
from rating.release.intake.slots import words as slot_words
from rating.release.intake.slots.words import SlotNames
from rating.release.intake.values import Row

ANY_TEAM = re.compile(
    r"(?:an?\s+|any\s+)?random(?:i[sz]ed|s)?(?:\s+(?:team|spot|slot|club)s?)?\Z", re.IGNORECASE
)
_LOOKED_AT = 60
_MOST_CASES = Decimal(40)
# what a column's cells may say against its heading
_AGAINST = {
    "price": {"date", "how", "slot", "format"},
    "date": {"price", "slot", "how", "cases", "format"},
    "slot": {"price", "date", "how", "cases"},
    "cases": {"price", "slot", "date", "how", "format"},
    "format": {"price", "slot", "date", "how", "cases"},
    "how": {"price", "slot", "date", "cases"},
    "status": {"price", "slot", "date", "cases"},
    "currency": {"price", "slot", "date", "cases"},
    "break": {"price", "slot"},
}


class Kinds:
    """Tells what columns hold."""

    def __init__(self, names: SlotNames, today: date) -> None:
        self.names, self.today = names, today
        self.are_known = names.are_known

    def look(self, rows: Sequence[Row]) -> None:
        """See whether a list names any team that is known; else names of other kinds pass as teams."""
        self.are_known = self.names.are_known and any(
            self.names.teams(slot_words.bare_slot(cell))
            for row in rows[:_LOOKED_AT]
            for cell in (*row.filled, re.split(r"\s[-–—]\s|:\s|\s\W?\d", row.text)[0])
        )

    def is_slot(self, cell: str) -> bool:
        """Whether a cell names teams, or that one is drawn."""
        bare = slot_words.bare_slot(cell)
        if self.names.teams(bare) or ANY_TEAM.match(bare):
            return True
        return not self.are_known and self._may_be_team(bare)

    def _may_be_team(self, bare: str) -> bool:
        """Whether words may name a team, where nobody said yet which teams there are."""
        return (
            bool(bare)
            and len(bare) < 60
            and bare[0].isupper()
            and not re.search(r"\d", bare)
            and 1 < len(bare.split()) < 9
            and not (slot_words.how_in(bare) or cells.is_how(bare) or cells.is_state(bare))
            and not cells.is_free(bare)
        )

    def is_body(self, row: Row) -> bool:
        """Whether a row holds a slot with its price, each in a cell of its own."""
        return len(row.filled) > 1 and any(map(_is_price, row.filled)) and any(map(self.is_slot, row.filled))

    def of_columns(self, rows: Sequence[Row], *, are_named: bool = False) -> dict[int, str]:
        """By column: slot, price, date, how, cases, format, or nothing where the cells do not tell.

        With `are_named`, headings say that slots and prices stand there.
        """
        body = [row for row in rows[:_LOOKED_AT] if self.is_body(row)]
        if not body:
            return {}
        width = max(len(row.cells) for row in body)
        columns = {
            place: told
            for place in range(width)
            if (told := [cell for row in body if (cell := row.cell(place))]) and len(told) * 4 >= len(body)
        }
        found = {place: self._kind(told) for place, told in columns.items()}
        slots = [place for place, kind in found.items() if kind == "slot"]
        if not self.are_known and len(slots) > 1:  # what is the same in most rows is no slot
            for place in [one for one in slots if self._is_of_few(columns[one])]:
                found[place] = ""
                slots.remove(place)
        for place in slots[1:]:
            if any(slot_words.how_in(cell) for cell in columns[place]):
                found[place] = "how"
        words = [
            place
            for place, told in columns.items()
            if not found[place] and self._may_be_format(told, len(body))
        ]
        filled = {place: len(columns[place]) for place in words}
        whole = [place for place in words if filled[place] * 2 > len(body)]
        if len(whole) == 1:
            found[whole[0]] = "format"
        if not (self.are_known or are_named) and not {"how", "cases"} <= set(found.values()):
            return {}  # names with prices may be anything
        return found

    def _is_of_few(self, told: Sequence[str]) -> bool:
        return len(told) > 3 and len(set(told)) * 3 <= len(told)

    def has_titles(self, body: Sequence[Row]) -> bool:
        """Whether a column holds texts of several words, another in most rows, that name no slots."""
        for place in range(max(len(row.cells) for row in body)):
            told = [cell for row in body if (cell := row.cell(place))]
            is_new = len(set(told)) * 2 > len(told) and not self._kind(told)
            if is_new and share(told, lambda cell: cells.has_words(cell, 3)) > 0.5:
                return True
        return False

    def _kind(self, told: Sequence[str]) -> str:
        for kind, fits in (
            ("slot", self.is_slot),
            ("date", lambda cell: cells.is_day(cell, self.today)),
            ("how", _is_how),
            ("price", _is_price),
            ("cases", _is_few),
        ):
            if share(told, fits) > 0.6:
                return kind
        return ""

    def _may_be_format(self, told: Sequence[str], number: int) -> bool:
        """Whether cells are a word or two that hold for many rows."""
        few = len(set(told)) <= max(1, number // 3) or len(set(told)) < 4
        return few and all(
            cells.has_words(cell, 1) and len(cell) < 25 and not re.search(r"\d{3}|[.!?]\s", cell)
            for cell in told
        )


def _is_few(cell: str) -> bool:
    return cells.is_count(cell) and Decimal(cell.strip().replace(",", ".")) <= _MOST_CASES


def _is_how(cell: str) -> bool:
    return len(cell) < 40 and not re.search(r"\d{4}", cell) and bool(slot_words.how_in(cell))


def _is_price(cell: str) -> bool:
    """Whether a cell is an amount, no share of a case: with a mark, or with decimals and more than four."""
    if not cells.is_marked(cell):
        return False
    bare = re.fullmatch(r"(\d+)[.,]\d\d?", cell.strip())
    return bare is None or int(bare[1]) > 4


def trusted(told: Mapping[int, str], kinds: Mapping[int, str]) -> dict[int, str]:
    """What columns are by their headings, unless their cells say otherwise, and else by their cells."""
    found = {
        place: kinds.get(place, "") if kinds.get(place) in _AGAINST.get(name, ()) else name
        for place, name in told.items()
    }
    for place, kind in kinds.items():
        if not found.get(place) and kind and (kind in {"slot", "price"} or kind not in found.values()):
            found[place] = kind
    if sum(name == "price" for name in found.values()) > sum(name == "slot" for name in found.values()) > 0:
        named = [place for place, name in found.items() if name == "price" and told.get(place) == "price"]
        for place in [
            place for place, name in found.items() if name == "price" and named and place not in named
        ]:
            found[place] = ""
    return dict(sorted(found.items()))
