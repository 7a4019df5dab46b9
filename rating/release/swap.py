"""Files put in their places in one step: one alone, or several of a folder together, all of them or none.

The swap is a journal. The new files are written to a hidden folder beside the old ones; the folder is renamed
to its ready name, which is the one step that decides; then the files are moved into place. A kill before that
step leaves the old files. After it `recover` finishes the moves; whoever reads the files calls that first.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path

from rating.errors import RatingError

READY = ".intake-ready"
_NEW = ".intake-new-"
_LIST = "files.json"
_STALE_S = 600


def write_whole(path: Path, content: bytes) -> None:
    """Put a file in its place in one step: a reader, or a crash, sees the old one or the new one.

    Raises
    ------
    RatingError
        if there is no room or no right to write; the old file stays as it was
    """
    handle = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
        Path(name).chmod(mode)
        Path(name).replace(path)
    except OSError as fault:
        if handle is not None:
            Path(name).unlink(missing_ok=True)
        raise RatingError(
            f"the file cannot be written: {fault.strerror}",
            where=str(path),
            fix="make room, or see to the rights of the folder; nothing was changed",
        ) from fault
    except BaseException:
        if handle is not None:
            Path(name).unlink(missing_ok=True)
        raise


def recover(folder: Path) -> bool:
    """Finish a swap that was cut short; whether there was one.

    Raises
    ------
    RatingError
        if the files cannot be moved
    """
    ready = folder / READY
    if not ready.is_dir():
        return False
    try:
        _put(ready, folder)
    except OSError as fault:
        raise _stuck(folder, fault) from fault
    return True


def swap(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put several files of a folder in place together.

    Raises
    ------
    RatingError
        if there is no room or no right to write; the old files stay
    """
    recover(folder)
    _clear(folder)
    fresh = None
    try:
        fresh = Path(tempfile.mkdtemp(prefix=_NEW, dir=folder))
        for name, content in files.items():
            _write(fresh / name, content)
        _write(fresh / _LIST, json.dumps(sorted(files)).encode())
        _sync(fresh)
        fresh.rename(folder / READY)
        _sync(folder)
    except OSError as fault:
        if fresh is not None:
            shutil.rmtree(fresh, ignore_errors=True)
        raise RatingError(
            f"the tables cannot be written: {fault.strerror}",
            where=str(folder),
            fix="make room, or see to the rights of the folder; nothing was changed",
        ) from fault
    except BaseException:
        if fresh is not None:
            shutil.rmtree(fresh, ignore_errors=True)
        raise
    try:
        _put(folder / READY, folder)
    except OSError as fault:
        raise _stuck(folder, fault) from fault
    except BaseException:
        _put(folder / READY, folder)  # interrupted between two moves: the rest is a matter of milliseconds
        raise


def _put(ready: Path, folder: Path) -> None:
    listed = ready / _LIST
    try:
        names = json.loads(listed.read_bytes())
    except FileNotFoundError:
        names = []
    for name in names:
        source = ready / str(name)
        target = folder / Path(str(name)).name
        try:
            source.chmod(target.stat().st_mode & 0o777 if target.exists() else 0o644)
            source.replace(target)
        except FileNotFoundError:
            continue  # moved before the stop, or by another reader
    _sync(folder)
    shutil.rmtree(ready, ignore_errors=True)


def _clear(folder: Path) -> None:
    """Clear away what was staged and never got ready, unless somebody may be at it right now."""
    for stray in folder.glob(f"{_NEW}*"):
        try:
            is_old = time.time() - stray.stat().st_mtime > _STALE_S
        except OSError:
            continue  # its owner has just moved it
        if is_old:
            shutil.rmtree(stray, ignore_errors=True)


def _write(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _sync(folder: Path) -> None:
    """Make a folder's names durable, where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        return  # some systems cannot sync a folder; the files themselves are synced
    finally:
        os.close(handle)


def _stuck(folder: Path, fault: OSError) -> RatingError:
    return RatingError(
        f"the new tables are staged but could not be moved into place: {fault.strerror}",
        where=str(folder),
        fix="close other programs that hold the tables open and run the command again; it finishes the move",
    )
