"""intake.json: what was taken in, what each file brought, and what a person corrected."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rating import regular, text
from rating.errors import RatingError

FORMAT = 1
RECORD = "intake.json"
# what a source may have brought, beside rows that name it themselves
SUBSETS, LADDERS, FORMATS, VALUES = _BROUGHT = ("subsets", "ladders", "formats", "values")


@dataclass(slots=True)
class Written:
    """What an intake wrote of one table: the file's hash, and a short hash of each row as it was taken in."""

    sha256: str = ""
    rows: dict[str, str] = field(default_factory=dict)
    edits: int = 0


@dataclass(slots=True)
class Source:
    """A file that was taken in: what it was, when, and what it brought.

    `brought` has the subsets of its cards, the subsets whose parallels it lists (ladders), the formats of its
    odds, and the values that went from it into release.toml, each as its place and what was written there.
    """

    file: str
    sha256: str
    read_as: str = ""
    taken_on: str = ""
    brought: dict[str, list[Any]] = field(default_factory=dict)

    def plain(self) -> dict[str, Any]:
        """The source as the file has it."""
        own = {"file": self.file, "sha256": self.sha256, "read_as": self.read_as, "taken_on": self.taken_on}
        return own | {name: self.brought[name] for name in _BROUGHT if self.brought.get(name)}


@dataclass(slots=True)
class Record:
    """intake.json: the sources and tables of earlier intakes, and what a person corrected."""

    sources: list[Source] = field(default_factory=list)
    tables: dict[str, Written] = field(default_factory=dict)
    corrections: dict[str, tuple[str, str, str]] = field(default_factory=dict)

    def add_source(self, one: Source) -> None:
        """Note a source; the same file again keeps its first day, a revised one is a source of its own."""
        there = self.same(one.file, one.sha256)
        if there is None:
            self.sources.append(one)
        else:
            there.brought |= one.brought

    def same(self, file: str, sha256: str) -> Source | None:
        """The source of that name and that content, None where there is none."""
        return next((one for one in self.sources if (one.file, one.sha256) == (file, sha256)), None)

    def named(self, file: str) -> list[Source]:
        """What was taken in under a name, the oldest first."""
        return [one for one in self.sources if one.file == file]

    def owners(self, what: str = SUBSETS) -> dict[str, str]:
        """The file that each subset (or ladder, or format) came from last, by its name as compared."""
        return {text.key(name): one.file for one in self.sources for name in one.brought.get(what, ())}

    def content(self) -> bytes:
        """The file's text."""
        shown = {
            "format": FORMAT,
            "sources": [one.plain() for one in self.sources],
            "tables": {
                name: {
                    "sha256": one.sha256,
                    "edits": one.edits,
                    "rows": [f"{key}:{value}" for key, value in one.rows.items()],
                }
                for name, one in sorted(self.tables.items())
            },
            "corrections": [[title, *card] for title, card in sorted(self.corrections.items())],
        }
        return (json.dumps(shown, ensure_ascii=False, indent=1) + "\n").encode()


def read_record(folder: Path) -> Record:
    """The record of earlier intakes; an empty one where there is none.

    Raises
    ------
    RatingError
        if the file is damaged or of a newer format
    """
    path = folder / RECORD
    regular.hold(path)
    if not path.exists():
        return Record()
    try:
        raw = json.loads(path.read_bytes())
        _check_format(raw.get("format"))
        return Record(
            sources=[_source(one) for one in raw.get("sources", [])],
            tables={str(name): _written(one) for name, one in raw.get("tables", {}).items()},
            corrections={
                str(title): (str(subset), str(parallel), str(number))
                for title, subset, parallel, number in raw.get("corrections", [])
            },
        )
    except (ValueError, TypeError, AttributeError, KeyError) as fault:
        raise RatingError(
            "the record of earlier intakes is damaged",
            where=RECORD,
            fix="restore it from a backup, or delete it: rows of the tables then count as a person's own",
        ) from fault
    except OSError as fault:
        raise RatingError(
            f"the record cannot be read: {fault.strerror}", where=RECORD, fix="check that you may read it"
        ) from fault


def _check_format(form: Any) -> None:
    if isinstance(form, int) and form > FORMAT:
        raise RatingError(
            f"the file has format {form}, this program reads format {FORMAT}",
            where=RECORD,
            fix="install a newer version of boxwright",
        )


def _source(raw: Any) -> Source:
    words = {name: str(raw.get(name, "")) for name in ("file", "sha256", "read_as", "taken_on")}
    names = {name: [str(one) for one in raw[name]] for name in _BROUGHT[:-1] if name in raw}
    values = [[str(where), value] for where, value in raw.get(VALUES, [])]
    return Source(**words, brought=names | ({VALUES: values} if values else {}))


def _written(raw: Any) -> Written:
    if isinstance(raw, str):  # a hash alone is allowed
        return Written(sha256=raw)
    rows = dict(str(one).split(":", 1) for one in raw.get("rows", []))
    return Written(sha256=str(raw["sha256"]), rows=rows, edits=int(raw.get("edits", 0)))


def sha256(content: bytes) -> str:
    """The hash of a file's content."""
    return hashlib.sha256(content).hexdigest()
