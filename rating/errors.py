"""Errors and problems: what is wrong, where it stands and how to fix it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "remark"]

_SHOWN_PROBLEMS = 50
# files of which people see rows, not lines
_WORKBOOKS = (".xlsx", ".xlsm", ".xls", ".ods")


class RatingError(Exception):
    """Nothing more can be done; the command line prints it and stops."""

    exit_code = 1

    def __init__(self, what: str, *, where: str = "", fix: str = "") -> None:
        super().__init__(what)
        self.what, self.where, self.fix = what, where, fix

    def __str__(self) -> str:
        lines = [f"error: {self.what}"]
        if self.where:
            lines.append(f"  at:  {self.where}")
        if self.fix:
            lines.append(f"  fix: {self.fix}")
        return "\n".join(lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that is wrong or worth a look in a person's file.

    `row` is the line or spreadsheet row as the person sees it (the first is 1), None where there is none.
    """

    code: str
    what: str
    file: str = ""
    sheet: str = ""
    row: int | None = None
    fix: str = ""
    severity: Severity = "error"

    @property
    def place(self) -> str:
        """The place inside the file: sheet and row of a workbook, line of a text."""
        parts = [f"sheet {self.sheet}"] if self.sheet else []
        if self.row is not None:
            parts.append(row_of(self.file, self.row, self.sheet))
        return ", ".join(parts)

    @property
    def where(self) -> str:
        """The place in the person's terms: file, sheet and row or line."""
        return ", ".join(part for part in (self.file, self.place) if part)

    def __str__(self) -> str:
        head = f"{self.severity}: {self.what} [{self.code}]"
        lines = [head]
        if self.where:
            lines.append(f"  at:  {self.where}")
        if self.fix:
            lines.append(f"  fix: {self.fix}")
        return "\n".join(lines)


def row_of(file: str, row: int, sheet: str = "") -> str:
    """A row as a person finds it: 'row 7' of a workbook, 'line 7' of a text file."""
    return f"{'row' if sheet or file.lower().endswith(_WORKBOOKS) else 'line'} {row}"


class Refused(RatingError):
    """The input was refused; carries every problem that was found, not only the first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        if not self.problems:
            raise ValueError("a refusal needs at least one problem")
        first = self.problems[0]
        super().__init__(first.what, where=first.where, fix=first.fix)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


def errors_in(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Only the problems that stop the work; remarks are left out."""
    return tuple(problem for problem in problems if problem.severity == "error")


def refuse_if_any(problems: Iterable[Problem]) -> None:
    """Raise Refused with every error among the problems; do nothing where there is none."""
    errors = errors_in(problems)
    if errors:
        raise Refused(errors)


def trimmed(problems: Sequence[Problem]) -> list[Problem]:
    """At most fifty problems of one code and file, with a last one that counts the others."""
    seen: dict[tuple[str, str], int] = {}
    kept = []
    for problem in problems:
        place = (problem.code, problem.file)
        seen[place] = seen.get(place, 0) + 1
        if seen[place] <= _SHOWN_PROBLEMS:
            kept.append(problem)
    for (code, file), number in seen.items():
        if number > _SHOWN_PROBLEMS:
            what = f"{number - _SHOWN_PROBLEMS:,} more of the same kind"
            kept.append(Problem(code=code, file=file, what=what, fix="fix those above first"))
    return kept
