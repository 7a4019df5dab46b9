"""Every sentence that the sample season makes the program say, once, with one example: to be read aloud.

`python tests/screens/sentences.py [SEASON]` prints them by who says them: facts and grades, explanations,
then what commands say beside. Of a sentence said with other numbers and names, the first example is shown.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import sys
import tempfile
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from rating.cli import main as boxwright
from rating.cli.shared import screen
from rating.cli.words import everything
from rating.facts import cautions, sections
from rating.facts.blocks import Listing
from rating.facts.breaks import tell as slots
from rating.facts.plain import Unknown
from rating.season.season import Season

HERE = Path(__file__).resolve().parent
SAMPLE = HERE.parents[1] / "sample_ratings"
# beside the commands whose screens are kept: those that change a season, which gets a copy of its own
CHANGING = [
    "price halyard hobby 170.00 --kind street --on 2031-07-15",
    "grade undertow --ask",
    "export workbook",
    "export tables",
    "scoresheet halyard --rater mo",
    "take-in nothing.xlsx",
    "check",
    "check undertow",
    "ledger note halyard --because 'The third box had a second rookie.'",
    "ledger errata halyard --says 'The price was a typing mistake.'",
    "ledger withdraw foghorn --reason 'Recalled by the maker.'",
    "ledger backup",
    "ledger prove halyard",
    "ledger check exports/2031-07-15/halyard-proof.json",
    "ledger export ledger.jsonl",
    "ledger merge ledger.db",
    "criteria test design",
    "doctor",
    "add new-line --title 'New Line'",
    "check new-line",
    "find Nobody",
    "stability halyard --lift 40",
    "standings --class nothing",
]
# a full stop ends a sentence where a capital follows, but not behind an initial or 'St.'
_END = re.compile(r"(?<!\bSt\.)(?<!\b[A-Z]\.)(?<=[.!?]) (?=[A-Z0-9$])")
# words with capitals, and lists of them
_ONE = r"[A-Z][\w'’.#-]*(?: (?:& |of )?[A-Z][\w'’.#-]*)*(?: \(N\))?"
_NAMES = re.compile(rf"(?<=[ (]){_ONE}(?:(?:, | and |, and ){_ONE})*(?: and N (?:more|others?))?(?: …)?")
_NUMBER = re.compile(r"[$€]?\d[\d.,:\u00a0-]*(?: in \d[\d,]*| %)?")
_TABLE = re.compile(r"\S {2,}\S|^-+$|^$")  # columns, the line under a heading
_ELSEWHERE = (
    "#",
    "facts",
    "grade",
    "slots",
    "explain",
    "ledger\n",
    "criteria show",
)  # what they say is told by their parts, above
_TOLD = (slots.heading, slots.cost, slots.limits, slots.worth, slots.spread, slots.asked, slots.drawn)


def explained() -> Iterator[tuple[str, str]]:
    """What codes, words and topics mean."""
    for one in everything().values():
        yield f"explain, {one.kind}", f"{one.name}: {' '.join(one.means.split())}"


def said(season: Season) -> Iterator[tuple[str, str]]:
    """All that is told of every release, each text with who tells it."""
    for slug in season.files.slugs:
        facts = season.facts(slug)
        for one in sections.SECTIONS:
            value = facts.of(one)
            yield one.key, one.told(facts)
            if isinstance(value, Unknown):
                continue
            yield f"{one.key}, in short", one.led(value, facts)
            for block in one.tables(value, facts):
                if not isinstance(block, Listing):
                    yield f"{one.key}, beside its tables", block
        yield "cautions", cautions.short(facts)
        yield from _grade(season, slug)
        yield from _slots(season, slug)


def _grade(season: Season, slug: str) -> Iterator[tuple[str, str]]:
    draft = season.grade(slug)
    yield "price line", draft.beside.price_line
    for part in draft.graded.contributions:
        if part.score.basis == "computed":
            yield f"reason of {part.score.criterion}", part.score.reason
            yield from ((f"evidence of {part.score.criterion}", one) for one in part.evidence)
    for one in (*draft.graded.unknown, *draft.graded.not_applicable):
        yield f"why no score of {one.criterion}", one.why


def _slots(season: Season, slug: str) -> Iterator[tuple[str, str]]:
    from rating.errors import RatingError

    try:
        found = season.slots(slug)
    except RatingError as fault:
        yield "slots, refused", f"{fault.what}; {fault.fix}"
        return
    for tell in _TOLD:
        yield "slots", tell(found)
    yield from (("slots", slots.pick(one, found.currency)) for one in found.picks)
    yield from (("slots", words) for words in (*slots.swaps(found), *slots.moves(found), *found.remarks))


def spoken() -> Iterator[tuple[str, str]]:
    """What commands say beside their tables in the sample season with its history, each line unbroken."""
    kept = (HERE / "screens.txt").read_text(encoding="utf-8").splitlines()
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {"BOXWRIGHT_CACHE": f"{folder}/cache", "COLUMNS": "9999"}
        os.chdir(folder)
        screen.PAGE = 9999  # sentences are not broken
        _run("demo")
        os.chdir("demo-season")
        for line in (*kept, *CHANGING):
            if not f"{line}\n".startswith(_ELSEWHERE):
                for told in _run(line).splitlines():
                    if not _TABLE.search(told.strip()):
                        yield f"boxwright {line}", told


def _run(line: str) -> str:
    seen = io.StringIO()
    with contextlib.redirect_stdout(seen), contextlib.redirect_stderr(seen):
        boxwright(shlex.split(line))
    return seen.getvalue()


def shape(sentence: str) -> str:
    """A sentence without its numbers and names: what is said alike has one shape."""
    return _NAMES.sub("NAME", _NUMBER.sub("N", f" {sentence}"))


def once(told: Iterator[tuple[str, str]]) -> dict[str, dict[str, str]]:
    """By who says them, the first sentence of each shape."""
    found: dict[str, dict[str, str]] = {}
    for who, words in told:
        for sentence in filter(None, _END.split(words.strip())):
            found.setdefault(who, {}).setdefault(shape(sentence), sentence)
    return found


def main(path: str = "") -> None:
    """Print them."""
    season = Path(path).resolve() if path else SAMPLE
    told = once(chain(said(Season.open(season)), explained()))
    shapes = {one for sentences in told.values() for one in sentences}
    for who, sentences in (*sorted(told.items()), *once(spoken()).items()):
        # what facts or another command said already is not said again
        new = [words for one, words in sentences.items() if who in told or one not in shapes]
        shapes |= sentences.keys()
        if new:
            print(f"\n{who}", *new, sep="\n  ")


if __name__ == "__main__":
    main(*sys.argv[1:2])
