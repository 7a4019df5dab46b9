"""What follows from a release's own files alone, kept in the user's cache folder and worked out once.

It is never kept in the season: a hidden file there would be synced, or could not be written. Each text
carries the hash of every file it was made from, of the program's own modules and of itself: one that is old,
damaged or made by another version is as good as none, and a cache that cannot be written only costs time.

Hashes, not sizes and times, tell whether it is old: hashing 20 large releases takes 15 ms where reading and
solving them takes 2 s.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path

from rating.release import CHECKLIST, ODDS, PARALLELS, SALES
from rating.season import folder as folders

VARIABLE = "BOXWRIGHT_CACHE"
_SHARED = (CHECKLIST.file, PARALLELS.file)
_OWN = ("release.toml", *_SHARED, ODDS.file, SALES.file)
_ROOT = Path(__file__).resolve().parents[1]


def folder() -> Path | None:
    """Where it is kept: BOXWRIGHT_CACHE, else the user's cache folder; None where there is none."""
    if named := os.environ.get(VARIABLE):
        return Path(named)
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA", "")
    elif sys.platform == "darwin":
        base = str(Path("~/Library/Caches").expanduser())
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path("~/.cache").expanduser())
    return Path(base) / "boxwright" if Path(base).is_absolute() else None


def read(season: Path, slug: str, kind: str, *, beside: Sequence[str] = ()) -> str | None:
    """The text of a kind that was kept for a release, None where there is none that fits the files.

    Parameters
    ----------
    beside : files of the season itself that it follows from too
    """
    path = _path(season, slug, kind)
    try:
        content = path.read_bytes() if path else b""
        head, _, body = content.partition(b"\n")
        hashes = json.loads(head)
        made_from = _made_from(season, slug, hashes["owner"], beside)
        if hashes["itself"] != _hash(body) or hashes["made_from"] != made_from:
            return None
        return body.decode()
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write(
    season: Path, slug: str, kind: str, body: str, *, owner: str = "", beside: Sequence[str] = ()
) -> None:
    """Keep a text for a release, in one step; a crash may lose it, which only costs time.

    Parameters
    ----------
    owner : the release whose checklist it shares, blank where it has its own
    """
    made_from = _made_from(season, slug, owner, beside)
    head = {"itself": _hash(body.encode()), "owner": owner, "made_from": made_from}
    if (path := _path(season, slug, kind)) is not None:
        with contextlib.suppress(OSError):
            _keep(path, f"{json.dumps(head)}\n{body}")


def _path(season: Path, slug: str, kind: str) -> Path | None:
    base = folder()
    return base / _hash(str(season.resolve()).encode())[:16] / f"{slug}.{kind}" if base else None


def _keep(path: Path, content: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(content)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _hash(content: bytes) -> str:
    return sha256(content).hexdigest()


def _made_from(season: Path, slug: str, owner: str, beside: Sequence[str]) -> dict[str, str]:
    """The hash of each file that it follows from, '' for one that is not there."""
    places = [(slug, file) for file in _OWN] + [(owner, file) for file in _SHARED if owner]
    hashes = {"program": _program()}
    for release, file in places:
        path = folders.release_folder(season, release) / file
        hashes[f"{release}/{file}"] = _hash(path.read_bytes()) if path.is_file() else ""
    for file in beside:
        hashes[file] = _hash((season / file).read_bytes())
    return hashes


@cache
def _program() -> str:
    """The hash of the program's own modules, told by their places, sizes and times."""
    return _hash(repr(sorted(_modules(_ROOT))).encode())


def _modules(room: Path | str) -> Iterator[tuple[str, int, int]]:
    """Every module in a folder and its folders: those that decide what is kept are all over it."""
    for one in os.scandir(room):
        if one.is_dir():
            yield from _modules(one.path)
        elif one.name.endswith(".py"):
            told = one.stat()
            yield one.path, told.st_size, told.st_mtime_ns
