"""Texts with the marks of forums, [b] and [i]: bold headings with what stands below, and the talk around."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from rating.release.intake import unfold, words
from rating.release.intake.sheet_kinds import CARD_LIST, KEY, TALK
from rating.release.intake.texts.part import Part

_HEADING = re.compile(
    r"\s*(?:\[(?:b|u|h\d?|size=?[^\]]{0,12}|color=?[^\]]{0,20})\])+\s*(?P<name>[^\[\]]{2,80}?)\s*"
    r"(?:\[/\w{1,8}\])+\s*(?P<rest>.*)\Z",
    re.IGNORECASE,
)
_INNER = re.compile(r"\s*\[i\][^\[\]]{2,80}\[/i\]\s*:?\s*\Z", re.IGNORECASE)
_TAG = re.compile(
    r"\[/?(?:b|i|u|s|h\d?|list|\*|quote|size|color|url|center)(?:=[^\]]{0,60})?\]", re.IGNORECASE
)
_POST = re.compile(r".{2,40}\s(?:»|wrote:|posted\b|said:).{0,60}\Z|\s*(?:-{2,}|={2,}|_{2,})\s*\Z")
_NUMBERS = re.compile(r"(?<![\w/.-])\d{1,3}[a-z]?(?![\w/]|\.\d)")
_LEAST = 2


@dataclass(slots=True)
class _Section:
    """A bold heading, what stands behind it, and the lines below."""

    number: int
    name: str
    rest: str
    lines: list[tuple[int, str]] = field(default_factory=list)


def parts(lines: Sequence[str]) -> list[Part]:
    """The parts of a text with the marks of a forum, none where it has none."""
    if sum(bool(_HEADING.match(line)) for line in lines) < _LEAST:
        return []
    talk, marks = Part(kind=TALK), Part(kind=KEY)
    sections: list[_Section] = []
    is_open = False
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        if found := _HEADING.match(line):
            sections.append(_Section(number, found["name"].strip(" :"), _bare(found["rest"])))
            is_open = True
        elif _POST.match(line):
            talk.rows.append((number, [line.strip()]))
            is_open = False
        elif _INNER.match(line) and is_open:
            marks.rows.append((number, [line.strip()]))
        elif is_open:
            sections[-1].lines.append((number, _TAG.sub("", line).strip()))
        else:
            talk.rows.append((number, [_TAG.sub("", line).strip()]))
    found_parts = [_part(one, marks) for one in sections]
    return [one for one in (*found_parts, talk, marks) if one.rows]


def _bare(rest: str) -> str:
    return _TAG.sub("", rest).strip(" =:-–—")


def _part(one: _Section, marks: Part) -> Part:
    """A section as a list of cards under its heading, or as the numbers of the cards that it varies."""
    lines = _joined(one.lines, marks)
    numbered = [line for line in lines if unfold.start(line[1]) is not None]
    if not numbered and (words.VARIATION.search(one.rest) or words.SAME_NUMBERS.search(one.rest)):
        said = " ".join((one.rest, *(line for _, line in lines)))
        rows = [(one.number, [one.name, number, "yes"]) for number in _NUMBERS.findall(said)]
        marks.rows += [(number, [line]) for number, line in lines]
        return Part(rows=rows, kind=CARD_LIST, roles=((0, "subset"), (1, "number"), (2, "variation")))
    if not numbered:
        marks.rows += [(one.number, [one.name, one.rest]), *((number, [line]) for number, line in lines)]
        return Part()
    rows = [(one.number, [one.name])]
    if one.rest:
        rows.append((one.number, [one.rest]))
    first = lines.index(numbered[0])
    after = max(lines.index(line) for line in numbered)
    # what stands below the cards speaks of them as what stands above
    told = [*lines[:first], *(line for line in lines[after + 1 :] if not _is_talk(line[1]))]
    rows += [(number, [line]) for number, line in (*told, *lines[first : after + 1])]
    marks.rows += [(number, [line]) for number, line in lines[after + 1 :] if _is_talk(line)]
    return Part(rows=rows, kind=CARD_LIST)


def _is_talk(line: str | tuple[int, str]) -> bool:
    """Whether a line below cards is neither a list of parallels nor words on the cards."""
    said = line if isinstance(line, str) else line[1]
    return words.listed_parallels(said) is None and words.BLURB.search(said) is None


def _joined(lines: Sequence[tuple[int, str]], marks: Part) -> list[tuple[int, str]]:
    """Lines with those joined that go on behind a comma or a semicolon."""
    found: list[tuple[int, str]] = []
    last = 0
    for number, line in lines:
        if found and number == last + 1 and found[-1][1].endswith((",", ";", "&", "/")):
            found[-1] = (found[-1][0], f"{found[-1][1]} {line}")
            marks.rows.append((number, [line]))
        else:
            found.append((number, line))
        last = number
    return found
