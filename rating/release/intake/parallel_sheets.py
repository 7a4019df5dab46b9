"""Sheets that list parallels and no cards: a subset, a parallel, its print run and its formats a row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import ladder, layout, words
from rating.release.intake.account import Account
from rating.release.intake.values import FormatWords, Grid, Question, Row, SeasonWords
from rating.release.intake.words import Columns


@dataclass(slots=True)
class Found:
    """The parallels of the sheets, with the account of each and what is to be asked."""

    parallels: list[Parallel] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


def is_parallels(grid: Grid, columns: Columns) -> bool:
    """Whether a sheet lists parallels: a header with a parallel, and no card's name or number."""
    return any(_header(row, columns) for row in grid.rows[:40])


def _known(written: str, subsets: dict[str, str]) -> str:
    """The checklist's name of a subset, written whole or with words about its cards after it."""
    name, _ = layout.split_heading(written)
    return subsets.get(text.key(written), "") or subsets.get(text.key(name), "")


def _header(row: Row, columns: Columns) -> dict[int, str]:
    named = {
        place: "parallel" if name == "parallels" else name
        for place, name in columns.of_row(row.cells).items()
    }
    names = set(named.values())
    fits = "parallel" in names and names & {"print_run", "subset", "formats"} and len(row.filled) > 1
    return named if fits and not names & {"subject", "last", "number"} else {}


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    cards: Sequence[Card] = (),
    formats: Sequence[FormatWords] = (),
) -> Found:
    """The parallels on sheets of parallels, their subsets matched to the checklist."""
    found = Found()
    columns = Columns("checklist", season.columns)
    subsets = {text.key(card.subset): card.subset for card in cards}
    base = next((card.subset for card in cards if card.kind == "base" and not card.variation), "Base")
    keys = tuple(one.key for one in formats)
    for grid in grids:
        account = Account(grid, "parallels")
        found.accounts.append(account)
        header: dict[int, str] = {}
        subset = ""
        for row in grid.rows:
            if named := _header(row, columns):
                header, subset = named, ""
                account.take(row, "header")
                continue
            if not header or (len(row.filled) == 1 and "subset" not in header.values()):
                name, _ = layout.split_heading(row.text)
                subset = _known(row.text, subsets) or (words.smart_case(name) if header else "")
                account.take(row, "heading" if subset else "title")
                continue
            if words.TOTAL.match(row.filled[0]):
                account.aside(row, "a line of totals")
                continue
            get = {name: row.cell(place) for place, name in header.items()}
            if written := get.get("subset", ""):
                subset = _known(written, subsets) or words.smart_case(written)
            rung = ladder.read_one(get.get("parallel", ""), keys)
            if rung is None or words.fold(rung.name) in words.BASE_VERSION:
                account.aside(row, "it names no parallel")
                continue
            if subsets and subset and text.key(subset) not in subsets:
                account.remark(
                    row,
                    "unknown-subset",
                    f"the checklist has no subset {subset!r}",
                    "see whether the checklist is complete, or write its name for it",
                )
            run = rung.print_run
            if (cell := get.get("print_run", "")) and not words.is_no(cell):
                run = words.run_cell(cell) or run
            held = ladder.formats_in(get.get("formats", ""), keys)
            found.parallels.append(
                Parallel(
                    subset=subset or base,
                    parallel=rung.name,
                    print_run=run,
                    formats=rung.formats or held,
                    row=row.number,
                )
            )
            account.take(row, "parallel")
    return found
