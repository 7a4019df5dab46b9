"""Whether all is well around a season: what is installed, what was found, what is sound, what lies about."""

from __future__ import annotations

import platform
import re
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from rating import text
from rating.errors import RatingError, errors_in
from rating.season import days, folder, place
from rating.season.season import Season
from rating.season.settings.config import Config

# what the program cannot do without
PACKAGES = ("typer", "numpy", "scipy", "pandas", "openpyxl", "XlsxWriter", "tomlkit", "rapidfuzz")
_SPREADSHEETS = ("soffice", "libreoffice", "localc", "gnumeric", "excel")
_APPLICATIONS = ("LibreOffice.app", "Microsoft Excel.app", "Numbers.app")
# how programs that keep folders alike name the second of two files, and what an open spreadsheet leaves
_CONFLICTED = re.compile(
    r"conflicted copy|sync-conflict-|\bconflict(?:ed)?\b|\((?:\d+)\)\.\w+\Z| - Copy\b|"
    r"-(?:PC|LAPTOP|DESKTOP)[\w-]*\.\w+\Z",
    re.IGNORECASE,
)
_OPEN = re.compile(r"\.~lock\.|~\$")
_SOME = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that was looked at. `fix` is blank where nothing is to be done."""

    about: str
    state: Literal["fine", "look", "wrong"]
    what: str
    fix: str = ""


def findings(
    given: Path | None, told_day: str, *, here: Path, environment: Mapping[str, str]
) -> Iterator[Finding]:
    """What was found, in the order in which it is told.

    Parameters
    ----------
    given : the folder after --season, None where there was none
    told_day : the day after --today, '' where there was none
    here : the current folder
    """
    yield _versions()
    yield _spreadsheet()
    found = place.search(given, here=here, environment=environment)
    yield _season(found, given, here, environment)
    if found is None:
        return
    try:
        season = Season.open(found, today=days.day_from(told_day, where="--today") if told_day else None)
    except RatingError as fault:
        yield Finding(about="settings", state="wrong", what=fault.what, fix=fault.fix)
    else:
        yield _today(season, told_day, environment)
        yield _ledger(season)
    yield from _lying_about(found)


def _versions() -> Finding:
    from importlib.metadata import PackageNotFoundError, version

    missing, there = [], [f"Python {platform.python_version()}"]
    for name in ("boxwright", *PACKAGES):
        try:
            there.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            missing.append(name)
    if missing:
        what, fix = f"not installed: {text.listed(missing)}", "install the program again: pip install ."
        return Finding(about="versions", state="wrong", what=what, fix=fix)
    return Finding(about="versions", state="fine", what=", ".join(there))


def _spreadsheet() -> Finding:
    path = next((found for name in _SPREADSHEETS if (found := shutil.which(name))), "")
    path = path or next((name for name in _APPLICATIONS if (Path("/Applications") / name).exists()), "")
    if path:
        return Finding(about="spreadsheet program", state="fine", what=path)
    what = "none was found here; exports are written all the same, and open wherever there is one"
    return Finding(about="spreadsheet program", state="look", what=what)


def _season(found: Path | None, given: Path | None, here: Path, environment: Mapping[str, str]) -> Finding:
    if found is None:
        named = place.named(given, environment=environment)
        what = f"there is no {place.SEASON_FILE} in {named or here}{'' if named else ' or above it'}"
        fix = "make one with 'boxwright start DIR', or name it with --season DIR"
        return Finding(about="season", state="wrong", what=what, fix=fix)
    why = "by --season" if given else f"by {place.VARIABLE}" if environment.get(place.VARIABLE) else ""
    why = why or ("the current folder" if found == here else "above the current folder")
    number = text.count(len(folder.slugs(found)), "release")
    return Finding(about="season", state="fine", what=f"{found}, {why}, with {number}")


def _today(season: Season, told_day: str, environment: Mapping[str, str]) -> Finding:
    what = f"{season.today.isoformat()}, {_why_today(season.config, told_day, environment)}"
    return Finding(about="today", state="fine", what=what)


def _why_today(config: Config, told_day: str, environment: Mapping[str, str]) -> str:
    if told_day:
        return "by --today"
    if environment.get(days.TODAY_VARIABLE):
        return f"by {days.TODAY_VARIABLE}"
    if config.today:
        return f"as {folder.SEASON_FILE} says; take the line out to go by the clock"
    return f"by the clock in {config.zone.key}"


def _ledger(season: Season) -> Finding:
    ledger = season.recorded.ledger
    if not ledger.exists:
        what = "there is none yet; the first 'boxwright grade RELEASE --record' makes it"
        return Finding(about="ledger", state="fine", what=what)
    try:
        problems = errors_in(ledger.verify())
        number = 0 if problems else len(season.recorded.entries)
    except RatingError as fault:
        return Finding(about="ledger", state="wrong", what=fault.what, fix=fault.fix)
    if problems:
        what = f"{problems[0].what}{f', and {len(problems) - 1} more' if len(problems) > 1 else ''}"
        return Finding(about="ledger", state="wrong", what=what, fix=problems[0].fix)
    return Finding(about="ledger", state="fine", what=f"{text.count(number, 'review')}, all unaltered")


def _lying_about(season: Path) -> Iterator[Finding]:
    """Second copies that a synced folder made of a file, and files that a spreadsheet program holds open."""
    names = sorted(str(path.relative_to(season)) for path in season.rglob("*") if "exports" not in path.parts)
    copies = [name for name in names if _CONFLICTED.search(Path(name).name)]
    if copies:
        what = f"two versions of a file: {text.some(copies, most=_SOME)}"
        fix = "see which one is right, and move the other out of the season"
        yield Finding(about="conflicted copies", state="wrong", what=what, fix=fix)
    else:
        yield Finding(about="conflicted copies", state="fine", what="none")
    held = [name for name in names if _OPEN.search(Path(name).name)]
    if held:
        what = f"open in a spreadsheet program: {text.some(held, most=_SOME)}"
        yield Finding(about="open files", state="look", what=what, fix="close them before you write to them")
