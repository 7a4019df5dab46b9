"""Tables of odds with a row a format and a column a line of cards, as rows that name all three."""

from __future__ import annotations

from collections.abc import Sequence

from rating.release.intake.formats_said import Formats, could_be
from rating.release.intake.odds.labels import Label, Lines, is_base_version
from rating.release.intake.odds.stated import is_dash, is_plain, is_ratio
from rating.release.intake.values import Row
from rating.release.intake.words import Columns

_HEADS = 3  # rows of headings at most
_SURE = ("", "near subset", "near parallel", "unknown parallel")


def turned(rows: Sequence[Row], lines: Lines, formats: Formats, columns: Columns) -> list[Row]:
    """The rows as a long table of format, subset, parallel and odds; nothing where they are no such table."""
    wide = [row for row in rows if any(row.cells[1:])]
    data = [row for row in wide if _is_data(row)]
    heads = wide[: len(wide) - len(data)]
    if not data or not 0 < len(heads) <= _HEADS or any(map(_is_data, heads)):
        return []
    places = [at for at in range(1, max(len(row.cells) for row in wide)) if any(row.cell(at) for row in data)]
    named = {at: [row.cell(at) for row in _filled(heads, places) if row.cell(at)] for at in places}
    labels = {at: _label(said) for at, said in named.items()}
    runs = [row for row in data if columns.name(row.cell(0)) == "print_run"]
    kept = [row for row in data if row not in runs]
    if not kept or not _are_lines(list(labels.values()), lines) or not _are_formats(kept, lines, formats):
        return []
    found = [Row(heads[0].number, ("format", "subset", "parallel", "odds", "made"))]
    for row in kept:
        for at in places:
            if row.cell(at):
                subset, parallel = labels[at]
                made = next((run.cell(at) for run in runs if not is_dash(run.cell(at))), "")
                found.append(Row(row.number, (row.cell(0), subset, parallel, row.cell(at), made)))
    return found


def _is_data(row: Row) -> bool:
    """Whether a row has a label and nothing but numbers and dashes behind it."""
    rest = [cell for cell in row.cells[1:] if cell]
    told = sum(is_plain(cell) or is_ratio(cell) or is_dash(cell) for cell in rest)
    return bool(row.cell(0)) and bool(rest) and told == len(rest) and not is_plain(row.cell(0))


def _filled(heads: Sequence[Row], places: Sequence[int]) -> list[Row]:
    """Headings over several columns, repeated over each: all rows but the last may be merged."""
    found = []
    for row in heads[:-1]:
        cells, last = [""] * (max(places) + 1), ""
        for at in places:
            last = cells[at] = row.cell(at) or last
        found.append(Row(row.number, tuple(cells)))
    return [*found, heads[-1]]


def _label(said: Sequence[str]) -> tuple[str, str]:
    if len(said) < 2:
        return (said[0] if said else "", "")
    return said[0], "" if is_base_version(said[-1]) else said[-1]


def _are_lines(labels: Sequence[tuple[str, str]], lines: Lines) -> bool:
    """Whether most columns are headed by a subset of the checklist, or by a subset and a parallel of it."""
    if not lines.subsets:
        return False
    told = [lines.line(Label(subset, parallel, is_joined=not parallel)) for subset, parallel in labels]
    return sum(one.how in _SURE and bool(one.subset) for one in told) * 10 >= 6 * len(told)


def _are_formats(data: Sequence[Row], lines: Lines, formats: Formats) -> bool:
    """Whether what stands before the numbers can be formats and is no line of the checklist."""
    told = [row.cell(0) for row in data]
    known = sum(bool(formats.of(one)) for one in told)
    subsets = sum(bool(lines.subset(one, nearly=False)) for one in told)
    return subsets * 2 < len(told) and (known * 2 >= len(told) or all(map(could_be, told)))
