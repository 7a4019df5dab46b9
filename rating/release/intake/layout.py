"""The layout of checklist sheets: their tables, and what the columns of each hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from rating import text
from rating.release.intake import columns as contents
from rating.release.intake import (
    headings,
    looks,
    name_cells,
    profiles,
    unfold,
)
from rating.release.intake.casts import Said
from rating.release.intake.mentions import Mentions
from rating.release.intake.parts import Header
from rating.release.intake.roles import Told
from rating.release.intake.tables import (
    Table,
    are_numbered,
    are_offers,
    headed,
    is_header,
    repeated_rows,
    tables_of,
)
from rating.release.intake.values import ColumnReading, Grid, Row
from rating.release.intake.words import Columns

# a column of teams whose reading beats the next best by this tells what short tables hold
_SURE_TEAM = 1.5
_LONG = 80  # letters of a heading
_FEW_WORDS = 2  # a header that is known again on another sheet has more

# a table that nobody recognised is asked about from so many rows on, and up to so many columns
_ASKED_ROWS, _ASKED_COLUMNS = 5, 12


class Layouts:
    """The tables of all sheets, and what their columns hold: tables under the same headings are read as one.

    A table is headed by a row of known words, or by one that stands right above rows which are numbered; a
    sheet without either is one table. Teams that a sure column names help to read the others.
    """

    def __init__(
        self,
        grids: Iterable[Grid],
        columns: Columns,
        *,
        is_team: Callable[[str], bool],
        parted: Layouts | None = None,
        beside: Iterable[Grid] = (),
        told: Told | None = None,
    ) -> None:
        grids = tuple(grids)
        self.columns, self._is_known, self._told = columns, is_team, told or Told()
        self.said: Said = parted.said if parted else Said(_cells_of((*grids, *beside)))
        self.mentions: Mentions = parted.mentions if parted else Mentions(grids)
        self._homes: dict[object, set[int]] = {}  # of tables read as one, the sheets they stand in
        self.teams: set[str] = set()
        self.singles: set[str] = set()  # persons of one name, as compared
        self._parts: dict[int, list[Grid]] = {}
        self._tables: dict[int, list[Table]] = {}
        pools: dict[object, list[Table]] = {}
        self._listed = headings.listed(
            row.text for grid in grids for row in grid.rows if len(row.filled) == 1 and len(row.text) < _LONG
        )
        self.repeated = repeated_rows(grids)
        read = {id(grid): self._parted(grid, parted) for grid in grids}
        heads = {
            one.row.cells
            for pairs in read.values()
            for _, tables in pairs
            for one in tables
            if one.row is not None and len(one.row.filled) > _FEW_WORDS
        }
        for grid in grids:
            pairs = [(part, headed(part, tables, columns, heads)) for part, tables in read[id(grid)]]
            self._parts[id(grid)] = [part for part, _ in pairs]
            for part, tables in pairs:
                self._tables[id(part)] = tables
                for one in tables:
                    pools.setdefault(one.key, []).append(one)
                    self._homes.setdefault(one.key, set()).add(id(grid))
        self._readings = {key: self._read(pool) for key, pool in pools.items()}
        for key, pool in pools.items():
            self._learn(pool, self._readings[key])
        if self.singles or any(not self._is_known(team) for team in self.teams):
            self._readings = {key: self._read(pool) for key, pool in pools.items()}
        self.parting = self._parting(pools)
        self._partings = {key: self._own_parting(key, pool) for key, pool in pools.items()}

    def _parted(self, grid: Grid, parted: Layouts | None) -> list[tuple[Grid, list[Table]]]:
        known = parted.parted(grid) if parted else None
        parts = [] if known else map(self._unlisted, unfold.parts(grid))
        return known or [(part, list(tables_of(part, self.columns))) for part in parts]

    def _unlisted(self, part: Grid) -> Grid:
        """A part whose headings do not say that they are of a checklist, where all say so."""
        if not self._listed:
            return part
        rows = (
            replace(row, cells=tuple(headings.unlisted(one) for one in row.cells))
            if row.text in self._listed
            else row
            for row in part.rows
        )
        return replace(part, rows=tuple(rows))

    def _own_parting(self, key: object, pool: list[Table]) -> name_cells.Parting:
        """How one list parts names and teams: as all lists together do, unless that parts hardly any here."""
        cells = self._names_of(key, pool)
        parted = sum(bool(self.parting.read(cell).teams) for cell in cells)
        if parted * 2 >= len(cells) and self.parting.by != "words":
            return self.parting
        own = name_cells.parting(cells, self.is_team)
        return own if own.by and (own.by != "words" or parted * 2 < len(cells)) else self.parting

    def parting_of(self, part: Grid | None) -> name_cells.Parting:
        """How names and teams are parted in a part of a sheet: as most of its tables, else as all have it."""
        tables = self._tables.get(id(part), [])
        largest = max(tables, key=lambda one: len(one.body), default=None)
        return self.parting if largest is None else self._partings[largest.key]

    def is_of(self, grids: Sequence[Grid]) -> bool:
        """Whether these sheets, and they alone, have the tables that were read."""
        told = [key for key, parts in self._parts.items() if any(self._tables[id(part)] for part in parts)]
        return set(told) <= set(map(id, grids)) <= self._parts.keys()

    def _parting(self, pools: dict[object, list[Table]]) -> name_cells.Parting:
        """How names and teams are parted in the tables that have one column for both."""
        cells = [cell for key, pool in pools.items() for cell in self._names_of(key, pool)]
        return name_cells.parting(cells, self.is_team)

    def _names_of(self, key: object, pool: Sequence[Table]) -> list[str]:
        """The cells that hold names and teams in one; none where each has a column."""
        places = {role: place for place, role in self._readings[key].roles.items()}
        if "number" not in places or "subject" not in places or "team" in places:
            return []
        return [cell for table in pool for row in table.body if (cell := row.cell(places["subject"]))]

    def parted(self, grid: Grid) -> list[tuple[Grid, list[Table]]] | None:
        """The parts of a sheet with their tables, None where it is not among these sheets."""
        if id(grid) not in self._parts:
            return None
        return [(part, self._tables[id(part)]) for part in self._parts[id(grid)]]

    def parts(self, grid: Grid) -> list[Grid]:
        """The tables of a sheet as grids of their own, in the order they are read."""
        return self._parts.get(id(grid), [])

    def is_team(self, cell: str) -> bool:
        """Whether a cell is a team, by the season's words or by a sure column of these files."""
        return text.key(cell) in self.teams or self._is_known(cell)

    def is_single(self, name: str) -> bool:
        """Whether a name of one word is a person's, by a column of persons in these files."""
        return text.key(name) in self.singles

    def _is_person(self, cell: str) -> bool:
        return looks.is_person(cell) or all(map(self.is_single, looks.SIDE.split(cell)))

    def headers(self, part: Grid) -> list[Header]:
        """The headers of a part's tables of cards, in order; one without a row where it has no headings."""
        found = []
        for one in self._tables[id(part)]:
            reading = self._readings[one.key]
            named = dict(reading.roles)
            if not _holds_cards(named) and not part.roles:
                if one.row is None or not is_header(one.row, self.columns):
                    continue
                named = self.columns.of_row(one.row.cells)
            cells = one.row.cells if one.row else ()
            unknown = {place: cell for place, cell in enumerate(cells) if place not in named and cell}
            if one.row is None:
                unknown = {place: "" for place in range(one.width) if place not in named}
            left = frozenset(place for place in self._told_of(one) if place not in named)
            found.append(Header(one.row, named, unknown, left=left, width=one.width))
        return found

    def holds_cards(self, grid: Grid) -> bool:
        """Whether a sheet has a table whose contents are cards, whatever its headings say."""
        return any(self._are_cards(one) for part in self.parts(grid) for one in self._tables[id(part)])

    def _are_cards(self, table: Table) -> bool:
        named = self._readings[table.key].roles
        if not _holds_cards(named):
            return False
        places = {role: place for place, role in named.items()}
        if places["number"] in self._told_of(table):
            return True
        cards = [row for row in table.body if looks.is_number(row.cell(places["number"]))]
        if len(cards) * 2 <= len(table.body) or len(cards) < 2:
            return False
        if table.row is not None and "subject" not in places:
            return True
        halves = ("first", "last") if "subject" not in places else ("subject",)
        who = [" ".join(row.cell(places[one]) for one in halves).strip() for row in cards]
        told = name_cells.Parting() if "team" in places else self.parting
        numbers = [row.cell(places["number"]) for row in cards]
        if not are_numbered(numbers) or len(set(numbers)) < min(3, len(cards)):
            return False
        names = [told.read(cell).names for cell in who if cell]
        if not names or (len(set(names)) * 10 < len(set(numbers)) and len(names) > 10):
            return False  # a card may stand in a row for each of its parallels
        persons = sum(map(self._is_person, names))
        return persons * 10 >= 6 * len(who) and not are_offers(table.body)

    def explained(self, grid: Grid) -> tuple[ColumnReading, ...]:
        """The columns of a sheet's largest table with what each was taken for."""
        tables = [one for part in self.parts(grid) for one in self._tables[id(part)]]
        largest = max(tables, key=lambda one: len(one.body), default=None)
        if largest is None:
            return ()
        reading = self._readings[largest.key]
        headings = largest.row.cells if largest.row else ()
        return tuple(
            ColumnReading(
                heading=headings[place] if place < len(headings) else "",
                role=reading.roles.get(place, ""),
                margin=reading.margins.get(place, 0.0),
            )
            for place in range(max(largest.width, len(headings)))
        )

    def unsure(self, grid: Grid) -> list[tuple[str, int, str]]:
        """Columns that are left out since they may be two things: heading, place, and what they may be."""
        return [
            told
            for part in self.parts(grid)
            for one in self._tables[id(part)]
            for told in self._readings[one.key].unsure
        ]

    def open_columns(self, grid: Grid) -> Iterator[tuple[Sequence[str], int, int, list[Row]]]:
        """The columns of a sheet's largest table that nobody told: headings, place, width and its rows."""
        tables = [one for part in self.parts(grid) for one in self._tables[id(part)]]
        largest = max(tables, key=lambda one: len(one.body), default=None)
        if largest is None or len(largest.body) < _ASKED_ROWS or not 1 < largest.width <= _ASKED_COLUMNS:
            return
        told = self._told_of(largest)
        columns = {place: [row for row in largest.body if row.cell(place)] for place in range(largest.width)}
        filled = {place: rows for place, rows in columns.items() if len(rows) * 2 > len(largest.body)}
        numbered = any(
            sum(looks.is_number(row.cell(place)) for row in rows) * 2 > len(rows)
            for place, rows in filled.items()
        )
        for place, rows in filled.items() if numbered else ():
            if place not in told:
                yield largest.row.cells if largest.row else (), place, largest.width, rows

    def _read(self, pool: Sequence[Table]) -> contents.Reading:
        if roles := dict(pool[0].roles):
            return contents.Reading(roles=roles, margins=dict.fromkeys(roles, 9.0))
        row = pool[0].row
        headings = dict(enumerate(row.cells)) if row else {}
        known = {place: self.columns.name(cell) for place, cell in headings.items() if cell}
        profiled = profiles.profiles([one.cells for table in pool for one in table.body], headings)
        return contents.read(
            profiled,
            known,
            is_team=self.is_team,
            is_named=self.mentions.beside(self._homes[pool[0].key]),
            is_known=self.is_single,
            said=self.said,
            told=self._told_of(pool[0]),
        )

    def _told_of(self, table: Table) -> dict[int, str]:
        """What somebody said that the columns of a table hold."""
        if table.roles:
            return {}
        width = (
            table.width if table.row is None else max([table.width, *(len(row.cells) for row in table.body)])
        )
        return self._told.of(table.row.cells if table.row else (), width)

    def _learn(self, pool: Sequence[Table], reading: contents.Reading) -> None:
        row = pool[0].row
        if not _holds_cards(reading.roles):
            return
        for place, role in reading.roles.items():
            is_named = row is not None and self.columns.name(row.cell(place)) == "team"
            if role.startswith("team") and (is_named or reading.margins[place] > _SURE_TEAM):
                cells = (one.cell(place) for table in pool for one in table.body)
                self.teams.update(text.key(cell) for cell in cells if cell)
            if role == "subject":
                names = [cell for table in pool for one in table.body if (cell := one.cell(place))]
                single = [part for cell in names if looks.is_single(cell) for part in looks.SIDE.split(cell)]
                if len(single) * 2 > len(names):
                    self.singles.update(map(text.key, single))


def _cells_of(grids: Iterable[Grid]) -> Iterator[str]:
    return (cell for grid in grids for row in grid.rows for cell in row.cells if " " in cell)


def _holds_cards(named: dict[int, str]) -> bool:
    """Whether columns hold cards: their numbers and who is on them."""
    roles = set(named.values())
    return "number" in roles and ("subject" in roles or roles >= {"first", "last"})
