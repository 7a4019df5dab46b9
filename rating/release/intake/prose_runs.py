"""Print runs that sentences state of subsets and parallels by their names: 'Chalk (150 of each)'."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from rating.release.intake import numerals, words

_ENDS = re.compile(r"[.!?;]\s+|\n\s*\n")
_OTHER = re.compile(r"(?<=[\s(\[|/“‘:,-])[^\W\d_a-zß-ÿ][^\W\d_]+")  # another name
_FAR, _SHORTEST, _MOST = 140, 4, 200_000  # letters


def stated(prose: str, names: Iterable[str]) -> dict[str, int]:
    """The one run that sentences state of each name; a name that has two or none is left out."""
    known = sorted({name for name in names if len(name) >= _SHORTEST}, key=len, reverse=True)
    if not known or not prose or len(prose) > _MOST:
        return {}
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, known))})(?!\w)")
    told: dict[str, set[int]] = {}
    for sentence in _ENDS.split(" ".join(prose.split(" "))):
        for name, tail in _behind(sentence, pattern):
            run = words.run_in(tail)
            found = words.RUN.search(tail)
            if run is not None and found and not _OTHER.search(tail[: found.start()]):
                told.setdefault(name, set()).add(run)
    return {name: runs.pop() for name, runs in told.items() if len(runs) == 1}


def _behind(sentence: str, pattern: re.Pattern[str]) -> Iterator[tuple[str, str]]:
    """Each name in a sentence with the words behind it, up to the next name."""
    hits = list(pattern.finditer(sentence))
    for place, hit in enumerate(hits):
        end = hits[place + 1].start() if place + 1 < len(hits) else len(sentence)
        tail = " ".join(sentence[hit.end() : min(end, hit.end() + _FAR)].split())
        yield hit[0], numerals.digits(f" {tail}")
