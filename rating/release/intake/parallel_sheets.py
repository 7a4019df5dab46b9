"""Sheets that list parallels and no cards: a row each in a table, or lists by the names of subsets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import headings, ladder, looks, profiles, statements, subset_names, unfold, words
from rating.release.intake.account import Account
from rating.release.intake.values import FormatWords, Grid, Question, Row, SeasonWords
from rating.release.intake.words import Columns

_ODDS = re.compile(
    r"\b1\s*:\s*\d|\b(?:one|1)\s+in\s+|\bper\s+(?:pack|box|case)\b|\bpacks?\b|[$€£¥]|\b\d+[.,]\d\d\b",
    re.IGNORECASE,
)
_RUN = re.compile(
    r"[#/]+\s*\d|\b(?:numbered|limited)\s+to\b|#['’]?d\b|\bcopies\b|\bone[\s-]of[\s-]one\b|\b1\s?(?:/|of)\s?1\b"
    r"|\bunnumbered\b|\bnot\s+numbered\b",
    re.IGNORECASE,
)
_RUN_CELL = re.compile(
    r"(?:[#/]+\s*|#['’]?d\s*(?:to\s*)?|(?:serial[\s-]*)?(?:numbered|limited)\s*(?:to|:)?\s*[#/]*"
    r"|edition of\s*)?\d{1,5}(?:\s*(?:copies|made|ex)\.?)?\Z|1\s*(?:/|of)\s*1\Z|one[\s-]of[\s-]one\Z"
    r"|un-?numbered\Z|not numbered\Z|open\Z|[-–—]\Z",
    re.IGNORECASE,
)
_HELD = re.compile(r"\b(?:only|exclusive|exclusives)\b", re.IGNORECASE)
_TITLED = re.compile(
    r"\b(?:parallels?|ladders?|versions|variants|parallelen|parallèles|paralelas)\b", re.IGNORECASE
)
_SPLIT = re.compile(r":\s+|\s[-–—]\s")


@dataclass(slots=True)
class Found:
    """The parallels of the sheets, with the account of each and what is to be asked."""

    parallels: list[Parallel] = field(default_factory=list)
    files: list[str] = field(default_factory=list)  # of each parallel, the file it came from
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


def is_parallels(grid: Grid, columns: Columns) -> bool:
    """Whether a sheet lists parallels and no card: a table of names and runs, or lists of names with runs."""
    if any(_header(row, columns) for row in grid.rows[:40]):
        return True
    rows = [row for row in grid.rows if not _is_about(row)]
    if any(re.search(r"\bodds\b", row.text, re.IGNORECASE) for row in grid.rows[:3]):
        return False
    if not rows or sum(_ODDS.search(row.text) is not None for row in rows) * 6 > len(rows):
        return False
    if _roles(grid):
        return True
    if sum(len(row.filled) == 1 for row in rows) * 10 < 7 * len(rows):
        return False
    listed = sum(bool(_RUN.search(row.text)) and len(row.text) < 600 for row in rows)
    listing = sum(_listing(row) is not None for row in rows)
    least = 3 if _calls_itself_so(grid) else 4  # of ten rows; the others name subsets
    return min(listed, listing) * 10 >= len(rows) * least and listing > 1


def is_titled(grid: Grid) -> bool:
    """Whether a sheet calls itself one of parallels and holds a table that can be one."""
    return _calls_itself_so(grid) and bool(_roles(grid))


def _calls_itself_so(grid: Grid) -> bool:
    above = " ".join((grid.sheet, *(row.text for row in grid.rows[:3] if len(row.filled) == 1)))
    return _TITLED.search(above) is not None


def _is_about(row: Row) -> bool:
    return statements.is_footer(row.text) or words.TITLE_LIKE.search(row.text) is not None


def _header(row: Row, columns: Columns) -> dict[int, str]:
    named = {
        place: "parallel" if name == "parallels" else name
        for place, name in columns.of_row(row.cells).items()
    }
    names = set(named.values())
    fits = "parallel" in names and names & {"print_run", "subset", "formats"} and len(row.filled) > 1
    return named if fits and not names & {"subject", "last", "number"} else {}


def _roles(grid: Grid) -> dict[int, str]:
    """The columns of a table of parallels by their contents, nothing where it is none."""
    rows = [row for row in grid.rows if len(row.filled) > 1]
    if len(rows) < 2 or len(rows) * 2 < len(grid.rows):
        return {}
    head = rows[0] if not any(_RUN_CELL.match(cell) for cell in rows[0].filled) else None
    body = rows[1:] if head is not None and len(rows) > 2 else rows
    columns = profiles.profiles([row.cells for row in body], {})
    roles: dict[int, str] = {}
    if any(one.share(looks.is_number) > 0.6 and one.running > 0.4 and one.fill > 0.6 for one in columns):
        return {}
    if sum(unfold.start(cell) is not None for row in body for cell in row.cells[:4]) * 2 > len(body):
        return {}
    runs = [one for one in columns if len(one.filled) * 3 >= len(body) and one.share(_RUN_CELL.match) > 0.85]
    if len([one for one in runs if one.share(_RUN.search) > 0.2 or one.running < 0.4]) != 1 or any(
        len(row.filled) > 5 for row in body
    ):
        return {}
    said = (row.text for row in grid.rows[:4] if row is head or len(row.filled) == 1)
    above = " ".join((grid.sheet, *said))
    if max(one.share(_RUN.search) for one in runs) < 0.3 and not _TITLED.search(above):
        return {}
    run = max(runs, key=lambda one: (one.share(_RUN.search), len(one.filled)))
    roles[run.place] = "print_run"
    worded = []
    for one in columns:
        if (
            one.place in roles
            or not one.filled
            or one.share(lambda cell: any(m.isalpha() for m in cell)) < 0.9
        ):
            continue
        if one.share(_HELD.search) > 0.7:
            roles[one.place] = "formats"
        elif one.place < run.place or len(one.filled) * 2 > len(body):
            worded.append(one)
    if not worded or any(one.share(looks.is_number) > 0.5 for one in worded):
        return {}
    dense = [one for one in worded if len(one.filled) * 10 >= len(body) * 9]
    if not dense:
        return {}
    parallel = max(dense, key=lambda one: (_changes(one), one.place))
    roles[parallel.place] = "parallel"
    for one in worded:
        if one is not parallel and one.place < parallel.place and "subset" not in roles.values():
            roles[one.place] = "subset"
    return roles


def _completed(named: dict[int, str], told: dict[int, str]) -> dict[int, str]:
    """A header's columns with those that only their contents tell."""
    more = {
        place: role
        for place, role in told.items()
        if named.get(place, "note") in {"note", ""}
        and role not in named.values()
        and "parallel" in named.values()
    }
    return {**named, **more}


