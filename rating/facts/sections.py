"""The sections of the facts, in the order in which they are told. A new one is a folder and a line here."""

from __future__ import annotations

from typing import Any

from rating.facts import (
    advice,
    chances,
    completing,
    content,
    earlier,
    economics,
    history,
    opening,
    people,
    returns,
    scarcity,
    values,
)
from rating.facts.section import Kept, Section

SECTIONS: tuple[Section[Any], ...] = (
    economics.SECTION,
    content.SECTION,
    people.SECTION,
    scarcity.SECTION,
    chances.SECTION,
    completing.SECTION,
    opening.SECTION,
    values.SECTION,
    returns.SECTION,
    advice.SECTION,
    history.SECTION,
    earlier.SECTION,
)


def all_keys() -> tuple[str, ...]:
    """The keys of all sections, in their order."""
    return tuple(one.key for one in SECTIONS)


def since(facts: Kept, launch: Kept) -> str:
    """What a host would say of a release against its launch review; blank where there is nothing to say."""
    return " ".join(told for one in SECTIONS if (told := one.told_since(facts, launch)))
