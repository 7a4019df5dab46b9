"""The layout of a checklist sheet: which rows are headings, headers, cards, footnotes and totals.

A sheet is read from the top with a little memory: text rows wait until the next header or card says what they
were, the last header's columns hold until another comes, and a footnote ends the subset above it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from rating import text
from rating.release.intake import columns as contents
from rating.release.intake import (
    headings,
    kinds,
    ladder,
    looks,
    name_cells,
    numerals,
    profiles,
    statements,
    unfold,
    words,
)
from rating.release.intake.account import Account
from rating.release.intake.casts import Said
from rating.release.intake.mentions import Mentions
from rating.release.intake.roles import NOTHING, Told
from rating.release.intake.values import ColumnReading, Grid, Row
from rating.release.intake.words import Columns

_NUMBER = re.compile(
    r"#?\s?(?:[A-Za-z0-9]{1,10}(?:\s?[-–./]\s?[A-Za-z0-9]{1,8}){0,3}|[A-Z]{1,4}\.?\s\d{1,4}[a-z]?)[*†]?\Z"
)
BASE = "Base"  # what the only cards are that no heading and no sheet names
_GENERIC_SHEET = re.compile(
    r"(?:sheet|tabelle|feuil|hoja|blad|foglio|munkalap)\s*\d*\Z|.*\b(?:checklist|master|cl"
    r"|full|all|list|export|data|cards)\b.*",
    re.IGNORECASE,
)
_TAIL = re.compile(r"\s*(?:[-–—:,|(\[]|\bis\b)\s*\Z")
# before the words that follow a name; a hyphen inside a word is none
_KIND_MARK = re.compile(r"\s-+(?=\s|\w)|\s*[–—:(\[]")
# a column of teams whose reading beats the next best by this tells what short tables hold
_SURE_TEAM = 1.5
_BELOW = 3  # rows from the last card to what still speaks of it
_BRACKET = re.compile(r"(?P<name>[^()\[\]]+?)\s*[(\[](?P<said>[^()\[\]]{3,200})[)\]]\s*\Z")
# words about the cards behind a name: they begin with a small letter or a number
_SAID = re.compile(
    r"(?P<name>[^:,;()]{2,60}?)(?P<mark>\s*:\s+|\s+[-–—]+\s+|,\s+)(?P<rest>(?=[a-zà-ÿ\d])\S.*)\Z"
)
_STOPPED = re.compile(r"(?P<name>[^.:;()]{2,60})\.\s+(?P<rest>[^.]{3,60})\.?\Z")  # 'THE MIST. The base set'
# a table that nobody recognised is asked about from so many rows on, and up to so many columns
_ASKED_ROWS, _ASKED_COLUMNS = 5, 12
_CONTINUED = re.compile(r"\s*[-–(]*\s*\bcont(?:inued|['’]?d|\.)?\.?\s*\)?\s*\Z", re.IGNORECASE)


@dataclass(slots=True)
class Header:
    """The columns that a header row named, by position; unknown ones wait to be told by their contents."""

    row: Row | None
    named: dict[int, str]
    unknown: dict[int, str] = field(default_factory=dict)
    parallels: dict[int, str] = field(default_factory=dict)
    left: frozenset[int] = frozenset()  # columns that somebody said hold nothing
    width: int = 0  # columns of the table
    places: dict[str, int] = field(init=False)  # of the named columns

    def __post_init__(self) -> None:
        self.places = {name: place for place, name in self.named.items()}

    def place(self, name: str) -> int | None:
        """Where a named column stands, None where there is none."""
        return self.places.get(name)

    def get(self, row: Row, name: str) -> str:
        """The cell of a row in a named column."""
        place = self.places.get(name)
        return "" if place is None else row.cell(place)

    def has(self, name: str) -> bool:
        """Whether a column is there."""
        return name in self.places


@dataclass(slots=True)
class Line:
    """One row of cards with the columns that held for it, and a team that a heading gave."""

    row: Row
    header: Header
    team: str = ""
    grid: Grid | None = None  # the part of the sheet that it stands in

    def get(self, name: str) -> str:
        """The cell in a named column, blank where there is none."""
        place = self.header.places.get(name)
        return "" if place is None else self.row.cell(place)


@dataclass(slots=True)
class Section:
    """A stretch of cards under one heading."""

    name: str
    blurbs: list[str] = field(default_factory=list)
    group: str = ""
    lines: list[Line] = field(default_factory=list)
    is_closed: bool = False
    heading: Row | None = None
    is_guessed: bool = False
    full: str = ""  # the name with its kind words, as the heading wrote it


@dataclass(slots=True)
class Sheet:
    """A sheet parted into sections, with the footnotes found in it."""

    grid: Grid
    account: Account
    sections: list[Section]
    footnotes: list[Row]
    headers: list[Header]
    orphans: list[Line]
    titles: list[str]


_BEFORE_NUMBER = re.compile(
    r"^(?:no\.?|nr\.?|card)\s+(?=\S*\d|(?-i:[A-Z]{1,6}[-–][A-Z]{1,8}\Z))", re.IGNORECASE
)


def is_number(cell: str) -> bool:
    """Whether a cell may be a card's number: '12', 'DS-4', 'MV JT', 'RC-A', never a phrase."""
    bare = _BEFORE_NUMBER.sub("", cell.strip())
    if not bare or len(bare) > 20 or not _NUMBER.match(bare):
        return False
    if any(mark.isdigit() for mark in bare):
        return True
    letters = re.sub(r"[^A-Za-z]", "", bare)
    return letters.isupper() and (len(letters) <= 4 or "-" in bare) and len(letters) <= 8


