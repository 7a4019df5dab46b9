"""What a sell sheet says beside release.toml and prices.csv, and the sure of it written there when asked."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import Any

from rating import money, text, tomlfile
from rating.errors import RatingError
from rating.release import csv_file
from rating.release.intake.values import Proposal
from rating.release.market import PRICES, Price

SHEET = "release.toml"
_SAME = ("what", "per", "subset", "parallel")


@dataclass(slots=True)
class Done:
    """The proposals with what is there already and whether they were taken; the files as they would stand."""

    proposals: list[Proposal] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)


@dataclass(slots=True)
class Undone:
    """The files without what a sell sheet brought, where it stood unchanged, and what is to be told."""

    files: dict[str, bytes] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def apply(
    folder: Path,
    found: Sequence[Proposal],
    *,
    today: date,
    is_taking: bool,
    standing: Mapping[str, bytes] = MappingProxyType({}),
) -> Done:
    """Compare proposals with the files of a release; with `is_taking` the sure and new ones go into them.

    What a person wrote is never replaced: where a sell sheet says something else, both are shown. `standing`
    are contents that go before those of the folder.

    Raises
    ------
    RatingError
        if release.toml or prices.csv cannot be read
    """
    content = _content(folder, SHEET, standing) or "format = 1\n"
    present = _plain(tomlfile.parse(content, file=SHEET).values)
    prices = _Prices(_content(folder, PRICES.file, standing), min(today, _released(present, found) or today))
    done = Done(files=dict(standing))
    accepted: list[Proposal] = []
    for one in found:
        there = prices.there(one) if one.where == PRICES.file else _there(present, one)
        is_new = one.sure and not there
        if is_new and is_taking and one.where != PRICES.file:
            accepted.append(one)
        elif is_new and is_taking:
            prices.add(one)
        done.proposals.append(replace(one, there=there, taken=is_new and is_taking))
    if accepted:
        done.files[SHEET] = _edited(content, accepted).encode()
    if prices.added:
        done.files[PRICES.file] = prices.content()
    return done


def as_written(one: Proposal) -> list[Any]:
    """A proposal as the record keeps it: its place, and what was written there."""
    if isinstance(one.value, Mapping):
        cells = {name: str(_toml(cell)) for name, cell in one.value.items()}
        return [one.where, cells | ({"source": one.file} if one.where == PRICES.file else {})]
    return [one.where, str(_toml(one.value))]


def undone(folder: Path, values: Sequence[Sequence[Any]]) -> Undone:
    """release.toml and prices.csv without values that a sell sheet brought; what was changed since stays."""
    done = Undone()
    if not values:
        return done
    import tomlkit  # loaded for an edit only

    content = _content(folder, SHEET, {})
    document = tomlkit.parse(content)
    stayed = [
        where for where, value in values if where != PRICES.file and not _take_out(document, where, value)
    ]
    written = tomlkit.dumps(document)
    if written != content:
        done.files[SHEET] = written.encode()
    prices = [value for where, value in values if where == PRICES.file]
    done.files |= _without_prices(folder, prices)
    if stayed:
        done.notes.append(
            f"{SHEET} was changed since in {text.listed(list(dict.fromkeys(stayed)))}; that stays as it is"
        )
    return done


def _take_out(document: Any, where: str, value: Any) -> bool:
    """Take a value out of release.toml where it stands as it was written; whether it did."""
    *above, name = where.split(".")
    places = [document]
    for part in above:
        if part not in places[-1]:
            return False
        places.append(places[-1][part])
    if name not in places[-1]:
        return False
    there = places[-1][name]
    if not isinstance(value, Mapping):
        if str(there) != value:
            return False
        del places[-1][name]
    else:
        at = next((i for i, one in enumerate(there) if {k: str(v) for k, v in one.items()} == value), None)
        if at is None:
            return False
        del there[at]
        if not there:
            del places[-1][name]
    for place, part in zip(reversed(places[:-1]), reversed(above), strict=True):
        if not place[part]:
            del place[part]
    return True


def _without_prices(folder: Path, prices: Sequence[Mapping[str, str]]) -> dict[str, bytes]:
    """prices.csv without the rows that a sell sheet brought."""
    content = _content(folder, PRICES.file, {})
    if not prices or not content:
        return {}
    columns, *rows = csv.reader(io.StringIO(content))
    names = [text.key(one) for one in columns]

    def is_brought(row: Sequence[str]) -> bool:
        cells = dict(zip(names, row, strict=False))
        return any(
            all(cells.get(name, "") == cell for name, cell in one.items() if name != "price")
            and money.read(cells.get("price", "")) == money.read(one["price"])
            for one in prices
        )

    kept = [row for row in rows if not is_brought(row)]
    return {} if len(kept) == len(rows) else {PRICES.file: csv_file.to_text(columns, kept).encode()}


def _content(folder: Path, file: str, standing: Mapping[str, bytes]) -> str:
    """The text of a file of the release as it stands, blank where there is none."""
    if file in standing:
        return standing[file].decode()
    path = folder / file
    if not path.exists():
        return ""
    return tomlfile.read_text(path) if file == SHEET else csv_file.read_text(path, file=file)


def _released(present: Mapping[str, Any], found: Sequence[Proposal]) -> date | None:
    """The release date: a sell sheet's prices were known on it, whenever the sheet is taken in."""
    there = present.get("date")
    if isinstance(there, date):
        return there
    return next((one.value for one in found if one.where == "date" and isinstance(one.value, date)), None)


