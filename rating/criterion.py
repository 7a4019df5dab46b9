"""The contract of a criterion module: one value, CRITERION, and what its function may answer.

A module is a file in `criteria/`, or an installed package under the entry-point group `boxwright.criteria`.
It sees facts and gives a finding; it knows no files, no clock and no other release. Every value that facts
are made of can be imported from here, and from nowhere else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from rating import money, tenths
from rating.facts import sections
from rating.facts.advice.value import Advice, AimAdvice, PriceAdvice
from rating.facts.chances.value import Chance, Chances, FormatChances, Opened, OpenedLine
from rating.facts.completing.value import (
    Completing,
    FormatCompleting,
    SetAfter,
    SetBoxes,
    SetCost,
    SetRow,
    Wait,
)
from rating.facts.content.value import Content, SubsetContent, TeamContent, Tier
from rating.facts.context import Buying, Demand, PriceClass, Rookie, SeasonContext, Selling
from rating.facts.earlier.value import (
    Earlier,
    FormatChange,
    Ladder,
    PriceChange,
    PromiseChange,
    RungChange,
    SubsetChange,
    Turnover,
)
from rating.facts.economics.value import DatedPrice, Economics, FormatEconomics
from rating.facts.facts import Facts
from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.lines import CardLine
from rating.facts.history.value import Edition, History
from rating.facts.house import HouseRules, SlotRules, TierMove
from rating.facts.opening.value import FormatOpening, Opening
from rating.facts.people.value import People, Wanted
from rating.facts.plain import Unknown
from rating.facts.returns.value import FormatReturns, Payout, Returns
from rating.facts.scarcity.value import FormatPacks, LineCopies, OddsAside, PromiseCheck, Scarcity, Span
from rating.facts.typical import typical
from rating.facts.values.value import Dearest, Effect, Values
from rating.release.checklist import Card, Odds, Parallel
from rating.scale import Scale, scale
from rating.stage import STAGES
from rating.tenths import about, fixed, percent
from rating.text import bad_marks, listed, tidy, why_no_slug

__all__ = [
    "Advice",
    "AimAdvice",
    "Buying",
    "Card",
    "CardLine",
    "Chance",
    "Chances",
    "Collation",
    "Completing",
    "Content",
    "Criterion",
    "DatedPrice",
    "Dearest",
    "Demand",
    "Draw",
    "Earlier",
    "Economics",
    "Edition",
    "Effect",
    "Facts",
    "Finding",
    "FormatChances",
    "FormatChange",
    "FormatCompleting",
    "FormatEconomics",
    "FormatOpening",
    "FormatPacks",
    "FormatReturns",
    "History",
    "HouseRules",
    "Ladder",
    "LineCopies",
    "NotApplicable",
    "Odds",
    "OddsAside",
    "Opened",
    "OpenedLine",
    "Opening",
    "Parallel",
    "Payout",
    "People",
    "PriceAdvice",
    "PriceChange",
    "PriceClass",
    "PromiseChange",
    "PromiseCheck",
    "Returns",
    "Rookie",
    "RungChange",
    "Scale",
    "Scarcity",
    "SeasonContext",
    "Selling",
    "SetAfter",
    "SetBoxes",
    "SetCost",
    "SetRow",
    "SlotRules",
    "Span",
    "SubsetChange",
    "SubsetContent",
    "TeamContent",
    "Tier",
    "TierMove",
    "Turnover",
    "Unknown",
    "Values",
    "Wait",
    "Wanted",
    "about",
    "amount",
    "falls",
    "fixed",
    "listed",
    "percent",
    "scale",
    "spread_over",
    "typical",
]

API = 1
REASON_LIMIT = 1000
TEXT_LIMIT, MOST_EVIDENCE = 5000, 100
SMALLEST, LARGEST = Decimal("1e-12"), Decimal("1e15")
GUIDE = (0, 25, 50, 75, 100)


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """The question does not arise for this release, by design; `why` says so in words."""

    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What a module found: a measure in its scale's unit, with a reason that can be read aloud.

    measure
        exact, or a float, which is kept to six significant digits; None with a declared score
    spread
        half-width of the doubt, in points of score
    declared
        a score by rule where there is nothing to measure, such as 50 for a line without a past
    """

    measure: Decimal | Fraction | float | None
    reason: str
    evidence: tuple[str, ...] = ()
    spread: int = 5
    declared: int | None = None

    def __post_init__(self) -> None:
        if not self.reason.strip():
            raise ValueError("a finding needs a reason")
        if not isinstance(self.evidence, tuple) or not all(isinstance(one, str) for one in self.evidence):
            raise ValueError(f"the evidence is a tuple of texts, got {self.evidence!r}")
        for name, points in (("spread", self.spread), ("declared score", self.declared or 0)):
            if type(points) is not int:  # a review keeps whole numbers only
                raise ValueError(f"a {name} is a whole number, got {points!r}")
        if not 0 <= self.spread <= 50:
            raise ValueError(f"a spread lies from 0 to 50 points, got {self.spread}")
        if (self.measure is None) == (self.declared is None):
            raise ValueError("a finding has either a measure or a declared score")
        if self.declared is not None and not 0 <= self.declared <= 100:
            raise ValueError(f"a declared score lies from 0 to 100, got {self.declared}")

    @property
    def kept(self) -> Decimal | None:
        """The measure as it is kept and scored from."""
        return None if self.measure is None else tenths.six_digits(self.measure)


Answer = Finding | Unknown | NotApplicable


