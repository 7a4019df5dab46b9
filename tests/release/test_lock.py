"""One writer at a time: a lock that ends with its holder."""

from __future__ import annotations

import subprocess
import sys

import pytest

from rating.errors import RatingError
from rating.release import lock

HOLD = """
import sys
from pathlib import Path
from rating.release import lock
with lock.held(Path(sys.argv[1]), what="intake"):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def holder(tmp_path):
    """Another process that holds the lock."""
    words = [sys.executable, "-c", HOLD, str(tmp_path)]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout.readline() == "held\n"
        yield child
        child.kill()


def test_a_second_writer_is_refused(holder, tmp_path):
    """By name, with what to do."""
    with (
        pytest.raises(RatingError, match="another intake is under way here"),
        lock.held(tmp_path, what="intake"),
    ):
        pass


def test_a_holder_that_is_killed_leaves_no_lock(holder, tmp_path):
    """The system takes it back; nothing has to be cleaned up."""
    holder.kill()
    holder.wait()
    with lock.held(tmp_path, what="intake"):
        assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_named(tmp_path):
    """No traceback."""
    with pytest.raises(RatingError, match="cannot be opened"), lock.held(tmp_path / "gone", what="intake"):
        pass
