"""The values that pass between the readers: what the season knows, a grid of cells, and what was found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from rating import text
from rating.errors import Problem

_NOTHING: Mapping[Any, Any] = MappingProxyType({})
_UNALTERED: Mapping[int, str] = MappingProxyType({})
# from this margin on a column is said to be sure: odds of twenty to one
_SURE = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamWords:
    """A team as the season shows it, with its code and other spellings."""

    name: str
    code: str = ""
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamShown:
    """A team that a checklist shows and season.toml lacks."""

    name: str
    code: str = ""
    division: str = ""


class Answers(Mapping[str, str]):
    """What a person chose, by the question's id; `used` are the ids that a reader came upon."""

    def __init__(self, given: Mapping[str, str] = _NOTHING) -> None:
        self._given = dict(given)
        self.used: set[str] = set()

    def __getitem__(self, name: str) -> str:
        choice = self._given[name]
        self.used.add(name)
        return choice

    def __iter__(self) -> Iterator[str]:
        return iter(self._given)

    def __len__(self) -> int:
        return len(self._given)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonWords:
    """What the season knows and an intake needs: names, marks and orders, nothing of its files.

    `columns` adds words to the trade's usual ones: the column to the words that makers write over it.
    `other_lines` are the names of the season's other releases, to tell their cards apart in sold lists.
    `answers` are the choices that a person took, by the question's id. `layouts` are the roles of columns, by
    their headings as compared, as this maker's earlier releases had them.
    """

    teams: tuple[TeamWords, ...] = ()
    currency: str = ""
    date_order: str = "year first"
    decimal_mark: str = "."
    columns: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: _NOTHING)
    subjects: tuple[str, ...] = ()
    other_lines: tuple[str, ...] = ()
    answers: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    layouts: Mapping[tuple[str, ...], tuple[str, ...]] = field(default_factory=lambda: _NOTHING)

    def answer_to(self, question: Question) -> str:
        """What a person chose; blank where nobody did, or it is none of the question's choices."""
        said = self.answers.get(question.id, "")
        return said if not question.choices or said in question.choices else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseWords:
    """What release.toml says that an intake can use; blank where it says nothing yet."""

    title: str = ""
    maker: str = ""
    line: str = ""
    released_on: date | None = None
    formats: tuple[FormatWords, ...] = ()
    headline: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatWords:
    """A format's key and name, and how it is packed where that is known."""

    key: str
    name: str = ""
    packs_per_box: int | None = None
    boxes_per_case: int | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One row that is not blank: its number as a spreadsheet program shows it, and its cells as text.

    `dates` are the columns whose cell was stored as a date, counted from 0; `written` holds the cells, by
    column, whose damaged letters were mended, as they stand in the file.
    """

    number: int
    cells: tuple[str, ...]
    dates: frozenset[int] = frozenset()
    written: Mapping[int, str] = field(default_factory=lambda: _UNALTERED)

    @property
    def text(self) -> str:
        """The row as a person would quote it."""
        return " | ".join(self.filled).replace("\n", " / ")

    @property
    def filled(self) -> list[str]:
        """The cells that are not blank."""
        return [cell for cell in self.cells if cell] if "" in self.cells else list(self.cells)

    def cell(self, column: int) -> str:
        """A cell by column, blank beyond the end."""
        return self.cells[column] if column < len(self.cells) else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repaired:
    """A text in a file that was damaged, and what it was read as."""

    file: str
    sheet: str
    row: int
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """One sheet, or one text table. `last` is the number of its last row that is not blank.

    `spans` are merged cells as (first row, first column, last row, last column), columns from 0. `roles` are
    columns whose contents are known from elsewhere, as (column, role). `kind` is what the sheet is where that
    is plain from how the file is written, and `why` the reason where it is set aside whole. `damaged` are
    rows that nobody can read, each with its number; they are none of `rows`.
    """

    file: str
    sheet: str
    rows: tuple[Row, ...]
    last: int
    spans: tuple[tuple[int, int, int, int], ...] = ()
    is_hidden: bool = False
    problems: tuple[Problem, ...] = ()
    roles: tuple[tuple[int, str], ...] = ()
    repaired: tuple[Repaired, ...] = ()
    kind: str = ""
    why: str = ""
    damaged: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """A row (or so many rows of a sheet) that was read and not taken, with the reason."""

    file: str
    sheet: str
    row: int
    text: str
    why: str
    rows: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something only a person can decide; what was done meanwhile is said.

    `topic` and `about` name it for good: the same question about the same thing has the same `id` in every
    intake, so that an answer is kept and it is asked once. `choices` are the answers that can be used, values
    as they would stand in a table; `cells` the cells of the sheet that it is about, as 'B5' or 'B5:D40'
    (columns may be left out: '5:40'), and `tabled` those of a written table as (file, row from 1, column).
    `weight` is the number of facts that wait for it.
    """

    file: str
    sheet: str
    row: int | None
    what: str
    meanwhile: str
    topic: str = ""
    about: str = ""
    choices: tuple[str, ...] = ()
    cells: tuple[str, ...] = ()
    tabled: tuple[tuple[str, int, str], ...] = ()
    weight: int = 1

    @property
    def id(self) -> str:
        """What names the question in answers: 'kind: steady hands'."""
        return f"{self.topic}: {text.key(self.about)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubtful:
    """A sale whose card is not certain enough to be written, with the cards that it could be."""

    file: str
    row: int
    title: str
    why: str
    guesses: tuple[tuple[str, str, str], ...] = ()  # subset, parallel and number


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A value for release.toml or prices.csv found in a sell sheet, with the words it came from."""

    where: str
    value: str | int | Decimal | date | Mapping[str, Any]
    words: str
    sure: bool
    taken: bool = False
    there: str = ""  # what stands in the file already
    file: str = ""  # the sell sheet that says so

    @property
    def table(self) -> Mapping[str, Any]:
        """The value where it is a table of its own, such as a promise or a price."""
        return self.value if isinstance(self.value, Mapping) else _NOTHING

    @property
    def shown(self) -> str:
        """The value in a line."""
        if isinstance(self.value, Mapping):
            return ", ".join(f"{key} {value}" for key, value in self.value.items() if key != "words")
        return str(self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A row of a table that is new, gone or different: the cells before and after."""

    table: str
    how: str  # added, removed or altered
    key: tuple[str, ...]
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What became of the rows of one sheet; the numbers add up to `rows`."""

    file: str
    sheet: str
    read_as: str
    rows: int
    taken: Mapping[str, int]
    set_aside: int
    problems: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnReading:
    """What a column of a table was taken for, blank where for nothing.

    `margin` is how much better the best reading of the whole table is than the best without this one, in
    natural-log units by judgement.
    """

    heading: str
    role: str
    margin: float

    @property
    def how_sure(self) -> str:
        """The margin in a word."""
        return "sure" if self.margin >= _SURE else "likely" if self.margin >= 1 else "barely"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetReading:
    """What a sheet was taken for, its columns, and some of its rows as they were understood."""

    file: str
    sheet: str
    read_as: str
    columns: tuple[ColumnReading, ...] = ()
    examples: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeResult:
    """What an intake did: the tables with their rows, what was left out and why, and what changed."""

    tables: Mapping[str, int]
    set_aside: tuple[SetAside, ...] = ()
    problems: tuple[Problem, ...] = ()
    changes: tuple[Change, ...] = ()
    questions: tuple[Question, ...] = ()
    doubtful: tuple[Doubtful, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    kept: tuple[str, ...] = ()
    tallies: tuple[Tally, ...] = ()
    readings: tuple[SheetReading, ...] = ()
    repaired: tuple[Repaired, ...] = ()
    matches: Mapping[str, int] = field(default_factory=lambda: _NOTHING)
    presales: tuple[tuple[str, int, str], ...] = ()  # file, row and title
    notes: tuple[str, ...] = ()
    teams: tuple[TeamShown, ...] = ()
    written: tuple[str, ...] = ()

    @property
    def changed(self) -> dict[str, int]:
        """How many rows were added, removed and altered."""
        return {how: sum(one.how == how for one in self.changes) for how in ("added", "removed", "altered")}
