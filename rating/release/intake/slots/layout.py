"""What tells a host's list of slot prices from other lists, and which of its columns say what."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rating.release.intake import days, ladder, words
from rating.release.intake.market import cells
from rating.release.intake.market.strokes import parted_again
from rating.release.intake.slots import columns as slot_columns
from rating.release.intake.slots import words as slot_words
from rating.release.intake.slots.words import SlotNames
from rating.release.intake.values import Grid, Row, SeasonWords
from rating.release.intake.words import Columns

FORMATS = {"hobby", "retail", "jumbo", "blaster", "mega", "hanger", "fat-pack", "cello"}
_MANY = 8
_ROUND = re.compile(r"(?:break|case|box|round|night)\s*#?\s*\d{1,3}\Z", re.IGNORECASE)
_TITLE = re.compile(r"(?:19|20)\d\d(?:-\d\d)?(?: [^\s]+){3}")
_AMOUNT = re.compile(r"[-−$€£\s]*\d[\d.,]*(?:\s*(?:[$€£]|[A-Z]{3}))?\Z")
_COUNTED = {"#", "no", "nr", "num", "number", "pos", "spot #", "slot #"}
# columns that only lists of cards, of odds or of sold cards have
_OTHERS = {
    "sold": {"title", "postage", "bids", "condition"},
    "checklist": {
        "subject",
        "number",
        "first",
        "last",
        "subset",
        "parallel",
        "print_run",
        "rookie",
        "signed",
        "relic",
    },
    "odds": {"odds"},
}


@dataclass(frozen=True, slots=True)
class Header:
    """The columns of a list: slots each with its price, or cells across that are days, formats or teams."""

    named: Mapping[str, int]
    blocks: tuple[tuple[tuple[int, ...], int], ...]
    across: Mapping[int, tuple[str, str]]
    slots: tuple[int, ...] = ()
    how: str = ""
    currency: str = ""


class Layout:
    """What tells a list of slot prices from other lists, and its columns."""

    def __init__(self, season: SeasonWords, names: SlotNames, today: date) -> None:
        team_words = (*season.columns.get("slot", ()), *season.columns.get("team", ()))
        self.columns = Columns("slots", {**season.columns, "slot": team_words})
        self.others = {kind: Columns(kind, season.columns) for kind in _OTHERS}
        self.names, self.today = names, today
        self.kinds = slot_columns.Kinds(names, today)

    def is_slots(self, grid: Grid) -> bool:
        """Whether a sheet says what slots cost: by its header, else by lines of teams with prices."""
        rows = parted_again(grid).rows[:400]
        if self._are_titles(rows):
            return False
        self.kinds.look(rows)
        if any(self.header(row, rows[place + 1 : place + 61]) for place, row in enumerate(rows[:60])):
            return True
        if self.headless(rows):
            return True
        lines = [part for row in rows for part in slot_words.segments(joined(row))]
        speaks = any(
            slot_words.BREAK.search(line)
            for line in (*lines[:10], grid.sheet, re.sub(r"[_.-]+", " ", grid.file))
        )
        priced = teams = drawn = plain = 0
        for line in lines:
            if (parts := slot_words.parted(line)) and (speaks or slot_words.is_marked(parts[1])):
                priced += 1
                teams += bool(team_in(self.names, f"{parts[0]} | {parts[2]}"))
                drawn += bool(slot_words.BREAK.search(parts[0])) and slot_words.how_in(parts[0]) == "random"
                plain += slot_words.is_marked(parts[1]) and may_be_slot(parts[0])
        if not self.kinds.are_known and speaks and plain > 1 and plain * 10 >= len(lines) * 6:
            return True
        most = priced * 2 >= len(lines)
        if teams * 2 >= len(lines):
            return teams > (1 if speaks else 2)
        if drawn * 2 >= priced > 0:
            return len(lines) < 10
        names = [re.sub(r"[\W_]+", " ", name) for name in (grid.sheet, grid.file)]
        opens = any(slot_words.SAYS_BREAK.search(line) for line in (*lines[:3], *names))
        # names with prices below the number of cases: what else is sold so?
        is_of_cases = priced >= _MANY and any(slot_words.OF_CASES.search(line) for line in lines[:3])
        return most and (
            (speaks and teams > 0 and (teams + 1) * 2 >= priced)
            or ((opens or is_of_cases) and priced > 1 and plain * 10 >= priced * 9)
        )

    def _are_titles(self, rows: Sequence[Row]) -> bool:
        """Whether a column holds titles of sales, a year and words each, and none of them a slot's name."""
        width = max((len(row.cells) for row in rows), default=0)
        for place in range(width):
            cells = [row.cell(place) for row in rows if row.cell(place)]
            told = {cell for cell in cells if _TITLE.match(cell) and not team_in(self.names, cell)}
            if len(told) >= _MANY and len(told) * 10 >= 6 * len(rows):
                return True
        return False

    def header(self, row: Row, below: Sequence[Row]) -> Header | None:
        """The columns that a row names, None where it is no header of slot prices."""
        if len(row.filled) < 2 or any(_AMOUNT.match(cell) for cell in row.filled):
            return None
        told = {place: self.columns.name(cell) for place, cell in enumerate(row.cells)}
        kinds: dict[int, str] = {}
        if not self.kinds.is_body(row) and any(map(self.kinds.is_body, below[:3])):
            kinds = self.kinds.of_columns(below, are_named={"slot", "price"} <= set(told.values()))
        if self._is_of_cards(row, kinds):
            return None
        if kinds:
            across = self._across(row, told) if "price" not in told.values() else {}
            told = slot_columns.trusted(
                told, {place: kind for place, kind in kinds.items() if place not in across}
            )
        slots = self._slots([place for place, name in told.items() if name == "slot"], below)
        prices = [place for place, name in told.items() if name == "price"]
        named = {name: place for place, name in reversed(told.items()) if name}
        across = {} if prices else self._across(row, told)
        if not slots and (prices or len(across) > 1):
            free = [place for place in range(len(row.cells)) if not told.get(place) and place not in across]
            slots = [place for place in free if self._are_teams(place, below)][:1]
        if not prices and not slots and sum(kind == "slot" for kind, _ in across.values()) > 2:
            if "date" not in named and 0 not in across:
                named["label"] = 0
            return self._sound(Header(named, (), across), below)
        if not slots or not (prices or across):
            return None
        blocks: list[tuple[tuple[int, ...], int]] = []
        if len(slots) == len(prices):
            blocks = [((slot,), price) for slot, price in zip(slots, prices, strict=True)]
        elif prices:
            blocks = [(tuple(slots), prices[0])]
        over = " ".join(row.cell(place) for place in prices)
        header = Header(named, tuple(blocks), across, tuple(slots), slot_words.how_in(over), over)
        return self._sound(header, below)

    def headless(self, rows: Sequence[Row]) -> Header | None:
        """The columns of a list without headings; None where most rows are no slot with its price."""
        body = [row for row in rows[:400] if self.kinds.is_body(row)]
        several = [row for row in rows[:400] if len(row.filled) > 2]
        if not body or len(body) * 4 < len(several) or max(len(row.filled) for row in body) < 3:
            return None
        if self.kinds.has_titles(body):
            return None
        found = slot_columns.trusted({}, self.kinds.of_columns(body))
        slots = [place for place, name in found.items() if name == "slot"]
        prices = [place for place, name in found.items() if name == "price"]
        if not slots or not prices:
            return None
        under = [row for row in several if any(map(row.cell, slots)) and cells.is_marked(row.cell(prices[0]))]
        if len(under) * 2 < len(several):
            return None
        named = {name: place for place, name in reversed(found.items()) if name}
        pairs = len(slots) == len(prices)
        blocks = (
            [((slot,), price) for slot, price in zip(slots, prices, strict=True)]
            if pairs
            else [(tuple(slots), prices[0])]
        )
        return Header(named, tuple(blocks), {}, tuple(slots))

    def _slots(self, places: list[int], below: Sequence[Row]) -> list[int]:
        """The columns that name slots: those of teams, where numbers or divisions stand beside them."""
        teams = [place for place in places if self._are_teams(place, below)]
        return teams if teams and len(places) > 1 else places

    def _is_of_cards(self, row: Row, kinds: Mapping[int, str]) -> bool:
        """Whether a heading names what only other lists have, and the cells below do not say otherwise."""
        own = [
            cell
            for place, cell in enumerate(row.cells)
            if cell
            and kinds.get(place, "") in {"", "format"}
            and not self.columns.name(cell)
            and words.header_key(cell) not in _COUNTED
        ]
        return any(
            columns.name(cell) in _OTHERS[kind] for kind, columns in self.others.items() for cell in own
        )

    def _across(self, row: Row, told: Mapping[int, str]) -> dict[int, tuple[str, str]]:
        found: dict[int, tuple[str, str]] = {}
        for place, cell in enumerate(row.cells):
            if not cell or told.get(place):
                continue
            if place in row.dates or (len(cell) < 40 and days.read_day(cell, self.today) is not None):
                found[place] = ("day", cell)
            elif _ROUND.match(cell):
                found[place] = ("round", cell)
            elif name := self.names.teams(cell):
                found[place] = ("slot", " + ".join(name))
            elif len(cell) < 20 and (keys := ladder.formats_in(cell)) and set(keys) <= FORMATS:
                found[place] = ("format", cell)
            elif len(cell) < 25 and (how := slot_words.how_in(cell)):
                found[place] = ("how", how)
        kinds = Counter(kind for kind, _ in found.values())
        main = kinds.most_common(1)[0][0] if kinds else ""
        return {place: one for place, one in found.items() if one[0] == main}

    def _are_teams(self, place: int, below: Sequence[Row]) -> bool:
        told = [cell for row in below[:60] if (cell := row.cell(place))]
        return 0 < len(told) <= 2 * sum(bool(self.names.teams(slot_words.bare_slot(cell))) for cell in told)

    def _sound(self, header: Header, below: Sequence[Row]) -> Header | None:
        """The header, where the cells below are those of slot prices."""
        places = [place for _, place in header.blocks] or list(header.across)
        told = [cell for row in below[:60] for place in places if (cell := row.cell(place))]
        digits = sum(bool(re.search(r"\d", cell)) for cell in told)
        ratios = sum(bool(re.search(r"\d\s*:\s*\d|\d\s*/\s*\d|\bin\s+\d", cell)) for cell in told)
        if not digits or ratios * 3 > len(told):
            return None
        if {kind for kind, _ in header.across.values()} == {"slot"} and digits * 2 < len(told):
            return None  # teams across, and below them names or marks
        if "format" in header.named:
            products = [cell for row in below[:60] if (cell := row.cell(header.named["format"]))]
            if len(set(products)) * 2 > len(products) and sum(map(len, products)) > 25 * len(products):
                return None  # titles of listings
        if {kind for kind, _ in header.across.values()} == {"format"} and not header.blocks:
            marked = any(re.search(r"[$€£]|\d[.,]\d\d\b", cell) for cell in told)
            return header if marked else None  # else it may be counts of cards
        return header


def may_be_slot(words: str) -> bool:
    """Whether words may name a slot: one name, or a few joined, without a number."""
    names = [slot_words.bare_slot(name) for name in re.split(r"\s[+/]\s", words)]
    return not re.search(r"\d", words) and all(len(name.split()) < 6 for name in names)


def team_in(names: SlotNames, line: str) -> str:
    """The part of a row's text that names teams and nothing else."""
    parts = (slot_words.bare_slot(part) for part in line.split(" | "))
    return next((part for part in parts if names.teams(part)), "")


def joined(row: Row) -> str:
    """A row as a line; an amount such as '45,00' that a comma parted is whole again."""
    return re.sub(r"(\d) \| (\d\d)\b(?!\d)", r"\1,\2", row.text)
