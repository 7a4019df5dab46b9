"""The tables that an intake wrote, in the form of the truth's tables."""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from makers.truth.facts import Row

Tables = Mapping[str, tuple[Row, ...]]
_FILES = {
    "checklist": "checklist.csv",
    "parallels": "parallels.csv",
    "odds": "odds.csv",
    "sales": "sales.csv",
    "slots": "slots.csv",
    "prices": "prices.csv",
}


def read_written(folder: Path) -> Tables:
    """Everything that stands in a release's folder; a table that is not there is empty."""
    tables: dict[str, tuple[Row, ...]] = {}
    for name, file in _FILES.items():
        path = folder / file
        tables[name] = tuple(_rows(path.read_text(encoding="utf-8"))) if path.exists() else ()
    tables["prices"] = tuple(row for row in tables["prices"] if row.get("kind") == "list")
    sheet = tomllib.loads((folder / "release.toml").read_text(encoding="utf-8"))
    return tables | from_sheet(sheet)


def from_sheet(sheet: Mapping[str, Any]) -> dict[str, tuple[Row, ...]]:
    """The tables that a release.toml holds. A format's `format` is its key, beside its name."""
    formats, promises = [], []
    for key, one in sheet.get("formats", {}).items():
        columns = ("cards_per_pack", "packs_per_box", "boxes_per_case")
        formats.append(
            {
                "key": key,
                "name": str(one.get("name", key)),
                **{name: _text(one.get(name)) for name in columns},
            }
        )
        for promise in one.get("guarantees", ()):
            names = ("what", "count", "per", "certainty", "subset", "parallel")
            promises.append({"format": key, **{name: _text(promise.get(name)) for name in names}})
    dates = {"date": _text(sheet.get("date")), "since": _text(sheet.get("since"))}
    return {"formats": tuple(formats), "promises": tuple(promises), "sheet": (dates,)}


def _rows(text: str) -> Iterable[Row]:
    for row in csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")):
        yield {name: (cell or "").strip() for name, cell in row.items() if name}


def _text(value: object) -> str:
    return "" if value is None else str(value)
