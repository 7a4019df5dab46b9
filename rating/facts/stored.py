"""What a review keeps of the facts, and the same read back: `loaded` undoes `stored`.

Kept are plain values that stay readable when the program changes: decimals as text, dates as ISO text. A
field that was added since takes its default, one that was taken out is left alone.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from rating import text
from rating.facts import sections
from rating.facts.context import Demand, SeasonContext
from rating.facts.facts import KeptFacts
from rating.facts.plain import Unknown, as_text_values
from rating.facts.section import Kept, Section

FORMAT = 1
# of a section that a review is older than
NOT_KEPT = Unknown("the review is from before this was part of the facts")
_IDENTITY = ("release", "title", "maker", "line", "released_on", "headline")


def stored(facts: Kept) -> dict[str, Any]:
    """The facts that a review keeps: every section and the demand, without the tables they come from."""
    kept = {one.key: as_text_values(facts.of(one)) for one in sections.SECTIONS}
    season = facts.season
    kept["currency"] = season.currency
    kept["demand"] = _kept_demand(season.demand)
    if season.has_own_sales:
        kept["demand_elsewhere"] = _kept_demand(season.demand_elsewhere)
    kept |= {name: as_text_values(getattr(facts, name)) for name in _IDENTITY}
    return kept | {"format": FORMAT}


def _kept_demand(demand: Mapping[str, Demand] | None) -> Any:
    return None if demand is None else as_text_values(tuple(demand.values()))


def loaded(kept: Mapping[str, Any], season: SeasonContext) -> KeptFacts:
    """The facts that a review kept, each section read when it is first asked for.

    Parameters
    ----------
    season : what the season's own files say; who was wanted, and the currency, are as they were kept
    """
    how = {one.key: _reader(one, kept) for one in sections.SECTIONS}
    how["season"] = lambda _: season_of(kept, season)
    identity = {name: kept.get(name) for name in _IDENTITY}
    return KeptFacts(how, **identity | {"released_on": read(date | None, identity["released_on"])})


def _reader(section: Section[Any], kept: Mapping[str, Any]) -> Callable[[object], Any]:
    def reader(_facts: object) -> Any:
        plain = kept.get(section.key)
        return NOT_KEPT if plain is None else read(section.value | Unknown, plain)

    return reader


def season_of(kept: Mapping[str, Any], season: SeasonContext) -> SeasonContext:
    """The season with who was wanted, as a review kept it."""
    return replace(
        season,
        currency=kept.get("currency", season.currency),
        demand=demand_of(kept.get("demand")),
        demand_elsewhere=demand_of(kept.get("demand_elsewhere")),
        has_own_sales="demand_elsewhere" in kept,
    )


def demand_of(kept: Any) -> dict[str, Demand] | None:
    """The demand that a review kept, by names as compared."""
    if kept is None:
        return None
    return {text.key(one.subject): one for one in read(tuple[Demand, ...], kept)}


def read(kind: Any, plain: Any) -> Any:
    """A value of a type from its plain form, as `as_text_values` gives it.

    Types are text, whole numbers, truth, decimals, dates, None, frozen dataclasses, tuples, mappings by text,
    and unions of one of them with None and `Unknown`.

    Raises
    ------
    ValueError
        where the plain form is none of the type, with the field that it stands in
    """
    origin = get_origin(kind)
    if origin in {Union, types.UnionType}:
        return _one_of(get_args(kind), plain)
    if origin is tuple:
        return _tuple(get_args(kind), _held(list, plain, kind))
    if origin is not None and issubclass(origin, Mapping):
        of = get_args(kind)[1]
        return {name: _inside(name, of, one) for name, one in _held(dict, plain, kind).items()}
    if is_dataclass(kind):
        return _dataclass(kind, _held(dict, plain, kind))
    if kind is Decimal:
        return _decimal(_held(str, plain, kind))
    if kind is date:
        return date.fromisoformat(_held(str, plain, kind))
    return _held(kind, plain, kind)


def _held(form: type, plain: Any, kind: Any) -> Any:
    """A plain value of the form that it must have; True is no whole number."""
    if type(plain) is not form:
        raise ValueError(f"{plain!r} is not of the type {getattr(kind, '__name__', kind)}")
    return plain


def _decimal(plain: str) -> Decimal:
    try:
        return Decimal(plain)
    except InvalidOperation:
        raise ValueError(f"{plain!r} is not a decimal number") from None


def _one_of(kinds: tuple[Any, ...], plain: Any) -> Any:
    if plain is None and types.NoneType in kinds:
        return None
    if Unknown in kinds and isinstance(plain, dict) and plain.keys() == {"unknown"}:
        return Unknown(plain["unknown"])
    (kind,) = (one for one in kinds if one not in {types.NoneType, Unknown})
    return read(kind, plain)


def _tuple(of: tuple[Any, ...], plain: list[Any]) -> tuple[Any, ...]:
    if of[-1] is Ellipsis:
        return tuple(_inside(str(place), of[0], one) for place, one in enumerate(plain))
    if len(of) != len(plain):
        raise ValueError(f"{plain!r} has not {len(of)} parts")
    return tuple(read(kind, one) for kind, one in zip(of, plain, strict=True))


def _dataclass(kind: Any, plain: Mapping[str, Any]) -> Any:
    given = {}
    for name, (of, has_default) in _fields(kind).items():
        if name in plain:
            given[name] = _inside(name, of, plain[name])
        elif not has_default:
            raise ValueError(f"there is no {name} of {kind.__name__}")
    return kind(**given)


@cache
def _fields(kind: Any) -> dict[str, tuple[Any, bool]]:
    """The type of each field, and whether it has a default."""
    hints = get_type_hints(kind)
    return {
        one.name: (hints[one.name], one.default is not MISSING or one.default_factory is not MISSING)
        for one in fields(kind)
    }


def _inside(name: str, kind: Any, plain: Any) -> Any:
    try:
        return read(kind, plain)
    except ValueError as fault:
        raise ValueError(f"{name}: {fault}") from None
