"""Headings over cards: the name without what adorns it, the number of cards it states, and its style."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from rating.release.intake import kinds, wordlists, words

_LISTS = wordlists.load("cards")
_LABELS = "|".join(sorted(map(re.escape, _LISTS["labels"]), key=len, reverse=True))
_LABEL = re.compile(rf"\s*(?:{_LABELS})\s*:\s*(?=\S)", re.IGNORECASE)
_ADORNED = re.compile(r"\s*([=*~#_+•»«>-]{2,})\s*(?P<name>.+?)\s*\1\s*(?P<rest>.*)\Z")
_CODE = re.compile(r"\s*\[[A-Z0-9]{1,6}\]")
_COUNT = re.compile(
    r"\s*(?:[-–—,|:]\s*|[(\[]\s*)(?P<count>\d{1,4})[\s-]*(?:different\s+)?(?:cards?|kaarten|karten|cartes|kort)"
    r"\s*[)\]]?\s*\Z",
    re.IGNORECASE,
)
_LISTED = re.compile(
    r"(?P<name>[^\W_].{1,60}?)\s*[-–—:]?\s*\b(?:check[\s-]?|card\s)list\s*:?\Z", re.IGNORECASE
)
# a base set with a name of its own: in quotes, or behind a colon
_BASE_CALLED = re.compile(
    r"\s*(?:the\s+)?base\s+(?:set|cards?)\s*(?:[:–—-]\s*)?[\"“«](?P<quoted>[^\"”»]{2,50})[\"”»]\s*\Z"
    r"|\s*(?:the\s+)?base\s+(?:set|cards?)\s*:\s*(?P<name>[^\W\d_][^:;,.]{1,50}?)\s*\Z",
    re.IGNORECASE,
)
_BESIDE_BASE = re.compile(r"(?P<name>[^\W\d_][^:;,./]{1,50}?)\s*/\s*base\s+(?:set|cards?)\Z", re.IGNORECASE)
DOT = " · "  # between what a heading says behind its name
_DOTS = re.compile(r"\s+[·•∙|]\s+")
_ASIDE = re.compile(r"\s*\((?=[^()]*\s)(?-i:[a-z])[^()]*\)\Z")  # behind a name: '(the last bout)'
_PAIR, _NAME = 2, 60  # pieces of a heading, and letters of a name
_SEVERAL = 3
_LONGEST = 300  # letters of a heading
_SECTIONS = frozenset(_LISTS["sections"])


@dataclass(frozen=True, slots=True)
class Style:
    """How a heading is written, to tell headings of subsets from those of their parts."""

    adorned: bool = False
    labelled: bool = False
    coded: bool = False
    counted: bool = False

    def is_plainer(self, other: Style) -> bool:
        """Whether the other has a mark of headings that this one lacks."""
        return any(
            getattr(other, name) and not getattr(self, name)
            for name in ("adorned", "labelled", "coded", "counted")
        )


@dataclass(frozen=True, slots=True)
class Bare:
    """A heading's words without what adorns them, and what was there."""

    name: str
    count: int | None
    style: Style


def bare(line: str) -> Bare:
    """A heading without its adornment: '=== Base [BA] === - 80 cards' is 'Base' with 80 cards."""
    count: int | None = None
    if len(line) > _LONGEST:
        return Bare(line, None, Style())
    adorned = labelled = coded = False
    if (found := _COUNT.search(line)) and _is_closed(line[: found.start()]):
        count, line = int(found["count"]), line[: found.start()]
    if found := _ADORNED.match(line):
        adorned, line = True, f"{found['name']}{found['rest']}"
    if found := _LABEL.match(line):
        labelled, line = True, line[found.end() :]
    if _CODE.search(line):
        coded, line = True, _CODE.sub("", line)
    if found := _BASE_CALLED.match(line):
        line = found["quoted"] or found["name"]
    if count is None and (found := _COUNT.search(line)) and _is_closed(line[: found.start()]):
        count, line = int(found["count"]), line[: found.start()]
    return Bare(line.strip(), count, Style(adorned, labelled, coded, count is not None))


def beside_base(name: str) -> str:
    """What a base set is called in another language: 'Grundserie / Base Set' is the first; else blank."""
    found = _BESIDE_BASE.match(name.strip())
    return found["name"] if found else ""


def pieces(line: str) -> list[str]:
    """A heading parted at dots or strokes: 'Deck Ink · 12 autographs · 30 copies' is a name and what is said.

    One piece where none behind the name speaks of cards.
    """
    parts = [one.strip() for one in _DOTS.split(line)]
    name = _ASIDE.sub("", parts[0])
    if len(parts) < _PAIR or not any(mark.isalpha() for mark in name) or len(name) > _NAME:
        return [line]
    is_said = any(kinds.read(one).says or words.BLURB.search(one) for one in parts[1:])
    return [name, *filter(None, parts[1:])] if is_said else [line]


def _is_closed(line: str) -> bool:
    """Whether every bracket of a text is closed in it."""
    return line.count("(") <= line.count(")") and line.count("[") <= line.count("]")


def listed(lines: Iterable[str]) -> frozenset[str]:
    """The headings that say of what they are the checklist, where several do: 'Deck Ink Checklist'."""
    found = {line for line in lines if _LISTED.match(line) and not words.YEAR.search(line)}
    names = {words.fold(unlisted(line)) for line in found}
    is_base = len(names) > 1 and any(map(words.BASE_NAME.match, names))
    return frozenset(found) if is_base or len(names) >= _SEVERAL else frozenset()


def unlisted(line: str) -> str:
    """A heading without the word for a list of cards at its end."""
    told = _LISTED.match(line)
    return told["name"].strip() if told else line


def is_usual_section(name: str) -> bool:
    """Whether a heading usually names a part of the base set: 'Veterans', 'Rookies'."""
    return words.fold(name).strip(" :.=*-") in _SECTIONS
