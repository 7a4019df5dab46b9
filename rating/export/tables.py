"""Plain tables: standings, scores and reasons as CSV, JSON or Markdown.

In CSV the disclosure, cautions and help lines are columns: a file, and even a row, travels alone.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rating import tenths, text
from rating.answers.standings import standings
from rating.export.published import disclosed, facts_of, published
from rating.facts import cautions
from rating.release.csv_file import to_text
from rating.release.swap import write_whole
from rating.review import Review
from rating.season.season import Season
from rating.standings import Standing

_GRADES = {"grade", "lowest", "highest"}
Published = Sequence[tuple[Standing, Review]]


@dataclass(frozen=True, slots=True)
class Table:
    """A table ready to be written: its name, headers, rows, and the columns that hold numbers."""

    name: str
    headers: tuple[str, ...]
    rows: list[tuple[object, ...]]
    right: tuple[str, ...]


def write_tables(season: Season, folder: Path, form: str) -> list[Path]:
    """Write standings, scores and reasons into a folder as csv, json or md; gives the paths.

    Releases under embargo are left out. A file that is there is replaced in one step.

    Raises
    ------
    ValueError
        if the format is another
    rating.errors.RatingError
        if the folder cannot be written
    """
    writers: dict[str, Callable[[Season, Published, Table], str]] = {
        "csv": _csv,
        "json": _json,
        "md": _markdown,
    }
    if form not in writers:
        raise ValueError(f"a format is one of {', '.join(writers)}, not {form!r}")
    found = published(season)
    paths = []
    for table in (_standings(found), _scores(found), _reasons(season, found)):
        path = folder / f"{table.name}.{form}"
        write_whole(path, writers[form](season, found, table).encode())
        paths.append(path)
    return paths


def _standings(found: Sequence[tuple[Standing, Review]]) -> Table:
    headers = (
        "place",
        "grade",
        "release",
        "title",
        "moved",
        "class_place",
        "class",
        "stage",
        "verdict",
        "partial",
        "lowest",
        "highest",
        "published_on",
        "disclosure",
    )
    rows: list[tuple[object, ...]] = [
        (
            one.place,
            _shown(one.grade),
            one.release,
            one.title,
            one.moved,
            one.class_rank,
            one.price_class,
            one.stage,
            one.verdict,
            one.partial,
            _shown(one.lowest) if one.partial else "",
            _shown(one.highest) if one.partial else "",
            one.published_on,
            disclosed(review),
        )
        for one, review in found
    ]
    return Table("standings", headers, rows, ("place", "grade", "moved", "class_place", "lowest", "highest"))


def _scores(found: Sequence[tuple[Standing, Review]]) -> Table:
    keys = sorted({score.criterion for _, review in found for score in review.scores})
    rows: list[tuple[object, ...]] = []
    for one, review in found:
        given = {score.criterion: score.score for score in review.scores}
        absent = {left.criterion for left in review.not_applicable}
        cells = [given.get(key, "does not apply" if key in absent else "") for key in keys]
        rows.append((one.release, one.title, _shown(one.grade), *cells, disclosed(review)))
    return Table("scores", ("release", "title", "grade", *keys, "disclosure"), rows, ("grade", *keys))


def _reasons(season: Season, found: Sequence[tuple[Standing, Review]]) -> Table:
    headers = ("release", "criterion", "score", "basis", "doubt", "rater", "reason", "disclosure")
    rows: list[tuple[object, ...]] = []
    for one, review in found:
        rows += [
            (
                one.release,
                score.criterion,
                score.score,
                score.basis,
                score.spread,
                season.config.rater_name(score.rater),
                score.reason,
                disclosed(review),
            )
            for score in review.scores
        ]
        for basis, absent in (("not known", review.unknown), ("does not apply", review.not_applicable)):
            rows += [
                (one.release, left.criterion, "", basis, "", "", left.why, disclosed(review))
                for left in absent
            ]
    return Table("reasons", headers, rows, ("score", "doubt"))


def _csv(season: Season, found: Published, table: Table) -> str:
    """Text from people that a spreadsheet program would take for a formula gets an apostrophe before it."""
    # a row may travel alone: it carries its own disclosure, cautions and help lines
    headers = (*table.headers, "cautions", "help_lines")
    said = {one.release: " ".join(cautions.of_release(facts_of(season, review))) for one, review in found}
    lines = season.files.help_lines.sentence if season.files.help_lines else ""
    release = table.headers.index("release")
    moves = table.headers.index("moved") if "moved" in table.headers else None
    rows = [
        [
            text.as_data(cell) if isinstance(cell, str) and place != moves else cell
            for place, cell in enumerate((*row, said[str(row[release])], lines))
        ]
        for row in table.rows
    ]
    return to_text(headers, rows)


def _json(season: Season, found: Published, table: Table) -> str:
    """The standings as the command answers them, so that one reader reads both; others a row an object."""
    answer: dict[str, Any] = {
        "format": 1,
        "season": season.config.name,
        "as_of": season.today.isoformat(),
        "disclosure": [
            {
                "release": one.release,
                "how_obtained": list(review.disclosure.how_obtained),
                "sentence": review.disclosure.sentence,
                "losses": cautions.own_losses(facts_of(season, review)) or None,
            }
            for one, review in found
        ],
        "cautions": list(cautions.CAUTIONS),
        "help_lines": _help_lines(season),
    }
    if table.name == "standings":
        held = season.held_back()
        answer |= standings(
            [one for one, _ in found],
            season=season.config.name,
            as_of=season.today,
            rubric=season.rubric.hash,
            to_come=[(slug, day) for slug, day in season.to_come(as_of=season.today) if slug not in held],
        )
    else:
        answer[table.name] = [
            {
                name: _json_cell(name, cell)
                for name, cell in zip(table.headers, row, strict=True)
                if name != "disclosure"
            }
            for row in table.rows
        ]
    return json.dumps(answer, ensure_ascii=False, indent=2) + "\n"


def _help_lines(season: Season) -> dict[str, Any] | None:
    found = season.files.help_lines
    if found is None or found.as_of is None or not found.lines:
        return None
    return {
        "as_of": found.as_of.isoformat(),
        "lines": [
            {"name": one.name, "where": one.where, "contact": one.contact, "for": one.what_for}
            for one in found.lines
        ],
    }


def _json_cell(name: str, cell: object) -> object:
    if cell == "":
        return None
    return float(str(cell)) if name in _GRADES else cell


def _markdown(season: Season, found: Published, table: Table) -> str:
    from tabulate import tabulate

    lines = [
        f"# {season.config.name}: {table.name}, as of {season.today.isoformat()}",
        "",
        *(_markdown_disclosed(season, one, review) for one, review in found),
        "",
        *(f"> {one}" for one in cautions.CAUTIONS),
    ]
    if season.files.help_lines and season.files.help_lines.sentence:
        lines += [">", f"> {_markdown_cell(season.files.help_lines.sentence)}"]
    lines.append("")
    # the disclosures stand above, once a release
    headers = [name for name in table.headers if name != "disclosure"]
    cells = [[_markdown_cell(cell) for cell in row[: len(headers)]] for row in table.rows]
    align = ["right" if name in table.right else "left" for name in headers]
    shown = tabulate(
        cells,
        headers=headers,
        tablefmt="pipe",
        disable_numparse=True,
        colalign=align if cells else None,
    )
    return "\n".join([*lines, shown, ""])


def _markdown_disclosed(season: Season, one: Standing, review: Review) -> str:
    """How a release was come by, with the share of its own boxes that return less than they cost."""
    told = f"{disclosed(review)} {cautions.own_losses(facts_of(season, review))}".strip()
    return f"- {_markdown_cell(one.title)}. {_markdown_cell(told)}"


def _markdown_cell(cell: object) -> str:
    if cell is None or cell is False:
        return ""
    if cell is True:
        return "yes"
    shown = text.printable(str(cell)).replace("\n", " ")
    for mark in ("\\", "|", "<", "*", "_", "`", "["):
        shown = shown.replace(mark, f"\\{mark}")
    return shown


def _shown(grade: int | None) -> str:
    return "" if grade is None else tenths.show(grade)
