"""Labels of subset and parallel in one: cards under 'Base - Brass' are those of Base in a parallel."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rating import text
from rating.release.intake import words
from rating.release.intake.drafts import Draft
from rating.release.intake.ladder import Rung
from rating.release.intake.parts import Section

_LABEL = re.compile(r"\s*:\s+|\s+[-–—/|]\s+|\s*\(")


def fold(drafts: Sequence[Draft], sections: dict[str, Section]) -> None:
    """Make the cards under a label copies of those of its subset, where the subset has all of them."""
    names = {draft.key: draft.section for draft in drafts}
    under: dict[str, list[Draft]] = {}
    for draft in drafts:
        under.setdefault(draft.key, []).append(draft)
    cards = {key: {_card(draft) for draft in those} for key, those in under.items()}
    for key, name in names.items():
        for mark in _LABEL.finditer(name):
            whole = text.key(name[: mark.start()])
            if whole in cards and whole != key and cards[key] <= cards[whole]:
                parallel = words.smart_case(name[mark.end() :].strip(" )"))
                for draft in under[key]:
                    draft.rungs.append(Rung(name=parallel, print_run=draft.print_run))
                    draft.is_parallel = True
                    draft.key, draft.section = whole, sections[whole].name
                sections.pop(key, None)
                break


def _card(draft: Draft) -> tuple[str, tuple[str, ...]]:
    return draft.number, tuple(map(text.key, draft.subjects))
