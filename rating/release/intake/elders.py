"""Files of earlier intakes: one that a corrected file takes the place of, and one that is taken back."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rating import text
from rating.errors import RatingError
from rating.release.checklist import CHECKLIST, ODDS, PARALLELS
from rating.release.intake import record, stage
from rating.release.intake.record import Record
from rating.release.intake.stage import Cells
from rating.release.intake.values import Question, SeasonWords
from rating.release.market import SALES, SLOTS
from rating.release.tables import Table

# tables whose rows name the list that they stood in
_SOURCED = (SALES, SLOTS)


def known_name(known: Record, file: str) -> str:
    """The name of a file that was taken in.

    Raises
    ------
    RatingError
        if none of that name was; those that were are named
    """
    name = Path(file).name
    if known.named(name):
        return name
    names = text.listed(list(dict.fromkeys(one.file for one in known.sources)))
    raise RatingError(
        f"no file called {text.printable(name)} was taken in",
        where=record.RECORD,
        fix=f"name one of these: {names}" if names else "nothing was taken in for this release yet",
    )


@dataclass(slots=True)
class Stand:
    """Tables as an elder's rows stand in them under the name of the file that takes its place."""

    rows: dict[str, list[Cells]] = field(default_factory=dict)

    def before(self, folder: Path, table: Table[Any]) -> list[Cells] | None:
        """The rows of a table before this intake, None where there is none."""
        return self.rows.get(table.file) or stage.current(folder, table)


def take_place(known: Record, folder: Path, elder: str, file: str) -> Stand:
    """Have all that the elder brought stand under the new file's name, hand edits of it included."""
    for source in known.named(elder):
        source.file = file
    found = Stand()
    for table in _SOURCED:
        rows = stage.current(folder, table)
        if rows is None:
            continue
        place = table.place("source")
        renamed = [(*row[:place], file, *row[place + 1 :]) if row[place] == elder else row for row in rows]
        found.rows[table.file] = renamed
        if written := known.tables.get(table.file):
            written.rows = _renamed(table, rows, renamed, written.rows)
    return found


def _renamed(
    table: Table[Any], rows: list[Cells], renamed: list[Cells], known: Mapping[str, str]
) -> dict[str, str]:
    """The hashes of what was written, as if it had been written under the new name."""
    old, new = stage.keyed(table, rows), stage.keyed(table, renamed)
    found = {key: value for key, value in known.items() if key not in old}
    for (key, row), (new_key, new_row) in zip(old.items(), new.items(), strict=True):
        if key in known:
            is_same = known[key] == stage.hash_of(table, row)
            found[new_key] = stage.hash_of(table, new_row) if is_same else known[key]
    return found


def foreign(known: Record, file: str) -> dict[Table[Any], Callable[[Cells], bool]]:
    """For each table, which of its rows a file did not bring."""
    subsets = _owned(known, file, record.SUBSETS)
    tests: dict[Table[Any], Callable[[Cells], bool]] = {
        CHECKLIST: _other_than(CHECKLIST, "subset", subsets),
        PARALLELS: _other_than(PARALLELS, "subset", subsets | _owned(known, file, record.LADDERS)),
        ODDS: _other_than(ODDS, "format", _owned(known, file, record.FORMATS)),
    }
    return tests | {table: _other_than(table, "source", {text.key(file)}) for table in _SOURCED}


def _owned(known: Record, file: str, what: str) -> set[str]:
    return {name for name, owner in known.owners(what).items() if owner == file}


def _other_than(table: Table[Any], column: str, names: Collection[str]) -> Callable[[Cells], bool]:
    place = table.place(column)
    return lambda row: text.key(row[place]) not in names


def question(file: str, elder: str, shared: int, left: Collection[str], rows: Mapping[str, int]) -> Question:
    """Whether a file takes the place of another that has subsets of its own beside those of both."""
    names = sorted(left)
    number = sum(rows.get(name, 0) for name in names)
    return Question(
        file=file,
        sheet="",
        row=None,
        what=(
            f"{file} has {text.count(shared, 'subset')} of {elder} anew, and not its {text.listed(names[:6])}"
            f" ({text.count(number, 'card')}). Does it take the place of {elder}?"
        ),
        meanwhile=f"what only {elder} has stays",
        topic="in place of",
        about=f"{file} for {elder}",
        choices=("yes", "no"),
        cells=("1",),
        weight=max(1, number),
    )


def is_replaced(season: SeasonWords, asked: Question) -> bool:
    """Whether a person said that it takes its place."""
    return season.answer_to(asked) == "yes"
