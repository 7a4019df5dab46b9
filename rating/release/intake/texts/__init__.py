"""Plain texts that are no table of one kind, as parts that are: markdown, columns of blanks, records."""

from __future__ import annotations

from rating.release.intake.texts import aligned, forum, markdown, records
from rating.release.intake.texts.part import Part


def parts(content: str) -> list[Part]:
    """The parts of a text, none where it is an ordinary table or running text."""
    lines = content.split("\n")
    return markdown.parts(lines) or forum.parts(lines)


def loose_parts(content: str) -> list[Part]:
    """The parts of a text whose cells no mark parts, none where it is running text."""
    lines = content.split("\n")
    return records.parts(lines) or aligned.parts(lines)


__all__ = ["Part", "loose_parts", "parts"]
