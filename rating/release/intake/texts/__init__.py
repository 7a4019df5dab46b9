"""Plain texts that are no table of one kind, as parts that are: markdown, columns of blanks, records."""

from __future__ import annotations

import re
from collections import Counter

from rating.release.intake import unfold
from rating.release.intake.texts import aligned, forum, markdown, records
from rating.release.intake.texts.part import Part

_BULLET = re.compile(r"^[ \t]*(?P<mark>[*•·▪◦‣►–-]) +(?=\S)", re.MULTILINE)
_LEFT_OVER = re.compile(r"[ \t]*\[(?:edit|hide|show|\d{1,2})\][ \t]*$", re.MULTILINE)
_BRACKETED = re.compile(r"^[ \t]*\[[^\[\]\n]{3,200}(?:\n[^\[\]\n]{1,200}){1,6}\]", re.MULTILINE)
_LEAST = 3  # bullets of a list of cards


def plain(content: str) -> str:
    """A text without the bullets before its cards, and without what a web page leaves behind its lines."""
    content = _BRACKETED.sub(_on_one_line, _LEFT_OVER.sub("", content))
    bullets: Counter[str] = Counter()
    cards: Counter[str] = Counter()
    for found in _BULLET.finditer(content):
        line = content[found.end() : content.find("\n", found.end())]
        bullets[found["mark"]] += 1
        cards[found["mark"]] += unfold.start(line) is not None
    gone = {mark for mark, number in cards.items() if number >= _LEAST and number * 2 > bullets[mark]}
    return _BULLET.sub(lambda found: "" if found["mark"] in gone else found[0], content) if gone else content


def _on_one_line(found: re.Match[str]) -> str:
    """A bracket that runs over lines as one, with blank lines behind it."""
    lines = found[0].split("\n")
    return " ".join(map(str.strip, lines)) + "\n" * (len(lines) - 1)


def parts(content: str) -> list[Part]:
    """The parts of a text, none where it is an ordinary table or running text."""
    lines = content.split("\n")
    return markdown.parts(lines) or forum.parts(lines)


def loose_parts(content: str) -> list[Part]:
    """The parts of a text whose cells no mark parts, none where it is running text."""
    lines = content.split("\n")
    return records.parts(lines) or aligned.parts(lines)


__all__ = ["Part", "loose_parts", "parts", "plain"]