def _changes(one: profiles.Profile) -> float:
    """How often neighbours differ: parallels do in every row, subsets stand in blocks."""
    return one.blocks / len(one.filled)


def _listing(row: Row) -> tuple[str, str] | None:
    """A line as the subset it names, blank where it names none, and its list of parallels."""
    line = row.text
    if (found := words.listed_parallels(line)) and found["rest"].strip():
        return "", found["rest"]
    for part in _SPLIT.finditer(line):
        name, rest = line[: part.start()], line[part.end() :]
        if any(mark in name for mark in ",;|(") or _RUN.search(name):
            break
        if _RUN_CELL.match(rest.split(";")[0].split(",")[0].split("|")[0].strip()):
            continue  # 'Ivory: 75 copies' is a parallel
        if rest and _are_parallels(rest):
            return name.strip(), rest
    return ("", line) if _are_parallels(line) and _RUN.search(line) else None


def _are_parallels(listed: str) -> bool:
    items = ladder.read_list(listed)
    return bool(items) and all(len(one.name.split()) < 5 for one in items) and not listed.endswith(".")


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    cards: Sequence[Card] = (),
    formats: Sequence[FormatWords] = (),
) -> Found:
    """The parallels on sheets of parallels, their subsets matched to the checklist."""
    found = Found()
    reader = _Reader(found, Columns("checklist", season.columns), cards, tuple(one.key for one in formats))
    for grid in grids:
        account = Account(grid, "parallels")
        found.accounts.append(account)
        reader.read(grid, account)
    return found


