"""Only ordinary files inside the season are read: nothing hangs, nothing leads elsewhere."""

from __future__ import annotations

import os
import socket

import pytest

from rating import regular, tomlfile
from rating.errors import RatingError
from rating.release import CHECKLIST

pytestmark = pytest.mark.skipif(os.name == "nt", reason="pipes and devices lie in no folder there")


@pytest.fixture
def season(tmp_path):
    """A season's folder with one release in it."""
    (tmp_path / "season" / "releases" / "one").mkdir(parents=True)
    (tmp_path / "season" / "season.toml").write_text("format = 1\n", encoding="utf-8")
    return tmp_path / "season"


def pipe(path):
    os.mkfifo(path)


def device(path):
    path.symlink_to("/dev/zero")


def folder(path):
    path.mkdir()


def plug(path):
    with socket.socket(socket.AF_UNIX) as one:
        here = os.open(".", os.O_RDONLY)
        os.chdir(path.parent)  # the name of a socket must be short
        try:
            one.bind(path.name)
        finally:
            os.fchdir(here)
            os.close(here)


def link_out(path):
    other = path.parents[3] / "other.csv"
    other.write_text("subset,kind,number\n", encoding="utf-8")
    path.symlink_to(other)


@pytest.mark.parametrize(
    ("make", "what"),
    [
        (pipe, "a pipe"),
        (device, "a device"),
        (folder, "a folder"),
        (plug, "a socket"),
        (link_out, "a link to"),
    ],
)
@pytest.mark.parametrize("name", ["checklist.csv", "release.toml"])
def test_what_is_no_ordinary_file_is_refused_by_name(season, make, what, name):
    """At once, before a byte is read."""
    path = season / "releases" / "one" / name
    make(path)
    with pytest.raises(RatingError, match=what) as caught:
        CHECKLIST.read(path) if name.endswith("csv") else tomlfile.read(path)
    assert caught.value.where == name


def test_links_inside_a_season_and_files_outside_of_any_are_read(season, tmp_path):
    """Two releases may share a file; a maker's file may lie anywhere."""
    shared = season / "shared.toml"
    shared.write_text("format = 1\n", encoding="utf-8")
    (season / "releases" / "one" / "release.toml").symlink_to(shared)
    regular.hold(season / "releases" / "one" / "release.toml")
    (tmp_path / "a.csv").write_text("x\n", encoding="utf-8")
    (tmp_path / "b.csv").symlink_to(tmp_path / "a.csv")
    regular.hold(tmp_path / "b.csv")
    regular.hold(tmp_path / "missing.csv")
