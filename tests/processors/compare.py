"""Build the sample season as other processors would, and compare what it tells, stores and hashes.

    python tests/processors/compare.py               # exit code 1 and the first differences, if there are any
    python tests/processors/compare.py --settings    # the settings that this machine can run, one a line

The linear algebra under numpy and scipy has kernels for each kind of processor, and numpy has loops for each
set of instructions: sums come out in another order and differ in the last digits. A child process builds the
season under each setting and asks for the facts and grade of every release; what it leaves must be, byte for
byte, what a process without any setting leaves.
"""

from __future__ import annotations

import argparse
import contextlib
import itertools
import json
import os
import platform
import sqlite3
import subprocess
import sys
import tempfile
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# Three kinds of processor are compared: the first three whose instructions this one has. The last two are
# without fused multiplication, which rounds once less; the last is without wide registers too.
CORES = ("SkylakeX", "Haswell", "Sandybridge", "Nehalem")
KINDS = 3
TRIED = (
    "import numpy, scipy.linalg; a = numpy.random.default_rng(1).random((99, 99)); scipy.linalg.svd(a @ a)"
)
SHOWN = 4  # differences shown of one file


def settings():
    """The variables that make this machine reckon as another: (name, value), the ones that it can run."""
    if platform.machine() not in {"x86_64", "AMD64"}:
        return []
    runs = [core for core in CORES if _ends_well(["-c", TRIED], {"OPENBLAS_CORETYPE": core})]
    if len(runs) < KINDS:
        raise SystemExit(f"of the processors {', '.join(CORES)} this one can stand for {runs} only")
    # the last is likest to differ, so it is always among them
    found = [("OPENBLAS_CORETYPE", core) for core in (*runs[: KINDS - 1], runs[-1])]
    return [*found, ("NPY_DISABLE_CPU_FEATURES", " ".join(_fast_loops()))]


def _fast_loops():
    """The sets of instructions for which numpy has loops of their own and which this processor has."""
    import numpy as np

    return np.show_config(mode="dicts")["SIMD Extensions"]["found"]


def _ends_well(words, variables):
    clean = {name: value for name, value in os.environ.items() if name != "OPENBLAS_CORETYPE"}
    return subprocess.run([sys.executable, *words], env=clean | variables, check=False).returncode == 0


def make(folder):
    """The season, what is stored in its ledgers, and what commands say, all below a folder."""
    from rating.cli import main

    os.chdir(folder)
    calls = [
        ("standings",),
        ("standings", "--audit"),
        ("standings", "--ranges"),
        ("standings", "--landing", "halyard"),
        ("stability", "halyard"),
        ("slots", "halyard"),
        ("what-if", "--drop", "relics"),
        ("what-if", "--weight", "design=12"),
        ("find", "Quenby"),
        ("facts", "halyard", "--of", "kind=autograph", "--open", "3 boxes"),
    ]
    told = Path("told")
    told.mkdir()
    _tell(main, ["demo", "--into", "season"], told / "demo.txt")
    for season in (Path("season"), Path("season/earlier/2030")):
        write_recorded(season / "ledger.db", told / f"recorded-{season.name}.json")
    for release in sorted(path.name for path in Path("season/releases").iterdir()):
        calls += [("facts", release), ("grade", release)]
    for words, (ending, more) in itertools.product(calls, (("txt", ()), ("json", ("--json",)))):
        name = "_".join(words).replace(" ", "_").replace("=", "_")
        _tell(main, [*words, "--season", "season", *more], told / f"{name}.{ending}")


def _tell(main, words, path):
    """Run one command and keep what it says, with its remarks and its exit code beside it."""
    remarks = path.with_name(f"{path.name}.remarks")
    with path.open("w", encoding="utf-8") as out, remarks.open("w", encoding="utf-8") as err:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(words)
        err.write(f"exit code {code}\n")


def write_recorded(ledger, path):
    """Every review with its id and the facts it rests on, in the order they were recorded."""
    with contextlib.closing(sqlite3.connect(ledger)) as db:
        rows = db.execute(
            "SELECT review.id, review.body, facts.body FROM review JOIN entry ON entry.review = review.seq"
            " JOIN facts ON facts.hash = entry.facts ORDER BY review.seq"
        ).fetchall()
    found = [{"id": one, "review": json.loads(body), "facts": json.loads(facts)} for one, body, facts in rows]
    path.write_text(json.dumps(found, indent=0, ensure_ascii=False), encoding="utf-8")


