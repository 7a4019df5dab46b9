"""The section on history: what the earlier seasons know of a line. The season hands it in."""

from __future__ import annotations

from rating.facts.history.tables import shown
from rating.facts.history.tell import lead, told
from rating.facts.history.value import History
from rating.facts.plain import Unknown
from rating.facts.section import Section


def _has_prices(value: History | Unknown) -> bool:
    return isinstance(value, History) and bool(value.editions)


SECTION = Section(key="history", value=History, lead=lead, tell=told, tables=shown, has_prices=_has_prices)
