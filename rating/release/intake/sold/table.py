"""The columns of a sold list, told by what is in them; a heading is one piece of evidence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rating.release.intake import days, wordlists
from rating.release.intake.market import cells, headings
from rating.release.intake.market.headings import share
from rating.release.intake.values import Grid, Row, SeasonWords
from rating.release.intake.words import Columns, header_key

_LOOKED_AT = 150
_BEGUN = 400  # rows in which a list without headings begins
_CODED = 0.9  # of the cells of a column of currencies
_MONEY = ("price", "postage", "total")
# what a column of money must not be taken for, and which roles a heading alone may give
_BY_HEADING = ("title", "condition", "quantity", "bids", "currency", "source", "status", "how")


@dataclass(frozen=True, slots=True)
class Table:
    """A sold list's heading, the columns by what they say, and the rows that hold listings."""

    header: Row | None
    columns: Mapping[str, int]
    first: int


class Reader:
    """Reads the columns of sold lists."""

    def __init__(self, season: SeasonWords, today: date, columns: Columns | None = None) -> None:
        self.today = today
        self.season = season
        self._is_coded = False  # a column says which currency the amounts are in
        self.columns = columns or Columns("sold", season.columns)
        self._more = {
            header_key(word.replace("-", " ")): role
            for role, words in reversed(wordlists.load("market")["headings"]["sold"].items())
            for word in words.split()
        }

    def is_listing(self, row: Row) -> bool:
        """Whether a row holds a title with money or a day beside it."""
        titles = [cell for cell in row.filled if self._is_title(cell)]
        return bool(titles) and any(
            cells.is_marked(cell) or cells.is_day(cell, self.today) for cell in row.filled
        )

    def _is_title(self, cell: str) -> bool:
        return len(cell) > 14 and cells.has_words(cell, 2) and not self._is_small(cell)

    def _is_small(self, cell: str) -> bool:
        return (
            cells.is_how(cell)
            or cells.is_state(cell)
            or cells.is_day(cell, self.today)
            or cells.is_free(cell)
        )

    def table(self, grid: Grid) -> Table | None:
        """The columns of a sheet, None where it is no table of sales."""
        rows = grid.rows
        place = self._named(rows)
        if place is None:
            place = headings.heading(rows[:60], self.is_listing)
        header = None if place is None else rows[place]
        first = 0 if place is None else place + 1
        if header is None:
            first = next((at for at, row in enumerate(rows[:_BEGUN]) if self.is_listing(row)), 0)
        body = rows[first:][:_LOOKED_AT]
        found = self._roles(header, body)
        if "title" not in found and not {"date", "price"} <= found.keys():
            return None
        if not found.keys() & ({"price", "total"} if header is None else {"price", "total", "date"}):
            return None
        return Table(header, found, first)

    def _named(self, rows: Sequence[Row]) -> int | None:
        """The row of headings that the trade's words name."""
        for place, row in enumerate(rows[:60]):
            names = set(self.columns.of_row(row.cells).values())
            if (
                len(names) > 1
                and names & {"title", "date"}
                and not any(any(mark.isdigit() for mark in cell) for cell in row.filled)
            ):
                return place
        return None

    def heading_of(self, cell: str) -> str:
        """The role that a heading names, or nothing."""
        return self.columns.name(cell) or self._more.get(header_key(cell), "")

    # ------------------------------------------------------------ what each column is
    def _roles(self, header: Row | None, body: Sequence[Row]) -> dict[str, int]:
        width = max((len(row.cells) for row in (*body, *((header,) if header else ()))), default=0)
        columns = {place: [row.cell(place) for row in body] for place in range(width)}
        named = {place: self.heading_of(header.cell(place)) if header else "" for place in columns}
        found: dict[str, int] = {}
        self._take_title(columns, named, found)
        self._take(columns, named, found, "date", self._is_date, 0.6)
        self._is_coded = any(share(told, cells.is_currency) > _CODED for told in columns.values())
        self._take_money(columns, named, found)
        self._take(columns, named, found, "how", cells.is_how, 0.6)
        self._take(columns, named, found, "status", cells.is_state, 0.6)
        self._take(columns, named, found, "id", cells.is_id, 0.8)
        for place, name in named.items():
            if name in _BY_HEADING and name not in found and place not in found.values():
                found[name] = place
        for place, name in named.items():  # a list of few or blank cells goes by its headings
            if name in {"date", *_MONEY} and name not in found and place not in found.values():
                found[name] = place
        return found

    def _is_date(self, cell: str) -> bool:
        return cells.is_day(cell, self.today) or (
            days.read_day(cell, self.today) is not None and len(cell) < 30
        )

    def _take_title(
        self, columns: Mapping[int, Sequence[str]], named: Mapping[int, str], found: dict[str, int]
    ) -> None:
        """The column of the longest texts; its heading decides between two."""
        worth = {}
        for place, told in columns.items():
            texts = [cell for cell in told if cell]
            if texts and share(texts, self._is_small) < 0.5 and share(texts, cells.is_money) < 0.5:
                length = sum(map(len, texts)) / len(texts)
                worth[place] = length * (1.3 if named[place] == "title" else 1) * len(texts) / len(told)
        if worth and (best := max(worth, key=lambda place: worth[place])) is not None:
            texts = [cell for cell in columns[best] if cell]
            if named[best] == "title" or share(texts, self._is_title) > 0.5:
                found["title"] = best

    def _take(
        self,
        columns: Mapping[int, Sequence[str]],
        named: Mapping[int, str],
        found: dict[str, int],
        role: str,
        fits: Callable[[str], bool],
        least: float,
    ) -> None:
        """The column whose cells fit a role best; its heading counts for half."""
        worth = {}
        for place, told in columns.items():
            good = share(told, fits)
            filled = sum(bool(cell) for cell in told)
            is_enough = filled * 8 >= len(told) or named[place] == role
            if place not in found.values() and is_enough and good > 0.3:
                worth[place] = good + (0.5 if named[place] == role else 0)
        best = max(worth, key=lambda place: worth[place], default=None)
        if best is not None and worth[best] >= least:
            found[role] = best

    def _take_money(
        self, columns: Mapping[int, Sequence[str]], named: Mapping[int, str], found: dict[str, int]
    ) -> None:
        """Price, postage and total: by headings, else postage is what is often nothing and seldom new."""
        free = [place for place in columns if place not in found.values()]
        money = [place for place in free if self._is_money(columns[place], named[place])]
        left = []
        for place in money:
            if named[place] in _MONEY and named[place] not in found:
                found[named[place]] = place
            elif named[place] not in {"bids", "quantity"}:
                left.append(place)
        if not left:
            return
        posts = [place for place in left if self._is_postage(columns[place])]
        rest = [place for place in left if place not in posts]
        if "price" not in found and "total" not in found and not rest and posts:
            rest, posts = posts[:1], posts[1:]
        for role, places in (("price", rest), ("total", rest[1:]), ("postage", posts)):
            if role not in found and places and places[0] not in found.values():
                found[role] = places[0]

    def _is_money(self, told: Sequence[str], name: str) -> bool:
        fits = share(told, lambda cell: cells.is_money(cell) or cells.is_free(cell))
        if fits < 0.6 or share(told, cells.is_id) > 0.5:
            return False
        marked = share(told, lambda cell: cells.is_marked(cell) or cells.is_free(cell))
        return name in _MONEY or marked > (0 if self._is_coded else 0.4)

    def _is_postage(self, told: Sequence[str]) -> bool:
        """Whether a column of money is of postage: free, blank or nothing at times, and few amounts."""
        texts = [cell for cell in told if cell]
        kinds = Counter(texts)
        nothing = sum(cells.is_free(cell) or cell.strip(" $€£") in {"0", "0.00", "0,00"} for cell in texts)
        blank = len(told) - len(texts)
        few = len(texts) > 5 and len(kinds) * 3 <= len(texts)
        return nothing > 0 or few or (blank * 5 > len(told) and len(told) > 5)
