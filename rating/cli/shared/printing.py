"""Printing: data to standard output, remarks to standard error, text of people made safe and wrapped."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import typer

from rating import text
from rating.answers import parts
from rating.cli.shared import screen

if TYPE_CHECKING:
    from rating.errors import Problem

# stands for a blank at which no line is broken, while it is wrapped
_HELD = "\ue000"


def data(answer: Mapping[str, Any]) -> None:
    """Print a JSON answer; what the encoding of the output lacks is escaped."""
    is_bare = not screen.is_whole(sys.stdout.encoding or "")
    typer.echo(json.dumps(parts.numbered(answer), ensure_ascii=is_bare, indent=2, allow_nan=False))


def say(line: str = "") -> None:
    """Print lines of data; control and direction marks in people's text are written out."""
    typer.echo(_fitted(line))


def remark(line: str) -> None:
    """Print a remark, apart from the data."""
    typer.echo(_fitted(line), err=True)


def heading(words: str) -> None:
    """Print a heading with a line under it."""
    say()
    say(words)
    say("-" * min(len(words), screen.page()))


def paragraph(words: str, *, indent: str = "") -> None:
    """Print text wrapped to the width of the page."""
    typer.echo("\n".join(filled(words, screen.page(), indent, indent)))


def labelled(label: str, words: str, *, room: int = 12) -> None:
    """Print text beside its label, wrapped in a column of its own."""
    typer.echo("\n".join(filled(words, screen.page(), f"{label:<{room}}", " " * room)))


def wrapped(lines: str) -> None:
    """Print lines wrapped to the width of the page, what follows indented a little more than its start."""
    typer.echo(_hanging(lines, screen.page()))


def filled(words: str, width: int, indent: str = "", following: str = "") -> list[str]:
    """Text of people made safe and wrapped; a percentage, a path and a word with hyphens stay whole."""
    import textwrap

    shown = text.printable(words).replace(" %", f"{_HELD}%")
    lines = textwrap.wrap(
        shown,
        width=width,
        initial_indent=indent,
        subsequent_indent=following,
        break_on_hyphens=False,
        break_long_words=False,
    )
    return [line.replace(_HELD, " ") for line in lines or [indent.rstrip()]]


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


def _fitted(lines: str) -> str:
    """Lines made safe; wrapped only where something says how much room there is."""
    if (width := screen.columns()) is not None:
        return _hanging(lines, min(width, screen.PAGE))
    return "\n".join(text.printable(one) for one in lines.split("\n"))


def _hanging(lines: str, width: int) -> str:
    told: list[str] = []
    for one in lines.split("\n"):
        indent = " " * (len(one) - len(one.lstrip(" ")))
        told += filled(one.lstrip(" "), width, indent, f"{indent}    ")
    return "\n".join(told)
