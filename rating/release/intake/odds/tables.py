"""Odds in tables: what each column is, told by its cells first and the words over it second."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rating import text
from rating.release.intake import words
from rating.release.intake.formats_said import Formats, bare_name, could_be
from rating.release.intake.odds.entries import Context, Entry, Unread
from rating.release.intake.odds.labels import Label, Lines, is_base_version
from rating.release.intake.odds.stated import (
    Stated,
    fraction,
    is_dash,
    is_plain,
    is_ratio,
    says_odds,
    stated_in,
    unit_in,
)
from rating.release.intake.values import Row
from rating.release.intake.words import Columns

_GENERIC = re.compile(
    r"(?:column|col|field|data|val|value|attr|spalte|colonne|columna|colonna|kolom|kolumna|x|f|c|unnamed)[\s._]*\d+\Z"
)
_NOISE = re.compile(
    r"\b(?:stated|odds|per|packs?|cases?|ratio|avg|average|insertion|the|1:x|in|a|each"
    # 'Box Office' is a name
    r"|box(?:es)?(?!\s+(?!odds|packs?|cases?|hits?|ratio)(?-i:[A-Z][A-Za-z])))\b|[():/]",
    re.IGNORECASE,
)
_RUN = re.compile(
    r"(?:#?\s*/\s*\d|[#'’]*d?\s*/?\s*\d+\s*(?:copies|made|ex)|(?:un|not )?numbered|open|#['’]?d"
    r"|one of one|1\s*(?:/|of)\s*1\Z)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Roles:
    """What the columns of a table are; columns counted from 0, -1 where there is none."""

    odds: tuple[int, ...]
    subset: int
    parallel: int
    format: int
    run: int
    note: int
    header: Row | None
    named: Mapping[int, str]  # the format over each column of odds


def roles(
    rows: Sequence[Row],
    lines: Lines,
    formats: Formats,
    columns: Columns,
    *,
    is_told: bool,
) -> Roles | None:
    """The columns of a table of odds; None where no column holds any.

    With `is_told`, a title or the sheet's name says that plain numbers are odds.
    """
    wide = [row for row in rows if len(row.filled) > 1]
    if not wide:
        return None
    width = _width(wide)
    header = _header(wide, width)
    data = [row for row in wide if row is not header and not _is_header(row, columns)]
    if not data:
        return None
    odds = _odds_columns(data, width, header, formats, columns, is_told=is_told)
    if not odds:
        return None
    said = {at: _heading_of(header, at) for at in range(width)}
    rest = [at for at in range(width) if at not in odds and any(row.cell(at) for row in data)]
    run = next((at for at in rest if _is_run(data, at)), -1)
    rest = [at for at in rest if at != run]
    # what names the checklist's subsets names no formats
    free = [at for at in rest if not _are_subsets([row.cell(at) for row in data], lines)]
    form = _format_column(data, free, said, formats, columns, is_one=len(odds) == 1)
    rest = [at for at in rest if at != form]
    subset, parallel = _label_columns(data, rest, said, lines, columns, before=min(odds))
    note = next((at for at in rest if columns.name(said[at]) == "note"), -1)
    named = {at: _named_format(said[at], formats, columns) for at in odds}
    return Roles(tuple(odds), subset, parallel, form, run, note, header, named)


def _width(wide: Sequence[Row]) -> int:
    """The columns that the table has: those of most rows, and of its widest usual row."""
    counts = Counter(len(row.cells) for row in wide)
    usual = [width for width, number in counts.items() if number * 10 >= len(wide)]
    return max(usual or counts)


def _header(wide: Sequence[Row], width: int) -> Row | None:
    """The first row where it holds no odds, run or number."""
    first = wide[0]
    if any(is_ratio(cell) or is_plain(cell) or fraction(cell) is not None for cell in first.filled):
        return None
    return first if len(first.cells) <= width else None


def _is_header(row: Row, columns: Columns) -> bool:
    """Whether a row in the middle names columns again."""
    if any(is_ratio(cell) or is_plain(cell) or fraction(cell) is not None for cell in row.filled):
        return False
    return len(columns.of_row(row.cells)) >= 2


def _heading_of(header: Row | None, at: int) -> str:
    return header.cell(at) if header is not None else ""


# ---------------------------------------------------------------- columns of odds
def _odds_columns(
    data: Sequence[Row],
    width: int,
    header: Row | None,
    formats: Formats,
    columns: Columns,
    *,
    is_told: bool,
) -> list[int]:
    sure: list[int] = []
    plain: list[int] = []
    for at in range(width):
        cells = [row.cell(at) for row in data if row.cell(at)]
        if not cells or columns.name(_heading_of(header, at)) == "print_run":
            continue
        kinds = Counter(map(_kind, cells))
        fractions = {fraction(cell) for cell in cells} - {None}
        if not _heading_of(header, at) and len(cells) * 4 < len(data):
            continue  # what spilled over from other rows
        ratios = kinds["ratio"] + (kinds["fraction"] if len(fractions) > 1 else 0)
        fits = ratios + kinds["plain"] + kinds["dash"]
        if ratios and fits * 4 >= len(cells) * 3:
            sure.append(at)
        elif kinds["plain"] and (kinds["plain"] + kinds["dash"]) * 10 >= len(cells) * 9:
            plain.append(at)
    if not plain:
        return sure
    named = [at for at in plain if _names_odds(_heading_of(header, at), formats)]
    if sure:
        return sorted({*sure, *named})
    if named:
        return [at for at in plain if at in named or (is_told and _may_be_format(_heading_of(header, at)))]
    if not is_told:
        return []
    if len(plain) == 1 or header is None:
        return plain[-1:] if header is None and len(plain) == 1 else plain
    return [at for at in plain if _may_be_format(_heading_of(header, at))]


def _kind(cell: str) -> str:
    if is_dash(cell):
        return "dash"
    if is_ratio(cell):
        return "ratio"
    if fraction(cell) is not None:
        return "fraction"
    if is_plain(cell):
        return "plain"
    return "text"


def _names_odds(heading: str, formats: Formats) -> bool:
    """Whether a heading is a known format or says odds."""
    return bool(heading) and (bool(formats.of(_clean(heading))) or says_odds(heading))


def _may_be_format(heading: str) -> bool:
    bare = words.header_key(heading)
    return could_be(heading) and not _GENERIC.match(bare)


def _clean(heading: str) -> str:
    return text.tidy(_NOISE.sub(" ", heading.replace("\n", " "))) or heading


def _named_format(heading: str, formats: Formats, columns: Columns) -> str:
    """The format that stands over a column of odds, as written; blank where the words say odds or nothing."""
    if not heading:
        return ""
    for said in (heading, _clean(heading)):
        if formats.of(said):
            return said
    if columns.name(heading) == "odds" or _GENERIC.match(words.header_key(heading)):
        return ""
    cleaned = _clean(bare_name(heading))
    if says_odds(heading) and (cleaned == heading or says_odds(cleaned)):
        return ""
    return cleaned if could_be(cleaned) else ""


# ---------------------------------------------------------------- other columns
def _is_run(data: Sequence[Row], at: int) -> bool:
    cells = [row.cell(at) for row in data if row.cell(at) and not is_dash(row.cell(at))]
    runs = sum(_RUN.match(cell) is not None or is_plain(cell) or words.is_no(cell) for cell in cells)
    return bool(cells) and runs * 10 >= len(cells) * 9


def _format_column(
    data: Sequence[Row],
    rest: Sequence[int],
    said: Mapping[int, str],
    formats: Formats,
    columns: Columns,
    *,
    is_one: bool,
) -> int:
    if not is_one:
        return -1
    for at in rest:
        cells = [row.cell(at) for row in data if row.cell(at)]
        if cells and sum(bool(formats.of(cell)) for cell in cells) * 10 >= len(cells) * 9:
            return at
    for at in rest:
        if columns.name(said[at]) == "format" and _is_small_set([row.cell(at) for row in data]):
            return at
    return next((at for at in rest if len(rest) > 1 and _parts_rows(data, at, rest)), -1)


def _are_subsets(cells: Sequence[str], lines: Lines) -> bool:
    """Whether most cells are names of the checklist's subsets, as they stand."""
    told = [cell for cell in cells if cell]
    return sum(bool(lines.subset(cell, nearly=False)) for cell in told) * 2 > len(told)


