"""Hosts' lists of what slots of breaks cost: a slot a row, days or formats across, or lines of text.

A random break is one row with a blank slot, however its places were numbered or drawn: its price is one
number, and which team was drawn says nothing of what a team costs. A list without a day is of the day it was
first taken in, and intake asks: such lists are what is asked now, and the same file taken in again changes
nothing.
"""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import PurePath
from typing import Any

from rating import text
from rating.release.intake import days, ladder, slot_columns, slot_layout, slot_words, titles, words
from rating.release.intake.account import Account
from rating.release.intake.market import cells
from rating.release.intake.market.strokes import parted_again
from rating.release.intake.slot_words import SlotNames
from rating.release.intake.values import Grid, Question, ReleaseWords, Row, SeasonWords
from rating.release.market import SlotPrice

_COUNTS = {"half": "0.5", "full": "1", "one": "1", "two": "2", "three": "3", "four": "4"}
_CASES = re.compile(
    r"\b(\d{1,3}(?:[.,]\d)?|half|full|one|two|three|four)[\s-]+(?:an?\s+)?(?:(?!box)[a-z]+[\s-]+)?cases?\b",
    re.IGNORECASE,
)
_BOXES = re.compile(r"\b(\d{1,3})[\s-]*box(?:es)?\b(?!\s*(?:per|in|/))", re.IGNORECASE)
_CASE_OF = re.compile(
    r"\b(?:\d{1,3}(?:[.,]\d)?|[Hh]alf an?|[Oo]ne|[Aa])\s+"
    r"(?:(?P<before>[^\W\d_]+(?: [^\W\d_]+)?)\s+[Cc]ases?\b"
    r"|[Cc]ases?(?:\s+of)?\s+(?P<after>[A-Z][^\W\d_]+(?: [A-Z][^\W\d_]+)?))(?=\s*(?:[,;.|(:–—-]|\Z))"
)
_NUMBERED = re.compile(r"(?:spot|slot|number|no\.?|nr\.?)?\s*#?\s*\d{1,3}", re.IGNORECASE)


_WORD = re.compile(r"[^\W\d_][\w'’&.-]*")
_UNIT = re.compile(r"(?:^|[\s-]+)(?:box(?:es)?|packs?|cases?|format|edition)\Z", re.IGNORECASE)
_NO_FORMAT = re.compile(
    r"(?:breaks?|cases?|pyt|pick|your|random\w*|auctions?|fixed|half|live|teams?|slots?|spots?"
    r"|prices?|mixer|group|division|list|sold|draft|on|from|for|of|the|an?|and|with|hits?|sales?|results?)[.,:]?",
    re.IGNORECASE,
)


class _WrongError(Exception):
    """A row that cannot be used, with the code, what is wrong and how to mend it."""

    def __init__(self, code: str, what: str, fix: str) -> None:
        super().__init__(what)
        self.code, self.what, self.fix = code, what, fix


@dataclass(frozen=True, slots=True)
class _Said:
    """What holds for a slot: told by its row, its column, the title above, the sheet's name or the file's."""

    day: str = ""
    format: str = ""
    how: str = ""
    cases: Decimal | None = None
    round: str = ""
    why_not: str = ""


@dataclass(slots=True)
class _Entry:
    row: Row
    slot: str
    price: str
    currency: str
    said: _Said


@dataclass(slots=True)
class Found:
    """The slot prices of the lists, with the account of each sheet and what is to be asked."""

    slots: list[SlotPrice] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    today: date,
    release: ReleaseWords | None = None,
    teams: Sequence[str] = (),
    taken_on: Mapping[str, date] | None = None,
) -> Found:
    """The prices of slots on hosts' lists.

    Parameters
    ----------
    teams : the checklist's teams, for a season that names none yet
    taken_on : the day on which each file was taken in first, which is the day of prices without one
    """
    reader = _Reader(season, today, release or ReleaseWords(), teams, taken_on or {})
    for grid in grids:
        reader.sheet(grid)
    return reader.found