# ---------------------------------------------------------------- release.toml
def _plain(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: _plain(value) if isinstance(value, Mapping) else value for key, value in values.items()}


def _there(present: Mapping[str, Any], one: Proposal) -> str:
    """What release.toml says in the place of a proposal, in a line; nothing where it is silent."""
    value: Any = present
    for part in one.where.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    if value is None or value == "":
        return ""
    if not one.where.endswith(".guarantees"):
        return str(value)
    wanted = one.table
    for promise in value if isinstance(value, list) else ():
        if all(text.key(str(promise.get(name, ""))) == text.key(str(wanted.get(name, ""))) for name in _SAME):
            shown = {name: promise.get(name) for name in wanted if name != "words"}
            return ", ".join(f"{name} {cell}" for name, cell in shown.items())
    return ""


def _edited(content: str, accepted: Sequence[Proposal]) -> str:
    """The text of release.toml with values added; comments and all that stands there are kept.

    Raises
    ------
    RatingError
        if the text is no TOML that can be edited
    """
    import tomlkit  # loaded for an edit only
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(content)
        for one in accepted:
            *tables_above, name = one.where.split(".")
            place: Any = document
            for depth, part in enumerate(tables_above):
                if part not in place:
                    place[part] = tomlkit.table(is_super_table=depth == 0)
                place = place[part]
            if name != "guarantees":
                _set(document, place, name, _toml(one.value))
                continue
            promise = tomlkit.table()
            for key, cell in one.table.items():
                promise[key] = _toml(cell)
            if name not in place:
                place[name] = tomlkit.aot()
            place[name].append(promise)
        written = tomlkit.dumps(document)
    except TOMLKitError as fault:
        raise RatingError(
            f"the file cannot be edited: {fault}", where=SHEET, fix="fix it by hand first"
        ) from fault
    written = _spaced(written)
    back = _plain(tomlfile.parse(written, file=SHEET).values)
    for one in accepted:
        if not _there(back, one):
            raise ValueError(f"{one.where} did not reach {SHEET}")
    return written


def _set(document: Any, place: Any, name: str, value: Any) -> None:
    """Set a value; at the top it must stand before the first table."""
    if place is not document or name in document:
        place[name] = value
        return
    for position, (key, item) in enumerate(document.body):
        if (key is not None and hasattr(item, "is_super_table")) or (
            key is not None and isinstance(item, list) and not hasattr(item, "trivia")
        ):
            before = next((k for k, i in reversed(document.body[:position]) if k is not None), None)
            if before is not None:
                document._insert_after(before, name, value)  # noqa: SLF001 (the only way to place a key)
                return
            break
    document[name] = value


def _toml(value: Any) -> Any:
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    return value


def _spaced(written: str) -> str:
    """A blank line before each new table, as people write them."""
    lines = written.rstrip("\n").split("\n")
    kept: list[str] = []
    for line in lines:
        if line.startswith("[") and kept and kept[-1].strip() and not kept[-1].lstrip().startswith("#"):
            kept.append("")
        kept.append(line)
    return "\n".join(kept) + "\n"


# ---------------------------------------------------------------- prices.csv
class _Prices:
    """prices.csv, to which rows are added at the end and none is ever changed."""

    def __init__(self, before: str, day: date) -> None:
        self.before, self.day = before, day
        self.known: tuple[Price, ...] = ()
        self.columns: Sequence[str] = PRICES.names
        if before.strip():
            self.known = tuple(PRICES.parse(before)[0])
            self.columns = [text.key(name) for name in next(csv.reader(io.StringIO(before)))]
        self.added: list[dict[str, str]] = []

    def there(self, one: Proposal) -> str:
        """The list price that stands there for the same thing."""
        thing = (one.table["format"], one.table["unit"])
        same = [price for price in self.known if price.kind == "list" and (price.format, price.unit) == thing]
        return next((f"{price.price} on {price.day}" for price in reversed(same)), "")

    def add(self, one: Proposal) -> None:
        """Add the list price, as of today or the release."""
        self.added.append({**one.table, "date": self.day.isoformat(), "source": one.file})

    def content(self) -> bytes:
        """The file with the new rows."""
        rows = [[row.get(name, "") for name in self.columns] for row in self.added]
        new = csv_file.to_text(self.columns, rows)
        if not self.before.strip():
            return new.encode()
        end = "" if self.before.endswith("\n") else "\n"
        return (self.before + end + new.split("\n", 1)[1]).encode()
