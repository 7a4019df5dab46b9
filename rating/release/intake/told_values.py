"""What a sell sheet says, in few lines: a format's packing together, its promises, its list prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rating import text
from rating.release.intake.values import Proposal
from rating.release.market import PRICES

_PACKING = {
    "cards_per_pack": "{} cards a pack",
    "packs_per_box": "{} packs a box",
    "boxes_per_case": "{} boxes a case",
}
_QUOTED = 70


def grouped(found: Sequence[Proposal]) -> Iterator[str]:
    """An entry for each format's packing, for its promises, for its list prices, and for each other value."""
    packing: dict[str, list[str]] = {}
    promises: dict[str, list[str]] = {}
    prices: dict[str, list[str]] = {}
    others: list[str] = []
    for one in found:
        _, _, rest = one.where.partition("formats.")
        key, _, name = rest.partition(".")
        if one.where == PRICES.file:
            table = one.table
            prices.setdefault(str(table["format"]), []).append(
                f"{table['unit']} {table['price']} {table.get('currency', '')}".strip()
            )
        elif name in _PACKING:
            packing.setdefault(key, []).append(_PACKING[name].format(one.value))
        elif name == "guarantees":
            promises.setdefault(key, []).append(_promise(one))
        else:
            others.append(f"{one.where}: {one.shown}")
    yield from (f"{key}: {', '.join(told)}" for key, told in packing.items())
    yield from (f"{key} promises: {'; '.join(told)}" for key, told in promises.items())
    yield from (f"{key} list price: {', '.join(told)}" for key, told in prices.items())
    yield from others


def _promise(one: Proposal) -> str:
    table = one.table
    name = " ".join(str(table[part]) for part in ("subset", "parallel") if table.get(part))
    kind = str(table["what"])
    many = "numbered cards" if kind == "numbered" else f"{kind}s"
    what = f"{name} ({kind})" if name else (kind if str(table.get("count", "")) == "1" else many)
    how = {"hard": "guaranteed", "average": "on average"}.get(str(table.get("certainty", "")), "")
    return f"{table.get('count', '')} {what} a {table.get('per', '')} {how}".strip()


def quoted(one: Proposal) -> str:
    """A value with the words that it came from."""
    words = one.words if len(one.words) <= _QUOTED else one.words[: _QUOTED - 1].rstrip() + "…"
    return f'{one.where}: {one.shown}  <- "{words}"'


def differs(one: Proposal) -> bool:
    """Whether the files say something else in its place."""
    if not one.there or one.there == one.shown:
        return False
    if one.where == PRICES.file and not isinstance(one.value, str | int):
        return one.there.split(" ")[0] != str(one.table.get("price"))
    return text.key(one.there) != text.key(one.shown)