class _Reader:
    def __init__(
        self,
        season: SeasonWords,
        today: date,
        release: ReleaseWords,
        teams: Sequence[str],
        taken_on: Mapping[str, date],
    ) -> None:
        self.season, self.today, self.release, self.taken_on = season, today, release, taken_on
        self.names = SlotNames(season, teams)
        self.layout = slot_layout.Layout(season, self.names, today)
        self.keys = {one.key: one.name for one in release.formats}
        self.own = {
            word
            for name in (release.line or release.title, release.line and release.title)
            for word in titles.name_words(name)
            if not word.isdigit() and word not in {"the", "of", "and"}
        }
        self.found = Found()
        self.file = ""

    # ------------------------------------------------------------ a sheet
    def sheet(self, grid: Grid) -> None:
        grid = parted_again(grid)
        self.grid, self.account = grid, Account(grid, "list of slot prices")
        self.found.accounts.append(self.account)
        if grid.file != self.file:
            self.file = grid.file
            self.seen: dict[tuple[object, ...], list[tuple[Decimal, tuple[str, str], int]]] = {}
        self.said = _Said()
        self._hear(re.sub(r"[_.]+", " ", PurePath(grid.file).stem))
        if self.said.how == "draft":
            self.said = _Said()  # of the list, not of the break
        self._hear(grid.sheet)
        self.header: slot_layout.Header | None = None
        self.layout.kinds.look(grid.rows)
        self.entries: list[_Entry] = []
        self.asked: set[str] = set()
        self.last: dict[str, str] = {}
        self.late = 0
        headers = {
            row.number: one
            for place, row in enumerate(grid.rows)
            if (one := self.layout.header(row, grid.rows[place + 1 : place + 61]))
        }
        if not headers:
            self.header = self.layout.headless(grid.rows)
        self.spanned = {
            (row, column)
            for first, column, last, _ in grid.spans
            for row in range(first + 1, min(last, first + 500) + 1)
        }
        for row in grid.rows:
            if row.number in headers:
                self.header, self.last = headers[row.number], {}
                self.account.take(row, "header")
            elif self._is_sum(row):
                self.account.aside(row, "a line of sums or costs, not of a slot")
            elif not headers and not self._is_under(row):
                self._line(row)
            elif self.header is None:
                self._title(row)
            else:
                self._listed(row, self.header)
        shown = days.order_of(entry.said.day for entry in self.entries)
        usual = self.season.date_order if self.season.date_order != "year first" else ""
        self.order = shown or usual
        self.currency = self._usual_currency()
        for _, entries in itertools.groupby(self.entries, key=lambda entry: entry.row.number):
            self._settle(list(entries))
        if self.late:
            what = f"{text.count(self.late, 'slot price')} of days after today, {self.today}"
            self.account.remark(None, "late-date", what, "see to the dates, or to the clock")

    def _is_under(self, row: Row) -> bool:
        """Whether a row of a list without headings has a slot and a price in their columns."""
        if self.header is None:
            return False
        return any(
            cells.is_marked(row.cell(price)) and any(row.cell(place) for place in places)
            for places, price in self.header.blocks
        )

    def _is_sum(self, row: Row) -> bool:
        place = self.header.slots[0] if self.header and self.header.slots else 0
        return any(
            slot_words.NO_SLOT.match(cell) and not self.names.teams(slot_words.bare_slot(cell))
            for cell in (row.filled[0], row.cell(place))
        )

    def _usual_currency(self) -> str:
        own = self.season.currency
        seen = Counter(code for entry in self.entries if (code := self._currency(entry)))
        usual = seen.most_common(1)[0][0] if seen else own
        if usual != own and own:
            self.found.notes.append(f"{self.grid.file}: prices are in {usual}, the season counts in {own}")
        return usual

    def _currency(self, entry: _Entry) -> str:
        """The currency that the price's own mark names, else its column's."""
        marks = (days.currency_in(cell, self.season.currency) for cell in (entry.price, entry.currency))
        return next(filter(None, marks), "")

    # ------------------------------------------------------------ what is said around the slots
    def _hear(self, line: str) -> bool:
        """Keep what a title says for the slots below it; whether it said something."""
        told = self._in(line)
        self.said = replace(self.said, **told)
        return bool(told)

    def _in(self, line: str) -> dict[str, Any]:
        found: dict[str, Any] = {}
        if days.read_day(line, self.today) is not None:
            found["day"] = line
        if key := self._after_line(line) or self._format_in(line) or self._beside_cases(line):
            found["format"] = key
        if how := slot_words.how_in(line):
            found["how"] = how
        if cases := self._cases_in(line, found.get("format", self.said.format)):
            found["cases"] = cases
        own = titles.name_words(self.release.line)
        if others := self._other_lines(line):
            found["why_not"] = f"a break of another product: {text.listed(others)}"
        elif own and f" {' '.join(own)} " in f" {' '.join(titles.name_words(line))} ":
            found["why_not"] = ""
        return found

    def _other_lines(self, line: str) -> list[str]:
        """The season's other releases that a text names; a name that holds this one's goes before it."""
        bare = f" {' '.join(titles.name_words(line))} "
        own = f" {' '.join(titles.name_words(self.release.line))} "
        others = {one: f" {' '.join(titles.name_words(one))} " for one in self.season.other_lines}
        return [one for one, name in others.items() if name in bare and not (own in bare and name in own)]

    def _after_line(self, line: str) -> str:
        """The format that stands right behind the release's name: '2034 Sundial Premier, 1 case'."""
        words_in = list(_WORD.finditer(line))
        own = [place for place, word in enumerate(words_in) if self._is_own(word[0])]
        named: list[str] = []
        for place in range(own[-1] + 1 if own else len(words_in), len(words_in)):
            word, before = words_in[place], words_in[place - 1]
            is_next = not line[before.end() : word.start()].strip()
            if not is_next or not word[0][0].isupper() or _NO_FORMAT.fullmatch(word[0]):
                break
            named.append(word[0])
        name = " ".join(named)
        return self._key_of(name) if len(named) < 4 and _UNIT.sub("", name).strip() else ""

    def _beside_cases(self, line: str) -> str:
        """The format that stands beside the number of cases: '1 case Velvet', '2 Velvet cases'."""
        if found := _CASE_OF.search(line):
            name = found["before"] or found["after"] or ""
            words_in = name.split()
            if words_in and not any(_NO_FORMAT.fullmatch(word) or self._is_own(word) for word in words_in):
                return self._key_of(name)
        return ""

    def _is_own(self, word: str) -> bool:
        return any(part in self.own for part in titles.name_words(word))

    def _key_of(self, name: str) -> str:
        """The key of a format that is called so, else a new one."""
        for key, told in self.keys.items():
            if _bare(name) in {_bare(key), _bare(told)}:
                return key
        return text.slug_of(_bare(name))

    def _format_in(self, line: str) -> str:
        bare = _bare(line)
        for key, name in self.keys.items():
            if bare and bare in {_bare(key), _bare(name)}:
                return key
        known = {*self.keys, *slot_layout.FORMATS}
        others = " ".join(word[0] for word in _WORD.finditer(line) if not self._is_own(word[0]))
        keys = [one for one in ladder.formats_in(others, list(self.keys)) if one in known]
        return keys[0] if len(keys) == 1 else ""

    def _cases_in(self, line: str, form: object) -> Decimal | None:
        if found := _CASES.search(line):
            number = Decimal(_COUNTS.get(found[1].lower(), found[1]).replace(",", "."))
            return number if number > 0 else None
        boxes = next(
            (
                one.boxes_per_case
                for one in self.release.formats
                if one.key == (form or self.release.headline)
            ),
            None,
        )
        if (found := _BOXES.search(line)) and boxes:
            share = Decimal(found[1]) / boxes
            return share if share > 0 and share == share.quantize(Decimal("0.0001")) else None
        return Decimal(1) if re.search(r"\bcase break\b", line, re.IGNORECASE) else None

    def _title(self, row: Row) -> None:
        if self._hear(row.text) or not self.entries:
            self.account.take(row, "title")
        else:
            self.account.aside(row, "a line of text")

    # ------------------------------------------------------------ rows
    def _line(self, row: Row) -> None:
        """A row without columns: a slot, its price, and what is said beside them."""
        line = slot_layout.joined(row)
        parts = slot_words.parted(line)
        if parts is None:
            if self.names.teams(slot_words.bare_slot(line.split(" | ")[0])):
                self.account.aside(row, "no price stands beside the slot")
            else:
                self._title(row)
            return
        before, price, after = parts
        around = [part for part in f"{before} | {after}".split(" | ") if part.strip()]
        name = slot_layout.team_in(self.names, " | ".join(around))
        how = slot_words.how_in(before)
        if not name and how != "random":
            name = slot_words.bare_slot(before) or slot_words.bare_slot(after)
            is_text = slot_words.BREAK.search(line) or re.search(r"\d", name) or len(name.split()) > 6
            if not name or is_text or not slot_words.is_marked(price):
                self._title(row)  # 'Pick your team, from $30'
                return
        said = replace(
            self.said, **self._in(" | ".join(one for one in around if slot_words.bare_slot(one) != name))
        )
        self.entries.append(_Entry(row, "" if how == "random" else name, price, "", said))

    def _listed(self, row: Row, header: slot_layout.Header) -> None:
        """A row below a header."""
        get = {name: self._cell(row, name, place) for name, place in header.named.items()}
        said = self._row_said(get, header)
        if len(row.filled) == 1 and not any(
            row.cell(p) and re.search(r"\d", row.cell(p)) for _, p in header.blocks
        ):
            name = slot_words.bare_slot(row.filled[0])
            if self.names.teams(name):
                self.account.aside(row, "no price stands beside the slot")
            else:
                self._title(row)
            return
        found = []
        currency = get.get("currency", "") or header.currency
        for places, price in header.blocks:
            if row.cell(price) or any(row.cell(place) for place in places):
                found.append(_Entry(row, self._slot_cell(row, places), row.cell(price), currency, said))
        for place, (kind, value) in header.across.items():
            if row.cell(place):
                slot = value if kind == "slot" else self._slot_cell(row, header.slots)
                own = said if kind == "slot" else replace(said, **self._of_column(kind, value))
                found.append(_Entry(row, slot, row.cell(place), currency, own))
        if found:
            self.entries += found
        else:
            self.account.aside(row, "no price stands beside the slot")

    def _of_column(self, kind: str, value: str) -> dict[str, Any]:
        return {kind: self._format_in(value) or text.slug_of(value) if kind == "format" else value}

    def _slot_cell(self, row: Row, places: Sequence[int]) -> str:
        cells = [self._cell(row, f"slot {place}", place) for place in places]
        return " + ".join(cell for cell in cells if cell)

    def _cell(self, row: Row, name: str, place: int) -> str:
        """A cell; a blank one under a merged cell, a day, a format or a break is that of the row above."""
        cell = row.cell(place)
        goes_on = name in {"date", "format", "break"} or (row.number, place) in self.spanned
        if not cell and goes_on:
            return self.last.get(name, "")
        self.last[name] = cell
        return cell

    def _row_said(self, get: Mapping[str, str], header: slot_layout.Header) -> _Said:
        said = replace(self.said, how=self.said.how or header.how, round=get.get("break", ""))
        if label := get.get("label", ""):
            said = replace(said, **{"round": label, **self._in(label)})
        if day := get.get("date", ""):
            said = replace(said, day=day)
        if product := get.get("format", ""):
            key = self._format_in(product)
            speaks = self._in(product)
            is_name = "why_not" not in speaks and (self.keys or len(product.split()) < 3)
            key = key or (text.slug_of(product) if is_name else "")
            said = replace(said, **{**speaks, "format": key or said.format})
        if how := get.get("how", ""):
            said = replace(said, how=slot_words.how_in(how))
        if cases := get.get("cases", ""):
            plain = re.fullmatch(r"\d{1,3}(?:[.,]\d{1,2})?", cases)
            number = Decimal(cases.replace(",", ".")) if plain else self._cases_in(cases, said.format)
            said = replace(said, cases=number or None)
        if slot_words.CANCELLED.search(get.get("status", "")):
            said = replace(said, why_not="the break or the slot was cancelled")
        return said

    # ------------------------------------------------------------ a row's fate
    def _settle(self, entries: Sequence[_Entry]) -> None:
        row = entries[0].row
        whys, wrong, taken = [], False, False
        for entry in entries:
            try:
                why = self._taken(entry)
            except _WrongError as fault:
                self.account.problem(row, fault.code, fault.what, fault.fix)
                wrong = True
                continue
            taken |= not why
            whys += [why] if why else []
        if taken and not wrong:
            self.account.take(row, "slot")
        elif not wrong:
            self.account.aside(row, whys[0])

    def _taken(self, entry: _Entry) -> str:
        """Take a slot's price; gives why it is none, '' where it was taken."""
        said, row = entry.said, entry.row
        how = slot_words.how_in(entry.price) or said.how
        if slot_columns.ANY_TEAM.match(slot_words.bare_slot(entry.slot)):
            how = "random"
        if said.why_not:
            return said.why_not
        if how == "draft":
            return "a draft: what is sold is a turn to choose, not a slot"
        try:
            price = slot_words.price_in(entry.price, self.season)
        except ValueError as fault:
            what = f"the price {text.printable(entry.price[:40])!r} {fault}"
            raise _WrongError("bad-value", what, "write one amount, such as 45.00") from None
        if price is None:
            return (
                f"no price stands beside the slot: {entry.price}"
                if entry.price
                else "no price stands beside the slot"
            )
        slot = "" if how == "random" else slot_words.bare_slot(entry.slot)
        if not slot and how != "random":
            return "a price without a slot"
        if _NUMBERED.fullmatch(slot):
            return "a numbered slot, which names no team"
        slot = self._named(slot, row)
        day, form = self._day(said.day), self._format(said.format, row)
        key = (day, form, text.key(slot), how, said.cases)
        mark = (self.grid.sheet, said.round)
        for before, other, number in self.seen.get(key, ()):
            if before == price:
                return f"the same slot at the same price stands in row {number}"
            if other == mark:
                shown = slot or "a random slot"
                what = f"{shown} costs {price}, and {before} in row {number}"
                raise _WrongError("duplicate-slot", what, "keep the right one, or say which break each is of")
        self.seen.setdefault(key, []).append((price, mark, row.number))
        self.late += day > self.today
        currency = self._currency(entry) or self.currency
        one = SlotPrice(day, form, slot, price, how, said.cases, currency, self.grid.file, row.number)
        self.found.slots.append(one)
        return ""

    def _named(self, slot: str, row: Row) -> str:
        if names := self.names.teams(slot):
            return " + ".join(names)
        if slot.startswith(("=", "+", "-", "@")) or len(slot) > text.NAME_LIMIT or text.bad_marks(slot):
            raise _WrongError("bad-value", f"the slot is {text.printable(slot[:40])!r}", "write its name")
        if near := self.names.near(slot):
            question = Question(
                file=self.grid.file,
                sheet=self.grid.sheet,
                row=row.number,
                what=f"{slot!r} is no team of the season; it looks like {near}. Is it?",
                meanwhile=f"taken as {near}",
                topic="team of a slot",
                about=slot,
                choices=(near, slot),
                cells=(str(row.number),),
            )
            if told := self.season.answer_to(question):
                return told
            self._put(question)
            return near
        if slot and self.names.are_known and slot not in self.asked:
            self.asked.add(slot)
            what = (
                f"the slot {text.printable(slot)!r} is no team of the season; it was taken as it is written"
            )
            self.account.remark(
                row, "unknown-slot", what, "see to its name; a division or a subject may stay"
            )
        return slot

    def _day(self, cell: str) -> date:
        said = days.read_day(cell, self.today) if cell else None
        if said is None and not cell:
            day = self.taken_on.get(self.grid.file, self.today)
            question = Question(
                file=self.grid.file,
                sheet=self.grid.sheet,
                row=None,
                what="the list does not say of which day its prices are. When was it?",
                meanwhile=f"taken as of {day}",
                topic="day of slots",
                about=" ".join(part for part in (self.grid.file, self.grid.sheet) if part),
            )
            told = days.read_day(self.season.answer_to(question), self.today)
            if told is not None and told.day is not None:
                return told.day
            self._put(question)
            return day
        fits = [one for order in ("day first", "month first") if said and (one := said.read_as(order))]
        if self.order and said:
            fits = [one for one in (said.read_as(self.order),) if one] or fits
        elif len(set(fits)) > 1:
            fits = [one for one in fits if one <= self.today]
        if len(set(fits)) != 1 or fits[0].year < 1990:
            what = f"the date is {text.printable(cell[:40])!r}"
            raise _WrongError("bad-date", what, "write the date as 2031-04-05")
        return fits[0]

    def _format(self, key: str, row: Row) -> str:
        if key:
            if self.keys and key not in self.keys and key not in self.asked:
                self.asked.add(key)
                what = f"there is no format {text.printable(key)!r} in release.toml; it was taken as written"
                fix = f"write one of {', '.join(self.keys)}, or describe it in release.toml"
                self.account.remark(row, "unknown-format", what, fix)
            return key
        if len(self.keys) == 1:
            return next(iter(self.keys))
        question = Question(
            file=self.grid.file,
            sheet=self.grid.sheet,
            row=None,
            what="the list does not say of which format the breaks were. Which?",
            meanwhile="the format is left blank",
            topic="format of slots",
            about=" ".join(part for part in (self.grid.file, self.grid.sheet) if part),
            choices=tuple(self.keys),
        )
        if told := self.season.answer_to(question):
            return told
        self._put(question)
        return ""

    def _put(self, question: Question) -> None:
        if question.what not in self.asked:
            self.asked.add(question.what)
            self.found.questions.append(question)


def _bare(name: str) -> str:
    """A format's name without the word for what it is."""
    return _UNIT.sub("", words.fold(name)).replace("-", " ")
