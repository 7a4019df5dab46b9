"""Printing: data to standard output, remarks to standard error, text of people made safe and wrapped."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import typer

from rating import text
from rating.answers import parts

if TYPE_CHECKING:
    from rating.errors import Problem

# a page, in columns
WIDTH = 100


def data(answer: Mapping[str, Any]) -> None:
    """Print a JSON answer."""
    typer.echo(json.dumps(parts.numbered(answer), ensure_ascii=False, indent=2, allow_nan=False))


def say(line: str = "") -> None:
    """Print a line of data; control and direction marks in people's text are written out."""
    typer.echo(_safe(line))


def remark(line: str) -> None:
    """Print a remark, apart from the data."""
    typer.echo(_safe(line), err=True)


def heading(words: str) -> None:
    """Print a heading with a line under it."""
    say()
    say(words)
    say("-" * len(words))


def paragraph(words: str, *, indent: str = "") -> None:
    """Print text wrapped to the width of the page."""
    import textwrap

    shown = text.printable(words)
    typer.echo(textwrap.fill(shown, width=WIDTH, initial_indent=indent, subsequent_indent=indent))


def screen() -> int:
    """The columns of the person's screen, at most those of a page; COLUMNS says them where it is set."""
    import shutil

    return min(WIDTH, max(40, shutil.get_terminal_size((80, 24)).columns))


def wrapped(line: str, width: int = WIDTH) -> None:
    """Print a line wrapped to a width, what follows indented a little more than its start."""
    import textwrap

    for one in line.split("\n"):
        shown = text.printable(one)
        indent = " " * (len(shown) - len(shown.lstrip(" ")))
        typer.echo(
            textwrap.fill(
                shown.lstrip(" "),
                width=width,
                initial_indent=indent,
                subsequent_indent=f"{indent}    ",
                break_on_hyphens=False,
            )
        )


def problems(found: Sequence[Problem]) -> None:
    """Print problems, errors first."""
    for one in sorted(found, key=lambda one: one.severity == "remark"):
        say(str(one))


def wrote(paths: Iterable[str]) -> None:
    """Say which files were written."""
    for path in paths:
        say(f"wrote {path}")


def is_terminal() -> bool:
    """Whether a person sits at the other end."""
    return sys.stdin.isatty()


def _safe(lines: str) -> str:
    return "\n".join(text.printable(one) for one in lines.split("\n"))
