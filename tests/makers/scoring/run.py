"""The real program, driven by its public commands in a season that holds what a reviewer would type."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import tomlkit

from makers.maker import Case
from makers.truth.facts import COLUMNS

ROOT = Path(__file__).resolve().parents[3]
SLUG = "it"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an intake left: its answer (empty where it gave none), exit code, seconds, remarks and folder."""

    answer: Mapping[str, Any]
    code: int
    seconds: float
    remarks: str
    folder: Path


def set_up(case: Case, folder: Path) -> Path:
    """A season with one release in the folder, and the case's files beside it; the season's path."""
    season = folder / "season"
    _call(["start", str(season)], folder)
    _call(["add", SLUG, "--title", case.typed.title, "--season", str(season)], folder)
    path = season / "season.toml"
    settings = tomlkit.parse(path.read_text(encoding="utf-8"))
    settings["currency"] = case.typed.currency
    settings["decimal_mark"] = case.typed.decimal_mark
    settings["date_order"] = case.typed.date_order
    if case.typed.teams:
        teams = tomlkit.aot()
        for name, code in case.typed.teams:
            team = tomlkit.table()
            team["name"] = name
            if code:
                team["code"] = code
            teams.append(team)
        settings["teams"] = teams
    path.write_text(tomlkit.dumps(settings), encoding="utf-8")
    (folder / "files").mkdir()
    for name, content in case.files.items():
        (folder / "files" / name).write_bytes(content)
    return season


def give_checklist(case: Case, season: Path) -> Case:
    """Write the true checklist and parallels into the release; gives the case without the files of them.

    What is read of the other files hangs on the checklist; so each can be tried apart. A case whose checklist
    stands in one file with everything else has no file left.
    """
    tables = {name: case.truth.tables[name] for name in ("checklist", "parallels")}
    for name, rows in tables.items():
        path = season / "releases" / SLUG / f"{name}.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, COLUMNS[name], lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    stated: dict[str, set[str]] = {}
    for key, places in case.truth.stated.items():
        for place in places:
            stated.setdefault(place.file, set()).add("cards" if key.column == "number" else key.table)
    holding = {name for name, told in stated.items() if "cards" in told or told <= {"checklist", "parallels"}}
    return replace(case, files={name: data for name, data in case.files.items() if name not in holding})


def take_in(
    case: Case, folder: Path, *, answers: Mapping[str, str] | None = None, limit: float = 300
) -> Outcome:
    """Take all of a case's files in at once, with answers to an earlier intake's questions if there are any.

    Answers are handed over as `--answers FILE`, a JSON object from the id of a question to the choice.
    """
    season = folder / "season"
    words = ["intake", SLUG, *(str(folder / "files" / name) for name in sorted(case.files))]
    words += ["--yes", "--json", "--season", str(season), "--today", case.typed.today]
    if answers:
        given = folder / "answers.json"
        given.write_text(json.dumps(dict(answers), ensure_ascii=False), encoding="utf-8")
        words += ["--answers", str(given)]
    begun = time.perf_counter()
    try:
        done = _call(words, folder, check=False, limit=limit)
    except subprocess.TimeoutExpired:
        return Outcome({}, -1, limit, f"no answer within {limit:g} s", season / "releases" / SLUG)
    seconds = time.perf_counter() - begun
    return Outcome(_parsed(done.stdout), done.returncode, seconds, done.stderr, season / "releases" / SLUG)


def _parsed(text: str) -> Mapping[str, Any]:
    try:
        answer = json.loads(text)
    except ValueError:
        return {}
    return answer if isinstance(answer, dict) else {}


def _call(
    words: list[str], folder: Path, *, check: bool = True, limit: float = 60
) -> subprocess.CompletedProcess[str]:
    environment = os.environ | {
        "PYTHONPATH": str(ROOT),
        "PYTHONIOENCODING": "utf-8",
        "BOXWRIGHT_CACHE": str(folder / "cache"),
        "OPENBLAS_NUM_THREADS": "1",
    }
    done = subprocess.run(
        [sys.executable, "-m", "rating", *words],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=limit,
        check=False,
    )
    if check and done.returncode:
        raise RuntimeError(f"{words[0]} ended with {done.returncode}: {done.stderr}")
    return done
