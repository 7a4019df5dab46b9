"""What a section of the facts is, and what one is worked out from and told of.

A section is a folder here, named by its key; its package exposes one value, SECTION. What it needs of another
section it asks for by that section's SECTION (`facts.of(economics.SECTION)`), so that what needs what is what
the folders import of each other, and goes one way.
"""

from __future__ import annotations

import decimal
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import FrozenInstanceError, dataclass
from datetime import date
from operator import attrgetter
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Generic, NoReturn, TypeVar

from rating import tenths
from rating.facts.blocks import Block
from rating.facts.context import Before, Demand, Donor, SeasonContext
from rating.facts.falling.collation import Collation, collations
from rating.facts.falling.lines import CardLine, lines_of
from rating.facts.frozen import frozen
from rating.facts.plain import NOT_ASKED, Unknown, as_json_values
from rating.release.checklist import Card, Odds, Parallel
from rating.release.promises import believed
from rating.release.release import Release
from rating.release.sheet import Format

if TYPE_CHECKING:
    from rating.facts.falling.packs import Packs  # which loads scipy

V = TypeVar("V")
T = TypeVar("T")
How = Mapping[str, Callable[[Any], Any]]


class Asked:
    """Values that are worked out when they are first asked for, and then kept; no reader can change them.

    Parameters
    ----------
    how : what works out attributes that are not given, beside what the class knows of itself
    given : attributes as they are
    """

    HOW: ClassVar[How] = {}
    _how: How

    def __init__(self, how: How | None = None, /, **given: Any) -> None:
        known = {name: frozen(one) for name, one in given.items()}
        self.__dict__.update(known, _how={**self.HOW, **(how or {})})

    def __getattr__(self, name: str) -> Any:
        how = self.__dict__.get("_how", {}).get(name)
        if how is None:
            raise AttributeError(f"nothing here is called {name!r}")
        # whoever asks first, a module that reckons by rules of its own too, finds what everybody finds
        with decimal.localcontext(tenths.STANDARD):
            found = self.__dict__[name] = frozen(how(self))
        return found

    def __setattr__(self, name: str, value: Any) -> NoReturn:
        raise FrozenInstanceError(f"facts are not changed, nor is their {name!r}")

    def __delattr__(self, name: str) -> NoReturn:
        raise FrozenInstanceError(f"facts are not changed, nor is their {name!r}")

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *self._how})

    def of(self, asked: Named[T]) -> T:
        """A section, or a working value that sections share. A section that is not here was not asked for."""
        if asked.key not in self.__dict__ and asked.key not in self._how:
            with decimal.localcontext(tenths.STANDARD):
                self.__dict__[asked.key] = asked.compute(self) if isinstance(asked, Working) else NOT_ASKED
        found: T = getattr(self, asked.key)
        return found


def _lines(facts: Lasting) -> tuple[CardLine, ...]:
    return lines_of(facts.files)


def _formats(facts: Lasting) -> tuple[Format, ...]:
    files = facts.files
    return believed(files.sheet.formats, files.cards or (), files.parallels or (), files.odds or ())[0]


def _packs(facts: Lasting) -> Packs | None:
    if not facts.files.odds:
        return None
    from rating.facts.falling.packs import packs_of

    return packs_of(facts.formats, facts.lines)


def _collations(facts: Lasting) -> Mapping[str, Collation]:
    return MappingProxyType(collations(facts.formats, facts.lines, facts.packs))


class Lasting(Asked):
    """What follows from a release's own files whatever the day, so that it is worked out once for many days.

    teams
        the season's teams by all their spellings, as `SeasonContext.team_names` gives them
    formats
        how it is packed and promised, without promises that the odds contradict where these are many
    lines
        the subsets by version
    packs
        what numbered lines with odds say of how many packs exist, None where they say nothing
    collations
        how the cards of each format fall, by its key
    """

    files: Release
    teams: Mapping[str, str]
    formats: tuple[Format, ...]
    lines: tuple[CardLine, ...]
    packs: Packs | None
    collations: Mapping[str, Collation]
    HOW: ClassVar[How] = {"formats": _formats, "lines": _lines, "packs": _packs, "collations": _collations}


class Kept(Asked):
    """The part of the facts that a review keeps: what a section can be told from, the other sections too.

    season
        what is known of the season, with who is wanted, which takes the sales of all its releases; `rules`
        is the same without
    """

    release: str
    title: str
    maker: str
    line: str
    released_on: date | None
    headline: str
    season: SeasonContext
    rules: SeasonContext
    HOW: ClassVar[How] = {"rules": attrgetter("season")}

    def __repr__(self) -> str:
        return f"<facts of {self.release}>"


