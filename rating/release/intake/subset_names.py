"""The names of subsets: a heading parted from what it says of the cards, and a sheet's own name."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rating import text
from rating.release.intake import (
    headings,
    kinds,
    words,
)
from rating.release.intake.parts import BASE, Section, Sheet

_GENERIC_SHEET = re.compile(
    r"(?:sheet|tabelle|feuil|hoja|blad|foglio|munkalap)\s*\d*\Z|.*\b(?:checklist|master|cl"
    r"|full|all|list|export|data|cards)\b.*",
    re.IGNORECASE,
)


_TAIL = re.compile(r"\s*(?:[-–—:,|(\[]|\bis\b)\s*\Z")


# before the words that follow a name; a hyphen inside a word is none
_KIND_MARK = re.compile(r"\s-+(?=\s|\w)|\s*[–—:(\[]")


_BRACKET = re.compile(r"(?P<name>[^()\[\]]+?)\s*[(\[](?P<said>[^()\[\]]{3,200})[)\]]\s*\Z")


# words about the cards behind a name: they begin with a small letter or a number
_SAID = re.compile(
    r"(?P<name>[^:,;()]{2,60}?)(?P<mark>\s*:\s+|\s+[-–—]+\s+|,\s+)(?P<rest>(?=[a-zà-ÿ\d])\S.*)\Z"
)


_STOPPED = re.compile(r"(?P<name>[^.:;()]{2,60})\.\s+(?P<rest>[^.]{3,60})\.?\Z")  # 'THE MIST. The base set'


CONTINUED = re.compile(r"\s*[-–(]*\s*\bcont(?:inued|['’]?d|\.)?\.?\s*\)?\s*\Z", re.IGNORECASE)


def split_heading(line: str) -> tuple[str, str]:
    """A heading's name, and the rest that says something of it: 'Deck Signatures (#/120)' in two.

    Kind words after a dash, a colon or a bracket belong to the rest: 'Harbour Ink: dual autographs' is of
    the subset Harbour Ink.
    """
    if len(parts := headings.pieces(line)) > 1:
        return parts[0], headings.DOT.join(parts[1:])
    name = _without_kinds(before_blurb(_without_bracket(line)))
    if name == line:
        return line, ""
    return name.strip(), line[len(name) :].strip(" -–—:,|([")


def before_blurb(line: str) -> str:
    """A heading up to where it begins to speak of print runs, cards and material."""
    found = words.BLURB.search(line)
    if not found:
        return line
    name = line[: found.start()]
    while (shorter := _TAIL.sub("", name)) != name:
        name = shorter
    return name


def _without_bracket(name: str) -> str:
    """A name without the bracket at its end that says what its cards are: 'Inked (two signatures)'."""
    found = _BRACKET.match(name)
    if found is None:
        return name
    said = found["said"]
    told = kinds.read(said)
    is_said = told.says or words.run_in(said) is not None or words.CARDS_COUNT.search(said) is not None
    return found["name"] if is_said else name


def _without_kinds(name: str) -> str:
    """A name without the kind words after its last dashes; 'Base: autographs' is a name of its own."""
    bare = CONTINUED.sub("", name)
    while marks := list(_KIND_MARK.finditer(bare)):
        head, tail = bare[: marks[-1].start()].rstrip(" ,"), bare[marks[-1].end() :]
        title = words.fold(head.strip())
        if not (words.are_kinds(tail) or words.BASE_NAME.match(words.fold(tail))):
            break
        if not title or words.BASE_NAME.match(title):
            break
        if words.GROUP_HEADING.match(title):
            break
        bare, name = head, head
    stopped = _STOPPED.match(name)
    if stopped and kinds.are_kinds(stopped["rest"]):
        return stopped["name"]
    said = _SAID.match(name)
    if said and (said["mark"].strip() == ":" or kinds.read(said["rest"]).says or words.run_in(said["rest"])):
        return said["name"]
    return name


def tell_apart(sections: Iterable[Section]) -> None:
    """Give subsets back their kind words where their names are one without: an ink and its relics."""
    named: dict[str, list[Section]] = {}
    for section in sections:
        if section.full:
            named.setdefault(text.key(section.name), []).append(section)
    for alike in named.values():
        if len({text.key(section.full) for section in alike}) > 1:
            for section in alike:
                section.name = section.full


def sheet_subset(sheet: Sheet, *, repeated: set[str], several: bool) -> None:
    """Give a sheet's only section the sheet's name, where that is its subset.

    Parameters
    ----------
    repeated : headings that stand on several sheets, which are titles and no subsets
    several : whether the workbook has several sheets of cards
    """
    with_cards = [section for section in sheet.sections if section.lines]
    title = text.tidy(sheet.grid.sheet)
    is_generic = not title or _GENERIC_SHEET.match(title) is not None
    for section in with_cards:
        if text.key(section.name) in repeated:
            section.name, section.is_guessed = "", True
    if len(with_cards) != 1:
        for section in with_cards:
            if section.is_guessed:
                section.name = title if not is_generic else BASE
        return
    section = with_cards[0]
    if section.lines[0].header.has("subset"):
        return
    start = text.key(title)
    if section.is_guessed:
        section.name = title if title and (several or not is_generic) and not _is_plain(title) else BASE
    elif several and not is_generic and start and not text.key(section.name).startswith(start[:31]):
        # the heading names something wider or narrower than the sheet: the heading is what the maker printed
        section.group = section.group or title
    for candidate in sheet.titles:
        name, _ = split_heading(candidate)
        is_name = text.key(name).startswith(start) and len(name) < 80 and not kinds.are_kinds(name)
        if section.is_guessed and start and is_name:
            section.name = name  # a sheet's name is cut at 31 characters, its title is not


def _is_plain(title: str) -> bool:
    return (
        re.fullmatch(
            r"(?:sheet|tabelle|feuil|hoja|blad|foglio)\s*\d*|checklist|master|data|cards",
            title,
            re.IGNORECASE,
        )
        is not None
    )
