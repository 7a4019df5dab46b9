"""The fate of each row of a list of slots: a price that is taken, or why it is none."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from rating import text
from rating.release.intake import days
from rating.release.intake.account import Account
from rating.release.intake.slots import words
from rating.release.intake.slots.columns import ANY_TEAM
from rating.release.intake.slots.said import Said
from rating.release.intake.slots.words import SlotNames
from rating.release.intake.values import Grid, Question, Row, SeasonWords
from rating.release.market import SlotPrice

_NUMBERED = re.compile(r"(?:spot|slot|number|no\.?|nr\.?)?\s*#?\s*\d{1,3}", re.IGNORECASE)


class WrongError(Exception):
    """A row that cannot be used, with the code, what is wrong and how to mend it."""

    def __init__(self, code: str, what: str, fix: str) -> None:
        super().__init__(what)
        self.code, self.what, self.fix = code, what, fix


@dataclass(slots=True)
class Entry:
    """A slot with its price as written, and what holds for it."""

    row: Row
    slot: str
    price: str
    currency: str
    said: Said


@dataclass(slots=True)
class Found:
    """The slot prices of the lists, with the account of each sheet and what is to be asked."""

    slots: list[SlotPrice] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


class Settler:
    """Takes the prices of one file after another."""

    def __init__(
        self,
        season: SeasonWords,
        names: SlotNames,
        keys: Mapping[str, str],
        today: date,
        taken_on: Mapping[str, date],
    ) -> None:
        self.season, self.names, self.keys = season, names, keys
        self.today, self.taken_on = today, taken_on
        self.found = Found()
        self.file = ""

    def settle(self, grid: Grid, account: Account, entries: Sequence[Entry]) -> None:
        """Take the slots of a sheet, each row told what became of it."""
        self.grid, self.account = grid, account
        if grid.file != self.file:
            self.file = grid.file
            self.seen: dict[tuple[object, ...], list[tuple[Decimal, tuple[str, str], int]]] = {}
        self.asked: set[str] = set()
        self.late = 0
        shown = days.order_of(entry.said.day for entry in entries)
        usual = self.season.date_order if self.season.date_order != "year first" else ""
        self.order = shown or usual
        self.currency = self._usual_currency(entries)
        for _, of_row in itertools.groupby(entries, key=lambda entry: entry.row.number):
            self._row(list(of_row))
        if self.late:
            what = f"{text.count(self.late, 'slot price')} of days after today, {self.today}"
            self.account.remark(None, "late-date", what, "check the dates, or the clock")

    def _usual_currency(self, entries: Sequence[Entry]) -> str:
        own = self.season.currency
        seen = Counter(code for entry in entries if (code := self._currency(entry)))
        usual = seen.most_common(1)[0][0] if seen else own
        if usual != own and own:
            self.found.notes.append(f"{self.grid.file}: prices are in {usual}, the season counts in {own}")
        return usual

    def _currency(self, entry: Entry) -> str:
        """The currency that the price's own mark names, else its column's."""
        marks = (days.currency_in(cell, self.season.currency) for cell in (entry.price, entry.currency))
        return next(filter(None, marks), "")

    # ------------------------------------------------------------ a row's fate
    def _row(self, entries: Sequence[Entry]) -> None:
        row = entries[0].row
        whys, wrong, taken = [], False, False
        for entry in entries:
            try:
                why = self._taken(entry)
            except WrongError as fault:
                self.account.problem(row, fault.code, fault.what, fault.fix)
                wrong = True
                continue
            taken |= not why
            whys += [why] if why else []
        if taken and not wrong:
            self.account.take(row, "slot")
        elif not wrong:
            self.account.aside(row, whys[0])

    def _taken(self, entry: Entry) -> str:
        """Take a slot's price; gives why it is none, '' where it was taken."""
        said, row = entry.said, entry.row
        how = words.how_in(entry.price) or said.how
        if ANY_TEAM.match(words.bare_slot(entry.slot)):
            how = "random"
        if said.why_not:
            return said.why_not
        if how == "draft":
            return "a draft: what is sold is a turn to choose, not a slot"
        try:
            price = words.price_in(entry.price, self.season)
        except ValueError as fault:
            what = f"the price {text.printable(entry.price[:40])!r} {fault}"
            raise WrongError("bad-value", what, "write one amount, such as 45.00") from None
        if price is None:
            return (
                f"no price stands beside the slot: {entry.price}"
                if entry.price
                else "no price stands beside the slot"
            )
        slot = "" if how == "random" else words.bare_slot(entry.slot)
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
                raise WrongError("duplicate-slot", what, "keep the right one, or say which break each is of")
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
            raise WrongError("bad-value", f"the slot is {text.printable(slot[:40])!r}", "write its name")
        if near := self.names.near(slot):
            question = Question(
                file=self.grid.file,
                sheet=self.grid.sheet,
                row=row.number,
                what=f"{slot!r} is not a team of the season; it looks like {near}. Is it?",
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
            what = f"the slot {text.printable(slot)!r} is not a team of the season; it was taken as written"
            self.account.remark(
                row, "unknown-slot", what, "check its name; a division or a person is fine too"
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
            raise WrongError("bad-date", what, "write the date as 2031-04-05")
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
