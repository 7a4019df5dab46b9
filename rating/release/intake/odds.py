"""Makers' odds, a column a format or a row a format, as packs per copy; a misprint is kept as stated."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from rating import text
from rating.release.checklist import Card, Odds, Parallel
from rating.release.intake import ladder, layout, words
from rating.release.intake.account import Account
from rating.release.intake.values import FormatWords, Grid, Question, Row, SeasonWords
from rating.release.intake.words import Columns

Per = Literal["pack", "box", "case"]

_NUMBER = r"\d{1,3}(?:[,.'\u2019\s]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d+)?"
_RATIO = re.compile(
    rf"(?:approx\.?|approximately|about|ca\.?|~|≈|avg\.?)?\s*1\s*(?::|/|\s+in\s+|\s+per\s+"
    rf"|in\s+)\s*(?P<n>{_NUMBER})\s*(?P<unit>[a-z ]*)\Z",
    re.IGNORECASE,
)
_WORDED = re.compile(
    rf"(?:one|1)\s+(?:in|per)\s+(?:every\s+)?(?P<n>{_NUMBER})\s*(?P<unit>[a-z ]*)\Z", re.IGNORECASE
)
_EACH = re.compile(
    rf"(?P<n>{_NUMBER}|one|two|three|four|five|six)\s*(?:cards?\s*)?(?:per|a|an|in (?:every"
    rf"|each)|every|each|/)\s*(?P<unit>hobby box|retail box|box|case|pack|boxes|packs)\.?\Z",
    re.IGNORECASE,
)
_EVERY_OTHER = re.compile(
    r"(?:one\s+|1\s+)?(?:in\s+|per\s+)?every\s+(?:other|second|2nd)\s+(?P<unit>box|case|pack)\Z",
    re.IGNORECASE,
)
_PLAIN = re.compile(rf"(?P<n>{_NUMBER})\Z")
_NUMBERED = re.compile(rf"(?:#?\s*\d*\s*/)?\s*(?:{_NUMBER})", re.IGNORECASE)
_UNIT = re.compile(r"\bper\s+(?:\w+\s+)?(pack|box|case)\b|\b(packs?|box(?:es)?|cases?)\b", re.IGNORECASE)
_SMALL = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_NAME_NOISE = re.compile(
    r"\b(?:stated|odds|per|packs?|box(?:es)?|cases?|pack odds|ratio|avg|average|insertion"
    r"|the|1:x|in|a|each)\b|[():/]",
    re.IGNORECASE,
)


@dataclass(slots=True)
class Found:
    """The odds of the files, with the account of each sheet and what is to be asked."""

    odds: list[Odds] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Stated:
    """Odds as read: so many packs, boxes or cases hold one copy."""

    number: Decimal
    per: Per


def number_of(digits: str) -> Decimal:
    """A number with marks in it: three digits after a mark are thousands, one or two are decimals."""
    bare = re.sub(r"[\s'\u2019]", "", digits)
    if re.fullmatch(r"\d{1,3}(?:[,.]\d{3})+", bare):
        return Decimal(re.sub(r"[,.]", "", bare))
    if found := re.fullmatch(r"(\d{1,3}(?:[,.]\d{3})*|\d+)[,.](\d{1,2})", bare):
        return Decimal(f"{re.sub(r'[,.]', '', found[1])}.{found[2]}")
    return Decimal(bare.replace(",", "."))


def stated_in(cell: str, default: Per = "pack") -> _Stated | None:
    """The odds in a cell, None where it states none.

    Raises
    ------
    ValueError
        if the cell is neither odds nor a dash
    """
    bare = text.tidy(cell.replace("\n", " ")).strip(" .*†").lower()
    if not bare or bare in words.DASHES or words.fold(bare) in words.DASHES:
        return None
    if found := _EVERY_OTHER.match(bare):
        return _Stated(Decimal(2), _unit(found["unit"], default))
    if found := _RATIO.match(bare) or _WORDED.match(bare):
        number = number_of(found["n"])
        unit = found["unit"].strip()
        if number > 0 and (not unit or _UNIT.search(unit)):
            return _Stated(number, _unit(unit, default))
    if found := _EACH.match(bare):
        count = Decimal(_SMALL[found["n"]]) if found["n"] in _SMALL else number_of(found["n"])
        if count > 0:
            return _Stated(1 / count, _unit(found["unit"], default))
    if (found := _PLAIN.match(bare)) and number_of(found["n"]) > 0:
        return _Stated(number_of(found["n"]), default)
    raise ValueError(cell)


_UNITS: tuple[Per, ...] = ("pack", "box", "case")


def _unit(word: str, default: Per) -> Per:
    return next((name for name in _UNITS if name in word), default)


def unit_in(line: str) -> Per | None:
    """The unit that a title or header states for all its odds: 'Stated odds, per box'."""
    found = re.search(r"\b(?:per|every|each|a)\s+(?:\w+\s+)?(pack|box|case)\b", line, re.IGNORECASE)
    return _unit(found[1].lower(), "pack") if found else None


def is_odds(grid: Grid, columns: Columns) -> bool:
    """Whether a sheet states odds: a column whose cells are ratios, or a title that says so."""
    ratios = rows = 0
    for row in grid.rows[:300]:
        if len(row.filled) < 2:
            continue
        rows += 1
        ratios += any(map(_is_ratio, row.filled[1:]))
    if rows and ratios * 2 >= rows:
        return True
    named = [columns.of_row(row.cells) for row in grid.rows[:30]]
    return any("odds" in found.values() and "subset" in found.values() for found in named)


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    cards: Sequence[Card] = (),
    parallels: Sequence[Parallel] = (),
    formats: Sequence[FormatWords] = (),
) -> Found:
    """The odds on sheets of odds, matched to the checklist's subsets and parallels where there is one."""
    reader = _Reader(season, cards, parallels, formats)
    for grid in grids:
        reader.sheet(grid)
    return reader.found