def split_heading(line: str) -> tuple[str, str]:
    """A heading's name, and the rest that says something of it: 'Deck Signatures (#/120)' in two.

    Kind words after a dash, a colon or a bracket belong to the rest: 'Harbour Ink: dual autographs' is of
    the subset Harbour Ink.
    """
    if len(parts := headings.pieces(line)) > 1:
        return parts[0], headings.DOT.join(parts[1:])
    name = _without_kinds(_before_blurb(_without_bracket(line)))
    if name == line:
        return line, ""
    return name.strip(), line[len(name) :].strip(" -–—:,|([")


def _before_blurb(line: str) -> str:
    """A heading up to where it begins to speak of print runs, cards and material."""
    found = words.BLURB.search(line)
    if not found:
        return line
    name = line[: found.start()]
    while (shorter := _TAIL.sub("", name)) != name:
        name = shorter
    return name


def _without_bracket(name: str) -> str:
    """A name without the bracket at its end that says what its cards are: 'Inked (two signatures)'."""
    found = _BRACKET.match(name)
    if found is None:
        return name
    said = found["said"]
    told = kinds.read(said)
    is_said = told.says or words.run_in(said) is not None or words.CARDS_COUNT.search(said) is not None
    return found["name"] if is_said else name


def _without_kinds(name: str) -> str:
    """A name without the kind words after its last dashes; 'Base: autographs' is a name of its own."""
    bare = _CONTINUED.sub("", name)
    while marks := list(_KIND_MARK.finditer(bare)):
        head, tail = bare[: marks[-1].start()].rstrip(" ,"), bare[marks[-1].end() :]
        title = words.fold(head.strip())
        if not (words.are_kinds(tail) or words.BASE_NAME.match(words.fold(tail))):
            break
        if not title or words.BASE_NAME.match(title):
            break
        if words.GROUP_HEADING.match(title):
            break
        bare, name = head, head
    stopped = _STOPPED.match(name)
    if stopped and kinds.are_kinds(stopped["rest"]):
        return stopped["name"]
    said = _SAID.match(name)
    if said and (said["mark"].strip() == ":" or kinds.read(said["rest"]).says or words.run_in(said["rest"])):
        return said["name"]
    return name


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
        self._tables: dict[int, list[_Table]] = {}
        pools: dict[object, list[_Table]] = {}
        self._listed = headings.listed(
            row.text for grid in grids for row in grid.rows if len(row.filled) == 1 and len(row.text) < _LONG
        )
        self.repeated = _repeated(grids)
        read = {id(grid): self._parted(grid, parted) for grid in grids}
        heads = {
            one.row.cells
            for pairs in read.values()
            for _, tables in pairs
            for one in tables
            if one.row is not None and len(one.row.filled) > _FEW_WORDS
        }
        for grid in grids:
            pairs = [(part, _headed(part, tables, columns, heads)) for part, tables in read[id(grid)]]
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

    def _parted(self, grid: Grid, parted: Layouts | None) -> list[tuple[Grid, list[_Table]]]:
        known = parted.parted(grid) if parted else None
        parts = [] if known else map(self._unlisted, unfold.parts(grid))
        return known or [(part, list(_tables(part, self.columns))) for part in parts]

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

    def _own_parting(self, key: object, pool: list[_Table]) -> name_cells.Parting:
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

    def _parting(self, pools: dict[object, list[_Table]]) -> name_cells.Parting:
        """How names and teams are parted in the tables that have one column for both."""
        cells = [cell for key, pool in pools.items() for cell in self._names_of(key, pool)]
        return name_cells.parting(cells, self.is_team)

    def _names_of(self, key: object, pool: Sequence[_Table]) -> list[str]:
        """The cells that hold names and teams in one; none where each has a column."""
        places = {role: place for place, role in self._readings[key].roles.items()}
        if "number" not in places or "subject" not in places or "team" in places:
            return []
        return [cell for table in pool for row in table.body if (cell := row.cell(places["subject"]))]

    def parted(self, grid: Grid) -> list[tuple[Grid, list[_Table]]] | None:
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
                if one.row is None or not _is_header(one.row, self.columns):
                    continue
                named = self.columns.of_row(one.row.cells)
            cells = one.row.cells if one.row else ()
            unknown = {place: cell for place, cell in enumerate(cells) if place not in named and cell}
            if one.row is None:
                unknown = {place: "" for place in range(one.width) if place not in named}
            left = frozenset(place for place, role in self._told_of(one).items() if role == NOTHING)
            found.append(Header(one.row, named, unknown, left=left, width=one.width))
        return found

    def holds_cards(self, grid: Grid) -> bool:
        """Whether a sheet has a table whose contents are cards, whatever its headings say."""
        return any(self._are_cards(one) for part in self.parts(grid) for one in self._tables[id(part)])

    def _are_cards(self, table: _Table) -> bool:
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
        if not _are_numbered(numbers) or len(set(numbers)) < min(3, len(cards)):
            return False
        names = [told.read(cell).names for cell in who if cell]
        if not names or (len(set(names)) * 10 < len(set(numbers)) and len(names) > 10):
            return False  # a card may stand in a row for each of its parallels
        persons = sum(map(self._is_person, names))
        return persons * 10 >= 6 * len(who) and not _are_offers(table.body)

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

    def _read(self, pool: Sequence[_Table]) -> contents.Reading:
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

    def _told_of(self, table: _Table) -> dict[int, str]:
        """What somebody said that the columns of a table hold."""
        return {} if table.roles else self._told.of(table.row.cells if table.row else (), table.width)

    def _learn(self, pool: Sequence[_Table], reading: contents.Reading) -> None:
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


