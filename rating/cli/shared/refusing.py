"""Refusing what cannot be done, with the choices there are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NoReturn

from rating import text


def refuse(what: str, fix: str) -> NoReturn:
    """Refuse a call whose parts do not go together."""
    from rating.errors import RatingError

    raise RatingError(what, fix=fix)


def hold_to(choices: Sequence[str], value: str, what: str, *, where: str = "") -> None:
    """Refuse a word that is none of the choices, and list them."""
    if value not in choices:
        from rating.errors import RatingError

        raise RatingError(unknown(what, value), where=where, fix=instead(value, choices))


def unknown(what: str, value: str) -> str:
    """What is wrong with a word that names nothing."""
    return f"no {what} named {text.printable(value)!r}"


def instead(given: str, names: Sequence[str]) -> str:
    """What to write in the place of a word that names nothing."""
    return text.hinted(given, names, f"name one of {choices(given, names)}")


def choices(given: str, names: Sequence[str], limit: int = 15) -> str:
    """The words one can choose from, parted by commas; of many the nearest to what was given."""
    if len(names) <= limit:
        return ", ".join(names)
    from rapidfuzz import process

    near = [name for name, _, _ in process.extract(given, names, limit=5)]
    return f"{', '.join(near)} (the nearest of {len(names)})"
