"""The days of sales: the order of their numbers, told by the whole list, and what is asked of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rating import text
from rating.release.intake import days
from rating.release.intake.account import Account
from rating.release.intake.sold.entries import Entry
from rating.release.intake.values import Grid, Question, SeasonWords

_ORDERS = ("day first", "month first")
_MOST_CELLS = 200


class Dates:
    """Reads the days of one list."""

    def __init__(
        self,
        grid: Grid,
        account: Account,
        season: SeasonWords,
        today: date,
        entries: Sequence[Entry],
        heads: Sequence[tuple[int, str]],
    ) -> None:
        self.grid, self.account, self.season, self.today = grid, account, season, today
        self.notes: list[str] = []
        self.questions: list[Question] = []
        self.order = self._order(entries)
        self.undated: list[Entry] = []
        self.is_dated = any(entry.day_cell for entry in entries)
        self.heads = [] if self.is_dated else self._days_over(heads)

    def _days_over(self, heads: Sequence[tuple[int, str]]) -> list[tuple[int, str]]:
        """The lines over listings that tell a day."""
        return [(row, line) for row, line in heads if days.read_day(line, self.today) is not None]

    def _order(self, entries: Sequence[Entry]) -> str:
        shown = days.order_of(e.day_cell for e in entries if not e.is_date)
        self.ambiguous: list[tuple[Entry, date, date]] = []
        self.late: list[tuple[Entry, date]] = []
        told = self.season.answer_to(self._order_question((), "", ""))
        shown = shown or told
        self.is_shown = bool(shown)
        if shown and self.season.date_order not in {"year first", shown}:
            self.notes.append(
                f"{self.grid.file}: dates are written {shown}, although the season reads "
                f"{self.season.date_order}"
            )
        return shown or (self.season.date_order if self.season.date_order != "year first" else "")

    def day(self, entry: Entry) -> date | str:
        """The day of a sale; words where it cannot be read."""
        cell = entry.day_cell or self._over(entry)
        if not cell:
            self.undated.append(entry)
            return "there is no date"
        day = days.read_day(cell, self.today)
        if day is None:
            return f"the date is {text.printable(cell[:40])!r}"
        if day.day is not None:
            found = day.day
        else:
            # day first and month first; both are dates, or the day would be certain
            both = [one for order in ("day first", "month first") if (one := day.read_as(order)) is not None]
            fits = [one for one in both if one <= self.today]
            if self.order:
                found = both[0] if self.order == "day first" else both[-1]
                if not self.is_shown:
                    self.ambiguous.append((entry, both[0], both[-1]))
            elif len(fits) == 1:
                found = fits[0]
            else:
                return f"the date {cell!r} could be {both[0]} or {both[-1]}"
        if found > self.today:
            self.late.append((entry, found))
        if found.year < 1990:
            return f"the date is {text.printable(cell[:40])!r}"
        return found

    def _over(self, entry: Entry) -> str:
        """The day that stands over a listing, or that somebody told for the whole list."""
        over = [line for row, line in self.heads if row < entry.row.number]
        return over[-1] if over else self.season.answer_to(self._day_question()) if not self.is_dated else ""

    def _day_question(self) -> Question:
        return Question(
            file=self.grid.file,
            sheet=self.grid.sheet,
            row=self.undated[0].row.number if self.undated else None,
            what="the list does not say when its cards were sold. On which day? (such as 2031-03-12)",
            meanwhile="left out",
            topic="day of sales",
            about=" ".join(part for part in (self.grid.file, self.grid.sheet) if part),
            cells=tuple(str(entry.row.number) for entry in self.undated[:_MOST_CELLS]),
            weight=max(1, len(self.undated)),
        )

    def ask(self) -> None:
        """Ask of the days that the list leaves open."""
        if self.undated and not self.is_dated:
            self.questions.append(self._day_question())
        if self.late:
            entry, day = self.late[0]
            number = len(self.late)
            self.account.remark(
                entry.row,
                "late-date",
                f"{text.count(number, 'date')} {'lies' if number == 1 else 'lie'} after today, {self.today};"
                f" the first is {day}",
                "check the dates, or the clock",
            )
        if not self.ambiguous:
            return
        entry, as_day, as_month = self.ambiguous[0]
        what = (
            f"{text.count(len(self.ambiguous), 'date')} such as {entry.day_cell!r} could be"
            f" {as_day} or {as_month}. Which order does this list use?"
        )
        rows = [one.row.number for one, _, _ in self.ambiguous]
        meanwhile = f"read {self.order}, as the season says"
        self.questions.append(self._order_question(rows, what, meanwhile))

    def _order_question(self, rows: Sequence[int], what: str, meanwhile: str) -> Question:
        return Question(
            file=self.grid.file,
            sheet=self.grid.sheet,
            row=rows[0] if rows else None,
            what=what,
            meanwhile=meanwhile,
            topic="order of dates",
            about=" ".join(part for part in (self.grid.file, self.grid.sheet) if part),
            choices=_ORDERS,
            cells=tuple(str(row) for row in rows[:_MOST_CELLS]),
            weight=max(1, len(rows)),
        )