@dataclass(slots=True)
class _Header:
    named: dict[int, str]
    formats: dict[int, tuple[str, Per]]
    row: Row


class _Reader:
    def __init__(
        self,
        season: SeasonWords,
        cards: Sequence[Card],
        parallels: Sequence[Parallel],
        formats: Sequence[FormatWords],
    ) -> None:
        self.found = Found()
        self.columns = Columns("odds", season.columns)
        self.formats = formats
        self.subsets = list(dict.fromkeys(card.subset for card in cards))
        self.base = next((c.subset for c in cards if c.kind == "base" and not c.variation), "")
        self.ladders: dict[str, dict[str, Parallel]] = {}
        for one in parallels:
            self.ladders.setdefault(one.subset, {})[text.key(one.parallel)] = one
        self.runs: dict[str, set[int | None]] = {}
        self.kinds: dict[str, set[str]] = {}
        for card in cards:
            self.runs.setdefault(card.subset, set()).add(card.print_run)
            self.kinds.setdefault(card.subset, set()).add(card.kind)
        self.seen: dict[tuple[str, str, str], tuple[Decimal, Row]] = {}
        self.asked: set[tuple[str, str]] = set()

    # ------------------------------------------------------------ a sheet
    def sheet(self, grid: Grid) -> None:
        self.grid, self.account = grid, Account(grid, "odds")
        self.found.accounts.append(self.account)
        self.header: _Header | None = None
        self.subset = ""
        self.unit: Per = unit_in(grid.sheet) or "pack"
        filled_down = ""
        sheet_format = self._format_name(grid.sheet)
        for index, row in enumerate(grid.rows):
            header = self._header(row, grid.rows[index + 1 : index + 40])
            if header is not None:
                self.header = header
                self.account.take(row, "header")
                filled_down = ""
                continue
            if words.TOTAL.match(row.filled[0]):
                self.account.aside(row, "a line of totals")
                continue
            if self.header is None or len(row.filled) == 1:
                self._text(row)
                continue
            filled_down = self._odds_row(row, self.header, filled_down, sheet_format)

    def _header(self, row: Row, below: Sequence[Row]) -> _Header | None:
        if len(row.filled) < 2 or any(map(_is_ratio, row.filled)):
            return None
        named = self.columns.of_row(row.cells)
        formats: dict[int, tuple[str, Per]] = {}
        for place, cell in enumerate(row.cells):
            if not cell or named.get(place) in {"subset", "parallel", "print_run", "note", "format"}:
                continue
            cells = [one.cell(place) for one in below if len(one.filled) > 1]
            if not _is_odds_column(cells):
                continue
            if named.get(place) == "odds" and not self._known_format(cell):
                continue
            named.pop(place, None)
            formats[place] = (self._format_key(cell), unit_in(cell) or self.unit)
        if not formats and "odds" not in named.values():
            return None
        if not ({"subset", "parallel"} & set(named.values())):
            # the first column that is not odds names the card
            free = [
                place for place, cell in enumerate(row.cells) if place not in formats and place not in named
            ]
            first = min(formats or named)
            if 0 not in formats and 0 not in named:
                named[0] = "subset"
            elif free and free[0] < first:
                named[free[0]] = "subset"
            else:
                return None
        return _Header(named, formats, row)

    def _known_format(self, cell: str) -> bool:
        return bool(self._format_name(cell))

    def _format_name(self, cell: str) -> str:
        keys = ladder.formats_in(cell, [*(one.key for one in self.formats)])
        for one in self.formats:
            if one.name and words.fold(one.name) in words.fold(cell):
                return one.key
        return keys[0] if keys else ""

    def _format_key(self, cell: str) -> str:
        """A format's key from the words over its column: 'HOBBY BOX (per pack)' is hobby."""
        bare = text.tidy(_NAME_NOISE.sub(" ", cell.replace("\n", " ")))
        for one in self.formats:
            if words.fold(bare) in {words.fold(one.key).replace("-", " "), words.fold(one.name)}:
                return one.key
        return text.slug_of(bare) or self._format_name(cell) or text.slug_of(cell) or "pack"

    def _text(self, row: Row) -> None:
        line = row.text
        if words.FOOTNOTE.match(line) or line.endswith("."):
            self.account.take(row, "footnote")
            return
        if unit := unit_in(line):
            self.unit = unit
        name, _ = layout.split_heading(line)
        if self.header is not None and len(row.filled) == 1 and name and row.cells[0]:
            self.subset = self._subset_named(line) or words.smart_case(name)
            self.account.take(row, "heading")
            return
        if self._subset_named(line):
            self.subset = line
            self.account.take(row, "heading")
        else:
            self.account.take(row, "title")

    # ------------------------------------------------------------ a row
    def _odds_row(self, row: Row, header: _Header, filled_down: str, sheet_format: str) -> str:
        get = {name: row.cell(place) for place, name in header.named.items()}
        subset_cell, parallel_cell = get.get("subset", ""), get.get("parallel", "")
        if not subset_cell and "subset" in header.named.values():
            subset_cell = filled_down
        subset, parallel = self._line(subset_cell, parallel_cell, row)
        if not subset:
            self.account.problem(row, "missing-value", "the row names no subset", "write the subset's name")
            return filled_down
        if (run := get.get("print_run", "")) and not words.is_no(run):
            self._compare_run(row, subset, parallel, words.run_cell(run))
        cells: list[tuple[str, str, Per]] = []
        if header.formats:
            cells = [(key, row.cell(place), unit) for place, (key, unit) in header.formats.items()]
        else:
            named = get.get("format", "")
            key = self._format_key(named) if named else sheet_format or self._only_format()
            place = next(p for p, name in header.named.items() if name == "odds")
            unit = unit_in(header.row.cell(place)) or self.unit
            cells = [(key, row.cell(place), unit)]
        self._take(row, subset, parallel, cells, get.get("note", ""))
        return subset_cell

    def _only_format(self) -> str:
        return self.formats[0].key if len(self.formats) == 1 else "hobby"

    def _take(
        self, row: Row, subset: str, parallel: str, cells: Sequence[tuple[str, str, Per]], note: str
    ) -> None:
        taken = wrong = False
        for key, cell, unit in cells:
            try:
                stated = stated_in(cell, unit)
            except ValueError:
                wrong = True
                self.account.problem(
                    row,
                    "bad-odds",
                    f"{key}: {text.printable(cell[:40])!r} is neither odds nor a dash",
                    "write it as 1:24, or a dash where it is not in this format",
                )
                continue
            if stated is None:
                continue
            packs, why = self._packs(stated, key, cell)
            if packs is None:
                wrong = True
                self.account.problem(row, "unknown-packing", why, "write the packing in release.toml first")
                continue
            line = (subset, parallel, key)
            if line in self.seen:
                before, first = self.seen[line]
                wrong = True
                same = "the same odds again" if before == packs else f"stated as 1:{before} before"
                self.account.problem(
                    row,
                    "duplicate-odds",
                    f"{_shown(subset, parallel)} in {key} stands in row {first.number} already, {same}",
                    "keep the right one of the two",
                )
                continue
            self.seen[line] = (packs, row)
            taken = True
            self.found.odds.append(
                Odds(subset, parallel, key, packs, "; ".join(p for p in (note, why) if p), row.number)
            )
        if taken and not wrong:
            self.account.take(row, "odds")
        elif not wrong:
            self.account.aside(row, "no odds stated in any format")

    def _packs(self, stated: _Stated, key: str, cell: str) -> tuple[Decimal | None, str]:
        """Packs per copy, with the note that says how it was converted; None with the reason."""
        if stated.per == "pack":
            return _tidy(stated.number), ""
        packing = next((one for one in self.formats if one.key == key), None)
        packs = packing.packs_per_box if packing else None
        if packs is None:
            return None, f"{key}: odds are stated per {stated.per} ({cell}), and packs in a box are not known"
        if stated.per == "box":
            return _tidy(stated.number * packs), f"stated per box as {cell}; {packs} packs in a box"
        boxes = packing.boxes_per_case if packing else None
        if boxes is None:
            return None, f"{key}: odds are stated per case ({cell}), and boxes in a case are not known"
        return (
            _tidy(stated.number * packs * boxes),
            f"stated per case as {cell}; {packs} packs in a box, {boxes} boxes in a case",
        )

    def _compare_run(self, row: Row, subset: str, parallel: str, run: int | None) -> None:
        if run is None or subset not in self.runs:
            return
        if parallel:
            known = self.ladders.get(subset, {}).get(text.key(parallel))
            if known is None or known.print_run == run:
                return
            other = f"/{known.print_run}" if known.print_run else "no print run"
        else:
            if run in self.runs[subset]:
                return
            runs = sorted({one for one in self.runs[subset] if one})
            other = " and ".join(f"/{one}" for one in runs) or "no print run"
        self.account.remark(
            row,
            "run-differs",
            f"{_shown(subset, parallel)}: the odds say /{run}, the checklist says {other}",
            "ask the maker which is right; the checklist's is kept",
        )

    # ------------------------------------------------------------ names
    def _line(self, subset_cell: str, parallel_cell: str, row: Row) -> tuple[str, str]:
        """The subset and parallel that a row speaks of, in the checklist's words where it has them."""
        parallel = self._version(parallel_cell)
        whole = text.tidy(subset_cell.replace("\n", " "))
        if not whole and self.subset:
            whole = self.subset
        elif self.subset and not self._subset_named(whole):
            # under a heading: the row names the parallel
            head = self._subset_named(self.subset) or self.subset
            return head, self._parallel_named(head, self._version(whole) or parallel, row)
        if not whole:
            return (self.base or "", self._parallel_named(self.base, parallel, row)) if parallel else ("", "")
        if not self.subsets:
            return words.smart_case(whole), parallel
        if exact := self._subset_named(whole):
            return exact, self._parallel_named(exact, parallel, row)
        split = self._split(whole)
        if split is not None and not parallel:
            return split
        near = self._near(whole, self.subsets)
        if near:
            self._ask(row, whole, near, f"taken as {near}")
            return near, self._parallel_named(near, parallel, row)
        if not parallel and self.base and self._known_parallel(self.base, whole):
            return self.base, self._parallel_named(self.base, whole, row)
        self.account.remark(
            row,
            "unknown-subset",
            f"the checklist has no subset {whole!r}",
            "see whether the checklist is complete, or write its name for it",
        )
        return words.smart_case(whole), parallel

    def _version(self, cell: str) -> str:
        """A parallel's name without its run; nothing for the base version."""
        bare = text.tidy(cell.replace("\n", " "))
        if not bare or words.fold(bare) in words.BASE_VERSION:
            return ""
        rung = ladder.read_one(bare)
        return rung.name if rung else words.smart_case(bare)

    def _subset_named(self, name: str) -> str:
        key = _bare(name)
        if exact := next((one for one in self.subsets if _bare(one) == key), ""):
            return exact
        # a name followed by the kind that its cards are: 'Harbour Ink (autographs)'
        for one in sorted(self.subsets, key=len, reverse=True):
            stem = _bare(one) + " "
            if key.startswith(stem) and words.are_kinds(key.removeprefix(stem)):
                return one if _kind_said(key.removeprefix(stem)) in self.kinds[one] else ""
        return ""

    def _known_parallel(self, subset: str, name: str) -> str:
        rung = ladder.read_one(name)
        known = self.ladders.get(subset, {})
        for candidate in (name, rung.name if rung else name):
            if text.key(candidate) in known:
                return known[text.key(candidate)].parallel
            bare = _bare(candidate)
            for one in known.values():
                if _bare(one.parallel) == bare:
                    return one.parallel
        return ""

    def _parallel_named(self, subset: str, parallel: str, row: Row) -> str:
        if not parallel or subset not in self.subsets:
            return parallel
        if exact := self._known_parallel(subset, parallel):
            return exact
        if _bare(parallel) == _bare(subset):
            return ""
        names = [one.parallel for one in self.ladders.get(subset, {}).values()]
        if near := self._near(parallel, names):
            self._ask(row, f"{subset} {parallel}", near, f"taken as {near}")
            return near
        self.account.remark(
            row,
            "unknown-parallel",
            f"the checklist has no parallel {parallel!r} of {subset}",
            "see whether the list of parallels is complete",
        )
        return parallel

    def _split(self, whole: str) -> tuple[str, str] | None:
        """'Deck Signatures Pearl /12' as subset and parallel of the checklist."""
        rung = ladder.read_one(whole)
        bare = _bare(rung.name if rung else whole)
        for subset in sorted(self.subsets, key=len, reverse=True):
            name = _bare(subset)
            for rest in (
                bare.removeprefix(f"{name} ") if bare.startswith(f"{name} ") else "",
                bare.removesuffix(f" {name}") if bare.endswith(f" {name}") else "",
            ):
                if rest and rest in {_bare(one) for one in words.BASE_VERSION}:
                    return subset, ""
                if rest and (known := self._known_parallel(subset, rest)):
                    return subset, known
            if bare == name:
                return subset, ""
        return None

    def _near(self, name: str, choices: Sequence[str]) -> str:
        from rapidfuzz import fuzz, process

        hit = process.extract(
            _bare(name), [_bare(one) for one in choices], scorer=fuzz.ratio, score_cutoff=86, limit=2
        )
        if not hit or (len(hit) > 1 and hit[0][1] - hit[1][1] < 5):
            return ""
        return choices[hit[0][2]]

    def _ask(self, row: Row, written: str, other: str, meanwhile: str) -> None:
        if (written, other) in self.asked:
            return
        self.asked.add((written, other))
        self.found.questions.append(
            Question(
                file=self.grid.file,
                sheet=self.grid.sheet,
                row=row.number,
                what=f"{written!r}: the checklist has {other!r}. Are they the same?",
                meanwhile=meanwhile,
            )
        )


