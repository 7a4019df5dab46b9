"""Checking a whole season, or one release of it: every problem at once, in the order of the files."""

from __future__ import annotations

from collections.abc import Callable

from rating import text, tomlfile
from rating.errors import Problem, RatingError, Refused, refuse_if_any, trimmed
from rating.facts import scarcity
from rating.facts.plain import Unknown
from rating.facts.scarcity.tell import misfit
from rating.facts.typical import too_steep
from rating.release import CHECKLIST, ODDS, ROOKIES, checks, exchange
from rating.release.swap import write_whole
from rating.rubric import rubric as rubrics
from rating.season import folder
from rating.season.scoring import scores
from rating.season.season import Season
from rating.season.settings import config as configs
from rating.season.settings import help_lines, wishes


def check(season: Season, slug: str = "") -> list[Problem]:
    """The problems of one release, or of the season's own files and all releases."""
    if slug:
        return trimmed(_release(season, slug)[0])
    problems = _settings(season)
    titles: dict[str, str] = {}
    for own in season.files.slugs:
        of_release, title = _release(season, own)
        problems += of_release
        other = titles.setdefault(text.key(title), own) if title else own
        if other != own:
            problems.append(
                Problem(
                    code="same-title",
                    file=f"{folder.RELEASES}/{own}/release.toml",
                    what=f"{other} and {own} have the same title, {title!r}",
                    fix="give each release a title of its own",
                )
            )
    for name in folder.strange_folders(season.path):
        shown = text.printable(name[:60])
        problems.append(
            Problem(
                code="strange-folder",
                file=f"{folder.RELEASES}/{shown}",
                what=f"a folder named {shown!r} is not a release",
                fix="rename it with a-z, 0-9 and hyphens, or move it away",
                severity="remark",
            )
        )
    return trimmed(problems)


def repair(season: Season, slug: str) -> list[str]:
    """Put back the leading zeros that a spreadsheet program dropped; gives what was done, in sentences."""
    release, problems = folder.read_release(season.path, slug)
    if release.cards is None:
        return []
    # what could not be read would not be written again
    refuse_if_any(problem for problem in problems if problem.file.endswith(f"/{CHECKLIST.file}"))
    dropped = [*checks.zeros_by_sales(release), *checks.zeros_since(release.cards, _digits(season, slug))]
    widths = {number.subset: len(number.was) for number in dropped}
    if not widths:
        return []
    cards = checks.padded(release.cards, widths)
    owner = release.sheet.checklist_of or slug
    path = folder.release_folder(season.path, owner) / CHECKLIST.file
    write_whole(path, CHECKLIST.to_text(cards).encode())
    return [
        f"{subset}: {text.count(sum(card.subset == subset for card in cards), 'number')} written with "
        f"{width} digits again"
        for subset, width in widths.items()
    ]


def _settings(season: Season) -> list[Problem]:
    problems = list(season.files.module_problems)
    readers: dict[str, Callable[[], list[Problem]]] = {folder.RUBRIC_FILE: lambda: _read_rubric(season)}
    rookies = season.path / ROOKIES.file
    if rookies.exists():
        readers[rookies.name] = lambda: folder.read_rookies(rookies)[1]
    demand = season.path / folder.DEMAND_FILE
    if demand.exists():
        readers[demand.name] = lambda: folder.read_demand(demand)[1]
    for file, read in readers.items():
        problems += _told(read, file)
    try:
        known = set(season.files.modules)
        problems += rubrics.problem_unknown_criteria(season.rubric, known, folder.RUBRIC_FILE)
        problems += _without_scale(season)
        problems += wishes.problems(season.rubric, file=folder.RUBRIC_FILE)
        problems += _too_steep(season)
        problems += configs.weighed(season.config.profiles, season.rubric, file=folder.SEASON_FILE)[1]
        _ = season.files.earlier
    except Refused:
        pass  # told above, with its place
    except RatingError as fault:
        problems.append(folder.as_problem(fault, "earlier-season", folder.SEASON_FILE))
    return problems + help_lines.problems(season.path, today=season.today)


