"""What tells surnames from forenames: suffixes, particles and usual endings."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rating.release.intake import wordlists

# a suffix, a particle, a hyphen, a mark behind the whole name
MARKED = re.compile(
    r"\b(?:jr|sr|ii|iii|iv)\b\.?|\b(?:van|von|de|della|di|dos|du|le|la|st|der|den|af|ter)\b\.?\s|[^\W\d_]-[^\W\d_]"
    r"|\b(?:Mac|Mc)[A-Z]|\bO['’][A-Z]|[*†‡§]|[(\[]|\s(?:RC|R|RK)\Z",
    re.IGNORECASE,
)
# what no forename has
_FIRM = re.compile(
    r"\s(?:jr|sr|ii|iii|iv)\b\.?|\A(?:van|von|de|della|di|dos|du|der|den|af|ter)\s|\bO['’](?-i:[A-Z])",
    re.IGNORECASE,
)
_ENDINGS = tuple(wordlists.load("names")["surname_endings"])
_LONGER = 2  # letters that stand before an ending
# what the marks of one name are worth, and those of all
_ONE, _MOST = 0.7, 2.1


def likeness(names: Iterable[str]) -> float:
    """How much names look like surnames, beside others that look so less; from 0 on."""
    kinds = {name.casefold() for name in names}
    firm = sum(_FIRM.search(name) is not None for name in kinds)
    ended = sum(map(_is_ended, kinds))
    marked = sum(MARKED.search(name) is not None for name in kinds)
    return 8 * (ended + marked) / max(1, len(kinds)) + min(_MOST, _ONE * firm)


def _is_ended(name: str) -> bool:
    return any(name.endswith(end) and len(name) >= len(end) + _LONGER for end in _ENDINGS)