def _repeated(grids: Sequence[Grid]) -> set[tuple[str, ...]]:
    """Rows of several words that stand among the first of more than one sheet, as headings do."""
    found = Counter(
        cells
        for grid in grids
        for cells in {row.cells for row in grid.rows[:_HEADING_ROWS] if len(row.filled) > 1}
    )
    return {cells for cells, sheets in found.items() if sheets > 1}


def _cells_of(grids: Iterable[Grid]) -> Iterator[str]:
    return (cell for grid in grids for row in grid.rows for cell in row.cells if " " in cell)


@dataclass(slots=True)
class _Table:
    row: Row | None
    body: list[Row]
    key: object
    width: int
    roles: tuple[tuple[int, str], ...] = ()


def _headed(
    part: Grid, tables: list[_Table], columns: Columns, heads: Container[tuple[str, ...]]
) -> list[_Table]:
    """The tables of a part; one without a header is read anew where a row of it heads another table."""
    if any(one.row is not None for one in tables):
        return tables
    known = {row.cells for row in part.rows[:_HEADING_ROWS] if row.cells in heads}
    return list(_tables(part, columns, known)) if known else tables


def _tables(
    grid: Grid, columns: Columns, heading: Container[tuple[str, ...]] = frozenset()
) -> Iterator[_Table]:
    """The tables of a part of a sheet, by the rows that head cards or stand in `heading`."""
    rows = grid.rows
    if grid.roles:
        body = [row for row in rows if len(row.filled) > 1]
        yield _Table(None, body, id(grid), 2, grid.roles)
        return
    _, explained = statements.legend_among(rows)
    legend = {row.number for row in explained}
    rows = tuple(row for row in rows if row.number not in legend)
    places: list[int] = []
    for i, row in enumerate(rows):
        is_first = not places and _has_cards_above(rows, i)  # where cards stand above, what heads them would
        if (
            row.cells in heading
            or _is_header(row, columns)
            or (not is_first and _stands_above_cards(rows, i, columns) and not _goes_on_above(rows, i))
        ):
            places.append(i)
    known = {rows[i].cells for i in places}
    places = [i for i, row in enumerate(rows) if i in places or row.cells in known]
    heads: list[Row] = []
    for i, after in pairwise([*places, len(rows)]):
        row = rows[i]
        body = [one for one in rows[i + 1 : after] if len(one.filled) > 1]
        head = next((one for one in heads if _is_again(row, one)), row)
        heads.append(head)
        yield _Table(row, body, tuple(words.header_key(cell) for cell in head.cells), len(row.cells))
    body = [one for one in rows if len(one.filled) > 1]
    if not places and len(body) > 2:
        width = max(len(one.cells) for one in body)
        usual = Counter(len(one.cells) for one in body).most_common(1)[0][0]
        yield _Table(None, body, (grid.file, usual), width)


def _is_again(row: Row, head: Row) -> bool:
    """Whether a row is a header once more, though a merged cell may hide some of its words."""
    same = [cell for place, cell in enumerate(row.cells) if cell and head.cell(place) == cell]
    return len(same) == len(row.filled) and len(same) * 3 >= 2 * len(head.filled)


def _is_header(row: Row, columns: Columns) -> bool:
    """Whether a row's words head the columns of cards."""
    found = columns.of_row(row.cells)
    if len(found) < 2 or any(map(looks.RUN_MARKED.match, row.filled)):
        return False
    if any(name == "number" and any(map(str.isdigit, row.cells[place])) for place, name in found.items()):
        return False  # 'No. 12 | Insert' is a card
    names = set(found.values())
    people = names & {"subject", "last", "first"}
    filled = len(row.filled)
    if len(names) == filled and {"subset", "parallel"} <= names:
        return True  # nothing else is written above the columns
    if not (people or {"number", "team"} <= names or {"number", "subset"} <= names):
        return False
    if not ("number" in names and people) and len(found) * 2 < filled:
        return False
    return not (len(found) == 2 and any(cell[:1].isdigit() for cell in row.filled if not columns.name(cell)))


def _are_numbered(numbers: Sequence[str]) -> bool:
    """Whether card numbers go up by one here and there, or have letters: amounts do neither."""
    if any(mark.isalpha() for number in numbers for mark in number) or len(numbers) < 4:
        return True
    plain = [int(digits) for number in numbers if (digits := re.sub(r"\D", "", number))]
    steps = sum(0 <= b - a <= 1 for a, b in pairwise(plain))
    return steps * 5 >= len(plain) or plain == sorted(plain)


