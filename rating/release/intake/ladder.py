"""Parallels as makers write them: a list in a blurb, a list in a cell, or a column each."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rating import text
from rating.release.intake import words

_PARENS = re.compile(r"[(\[]([^)\]]*)[)\]]")
_HELD_TO = re.compile(
    r"(?:(?:only in|exclusive to|found in|exclusively in)\s+(?P<names>[\w/,& -]{3,60}?)"
    r"|(?P<before>[\w/,& -]{3,60}?)\s+(?:only|alone|exclusives?))\Z",
    re.IGNORECASE,
)
_HELD = re.compile(
    r"\b(?:only in|exclusive to|in)\s+\w+.*\Z|\b(\w+)\s+(?:only|alone|exclusives?)\s*\Z", re.IGNORECASE
)
_NO_FORMATS = {
    "rookies", "rookie", "veterans", "legends", "base", "base-cards", "redemption", "redemptions",
    "autographs", "stars", "one", "relics", "inserts", "select-cards", "selected-cards",
}  # fmt: skip
_BRACKETED = re.compile(r"[(\[](?P<said>[^()\[\]]{3,400})[)\]]|\[(?P<deep>(?:[^()\[\]]|\([^()]*\)){3,400})\]")
_DASH = re.compile(r"\s+[–—-]\s+")
_LOOSE_RUN = re.compile(r"\s+(\d{1,5})\s*\Z")
_UNNUMBERED = re.compile(
    r"\s*[-–—:,]?\s*\b(?:un-?numbered|not (?:serial[\s-]*)?numbered|no (?:print run"
    r"|serial number(?:ing)?|numbering))\b",
    re.IGNORECASE,
)
_NO_PARALLEL = re.compile(
    r"\b(?:year|season|page|size|weight|age|height|position|pos|price|value|grade|rank|row|count|total|jersey|uniform)\b",
    re.IGNORECASE,
)
_RUN_CELL = re.compile(
    r"(?:[#/]+\s*|#['’]?d\s*(?:to\s*)?|(?:serial[\s-]*)?(?:numbered|limited)\s*(?:to|:)?\s*[#/]*)?\d{1,5}"
    r"(?:\s*(?:copies|made|ex\.?|/\s*\d{1,5}))?|1\s*(?:of|/)\s*1|one[\s-]of[\s-]one|un-?numbered",
    re.IGNORECASE,
)
_STRETCH = 5  # cards of a subset that have one print run, on average
_COUNTED = re.compile(r"[^\W\d_]{1,12}[\s._-]{0,2}\d{1,3}\Z")  # 'Col 3'
_YEAR = re.compile(r"(?:19|20)\d\d\Z")
_MARK_ONLY = re.compile(r"(?:x|✓|✔|•|yes|y|/|\*)\Z", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One parallel: its name, its print run where it has one, and the formats it is held to."""

    name: str
    print_run: int | None = None
    formats: tuple[str, ...] = ()


def read_list(listed: str, formats: Sequence[str] = ()) -> list[Rung]:
    """The parallels of a list such as 'Mist, Amber /75, Driftwood /299 (retail only), Beacon 1/1'."""
    found = []
    for item in _items(listed):
        rung = read_one(item, formats)
        if rung is not None:
            found.append(rung)
    return found


_ODDS = re.compile(r"\s*\((?=[^()]*\d\s*:\s*\d)[^()]*\)")  # '(Pouch 1:4, Crate 1:2)'


def in_brackets(line: str) -> str:
    """The list of parallels that a line in brackets is, '[Peat /199; Whin /75 only]'; blank where none."""
    found = _BRACKETED.fullmatch(line.strip())
    if found is None:
        return ""
    said = (found["said"] or found["deep"]).strip()
    if listed := words.listed_parallels(said):
        return _ODDS.sub("", listed["rest"])
    items = _items(said)
    told = [(item, read_one(item)) for item in items]
    named = all(one is not None and one.name[:1].isupper() and len(one.name.split()) < 5 for _, one in told)
    runs = sum(
        one is not None and (one.print_run is not None or bool(_UNNUMBERED.search(item)))
        for item, one in told
    )
    return said if items and named and runs * 2 >= len(items) else ""


def _items(listed: str) -> list[str]:
    """The list parted at commas, semicolons and line breaks that stand outside brackets and numbers."""
    guarded = _PARENS.sub(
        lambda m: m[0].replace(",", "\x01").replace(";", "\x02").replace(" and ", " \x03 "), listed
    )
    guarded = re.sub(r"(\d),(\d{3})\b", "\\1\x01\\2", guarded)
    if ";" in guarded:
        guarded = guarded.replace(",", "\x01")  # commas stand inside what semicolons part
    parts = re.split(r"\s*(?:[,;•|\n]|\s/\s(?!\d))\s*", guarded)
    if len(parts) > 1 or re.search(r"/\s?\d|1/1|\d[^()]*\)\s+(?:and|&|plus)\s", guarded):
        parts = [piece for part in parts for piece in re.split(r"(?:^|\s)(?:and|&|plus)\s+", part)]
    restored = (
        part.replace("\x01", ",").replace("\x02", ";").replace("\x03", "and").strip(" .") for part in parts
    )
    return [part for part in restored if part]


