"""The account of a sheet: every row is taken, set aside with a reason, or a problem, and once only."""

from __future__ import annotations

from collections import Counter

from rating.errors import Problem
from rating.release.intake.values import Grid, Row, SetAside, Tally

_QUOTED = 200


class Account:
    """What becomes of each row of one grid. A later word on a row replaces an earlier one."""

    def __init__(self, grid: Grid, read_as: str) -> None:
        self.grid = grid
        self.read_as = read_as
        self._taken: dict[int, str] = {}
        self._aside: dict[int, SetAside] = {}
        self._wrong: dict[int, list[Problem]] = {}
        self.remarks: list[Problem] = []
        for one in grid.damaged:
            self._wrong.setdefault(one.row or 0, []).append(one)

    def take(self, row: Row, role: str) -> None:
        """The row was used, as a card, a heading, a header, a blurb, ..."""
        self._clear(row)
        self._taken[row.number] = role

    def take_card(self, row: Row) -> None:
        """The row was used as a card; nothing was said of it before."""
        self._taken[row.number] = "card"

    def role_of(self, row: Row) -> str:
        """What the row was used as so far; blank where it was not."""
        return self._taken.get(row.number, "")

    def aside(self, row: Row, why: str) -> None:
        """The row was read and is left out, for this reason."""
        self._clear(row)
        self._aside[row.number] = SetAside(
            file=self.grid.file, sheet=self.grid.sheet, row=row.number, text=row.text[:_QUOTED], why=why
        )

    def problem(self, row: Row, code: str, what: str, fix: str) -> None:
        """The row cannot be used as it is."""
        if row.number not in self._wrong:
            self._clear(row)
        self._wrong.setdefault(row.number, []).append(self._problem(row, code, what, fix, "error"))

    def remark(self, row: Row | None, code: str, what: str, fix: str) -> None:
        """Something worth a look; the row's fate is another matter."""
        self.remarks.append(self._problem(row, code, what, fix, "remark"))

    def aside_all(self, why: str) -> None:
        """Every row of the sheet is left out, said once with their number."""
        for row in self.grid.rows:
            self.aside(row, why)

    def _problem(self, row: Row | None, code: str, what: str, fix: str, severity: str) -> Problem:
        return Problem(
            code=code,
            what=what,
            file=self.grid.file,
            sheet=self.grid.sheet,
            row=row.number if row else None,
            fix=fix,
            severity="error" if severity == "error" else "remark",
        )

    def _clear(self, row: Row) -> None:
        self._taken.pop(row.number, None)
        self._aside.pop(row.number, None)
        self._wrong.pop(row.number, None)

    @property
    def set_aside(self) -> list[SetAside]:
        """The rows left out, in order; a whole sheet left out for one reason is one entry."""
        found = [self._aside[number] for number in sorted(self._aside)]
        whys = {one.why for one in found}
        if len(found) > 1 and len(whys) == 1 and len(found) == len(self.grid.rows) > 5:
            first = found[0]
            return [
                SetAside(
                    file=first.file,
                    sheet=first.sheet,
                    row=first.row,
                    text=f"{first.text} ... and {len(found) - 1} more rows",
                    why=first.why,
                    rows=len(found),
                )
            ]
        return found

    @property
    def problems(self) -> list[Problem]:
        """The problems and remarks, in the order of the rows."""
        found = [one for number in sorted(self._wrong) for one in self._wrong[number]]
        return [*self.grid.problems, *found, *self.remarks]

    def tally(self) -> Tally:
        """The numbers of the account.

        Raises
        ------
        ValueError
            if a row has no fate: a fault of a reader, never of the file
        """
        settled = self._taken.keys() | self._aside.keys() | self._wrong.keys()
        lost = [row.number for row in self.grid.rows if row.number not in settled]
        if lost:
            raise ValueError(f"{self.grid.file} {self.grid.sheet}: no fate for the rows {lost[:20]}")
        taken = Counter(self._taken.values())
        if blank := self.grid.last - len(self.grid.rows) - len(self.grid.damaged):
            taken["blank"] = blank
        return Tally(
            file=self.grid.file,
            sheet=self.grid.sheet,
            read_as=self.read_as,
            rows=self.grid.last,
            taken=dict(taken),
            set_aside=len(self._aside),
            problems=len(self._wrong),
        )
