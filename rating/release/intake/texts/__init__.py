"""Plain texts that are no table of one kind, as parts that are: markdown, columns of blanks, records."""

from __future__ import annotations

from rating.release.intake.texts import markdown
from rating.release.intake.texts.part import Part

_READERS = (markdown.parts,)


def parts(content: str) -> list[Part]:
    """The parts of a text, none where it is an ordinary table or running text."""
    lines = content.split("\n")
    return next((found for read in _READERS if (found := read(lines))), [])


__all__ = ["Part", "parts"]
