"""Points on disk: a file of answers in, rubric.toml with other points out, comments kept.

A file of answers is CSV and says by its header what it holds: `criterion,points`, `criterion,rank` (1 the
most important; equal ranks share), `criterion,swing` (0 to 100), or `within,first,second,times`: how many
times as much the first counts as the second, two groups where `within` is blank, two criteria of the group
it names where not. A blank `times` is left open.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

from rating import tenths, text, tomlfile
from rating.errors import Problem, RatingError, refuse_if_any, trimmed
from rating.release import csv_file
from rating.release.columns import whole_between
from rating.release.csv_file import CsvColumns
from rating.rubric import choosing
from rating.rubric.choosing import Answers, Comparison
from rating.rubric.rubric import Rubric
from rating.season.scoring import editing

COLUMNS = {
    "points": ("criterion", "points"),
    "rank": ("criterion", "rank"),
    "swing": ("criterion", "swing"),
    "pairwise": ("within", "first", "second", "times"),
}


def read(path: Path, rubric: Rubric) -> Answers:
    """The answers that a file holds.

    Raises
    ------
    RatingError
        if it cannot be read, or its header is none of `COLUMNS`; Refused with every problem of its rows
    """
    file = path.name
    content = csv_file.read_text(path, file=file)
    method = _method(content, file)
    table = csv_file.parse(content, COLUMNS[method], required=COLUMNS[method][-2:], file=file)
    if method == "pairwise":
        answers = Answers(method=method, comparisons=_comparisons(table, rubric))
    else:
        answers = Answers(method=method, numbers=_numbers(table, method, rubric))
    in_order = sorted(table.problems, key=lambda problem: problem.row or 0)
    refuse_if_any(trimmed(in_order))
    return answers


def _method(content: str, file: str) -> str:
    header = [text.key(cell.strip(' \r"')) for cell in content.partition("\n")[0].split(",")]
    methods = [method for method, columns in COLUMNS.items() if columns[-1] in header]
    if len(methods) != 1:
        raise RatingError(
            "its header does not say what it holds",
            where=f"{file}, row 1",
            fix=f"begin it with one of: {'; '.join(map(','.join, COLUMNS.values()))}",
        )
    return methods[0]


def _numbers(table: CsvColumns, method: str, rubric: Rubric) -> dict[str, int]:
    keys = [weighted.key for weighted in rubric.criteria]
    readers: dict[str, tuple[Callable[[str], int], str]] = {
        "points": (tenths.read, "write points in whole tenths, such as 12 or 12.5"),
        "rank": (whole_between(1, len(keys)), f"write a whole number from 1 to {len(keys)}"),
        "swing": (choosing.swing_of, "write a number from 0 to 100, in whole tenths"),
    }
    parse, fix = readers[method]
    names = table.words("criterion", required=True)
    given = table.read(method, parse, blank=0, fix=fix, required=True)
    numbers: dict[str, int] = {}
    for index, (name, number) in enumerate(zip(names, given, strict=True)):
        if name in numbers:
            table.complain(index, f"{name} stands twice", "take one of the rows out", "duplicate-row")
        elif name in keys:
            numbers[name] = number
        elif name:
            _unknown(table, index, name, "criterion", keys)
    missing = [key for key in keys if key not in numbers]
    if missing:
        what = f"{text.listed(missing)} {'is' if len(missing) == 1 else 'are'} missing"
        fix = "add a row for each criterion of the rubric"
        table.problems.append(Problem(code="missing-row", file=table.file, what=what, fix=fix))
    elif not table.problems and not any(numbers.values()):
        fix = "give one of them more than 0"
        table.problems.append(Problem(code="bad-value", file=table.file, what="all are 0", fix=fix))
    return numbers


def _comparisons(table: CsvColumns, rubric: Rubric) -> tuple[Comparison, ...]:
    sets = choosing.sets(rubric)
    within = table.words("within")
    first, second = table.words("first", required=True), table.words("second", required=True)
    fix = f"write a number from 1/{choosing.MOST_TIMES} to {choosing.MOST_TIMES}, such as 3, 1/3 or 2.5"
    times = table.read("times", choosing.times_of, blank=None, fix=fix)
    comparisons: list[Comparison] = []
    seen: set[frozenset[str]] = set()
    for index, (group, *pair, value) in enumerate(zip(within, first, second, times, strict=True)):
        names = sets.get(group)
        if names is None:
            _unknown(table, index, group, "group", [other for other in sets if other])
            continue
        what = f"criterion of {group}" if group else "group"
        strange = [name for name in pair if name and name not in names]
        for name in strange:
            _unknown(table, index, name, what, names)
        if strange or not all(pair):
            continue
        place = frozenset((f"within {group}", *pair))
        if pair[0] == pair[1]:
            table.complain(index, f"{pair[0]} is held against itself", "take the row out")
        elif place in seen:
            what = f"{pair[0]} and {pair[1]} stand twice"
            table.complain(index, what, "take one of the rows out", "duplicate-row")
        elif value is not None:
            comparisons.append(Comparison(within=group, first=pair[0], second=pair[1], times=value))
        seen.add(place)
    if not table.problems:
        table.problems += _apart(table.file, sets, comparisons)
    return tuple(comparisons)


def _apart(file: str, sets: Mapping[str, tuple[str, ...]], comparisons: list[Comparison]) -> list[Problem]:
    """A problem for each set that the answers leave in parts."""
    problems = []
    for within, names in sets.items():
        parts = choosing.joined(names, choosing.matrix_of(within, names, comparisons))
        if len(parts) > 1:
            apart = "; ".join(text.listed(part) for part in parts)
            what = f"nothing joins these {f'criteria of {within}' if within else 'groups'}: {apart}"
            fix = "add a row that compares one of the first part with one of each other"
            problems.append(Problem(code="not-joined", file=file, what=what, fix=fix))
    return problems


def _unknown(table: CsvColumns, index: int, name: str, what: str, choices: Sequence[str]) -> None:
    fix = f"use one of {', '.join(choices)}"
    table.complain(index, f"there is no {what} {text.printable(name)!r}", fix, "unknown-name")


def answers_text(answers: Answers) -> str:
    """The file that `read` reads these answers from."""
    columns = COLUMNS[answers.method]
    if answers.method == "pairwise":
        rows = [(pair.within, pair.first, pair.second, pair.times) for pair in answers.comparisons]
        return csv_file.to_text(columns, rows)
    show = str if answers.method == "rank" else tenths.show_points
    return csv_file.to_text(columns, [(key, show(number)) for key, number in answers.numbers.items()])


def write(path: Path, points: Mapping[str, int], *, method: str, on: date) -> None:
    """Put points (tenths by criterion) into rubric.toml with how and when they were chosen; comments stay.

    Raises
    ------
    RatingError
        if the file is no rubric, or cannot be written; it stays as it was
    """
    import tomlkit  # loaded for an edit only

    content = tomlfile.read_text(path)
    document = editing.parsed(path, content)
    expected = editing.values(content)
    for key, number in points.items():
        if _tenths(expected["criteria"][key]["points"]) != number:
            value = number // 10 if number % 10 == 0 else number / 10
            document["criteria"][key]["points"] = value
            expected["criteria"][key]["points"] = value if number % 10 == 0 else str(value)
    if "weights" not in document:
        document["weights"] = tomlkit.table()
    for name, said in (("method", method), ("on", on)):
        document["weights"][name] = said
        expected.setdefault("weights", {})[name] = said
    editing.write(
        path,
        document,
        expected,
        what="the points cannot be put into this file without disturbing something else",
        fix="give each criterion a line [criteria.KEY] of its own, with points under it",
    )


def _tenths(value: int | str) -> Fraction:
    """Points as `editing.values` gives them, in tenths."""
    return Fraction(value) * 10