def _is_small_set(cells: Sequence[str]) -> bool:
    """Whether a column holds few values that can each name a format."""
    values = {cell for cell in cells if cell}
    return len(values) <= max(3, len(cells) // 3) and all(could_be(value) for value in values)


def _parts_rows(data: Sequence[Row], at: int, rest: Sequence[int]) -> bool:
    """Whether a column of few values tells apart rows that are alike without it, or holds one name."""
    values = Counter(row.cell(at) for row in data if row.cell(at))
    if not values or sum(values.values()) < len(data) * 0.9 or len(values) * 3 > len(data):
        return False
    if not all(could_be(value) and not is_base_version(value) for value in values):
        return False
    others = [tuple(row.cell(one) for one in rest if one != at) for row in data]
    if len(values) == 1:
        return len(set(others)) * 10 >= len(others) * 9 and len(rest) > 1
    repeated = len(others) - len(set(others))
    pairs = {(other, row.cell(at)) for other, row in zip(others, data, strict=True)}
    return repeated * 3 >= len(others) and len(pairs) * 10 >= len(others) * 9


def _label_columns(
    data: Sequence[Row],
    rest: Sequence[int],
    said: Mapping[int, str],
    lines: Lines,
    columns: Columns,
    *,
    before: int,
) -> tuple[int, int]:
    """The columns of subset and parallel: by the checklist's names, else by headings and place."""
    named = {columns.name(said[at]): at for at in reversed(rest)}
    texts = [at for at in rest if any(any(mark.isalpha() for mark in row.cell(at)) for row in data)]
    if not texts:
        return -1, -1
    if lines.subsets:
        hits = {at: _hits(data, at, lines) for at in texts}
        subset = max(texts, key=lambda at: (hits[at][0], -at))
        if hits[subset][0] > 0:
            others = [at for at in texts if at != subset and hits[at][1] > 0]
            told = named.get("parallel", -1) if named.get("parallel", -1) != subset else -1
            return subset, max(others, key=lambda at: hits[at][1], default=told)
    subset = named.get("subset", -1)
    parallel = named.get("parallel", -1)
    free = [
        at
        for at in texts
        if at not in (subset, parallel) and at < before and columns.name(said[at]) != "note"
    ]
    if subset < 0 and free:
        subset = free.pop(0)
    if parallel < 0 and free:
        parallel = free.pop(0)
    return subset, parallel


def _hits(data: Sequence[Row], at: int, lines: Lines) -> tuple[float, float]:
    """The shares of a column's cells that name subsets, joined labels among them, and parallels."""
    cells = [row.cell(at) for row in data if row.cell(at)]
    subsets = parallels = 0
    ladder = {key for known in lines.ladders.values() for key in known}
    for cell in cells:
        line = lines.line(Label(cell))
        subsets += line.how in {"", "near subset", "unknown parallel", "near parallel"} and bool(line.subset)
        from_ladder = words.fold(cell) in ladder or _in(cell, ladder)
        parallels += from_ladder or is_base_version(cell)
        if from_ladder and not lines.subset(cell, nearly=False):
            subsets -= line.how == "" and bool(line.parallel)
    if not cells:
        return (0, 0)
    return (subsets / len(cells), parallels / len(cells))


def _in(cell: str, ladder: set[str]) -> bool:
    from rating.release.intake.odds.labels import bare, version_of

    return bare(version_of(cell)) in ladder


# ---------------------------------------------------------------- rows
class Reader:
    """Reads the rows of a table, one after another."""

    def __init__(self, found: Roles, formats: Formats, lines: Lines) -> None:
        self.roles, self.formats, self.lines = found, formats, lines
        self.subset = ""  # the last that a row named
        self.is_astray = False  # a damaged row may have named another since
        self.width = max((*found.odds, found.subset, found.parallel, found.format, found.run, found.note)) + 1

    def entries(self, row: Row, context: Context) -> Iterator[Entry | Unread]:
        """The odds of a row; nothing where it holds none."""
        label = self._label(row, context)
        if label is None:
            yield Unread(
                row=row, code="missing-value", what="the row names no subset", fix="write the subset's name"
            )
            return
        if len([cell for cell in row.cells[self.width :] if is_ratio(cell)]) > 0:
            yield Unread(
                row=row,
                code="row-too-wide",
                what="the row holds more odds than the table has columns",
                fix="put each line of odds on a row of its own",
            )
            return
        note = row.cell(self.roles.note) if self.roles.note >= 0 else ""
        run_cell = row.cell(self.roles.run) if self.roles.run >= 0 else ""
        run = words.run_cell(run_cell) if run_cell and not words.is_no(run_cell) else None
        for at in self.roles.odds:
            cell = row.cell(at)
            if is_dash(cell):
                continue
            default = unit_in(_heading_of(self.roles.header, at)) or context.unit
            key = self._format(row, at, context)
            try:
                stated: Stated | None = stated_in(cell, default)
            except ValueError:
                stated = None
            yield Entry(row=row, label=label, format=key, cell=cell, stated=stated, note=note, run=run)

    def _format(self, row: Row, at: int, context: Context) -> str:
        if self.roles.format >= 0 and row.cell(self.roles.format):
            return self.formats.add(row.cell(self.roles.format))
        named = self.roles.named.get(at, "")
        if named and (
            self.formats.of(named) or len(self.roles.odds) > 1 or not (context.format or context.tail)
        ):
            return self.formats.add(named)
        return context.format or (self.formats.add(context.tail) if context.tail else "")

    def _label(self, row: Row, context: Context) -> Label | None:
        has_parallel = self.roles.parallel >= 0
        if any("\n" in cell and re.search(r"\d", cell) for cell in row.cells):
            self.is_astray = True
            return None
        subset = row.cell(self.roles.subset) if self.roles.subset >= 0 else ""
        parallel = row.cell(self.roles.parallel) if has_parallel else ""
        if subset:
            self.subset, self.is_astray = subset, False
            if context.subset and not has_parallel:
                if not self._is_subset(subset) or self._is_rung(subset, context.subset):
                    return Label(context.subset, subset, is_joined=False)
                context.subset = subset if self.lines.subset(subset, nearly=False) else context.subset
            return Label(subset, parallel, is_joined=not parallel)
        if not has_parallel or self.is_astray:
            return None
        head = self.subset or context.subset
        if not head and self.lines.base and parallel:
            return Label("", parallel, is_joined=False)
        return Label(head, parallel, is_joined=False) if head else None

    def _is_rung(self, name: str, heading: str) -> bool:
        """Whether a name is on the ladder of the subset in the heading above, and no subset's own."""
        if self.lines.subset(name, nearly=False):
            return False
        return any(self.lines.parallel(subset, name) for subset in self.lines.subset(heading))

    def _is_subset(self, name: str) -> bool:
        if not self.lines.subsets:
            return False
        return not self.lines.line(Label(name)).how


__all__ = ["Reader", "Roles", "roles"]
