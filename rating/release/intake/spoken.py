"""What sentences and lines of other documents say of subsets by their names: kinds, signatures, print runs.

A line that a name leads speaks of that subset to its end: 'Deck Ink: autographs, 70 of each. Signed on card.'
A sentence elsewhere does where it names one subset alone. What says how many fall in a box or a pack says
nothing of what the cards are.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from rating.release.intake import statements, words
from rating.release.intake.kinds import NOTHING, Kind, read

_PROMISED = re.compile(
    r"\b(?:box(?:es)?|packs?|packets?|cases?|cartons?|tins?|one in|1 in|per|or|no|not|without)\b|\d:\d"
)
_EACH = re.compile(r"\b(?:each|every|all|apiece)\b", re.IGNORECASE)
_LONGEST = 240  # letters of a sentence that is no list
_SHORTEST = 4  # letters of a name
_MOST = 100_000_000  # names times letters that are searched


@dataclass(slots=True)
class Spoken:
    """What was said of a subset."""

    kinds: list[Kind] = field(default_factory=list)
    runs: set[int] = field(default_factory=set)

    @property
    def kind(self) -> Kind:
        """The kind, where all that was said agrees; how signed and of what, where any of it says so."""
        if len({(one.is_signed, one.has_relic) for one in self.kinds}) != 1:
            return NOTHING
        first = self.kinds[0]
        return Kind(
            is_signed=first.is_signed,
            has_relic=first.has_relic,
            is_insert=first.is_insert,
            signed=next((one.signed for one in self.kinds if one.signed), ""),
            relic=next((one.relic for one in self.kinds if one.relic), ""),
        )


def told(prose: str, lines: Iterable[str], names: Mapping[str, str]) -> dict[str, Spoken]:
    """What is said of each subset.

    Parameters
    ----------
    prose : running text of documents
    lines : the same and others, line by line
    names : the subsets' names by their keys
    """
    known = {
        key: bare
        for key, name in names.items()
        if len(bare := plain(name)) >= _SHORTEST + 2 and not words.BASE_NAME.match(bare.strip())
    }
    found: dict[str, Spoken] = {}
    if len(known) * len(prose) > _MOST:
        return found
    for line in lines:
        _led(line, known, found)
    for sentence in statements.sentences(prose):
        said = plain(sentence)
        named = [key for key, name in known.items() if name in said]
        if len(named) == 1 and len(sentence) <= _LONGEST and not _PROMISED.search(said):
            kind = read(said.replace(known[named[0]], " "))
            if kind.is_signed != kind.has_relic:
                found.setdefault(named[0], Spoken()).kinds.append(kind)
    return found


def _led(line: str, known: Mapping[str, str], found: dict[str, Spoken]) -> None:
    """Note what a line says of the subset whose name leads it."""
    bare = plain(line)
    key = max(
        (key for key, name in known.items() if bare.startswith(name)),
        key=lambda one: len(known[one]),
        default="",
    )
    if not key or not bare[len(known[key]) :].strip():
        return
    said = [one for one in statements.sentences(line) if not _PROMISED.search(plain(one))]
    if not said or plain(said[0])[: len(known[key])] != known[key]:
        return
    rest = " ".join(said)[len(known[key].strip()) :]
    kind = read(rest)
    if kind.is_signed or kind.has_relic or kind.is_insert:
        found.setdefault(key, Spoken()).kinds.append(kind)
    of_each = " ".join(one for one in said if _EACH.search(one))  # a run in another sentence is a parallel's
    runs = {run for hit in words.RUN.finditer(of_each) if (run := words.run_in(hit[0])) is not None}
    if len(runs) == 1 and kind.says:
        found.setdefault(key, Spoken()).runs |= runs


def plain(said: str) -> str:
    """Words without the marks between them, a blank before and after each."""
    bare = " ".join(re.findall(r"[^\W_]+", words.fold(said)))
    return f" {bare} "
