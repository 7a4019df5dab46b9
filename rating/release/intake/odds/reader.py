"""Makers' odds of any layout as packs per copy, in the checklist's words; a misprint is kept as stated."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import PurePath

from rating import text
from rating.release.checklist import Card, Odds, Parallel
from rating.release.intake import phrases, wordlists, words
from rating.release.intake.account import Account
from rating.release.intake.formats_said import Formats, could_be
from rating.release.intake.odds import detect, prose, tables, turned
from rating.release.intake.odds.entries import Context, Entry, Unread
from rating.release.intake.odds.labels import Label, Line, Lines
from rating.release.intake.odds.stated import Per, Stated, is_plain, is_ratio, said_in, says_odds, unit_in
from rating.release.intake.paragraphs import Paragraph, blocks, parted, whole_odds
from rating.release.intake.phrases import Names
from rating.release.intake.values import FormatWords, Grid, Question, Row, SeasonWords
from rating.release.intake.words import Columns

_SEVERAL = 3  # unknown subsets
_TITLED = re.compile(r"(?P<name>[^\W\d_][^:\d]{2,40}?)\s*(?::|\s[–—-])\s")
_TAIL = re.compile(r".*(?:\s[-–—|]\s|:\s*|,\s)(?P<tail>[^-–—|:,]+)\Z")


@dataclass(slots=True)
class Found:
    """The odds of the files, with the account of each sheet and what is to be asked."""

    odds: list[Odds] = field(default_factory=list)
    files: list[str] = field(default_factory=list)  # of each, the file it came from
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    parallels: list[Parallel] = field(default_factory=list)  # where nothing else lists any


@dataclass(slots=True)
class _Sheet:
    """A sheet with what was read of it, before its names are matched."""

    grid: Grid
    account: Account
    entries: list[Entry] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    is_foreign: bool = False  # most of its lines are of several subsets that the checklist has not
    is_beside: bool = False  # rows of a sell sheet, whose sentences speak of other things too

    def add(self, one: Entry | Unread) -> None:
        """Keep what a row said."""
        if isinstance(one, Entry):
            self.entries.append(one)
        else:
            self.unread.append(one)


@dataclass(frozen=True, slots=True)
class _Told:
    """Odds of one line in one format, with where they stand."""

    sheet: _Sheet
    entry: Entry
    packs: Decimal
    note: str


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    cards: Sequence[Card] = (),
    parallels: Sequence[Parallel] = (),
    formats: Sequence[FormatWords] = (),
    beside: Sequence[Grid] = (),
) -> Found:
    """The odds on sheets of odds, matched to the checklist's subsets and parallels where there is one.

    `beside` are rows of sell sheets that state odds: there a name which the checklist has not is no subset.
    """
    return _Reader(season, cards, parallels, formats).read(grids, beside)


class _Reader:
    def __init__(
        self,
        season: SeasonWords,
        cards: Sequence[Card],
        parallels: Sequence[Parallel],
        formats: Sequence[FormatWords],
    ) -> None:
        self.found = Found()
        self.season = season
        extra = {name: (*listed, *season.columns.get(name, ())) for name, listed in _columns().items()}
        self.columns = Columns("odds", {**season.columns, **extra})
        self.packing = {one.key: one for one in formats}
        self.formats = Formats(formats)
        self.lines = Lines(cards, parallels)
        self.runs: dict[str, set[int | None]] = {}
        for card in cards:
            self.runs.setdefault(card.subset, set()).add(card.print_run)
        self.ladders = {(one.subset, text.key(one.parallel)): one.print_run for one in parallels}
        self.asked: set[str] = set()
        self.sheets: set[str] = set()  # names of the sheets of odds

    def read(self, grids: Sequence[Grid], beside: Sequence[Grid]) -> Found:
        """The odds of all sheets."""
        sheets = [_Sheet(grid, Account(grid, "odds")) for grid in grids]
        sheets += [_Sheet(grid, Account(grid, "odds"), is_beside=True) for grid in beside]
        self.found.accounts += [sheet.account for sheet in sheets]
        self.sheets = {grid.sheet for grid in grids if grid.sheet}
        for sheet in sheets:
            self._find_formats(sheet.grid)
        self.lines.hear(
            Label(cell)
            for sheet in sheets
            for row in sheet.grid.rows
            for cell in row.filled
            if len(cell) < 80
        )
        for sheet in sheets:
            self._sheet(sheet)
        self.lines.hear(one.label for sheet in sheets for one in sheet.entries)
        told: dict[tuple[str, str, str], list[_Told]] = {}
        for sheet in sheets:
            self._settle(sheet, told)
        self._take(told)
        return self.found

    # ------------------------------------------------------------ a sheet
    def _find_formats(self, grid: Grid) -> None:
        """Note the formats that sentences name, and known ones by the sheet's name."""
        for row in grid.rows:
            for cell in row.filled:
                if len(cell) > 12:
                    self.formats.before_units(cell)
        if key := self._known_in(grid.sheet):
            self.formats.add(key.replace("-", " "))

    def _known_in(self, name: str) -> str:
        """The format that a sheet's or a file's name speaks of, known before or one of the usual."""
        bare = " ".join(re.findall(r"[^\W_]+", words.fold(name)))
        known = dict(self.formats.names)
        for usual in words.FORMATS:
            known.setdefault(usual, text.slug_of(usual))
        hits = [
            one for one in sorted(known, key=len, reverse=True) if re.search(rf"\b{re.escape(one)}\b", bare)
        ]
        return known[hits[0]] if hits else ""

    def _sheet(self, sheet: _Sheet) -> None:
        rows = tuple(parted(whole_odds(sheet.grid)))
        context = Context(unit=self._unit(sheet.grid), format=self._format_of(sheet.grid))
        for row in rows:
            sheet.account.take(row, "title")
        if long := turned.turned(rows, self.lines, self.formats, self.columns):
            rows = tuple(long)
        wide = [row for row in rows if len(row.filled) > 1]
        stating = [
            row
            for row in rows
            if len(row.filled) == 1 and any(map(is_ratio, re.split(r"[;,]|\s(?=1)", row.text)))
        ]
        if len(wide) >= max(2, len(stating)) and self._table(sheet, rows, replace(context)):
            return
        self._prose(sheet, context)

    def _unit(self, grid: Grid) -> Per:
        """The unit that a line of the sheet states for all its odds; a pack where none does."""
        lines = [row.text for row in grid.rows if len(row.filled) == 1 and len(row.text) < 200]
        told = [unit_in(line) for line in lines if _speaks_of_all(line) and not _holds_odds(line)]
        units = [unit for unit in (*told, unit_in(grid.sheet)) if unit is not None]
        return "pack" if "pack" in units or not units else units[0]

    def _format_of(self, grid: Grid) -> str:
        """The format that a whole sheet is about, by its name or the file's."""
        for name in (grid.sheet, PurePath(grid.file).stem):
            if key := self._known_in(name):
                return key
        if key := self._of_sheets(grid):
            return key
        keys = self.formats.keys
        return keys[0] if len(keys) == 1 and keys[0] in self.packing else ""

    def _of_sheets(self, grid: Grid) -> str:
        """The format of a sheet beside others of odds, by the word that its name has for itself and a title.

        'Odds Loft' beside 'Odds Kiosk' is of the format that its title calls 'Loft Box: packs to a card'.
        """
        own = set(words.fold(grid.sheet).split())
        others = [set(words.fold(one).split()) for one in self.sheets if one != grid.sheet]
        alone = {word for word in own if not any(word in other for other in others)}
        if not others or len(alone) != 1 or not all(own & other for other in others):
            return ""
        for row in grid.rows[:3]:
            found = _TITLED.match(row.text) if len(row.filled) == 1 else None
            if found and alone <= set(words.fold(found["name"]).split()):
                return self.formats.add(found["name"])
        return ""

    # ------------------------------------------------------------ tables
    def _table(self, sheet: _Sheet, rows: Sequence[Row], context: Context) -> bool:
        is_told = detect.is_told(sheet.grid)
        parts = self._parts(rows)
        done = False
        reader: tables.Reader | None = None
        for part in parts:
            inner = [row for row in part if len(row.filled) > 1]
            found = (
                tables.roles(inner, self.lines, self.formats, self.columns, is_told=is_told)
                if inner
                else None
            )
            coming = tables.Reader(found, self.formats, self.lines) if found is not None else reader
            for row in part:
                if row.filled and (len(row.filled) > 1 or self._is_data(row, coming)):
                    reader = coming
                if len(row.filled) == 1 and not self._is_data(row, reader):
                    self._line(sheet, row, context, reader)
                elif found is not None and row is found.header:
                    sheet.account.take(row, "header")
                elif reader is not None:
                    done = True
                    self._row(sheet, row, reader, context)
                elif len(row.filled) > 1:
                    self._line(sheet, row, context, reader)
        return done

    def _parts(self, rows: Sequence[Row]) -> list[list[Row]]:
        """The rows parted where a heading row of columns comes again."""
        parts: list[list[Row]] = [[]]
        first: Row | None = None
        for row in rows:
            if len(row.filled) > 1:
                if first is None:
                    first = row
                elif self._is_header_again(row, first):
                    parts.append([])
            parts[-1].append(row)
        return parts

    def _is_header_again(self, row: Row, first: Row) -> bool:
        if any(is_ratio(cell) or is_plain(cell) for cell in row.filled):
            return False
        same = sum(bool(cell) and cell == first.cell(at) for at, cell in enumerate(row.cells))
        formats = sum(bool(self.formats.of(cell)) for cell in row.filled)
        return (
            same >= 2
            or (formats >= 2 and formats * 2 >= len(row.filled))
            or len(self.columns.of_row(row.cells)) >= 2
        )

    def _is_data(self, row: Row, reader: tables.Reader | None) -> bool:
        if reader is None:
            return False
        return any(row.cell(at) and is_ratio(row.cell(at)) for at in reader.roles.odds)

    def _line(self, sheet: _Sheet, row: Row, context: Context, reader: tables.Reader | None) -> None:
        """A line between rows: a heading that names a subset or a format, a title or a footnote."""
        line = row.text
        if words.TOTAL.match(line):
            sheet.account.aside(row, "a line of totals")
            return
        one = Paragraph(line, (row,), (0,))
        if reader is None and (tail := self._tail(line)):
            context.tail = tail
            context.format = self.formats.of(tail) or context.format
            sheet.account.take(row, "title")
            return
        role = prose.Reader(self.lines, self.formats).heading(one, context)
        if role == "heading" and reader is not None:
            reader.subset = ""
        if role == "heading" and reader is None and not self.formats.of(line.strip(" :")):
            role = "title"
            if not self.lines.subset(line.strip(" :")):
                context.subset = ""
        sheet.account.take(row, role)

    def _tail(self, line: str) -> str:
        """What may be a format at the end of a title: 'Harbour 2031 - HOBBY'; blank where nothing may."""
        found = _TAIL.match(line)
        if not found:
            return ""
        tail = found["tail"].strip()
        if self.formats.of(tail):
            return tail
        is_other = says_odds(tail) or words.TITLE_LIKE.search(tail) or line.endswith(".")
        return tail if not is_other and len(tail.split()) < 4 and could_be(tail) else ""

    def _row(self, sheet: _Sheet, row: Row, reader: tables.Reader, context: Context) -> None:
        if words.TOTAL.match(row.filled[0]):
            sheet.account.aside(row, "a line of totals")
            return
        found = list(reader.entries(row, context))
        if not found:
            if len(row.filled) == 1:
                self._line(sheet, row, context, reader)
            else:
                sheet.account.aside(row, "no odds stated in any format")
        for one in found:
            sheet.add(one)

    # ------------------------------------------------------------ prose
    def _prose(self, sheet: _Sheet, context: Context) -> None:
        reader = prose.Reader(self.lines, self.formats)
        told: list[prose.Piece | Paragraph] = []
        for block in blocks(sheet.grid):
            told += prose.pieces(block, self.formats, context.unit)
        reader.learn([one for one in told if isinstance(one, prose.Piece)])
        for one in told:
            if isinstance(one, Paragraph):
                role = reader.heading(one, context)
                for row in one.rows:
                    sheet.account.take(row, role)
                continue
            for entry in reader.entries(one, context):
                sheet.add(entry)

    # ------------------------------------------------------------ names, units, two values for one line
    def _asked_format(self, sheet: _Sheet) -> str:
        """The answer to which format a sheet is of where it names none; asked once for the sheet."""
        waiting = [one.row.number for one in sheet.entries if not one.format]
        if not waiting or not self.formats.keys:
            return ""
        grid = sheet.grid
        name = f"{grid.file} {grid.sheet}".strip()
        question = Question(
            file=grid.file,
            sheet=grid.sheet,
            row=waiting[0],
            what=f"{name} does not say of which format its odds are. Which is it?",
            meanwhile="left out",
            topic="format of odds",
            about=name,
            choices=self.formats.keys,
            cells=tuple(str(number) for number in dict.fromkeys(waiting)),
            weight=len(waiting),
        )
        answer = self.season.answer_to(question)
        if not answer:
            self.found.questions.append(question)
        return answer

    def _settle(self, sheet: _Sheet, told: dict[tuple[str, str, str], list[_Told]]) -> None:
        for bad in sheet.unread:
            sheet.account.problem(bad.row, bad.code, bad.what, bad.fix)
        answer = self._asked_format(sheet)
        lines = [self.lines.line(one.label) for one in sheet.entries]
        strange = [line.subset for line in lines if line.how == "unknown subset"]
        sheet.is_foreign = len(strange) * 2 > len(lines) and len(set(strange)) >= _SEVERAL
        for stated in sheet.entries:
            entry = replace(stated, format=stated.format or answer)
            line = self._line_of(sheet, entry)
            if line is None:
                continue
            subset, parallel = line
            if not entry.format:
                self._no_format(sheet, entry)
                continue
            if entry.stated is None:
                sheet.account.problem(
                    entry.row,
                    "bad-odds",
                    f"{entry.format}: {text.printable(entry.cell[:40])!r} is neither odds nor a dash",
                    "write it as 1:24, or a dash where it is not in this format",
                )
                continue
            if parallel and not self.lines.parallels and subset in self.runs:
                self._learn(subset, parallel, entry)
            if entry.run is not None:
                self._compare_run(sheet, entry, subset, parallel)
            packs, why = self._packs(entry.stated, entry)
            if packs is None:
                sheet.account.problem(
                    entry.row, "unknown-packing", why, "write the packing in release.toml first"
                )
                continue
            note = "; ".join(part for part in (entry.note, why) if part)
            told.setdefault((subset, parallel, entry.format), []).append(_Told(sheet, entry, packs, note))

    def _learn(self, subset: str, parallel: str, entry: Entry) -> None:
        """Note a parallel that the odds alone name."""
        one = Parallel(
            subset=subset, parallel=parallel, print_run=entry.run, formats=(), row=entry.row.number
        )
        if all((two.subset, two.parallel) != (subset, parallel) for two in self.found.parallels):
            self.found.parallels.append(one)

    def _no_format(self, sheet: _Sheet, entry: Entry) -> None:
        sheet.account.problem(
            entry.row,
            "no-format",
            f"nothing says of which format the odds {text.printable(entry.cell[:40])!r} are",
            "name the format over the column, or in the sheet's name",
        )

    def _take(self, told: Mapping[tuple[str, str, str], Sequence[_Told]]) -> None:
        for (subset, parallel, key), same in told.items():
            values = {one.packs for one in same}
            first = same[0]
            if len(values) > 1:
                packs = self._decided(subset, parallel, key, same)
                if packs is None:
                    continue
                first = next(one for one in same if one.packs == packs)
            first.sheet.account.take(first.entry.row, "odds")
            self.found.files.append(first.sheet.grid.file)
            self.found.odds.append(
                Odds(subset, parallel, key, first.packs, first.note, first.entry.row.number)
            )
            for one in same:
                if one.entry.row is not first.entry.row:
                    self._again(one, first)

    def _again(self, one: _Told, first: _Told) -> None:
        account = one.sheet.account
        if account.role_of(one.entry.row) != "odds":
            account.aside(one.entry.row, f"the same odds as in row {first.entry.row.number}")

    def _decided(self, subset: str, parallel: str, key: str, same: Sequence[_Told]) -> Decimal | None:
        """The answer to which of several odds hold; None, with the question, where there is none yet."""
        about = f"{_shown(subset, parallel)} in {key}"
        values = tuple(dict.fromkeys(f"{one.packs}" for one in same))
        question = Question(
            file=same[0].sheet.grid.file,
            sheet=same[0].sheet.grid.sheet,
            row=same[0].entry.row.number,
            what=f"{about} is stated as {text.listed([f'1:{one}' for one in values])}. Which is right?",
            meanwhile="left out",
            topic="odds",
            about=about,
            choices=values,
            cells=tuple(str(one.entry.row.number) for one in same),
        )
        if answer := self.season.answer_to(question):
            return Decimal(answer)
        self.found.questions.append(question)
        for one in same:
            one.sheet.account.problem(
                one.entry.row,
                "duplicate-odds",
                f"{about} is stated as {text.listed([f'1:{value}' for value in values])}",
                "keep the right one of them",
            )
        return None

    def _packs(self, stated: Stated, entry: Entry) -> tuple[Decimal | None, str]:
        """Packs per copy, with the note that says how it was converted; None with the reason."""
        if stated.per == "pack":
            return _tidy(stated.number), ""
        packing = self.packing.get(entry.format)
        packs = packing.packs_per_box if packing else None
        said = f"{entry.format}: odds are stated per {stated.per} ({entry.cell})"
        if packs is None:
            return None, f"{said}, and packs in a box are not known"
        if stated.per == "box":
            return _tidy(stated.number * packs), f"stated per box as {entry.cell}; {packs} packs in a box"
        boxes = packing.boxes_per_case if packing else None
        if boxes is None:
            return None, f"{said}, and boxes in a case are not known"
        return (
            _tidy(stated.number * packs * boxes),
            f"stated per case as {entry.cell}; {packs} packs in a box, {boxes} boxes in a case",
        )

    def _compare_run(self, sheet: _Sheet, entry: Entry, subset: str, parallel: str) -> None:
        run = entry.run
        if subset not in self.runs:
            return
        if parallel:
            key = (subset, text.key(parallel))
            if key not in self.ladders or self.ladders[key] == run:
                return
            other = f"/{self.ladders[key]}" if self.ladders[key] else "no print run"
        else:
            if run in self.runs[subset]:
                return
            runs = sorted({one for one in self.runs[subset] if one})
            other = " and ".join(f"/{one}" for one in runs) or "no print run"
        self._remark_once(
            sheet,
            entry.row,
            "run-differs",
            f"{_shown(subset, parallel)}: the odds say /{run}, the checklist says {other}",
            "ask the maker which is right; the checklist's is kept",
        )

    def _remark_once(self, sheet: _Sheet, row: Row, code: str, what: str, fix: str) -> None:
        if what not in self.asked:
            self.asked.add(what)
            sheet.account.remark(row, code, what, fix)

    # ------------------------------------------------------------ names that are not sure
    def _line_of(self, sheet: _Sheet, entry: Entry) -> tuple[str, str] | None:
        """The subset and parallel of odds, None where they wait for an answer."""
        line = self.lines.line(entry.label)
        if not line.subset and line.how != "several subsets":
            sheet.account.problem(
                entry.row, "missing-value", "the row names no subset", "write the subset's name"
            )
            return None
        if not line.how:
            return line.subset, line.parallel
        if line.how.startswith("unknown"):
            return self._unknown(sheet, entry, line)
        return self._ask(sheet, entry, line)

    def _unknown(self, sheet: _Sheet, entry: Entry, line: Line) -> tuple[str, str] | None:
        if line.how == "unknown subset":
            what = f"the checklist has no subset {line.written!r}"
            fix = "see whether the checklist is complete, or write its name for it"
            if self.lines.subsets and sheet.is_foreign:
                sheet.account.problem(entry.row, "unknown-subset", what, fix)
                return None
            if self.lines.subsets and sheet.is_beside:
                self._remark_once(sheet, entry.row, "unknown-subset", what, fix)
                return None
            self._remark_once(sheet, entry.row, "unknown-subset", what, fix)
        else:
            what = f"the checklist has no parallel {line.written!r} of {line.subset}"
            fix = "see whether the list of parallels is complete"
            self._remark_once(sheet, entry.row, "unknown-parallel", what, fix)
        return line.subset, line.parallel

    def _ask(self, sheet: _Sheet, entry: Entry, line: Line) -> tuple[str, str] | None:
        is_parallel = line.how == "near parallel"
        written = f"{line.subset} {line.written}" if is_parallel else line.written
        shown = text.listed([repr(one) for one in line.choices], "or")
        waits = line.how == "several subsets"
        question = Question(
            file=sheet.grid.file,
            sheet=sheet.grid.sheet,
            row=entry.row.number,
            what=f"{written!r}: the checklist has {shown}. "
            + ("Which is it?" if waits else "Are they the same?"),
            meanwhile="left out" if waits else f"taken as {line.choices[0]}",
            topic="name in odds",
            about=written,
            choices=line.choices if waits else (*line.choices, line.written),
            cells=self._rows_with(sheet, line.written),
        )
        answer = self.season.answer_to(question)
        if not answer and question.id not in self.asked:
            self.asked.add(question.id)
            self.found.questions.append(question)
        if waits and not answer:
            sheet.account.problem(entry.row, "unclear-subset", question.what, "write the whole name")
            return None
        if is_parallel:
            return line.subset, answer or line.parallel
        return answer or line.subset, line.parallel

    def _rows_with(self, sheet: _Sheet, written: str) -> tuple[str, ...]:
        rows = (one.row.number for one in sheet.entries if written in one.row.text)
        return tuple(str(number) for number in dict.fromkeys(rows))


def _columns() -> dict[str, tuple[str, ...]]:
    table = wordlists.load("odds")
    listed = {name: tuple(said) for name, said in table["columns"].items()}
    return {**listed, "odds": tuple(table["title"]["odds"])}


def _speaks_of_all(line: str) -> bool:
    """Whether a line speaks of all odds: it says odds, stated or average, or nothing but the unit."""
    folded = words.fold(line)
    return (
        says_odds(line) or any(word in folded for word in ("stated", "averag", "per pack")) or len(line) < 16
    )


def _holds_odds(line: str) -> bool:
    """Whether a line states odds of its own, so that its unit is that of none but these."""
    return any(True for _ in said_in(phrases.read(line, Names({}))))


def _shown(subset: str, parallel: str) -> str:
    return f"{subset} {parallel}".strip()


def _tidy(number: Decimal) -> Decimal:
    """A number of packs without needless places, six at most."""
    short = number.quantize(Decimal("0.000001")).normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short


__all__ = ["Found", "read"]
