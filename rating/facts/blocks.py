"""What a person is shown of a section: tables and sentences, one after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from rating.facts.plain import Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """Rows under their headings.

    right
        the headings of columns that hold numbers, parted by |
    spare
        columns that are left out where there is no room for them, the first to go first
    """

    headers: tuple[str, ...]
    rows: Sequence[Sequence[object]]
    right: str = ""
    spare: tuple[str, ...] = ()


# a sentence; a blank one is a blank line
Block: TypeAlias = Listing | str


def unknown_formats(formats: Mapping[str, object]) -> Iterator[Block]:
    """A sentence for each format of which something is not known."""
    for key, one in formats.items():
        if isinstance(one, Unknown):
            yield f"{key}: not known, {one.why}."
