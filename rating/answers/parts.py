"""Parts that several answers share: points, days, problems, who a review's product came from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from rating.errors import Problem

if TYPE_CHECKING:
    from rating.review import PriceAdvice
    from rating.season.beside import Beside

# of the form of answers; who reads them refuses a newer one
_FORMAT = 1


def numbered(answer: Mapping[str, Any]) -> dict[str, Any]:
    """An answer with the number of its format first, as it is printed and exported."""
    return {"format": _FORMAT, **answer}


def points(tenths: int | None) -> float | None:
    """Points or a grade from whole tenths; None stays None."""
    return None if tenths is None else tenths / 10


def between(grades: tuple[int, int] | None) -> dict[str, float] | None:
    """The likely ends of a grade in nine of ten cases."""
    return None if grades is None else {"low": grades[0] / 10, "high": grades[1] / 10}


def day(day: date | None) -> str | None:
    """A day as text, None where there is none."""
    return day.isoformat() if day else None


def beside(one: Beside) -> dict[str, Any]:
    """What stands beside a grade: what the price says, and the grade as computed where that is remarked."""
    return {
        "price_line": one.price_line or None,
        "price_advice": None if one.price_advice is None else _advice(one.price_advice),
        "grade_as_computed": points(one.as_computed),
        "remark": one.remark or None,
    }


def _advice(one: PriceAdvice) -> dict[str, Any]:
    """The amounts of a price line as numbers."""
    amounts = ("price", "landed", "even_price", "entertainment_price", "mean", "p_return", "p_return_landed")
    ends = ("mean_low", "mean_high", "p_return_low", "p_return_high")
    told: dict[str, Any] = {name: number(getattr(one, name)) for name in (*amounts, *ends)}
    days = {"as_of": one.as_of, "values_as_of": one.values_as_of}
    return told | days | {"is_carried": one.is_carried, "still": list(one.still)}


def number(told: str | None) -> float | None:
    """A number that is kept as exact text; None where it is not known."""
    return float(told) if told else None


def disclosure(how_obtained: Sequence[str], sentence: str) -> dict[str, Any]:
    """How the reviewer came by the product."""
    return {"how_obtained": list(how_obtained), "sentence": sentence}


def problem(one: Problem) -> dict[str, Any]:
    """A problem in a file, with its place and what to do."""
    names = ("code", "severity", "file", "sheet", "row", "what", "fix")
    return {name: getattr(one, name) for name in names}
