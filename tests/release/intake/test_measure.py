"""The command that measures the matching of sold lists."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]


def test_halyard_is_within_the_target(halyard):
    """At least 98 % right and at most 0.3 % wrong, by the answers that came with the list."""
    done = subprocess.run(
        [
            sys.executable,
            str(Path(__file__).with_name("measure.py")),
            str(halyard / "checklist.xlsx"),
            str(halyard / "sold.csv"),
            str(halyard / "answers.json"),
        ],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin"},
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "within the target" in done.stdout