_MONEY = re.compile(
    r"[$€£¥]\s?\d|\b\d[\d,.]*\s?(?:USD|EUR|GBP|CAD|AUD|JPY|SEK|NOK|DKK|CHF|PLN|CZK|kr|zł|Kč|€|£)(?!\w)"
)


def _are_offers(body: Sequence[Row]) -> bool:
    """Whether rows have prices, as sales and slots have and cards have not."""
    return sum(_MONEY.search(row.text) is not None for row in body) * 5 > len(body)


def read_sheet(grid: Grid, account: Account, layouts: Layouts, known: Iterable[str] = ()) -> Sheet:
    """A sheet's rows given their parts; cards get the section and the header that hold for them.

    `known` are names of subsets as other lists have them.
    """
    sheet = Sheet(grid, account, [], [], [], [], [])
    names = {text.key(one) for one in known}
    for part in layouts.parts(grid):
        _Reader(part, sheet, layouts, names).read()
    return sheet


class _Reader:
    def __init__(self, grid: Grid, sheet: Sheet, layouts: Layouts, known: set[str]) -> None:
        self.grid, self.account, self.is_team = grid, sheet.account, layouts.is_team
        self.known, self.columns, self.repeated = known, layouts.columns, layouts.repeated
        self.parting = layouts.parting_of(grid)
        self.header: Header | None = None
        self.headers: dict[int, Header] = {}
        for header in layouts.headers(grid):
            if header.row is None:
                self.header = header
            else:
                self.headers[header.row.number] = header
        self.section: Section | None = None
        self.sheet = sheet
        if self.header:
            sheet.headers.append(self.header)
        self.inner: set[str] = set()  # parts of the base set that are no subsets, as headings write them
        self.banner = headings.Style()
        self.last_card = self.page_end = 0
        self.titled: set[str] = set()  # titles as compared
        self.pending: list[list[Row]] = []  # text rows that wait, in blocks parted by blank rows
        self.team = ""
        self.group = ""
        self.last = 0
        self.spanned = {
            (row, column): first
            for first, column, last, _ in grid.spans
            if last > first
            for row in range(first + 1, min(last, first + 10_000) + 1)
        }

    def read(self) -> None:
        """Give every row its part."""
        _, explained = statements.legend_among(self.grid.rows)
        legend = {row.number for row in explained}
        for row in self.grid.rows:
            if row.number in legend and len(row.filled) < 3:
                self.account.take(row, "key")
            else:
                self._row(row)
            self.last = row.number
        for row in self._waiting():
            if self._is_own_ladder(row):
                continue
            if statements.read(row.text) or statements.pair(row):
                self.sheet.footnotes.append(row)
                self.account.take(row, "footnote")
            else:
                self.account.aside(row, "a line of text after the last card")

    # ------------------------------------------------------------ one row
    def _row(self, row: Row) -> None:
        if header := self._header(row):
            self._begin(header, row)
            return
        filled = row.filled
        if not filled:
            self.account.take(row, "card")  # the cards of a paragraph that goes on
        elif self._heads_columns(row):
            self.account.take(row, "header")
        elif statements.is_footer(row.text) and not words.FOOTNOTE.match(row.text):
            self.account.take(row, "title")
            self.page_end = row.number
        elif words.TOTAL.match(filled[0]) or (
            any(map(words.TOTAL.match, filled[1:3])) and not is_number(self._cell(row, "number") or "-")
        ):
            self.account.aside(row, "a line of totals")
        elif self._is_text(row, filled):
            self._text(row)
        else:
            self._card(row)

    def _header(self, row: Row) -> Header | None:
        return self.headers.get(row.number)

    def _heads_columns(self, row: Row) -> bool:
        """Whether a row's words are those over columns, though too few to head a table."""
        named = [self.columns.name(cell) for cell in row.filled]
        if len(named) > 1:
            is_again = any(named) and row.cells in self.repeated and not any(map(is_number, row.filled))
            return all(named) or is_again
        place = self.header.place("subject") if self.header else None
        return place is not None and row.cell(place) != "" and named == ["subject"]

    def _begin(self, header: Header, row: Row) -> None:
        self.account.take(row, "header")
        if self.section is None and self._are_titles_above(row):
            self.pending.append([])  # what stands between the header and the cards is nearer to them
        self.header = header
        self.sheet.headers.append(header)

    def _are_titles_above(self, row: Row) -> bool:
        """Whether the text above the first header is titles, so that a heading may follow below it."""
        if not self.pending or not self.pending[-1]:
            return False
        above = self.pending[-1][-1].text
        name, rest = split_heading(above)
        if rest or words.BASE_NAME.match(words.fold(name)):
            return False  # a heading, or what is said below one
        return row.number > self.last + 1 or words.TITLE_LIKE.search(above) is not None

    def _cell(self, row: Row, name: str) -> str:
        return self.header.get(row, name) if self.header else ""

    def _is_text(self, row: Row, filled: Sequence[str]) -> bool:
        """Whether a row speaks of cards rather than being one."""
        if words.FOOTNOTE.match(filled[0]) and not is_number(filled[0]):
            return True
        if self.header is None or _is_counted(filled):
            return True
        number = self._cell(row, "number")
        subject = self._cell(row, "subject") or self._cell(row, "last")
        if self.grid.roles and number and (subject or self._cell(row, "variation")):
            return False
        if self.header.has("number"):
            if is_number(number) and len(filled) > 1:
                return False
            if len(filled) == 1 or self._is_marked_alone(row):
                # a subject alone under the spanned number of the row above is the second person on a card
                is_second = self._is_spanned(row, "number") or self._is_second_person(row, subject)
                return not (subject and not number and is_second)
            if number and not is_number(number):
                return not (subject and self.header.has("team") and self._cell(row, "team"))
            return not subject
        if len(filled) == 1:
            return not (subject and len(self.header.named) == 1)
        return not subject

    def _is_second_person(self, row: Row, cell: str) -> bool:
        """Whether a person and a team stand alone right below a card, in the column of the card's own."""
        if row.number != self.last_card + 1 or not self.header or row.cells[0]:
            return False
        told = self.parting.read(cell)
        return bool(told.teams) and looks.is_person(told.names)

    def _is_marked_alone(self, row: Row) -> bool:
        """Whether one cell of a row says something, and beside the table's columns somebody left a mark."""
        places = [place for place, cell in enumerate(row.cells) if cell]
        named = self.header.named if self.header else {}
        return all(place not in named and _is_mark(row.cells[place]) for place in places[1:])

    def _is_spanned(self, row: Row, name: str) -> bool:
        place = self.header.place(name) if self.header else None
        return place is not None and (row.number, place) in self.spanned

    # ------------------------------------------------------------ text
    def _text(self, row: Row) -> None:
        if len(row.filled) > 1 and all(map(_is_mark, row.filled[1:])):
            row = replace(row, cells=(row.filled[0],))  # a mark beside a heading
        line = row.text
        if len(row.filled) == 1 and (told := numerals.digits(line)) != line:
            row = replace(row, cells=(told,))
        if words.FOOTNOTE.match(line):
            self.sheet.footnotes.append(row)
            self.account.take(row, "footnote")
            if self.section is not None and self.section.lines and not self._waiting():
                self.section.is_closed = True
            return
        if not self.pending or (row.number > self.last + 1 and self.pending[-1]):
            self.pending.append([])
        self.pending[-1].append(row)

    def _waiting(self) -> list[Row]:
        return [row for block in self.pending for row in block]

    def _settle(self, card: Row) -> None:
        """Turn the text that waits above a card into a new section, a team's heading, or titles."""
        blocks, self.pending = [block for block in self.pending if block], []
        rows = [row for block in blocks for row in block]
        if not rows:
            return
        if self.is_team(rows[-1].text) and self.header and not self.header.has("team"):
            team = rows.pop()
            blocks = [left for block in blocks if (left := [row for row in block if row is not team])]
            self.account.take(team, "team heading")
            if rows:
                self._settle_text(blocks, card)
            self.team = team.text
            return
        self._settle_text(blocks, card)

    def _settle_text(self, blocks: Sequence[list[Row]], card: Row) -> None:
        """Turn text into a new section with what is said of it, or into titles."""
        rows = [row for block in blocks for row in block]
        chosen = self._chosen(blocks)
        if chosen is None:
            self._say(rows)
            return
        place = rows.index(chosen)
        bare = headings.bare(chosen.text)
        if self.section is None and headings.is_usual_section(bare.name) and bare.count is None:
            for row in rows:
                self._title(row)  # a part of the base set: the sheet's name is that of the subset
            self.inner.add(bare.name)
            return
        if place == len(rows) - 1 and self._is_within(chosen, bare, card):
            for row in rows:
                self.account.take(row, "heading")
            self.inner.add(bare.name)
            return
        for row in rows[:place]:
            if words.GROUP_HEADING.match(row.text.strip(" :")):
                self.group = row.text
                self.account.take(row, "heading")
            elif not self._is_own_ladder(row):
                self._title(row)
        name, rest = split_heading(bare.name)
        blurbs = rest.split(headings.DOT) if rest else []
        if bare.count is not None:
            blurbs.append(f"{bare.count} cards")
        self.inner = set()
        for row in rows[place + 1 :]:
            if self._is_blurb(row):
                blurbs.append(row.text)
                self.account.take(row, "blurb")
            else:
                self.inner.add(headings.bare(row.text).name)
                self.account.take(row, "heading")
        self.account.take(chosen, "heading")
        name, full = (
            text.tidy(_CONTINUED.sub("", one)).strip(" :*") for one in (name, _before_blurb(bare.name))
        )
        self.banner = bare.style
        self._open(name, full, blurbs, chosen)

    def _is_own_ladder(self, row: Row) -> bool:
        """Whether a line right below cards lists their parallels; it is taken down then."""
        section = self.section
        if section is None or not section.lines or row.number > section.lines[-1].row.number + _BELOW:
            return False
        listed = words.listed_parallels(row.text)
        if not (listed and listed["rest"].strip()) and not ladder.in_brackets(row.text):
            return False
        section.blurbs.append(row.text)
        self.account.take(row, "blurb")
        return True

    def _say(self, rows: Sequence[Row]) -> None:
        """Text without a heading: what it says of the section goes with it, the rest is titles."""
        for row in rows:
            if self._is_blurb(row) and self.section is not None and not self.section.lines:
                self.section.blurbs.append(row.text)
                self.account.take(row, "blurb")
            else:
                self._title(row)

    def _is_blurb(self, row: Row) -> bool:
        """Whether a line says something of cards rather than being a name."""
        line = row.text
        name, rest = split_heading(line)
        told = kinds.read(line)
        return (
            words.listed_parallels(line) is not None
            or bool(ladder.in_brackets(line))
            or kinds.are_kinds(line)
            or told.is_signed
            or told.has_relic
            or told.is_insert
            or not name
            or bool(rest)
            or line.endswith((".", "!"))
            or name[:1].islower()
            or len(name.split()) > 6
            or (
                self.section is None
                and not headings.is_usual_section(name)
                and words.BLURB.search(line) is not None
            )
        )

    def _is_within(self, chosen: Row, bare: headings.Bare, card: Row) -> bool:
        """Whether a heading names a part of the base set and no subset: numbers go on, and it is plainer."""
        section = self.section
        if section is None or not section.lines or bare.count is not None:
            return False
        if text.key(bare.name) in self.known or not self._is_base(section):
            return False
        head = self.header.row.number if self.header is not None and self.header.row is not None else 0
        if head > chosen.number and head != self.page_end + 1:  # one that heads a page says nothing new
            return False
        last, this = _parts(section.lines[-1].get("number")), _parts(self._cell(card, "number"))
        if last[0] != this[0] or not 0 < this[1] - last[1] <= 3:
            return False
        if headings.is_usual_section(bare.name) or bare.style.is_plainer(self.banner):
            return True
        return bool(self.inner) and chosen.number == self.last_card + 1

    def _is_base(self, section: Section) -> bool:
        return (
            section is self.sheet.sections[0] or words.BASE_NAME.match(words.fold(section.name)) is not None
        )

    def _chosen(self, blocks: Sequence[list[Row]]) -> Row | None:
        """The heading among waiting text: the first name in the last block that has one."""
        spare: Row | None = None
        dated: Row | None = None
        for block in reversed(blocks):
            first: Row | None = None
            for row, below in zip(block, (*block[1:], None), strict=True):
                bare = headings.bare(row.text)
                name, rest = split_heading(bare.name)
                if not name or not any(mark.isalpha() for mark in name) or len(name) > 80:
                    continue
                if len(name.split()) > 8 or name.endswith(".") or looks.is_small(name[0]):
                    continue  # a sentence, or words about the cards
                if self.section is not None and text.key(row.text) in self.titled:
                    continue  # what stands above the first cards, again on another page
                if (
                    words.listed_parallels(row.text)
                    or ladder.in_brackets(row.text)
                    or self._says_kinds(row, first)
                ):
                    continue
                if words.TITLE_LIKE.search(row.text):
                    if self.section is not None and self._is_dated_heading(row):
                        dated = dated or row
                    continue
                if words.GROUP_HEADING.match(name.strip(" :")) and not words.BASE_NAME.match(
                    name.strip(" :")
                ):
                    spare = spare or row
                    continue
                if self.section is None:
                    is_said = bool(rest) and kinds.are_kinds(rest)
                    if words.BASE_NAME.match(words.fold(name)) or bare.count is not None or is_said:
                        return row  # the lines above it are titles
                    if not rest and below is not None and _is_product(below.text):
                        continue  # the maker's name above the product's
                first = first or row
                if self.section is not None:
                    break
            if first is not None:
                return first
        return spare or dated

    def _says_kinds(self, row: Row, above: Row | None) -> bool:
        return kinds.are_kinds(row.text) and (row.text.endswith(".") or above is not None)

    def _is_dated_heading(self, row: Row) -> bool:
        """Whether a line below the first cards that names a year is a subset's, such as 'Class of 2031'."""
        bare = words.YEAR.sub(" ", row.text)
        return not words.TITLE_LIKE.search(bare) and row.text not in self.sheet.titles

    def _title(self, row: Row) -> None:
        self.titled.add(text.key(row.text))
        self.account.take(row, "title")
        self.sheet.titles.append(row.text)

    def _open(self, name: str, full: str, blurbs: list[str], heading: Row) -> None:
        self.team = ""
        is_continued = _CONTINUED.search(_before_blurb(heading.text)) is not None
        for section in self.sheet.sections:
            if text.key(section.name) == text.key(name) and (
                is_continued or text.key(section.full) == text.key(full)
            ):
                section.blurbs += blurbs
                section.is_closed = False
                self.section = section
                return
        group = self.group if words.key_of_group(name) != words.key_of_group(self.group) else ""
        self.section = Section(name, blurbs, group, heading=heading, full=full)
        self.sheet.sections.append(self.section)

    # ------------------------------------------------------------ cards
    def _card(self, row: Row) -> None:
        if self._waiting():
            self._settle(row)
        self.last_card = row.number
        header = self.header
        if header is None:
            raise ValueError(f"row {row.number} was taken for a card before any header")
        line = Line(row, header, self.team, self.grid)
        section = self.section
        if section is None and self._goes_on_beside(row, header):
            section = self.section = self.sheet.sections[-1]
        if section is None:
            section = self.section = Section("", self._loose_blurbs(), is_guessed=True)
            self.sheet.sections.append(section)
        if section.is_closed and not self._goes_on(row, section, header):
            self.account.aside(row, self._why_outside(row))
            self.sheet.orphans.append(line)
            return
        section.is_closed = False
        section.lines.append(line)
        self.account.take_card(row)

    def _goes_on_beside(self, row: Row, header: Header) -> bool:
        """Whether a block without a heading goes on where the block before it stopped."""
        if not self.sheet.sections or not self.sheet.sections[-1].lines:
            return False
        last = _parts(self.sheet.sections[-1].lines[-1].get("number"))
        this = _parts(header.get(row, "number"))
        return last[0] == this[0] and 0 < this[1] - last[1] <= 3

    def _loose_blurbs(self) -> list[str]:
        """Blurbs above a table without a heading speak of it all the same."""
        return [
            title
            for title in self.sheet.titles
            if (words.BLURB.search(title) or kinds.are_kinds(title) or words.listed_parallels(title))
            and not words.TITLE_LIKE.search(title)
        ]

    def _goes_on(self, row: Row, section: Section, header: Header) -> bool:
        """Whether a card after a footnote goes on where its subset stopped."""
        numbers = [line.get("number") for line in section.lines]
        if not numbers or header.has("subset"):
            return header.has("subset")
        this, last = _parts(self._cell(row, "number")), _parts(numbers[-1])
        return this[0] == last[0] and 0 < this[1] - last[1] <= 5

    def _why_outside(self, row: Row) -> str:
        number = self._cell(row, "number")
        for section in self.sheet.sections:
            for line in section.lines:
                if number and line.get("number") == number:
                    return (
                        f"duplicate card number, outside any subset: {number} stands in"
                        f" {section.name or 'the list'}, row {line.row.number}"
                    )
        return "card outside any subset: it stands after the footnotes, under no heading"