def _is_ratio(cell: str) -> bool:
    """Whether a cell is odds beyond doubt: '1:24', '2 per box', never '24' or '1/24'."""
    try:
        return stated_in(cell) is not None and not _NUMBERED.fullmatch(cell.strip())
    except ValueError:
        return False


def _is_odds_column(cells: Sequence[str]) -> bool:
    fits = stated = 0
    for cell in cells:
        if not cell:
            continue
        try:
            stated += stated_in(cell) is not None and not re.fullmatch(r"[#/]\s*\d+|1/1", cell)
            fits += 1
        except ValueError:
            fits -= 1
    filled = sum(bool(cell) for cell in cells)
    return filled > 0 and stated > 0 and fits * 5 >= filled * 3


def _bare(name: str) -> str:
    """A name for comparing: folded, without 'cards', 'set', 'parallel' and marks."""
    kept = re.sub(r"[^\w ]+", " ", words.fold(name))
    kept = re.sub(r"\b(?:cards?|set|parallels?|the|insert|subset)\b", " ", kept)
    return " ".join(kept.split()) or " ".join(words.fold(name).split())


def _kind_said(said: str) -> str:
    """The kind of card that kind words name."""
    signed = "autograph" if words.SIGNED_WORDS.search(said) else ""
    relic = "relic" if words.RELIC_WORDS.search(said) else ""
    return f"{signed} {relic}".strip() or "insert"


def _shown(subset: str, parallel: str) -> str:
    return f"{subset} {parallel}".strip()


def _tidy(number: Decimal) -> Decimal:
    """A number of packs without needless places, six at most."""
    short = number.quantize(Decimal("0.000001")).normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short
