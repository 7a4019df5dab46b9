"""What the commands share: their common options, opening the season, and printing."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from rating import text

if TYPE_CHECKING:
    from rating.errors import Problem
    from rating.season.season import Season

WIDTH = 100
# words cut further say nothing
_LEAST_WORDS = 8
RESTATED = (
    "Some of these reviews were graded by another rubric than most; here all are weighed alike, so that "
    "a grade may differ from the published one."
)

SeasonFolder = Annotated[
    Path | None,
    typer.Option(
        "--season", metavar="DIR", help="The season folder. [default: BOXWRIGHT_SEASON, or here and above]"
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON, for scripts.")]
Today = Annotated[
    str | None, typer.Option("--today", metavar="DATE", help="Take this day for today, as 2031-07-15.")
]
Release = Annotated[str, typer.Argument(metavar="RELEASE", help="The release, by its folder's name.")]


def group(words: str) -> typer.Typer:
    """A group of commands, set up as the program itself is."""
    return typer.Typer(help=words, no_args_is_help=True, rich_markup_mode=None, add_completion=False)


def hold_to(choices: Sequence[str], value: str, what: str, *, where: str = "") -> None:
    """Refuse a word that is none of the choices, and list them."""
    if value not in choices:
        from rating.errors import RatingError

        raise RatingError(
            f"there is no {what} {value!r}", where=where, fix=f"name one of {', '.join(choices)}"
        )


def refuse(what: str, fix: str) -> NoReturn:
    """Refuse a call whose parts do not go together."""
    from rating.errors import RatingError

    raise RatingError(what, fix=fix)


def choices(given: str, names: Sequence[str], limit: int = 15) -> str:
    """The words one can choose from, parted by commas; of many the nearest to what was given."""
    if len(names) <= limit:
        return ", ".join(names)
    from rapidfuzz import process

    near = [name for name, _, _ in process.extract(given, names, limit=5)]
    return f"{', '.join(near)} (the nearest of {len(names)})"


def need_ledger(season: Season) -> None:
    """Refuse to go on where nothing was recorded yet."""
    if not season.ledger.exists:
        from rating.errors import RatingError

        raise RatingError(
            "there is no ledger yet",
            where="ledger.db",
            fix="run 'boxwright grade RELEASE --record' first, or pass --season with another folder",
        )


def wrote(paths: Iterable[str]) -> None:
    """Say which files were written."""
    for path in paths:
        say(f"wrote {path}")


def opened(given: Path | None, today: str | None) -> Season:
    """The season that a command works on."""
    from rating.season import folder
    from rating.season.days import day_from
    from rating.season.season import Season

    path = folder.find(given, here=Path.cwd(), environment=folder.default_environment())
    season = Season.open(path, today=day_from(today, where="--today") if today else None)
    for problem in season.module_problems if "modules" in season.__dict__ else ():
        remark(str(problem))
    return season


def data(value: Any) -> None:
    """Print a JSON answer."""
    typer.echo(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def say(line: str = "") -> None:
    """Print a line of data; control and direction marks in people's text are written out."""
    typer.echo("\n".join(text.printable(one) for one in line.split("\n")))


def remark(line: str) -> None:
    """Print a remark, apart from the data."""
    typer.echo("\n".join(text.printable(one) for one in line.split("\n")), err=True)


def not_counted(season: Season) -> None:
    """Remark which releases' sales do not count towards who is wanted."""
    for slug, what in season.sales_left_out.items():
        remark(
            f"The sales of {slug} do not count towards who is wanted: {what}. "
            f"'boxwright check {slug}' says more."
        )


def paragraph(words: str, *, indent: str = "") -> None:
    """Print text wrapped to the width of the page."""
    import textwrap

    shown = text.printable(words)
    typer.echo(textwrap.fill(shown, width=WIDTH, initial_indent=indent, subsequent_indent=indent))


def wrapped(line: str) -> None:
    """Print a line wrapped to the width of the page, what follows indented a little more than its start."""
    import textwrap

    for one in line.split("\n"):
        shown = text.printable(one)
        indent = " " * (len(shown) - len(shown.lstrip(" ")))
        typer.echo(
            textwrap.fill(
                shown.lstrip(" "),
                width=WIDTH,
                initial_indent=indent,
                subsequent_indent=f"{indent}    ",
                break_on_hyphens=False,
            )
        )


def heading(words: str) -> None:
    """Print a heading with a line under it."""
    say()
    say(words)
    say("-" * len(words))


def table(headers: Sequence[str], rows: Iterable[Sequence[Any]], *, right: str = "") -> None:
    """Print a table. `right` names the columns that hold numbers, by their headers parted by |."""
    import tabulate

    tabulate.MIN_PADDING = 0  # a page is 100 columns wide; two more blanks for each column are too many
    numbers = set(right.split("|"))
    shown = _fitted([[_cell(cell) for cell in row] for row in rows], headers, numbers)
    align = ["right" if name in numbers else "left" for name in headers]
    lines = tabulate.tabulate(
        shown, headers=headers, tablefmt="simple", disable_numparse=True, colalign=align
    )
    typer.echo("\n".join(line.rstrip() for line in lines.split("\n")) if shown else "(none)")


def _fitted(rows: list[list[str]], headers: Sequence[str], numbers: set[str]) -> list[list[str]]:
    """The rows cut so that the page holds them: the widest words first, numbers never."""
    widths = _widths(headers, rows)
    words = [i for i, name in enumerate(headers) if name not in numbers]
    while _is_too_wide(widths):
        widest = max(words, key=lambda i: widths[i] - len(headers[i]), default=None)
        if widest is None or widths[widest] <= max(len(headers[widest]), _LEAST_WORDS):
            break
        widths[widest] -= 1
    return [[shorten(cell, widths[i]) if i in words else cell for i, cell in enumerate(row)] for row in rows]


def fits(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> bool:
    """Whether the page holds a table of which nothing is cut."""
    return not _is_too_wide(_widths(headers, rows))


def _widths(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> list[int]:
    return [max(len(name), *(len(row[i]) for row in rows), 0) for i, name in enumerate(headers)]


def _is_too_wide(widths: Sequence[int]) -> bool:
    return sum(widths) + 2 * (len(widths) - 1) > WIDTH


def shorten(words: str, width: int) -> str:
    """Words cut to a width, with an ellipsis where something was left out."""
    return words if len(words) <= width else words[: width - 1].rstrip() + "…"


def problems(found: Sequence[Problem]) -> None:
    """Print problems, errors first."""
    for one in sorted(found, key=lambda one: one.severity == "remark"):
        say(str(one))


def is_terminal() -> bool:
    """Whether a person sits at the other end."""
    return sys.stdin.isatty()


def _cell(cell: Any) -> str:
    return "" if cell is None else text.printable(str(cell))
