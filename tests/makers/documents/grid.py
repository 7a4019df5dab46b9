"""Documents before they are bytes: files of sheets of lines of cells, each line with what it states."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from makers.documents.layout import FEATURES
from makers.truth.facts import Key, Place

Cell = str | int | float | date | None


@dataclass(slots=True)
class Line:
    """A row of a table or a line of text; damage sets `raw`, `ending` and `encoding`."""

    cells: list[Cell]
    says: list[Key] = field(default_factory=list)
    role: str = ""
    raw: str | None = None
    ending: str | None = None
    encoding: str | None = None

    @property
    def text(self) -> str:
        """What a reader sees in it."""
        return " | ".join(str(cell) for cell in self.cells if cell is not None and cell != "")


@dataclass(slots=True)
class Sheet:
    """A table or a text. A merge is a column with its first and last line, all from 0."""

    title: str
    lines: list[Line]
    is_table: bool = True
    merges: list[tuple[int, int, int]] = field(default_factory=list)


@dataclass(slots=True)
class File:
    """A file to be: xlsx with its sheets, or csv or txt with a single one."""

    name: str
    purpose: str
    container: str
    sheets: list[Sheet]
    delimiter: str = ","
    encoding: str = "utf-8"
    newline: str = "\n"
    quote_all: bool = False

    def places(self) -> Iterable[tuple[Line, Place]]:
        """Every line with its place."""
        for sheet in self.sheets:
            title = sheet.title if self.container == "xlsx" else ""
            for number, line in enumerate(sheet.lines, start=1):
                yield line, Place(self.name, title, number, line.text)


class Notes:
    """What writers note down while they write: features that occur, and spellings as good as the truth's."""

    def __init__(self) -> None:
        self.features: set[str] = set()
        self.also: dict[Key, set[str]] = defaultdict(set)
        self.open: set[Key] = set()  # written, yet not so that a reader could know

    def mark(self, feature: str, so: bool = True) -> None:
        """Note that a feature occurs."""
        if feature not in FEATURES:
            raise ValueError(f"no feature is named {feature!r}")
        if so:
            self.features.add(feature)


def text_line(text: str, says: Sequence[Key] = (), role: str = "note") -> Line:
    """A line of a single cell."""
    return Line([text] if text else [], list(says), role)
