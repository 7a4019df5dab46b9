"""The formats that sell sheets and odds speak of, found by how their names stand in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from rating import text
from rating.release.intake import lexicon, words
from rating.release.intake.values import FormatWords
from rating.release.intake.words import fold

_UNIT = r"(?:[Bb][Oo][Xx](?:[Ee][Ss])?|[Pp][Aa][Cc][Kk](?:[Ss]|[Ee][Tt][Ss]?)?|[Cc][Aa][Ss][Ee][Ss]?)"
_NAME = r"(?P<name>[^\W\d_a-z][\w'’&.]*(?:[ -][^\W\d_a-z][\w'’&.]*){0,3}?)"
_OPENERS = (
    re.compile(
        rf"^(?:(?:each|every|an?|the|one)\s+)?(?-i:{_NAME})\s+{_UNIT}\s+(?:holds?|contains?|has|have|comes?"
        r"|is|are|ships?|yields?|carr(?:y|ies)|delivers?|includes?)\b",
        re.IGNORECASE,
    ),
    re.compile(
        rf"^(?:(?:each|every|an?|the|one)\s+)?(?-i:{_NAME})"
        r"\s+(?:comes?|ships?|is packed|are packed|contains?|holds?|packs)\s+(?:in\s+)?\d",
        re.IGNORECASE,
    ),
    re.compile(
        rf"^(?-i:{_NAME})(?:\s+{_UNIT})?(?:,[^:\d]{{1,60}})?(?:\s*[:–—]|\s+-)\s*\d+[ -](?P<unit>[^\W\d_]+)",
        re.IGNORECASE,
    ),
)
_INTRODUCED = re.compile(
    rf"^(?:the|an?|each|every|our)\s+(?-i:{_NAME})\s+(?:is|has|holds?|contains?|comes|gives)\b", re.IGNORECASE
)
_INSIDE = re.compile(
    rf"\b(?:per|(?i:each|every|an?|one)(?:\s+(?:other|second|third|fourth|fifth|sixth|eighth|tenth))?)\s+{_NAME}\s+{_UNIT}\b"
)
_BEFORE_UNIT = re.compile(rf"(?<=[a-z0-9] ){_NAME}\s+{_UNIT}\b")
_USUAL = re.compile(r"\b(?P<name>[a-z]+)\s+(?:packs?|box(?:es)?|cases?)\b", re.IGNORECASE)
_PLAIN = re.compile(r"\b(?:per|each|every|an?)\s+(?P<name>[a-z]+)\s+(?:box|boxes|pack|case)\b")
_LEADING = re.compile(r"\A(?:format|formato|configuration|edition)\s+(?=\w)", re.IGNORECASE)
_ENDING = re.compile(
    r"\s*\b(?:box(?:es)?|packs?|cases?|format|configuration|edition|version)\s*\Z", re.IGNORECASE
)
_EXPLAINED = re.compile(r"(?P<name>[^()]+?)\s*\((?P<said>[^()]+)\)\Z")  # 'Lantern (Hobby)'
_OF_PRICES = re.compile(r"\b(?:pric(?:e|es|ing)|cost|srp|msrp|content|contents)\b", re.IGNORECASE)
_UNIT_NAME = re.compile(r"[^\W\d_]{3,20}(?: [^\W\d_]{3,20})?")
_FREE = frozenset(
    (
        "each", "every", "a", "an", "the", "one", "per", "sealed", "factory", "guaranteed", "look", "there",
        "it", "suggested", "master", "inner", "full",
    )
)  # fmt: skip


def key_of(name: str) -> str:
    """A format's key: its name without the word for what it is."""
    return text.slug_of(bare_name(name))


def bare_name(name: str) -> str:
    """A format's name without the word for what it is, and without what a bracket says of it."""
    bare = _LEADING.sub("", text.tidy(name).strip(" :.–—-"), count=1)
    if (found := _EXPLAINED.match(bare)) and fold(found["said"]) in words.FORMATS:
        bare = found["name"]
    return _ENDING.sub("", bare) or bare


