"""The maker and the line that a release's title names: what stands before its year, and after it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rating.release.intake.values import Proposal

_YEAR = re.compile(r"\s*\b(?:19|20)\d\d(?:[-/–]\d{2,4})?\b\s*")


def proposals(title: str, found: Sequence[Proposal], file: str) -> Iterator[Proposal]:
    """Maker and line, where the title parts them by its year: 'Marlow 2031 Deep Harbour'.

    The release's own title goes before that of a sell sheet, which may say the sport as well.
    """
    said = next((str(one.value) for one in found if one.where == "title"), "")
    for one in (title, said):
        parts = _YEAR.split(one.strip())
        if len(parts) == 2 and all(part.strip() for part in parts):
            for where, value in zip(("maker", "line"), parts, strict=True):
                if not any(other.where == where for other in found):
                    yield Proposal(where=where, value=value.strip(), words=one, sure=True, file=file)
            return
