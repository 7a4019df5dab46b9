"""Texts of records, a field a line under the same labels again and again, as a table."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from rating.release.intake.sheet_kinds import KEY
from rating.release.intake.texts.part import Part

_FIELD = re.compile(
    r"\s*(?P<label>[^\W\d_][^\W_]*(?:[ /-][^\W_]+){0,2}?)(?:\s*[:=]\s+|\s{2,}|\t+)(?P<value>\S.*?)\s*\Z"
)
_ODDS = re.compile(r"\b1\s?(?:[:/]|in)\s?\d", re.IGNORECASE)
_LEAST = 3  # records
_MOST_LINES = 50_000


def parts(lines: Sequence[str]) -> list[Part]:
    """The records of a text as a table under their labels, nothing where it holds none."""
    if len(lines) > _MOST_LINES:
        return []
    told = [(number, _FIELD.match(line), line) for number, line in enumerate(lines, start=1) if line.strip()]
    counts = Counter(found["label"] for _, found, _ in told if found)
    labels = [label for label, number in counts.items() if number >= _LEAST]
    held = sum(counts[label] for label in labels)
    most = max(counts.values(), default=0)
    steady = [label for label in labels if counts[label] * 10 >= most * 6]
    if len(steady) < 2 or held * 10 < len(told) * 6 or len(steady) * most > held * 2:
        return []
    odds = sum(_ODDS.search(found["value"]) is not None for _, found, _ in told if found)
    if odds * 2 > held:
        return []  # lines of cards under each format, not fields
    records: list[tuple[int, dict[str, str]]] = []
    others: list[tuple[int, list[str]]] = []
    before = 0
    for number, found, line in told:
        label = found["label"] if found else ""
        if found is None or label not in labels:
            others.append((number, [line.strip()]))
            before = 0
            continue
        if not records or before == 0 or label in records[-1][1]:
            records.append((number, {}))
        else:
            others.append((number, [line.strip()]))
        records[-1][1][label] = found["value"]
        before = number
    rows = [(number, [record.get(label, "") for label in labels]) for number, record in records]
    return [Part(rows=[(0, labels), *rows]), Part(rows=others, kind=KEY)]