class Source(Kept):
    """What a section is worked out from; `cards`, `parallels` and `odds` are the tables of `files`.

    as_of
        the day up to which prices and sales count
    carried_on
        the day as of which prices of other releases are carried over, None where that is the same
    before
        the edition before, None where none is known
    donors
        prices of other releases, for where this one has too few sales
    wanted_before
        who was wanted in earlier seasons, by names as compared
    """

    files: Release
    cards: tuple[Card, ...] | None
    parallels: tuple[Parallel, ...] | None
    odds: tuple[Odds, ...] | None
    as_of: date
    carried_on: date | None
    before: Before | None
    donors: Sequence[Donor]
    wanted_before: Mapping[str, Demand]
    lasting: Lasting
    lines: tuple[CardLine, ...]
    collations: Mapping[str, Collation]
    HOW: ClassVar[How] = {
        **Kept.HOW,
        **{
            name: attrgetter(f"files.sheet.{name}")
            for name in ("title", "maker", "line", "released_on", "headline")
        },
        **{name: attrgetter(f"files.{name}") for name in ("cards", "parallels", "odds")},
        **{name: attrgetter(f"lasting.{name}") for name in ("lines", "collations")},
        "release": attrgetter("files.sheet.slug"),
    }


class Named(Generic[T]):
    """What facts can be asked for by its key."""

    __slots__ = ()
    key: str


@dataclass(frozen=True, slots=True)
class Working(Named[T]):
    """A value that sections share and nobody is told; it is no part of what a review keeps."""

    key: str
    compute: Callable[[Any], T]


def no_tables(_value: object, _facts: object) -> Iterable[Block]:
    """Nothing beside the sentence."""
    return ()


def never(_value: object) -> bool:
    """Whatever the value, it shows no prices."""
    return False


def always(_value: object) -> bool:
    """Whatever the value, it shows prices, or says why there are none."""
    return True


def by_format(key: str) -> Callable[[object], dict[str, Any]]:
    """The JSON answer of a section that is nothing but its formats: these stand right under its key."""

    def answer(value: object) -> dict[str, Any]:
        plain = as_json_values(value)
        return {key: plain if isinstance(value, Unknown) else plain["formats"]}

    return answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Section(Named[V | Unknown], Generic[V]):
    """One question about a release, from its values to what a person is shown.

    key
        the name of its folder, of the attribute of the facts and of the object in JSON
    value
        the frozen value that answers it; stored facts are read back as that
    compute, lasting
        what works it out: from the facts of a day, or from the release's own files whatever the day. Without
        either it is handed in with the facts, and never unknown
    tell
        all that a host would say of it
    tables
        what a person is shown before that: tables and sentences
    answer
        its part of a JSON answer, where that is not the value under the key
    has_prices
        whether the value, or why it is unknown, stands beside prices, so that the cautions belong to it
    since
        what a host would say of the value now against that of the launch review, each with its facts; blank
        for nothing
    lead
        the answer in a sentence or two, where all sections stand on one screen; without it all is told there
    """

    key: str
    value: type[V]
    tell: Callable[[V, Kept], str]
    compute: Callable[[Source], V | Unknown] | None = None
    lasting: Callable[[Lasting], V | Unknown] | None = None
    tables: Callable[[V, Source], Iterable[Block]] = no_tables
    answer: Callable[[V | Unknown], dict[str, Any]] | None = None
    has_prices: Callable[[V | Unknown], bool] = never
    since: Callable[[V, Kept, V, Kept], str] | None = None
    lead: Callable[[V, Kept], str] | None = None

    @property
    def is_handed_in(self) -> bool:
        """Whether it comes with the facts and is not worked out."""
        return self.compute is None and self.lasting is None

    def led(self, value: V, facts: Kept) -> str:
        """The answer in short."""
        return (self.lead or self.tell)(value, facts)

    def told(self, facts: Kept) -> str:
        """All that a host would say, 'Not known: …' where it cannot be worked out."""
        value = facts.of(self)
        return f"Not known: {value.why}." if isinstance(value, Unknown) else self.tell(value, facts)

    def told_since(self, facts: Kept, launch: Kept) -> str:
        """What a host would say of it against the launch review; blank where there is nothing to say."""
        now, then = facts.of(self), launch.of(self)
        if self.since is None or isinstance(now, Unknown) or isinstance(then, Unknown):
            return ""
        return self.since(now, facts, then, launch)

    def answered(self, facts: Kept) -> dict[str, Any]:
        """Its part of a JSON answer."""
        value = facts.of(self)
        return {self.key: as_json_values(value)} if self.answer is None else self.answer(value)