class _Reader:
    def __init__(
        self, found: Found, columns: Columns, cards: Sequence[Card], formats: tuple[str, ...]
    ) -> None:
        self.found, self.columns, self.formats = found, columns, formats
        self.subsets = {text.key(card.subset): card.subset for card in cards}
        base = [card.subset for card in cards if card.kind == "base" and not card.variation]
        self.base = base[0] if base else ""
        self.waiting: list[Parallel] = []  # of the sheet that is read

    def read(self, grid: Grid, account: Account) -> None:
        """Take a sheet in, every row accounted for."""
        header: dict[int, str] = {}
        told = dict(grid.roles) or _roles(grid)
        by_contents = {} if any(_header(row, self.columns) for row in grid.rows[:40]) else told
        subset = ""
        first = next((row for row in grid.rows if len(row.filled) > 1 or told), None)
        for row in grid.rows:
            if named := _header(row, self.columns):
                header, subset = _completed(named, told), ""
                account.take(row, "header")
            elif statements.is_footer(row.text):
                account.take(row, "title")
            elif words.TOTAL.match(row.filled[0]):
                account.aside(row, "a line of totals")
            elif (header or by_contents) and (
                len(row.filled) > 1 or "subset" in (header or by_contents).values()
            ):
                subset = self._row(row, header or by_contents, subset, account, first if not header else None)
            else:
                subset = self._line(row, subset, account)
        self._settle(account)

    def _settle(self, account: Account) -> None:
        """Write the parallels of a sheet, unless most are of subsets that the checklist has not."""
        told, self.waiting = self.waiting, []
        strange = [
            one for one in told if self.subsets and one.subset and text.key(one.subset) not in self.subsets
        ]
        is_foreign = len(strange) * 2 > len(told)
        for one in told:
            if not is_foreign:
                self.found.files.append(account.grid.file)
                self.found.parallels.append(one)
            if one in strange:
                say = account.problem if is_foreign else account.remark
                say(
                    Row(one.row, ()),
                    "unknown-subset",
                    f"the checklist has no subset {one.subset!r}",
                    "see whether the checklist is complete, or write its name for it",
                )

    def _row(self, row: Row, roles: dict[int, str], subset: str, account: Account, first: Row | None) -> str:
        """Take a row in; `first` is the first of a table without a header that is known."""
        get = {name: row.cell(place) for place, name in roles.items()}
        run_cell = get.get("print_run", "")
        is_unnamed = "subset" in roles.values() and not get.get("subset") and not subset
        if first is not None and (
            (run_cell and not _RUN_CELL.match(run_cell)) or (is_unnamed and not run_cell and row is first)
        ):
            account.take(row, "header")
            return subset
        if len(row.filled) == 1 and not get.get("parallel") and not get.get("subset"):
            account.take(row, "title")
            return subset
        if written := get.get("subset", ""):
            subset = self._known(written) or words.smart_case(written)
        rung = ladder.read_one(get.get("parallel", ""), self.formats)
        if rung is None and len(row.filled) == 1:
            account.take(row, "title" if words.TITLE_LIKE.search(row.text) else "heading")
            return subset
        if rung is None or words.fold(rung.name) in words.BASE_VERSION:
            account.aside(row, "it names no parallel")
            return subset
        run = rung.print_run
        if run_cell and not words.is_no(run_cell):
            run = words.run_cell(run_cell) or run
        held = ladder.formats_in(get.get("formats", ""), self.formats)
        named = ladder.Rung(name=rung.name, print_run=run, formats=rung.formats or held)
        self._add(named, subset, row, account)
        account.take(row, "parallel")
        return subset

    def _line(self, row: Row, subset: str, account: Account) -> str:
        line = row.text
        told = None if _is_about(row) else _listing(row)
        name = told[0] if told else headings.bare(line).name
        known = self._known(name) or self._known(line)
        if told is None or (not told[0] and self._known(line)):
            account.take(row, "heading" if known else "title")
            return known or ("" if _is_about(row) else words.smart_case(subset_names.split_heading(name)[0]))
        if told[0]:
            subset = known or words.smart_case(told[0])
        for rung in ladder.read_list(told[1], self.formats):
            if words.fold(rung.name) not in words.BASE_VERSION:
                self._add(rung, subset, row, account)
        account.take(row, "parallel")
        return subset

    def _known(self, written: str) -> str:
        """The checklist's name of a subset, written whole or with words about its cards after it."""
        name, _ = subset_names.split_heading(written)
        for one in (written, name):
            if text.key(one) in self.subsets:
                return self.subsets[text.key(one)]
        if self.base and words.BASE_NAME.match(words.fold(name)):
            return self.base
        return ""

    def _add(self, rung: ladder.Rung, subset: str, row: Row, account: Account) -> None:
        if not subset and not self.base and self.subsets:
            account.problem(
                row, "missing-subset", "it does not say whose parallel this is", "name the subset"
            )
            return
        self.waiting.append(
            Parallel(
                subset=subset or self.base or "Base",
                parallel=rung.name,
                print_run=rung.print_run,
                formats=rung.formats,
                row=row.number,
            )
        )
