"""Formats that sentences hold parallels to: 'Rust is in the Hobby box only', 'Plum is never in a tin'."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from rating.release.checklist import Parallel
from rating.release.intake import formats_said, lexicon, statements, words
from rating.release.intake.values import FormatWords

_ONLY = re.compile(r"\b(?:only|alone|exclusively|exclusive to|solely|nowhere else)\b", re.IGNORECASE)
_DENIED = re.compile(r"\b(?:never|not|nor|stays? out|(?:left|kept) out|absent from)\b", re.IGNORECASE)
# what begins another thought, so that names before it are not meant
_PARTED = re.compile(r"[;:()?]|\bbut\b|\bwhile\b|\bwhereas\b", re.IGNORECASE)
# words of odds and promises: a thought with them is no rule of where a parallel can be found
_COUNTED = re.compile(
    r"\d|\b(?:one|once|twice|every|each|per|average|guaranteed|copies|last year)\b", re.IGNORECASE
)
_NEAR = 45  # letters between a format and the word that holds a parallel to it
_MOST = 200_000  # letters of all that is looked at


def with_formats(
    parallels: Sequence[Parallel], paragraphs: Iterable[str], formats: Sequence[FormatWords]
) -> list[Parallel]:
    """Parallels without formats, with those that sentences hold them to; of one name in all its subsets."""
    names = {one.parallel for one in parallels if not one.formats}
    said = _stated(paragraphs, names, {one.subset for one in parallels}, _named(formats))
    return [
        one
        if one.formats
        else one._replace(formats=said.get((one.subset, one.parallel)) or said.get(("", one.parallel)) or ())
        for one in parallels
    ]


def _named(formats: Sequence[FormatWords]) -> dict[str, str]:
    """The words that name each format: its name, and the last word of it where that is its own."""
    units = lexicon.meaning("packing", "units")
    found = {
        words.fold(formats_said.bare_name(one.name or one.key.replace("-", " "))): one.key for one in formats
    }
    for bare, key in list(found.items()):
        last = bare.split(" ")[-1]
        if last not in units and sum(other.split(" ")[-1] == last for other in found if " " in other) == 1:
            found.setdefault(last, key)
    return found


def _stated(
    paragraphs: Iterable[str], names: set[str], subsets: set[str], formats: Mapping[str, str]
) -> dict[tuple[str, str], tuple[str, ...]]:
    """The formats by subset, blank for all, and parallel; a name held to different ones is left out."""
    keys = tuple(dict.fromkeys(formats.values()))
    if len(keys) < 2 or not names:
        return {}
    known = {kind: _pattern(some) for kind, some in (("parallel", names), ("subset", subsets))}
    of_formats = _pattern(formats, ignore_case=True)
    told: dict[tuple[str, str], set[tuple[str, ...]]] = {}
    held_ones = (place for one in _thoughts(paragraphs) for place in _places(one, of_formats, formats, keys))
    for span, held in held_ones:
        if _COUNTED.search(span):
            continue
        of = known["subset"].findall(span)
        for name in set(known["parallel"].findall(span)):
            told.setdefault((of[0] if len(of) == 1 else "", name), set()).add(held)
    return {key: next(iter(held)) for key, held in told.items() if len(held) == 1}


def _thoughts(paragraphs: Iterable[str]) -> Iterator[str]:
    """The sentences, parted where another thought begins; of so much text as is looked at."""
    left = _MOST
    for paragraph in paragraphs:
        left -= len(paragraph)
        for sentence in statements.sentences(paragraph) if left > 0 else ():
            yield from _PARTED.split(sentence)


def _pattern(names: Iterable[str], *, ignore_case: bool = False) -> re.Pattern[str]:
    listed = "|".join(re.escape(one) for one in sorted(names, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{listed})(?!\w)", re.IGNORECASE if ignore_case else 0)


def _places(
    part: str, pattern: re.Pattern[str], formats: Mapping[str, str], keys: Sequence[str]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each stretch of a thought that holds something to formats, with those formats."""
    folded = words.fold(part)
    if len(folded) != len(part):
        return
    begun = 0
    for found in pattern.finditer(folded):
        key = formats[found[0]]
        before, after = part[begun : found.start()], part[found.end() : found.end() + _NEAR]
        stop = re.split(r"[,.]", after)[0]
        if _DENIED.search(before[-2 * _NEAR :]):
            yield before, tuple(one for one in keys if one != key)
        elif _ONLY.search(stop) or _ONLY.search(before[-_NEAR:]):
            yield before, (key,)
        begun = found.end() + len(stop)
