"""`demo`: one command from nothing to a ranked and exported season."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from rating.cli import main


@pytest.fixture(scope="module")
def interrupted(tmp_path_factory):
    """A demo stopped by Ctrl-C in the middle: the folder, the exit code, what was said of it."""
    path = tmp_path_factory.mktemp("interrupted") / "d"
    one = subprocess.Popen(
        [sys.executable, "-m", "rating", "demo", "--into", path],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    while not (path / "season.toml").exists():
        time.sleep(0.01)
    time.sleep(0.2)
    one.send_signal(signal.SIGINT)
    _, err = one.communicate(timeout=30)
    return path, one.returncode, err


def test_it_makes_the_season_with_the_earlier_one_inside(demo_season):
    """In ./demo-season, with ledgers for both years and a folder of exports."""
    assert (demo_season / "season.toml").is_file()
    assert (demo_season / "ledger.db").is_file()
    assert (demo_season / "earlier" / "2030" / "ledger.db").is_file()
    exports = demo_season / "exports" / "2031-07-15"
    assert sorted(path.name for path in exports.iterdir()) == sorted(
        ["season.xlsx", "halyard-proof.json",
         *(f"{name}.{form}" for name in ("standings", "scores", "reasons") for form in ("csv", "json", "md"))]
    )  # fmt: skip


def test_every_command_works_in_it(demo_season, run, answer):
    """Checked without an error, verified, ranked; the grade of the files is that of the recorded review."""
    for season, releases in ((demo_season, 18), (demo_season / "earlier" / "2030", 14)):
        assert run("check", "--season", season)[0] == 0
        assert answer("ledger", "verify", "--season", season) == {"format": 1, "problems": []}
        rows = answer("standings", "--season", season)["standings"]
        assert len(rows) == releases
        for row in rows:
            got = answer("grade", row["release"], "--season", season)
            assert (got["grade"], got["differs"], got["recorded"]) == (row["grade"], False, row["review"])


def test_ctrl_c_ends_with_130_and_no_traceback(interrupted):
    """Inside compiled code the signal itself may end the process; a shell shows 130 for both."""
    _, code, err = interrupted
    assert code in {130, -signal.SIGINT}
    assert "Traceback" not in err


def test_building_it_again_gives_the_same_ledger(demo_season, interrupted, capsys):
    """Over what an interrupted one left: the same bytes of every review, and the answer of `standings`."""
    path, _, _ = interrupted
    assert main(["demo", "--into", str(path), "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert (path / "ledger.db").read_bytes() == (demo_season / "ledger.db").read_bytes()
    assert len(got["standings"]) == 18


def test_what_the_readme_quotes_is_what_it_says(demo_season, run):
    """The sentence on prices carried over, to the last digit."""
    readme = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
    [quoted] = re.findall(r'"(At\s+launch,[^"]*)"', readme)
    _, said, _ = run("grade", "halyard", "--evidence", "--season", demo_season)
    assert " ".join(quoted.split()) in " ".join(said.split())
