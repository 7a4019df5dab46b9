"""The folder of a season: finding it, starting one, adding releases, reading their files."""

from __future__ import annotations

import os
import uuid
from collections.abc import Mapping, Sequence
from decimal import Decimal
from importlib import resources
from pathlib import Path
from typing import Any

from rating import text, tomlfile
from rating.errors import Problem, RatingError, Refused, refuse_if_any, trimmed
from rating.facts.context import Demand, Rookie
from rating.release import CHECKLIST, DEMAND, PARALLELS, PRICES, ROOKIES, SALES, sheet, swap
from rating.release.release import TABLES_BY_FIELD, Release
from rating.season import place
from rating.season.settings.help_lines import FILE as HELP_FILE

SEASON_FILE, RELEASES, VARIABLE = place.SEASON_FILE, place.RELEASES, place.VARIABLE
slugs = place.slugs
RUBRIC_FILE = "rubric.toml"
LEDGER_FILE = "ledger.db"
DEMAND_FILE, ROOKIES_FILE = DEMAND.file, ROOKIES.file


def find(given: Path | None, *, here: Path, environment: Mapping[str, str]) -> Path:
    """The season folder: the one given, else that of BOXWRIGHT_SEASON, else this folder or one above it.

    Raises
    ------
    RatingError
        if there is none
    """
    found = place.search(given, here=here, environment=environment)
    if found is not None:
        return found
    if (named := place.named(given, environment=environment)) is not None:
        raise RatingError(
            f"there is no {SEASON_FILE} in it",
            where=str(named),
            fix="name a season folder, or make one with 'boxwright start DIR'",
        )
    raise RatingError(
        f"no season here: there is no {SEASON_FILE} in this folder or above it",
        where=str(here),
        fix="make one with 'boxwright start DIR', or pass --season DIR",
    )


def template(file: str, **values: str) -> str:
    """A commented template with its blanks filled; values are written as TOML text."""
    content = resources.files("rating.season").joinpath("templates", file).read_text(encoding="utf-8")
    for key, value in values.items():
        content = content.replace(f"@{key}@", _quoted(value))
    return content


def _quoted(value: str) -> str:
    clean = text.tidy(value).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{clean}"'


def start(folder: Path, *, name: str) -> list[Path]:
    """Lay out a new season: season.toml, rubric.toml, help_lines.toml and an empty releases folder.

    Raises
    ------
    RatingError
        if the folder already holds something, or cannot be written
    """
    _hold_name("the season's name", name)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise RatingError(
            "there is something in that place already", where=str(folder), fix="name a new or an empty folder"
        )
    files = (SEASON_FILE, RUBRIC_FILE, HELP_FILE)
    made = uuid.uuid4().hex  # ties the ledger to this season, and to no copy of its settings
    written = _lay_out(folder, {file: template(file, name=name, season_id=made) for file in files})
    (folder / RELEASES).mkdir(parents=True, exist_ok=True)
    return written


def add(season: Path, slug: str, *, title: str) -> list[Path]:
    """Lay out a new release with templates: release.toml, scores.toml and an empty prices.csv.

    Raises
    ------
    RatingError
        if the slug cannot be one, or the release is there already
    """
    folder = release_folder(season, slug)
    if folder.exists():
        raise RatingError(
            f"the release {slug} is there already", where=f"{RELEASES}/{slug}", fix="choose another name"
        )
    _hold_name("the title", title)
    contents = {
        "release.toml": template("release.toml", title=title),
        "scores.toml": template("scores.toml"),
        PRICES.file: PRICES.to_text(()),
    }
    return _lay_out(folder, contents)


def _hold_name(what: str, name: str) -> None:
    """Refuse a name that could not be read back from the file it is written to."""
    if mark := text.bad_marks(name):
        raise RatingError(f"{what} holds the invisible mark {mark}", fix="type it again")
    if not name.strip():
        raise RatingError(f"{what} is blank", fix="write it in words")
    if len(text.tidy(name)) > text.NAME_LIMIT:
        raise RatingError(
            f"{what} has {len(text.tidy(name))} characters", fix=f"shorten it to at most {text.NAME_LIMIT}"
        )


def _lay_out(folder: Path, contents: Mapping[str, str]) -> list[Path]:
    """Write the files of a new folder; where one cannot be written, none of them stays."""
    was_there = folder.exists()
    written: list[Path] = []
    try:
        for file, content in contents.items():
            swap.write_whole(folder / file, content.encode())
            written.append(folder / file)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        if not was_there and folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
        raise
    return written


def release_folder(season: Path, slug: str) -> Path:
    """The folder of a release, which need not be there yet.

    Raises
    ------
    RatingError
        if the name would leave the season folder, or is none for a release
    """
    why = text.why_no_slug(slug)
    if why:
        shown = text.printable(slug[:60])
        raise RatingError(
            f"{shown!r} is not a name for a release: {why}",
            fix="use a name such as halyard or deep-harbour-2",
        )
    folder = season / RELEASES / slug
    inside = (season / RELEASES).resolve()
    if folder.resolve().parent != inside:
        raise RatingError(
            f"the release {slug} is a link that leaves the season",
            where=f"{RELEASES}/{slug}",
            fix="put a real folder in its place",
        )
    return folder


