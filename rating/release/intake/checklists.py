"""Makers' checklists, in whatever layout, as cards and parallels."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import (
    asked_kinds,
    card_notes,
    headings,
    kinds,
    labels,
    ladder,
    layout,
    misread,
    name_cells,
    numbering,
    numerals,
    pairs,
    people,
    prose_runs,
    roles,
    single_cards,
    spoken,
    statements,
    stretches,
    subset_names,
    words,
)
from rating.release.intake.account import Account
from rating.release.intake.drafts import Draft
from rating.release.intake.ladder import Rung
from rating.release.intake.parts import BASE, Header, Line, Section, Sheet, is_number
from rating.release.intake.people import Spellings, Teams
from rating.release.intake.sections import read_sheet
from rating.release.intake.values import FormatWords, Grid, Question, Repaired, Row, SeasonWords
from rating.release.intake.words import Columns

_MARKED = ("redemption", "rookie", "variation")
_OF_EACH = ("number", "subjects", "forename", "surname", "teams")
_INITIAL = re.compile(r"[^\W\d_]\.")
_MOST = 1_000_000  # names of subsets times lines that are searched for them
_LOOKED_AT = 2_000  # lines of a sheet that tell in which order names are written
_BETWEEN = (" & ", " and ", ", ", "-")  # teams of two persons
_PAIR, _MOST_PIECES = 2, 8
_PLAINLY = 20  # cards of a set with numbers of its own that may be the base set
_BASE_CALLED = re.compile(
    r"\bbase set\s*(?:,|is|\(|[-–—])?\s*(?:called|named|titled)\s+(?P<name>[^,.;:()]{2,40}?)\s*"
    r"(?:,|\)|[-–—]|has|holds|of|with|comes|\.|\Z)",
    re.IGNORECASE,
)
_OTHER_YEAR = re.compile(r"\blast (?:year|season|edition)", re.IGNORECASE)
_BRACKETED_ODDS = re.compile(r"\s*\[[^\[\]]*\d\s*:\s*\d[^\[\]]*\]\s*\Z")
# a blurb that begins with what the cards are
_LED_BY_KIND = re.compile(
    r"\s*(?:an?\s+)?(?:\d{1,4}\s+)?(?:inserts?|autograph(?:ed|s)?|relics?)\b(?:\s+(?:set|cards?))?"
    r"\s*(?:of|with|[:.,]|\Z)",
    re.IGNORECASE,
)
_BASE_SAID = re.compile(
    r"\s*(?:this is |that is )?(?:the|our)\s+(?:base|main|regular|basic)\s+(?:set|cards)\b", re.IGNORECASE
)
_BEFORE_NUMBER = re.compile(r"^(?:#|no\.?\s+|nr\.?\s+|card\s+)\s*", re.IGNORECASE)
_STUCK = re.compile(r"[^\W\d_]{3}(?:[A-Z]{1,4}-)?\d+ [^\W\d_]")  # the next card behind a name: 'Herons12 Ada'


@dataclass(slots=True)
class Found:
    """The cards and parallels of the files, with the account of each sheet and what is to be asked."""

    cards: list[Card] = field(default_factory=list)
    files: list[str] = field(default_factory=list)  # of each card, the file it came from
    parallels: list[Parallel] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    teams: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    repaired: list[Repaired] = field(default_factory=list)
    layouts: layout.Layouts | None = None


def has_header(grid: Grid, columns: Columns) -> bool:
    """Whether a sheet has the header of a checklist: numbers and names, or names with teams or subsets."""
    for row in grid.rows[:400]:
        found = columns.of_row(row.cells)
        names = set(found.values())
        if len(found) > 1 and names & {"subject", "last"} and names & {"number", "team", "subset"}:
            return True
        if {"number", "team"} <= names:
            return True
    return False


def looks_numbered(grid: Grid) -> bool:
    """Whether rows without a header look like cards: a number first, and words beside it."""
    pairs = [row for row in grid.rows if len(row.filled) > 1][:200]
    numbered = sum(is_number(row.filled[0]) and not row.filled[1].isdigit() for row in pairs)
    return len(pairs) > 4 and numbered * 5 >= len(pairs) * 4


def team_key(grid: Grid) -> dict[str, str]:
    """The codes and teams of a key sheet, empty where the sheet is none."""
    pairs: dict[str, str] = {}
    columns: dict[str, int] = {}
    others = 0
    for row in grid.rows[:200]:
        if len(row.filled) < 2:
            continue
        if not columns:
            for place, cell in enumerate(row.cells):
                key = words.header_key(cell)
                for name in ("code", "name"):
                    if key in words.KEY[name] and name not in columns and place not in columns.values():
                        columns[name] = place
                        break
            if len(columns) == 2:
                continue
            columns = {}
            places = [place for place, cell in enumerate(row.cells) if cell]
            if len(places) != 2:
                return {}
            first, second = row.cell(places[0]), row.cell(places[1])
            columns = {"code": places[0], "name": places[1]}
            if not _is_code(first) and _is_code(second):
                columns = {"code": places[1], "name": places[0]}
            if any(mark.isdigit() for mark in row.cell(columns["code"])):
                return {}  # without a header, what has digits is a card's number
        code, name = row.cell(columns["code"]), row.cell(columns["name"])
        if not code or not name:
            continue
        if not _is_code(code) or len(name) <= len(code) or name.isdigit():
            others += 1
        else:
            pairs[code] = name
    return pairs if len(pairs) > 1 and others * 5 <= len(pairs) else {}


def _is_code(cell: str) -> bool:
    return (
        0 < len(cell) < 6
        and cell[0].isalpha()
        and cell == cell.upper()
        and all(mark.isalnum() or mark in "&.-" for mark in cell)
    )


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    key: dict[str, str] | None = None,
    formats: Sequence[FormatWords] = (),
    legend: statements.Legend | None = None,
    layouts: layout.Layouts | None = None,
) -> Found:
    """The cards and parallels on sheets of checklists."""
    told = statements.Legend() if legend is None else legend
    told.prose = "\n".join((told.prose, *(row.text for grid in grids for row in grid.rows if _may_tell(row))))
    for grid in grids:
        own, _ = statements.legend_among(grid.rows)
        told.codes.update(own.codes)
        told.kinds.update(own.kinds)
    return _Reader(season, key or {}, tuple(one.key for one in formats), told).read(grids, layouts)


def _may_tell(row: Row) -> bool:
    """Whether a row is a line of text, and none that counts pages."""
    return len(row.filled) == 1 and not statements.is_footer(row.text)


class _Reader:
    def __init__(
        self,
        season: SeasonWords,
        key: dict[str, str],
        formats: tuple[str, ...],
        legend: statements.Legend,
    ) -> None:
        self.season, self.formats = season, formats
        self.legend, self.titles = legend, legend.titles
        self.prose = re.sub(r"(?<![.:])\n(?=\S)", " ", legend.prose)
        self.teams = Teams(season, {**key, **legend.codes})
        self.has_key = bool(key or legend.codes)
        self.columns = Columns("checklist", season.columns)
        self.found = Found()
        self.drafts: list[Draft] = []
        self.keys: dict[str, str] = {}
        self.is_shouted = self.is_last_first = False
        self.short_rookies: set[tuple[str, str, str]] = set()
        self.paired: set[str] = set()
        self.kinds_told: dict[str, kinds.Kind] = {"": kinds.NOTHING}
        self.parted_by = self.parted_all = name_cells.Parting()
        self.answered: dict[str, str] = {}  # kinds by subset that a person named, blank where they are open
        self.team_lists: dict[tuple[str, int], list[str]] = {}
        self.sections: dict[str, Section] = {}
        self.held: set[int] = set()  # of cards that are left out, their identities
        self.guessed: set[str] = set()  # of subsets that nobody named, their keys
        self.rungs: dict[str, dict[str, list[Rung]]] = {}
        self.subject_names = Spellings(season.subjects)
        self.team_names = Spellings(team.name for team in season.teams)

    def read(self, grids: Sequence[Grid], parted: layout.Layouts | None) -> Found:
        sheets = []
        layouts = parted
        if layouts is None or self.has_key or not layouts.is_of(grids):
            layouts = layout.Layouts(
                grids,
                self.columns,
                is_team=self.teams.knows,
                parted=parted,
                told=roles.Told.by(self.season),
            )
        self.found.layouts = layouts
        self.parted_all = layouts.parting
        for grid in grids:
            account = Account(grid, "checklist")
            self.found.accounts.append(account)
            sheets.append(read_sheet(grid, account, layouts, self.legend.kinds))
        subset_names.tell_apart(section for sheet in sheets for section in sheet.sections)
        headings = Counter(
            text.key(section.name) for sheet in sheets for section in sheet.sections if section.name
        )
        many = len(sheets) > 2
        repeated = {name for name, number in headings.items() if many and number == len(sheets)}
        self._name_order(sheets)
        for sheet in sheets:
            subset_names.sheet_subset(sheet, repeated=repeated, several=len(sheets) > 1)
            self._sheet(sheet)
        self._spell()
        self._finish(sheets)
        return self.found

    def _name_order(self, sheets: Sequence[Sheet]) -> None:
        """Whether the files write 'Quill, Ada' or 'QUILL Ada', told by all names together."""
        names = []
        for sheet in sheets:
            lines = [line for section in sheet.sections for line in section.lines]
            teamed = self._parting(lines)
            some = lines[:: 1 + len(lines) // _LOOKED_AT]  # it is the same all over a sheet
            names += [teamed.read(self._whole_names(line)[0]).names for line in some]
        self.is_last_first = people.are_last_first(names)
        self.is_shouted = people.are_shouted(names)

    def _key(self, name: str) -> str:
        if name not in self.keys:
            self.keys[name] = text.key(name)
        return self.keys[name]

    # ------------------------------------------------------------ rows
    def _sheet(self, sheet: Sheet) -> None:
        lines = [line for section in sheet.sections for line in section.lines]
        under: dict[int, list[Line]] = {}
        for line in lines:
            under.setdefault(id(line.header), []).append(line)
        for header in sheet.headers:
            self._tell_unknown(header, under.get(id(header), []), sheet.account)
        teamed = self.parted_by = self._parting(lines)
        last_first = self.is_last_first or any(
            "last first" in words.header_key(_header_of(header)) for header in sheet.headers
        )
        self.paired = _paired(lines, teamed)
        for section in sheet.sections:
            filled = _filled_down(section.lines)
            clubs = _filled_down(section.lines, "team")
            for line in section.lines:
                line.team = clubs.get(line.row.number, line.team)
            before: Draft | None = None
            for line in section.lines:
                before = self._line(line, section, sheet, last_first, teamed, filled, before) or before

    def _tell_unknown(self, header: Header, lines: Sequence[Line], account: Account) -> None:
        """Columns without a known name are told by what stands in them."""
        width = max((len(line.row.cells) for line in lines), default=0)
        for place in range(width):
            if place in header.named or place in header.left:
                continue
            title = header.unknown.get(place, "")
            cells = [line.row.cell(place) for line in lines]
            filled = [cell for cell in cells if cell]
            if not filled and not title:
                continue
            rung = ladder.read_column(title, cells, self.formats)
            if rung is not None and not (
                filled and all(map(words.is_yes, filled)) and _are_scattered(lines, place)
            ):
                header.parallels[place] = rung.name
                header.unknown[place] = title
            elif filled and not header.has("note") and all(map(words.SHORT_PRINT.search, filled)):
                header.name(place, "note")
            elif filled:
                self._ask_role(header, place, lines, account)

    def _ask_role(self, header: Header, place: int, lines: Sequence[Line], account: Account) -> None:
        """Ask what a column holds that neither its heading nor its cells tell."""
        filled = [line for line in lines if line.row.cell(place)]
        cells = [line.row.cell(place) for line in filled]
        if len(filled) * 2 > len(lines) and roles.says_nothing(cells):
            shown = header.unknown.get(place, "") or roles.letters(place)
            account.remark(
                header.row,
                "unknown-column",
                f"the column {shown!r} holds the same in every row, or counts the rows; it was left out",
                "name it under [columns] in release.toml if it matters",
            )
            return
        asked = roles.question(
            account.grid,
            header.row.cells if header.row else (),
            place,
            header.width,
            [line.row.number for line in filled],
            cells=cells,
            taken=list(header.named.values()),
        )
        if len(filled) * 4 <= len(lines):  # what each card has stands beside more of them
            left = tuple(one for one in asked.choices if one not in _OF_EACH)
            asked = replace(asked, choices=left)
        if len(filled) * 2 <= len(lines) and all(map(words.is_yes, cells)):
            marks = tuple(one for one in asked.choices if one in _MARKED)
            asked = replace(
                asked,
                what=f"What does a mark in the column {asked.about.removeprefix('column ')!r} say of a card?",
                choices=(*marks, roles.NOTHING),
            )
        if asked.id not in {one.id for one in self.found.questions}:
            self.found.questions.append(asked)

    def _parting(self, lines: Sequence[Line]) -> name_cells.Parting:
        """How names and teams are parted where both stand in one column."""
        if any(line.header.has("team") for line in lines) or all(line.team for line in lines):
            return name_cells.Parting()
        return self.found.layouts.parting_of(lines[0].grid) if self.found.layouts else self.parted_all

    def _line(
        self,
        line: Line,
        section: Section,
        sheet: Sheet,
        last_first: bool,
        teamed: name_cells.Parting,
        filled: dict[int, str],
        before: Draft | None,
    ) -> Draft | None:
        row, get, account = line.row, line.get, sheet.account
        number = get("number")
        if row.dates and line.header.place("number") in row.dates:
            account.problem(
                row,
                "date-for-number",
                f"the card number was turned into the date {number} by a spreadsheet program",
                "look the number up in the maker's list and write it as text",
            )
            return None
        subjects, rookies, stars, team_cell, remarks = self._subjects(line, last_first, teamed)
        if not subjects and number and line.get("variation"):
            subjects, rookies, stars, team_cell = self._varied(number)
        subset = section.name
        if line.header.has("subset"):
            subset = get("subset") or filled.get(row.number, "")
            if not subset:
                account.aside(row, "card outside any subset: the column of subsets is blank")
                return None
        bare = _bare(number)
        if (
            before is not None
            and number
            and before.number == bare
            and before.key == self._key(subset)
            and len(subjects) < len(before.subjects)
            and not line.header.has("parallel")
            and set(subjects) <= set(before.subjects)
        ):
            account.aside(row, f"the same card stands in row {before.row.number} of the list already")
            return None
        if before is not None and subjects and self._is_second(line, section, sheet, before, subset, number):
            self._join(before, subjects, rookies, stars, self._team_list(team_cell, len(subjects)))
            before.redemption = before.redemption or any(map(_is_redemption, remarks))
            account.take(row, "second person on a card")
            return None
        if not subset:
            account.problem(
                row,
                "no-subset",
                f"no heading and no column says which subset the card is of: {row.text[:80]!r}",
                "write the subset's name above its cards, or beside them",
            )
            return None
        if not number or not subjects:
            missing = "number" if not number else "name"
            account.problem(
                row,
                "missing-value",
                f"the card has no {missing}: {row.text[:80]!r}",
                f"find out the {missing}",
            )
            return None
        if any(_STUCK.search(name) or name.startswith(f"{bare} ") for name in subjects):
            account.problem(
                row,
                "two-cards-in-a-row",
                f"a number stands in the name, as where two cards run together: {row.text[:120]!r}",
                "separate the cards, or write the name without the number",
            )
            return None
        draft = self._draft(line, subset, number, subjects, rookies, stars, team_cell, account)
        for remark in remarks:
            if _is_redemption(remark):
                draft.redemption = True
            elif (run := words.run_cell(remark)) is not None:
                draft.print_run = run
            else:
                draft.is_short = True
        self._section_of(subset, section)
        if section.is_guessed and section.name == BASE and not line.header.has("subset"):
            self.guessed.add(draft.key)
        self.drafts.append(draft)
        return draft

    def _varied(self, number: str) -> tuple[list[str], list[bool], list[str], str]:
        """The persons and teams of the card that a variation shares its number with."""
        for draft in self.drafts:
            if draft.number == number and not draft.variation:
                stars = [""] * len(draft.subjects)
                return list(draft.subjects), list(draft.rookies), stars, " / ".join(draft.teams)
        return [], [], [], ""

    def _subjects(
        self, line: Line, last_first: bool, teamed: name_cells.Parting
    ) -> tuple[list[str], list[bool], list[str], str, list[str]]:
        """The persons of a row, whether each is marked a rookie, their stars, their teams, and remarks."""
        cell, team = self._whole_names(line)
        said = teamed.read(cell)
        team, remarks = name_cells.without_remarks(said.teams or team)
        subjects, rookies, stars = [], [], []
        for part in people.parted(said.names):
            name, is_rookie, mark = people.unmarked(part)
            if last_first:
                name = people.turned(name)
                name, again, more = people.unmarked(name)
                is_rookie, mark = is_rookie or again, mark or more
            if name:
                subjects.append(name)
                rookies.append(is_rookie)
                stars.append(mark)
        if self.is_shouted:
            subjects = [people.unshouted(name) for name in subjects]
        if (
            len(subjects) == 1
            and not last_first
            and subjects[0].count(",")
            and " " in subjects[0].split(",")[0].strip()
        ):
            pair = [one.strip() for one in subjects[0].split(",")]
            if len(pair) == 2 and self._key(pair[1]) == self._key(team):
                pair = pair[:1]  # the team stands there twice
            if all(" " in one for one in pair):
                subjects, rookies, stars = pair, rookies * len(pair), stars * len(pair)
        return subjects, rookies, stars, team, [*said.remarks, *remarks]

    def _whole_names(self, line: Line) -> tuple[str, str]:
        """The names and the teams of a row, put together from all the columns that hold some."""
        get = line.get
        cell = get("subject")
        if line.header.has("last"):
            first, last = get("first"), get("last")
            firsts, lasts = people.halves(first), people.halves(last)
            if len(firsts) == len(lasts):
                cell = " / ".join(_whole(a, b) for a, b in zip(firsts, lasts, strict=True))
            else:
                cell = text.tidy(f"{first} {last}")
            for more in ("2", "3", "4"):
                if other := _whole(get(f"first {more}"), get(f"last {more}")):
                    cell = f"{cell} / {other}"
            cell = cell or get("subject")
        team = get("team") or line.team
        for more in ("2", "3", "4"):
            if (other := get(f"subject {more}")) and not words.is_no(other):
                cell = f"{cell} / {other}" if cell else other
            if (other := get(f"team {more}")) and not words.is_no(other):
                team = f"{team} / {other}" if team else other
        return cell, team

    def _team_list(self, cell: str, number: int) -> list[str]:
        known = self.team_lists.get((cell, number))
        if known is None:
            known = self.team_lists[cell, number] = self._teams_in(cell, number)
        return list(known)

    def _teams_in(self, cell: str, number: int) -> list[str]:
        if not cell or words.fold(cell) in {"-", "–", "—"}:
            return []
        if self.teams.knows(cell):
            parts = [cell]
        else:
            parts = people.parted(cell.replace(" & ", "\x00").replace(" and ", "\x01"))
            parts = [part.replace("\x00", " & ").replace("\x01", " and ") for part in parts]
            if len(parts) == 1 and number > 1:
                parts = next(filter(None, (self._sides(cell, mark, number) for mark in _BETWEEN)), parts)
        named = [self.teams.named(part) for part in parts]
        if len(named) == 1 and number > 1:
            named *= number  # one team given is the team of all
        return named

    def _sides(self, cell: str, mark: str, number: int) -> list[str]:
        """A cell as so many teams with a mark between them, nothing where it is none."""
        pieces = [one.strip() for one in cell.split(mark)]
        if len(pieces) == number and (not self.teams or all(map(self.teams.knows, pieces))):
            return pieces
        is_team = self.found.layouts.is_team if self.found.layouts else self.teams.knows
        if number == _PAIR and number < len(pieces) < _MOST_PIECES:
            for place in range(1, len(pieces)):
                sides = [mark.join(pieces[:place]), mark.join(pieces[place:])]
                if all(map(is_team, sides)):
                    return sides
        return []

    def _is_second(
        self, line: Line, section: Section, sheet: Sheet, before: Draft, subset: str, number: str
    ) -> bool:
        if number:
            # the same number again right below, with somebody else: two people on a card
            return (
                _bare(number) == before.number
                and self._key(subset) == before.key
                and before.row.number < line.row.number <= before.row.number + 2
                and [one.name for one in self._rungs_of(line)] == [one.name for one in before.rungs]
                and not line.header.has("subject 2")
                and len(before.subjects) < 4
                and before.subjects != self._subjects(line, False, self.parted_by)[0]
                and before.number in self.paired
            )
        place = next((p for p, name in line.header.named.items() if name == "number"), -1)
        for first, column, last, _ in (line.grid or sheet.grid).spans:
            if column == place and first < line.row.number <= last and first <= before.row.number:
                return True
        speaks = " ".join((section.name, *section.blurbs))
        if words.DUAL.search(speaks) and before.row.number >= line.row.number - 3:
            return True
        return before.row.number == line.row.number - 1 and line.header.has("number")

    def _join(
        self, before: Draft, subjects: list[str], rookies: list[bool], stars: list[str], teams: list[str]
    ) -> None:
        before.subjects += subjects
        before.rookies += rookies
        before.stars += stars
        before.teams += teams

    def _draft(
        self,
        line: Line,
        subset: str,
        number: str,
        subjects: list[str],
        rookies: list[bool],
        stars: list[str],
        team_cell: str,
        account: Account,
    ) -> Draft:
        row, get = line.row, line.get
        cell = get("print_run")
        run = None if not cell or (words.is_no(cell) and cell != "0") else words.run_cell(cell)
        told = card_notes.read(get("note"))
        run = run if told.print_run is None else told.print_run
        redemption, variation, left = told.redemption, told.variation, told.left
        if told.is_rookie:
            rookies = [True] * len(rookies)
        mark = get("rookie")
        if (
            mark
            and not words.is_no(mark)
            and (words.is_yes(mark) or re.match(r"r\b|rc|rook", mark, re.IGNORECASE))
        ):
            rookies = [True] * len(rookies)
        if (cell := get("redemption")) and not words.is_no(cell):
            redemption = True
        if (cell := get("variation")) and not words.is_no(cell):
            variation = (
                variation
                or bool(words.VARIATION.search(cell))
                or (words.is_yes(cell) and not words.SHORT_PRINT.search(_header_of(line.header, "variation")))
            )
            if not variation:
                left.append("SP" if words.is_yes(cell) else cell)
        cell = get("signed")
        signed, is_signed = _signed_cell(cell) if cell else ("", False)
        cell = get("relic")
        relic, has_relic = _relic_cell(cell) if cell else ("", False)
        return Draft(
            section=subset,
            key=self._key(subset),
            number=_bare(number),
            subjects=subjects,
            teams=self._team_list(team_cell, len(subjects)),
            rookies=rookies,
            print_run=run,
            signed=signed or told.signed,
            relic=relic or told.relic,
            is_signed=is_signed or told.is_signed,
            has_relic=has_relic or told.has_relic,
            variation=variation,
            redemption=redemption,
            note="; ".join(left).replace("\n", " "),
            sticker=told.sticker,
            stars=[star or ("*" if number.endswith("*") else "") for star in stars],
            row=row,
            account=account,
            rungs=self._rungs_of(line),
            is_parallel=bool(get("parallel")) and words.fold(get("parallel")) not in words.BASE_VERSION,
            said=self._kind_of(get("kind")),
        )

    def _kind_of(self, cell: str) -> kinds.Kind:
        if cell not in self.kinds_told:
            self.kinds_told[cell] = kinds.read(cell)
        return self.kinds_told[cell]

    def _rungs_of(self, line: Line) -> list[Rung]:
        """The parallels that the row's own cells tell."""
        rungs = []
        for place, name in line.header.parallels.items():
            cell = line.row.cell(place)
            if (cell and not words.is_no(cell)) or (cell == "1"):
                head = ladder.read_one(line.header.unknown[place], self.formats)
                run = (head.print_run if head else None) or words.run_cell(cell)
                rungs.append(Rung(name=name, print_run=run, formats=head.formats if head else ()))
        if listed := line.get("parallels"):
            rungs += ladder.read_list(listed, self.formats)
        if (one := line.get("parallel")) and words.fold(one) not in words.BASE_VERSION:
            rung = ladder.read_one(one, self.formats)
            if re.search(r"[,;]", one) and len(several := ladder.read_list(one, self.formats)) > 1:
                rungs += several
            elif rung is not None:
                cell = line.get("print_run")
                held = ladder.formats_in(line.get("formats"), self.formats)
                stated = rung.print_run or (words.run_cell(cell) if cell else None)
                rungs.append(Rung(name=rung.name, print_run=stated, formats=rung.formats or held))
        return rungs

    def _section_of(self, subset: str, section: Section) -> None:
        """Sections of the same name are one subset; a column's names have no blurbs of their own."""
        key = self._key(subset)
        if key in self.sections:
            known = self.sections[key]
            if known is not section and self._key(section.name) == key:
                known.blurbs += [blurb for blurb in section.blurbs if blurb not in known.blurbs]
            return
        is_own = text.key(section.name) == key
        self.sections[key] = Section(subset, list(section.blurbs) if is_own else [], section.group)

    # ------------------------------------------------------------ spellings
    def _spell(self) -> None:
        subjects = Counter(name for draft in self.drafts for name in draft.subjects)
        teams = Counter(team for draft in self.drafts for team in draft.teams)
        for counts, spellings in ((subjects, self.subject_names), (teams, self.team_names)):
            for name, number in counts.items():
                spellings.see(name, number)
        self._mend({name for name in (*subjects, *teams) if people.DAMAGE.search(name)})
        for draft in self.drafts:
            draft.subjects[:] = map(self.subject_names.best, draft.subjects)
            draft.teams[:] = map(self.team_names.best, draft.teams)
        self._pair_teams()
        self._ask(known_subjects=self.season.subjects, known_teams=tuple(self.teams.names))

    def _mend(self, damaged: set[str]) -> None:
        """Write names with damaged letters as the one name that each can be."""
        if not damaged:
            return
        known = [
            *self.season.subjects,
            *(n for n in self.subject_names.names() if not people.DAMAGE.search(n)),
        ]
        teams = [*self.teams.names, *(n for n in self.team_names.names() if not people.DAMAGE.search(n))]
        mended: Counter[tuple[str, str]] = Counter()
        for draft in self.drafts:
            for names, choices in ((draft.subjects, known), (draft.teams, teams)):
                for place, name in enumerate(names):
                    if name in damaged and (whole := people.restored(name, choices)):
                        names[place] = whole
                        mended[name, whole] += 1
        for (name, whole), number in mended.items():
            self.found.notes.append(
                f"{name!r} has damaged letters and can only be {whole}; written so "
                f"({text.count(number, 'card')})"
            )

    def _ask(self, *, known_subjects: Sequence[str], known_teams: Sequence[str]) -> None:
        places: dict[str, Draft] = {}
        for draft in self.drafts:
            for name in (*draft.subjects, *draft.teams):
                places.setdefault(name, draft)
        subjects = list(dict.fromkeys(name for draft in self.drafts for name in draft.subjects))
        teams = list(dict.fromkeys(team for draft in self.drafts for team in draft.teams))
        asked: list[tuple[str, str, str]] = [
            *(
                (one, other, "the season knows")
                for one, other in people.near_misses(subjects, known_subjects)
            ),
            *((one, other, "the season knows") for one, other in people.near_misses(teams, known_teams)),
            *((one, other, "the file also has") for one, other in self._odd_ones(subjects)),
            *((one, other, "the file also has") for one, other in self._odd_ones(teams)),
        ]
        done: set[str] = set()
        for written, other, source in asked:
            if written in done:
                continue
            done.add(written)
            draft = places[written]
            self.found.questions.append(
                Question(
                    file=draft.account.grid.file,
                    sheet=draft.account.grid.sheet,
                    row=draft.row.number,
                    what=f"{written!r}: {source} {other!r}. Are they the same?",
                    meanwhile="kept as written",
                )
            )
        for name in subjects:
            if name not in done and people.DAMAGE.search(name):
                draft = places[name]
                self.found.questions.append(
                    Question(
                        file=draft.account.grid.file,
                        sheet=draft.account.grid.sheet,
                        row=draft.row.number,
                        what=f"{name!r} has damaged letters. What is the name?",
                        meanwhile="kept as written",
                    )
                )

    def _pair_teams(self) -> None:
        """Teams of two persons in the order of the persons; asked where a list mixes them."""
        several = [one for one in self.drafts if 1 < len(one.subjects) == len(one.teams) < 5]
        if not several:
            return
        known = pairs.homes((self._keyed(draft.subjects), self._keyed(draft.teams)) for draft in self.drafts)
        open_ones: list[Draft] = []
        turned = 0
        for draft in several:
            by_key = {self._key(team): team for team in draft.teams}
            told = pairs.ordered(self._keyed(draft.subjects), self._keyed(draft.teams), known)
            if told is None:
                open_ones.append(draft)
                continue
            teams = [by_key[key] for key in told]
            turned += teams != draft.teams
            draft.teams[:] = teams
        if not turned:
            return
        for draft in open_ones:
            self._ask_order(draft)

    def _keyed(self, names: Sequence[str]) -> list[str]:
        return [self._key(name) for name in names]

    def _ask_order(self, draft: Draft) -> None:
        """Whose team is whose, of a card in a list that does not keep to the order of the persons."""
        choices = (" / ".join(draft.teams), " / ".join(reversed(draft.teams)))
        question = Question(
            file=draft.account.grid.file,
            sheet=draft.account.grid.sheet,
            row=draft.row.number,
            what=f"Which teams have {' and '.join(draft.subjects)}, in this order?",
            meanwhile="left blank",
            topic="teams",
            about=" / ".join(draft.subjects),
            choices=choices,
        )
        answer = self.season.answer_to(question)
        if answer:
            draft.teams[:] = [self.teams.named(one) for one in answer.split(" / ")]
            return
        draft.teams.clear()
        self.found.questions.append(question)

    def _odd_ones(self, names: Sequence[str]) -> list[tuple[str, str]]:
        """Names seen once that are a slip away from one seen more often."""
        counts = Counter(name for draft in self.drafts for name in (*draft.subjects, *draft.teams))
        often = [name for name in names if counts[name] > 1]
        once = [name for name in names if counts[name] == 1]
        return people.near_misses(once, often) if often and len(once) < 20_000 else []

    def _mend_slips(self) -> None:
        """Put cards whose subset has a slip in its name where they belong, and say so."""
        for draft, other in list(stretches.slips(self.drafts)):
            grid = draft.account.grid
            self.found.repaired.append(
                Repaired(
                    file=grid.file,
                    sheet=grid.sheet,
                    row=draft.row.number,
                    was=draft.section,
                    now=other.section,
                )
            )
            self.sections.pop(draft.key, None)
            draft.section, draft.key = other.section, other.key

    def _part_astray(self) -> None:
        """Cards whose heading was missed are none of the subset above them: asked, and left out meanwhile.

        So are those above them, where no heading names their subset either.
        """
        bent: set[int] = set()
        for stretch in list(stretches.astray(self.drafts)):
            if not self._is_answered(stretch, "its number starts again under a subset of other numbers"):
                bent.add(id(stretch[0].account))
        unnamed: dict[tuple[int, str], list[Draft]] = {}
        for draft in self.drafts:
            is_left = id(draft) not in self.held and draft.key in self.guessed
            if is_left and id(draft.account) in bent:
                unnamed.setdefault((id(draft.account), draft.key), []).append(draft)
        for those in unnamed.values():
            self._is_answered(those, "no heading names its subset, and cards behind it are of others")
        self._drop_held()

    def _is_answered(self, drafts: Sequence[Draft], why: str) -> bool:
        """Whether somebody said which subset cards are of; they are asked about and held back where not."""
        question = self._whose(drafts)
        if answer := self.season.answer_to(question):
            for draft in drafts:
                draft.section, draft.key = answer, self._key(answer)
            self.sections.setdefault(self._key(answer), Section(answer))
            return True
        if question.id not in {one.id for one in self.found.questions}:
            self.found.questions.append(question)
        self._hold(drafts, why)
        return False

    def _hold_misread(self) -> None:
        """Hold back cards that speak against their own reading, and ask about them."""
        open_ones = {
            id(one) for one in self.found.accounts if self._may_name_subsets(one.grid)
        }  # their columns are asked about
        waiting = [one for one in self.drafts if one.key in self.guessed and id(one.account) in open_ones]
        self._hold(waiting, "a column that may name its subset is asked about")
        for draft in misread.odd_names(self.drafts):
            self._hold(
                [draft], f"a mark or a number stands where a name should: {' / '.join(draft.subjects)[:80]!r}"
            )
        self._drop_held()
        for doubt in list(misread.doubts(self.drafts, is_team=self.teams.knows, titles=self.titles)):
            question = doubt.question()
            if self.season.answer_to(question) != misread.AS_READ:
                self._hold(doubt.drafts, f"likely misread: {doubt.why[:1].lower()}{doubt.why[1:]}")
                self.found.questions.append(question)
        self._drop_held()

    def _may_name_subsets(self, grid: Grid) -> bool:
        """Whether a column that is left out, since it may be two things, may name the subsets."""
        layouts = self.found.layouts
        return layouts is not None and any(role == "subset" for *_, role in layouts.unsure(grid))

    def _hold(self, drafts: Sequence[Draft], why: str) -> None:
        """Leave cards out of the tables; they are dropped once all are known."""
        for draft in drafts:
            draft.account.aside(draft.row, why)
        self.held.update(map(id, drafts))

    def _drop_held(self) -> None:
        self.drafts = [draft for draft in self.drafts if id(draft) not in self.held]

    def _whose(self, stretch: Sequence[Draft]) -> Question:
        """Of which subset some cards are, that stand under another."""
        first, last = stretch[0], stretch[-1]
        cards = f"{first.number} to {last.number}"
        names = (*self.legend.kinds, *(section.name for section in self.sections.values()))
        return Question(
            file=first.account.grid.file,
            sheet=first.account.grid.sheet,
            row=first.row.number,
            what=f"Which subset are the cards {cards} of? They stand under {first.section!r}.",
            meanwhile="left out",
            topic="subset",
            about=cards,
            choices=tuple(dict.fromkeys(names)),
            cells=(f"{first.row.number}:{last.row.number}",),
            weight=4 * len(stretch),
        )

    # ------------------------------------------------------------ the tables
    def _finish(self, sheets: Sequence[Sheet]) -> None:
        self._mend_slips()
        labels.fold(self.drafts, self.sections)
        self._part_astray()
        self._leave_contents()
        self._hold_misread()
        self._kinds_of_first_cards()
        single_cards.tell(self.drafts, sheets, self.legend.rows)
        self._from_prose()
        explained = self._explained() | {text.key(name): said for name, said in self.legend.kinds.items()}
        for key, section in self.sections.items():
            if key in explained:
                section.blurbs.append(explained[key])
        stated = {key: _Stated.of(section) for key, section in self.sections.items()}
        self._from_elsewhere(stated)
        self._runs_in_prose(stated)
        self._from_sentences(stated)
        self._from_titles(stated)
        rookies = {
            person
            for draft in self.drafts
            for person, is_rookie in zip(self._persons(draft), draft.rookies, strict=False)
            if is_rookie
        }
        self.short_rookies = {
            short
            for draft in self.drafts
            for short, is_rookie in zip(self._short(draft), draft.rookies, strict=False)
            if is_rookie and short[2]
        }
        names = self._subset_names()
        base = self._base_keys(stated)
        self._ask_kinds(stated, base, names)
        base_cards = {
            (draft.number, tuple(map(self._key, draft.subjects)))
            for draft in self.drafts
            if draft.key in base
        }
        seen: dict[tuple[str, str, tuple[str, ...]], Draft] = {}
        for draft in self.drafts:
            key = draft.key
            for rung in draft.rungs:
                self.rungs.setdefault(key, {}).setdefault(text.key(rung.name), []).append(rung)
            same = (key, self._key(draft.number), tuple(map(self._key, draft.subjects)))
            if same in seen:
                self._again(draft, seen[same])
                continue
            seen[same] = draft
            said = stated[key]
            self.found.files.append(draft.account.grid.file)
            self.found.cards.append(self._card(draft, names[key], said, base, base_cards, rookies))
        self._parallels(names)
        self._counts(names, stated)
        self.found.teams = self.team_names.names()

    def _by_subset(self) -> dict[str, list[Draft]]:
        """The cards read, under the key of their subset, in the order of the file."""
        named: dict[str, list[Draft]] = {}
        for draft in self.drafts:
            named.setdefault(draft.key, []).append(draft)
        return named

    def _kinds_of_first_cards(self) -> None:
        """What stands beside the first card of each subset and beside no other is said of all its cards."""
        named = self._by_subset()
        first = [
            drafts
            for drafts in named.values()
            if len(drafts) > _PAIR and _tells(drafts[0]) and not any(map(_tells, drafts[1:]))
        ]
        if len(first) < _PAIR or len(first) + 1 < len(named):
            return
        for drafts in first:
            told = drafts[0]
            for draft in drafts[1:]:
                draft.said = told.said
                draft.is_signed, draft.signed = told.is_signed, told.signed
                draft.has_relic, draft.relic = told.has_relic, told.relic

    def _leave_contents(self) -> None:
        """Set aside a table of contents: its names are those of the other subsets."""
        for key, drafts in self._by_subset().items():
            others = self.sections.keys() - {key}
            hit = sum(any(self._key(name) in others for name in draft.subjects) for draft in drafts)
            if hit > _PAIR and hit * 2 > len(drafts):
                for draft in drafts:
                    draft.account.aside(draft.row, "a line of a table of contents")
                self.drafts = [draft for draft in self.drafts if draft.key != key]
                del self.sections[key]
                return

    def _from_elsewhere(self, stated: dict[str, _Stated]) -> None:
        """What other documents say the material of the one subset with material is from."""
        relics = [key for key, said in stated.items() if said.has_relic]
        if len(relics) != 1 or stated[relics[0]].relic:
            return
        lines = (*(row.text for row in self.legend.rows), *self.legend.prose.split("\n"))
        told = {name for line in lines for name in _worn_in(line)}
        if len(told) == 1:
            stated[relics[0]] = replace(stated[relics[0]], relic=told.pop())

    def _runs_in_prose(self, stated: dict[str, _Stated]) -> None:
        """The print runs that sentences of other documents state of whole subsets."""
        numbered = {draft.key for draft in self.drafts if draft.print_run is not None}
        open_ones = {
            words.smart_case(section.name): key
            for key, section in self.sections.items()
            if key not in numbered and stated[key].print_run is None and not stated[key].is_base
        }
        prose = " ".join(row.text for row in self.legend.rows)
        for name, run in prose_runs.stated(prose, open_ones).items():
            stated[open_ones[name]] = replace(stated[open_ones[name]], print_run=run)

    def _ask_kinds(self, stated: Mapping[str, _Stated], base: set[str], names: Mapping[str, str]) -> None:
        """Ask what the cards of subsets are of which nothing says it."""
        waiting: dict[str, list[Draft]] = {}
        told = set(base)
        for draft in self.drafts:
            said = stated[draft.key]
            if draft.said.says or draft.is_signed or draft.has_relic or draft.variation:
                told.add(draft.key)
            elif not (said.is_told or said.is_signed or said.has_relic or said.variation):
                waiting.setdefault(draft.key, []).append(draft)
        waiting = {
            key: drafts
            for key, drafts in waiting.items()
            if key not in told and not kinds.read(f"{names[key]} ; {self.sections[key].group}").says
        }
        self.answered, asked = asked_kinds.settled(self.season, waiting, names, self.titles)
        self.found.questions += asked
        base |= {key for key, kind in self.answered.items() if kind == "base"}

    def _persons(self, draft: Draft) -> list[tuple[str, str]]:
        """The persons of a card, told apart by their teams where names are short: 'A. Quill' of two teams."""
        teams = draft.teams if len(draft.teams) == len(draft.subjects) else [""] * len(draft.subjects)
        return [
            (self._key(name), self._key(team) if _INITIAL.match(name) else "")
            for name, team in zip(draft.subjects, teams, strict=True)
        ]

    def _short(self, draft: Draft) -> list[tuple[str, str, str]]:
        """The persons of a card by first letter, surname and team: 'Ada Quill' and 'A. Quill' are one."""
        teams = draft.teams if len(draft.teams) == len(draft.subjects) else [""] * len(draft.subjects)
        return [
            (name[:1].casefold(), self._key(name.split(" ", 1)[-1]), self._key(team))
            for name, team in zip(draft.subjects, teams, strict=True)
        ]

    def _from_titles(self, stated: dict[str, _Stated]) -> None:
        """What sellers call the cards of a subset of which nothing else is said: autographs, relics."""
        told = {draft.key for draft in self.drafts if draft.said.says or draft.is_signed or draft.has_relic}
        if len(self.sections) * len(self.titles) > _MOST:
            return
        for key, said in stated.items():
            name = words.fold(self.sections[key].name)
            if key in told or said.is_told or said.variation or words.BASE_NAME.match(name) or len(name) < 4:
                continue
            titles = [one for one in self.titles if f" {name} " in f" {words.fold(one)} "]
            rest = [words.fold(one).replace(name, " ") for one in titles]
            signed = sum(words.SIGNED_WORDS.search(one) is not None for one in rest)
            relics = sum(words.RELIC_WORDS.search(one) is not None for one in rest)
            if len(titles) > 1:
                stated[key] = replace(
                    said,
                    is_signed=said.is_signed or signed * 5 >= 2 * len(titles),
                    has_relic=said.has_relic or relics * 5 >= 2 * len(titles),
                )

    def _explained(self) -> dict[str, str]:
        """What a table beside the cards says of subsets, a row each: what they are, how many were made."""
        rows = [
            row for row in self.legend.rows if row.filled[1:] and text.key(row.filled[0]) in self.sections
        ]
        versions = {row.filled[0] for row in rows if words.fold(row.filled[1]) in words.BASE_VERSION}
        names = [text.key(row.filled[0]) for row in rows]
        if len(versions) > 1 or len(set(names)) < len(names):  # lines of odds: 'Harbour Ink | Regular | 30'
            return {}
        told = {text.key(row.filled[0]): numerals.digits("; ".join(row.filled[1:])) for row in rows}
        return told if len(told) > 1 else {}

    def _from_prose(self) -> None:
        """What other documents say of subsets in sentences: 'Harbour Ink: 20 autographs, signed on card.'"""
        if len(self.sections) * len(self.prose) > 100 * _MOST:
            return
        for section in self.sections.values():
            if len(section.name) < 4:
                continue
            said = re.search(
                rf"(?<!\w){re.escape(section.name)}(?:\s*:\s*|\s+(?:are|is)\s+)(?P<said>[^.:;|]{{3,160}}?)\s*(?:\.|\n|\Z)",
                self.prose,
                re.IGNORECASE,
            )
            if said and kinds.are_kinds(_uncounted(said["said"])):
                section.blurbs.append(_uncounted(said["said"]))

    def _from_sentences(self, stated: dict[str, _Stated]) -> None:
        """What sentences of other documents call the cards of a subset, where all that speak of it agree."""
        told = {draft.key for draft in self.drafts if draft.said.says or draft.is_signed or draft.has_relic}
        numbered = {draft.key for draft in self.drafts if draft.print_run is not None}
        lines = [row.text for row in self.legend.rows]
        names = {key: section.name for key, section in self.sections.items()}
        for key, said in spoken.told(self.prose, lines, names).items():
            before, kind = stated[key], said.kind
            if key not in told and not (before.is_told or before.is_base):
                stated[key] = before = replace(
                    before,
                    is_told=kind.is_insert,
                    is_signed=before.is_signed or kind.is_signed,
                    has_relic=before.has_relic or kind.has_relic,
                    signed=before.signed or kind.signed,
                    relic=before.relic or kind.relic,
                )
            if key not in numbered and before.print_run is None and len(said.runs) == 1:
                stated[key] = replace(before, print_run=next(iter(said.runs)))

    def _again(self, draft: Draft, first: Draft) -> None:
        if draft.rungs or first.rungs:
            draft.account.take(draft.row, "parallel of a card")
            return
        draft.account.aside(draft.row, f"the same card stands in row {first.row.number} of the list already")

    def _card(
        self,
        draft: Draft,
        subset: str,
        said: _Stated,
        base: set[str],
        base_cards: set[tuple[str, tuple[str, ...]]],
        rookies: set[tuple[str, str]],
    ) -> Card:
        is_told = draft.said.says
        answer = self.answered.get(draft.key)
        is_signed = draft.is_signed or (draft.said.is_signed if is_told else said.is_signed)
        has_relic = draft.has_relic or (draft.said.has_relic if is_told else said.has_relic)
        is_signed, has_relic = (
            is_signed or "autograph" in (answer or ""),
            has_relic or "relic" in (answer or ""),
        )
        is_base = draft.key in base
        variation = draft.variation or said.variation or draft.said.variation
        shares = (draft.number, tuple(map(self._key, draft.subjects))) in base_cards
        if is_signed and has_relic:
            kind = "autograph relic"
        elif is_signed:
            kind = "autograph"
        elif has_relic:
            kind = "relic"
        elif is_base or draft.said.is_base or (variation and (said.same_numbers or shares)):
            kind = "base"
        else:
            kind = "" if answer == "" else "insert"
        run = None if draft.is_parallel else draft.print_run
        return Card(
            subset=subset,
            kind=kind,
            number=draft.number,
            subjects=tuple(draft.subjects),
            teams=tuple(draft.teams),
            rookie=all(map(rookies.__contains__, self._persons(draft)))
            or all(map(self.short_rookies.__contains__, self._short(draft))),
            print_run=run if run is not None else said.print_run,
            signed=(draft.signed or draft.said.signed or ("sticker" if draft.sticker else said.signed))
            if is_signed
            else "",
            relic=(draft.relic or draft.said.relic or said.relic) if has_relic else "",
            variation=variation,
            redemption=draft.redemption,
            note=draft.note if is_signed else "; ".join(filter(None, (draft.note, draft.sticker))),
            row=draft.row.number,
        )

    def _subset_names(self) -> dict[str, str]:
        """Subsets' names as shown: those in capitals become titles, unless a file writes them otherwise."""
        return {key: words.smart_case(section.name) for key, section in self.sections.items()}

    def _base_keys(self, stated: dict[str, _Stated]) -> set[str]:
        """The subsets that are the base set: by name, or numbered on from it, or the only plain one."""
        numbered: dict[str, list[str]] = {}
        for draft in self.drafts:
            numbered.setdefault(draft.key, []).append(draft.number)
        inserts = {draft.key for draft in self.drafts if draft.said.is_insert}
        plain = {
            key: [int(number) for number in numbers]
            for key, numbers in numbered.items()
            if key not in inserts
            and not (stated[key].is_signed or stated[key].has_relic)
            and all(map(str.isdecimal, numbers))
        }
        called = _BASE_CALLED.search(self.prose)
        name = text.key(called["name"]) if called else ""
        base = {key for key in self.sections if name and key == name} or {
            key
            for key, section in self.sections.items()
            if words.BASE_NAME.match(words.fold(section.name))
            and not (stated[key].is_signed or stated[key].has_relic)
        }
        base = base or {key for key in self.sections if stated[key].is_base}
        base = base or self._plainest(stated) - inserts
        top = max((max(plain[key]) for key in base if key in plain), default=None)
        grown = True
        while top is not None and grown:
            grown = False
            for key, numbers in plain.items():
                name = self.sections[key].name
                is_part = headings.is_usual_section(name) or "base" in words.fold(name).split()
                if key not in base and is_part and min(numbers) == top + 1 and not stated[key].variation:
                    base.add(key)
                    top = max(numbers)
                    grown = True
        return base

    def _plainest(self, stated: dict[str, _Stated]) -> set[str]:
        """The subset without a kind of its own that is by far the largest, or the only one."""
        sizes = Counter(draft.key for draft in self.drafts)
        lettered = {draft.key for draft in self.drafts if not draft.number.isdecimal()}
        plain = [
            (size, key)
            for key, size in sizes.items()
            if not (stated[key].is_signed or stated[key].has_relic or stated[key].variation)
            and (size >= _PLAINLY or key not in lettered)
        ]
        plain.sort(reverse=True)
        if plain and (len(plain) == 1 or plain[0][0] >= 1.5 * plain[1][0]):
            return {plain[0][1]}
        return set()

    def _parallels(self, names: dict[str, str]) -> None:
        for key, section in self.sections.items():
            told: dict[str, list[Rung]] = {}
            for rung in _listed(section.blurbs, self.formats):
                told.setdefault(text.key(rung.name), []).append(rung)
            for name, rungs in self.rungs.get(key, {}).items():
                told.setdefault(name, []).extend(rungs)
            for rungs in told.values():
                runs = [rung.print_run for rung in rungs if rung.print_run is not None]
                run = max(dict.fromkeys(runs), key=runs.count) if runs else None
                if others := sorted({one for one in runs if one != run}):
                    self.found.notes.append(
                        f"{names[key]} {rungs[0].name}: most cards are numbered to {run}, some to"
                        f" {text.listed([str(one) for one in others])}; the table holds one run, {run}"
                    )
                formats = tuple(dict.fromkeys(one for rung in rungs for one in rung.formats))
                self.found.parallels.append(
                    Parallel(subset=names[key], parallel=rungs[0].name, print_run=run, formats=formats, row=0)
                )

    def _counts(self, names: dict[str, str], stated: dict[str, _Stated]) -> None:
        """Cards that the list should have and that were not read are said: by its count, or by a gap."""
        numbers: dict[str, list[str]] = {}
        for card in self.found.cards:
            numbers.setdefault(self._key(card.subset), []).append(card.number)
        accounts: dict[str, Account] = {}
        for draft in self.drafts:
            accounts.setdefault(draft.key, draft.account)
        for key, account in accounts.items():  # a subset that is held back is asked about
            what = numbering.told(names[key], numbers.get(self._key(names[key]), []), stated[key].cards)
            if what:
                account.remark(
                    None,
                    "count-differs",
                    what,
                    "compare the rows set aside and the problems with the maker's list",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stated:
    """What a subset's heading, blurbs and group say of all its cards."""

    is_told: bool
    is_signed: bool
    has_relic: bool
    signed: str
    relic: str
    variation: bool
    same_numbers: bool
    print_run: int | None
    cards: int | None
    is_base: bool = False

    @classmethod
    def of(cls, section: Section) -> _Stated:
        """Read a section's words; its list of parallels says nothing of the base version."""
        blurbs = [blurb for blurb in section.blurbs if not words.listed_parallels(blurb)]
        told = " ; ".join(_without_parallels(section.blurbs))
        whole = f"{section.name} ; {told} ; {section.group}"
        says = kinds.read(
            " ; ".join(blurb for blurb in blurbs if kinds.are_kinds(blurb) or _LED_BY_KIND.match(blurb))
        )
        is_said = says.is_base or says.is_insert  # what is said goes before what a name sounds like
        says_signed = not is_said and words.SIGNED_WORDS.search(whole) is not None
        says_relic = not is_said and words.RELIC_WORDS.search(whole) is not None
        not_numbered = re.search(r"\bunnumbered\b|\bnot (?:serial[\s-]*)?numbered\b", told, re.IGNORECASE)
        cards = next((int(m[1]) for blurb in blurbs if (m := words.CARDS_COUNT.search(blurb))), None)
        signed = kinds.how_signed(told)
        relic = next((name for name, pattern in words.WORN if pattern.search(whole)), "")
        run_words = " ; ".join(
            b for b in _without_parallels(section.blurbs) if not words.SAME_NUMBERS.search(b)
        )
        return cls(
            is_told=says.says,
            is_signed=says_signed,
            has_relic=says_relic,
            signed=signed,
            relic=relic,
            variation=words.VARIATION.search(f"{section.name} ; {told}") is not None
            or words.SAME_NUMBERS.search(told) is not None,
            same_numbers=words.SAME_NUMBERS.search(told) is not None,
            print_run=None if not_numbered or "or less" in told.lower() else words.run_in(run_words),
            cards=cards,
            is_base=says.is_base or any(_BASE_SAID.match(blurb) for blurb in blurbs),
        )


def _tells(draft: Draft) -> bool:
    """Whether a card's own row says what kind it is."""
    return draft.said.says or draft.is_signed or draft.has_relic or kinds.are_kinds(draft.note)


def _worn_in(line: str) -> set[str]:
    """What a line says material is from; a line that asks or tells of another year says nothing."""
    if "?" in line or _OTHER_YEAR.search(line):
        return set()
    return {name for name, pattern in words.WORN if pattern.search(line)}


def _without_parallels(blurbs: Sequence[str]) -> list[str]:
    kept, in_list = [], False
    for blurb in blurbs:
        if ladder.in_brackets(blurb) or _BRACKETED_ODDS.match(blurb):
            continue
        if found := words.listed_parallels(blurb):
            in_list = not found["rest"].strip()
            continue
        if in_list and ladder.read_one(blurb) is not None and not words.CARDS_COUNT.search(blurb):
            continue
        in_list = False
        kept.append(re.split(r"(?i)\bparallels?\s*[:–—-]", blurb)[0])
    return kept


def _listed(blurbs: Sequence[str], formats: Sequence[str]) -> list[Rung]:
    """The parallels that a section's blurbs list, in a line or one a line."""
    found: list[Rung] = []
    in_list = False
    for blurb in blurbs:
        if listed := ladder.in_brackets(blurb):
            found += ladder.read_list(listed, formats)
        elif match := words.listed_parallels(blurb):
            rest = match["rest"].strip()
            found += ladder.read_list(rest, formats)
            in_list = not rest
        elif in_list and not words.CARDS_COUNT.search(blurb):
            found += ladder.read_list(blurb, formats)
        elif len(parts := re.split(r"(?i)\bparallels?\s*[:–—-]\s*", blurb, maxsplit=1)) == 2:
            found += ladder.read_list(parts[1], formats)
    none = {"none", "no parallels", "n/a"}
    return [rung for rung in found if text.key(rung.name) not in none]


def _filled_down(lines: Sequence[Line], column: str = "subset") -> dict[int, str]:
    """Names for rows below the one that carries them: under a merged cell, or where most are blank."""
    filled: dict[int, str] = {}
    blank = [line for line in lines if line.header.has(column) and not line.get(column)]
    if not blank:
        return filled
    is_grouped = len(blank) * 2 > len(lines)
    current = ""
    spans = {
        row
        for first, place, last, _ in (lines[0].grid.spans if lines[0].grid else ())
        for row in range(first + 1, last + 1)
        if any(line.header.named.get(place) == column for line in lines[:1])
    }
    for line in lines:
        current = line.get(column) or current
        if current and (is_grouped or line.row.number in spans):
            filled[line.row.number] = current
    return filled


def _paired(lines: Sequence[Line], teamed: name_cells.Parting) -> set[str]:
    """The numbers that stand twice, right below each other, with somebody else: two people on a card.

    Only where others of the same prefix do so as well.
    """
    found: dict[str, str] = {}
    prefixes: Counter[str] = Counter()
    for above, below in pairwise(lines):
        number = above.get("number")
        if not number or number != below.get("number") or below.row.number > above.row.number + 2:
            continue
        names = [
            (teamed.read(line.get("subject")).names, line.get("first"), line.get("last"))
            for line in (above, below)
        ]
        if names[0] != names[1]:
            bare = _bare(number)
            found[bare] = re.split(r"[-–\d]", bare)[0]
            prefixes[found[bare]] += 1
    return {number for number, prefix in found.items() if prefixes[prefix] > 1}


def _bare(number: str) -> str:
    """A card's number without what marks it as one: '#12*' is '12'."""
    if not (number.isdecimal() and number.isascii()):
        number = _BEFORE_NUMBER.sub("", number).strip(" *†‡§^°")
    return number


def _are_scattered(lines: Sequence[Line], place: int) -> bool:
    """Whether a column marks some cards of a subset and others not, as no parallel does."""
    groups: dict[str, list[bool]] = {}
    subset = ""
    for line in lines:
        subset = line.get("subset") or subset
        group = f"{subset} {re.split(r'[-–0-9]', line.get('number'))[0]}"
        groups.setdefault(group, []).append(bool(line.row.cell(place)))
    return any(0 < sum(marked) < 0.8 * len(marked) for marked in groups.values())


def _uncounted(said: str) -> str:
    """Words on cards without how many there are: '20 autograph cards, signed on card'."""
    return re.sub(r"^\s*\d{1,4}\s+", "", said)


def _whole(first: str, last: str) -> str:
    """A forename and a surname as one; a mark behind the forename goes to the end."""
    bare, is_rookie, star = people.unmarked(first)
    return text.tidy(f"{bare} {last}{star}{' (RC)' if is_rookie else ''}")


def _header_of(header: Header, name: str = "subject") -> str:
    if header.row is None:
        return ""
    return next((header.row.cell(place) for place, one in header.named.items() if one == name), "")


def _signed_cell(cell: str) -> tuple[str, bool]:
    if not cell or words.is_no(cell):
        return "", False
    if words.ON_STICKER.search(cell):
        return "sticker", True
    if words.ON_CARD.search(cell) or words.fold(cell) in words.SIGNED_CELLS:
        return "card", True
    return "", True


def _relic_cell(cell: str) -> tuple[str, bool]:
    if not cell or words.is_no(cell):
        return "", False
    return next((name for name, pattern in words.WORN if pattern.search(cell)), ""), True


def _is_redemption(remark: str) -> bool:
    return re.match(r"(?:issued|an?\b|redem|redeem|exch|voucher)", remark, re.IGNORECASE) is not None