class Formats:
    """The formats known so far, in the order in which they were met, each by its key."""

    def __init__(self, known: Iterable[FormatWords] = ()) -> None:
        self.names: dict[str, str] = {}  # folded name: key
        self.shown: dict[str, str] = {}  # key: name as written
        for one in known:
            self.shown[one.key] = one.name or one.key
            self.names[fold(one.key).replace("-", " ")] = one.key
            if one.name:
                self.names[fold(bare_name(one.name))] = one.key

    def add(self, name: str, *, is_headed: bool = False) -> str:
        """Note a format by its name; its key, blank where the words can be no name of one.

        What heads a column of packing and prices may be a word for a unit: 'Box', 'Tin'.
        """
        stem = bare_name(name) or text.tidy(name)
        bare = fold(stem)
        if bare in self.names:
            return self.names[bare]
        if not could_be(stem) and not (is_headed and _UNIT_NAME.fullmatch(stem)):
            return ""
        key = text.slug_of(stem)
        if not key:
            return ""
        self.names[bare] = key
        self.shown.setdefault(key, words.smart_case(stem))
        return key

    def of(self, name: str) -> str:
        """The key of a format known by this name; blank where there is none."""
        return self.names.get(fold(bare_name(name)), "")

    @property
    def keys(self) -> tuple[str, ...]:
        """All of them."""
        return tuple(dict.fromkeys(self.names.values()))

    def heading(self, line: str) -> str:
        """The key of a format that a line names and nothing else, known before or one of the usual."""
        stem = bare_name(line)
        if key := self.of(stem):
            return key
        return self.add(stem) if fold(stem) in words.FORMATS else ""

    def listed(self, line: str) -> tuple[str, ...]:
        """The formats that a line names, in its order; usual ones that nobody named before are noted."""
        for found in re.findall(r"[^\W\d_]+", line):
            if fold(found) in words.FORMATS:
                self.add(found)
        folded = fold(line)
        places = {
            key: found.start()
            for name, key in self.names.items()
            if (found := re.search(rf"(?<!\w){re.escape(name)}(?!\w)", folded))
        }
        return tuple(sorted(places, key=lambda key: places[key]))

    def opener(self, line: str) -> str:
        """The key of the format that a line opens with, noted if it is new."""
        for pattern in _OPENERS:
            found = pattern.search(line)
            if not found or not could_be(found["name"]):
                continue
            unit = found.groupdict().get("unit")
            if unit is None or fold(unit) in lexicon.meaning("packing", "units"):
                return self.add(found["name"])
        return ""

    def introduced(self, line: str) -> str:
        """The key of a format that a sentence of packing opens with: 'The Tea Tin is a pack of …'."""
        found = _INTRODUCED.search(line)
        return self.add(found["name"]) if found and could_be(found["name"]) else ""

    def before_units(self, line: str) -> None:
        """Note each name that stands right before a unit: 'one in 20 Hobby packs'."""
        for found in _BEFORE_UNIT.finditer(line):
            if could_be(found["name"]):
                self.add(found["name"])
        for found in _USUAL.finditer(line):
            if found["name"].lower() in words.FORMATS:
                self.add(found["name"])

    def inside(self, line: str) -> None:
        """Note the formats that stand before a unit inside a line."""
        for found in _INSIDE.finditer(line):
            if could_be(found["name"]):
                self.add(found["name"])
        for found in _PLAIN.finditer(line):
            if found["name"] in words.FORMATS:
                self.add(found["name"])


def could_be(name: str) -> bool:
    """Whether words can name a format: few, without numbers, and more than units and small words."""
    parts = re.split(r"[-/\s]+", fold(bare_name(name)))
    units = lexicon.meaning("packing", "units")
    small = lexicon.listed("packing", "small", "per")
    if not any(parts) or len(parts) > 4 or any(mark.isdigit() or mark == "?" for mark in name):
        return False
    if "/" in name:
        return False  # 'Boxes/tins per carton', 'Hobby/Jumbo' are several
    return any(part not in units and part not in small and part not in _FREE for part in parts)


def is_heading(line: str, following: Sequence[str]) -> bool:
    """Whether a short line names the format of what follows: packing stands right below it."""
    bare = text.tidy(line).strip(" :.")
    if not bare or len(bare) > 40 or len(bare.split()) > 5 or not could_be(bare) or line.endswith((".", "!")):
        return False
    if re.search(r"[\d,;$€£]", bare) or _OF_PRICES.search(bare):
        return False
    units = lexicon.meaning("packing", "units")
    for other in following[:3]:
        said = re.findall(r"[^\W\d_]+", fold(other))
        if re.search(r"\d", other) and sum(word in units for word in said) >= 2:
            return True
    return False
