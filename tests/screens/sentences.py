"""Every sentence that the sample season makes the program say, once, with one example: to be read aloud.

`python tests/screens/sentences.py [SEASON]` prints them by who says them; of a sentence that is said with
other numbers and names the first example is shown.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

from rating.facts import cautions, sections
from rating.facts.blocks import Listing
from rating.facts.breaks import tell as slots
from rating.facts.plain import Unknown
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"
# a full stop ends a sentence where a capital follows, but not behind an initial or 'St.'
_END = re.compile(r"(?<!\bSt\.)(?<!\b[A-Z]\.)(?<=[.!?]) (?=[A-Z0-9$])")
# words with capitals, and lists of them
_ONE = r"[A-Z][\w'’.#-]*(?: (?:& |of )?[A-Z][\w'’.#-]*)*(?: \(N\))?"
_NAMES = re.compile(rf"(?<=[ (]){_ONE}(?:(?:, | and |, and ){_ONE})*(?: and N (?:more|others?))?(?: …)?")
_NUMBER = re.compile(r"[$€]?\d[\d.,:\u00a0-]*(?: in \d[\d,]*| %)?")
_TOLD = (slots.heading, slots.cost, slots.limits, slots.worth, slots.spread, slots.asked, slots.drawn)


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
    for tell in (
        slots.heading,
        slots.cost,
        slots.limits,
        slots.worth,
        slots.spread,
        slots.asked,
        slots.drawn,
    ):
        yield "slots", tell(found)
    yield from (("slots", slots.pick(one, found.currency)) for one in found.picks)
    yield from (("slots", words) for words in (*slots.swaps(found), *slots.moves(found), *found.remarks))


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
    for who, sentences in sorted(once(said(Season.open(Path(path) if path else SAMPLE))).items()):
        print(f"\n{who}")
        for sentence in sentences.values():
            print(f"  {sentence}")


if __name__ == "__main__":
    main(*sys.argv[1:2])