def _is_mark(cell: str) -> bool:
    """Whether a cell beside a heading is somebody's mark, 'x' or 'checked', and says nothing of the cards."""
    is_word = cell.replace(" ", "").isalpha() and cell.islower() and len(cell) <= _REMARK
    return words.is_yes(cell) or (is_word and not words.are_kinds(cell))


def _is_counted(filled: Sequence[str]) -> bool:
    """Whether two cells are a heading and how many cards it has: 'Deck Ink | 12 cards'."""
    return len(filled) == 2 and _COUNT.fullmatch(filled[1]) is not None and not is_number(filled[0])


def _holds_cards(named: dict[int, str]) -> bool:
    """Whether columns hold cards: their numbers and who is on them."""
    roles = set(named.values())
    return "number" in roles and ("subject" in roles or roles >= {"first", "last"})


_REMARK = 20  # letters of what somebody wrote beside a heading
_COUNTED = re.compile(r"[^\W\d_]{2,}\s\d\Z")
_LONG, _SHORT = 80, 3  # letters of a heading, and of a cell that says hardly anything
_COUNT = re.compile(r"\(?\d{1,4}\s*(?:cards?|kaarten|karten|cartes|kort)\)?", re.IGNORECASE)
# a header that is known again on another sheet has more words, in one of its first rows
_FEW_WORDS, _HEADING_ROWS = 2, 20
_HEADED = 4  # of ten cells below a header have a heading, at the least
_PARALLELS = 3  # headings of parallels, and rows below, that tell them


