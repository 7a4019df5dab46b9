"""The answers of `facts`: the sections asked for, and how often some cards fall."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.facts.chances.questions import Answer
from rating.facts.facts import Facts
from rating.facts.plain import as_json_values
from rating.facts.section import Section


def facts(found: Facts, asked: Sequence[Section[Any]], *, caution: str) -> dict[str, Any]:
    """Sections of a release's facts.

    Parameters
    ----------
    caution : what goes with prices, '' where none are among them
    """
    answer: dict[str, Any] = {"release": found.release}
    for one in asked:
        answer |= one.answered(found)
    return answer | ({"caution": caution} if caution else {})


def chances(release: str, found: Answer) -> dict[str, Any]:
    """How often the cards that were asked about fall."""
    return {"release": release, "chances": as_json_values(found)}
