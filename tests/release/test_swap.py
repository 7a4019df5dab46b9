"""A kill at any moment leaves the old files or the new ones; whoever reads next finishes the move."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from rating.errors import RatingError
from rating.release import swap

ROOT = Path(__file__).resolve().parents[2]
OLD = {"a.csv": b"old a", "b.csv": b"old b"}
NEW = {"a.csv": b"new a", "b.csv": b"new b", "c.csv": b"new c"}


@pytest.fixture
def folder(tmp_path):
    for name, content in OLD.items():
        (tmp_path / name).write_bytes(content)
    return tmp_path


def state(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if not path.name.startswith(".")}


def test_files_are_put_in_place_and_nothing_else_is_left(folder):
    """No staging folder, and the rights of the old files."""
    (folder / "a.csv").chmod(0o600)
    swap.swap(folder, NEW)
    assert state(folder) == NEW
    assert sorted(path.name for path in folder.iterdir()) == sorted(NEW)
    assert (folder / "a.csv").stat().st_mode & 0o777 == 0o600


# every system call of Path that the swap makes is a place where the process may die
KILLED = """
import os, sys
from pathlib import Path
from rating.release import swap
left = int(sys.argv[2])
def dying(function):
    def call(*args, **kwargs):
        global left
        left -= 1
        if left < 0:
            os._exit(9)
        return function(*args, **kwargs)
    return call
for name in ("rename", "replace", "chmod", "open"):
    setattr(Path, name, dying(getattr(Path, name)))
os.fsync = dying(os.fsync)
import shutil, tempfile
tempfile.mkdtemp = dying(tempfile.mkdtemp)
shutil.rmtree = dying(shutil.rmtree)
swap.swap(Path(sys.argv[1]), {"a.csv": b"new a", "b.csv": b"new b", "c.csv": b"new c"})
"""


@pytest.mark.parametrize("after", range(22))
def test_a_kill_at_any_step_leaves_all_old_or_all_new(after, folder):
    """After the next reader has finished what was ready."""
    done = subprocess.run([sys.executable, "-c", KILLED, str(folder), str(after)], cwd=ROOT, check=False)
    assert done.returncode in {0, 9}
    swap.recover(folder)
    assert state(folder) in (OLD, NEW)
    if done.returncode == 0:
        assert state(folder) == NEW


def test_the_steps_that_are_killed_cover_the_whole_swap(folder):
    """The last of the places above is beyond the end."""
    done = subprocess.run([sys.executable, "-c", KILLED, str(folder), "21"], cwd=ROOT, check=False)
    assert done.returncode == 0


def test_a_reader_of_the_season_finishes_a_swap(own_season):
    """The tables that were ready are those that are graded."""
    from rating.season.season import Season

    release = own_season / "releases" / "halyard"
    text = (
        (release / "odds.csv")
        .read_text(encoding="utf-8")
        .replace("Fathom Green,hobby,3", "Fathom Green,hobby,4")
    )
    ready = release / swap.READY
    ready.mkdir()
    (ready / "odds.csv").write_text(text, encoding="utf-8")
    (ready / "files.json").write_text('["odds.csv"]', encoding="utf-8")
    odds = Season.open(own_season).files.release("halyard").odds
    assert any(
        (one.parallel, one.format, str(one.packs_per_copy)) == ("Fathom Green", "hobby", "4") for one in odds
    )
    assert not ready.exists()


@pytest.mark.skipif(os.geteuid() == 0, reason="rights do not bind the superuser")
def test_a_folder_without_rights_keeps_its_files(folder):
    """And the fault is told in words."""
    folder.chmod(0o500)
    try:
        with pytest.raises(RatingError, match="cannot be written"):
            swap.swap(folder, NEW)
    finally:
        folder.chmod(0o700)
    assert state(folder) == OLD


def test_a_full_disk_keeps_the_old_files(folder, monkeypatch):
    """Nothing half-written is left beside them."""

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RatingError, match="No space left on device"):
        swap.swap(folder, NEW)
    assert state(folder) == OLD
    assert sorted(path.name for path in folder.iterdir()) == sorted(OLD)


def test_what_was_staged_long_ago_and_never_ready_is_cleared_away(folder):
    """What is new may be somebody's who is at it right now, and stays."""
    for name, age in ((".intake-new-old", 3600), (".intake-new-now", 0)):
        (folder / name).mkdir()
        stamp = (folder / name).stat().st_mtime - age
        os.utime(folder / name, (stamp, stamp))
    swap.swap(folder, NEW)
    assert (folder / ".intake-new-now").exists()
    assert not (folder / ".intake-new-old").exists()


# one file alone ------------------------------------------------------------------------------------------


def test_a_file_is_put_in_its_place_in_one_step(tmp_path):
    """With its folder, with the rights of the file before it, and nothing left beside it."""
    path = tmp_path / "deep" / "x.csv"
    swap.write_whole(path, b"one")
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"one", 0o644)
    path.chmod(0o600)
    swap.write_whole(path, b"two")
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"two", 0o600)
    assert [one.name for one in path.parent.iterdir()] == ["x.csv"]


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), KeyboardInterrupt()])
@pytest.mark.parametrize("step", ["fsync", "fdopen"])
def test_a_file_that_cannot_be_written_leaves_the_old_one(tmp_path, monkeypatch, fault, step):
    """A full disk or Ctrl-C in the middle: the old file, and nothing beside it."""
    path = tmp_path / "x.csv"
    path.write_bytes(b"old")

    def failing(*_, **__):
        raise fault

    monkeypatch.setattr(os, step, failing)
    with pytest.raises((RatingError, KeyboardInterrupt)) as caught:
        swap.write_whole(path, b"new")
    monkeypatch.undo()
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["x.csv"]
    if isinstance(caught.value, RatingError):
        assert "No space left" in caught.value.what
        assert "nothing was changed" in caught.value.fix
