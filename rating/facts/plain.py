"""What is common to all facts: what cannot be computed, and their plain form for storing and for JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from rating import tenths


@dataclass(frozen=True, slots=True)
class Unknown:
    """Something that cannot be computed, and why, in words."""

    why: str


NOT_ASKED = Unknown("it was not asked for")
NO_FORMAT = Unknown("no box formats are on file yet")


def as_text_values(value: Any) -> Any:
    """A fact as text, whole numbers, lists and objects: decimals become decimal text, dates ISO text."""
    return _plain(value, tenths.plain)


# where a blank is a value: the base version of a card, a card without a number, no slot that suits
_BLANK_IS_A_VALUE = frozenset({"parallel", "number", "slot"})


def as_json_values(value: Any) -> Any:
    """A fact for a JSON answer: decimals become numbers, and null stands where a text says nothing."""
    return _or_null(_plain(value, lambda number: int(number) if number == int(number) else float(number)))


def _or_null(plain: Any) -> Any:
    if isinstance(plain, dict):
        return {
            name: None if one == "" and name not in _BLANK_IS_A_VALUE else _or_null(one)
            for name, one in plain.items()
        }
    return [_or_null(one) for one in plain] if isinstance(plain, list) else plain


def _plain(value: Any, decimal: Callable[[Decimal], Any]) -> Any:
    if isinstance(value, Decimal):
        return decimal(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Unknown):
        return {"unknown": value.why}
    if is_dataclass(value):
        return {one.name: _plain(getattr(value, one.name), decimal) for one in fields(value)}
    if isinstance(value, Mapping):
        return {str(name): _plain(one, decimal) for name, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one, decimal) for one in value]
    return value