def differences(ours, theirs):
    """What differs between two folders, a line each, by file and by place in it."""
    names = {path.relative_to(side) for side in (ours, theirs) for path in side.rglob("*") if path.is_file()}
    for name in sorted(names):
        first, second = ours / name, theirs / name
        if not (first.exists() and second.exists()):
            yield f"{name}: only one side has it"
        elif first.read_bytes() != second.read_bytes():
            lines = list(_inside(first, second))
            yield from (f"{name}: {line}" for line in lines[:SHOWN])
            if len(lines) > SHOWN:
                yield f"{name}: and {len(lines) - SHOWN} more"


def _inside(first, second):
    """The places where two files differ, as finely as their form allows."""
    if first.suffix == ".json":
        with contextlib.suppress(json.JSONDecodeError):
            yield from _apart(*(json.loads(path.read_text(encoding="utf-8")) for path in (first, second)))
            return
    if first.suffix == ".xlsx":
        with zipfile.ZipFile(first) as one, zipfile.ZipFile(second) as other:
            for part in sorted({*one.namelist(), *other.namelist()}):
                if part not in one.namelist() or part not in other.namelist():
                    yield f"{part} is in one only"
                elif one.read(part) != other.read(part):
                    place = next(_unequal(one.read(part), other.read(part)))
                    told = [side.read(part)[max(0, place - 30) : place + 30] for side in (one, other)]
                    yield f"{part} at byte {place}: {told[0]!r} and {told[1]!r}"
        return
    sides = [path.read_bytes().splitlines() for path in (first, second)]
    for place in _unequal(*sides):
        told = [side[place][:200] if place < len(side) else b"" for side in sides]
        yield f"line {place + 1}: {told[0]!r} and {told[1]!r}"


def _unequal(first, second):
    """The places at which two sequences differ, their ends included."""
    missing = object()
    pairs = itertools.zip_longest(first, second, fillvalue=missing)
    return (place for place, (one, other) in enumerate(pairs) if one != other)


def _apart(first, second, place=""):
    """The innermost places where two JSON values differ."""
    if isinstance(first, dict) and isinstance(second, dict):
        for key in [*first, *(one for one in second if one not in first)]:
            if key not in first or key not in second:
                yield f"{place}.{key} is in one only"
            else:
                yield from _apart(first[key], second[key], f"{place}.{key}")
    elif isinstance(first, list) and isinstance(second, list) and len(first) == len(second):
        for at, (one, other) in enumerate(zip(first, second, strict=True)):
            yield from _apart(one, other, f"{place}[{at}]")
    elif first != second:
        yield f"{place}: {str(first)[:200]} and {str(second)[:200]}"


def compare():
    """Build under each setting, as many at once as there are cores; gives how many settings differ."""
    found = settings()
    if not found:
        print(f"nothing to compare: settings of kernels are known for x86_64, this is {platform.machine()}")
        return 0
    with tempfile.TemporaryDirectory() as temporary, ThreadPoolExecutor(os.cpu_count()) as pool:
        plain, *others = (Path(temporary) / str(number) for number in range(len(found) + 1))
        jobs = {plain: {}} | {folder: dict([one]) for folder, one in zip(others, found, strict=True)}
        for folder in jobs:
            folder.mkdir()
        words = [__file__, "--make"]
        if not all(pool.map(lambda job: _ends_well([*words, str(job[0])], job[1] | CLEAN), jobs.items())):
            raise SystemExit("a child process could not build the season")
        count = sum(path.is_file() for path in plain.rglob("*"))
        failed = 0
        for folder, (name, value) in zip(others, found, strict=True):
            lines = list(differences(plain, folder))
            print(f"{name}={value}: {count} files, {f'{len(lines)} lines differ' if lines else 'all alike'}")
            print("".join(f"  {line}\n" for line in lines), end="")
            failed += bool(lines)
    return failed


CLEAN = {
    "PYTHONPATH": os.pathsep.join([str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]),
    "OPENBLAS_NUM_THREADS": "1",
}

if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--settings", action="store_true")
    parser.add_argument("--make", metavar="FOLDER")
    given = parser.parse_args()
    if given.settings:
        print("".join(f"{name}={value}\n" for name, value in settings()), end="")
    elif given.make:
        make(given.make)
    else:
        raise SystemExit(min(1, compare()))
