"""Checking a whole season, or one release of it: every problem at once, in the order of the files."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

from rating import standings, text, tomlfile
from rating.errors import Problem, RatingError, Refused, refuse_if_any
from rating.release import checklist, checks, tables
from rating.release.release import Release
from rating.rubric import rubric as rubrics
from rating.season import folder, scores
from rating.season.season import Season


def check(season: Season, slug: str = "") -> list[Problem]:
    """The problems of one release, or of the season's own files and all releases."""
    if slug:
        return tables.trimmed(_release(season, slug))
    found = _settings(season)
    titles: dict[str, str] = {}
    for one in season.slugs:
        problems = _release(season, one)
        found += problems
        title = _title(season, one)
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
    widths = {}
    for problem in _zeros(season, release, slug):
        if not problem.file.endswith("checklist.csv"):
            continue  # dropped in the sales, where only a person can tell which card was meant
        subset = next(card.subset for card in release.cards if card.row == problem.row)
        before = problem.what.rsplit(" ", 1)[-1]
        widths[subset] = len(before)
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
    for file, read in ((folder.RUBRIC_FILE, _read_rubric), ("rookies.csv", _read_rookies)):
        path = season.path / file
        if path.exists() or file == folder.RUBRIC_FILE:
            found += _told(read, season, path)
    try:
        found += rubrics.problem_unknown_criteria(season.rubric, set(season.modules), folder.RUBRIC_FILE)
        found += _without_scale(season)
        _ = season.earlier
    except Refused:
        pass  # told above, with its place
    except RatingError as fault:
        found.append(folder.as_problem(fault, "earlier-season", folder.SEASON_FILE))
    return found


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


def _read_rubric(season: Season, path: Path) -> Iterable[Problem]:
    del path
    _ = season.rubric
    return ()


def _read_rookies(season: Season, path: Path) -> Iterable[Problem]:
    del season
    return folder.read_rookies(path)[1]


def _told(read: object, season: Season, path: Path) -> list[Problem]:
    try:
        return list(read(season, path))  # type: ignore[operator]  # one of the two readers above
    except Refused as fault:
        return list(fault.problems)
    except RatingError as fault:
        return [folder.as_problem(fault, "unreadable-file", path.name)]


def _title(season: Season, slug: str) -> str:
    try:
        return folder.read_sheet(season.path, slug)[0].title
    except RatingError:
        return ""  # told by the release's own check


def _release(season: Season, slug: str) -> list[Problem]:
    shown = f"{folder.RELEASES}/{slug}"
    try:
        release, found = folder.read_release(season.path, slug)
    except Refused as fault:
        return list(fault.problems)
    except RatingError as fault:
        if not folder.release_folder(season.path, slug).is_dir():
            raise
        return [folder.as_problem(fault, "unreadable-file", f"{shown}/release.toml")]
    found += checks.look_over(
        release,
        folder=shown,
        teams=tuple(team.name for team in season.config.teams),
        aliases=season.config.aliases,
        currency=season.config.currency,
    )
    seen = {(one.file, one.row, one.code) for one in found}
    found += [one for one in _zeros(season, release, slug) if (one.file, one.row, one.code) not in seen]
    found += _scores(season, slug)
    return found


def _zeros(season: Season, release: Release, slug: str) -> list[Problem]:
    shown = f"{folder.RELEASES}/{slug}"
    found = [
        one
        for one in checks.look_over(release, folder=shown, teams=(), aliases={}, currency="")
        if one.code == "zeros-lost"
    ]
    entry = standings.current(season.entries).get(slug)
    if release.cards is None or entry is None:
        return found
    content = json.loads(season.ledger.facts(entry.facts)).get("content", {})
    before = {one["subset"]: one.get("digits", 0) for one in content.get("subsets", ())}
    return found + checks.lost_zeros(release.cards, before, folder=shown)


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
