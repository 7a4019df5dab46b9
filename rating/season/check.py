"""Checking a whole season, or one release of it: every problem at once, in the order of the files."""

from __future__ import annotations

import json
from collections.abc import Callable

from rating import text, tomlfile
from rating.errors import Problem, RatingError, Refused, refuse_if_any
from rating.release import checklist, checks, exchange, tables
from rating.rubric import rubric as rubrics
from rating.season import folder
from rating.season.answers import scores
from rating.season.season import Season
from rating.season.settings import config as configs
from rating.season.settings import help_lines, wishes


def check(season: Season, slug: str = "") -> list[Problem]:
    """The problems of one release, or of the season's own files and all releases."""
    if slug:
        return tables.trimmed(_release(season, slug)[0])
    found = _settings(season)
    titles: dict[str, str] = {}
    for one in season.slugs:
        problems, title = _release(season, one)
        found += problems
        other = titles.setdefault(text.key(title), one) if title else one
        if other != one:
            what = f"{other} and {one} have the same title, {title!r}"
            found.append(
                Problem(
                    code="same-title",
                    file=f"{folder.RELEASES}/{one}/release.toml",
                    what=what,
                    fix="give each release a title of its own",
                )
            )
    for name in folder.strange_folders(season.path):
        shown = text.printable(name[:60])
        found.append(
            Problem(
                code="strange-folder",
                file=f"{folder.RELEASES}/{shown}",
                what=f"a folder named {shown!r} is no release",
                fix="rename it with a-z, 0-9 and hyphens, or move it away",
                severity="remark",
            )
        )
    return tables.trimmed(found)


def repair(season: Season, slug: str) -> list[str]:
    """Put back the leading zeros that a spreadsheet program dropped; gives what was done, in sentences."""
    release, problems = folder.read_release(season.path, slug)
    if release.cards is None:
        return []
    # what could not be read would not be written again
    refuse_if_any(one for one in problems if one.file.endswith("/checklist.csv"))
    dropped = [*checks.zeros_by_sales(release), *checks.zeros_since(release.cards, _digits(season, slug))]
    widths = {one.subset: len(one.was) for one in dropped}
    if not widths:
        return []
    cards = checks.padded(release.cards, widths)
    owner = release.sheet.checklist_of or slug
    path = folder.release_folder(season.path, owner) / "checklist.csv"
    tables.write_whole(path, checklist.checklist_text(cards).encode())
    return [
        f"{subset}: {text.count(sum(card.subset == subset for card in cards), 'number')} written with "
        f"{width} digits again"
        for subset, width in widths.items()
    ]


def _settings(season: Season) -> list[Problem]:
    found = list(season.module_problems)
    readers: dict[str, Callable[[], list[Problem]]] = {folder.RUBRIC_FILE: lambda: _read_rubric(season)}
    rookies = season.path / "rookies.csv"
    if rookies.exists():
        readers[rookies.name] = lambda: folder.read_rookies(rookies)[1]
    demand = season.path / folder.DEMAND_FILE
    if demand.exists():
        readers[demand.name] = lambda: folder.read_demand(demand)[1]
    for file, read in readers.items():
        found += _told(read, file)
    try:
        found += rubrics.problem_unknown_criteria(season.rubric, set(season.modules), folder.RUBRIC_FILE)
        found += _without_scale(season)
        found += wishes.problems(season.rubric, file=folder.RUBRIC_FILE)
        found += configs.weighed(season.config.profiles, season.rubric, file=folder.SEASON_FILE)[1]
        _ = season.earlier
    except Refused:
        pass  # told above, with its place
    except RatingError as fault:
        found.append(folder.as_problem(fault, "earlier-season", folder.SEASON_FILE))
    return found + help_lines.problems(season.path, today=season.today)


def _without_scale(season: Season) -> list[Problem]:
    return [
        Problem(
            code="scale-missing",
            file=folder.RUBRIC_FILE,
            what=f"the computed criterion {one.key} has no value scale",
            fix=f"copy the one that 'boxwright criteria show {one.key}' prints",
        )
        for one in season.rubric.criteria
        if one.scale is None
        and one.key in season.modules
        and season.modules[one.key].criterion.find is not None
    ]


def _read_rubric(season: Season) -> list[Problem]:
    _ = season.rubric  # raises with every problem it has
    return []


def _told(read: Callable[[], list[Problem]], file: str) -> list[Problem]:
    try:
        return read()
    except Refused as fault:
        return list(fault.problems)
    except RatingError as fault:
        return [folder.as_problem(fault, "unreadable-file", file)]


def _release(season: Season, slug: str) -> tuple[list[Problem], str]:
    """The problems of a release, and its title, '' where its sheet cannot be read."""
    shown = f"{folder.RELEASES}/{slug}"
    try:
        release, found = folder.read_release(season.path, slug)
    except Refused as fault:
        return list(fault.problems), ""
    except RatingError as fault:
        if not folder.release_folder(season.path, slug).is_dir():
            raise
        return [folder.as_problem(fault, "unreadable-file", f"{shown}/release.toml")], ""
    found += checks.look_over(
        exchange.converted(release, season.config.rates),
        folder=shown,
        teams=tuple(team.name for team in season.config.teams),
        aliases=season.config.aliases,
        currency=season.config.currency,
        today=season.today,
        divisions=tuple(season.config.slots.divisions),
    )
    seen = {(one.file, one.row, one.code) for one in found}
    lost = checks.lost_zeros(release.cards or (), _digits(season, slug), folder=shown)
    found += [one for one in lost if (one.file, one.row, one.code) not in seen]
    found += _scores(season, slug)
    return found, release.sheet.title


def _digits(season: Season, slug: str) -> dict[str, int]:
    """How many digits the padded numbers of each subset had when the release was last recorded."""
    entry = season.last_recorded(slug)
    if entry is None:
        return {}
    content = json.loads(season.ledger.facts(entry.facts)).get("content", {})
    return {one["subset"]: one.get("digits", 0) for one in content.get("subsets", ())}


def _scores(season: Season, slug: str) -> list[Problem]:
    path = folder.release_folder(season.path, slug) / "scores.toml"
    if not path.exists():
        return []
    shown = f"{folder.RELEASES}/{slug}/scores.toml"
    try:
        criteria = tuple(one.key for one in season.rubric.criteria)
        table = tomlfile.read(path, file=shown)
    except Refused as fault:
        return [one for one in fault.problems if one.file == shown]
    except RatingError as fault:
        return [folder.as_problem(fault, "unreadable-file", shown)]
    scores.read(table, raters=season.config.rater_keys, criteria=criteria)
    return table.problems
