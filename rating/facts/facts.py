"""All that is known of a release, a section each: what criteria, commands and notebooks read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rating.facts.advice.value import Advice
from rating.facts.chances.value import Chances
from rating.facts.completing.value import Completing
from rating.facts.content.value import Content
from rating.facts.earlier.value import Earlier
from rating.facts.economics.value import Economics
from rating.facts.history.value import History
from rating.facts.opening.value import Opening
from rating.facts.people.value import People
from rating.facts.plain import NOT_ASKED, Unknown
from rating.facts.returns.value import Returns
from rating.facts.scarcity.value import Scarcity
from rating.facts.section import How, Kept, Source
from rating.facts.values.value import Values


class Sections:
    """Our own sections by their names; one that cannot be worked out says why."""

    economics: Economics | Unknown
    content: Content | Unknown
    people: People | Unknown
    scarcity: Scarcity | Unknown
    chances: Chances | Unknown
    completing: Completing | Unknown
    opening: Opening | Unknown
    values: Values | Unknown
    returns: Returns | Unknown
    advice: Advice | Unknown
    history: History
    earlier: Earlier | Unknown


def _not_asked(_facts: object) -> Unknown:
    return NOT_ASKED


_BY_HAND: How = dict.fromkeys(Sections.__annotations__, _not_asked)


class KeptFacts(Sections, Kept):
    """The facts that a review keeps, read back; without the tables that they were worked out from."""

    HOW: ClassVar[How] = {**Kept.HOW, **_BY_HAND}


class Facts(Sections, Source):
    """All that is known of a release, each section worked out when it is first asked for.

    Facts that are made by hand hold what they are given; any other section was not asked for.
    """

    HOW: ClassVar[How] = {**Source.HOW, **_BY_HAND}

    def replaced(self, **given: Any) -> Facts:
        """The same facts with some sections, or what they come from, as given; the others stay."""
        known = {name for name in (*self._how, *vars(self)) if not name.startswith("_")}
        return Facts({name: self._handed_on(name) for name in known}, **given)

    def _handed_on(self, name: str) -> Callable[[object], Any]:
        return lambda _: getattr(self, name)