def _stands_above_cards(rows: Sequence[Row], place: int, columns: Columns) -> bool:
    """Whether a row of short words stands right above rows that begin to be numbered where it has none."""
    row = rows[place]
    near = [one for one in rows[place + 1 : place + 6] if len(one.filled) > 1 and one.cells != row.cells]
    if _is_coded(row) or _heads_parallels(row, near):
        return True
    if len(row.filled) < 2 or _is_counted(row.filled):
        return False
    if any(len(cell) > 40 or _is_plain_number(cell) for cell in row.filled):
        return False
    below = [one for one in rows[place + 1 : place + 10] if len(one.filled) > 1][:4]
    if not below or below[0].number > row.number + 7:
        return False
    numbered = [
        p
        for p in range(len(row.cells))
        if any(row.cells[p : p + 3]) and all(looks.is_number(one.cell(p)) for one in below)
    ]
    if not numbered or any(looks.is_number(row.cell(p)) for p in numbered):
        return False
    if any(columns.name(row.cell(p)) == "number" for p in numbered):
        return True
    shared = sum(bool(row.cell(p)) for one in below for p, cell in enumerate(one.cells) if cell)
    repeated = sum(
        row.cell(p) == cell
        for one in below
        for p, cell in enumerate(one.cells)
        if cell and not words.ROOKIE.fullmatch(cell)
    )
    return not repeated and shared * 10 >= _HEADED * sum(len(one.filled) for one in below)


