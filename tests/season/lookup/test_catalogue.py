"""Catalogues: they say what the files say, are never stale, and cost only time where they cannot be kept."""

from __future__ import annotations

import os
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

import rating
from rating.errors import RatingError
from rating.season import cache
from rating.season.lookup import catalogue
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[3] / "sample_ratings"


@pytest.fixture
def season(tmp_path, monkeypatch):
    """Halyard and the release that shares its checklist, with a cache of their own."""
    monkeypatch.setenv(cache.VARIABLE, str(tmp_path / "cache"))
    for slug in ("halyard", "halyard-late-watch"):
        shutil.copytree(SAMPLE / "releases" / slug, tmp_path / "mine" / "releases" / slug)
    return tmp_path / "mine"


def test_a_kept_catalogue_holds_the_collations_exactly(season):
    """Every float and fraction of the facts, and every person of the checklist."""
    catalogue.made(season, "halyard")
    kept = catalogue.kept(season, "halyard")
    facts = Season.open(SAMPLE).facts("halyard")
    assert kept.packing.collations == facts.collations
    assert isinstance(kept.packing.collations["hobby"].draws[0].count, Fraction)
    assert set(kept.names) == {name for card in facts.cards for name in card.subjects}
    quenby = kept.cards("Rhosyn Quenby")
    assert sum(len(card["lines"]) for card in quenby) == sum(
        "Rhosyn Quenby" in card.subjects for line in facts.lines for card in line.cards
    )


@pytest.mark.parametrize("file", ["release.toml", "checklist.csv", "parallels.csv", "odds.csv", "sales.csv"])
def test_a_changed_file_makes_it_stale_whatever_its_size_and_time(season, file):
    """One byte for another, with the old time put back; a file that comes; a file that goes."""
    path = season / "releases" / "halyard" / file
    if file == "sales.csv":
        path.write_text("date,price,title\n2031-04-01,3.50,a card\n", encoding="utf-8")
    catalogue.made(season, "halyard")
    assert catalogue.kept(season, "halyard") is not None
    old, times = path.read_bytes(), path.stat()
    path.write_bytes(old[:-1] + b" ")
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert catalogue.kept(season, "halyard") is None
    path.write_bytes(old)
    assert catalogue.kept(season, "halyard") is not None
    path.write_bytes(old + b"\n")
    assert catalogue.kept(season, "halyard") is None
    path.unlink()
    assert catalogue.kept(season, "halyard") is None


def test_a_shared_checklist_is_looked_at_too(season):
    """The late edition goes by the checklist of the other folder."""
    own = season / "releases" / "halyard-late-watch" / "release.toml"
    told = own.read_text(encoding="utf-8").replace("title =", 'checklist_of = "halyard"\ntitle =', 1)
    own.write_text(told, encoding="utf-8")
    assert "Rhosyn Quenby" in catalogue.made(season, "halyard-late-watch").names
    assert catalogue.kept(season, "halyard-late-watch") is not None
    with (season / "releases" / "halyard" / "checklist.csv").open("a", encoding="utf-8") as file:
        file.write("Base,base,999,New Comer,,,,,,,,\n")
    assert catalogue.kept(season, "halyard-late-watch") is None


@pytest.mark.parametrize("damage", [b"", b"{}", b"\xff\xfe", b'{"itself": 1}\n[]', None])
def test_a_damaged_catalogue_is_none(season, damage):
    """Cut, emptied, or with one digit changed."""
    catalogue.made(season, "halyard")
    (path,) = Path(os.environ[cache.VARIABLE]).rglob("*.catalogue")
    content = path.read_bytes()
    path.write_bytes(content[:-40] if damage is None else damage)
    assert catalogue.kept(season, "halyard") is None
    path.write_bytes(content[:-9] + bytes([content[-9] ^ 1]) + content[-8:])
    assert catalogue.kept(season, "halyard") is None


def test_a_cache_that_cannot_be_written_costs_only_time(season, tmp_path, monkeypatch):
    """A file stands where the folder should be."""
    (tmp_path / "blocked").write_text("", encoding="utf-8")
    monkeypatch.setenv(cache.VARIABLE, str(tmp_path / "blocked"))
    assert "Rhosyn Quenby" in catalogue.made(season, "halyard").names
    assert catalogue.kept(season, "halyard") is None


def test_a_new_version_of_the_program_makes_it_anew(season, monkeypatch):
    """Its modules have other sizes or times."""
    catalogue.made(season, "halyard")
    monkeypatch.setattr(cache, "_program", lambda: "other")
    assert catalogue.kept(season, "halyard") is None


def test_a_module_in_any_room_of_the_program_is_looked_at(season, tmp_path, monkeypatch):
    """A catalogue goes by kernels and rooms inside rooms too: each makes it anew, and no other file does."""
    copied = tmp_path / "rating"
    shutil.copytree(Path(rating.__file__).parent, copied, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(cache, "_ROOT", copied)
    cache._program.cache_clear()
    for room in ("numerics/strips.py", "facts/falling/collation.py", "season/cache.py", "text.py"):
        catalogue.made(season, "halyard")
        assert catalogue.kept(season, "halyard") is not None
        with (copied / room).open("a", encoding="utf-8") as file:
            file.write("# later\n")
        cache._program.cache_clear()
        assert catalogue.kept(season, "halyard") is None
    catalogue.made(season, "halyard")
    (copied / "numerics" / "strips.pyc").write_bytes(b"compiled")
    cache._program.cache_clear()
    assert catalogue.kept(season, "halyard") is not None
    cache._program.cache_clear()


def test_files_with_errors_are_refused(season):
    """As everywhere else; nothing is kept of them."""
    with (season / "releases" / "halyard" / "checklist.csv").open("a", encoding="utf-8") as file:
        file.write("Base,poem,999,New Comer,,,,,,,,\n")
    with pytest.raises(RatingError):
        catalogue.made(season, "halyard")
    assert catalogue.kept(season, "halyard") is None


def test_the_cache_is_in_the_users_place(monkeypatch, tmp_path):
    """The variable, else XDG_CACHE_HOME, else the home folder's own; a relative one is none."""
    monkeypatch.setenv(cache.VARIABLE, str(tmp_path))
    assert cache.folder() == tmp_path
    monkeypatch.delenv(cache.VARIABLE)
    monkeypatch.setattr(cache.sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache.folder() == tmp_path / "boxwright"
    monkeypatch.setenv("XDG_CACHE_HOME", "here")
    assert cache.folder() is None
    monkeypatch.setattr(cache.sys, "platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path))
    assert cache.folder() == tmp_path / "boxwright"
    monkeypatch.setattr(cache.sys, "platform", "darwin")
    assert cache.folder().parts[-3:] == ("Library", "Caches", "boxwright")