def read_one(item: str, formats: Sequence[str] = ()) -> Rung | None:
    """One parallel out of a list, None where the words name none."""
    told = [found[1] for found in _PARENS.finditer(item)]
    name = _UNNUMBERED.sub(" ", _PARENS.sub(" ", item))
    run = words.run_in(name)
    if run is not None and (found := words.RUN.search(name)) is not None:
        if not name[: found.start()].strip(" -–—:#"):
            return None
        told.append(name[found.end() :].strip(" ,;"))
        name = name[: found.start()]
    elif loose := _LOOSE_RUN.search(name):
        run, name = int(loose[1]), name[: loose.start()]
    for part in told:
        run = run if run is not None else words.run_in(part)
        if run is None and re.fullmatch(r"\s*\d{1,5}\s*", part):
            run = int(part)
    told = [_without_run(part) for part in told]
    pieces = _DASH.split(name, maxsplit=1)
    if len(pieces) > 1 and formats_in(pieces[1], formats):
        told.append(pieces[1])
        name = pieces[0]
    elif (held := _HELD.search(name)) and formats_in(held[0], formats):
        told.append(held[0])
        name = name[: held.start()]
    name = text.tidy(re.sub(r"\bparallels?\b\s*\Z", "", name.strip(" -–—:,#/"), flags=re.IGNORECASE)).strip(
        " -–—:,#"
    )
    if not any(mark.isalpha() for mark in name) or len(name) > 60:
        return None
    held_to = tuple(dict.fromkeys(one for part in told for one in formats_in(part, formats)))
    return Rung(name=words.smart_case(name), print_run=run, formats=held_to)


def _without_run(part: str) -> str:
    """A remark without the print run in it: 'numbered to 60, only in Hobby' is 'only in Hobby'."""
    return words.RUN.sub(" ", _UNNUMBERED.sub(" ", part)).strip(" ,;|")


def formats_in(part: str, formats: Sequence[str] = ()) -> tuple[str, ...]:
    """The formats that a remark such as 'retail only' or 'Hobby/Jumbo exclusive' names, as keys."""
    bare = words.fold(part)
    if re.search(r"\b(?:all|every)\s+(?:formats?|products?|configurations?)\b", bare):
        return ()
    own = {words.fold(one).replace("-", " "): one for one in formats}
    return _named_formats(bare, own) or _usual_formats(part, bare, own)


def _named_formats(bare: str, known: Mapping[str, str]) -> tuple[str, ...]:
    """The formats that words name, in their order."""
    found: list[tuple[int, str]] = []
    taken: list[tuple[int, int]] = []
    for word in sorted(known, key=len, reverse=True):
        for place in re.finditer(rf"\b{re.escape(word)}\b", bare):
            if not any(start <= place.start() < end for start, end in taken):
                taken.append(place.span())
                found.append((place.start(), known[word]))
    return tuple(dict.fromkeys(key for _, key in sorted(found)))


def _usual_formats(part: str, bare: str, own: Mapping[str, str]) -> tuple[str, ...]:
    """The formats of a remark that names none of the release's: usual ones, else one that is new."""
    if found := _named_formats(bare, {one: text.slug_of(one) for one in words.FORMATS if one not in own}):
        return found
    if told := _HELD_TO.match(part.strip()):
        # a format that nobody named before: 'pegboard only'
        names = re.split(r"\s*(?:/|,|&|\band\b)\s*", told["names"] or told["before"])
        keys = [text.slug_of(re.sub(r"\b(?:box(?:es)?|packs?)\b", " ", name)) for name in names]
        return tuple(key for key in keys if key and key not in _NO_FORMATS)
    return ()


def read_column(title: str, cells: Sequence[str], formats: Sequence[str] = ()) -> Rung | None:
    """The parallel that a column stands for: its title names it, its cells hold runs or marks.

    None where the cells hold anything else.
    """
    filled = [cell for cell in cells if cell and not words.is_no(cell)]
    if not title or not any(mark.isalpha() for mark in title) or _COUNTED.match(title):
        return None
    if filled and all(_YEAR.match(cell) for cell in filled):
        return None
    head = read_one(title, formats)
    if head is None:
        return None
    runs = []
    for cell in filled:
        if _MARK_ONLY.fullmatch(cell.strip()):
            continue
        if not _RUN_CELL.fullmatch(cell.strip()):
            return None
        runs.append(words.run_cell(cell) if "unnumbered" not in cell.lower() else None)
    if not filled and head.print_run is None:
        return None
    whole = [run for run in runs if run]
    commonest = max(set(whole), key=whole.count) if whole else 0
    is_marked = any(not cell.strip().isdigit() for cell in filled)
    is_plain = bool(commonest) and not is_marked and head.print_run is None
    # plain numbers are print runs only where most cards have the same, or each stretch of them its own
    stretches = 1 + sum(a != b for a, b in pairwise(whole))
    is_one = whole.count(commonest) * 5 >= len(whole) * 3 or stretches * _STRETCH <= len(whole)
    if is_plain and (not is_one or _NO_PARALLEL.search(title)):
        return None
    return Rung(name=head.name, print_run=head.print_run or commonest or None, formats=head.formats)
