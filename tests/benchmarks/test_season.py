"""Speed of the season's spine, as ratios of CPU time against a plain yardstick in the same run."""

from __future__ import annotations

import resource
import subprocess
import sys

import pandas as pd

from rating.release import CHECKLIST


def in_child(code):
    """CPU seconds of a fresh interpreter."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_help_takes_at_most_twice_the_import_of_typer():
    """`boxwright --help` against `python -c "import typer"`."""
    pairs = [
        (in_child("from rating.cli import main; main(['--help'])"), in_child("import typer"))
        for _ in range(7)
    ]
    ours, theirs = (sorted(side)[3] for side in zip(*pairs, strict=True))
    print(f"\nhelp {ours:.3f} s, import typer {theirs:.3f} s: ratio {ours / theirs:.2f}")
    assert ours <= 2 * theirs


def test_a_checklist_of_50_000_rows_takes_at_most_five_times_pandas(ratio, tmp_path):
    """Into checked values, against `read_csv` of the same file as text."""
    rows = ["subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note"]
    rows += [
        f"Subset {n // 300},base,{n:05d},First{n % 501} Last{n * 7 % 2003},Team {n % 16},"
        f"{'yes' * (n % 7 == 0)},{'' if n % 3 else 99},,,,,"
        for n in range(50_000)
    ]
    path = tmp_path / "checklist.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    cards, problems = CHECKLIST.read(path)
    assert (len(cards), problems) == (50_000, [])
    del cards
    found = ratio(lambda: CHECKLIST.read(path), lambda: pd.read_csv(path, dtype=str, keep_default_na=False))
    assert found <= 5