def strange_folders(season: Path) -> list[str]:
    """Folders among the releases whose names cannot be slugs."""
    folder = season / RELEASES
    if not folder.is_dir():
        return []
    return sorted(
        one.name
        for one in folder.iterdir()
        if one.is_dir() and not one.name.startswith(".") and text.why_no_slug(one.name)
    )


def read_sheet(season: Path, slug: str) -> tuple[sheet.Sheet, list[Problem]]:
    """The sheet of a release with the problems of its file.

    Raises
    ------
    RatingError
        if there is no such release, or its file is no TOML
    """
    folder = release_folder(season, slug)
    if not folder.is_dir():
        known = slugs(season)
        near = text.listed(known, "or") if 0 < len(known) < 10 else f"one of {len(known)} releases"
        add = f"add it with 'boxwright add {slug}'"
        fix = text.hinted(slug, known, add)
        if known and fix == add:
            fix = f"name {near}; or {add}"
        raise RatingError(f"no release named {slug!r}", where=f"{RELEASES}/{slug}", fix=fix)
    table = tomlfile.read(folder / "release.toml", file=f"{RELEASES}/{slug}/release.toml")
    return sheet.read(table, slug), table.problems


def hold_format(described: sheet.Sheet, key: str, *, where: str) -> None:
    """Refuse a format that a release does not have; `where` is how the message calls its place."""
    keys = [one.key for one in described.formats]
    if key not in keys:
        named = text.hinted(key, keys, f"name one of {', '.join(keys)}")
        raise RatingError(
            f"{described.slug} has no format named {text.printable(key)!r}",
            where=where,
            fix=named if keys else "describe its formats in release.toml first",
        )


_SHARED = (CHECKLIST, PARALLELS)


def has_sales(season: Path, slug: str) -> bool:
    """Whether a release has a table of sales."""
    return (release_folder(season, slug) / SALES.file).exists()


def read_release(season: Path, slug: str) -> tuple[Release, list[Problem]]:
    """A release with every table it has, and all problems found on the way.

    A table that is no CSV at all becomes a problem too, so that the other tables are still looked at.
    """
    swap.recover(release_folder(season, slug))
    described, problems = read_sheet(season, slug)
    if described.checklist_of and not release_folder(season, described.checklist_of).is_dir():
        problems.append(
            Problem(
                code="unknown-release",
                file=f"{RELEASES}/{slug}/release.toml",
                what=f"checklist_of names {described.checklist_of}, and there is no such release",
                fix="write the folder name of the release whose checklist it shares, or take the line out",
            )
        )
    found: dict[str, Any] = {}
    for name, table in TABLES_BY_FIELD.items():
        owner = described.checklist_of if described.checklist_of and table in _SHARED else slug
        path = release_folder(season, owner) / table.file
        if not path.exists():
            continue
        shown = f"{RELEASES}/{owner}/{table.file}"
        try:
            rows, more = table.read(path, file=shown)
        except RatingError as fault:
            problems.append(as_problem(fault, "unreadable-table", shown))
            continue
        found[name] = rows
        problems += more
    return Release(sheet=described, **found), problems


def as_problem(fault: RatingError, code: str, file: str) -> Problem:
    """An error as a problem among others; a refusal gives its first."""
    if isinstance(fault, Refused):
        return fault.problems[0]
    place, _, row = fault.where.partition(", line ")
    return Problem(
        code=code, file=place or file, row=int(row) if row.isdigit() else None, what=fault.what, fix=fault.fix
    )


def sound_release(season: Path, slug: str) -> Release:
    """A release without errors in its files.

    Raises
    ------
    RatingError
        with every error that its files hold
    """
    release, problems = read_release(season, slug)
    refuse_if_any(trimmed(problems))
    return release


def read_rookies(path: Path) -> tuple[tuple[Rookie, ...], list[Problem]]:
    """The rookie class of rookies.csv with the problems of its rows."""
    rows, problems = ROOKIES.read(path)
    rookies = (Rookie(subject=one.subject, team=one.team, since=one.since) for one in rows)
    return tuple(rookies), problems


def read_demand(path: Path) -> tuple[tuple[Demand, ...], list[Problem]]:
    """The host's own word on who is wanted, from demand.csv, with the problems of its rows."""
    rows, problems = DEMAND.read(path)
    found = (
        Demand(subject=one.subject, demand=Decimal(one.demand), basis="nudge", why=one.why)
        for one in rows
        if one.demand is not None
    )
    return tuple(found), problems


def default_environment() -> Mapping[str, str]:
    """The environment of this process."""
    return os.environ


def shown_paths(paths: Sequence[Path], base: Path) -> list[str]:
    """Paths as they are told: relative to a folder where they lie in it."""
    return [str(path.relative_to(base)) if path.is_relative_to(base) else str(path) for path in paths]