def _has_cards_above(rows: Sequence[Row], place: int) -> bool:
    """Whether rows right above one begin with a card's number, as cards do where nothing heads them."""
    above = [row for row in rows[max(0, place - 6) : place] if len(row.filled) > 1]
    return sum(looks.is_number(row.filled[0]) for row in above) >= _PARALLELS


def _goes_on_above(rows: Sequence[Row], place: int) -> bool:
    """Whether a column has a row's words right above too, as where a second person's row has no number."""
    row, above = rows[place], rows[max(0, place - 6) : place]
    return any(
        len(cell) > _SHORT and one.cell(at) == cell
        for one in above
        if len(one.filled) > 1
        for at, cell in enumerate(row.cells)
    )


def _is_plain_number(cell: str) -> bool:
    """Whether a cell is a card's number, and no word that a figure follows: 'Who 1', 'Code 2'."""
    return looks.is_number(cell) and _COUNTED.match(cell) is None


def _heads_parallels(row: Row, below: Sequence[Row]) -> bool:
    """Whether a row has words over columns of print runs, marks and constants alone, above numbered rows."""
    if len(row.filled) < _PARALLELS or len(below) < _PARALLELS:
        return False
    under = [[one.cell(place) for one in below] for place, cell in enumerate(row.cells) if cell]
    under = [column for column in under if not _is_constant(column)]  # a maker's name, a sport
    marked = [cell for column in under for cell in column if cell]
    beside = [cell for one in below for place, cell in enumerate(one.cells) if cell and not row.cell(place)]
    return (
        sum(map(any, under)) > 1
        and all(looks.RUN_MARKED.match(cell) or words.is_yes(cell) for cell in marked)
        and any(map(looks.RUN_MARKED.match, marked))
        and not any(map(looks.RUN_MARKED.match, [*row.filled, *beside]))
        and all(any(map(looks.is_number, one.cells)) for one in below)
    )


