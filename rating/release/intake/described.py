"""What release.toml says that an intake can use: the release, its formats, and its words for columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from rating import tomlfile
from rating.errors import RatingError
from rating.release import sheet
from rating.release.intake.values import FormatWords, Proposal, ReleaseWords
from rating.release.intake.words import TABLES


def described(folder: Path) -> tuple[ReleaseWords, Path, dict[str, tuple[str, ...]]]:
    """What release.toml says, the folder that holds the checklist, and the columns it names."""
    path = folder / "release.toml"
    if not path.exists():
        return ReleaseWords(), folder, {}
    table = tomlfile.read(path)
    one = sheet.read(table, folder.name)
    release = ReleaseWords(
        title=one.title,
        maker=one.maker,
        line=one.line,
        released_on=one.released_on,
        headline=one.headline,
        formats=tuple(
            FormatWords(
                key=form.key,
                name=form.name,
                packs_per_box=form.packs_per_box,
                boxes_per_case=form.boxes_per_case,
            )
            for form in one.formats
        ),
    )
    owner = folder.parent / one.checklist_of if one.checklist_of else folder
    return release, owner, columns_from(table.values.get("columns"), file=path.name)


def columns_from(named: Any, *, file: str) -> dict[str, tuple[str, ...]]:
    """The words that a [columns] table adds: `subject = ["Skater", "Signed by"]`.

    Raises
    ------
    RatingError
        if it is of another shape, or names a column that there is none of
    """
    if named is None:
        return {}
    fix = 'write it as subject = ["Skater", "Signed by"], under [columns]'
    if not isinstance(named, dict):
        raise RatingError("columns is not a table", where=file, fix=fix)
    known = sorted({name for table in TABLES.values() for name in table})
    found: dict[str, tuple[str, ...]] = {}
    for name, usual in named.items():
        listed = [usual] if isinstance(usual, str) else usual
        if name not in known:
            raise RatingError(
                f"columns.{name} is not a column", where=file, fix=f"use one of {', '.join(known)}"
            )
        if not isinstance(listed, list) or not all(isinstance(one, str) and one.strip() for one in listed):
            raise RatingError(f"columns.{name} is not a list of words", where=file, fix=fix)
        found[name] = tuple(listed)
    return found


def joined_columns(
    first: Mapping[str, tuple[str, ...]], second: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """The words of two [columns] tables, a column's words together."""
    names = dict.fromkeys((*first, *second))
    return {name: (*first.get(name, ()), *second.get(name, ())) for name in names}


def with_packing(release: ReleaseWords, found: Sequence[Proposal]) -> ReleaseWords:
    """The release with the packing that a sell sheet states, where release.toml states none yet."""
    formats = {one.key: one for one in release.formats}
    for one in found:
        parts = one.where.split(".")
        if len(parts) == 3 and parts[0] == "formats" and one.sure and isinstance(one.value, int):
            known = formats.get(parts[1], FormatWords(key=parts[1]))
            if parts[2] == "packs_per_box" and known.packs_per_box is None:
                known = replace(known, packs_per_box=one.value)
            elif parts[2] == "boxes_per_case" and known.boxes_per_case is None:
                known = replace(known, boxes_per_case=one.value)
            formats[parts[1]] = known
        elif one.where == "date" and isinstance(one.value, date) and release.released_on is None and one.sure:
            release = replace(release, released_on=one.value)
    return replace(release, formats=tuple(formats.values()))
