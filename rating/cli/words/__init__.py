"""Words that the program uses, told in plain sentences: codes of problems, the glossary, topics, files."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib import resources
from typing import TYPE_CHECKING, NamedTuple

from rating import text

if TYPE_CHECKING:
    from rating.release.columns import Column

# what words are told of, by the file beside this that holds them
KINDS = {"code": "codes.toml", "word": "glossary.toml", "topic": "topics.toml"}
_TEMPLATES = {
    "season.toml": "The season: its name, currency, teams, raters, price classes, and what buying costs.",
    "release.toml": "One release: what it is, how it is packed and promised, and how you came by it.",
    "rubric.toml": "The criteria with their points and value scales, and the verdicts.",
    "scores.toml": "Your scores of a release, each with its reason.",
    "help_lines.toml": "Where people find help with gambling or spending, and when you looked it up.",
}


class Explained(NamedTuple):
    """A code, word, topic or file: which it is, what it means, and how it looks or where one meets it."""

    name: str
    kind: str
    means: str
    example: str


def everything() -> dict[str, Explained]:
    """All that is explained, by its name: codes, words, topics, then files."""
    found = {}
    for kind, file in KINDS.items():
        content = resources.files(__name__).joinpath(file).read_text(encoding="utf-8")
        for name, one in tomllib.loads(content).items():
            found[name] = Explained(name, kind, one["means"].strip("\n"), one["example"].strip("\n"))
    return found | {one.name: one for one in _files()}


def _files() -> Iterator[Explained]:
    """Tables by their columns, as they are declared, and what a person fills in by its commented template."""
    from rating.release import TABLES
    from rating.season.folder import template

    for table in TABLES:
        columns = [f"{name}: {_cells(one)}" for name, one in zip(table.names, table.columns, strict=True)]
        yield Explained(table.file, "file", f"Each row is {table.about}.", "\n".join(columns))
    for file, means in _TEMPLATES.items():
        yield Explained(file, "file", means, template(file).strip("\n"))


def _cells(column: Column) -> str:
    """What a cell of a column holds, in the words of its declaration."""
    choices = f" ({text.listed(column.cell.choices, 'or')})" if column.cell.choices else ""
    return f"{column.about}{choices}{'; never blank' if column.required else ''}"
