"""Words that the program uses, told in plain sentences: the codes of problems, and the glossary."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import NamedTuple

# what words are told of, by the file beside this that holds them
KINDS = {"code": "codes.toml", "word": "glossary.toml"}


class Explained(NamedTuple):
    """A code or a word: which of the two it is, what it means, and how a fix looks or where one meets it."""

    name: str
    kind: str
    means: str
    example: str


def everything() -> dict[str, Explained]:
    """All that is explained, by its name, codes first."""
    found = {}
    for kind, file in KINDS.items():
        content = resources.files(__name__).joinpath(file).read_text(encoding="utf-8")
        for name, one in tomllib.loads(content).items():
            found[name] = Explained(name, kind, one["means"], one["example"].strip("\n"))
    return found
