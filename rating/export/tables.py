"""Plain tables: standings, scores and reasons as CSV, JSON or Markdown.

In CSV the disclosure, cautions, help lines and the ledger's head are columns: a file, and even a row,
travels alone. Its columns are called as in JSON and in data frames: rank, tied, movement, class_rank. In
Markdown, which people read, a place that is shared is =4, and a move has its sign.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rating import tenths, text
from rating.answers import parts
from rating.answers import standings as ranking
from rating.answers import tables as answers
from rating.export import notices
from rating.export.published import PublishedReview, published
from rating.facts import cautions
from rating.release.csv_file import to_text
from rating.release.swap import write_whole
from rating.season.season import Season

Reviews = Sequence[PublishedReview]


@dataclass(frozen=True, slots=True)
class HandedTable:
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
    writers: dict[str, Callable[[Season, Reviews, HandedTable], str]] = {
        "csv": _csv,
        "json": _json,
        "md": _markdown,
    }
    if form not in writers:
        raise ValueError(f"a format is one of {', '.join(writers)}, not {form!r}")
    reviews = published(season)
    paths = []
    standings = _standings(reviews, is_read_by_people=form == "md")
    for table in (standings, _scores(reviews), _reasons(season, reviews)):
        path = folder / f"{table.name}.{form}"
        write_whole(path, writers[form](season, reviews, table).encode())
        paths.append(path)
    return paths


def _standings(reviews: Reviews, *, is_read_by_people: bool) -> HandedTable:
    columns: dict[str, Callable[[PublishedReview], object]]
    if is_read_by_people:
        columns = {"place": lambda shown: shown.standing.place}
    else:
        columns = {"rank": lambda shown: shown.standing.rank, "tied": lambda shown: shown.standing.tied}
    columns |= {
        "grade": lambda shown: _grade(shown.standing.grade),
        "release": lambda shown: shown.standing.release,
        "title": lambda shown: shown.standing.title,
    }
    if is_read_by_people:
        columns |= {"moved": lambda shown: shown.standing.moved}
    else:
        columns |= {"movement": lambda shown: shown.standing.movement}
    columns |= {
        "class_rank": lambda shown: shown.standing.class_rank,
        "class": lambda shown: shown.standing.price_class,
        "stage": lambda shown: shown.standing.stage,
        "verdict": lambda shown: shown.standing.verdict,
        "price_line": lambda shown: shown.beside.price_line,
        "grade_as_computed": lambda shown: _grade(shown.beside.as_computed),
        "partial": lambda shown: shown.standing.partial,
        "lowest": lambda shown: _grade(shown.standing.lowest) if shown.standing.partial else "",
        "highest": lambda shown: _grade(shown.standing.highest) if shown.standing.partial else "",
        "published_on": lambda shown: shown.standing.published_on,
        "disclosure": lambda shown: shown.disclosed,
    }
    rows = [tuple(cell(shown) for cell in columns.values()) for shown in reviews]
    right = ("place", "grade", "moved", "class_rank", "grade_as_computed", "lowest", "highest")
    return HandedTable("standings", tuple(columns), rows, right)


def _scores(reviews: Reviews) -> HandedTable:
    keys = sorted({score.criterion for shown in reviews for score in shown.review.scores})
    rows: list[tuple[object, ...]] = []
    for shown in reviews:
        standing, review = shown.standing, shown.review
        given: dict[str, object] = {
            unscored.criterion: "does not apply" for unscored in review.not_applicable
        }
        given |= {score.criterion: score.score for score in review.scores}
        cells = [given.get(key, "") for key in keys]
        rows.append((standing.release, standing.title, _grade(standing.grade), *cells, shown.disclosed))
    return HandedTable("scores", ("release", "title", "grade", *keys, "disclosure"), rows, ("grade", *keys))


def _reasons(season: Season, reviews: Reviews) -> HandedTable:
    scored_by = ("criterion", "score", "basis", "computed_score", "spread", "rater", "reason")
    headers = ("release", *scored_by, "disclosure")
    rows: list[tuple[object, ...]] = []
    for shown in reviews:
        release, review, told = shown.standing.release, shown.review, shown.disclosed
        for score in review.scores:
            rater = season.config.rater_name(score.rater)
            computed = "" if score.computed_score is None else score.computed_score
            scored = (score.criterion, score.score, score.basis, computed, score.spread, rater, score.reason)
            rows.append((release, *scored, told))
        for basis, absent in (("not known", review.unknown), ("does not apply", review.not_applicable)):
            rows += [
                (release, unscored.criterion, "", basis, "", "", "", unscored.why, told)
                for unscored in absent
            ]
    return HandedTable("reasons", headers, rows, ("score", "computed_score", "spread"))


def _csv(season: Season, reviews: Reviews, table: HandedTable) -> str:
    """Text from people that a spreadsheet program would take for a formula gets an apostrophe before it."""
    # a row may travel alone: it carries its own disclosure, cautions, help lines and head
    headers = (*table.headers, "cautions", "help_lines", "head")
    said = {shown.standing.release: " ".join(cautions.of_release(shown.facts)) for shown in reviews}
    lines, head = _help_sentence(season), season.recorded.tree_head
    release = table.headers.index("release")
    rows = [
        [
            text.as_data(cell) if isinstance(cell, str) else cell
            for cell in (*row, said[str(row[release])], lines, head)
        ]
        for row in table.rows
    ]
    return to_text(headers, rows)


def _json(season: Season, reviews: Reviews, table: HandedTable) -> str:
    """The standings as the command answers them, so that one reader reads both; others a row an object."""
    answer = answers.beside(
        season=season.config.name,
        as_of=season.today,
        reviews=[(shown.review, shown.losses) for shown in reviews],
        cautions=cautions.CAUTIONS,
        help_lines=season.files.help_lines,
        head=season.recorded.tree_head,
    )
    if table.name == "standings":
        held = season.held_back()
        answer |= ranking.standings(
            [shown.standing for shown in reviews],
            season=season.config.name,
            as_of=season.today,
            rubric=season.rubric.hash,
            to_come=[(slug, day) for slug, day in season.to_come(as_of=season.today) if slug not in held],
            beside={shown.standing.release: shown.beside for shown in reviews},
        )
    else:
        answer[table.name] = answers.rows(table.headers, table.rows)
    return json.dumps(parts.numbered(answer), ensure_ascii=False, indent=2) + "\n"


def _markdown(season: Season, reviews: Reviews, table: HandedTable) -> str:
    from tabulate import tabulate

    lines = [
        f"# {_markdown_cell(season.config.name)}: {table.name}, as of {season.today.isoformat()}",
        "",
        *(_markdown_disclosed(shown) for shown in reviews),
        "",
        *(f"> {caution}" for caution in cautions.CAUTIONS),
    ]
    if told := _help_sentence(season):
        lines += [">", f"> {text.as_markdown(told, begins=True)}"]
    lines += ["", notices.head(season.recorded.tree_head, len(season.recorded.entries))]
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


def _markdown_disclosed(shown: PublishedReview) -> str:
    """How a release was come by, with the share of its own boxes that return less than they cost."""
    told = f"{shown.disclosed} {shown.losses}".strip()
    return f"- {text.as_markdown(f'{shown.standing.title}. {told}', begins=True)}"


def _markdown_cell(cell: object) -> str:
    if cell is None or cell is False:
        return ""
    if cell is True:
        return "yes"
    return text.as_markdown(str(cell))


def _help_sentence(season: Season) -> str:
    """Where people find help, '' where the season does not say."""
    lines = season.files.help_lines
    return lines.sentence if lines else ""


def _grade(grade: int | None) -> str:
    return "" if grade is None else tenths.show(grade)
