"""What stands in a title beside words: years, a copy's number, a print run, a slab, the card's number."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

_SPAN_OF_YEARS = re.compile(
    r"\b(?:19|20)\d\d\s*[-/]\s*(?:(?:19|20)?\d\d)\b|(?<!\d)'?\d\d\s?-\s?\d\d\b(?=\s+[A-Z])"
)
_YEAR = re.compile(r"(?<![\d/#-])((?:19|20)\d\d)(?![\d/])")
_SERIAL = re.compile(
    r"(?:#|no\.?\s?|serial\s*|numbered\s*"
    r"|ser\.?\s*#?)?'?d?\s*(?<![\d.])(?P<copy>\d{1,5})\s*(?:/|\bof\b"
    r"|\bout of\b)\s*#?(?P<run>\d{1,5})(?![\d/])",
    re.IGNORECASE,
)
_RUN_ONLY = re.compile(
    r"(?:#['’]?\s?d?|numbered|serial(?:ly)?[\s-]*(?:numbered)?|limited|ltd|print run|pr"
    r"|out of|no['’]?d|num['’]?d|(?:ser|s)/n)\s*(?:to|of"
    r"|out of)?\s*:?\s*[#/]+\s*(\d{1,5})\b"
    r"|(?:#['’]\s?d|numbered|serial numbered|limited|print run|out of|num['’]d|#d)\s*(?:to"
    r"|of|out of|:)?\s*(\d{1,5})\b|(?<![\w/])/\s?(\d{1,5})\b",
    re.IGNORECASE,
)
_ONE_OF_ONE = re.compile(
    r"\b0{0,3}1\s*(?:/|of|-of-)\s*1\b(?!/)|\bone[\s-]of[\s-](?:one|a[\s-]kind)\b|\b1of1\b", re.IGNORECASE
)
_SLAB = re.compile(
    r"\b(?:slab(?:bed)?|graded|encapsulated|gem\s*(?:mint|mt)?|mint|pristine|grade"
    r"|black label|authenticated)\s*[-:]?\s*(?:gem\s*)?(?:mint\s*|mt\s*)?(?:[A-Z]{2,5}\s?)?"
    r"(?P<grade>10|[1-9](?:\.5)?)(?![\d/.])"
    r"|\b(?:slab(?:bed)?|graded|encapsulated|gem\s+(?:mint|mt))\b"
)
_GRADER = re.compile(
    r"(?<![\w#/-])([A-Za-z]{2,5})[\s-]?(10|[1-9](?:\.5)?)\b(?![/\d.]|\s*(?:/|of\b|card|ct\b))"
    r"(?:\s*(?:gem|mint|mt|nm|pristine))?"
)
_RAW = re.compile(
    r"\b(?:ungraded|un-graded|raw|not graded|no grade|grade(?:able)?[\s-]*ready"
    r"|ready to (?:be )?grade|(?:slab|grading)[\s-]*ready)\b",
    re.IGNORECASE,
)
EXPLICIT = re.compile(
    r"(?:#\s*|\b(?:card|no|nr|number|n°"
    r"|num)\b\.?\s*#?\s*)(?P<n>[A-Za-z]{0,6}[\s-]?\d{1,4}[A-Za-z]?"
    r"|[^\W\d_]{1,6}-[^\W\d_]{1,6}\d{0,3})(?![\w/])",
    re.IGNORECASE,
)


def years_in(title: str) -> set[int]:
    """The years that a title names; both of a season such as 2031-32."""
    spans = {
        int(found[0][:4]) + step
        for found in _SPAN_OF_YEARS.finditer(title)
        if found[0][:4].isdigit()
        for step in (0, 1)
    }
    return spans | {int(found[1]) for found in _YEAR.finditer(_SPAN_OF_YEARS.sub(" ", title))}


def without_years(title: str) -> str:
    """A title without its years."""
    return _YEAR.sub(" ", _SPAN_OF_YEARS.sub(" ", title))


@dataclass(frozen=True, slots=True)
class Slab:
    """Whether a title is of a slab, and what is left of the title without the words that say so."""

    is_slabbed: bool
    rest: str


def cut_slab(line: str, is_own: Callable[[str, str], bool]) -> Slab:
    """Part a title from its slab: 'slab', 'graded', or letters and a grade that this release has not."""
    bare, is_slabbed = _RAW.sub(" ", line), False
    if bare == line:
        for found in re.finditer(_SLAB.pattern, bare, re.IGNORECASE):
            word = found[0].lower()
            if found["grade"] is None and not word.startswith(("slab", "graded", "encaps", "gem")):
                continue
            is_slabbed = found["grade"] is not None or not word.startswith("gem")
            after = bare[found.end() :]
            if found["grade"] and (who := re.match(r"\s+([A-Z]{2,5})\b", after)) and not is_own(who[1], ""):
                after = after[who.end() :]  # 'Gem Mint 10 XYZ'
            bare = f"{bare[: found.start()]} {after}"
            break
    for found in _GRADER.finditer(bare):
        if not is_own(found[1].upper(), found[2]):
            return Slab(True, f"{bare[: found.start()]} {bare[found.end() :]}")
    return Slab(is_slabbed, bare)


@dataclass(frozen=True, slots=True)
class Run:
    """The print run that a title tells, None where it tells none, and the rest of the title."""

    run: int | None
    rest: str


def cut_run(line: str, is_number: Callable[[str], bool]) -> Run:
    """Part a title from its copy's number and print run, as '41/75', "#'d /75" or '1 of 1'."""
    if found := _ONE_OF_ONE.search(line):
        return Run(1, f"{line[: found.start()]} {line[found.end() :]}".replace("#", " # "))
    for found in _SERIAL.finditer(line):
        copy, run = int(found["copy"]), int(found["run"])
        if 0 < copy <= run:
            return Run(run, f"{line[: found.start()]} {line[found.end() :]}")
    for found in _RUN_ONLY.finditer(line):
        if "/" not in found[0] and is_number(found[0]):
            continue  # '#D8' is a card where the checklist has a D-8
        digits = next(value for value in found.groups() if value)
        return Run(int(digits) or None, f"{line[: found.start()]} {line[found.end() :]}")
    return Run(None, line)


def has_year(words: str) -> bool:
    """Whether words hold a year."""
    return _YEAR.search(words) is not None