def checked(answer: object) -> Answer:
    """An answer as it is kept: of one of the three kinds and no other, its texts sound, its measure of use.

    Raises
    ------
    TypeError
        if it is no answer
    ValueError
        if a text cannot be kept or read, or the measure is no number of a size that anybody measures
    """
    kind = type(answer)
    if isinstance(answer, Unknown) and kind is Unknown:
        return Unknown(_sound("why", answer.why))
    if isinstance(answer, NotApplicable) and kind is NotApplicable:
        return NotApplicable(_sound("why", answer.why))
    if not isinstance(answer, Finding) or kind is not Finding:
        raise TypeError(f"gave {kind.__name__}, which is not an answer")
    if len(answer.evidence) > MOST_EVIDENCE:
        raise ValueError(
            f"it has {len(answer.evidence)} lines of evidence, at most {MOST_EVIDENCE} are shown"
        )
    return Finding(
        measure=_of_use(answer.measure),
        reason=_sound("reason", answer.reason),
        evidence=tuple(_sound("evidence", one) for one in answer.evidence),
        spread=answer.spread,
        declared=answer.declared,
    )


def _sound(what: str, words: object) -> str:
    """A text without marks that cannot be stored, or that change how what stands around it reads."""
    if type(words) is not str:
        raise TypeError(f"its {what} is a {type(words).__name__}, not a text")
    if len(words) > TEXT_LIMIT:
        raise ValueError(f"its {what} has {len(words):,} characters, at most {TEXT_LIMIT:,} are kept")
    clean = tidy(words)
    if mark := bad_marks(clean):
        raise ValueError(f"its {what} holds the mark {mark}, which cannot be shown")
    return clean


def _of_use(measure: object) -> Decimal | None:
    if measure is None:
        return None
    if isinstance(measure, bool) or not isinstance(measure, Decimal | Fraction | float | int):
        raise TypeError(f"a measure must be a number, got a {type(measure).__name__}")
    if isinstance(measure, Decimal | float) and not Decimal(measure).is_finite():
        raise ValueError(f"a measure must be a finite number, got {measure}")
    size = measure.copy_abs() if isinstance(measure, Decimal) else abs(Fraction(measure))
    if size and not SMALLEST <= size <= LARGEST:
        raise ValueError("a measure must be a number that somebody could measure, from 1e-12 to 1e15")
    return tenths.six_digits(Decimal(measure) if isinstance(measure, int) else measure)


def spread_over(scale: Scale, *measures: Decimal | Fraction | float, least: int = 3) -> int:
    """The spread of a measure that is known within limits: half of what its scores range over, rounded up.

    Parameters
    ----------
    measures : the limits, and for a peak scale what lies between them
    least : what is in doubt whatever the limits
    """
    scores = [scale.place(tenths.six_digits(measure)).score for measure in measures]
    return min(50, least + -(-(max(scores) - min(scores)) // 2))


def falls(facts: Facts, is_meant: Callable[[CardLine], bool]) -> Fraction | None:
    """Cards of some lines to expect in a headline box by packing, odds and promises; None where unknown."""
    collation = facts.collations.get(facts.headline)
    if collation is None:
        return None
    expected = collation.expected(len(facts.lines))
    found = sum(one for one, line in zip(expected, facts.lines, strict=True) if is_meant(line))
    return Fraction(tenths.six_digits(found))


def amount(value: Decimal | Fraction | int, facts: Facts, *, whole: bool = False) -> str:
    """An amount in the season's money as people write it, '$1,590.00'; without cents where it is `whole`."""
    return money.told(Fraction(value), facts.season.currency, whole=whole)


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One question of a rubric, and how it is answered.

    needs
        the sections of the facts it cannot do without, such as economics or content
    guidance
        what 0, 25, 50, 75 and 100 look like, in words
    find
        facts in, finding out, pure; without it a person is asked
    spread
        the usual doubt of a person's score, in points
    provisional_until
        a stage before which a person's score is only a first impression: its spread is doubled
    """

    key: str
    group: str
    question: str
    guidance: tuple[str, str, str, str, str]
    scale: Scale | None = None
    find: Callable[[Facts], Answer] | None = None
    needs: tuple[str, ...] = ()
    spread: int = 8
    provisional_until: str = ""
    version: str = "1"
    api: int = API

    def __post_init__(self) -> None:
        if self.api != API:
            raise ValueError(f"the module is written for api {self.api}, this program has api {API}")
        if why := why_no_slug(self.key):
            raise ValueError(f"{self.key!r} is not a key for a criterion: {why}")
        if not self.question.strip().endswith("?"):
            raise ValueError("the question must be one, with a question mark")
        if len(self.guidance) != len(GUIDE) or not all(words.strip() for words in self.guidance):
            raise ValueError("the guidance has five texts: what 0, 25, 50, 75 and 100 look like")
        keys = sections.all_keys()
        if unknown := set(self.needs) - set(keys):
            raise ValueError(f"there is no section {', '.join(sorted(unknown))}; there are {', '.join(keys)}")
        if (self.find is None) != (self.scale is None):
            raise ValueError(
                "a module that computes has both a function and a scale, one that asks has neither"
            )
        if type(self.spread) is not int or not 0 <= self.spread <= 50:
            raise ValueError(f"a spread lies from 0 to 50 whole points, got {self.spread}")
        if self.provisional_until and self.provisional_until not in STAGES:
            raise ValueError(f"there is no stage {self.provisional_until!r}; there are {', '.join(STAGES)}")

    def ask_of(self, facts: Facts) -> Answer | None:
        """The module's answer, None where it only asks; a needed section that is unknown is the answer."""
        if self.find is None:
            return None
        for name in self.needs:
            section = getattr(facts, name)
            if isinstance(section, Unknown):
                return section
        return self.find(facts)