def _is_constant(column: Sequence[str]) -> bool:
    """Whether a column has one word or name in every row."""
    cell = column[0]
    return (
        len(set(column)) == 1
        and cell[:1].isalpha()
        and not (words.is_yes(cell) or looks.RUN_MARKED.match(cell))
    )


def _is_coded(row: Row) -> bool:
    """Whether all cells of a row are one word with running numbers: the headings 'Col 1', 'Col 2'."""
    filled = row.filled
    if len(filled) < 2 or not looks.CODED.match(filled[0]):
        return False
    found = [looks.CODED.match(cell) for cell in filled]
    if not all(found):
        return False
    numbers = [int(cell[one.end("stem") :]) for cell, one in zip(filled, found, strict=True) if one]
    return (
        len({one["stem"] for one in found if one}) == 1
        and all(a < b for a, b in pairwise(numbers))
        and (len(row.filled) > 2 or numbers[0] == 1)
    )


def _is_product(line: str) -> bool:
    """Whether a line is a product's title, a year first, and says nothing of cards."""
    return words.YEAR.match(line.lstrip(" ©")) is not None and not words.BLURB.search(line)


def _parts(number: str) -> tuple[str, int]:
    bare = re.sub(r"(?<=\d)[a-z]\Z", "", number.strip())
    letters = bare.rstrip("0123456789")
    return letters.upper().rstrip("- "), int(bare[len(letters) :] or 0)


def tell_apart(sections: Iterable[Section]) -> None:
    """Give subsets back their kind words where their names are one without: an ink and its relics."""
    named: dict[str, list[Section]] = {}
    for section in sections:
        if section.full:
            named.setdefault(text.key(section.name), []).append(section)
    for alike in named.values():
        if len({text.key(section.full) for section in alike}) > 1:
            for section in alike:
                section.name = section.full


def sheet_subset(sheet: Sheet, *, repeated: set[str], several: bool) -> None:
    """Give a sheet's only section the sheet's name, where that is its subset.

    Parameters
    ----------
    repeated : headings that stand on several sheets, which are titles and no subsets
    several : whether the workbook has several sheets of cards
    """
    with_cards = [section for section in sheet.sections if section.lines]
    title = text.tidy(sheet.grid.sheet)
    is_generic = not title or _GENERIC_SHEET.match(title) is not None
    for section in with_cards:
        if text.key(section.name) in repeated:
            section.name, section.is_guessed = "", True
    if len(with_cards) != 1:
        for section in with_cards:
            if section.is_guessed:
                section.name = title if not is_generic else BASE
        return
    section = with_cards[0]
    if section.lines[0].header.has("subset"):
        return
    start = text.key(title)
    if section.is_guessed:
        section.name = title if title and (several or not is_generic) and not _is_plain(title) else BASE
    elif several and not is_generic and start and not text.key(section.name).startswith(start[:31]):
        # the heading names something wider or narrower than the sheet: the heading is what the maker printed
        section.group = section.group or title
    for candidate in sheet.titles:
        name, _ = split_heading(candidate)
        is_name = text.key(name).startswith(start) and len(name) < 80 and not kinds.are_kinds(name)
        if section.is_guessed and start and is_name:
            section.name = name  # a sheet's name is cut at 31 characters, its title is not


def _is_plain(title: str) -> bool:
    return (
        re.fullmatch(
            r"(?:sheet|tabelle|feuil|hoja|blad|foglio)\s*\d*|checklist|master|data|cards",
            title,
            re.IGNORECASE,
        )
        is not None
    )