def _without_scale(season: Season) -> list[Problem]:
    return [
        Problem(
            code="scale-missing",
            file=folder.RUBRIC_FILE,
            what=f"the computed criterion {weighted.key} has no value scale",
            fix=f"copy the one that 'boxwright criteria show {weighted.key}' prints",
        )
        for weighted in season.rubric.criteria
        if weighted.scale is None
        and weighted.key in season.files.modules
        and season.files.modules[weighted.key].criterion.find is not None
    ]


def _too_steep(season: Season) -> list[Problem]:
    """Typical amounts that rise faster than their box, so that a dearer one would look cheaper."""
    return [
        Problem(
            code="typical-too-steep",
            file=folder.SEASON_FILE,
            what=f"typical_{cost} of the class {name} rises faster than typical_box, and is taken for {held}",
            fix="let it rise no faster than typical_box does from the class before",
            severity="remark",
        )
        for name, cost, held in too_steep(season.config.classes)
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
        release, problems = folder.read_release(season.path, slug)
    except Refused as fault:
        return list(fault.problems), ""
    except RatingError as fault:
        if not folder.release_folder(season.path, slug).is_dir():
            raise
        return [folder.as_problem(fault, "unreadable-file", f"{shown}/release.toml")], ""
    problems += checks.look_over(
        exchange.converted(release, season.config.rates),
        folder=shown,
        teams=tuple(team.name for team in season.config.teams),
        aliases=season.config.aliases,
        currency=season.config.currency,
        today=season.today,
        divisions=tuple(season.config.slots.divisions),
    )
    seen = {_place(problem) for problem in problems}
    lost = checks.lost_zeros(release.cards or (), _digits(season, slug), folder=shown)
    problems += [problem for problem in lost if _place(problem) not in seen]
    problems += _scores(season, slug)
    if not any(one.severity == "error" for one in problems):
        problems += _misfits(season, slug)
        problems += _overruled(season, slug)
    return problems, release.sheet.title


def _place(problem: Problem) -> tuple[str, int | None, str]:
    return problem.file, problem.row, problem.code


def _digits(season: Season, slug: str) -> dict[str, int]:
    """How many digits the padded numbers of each subset had when the release was last recorded."""
    entry = season.recorded.current.get(slug)
    if entry is None:
        return {}
    content = season.recorded.facts(entry).get("content", {})
    return {subset["subset"]: subset.get("digits", 0) for subset in content.get("subsets", ())}


def _misfits(season: Season, slug: str) -> list[Problem]:
    """A remark on each of the odds that the facts set aside, since the others make it another number."""
    try:
        found = season.files.lasting(slug).of(scarcity.SECTION)
    except RatingError:
        return []  # what stands in the way of facts is told of its own file
    return [
        Problem(
            code="odds-misfit",
            file=f"{folder.RELEASES}/{slug}/{ODDS.file}",
            what=misfit(one),
            fix="check whether the odds or the print run were read or typed wrongly",
            severity="remark",
        )
        for one in (() if isinstance(found, Unknown) else found.set_aside)
    ]


def _overruled(season: Season, slug: str) -> list[Problem]:
    """A remark where scores by hand go further from the computed ones than the doubts of both reach."""
    try:
        told = season.overruled(slug)
    except RatingError:
        return []  # what stands in the way of a grade is told of its own file
    if not told:
        return []
    return [
        Problem(
            code="overruled-beyond-doubt",
            file=f"{folder.RELEASES}/{slug}/scores.toml",
            what=told.removesuffix("."),
            fix="see the evidence in 'boxwright grade', then keep the score with its reason, or take it out",
            severity="remark",
        )
    ]


def _scores(season: Season, slug: str) -> list[Problem]:
    path = folder.release_folder(season.path, slug) / "scores.toml"
    if not path.exists():
        return []
    shown = f"{folder.RELEASES}/{slug}/scores.toml"
    try:
        criteria = tuple(weighted.key for weighted in season.rubric.criteria)
        table = tomlfile.read(path, file=shown)
    except Refused as fault:
        return [problem for problem in fault.problems if problem.file == shown]
    except RatingError as fault:
        return [folder.as_problem(fault, "unreadable-file", shown)]
    scores.read(table, raters=season.config.rater_keys, criteria=criteria)
    return table.problems
