"""Faults put into the system calls of SQLite and of Python, one at a time, in a process made for each.

SQLite calls the system through a table that anybody may change (sqlite3_vfs.xSetSystemCall); here ctypes
does, in a forked child, so that the call with a given number is refused by an errno of one's choice, or the
process is killed before it, or in the middle of what it writes. Python's own calls are counted too.
https://www.sqlite.org/c3ref/vfs.html
"""

from __future__ import annotations

import builtins
import ctypes
import io
import os
import pickle
import signal
import sys
from dataclasses import dataclass
from pathlib import Path

KILL, HALF = "kill", "half"


class _Vfs(ctypes.Structure):
    """sqlite3_vfs, version 3, as far as it is used; https://www.sqlite.org/c3ref/vfs.html."""

    _fields_ = (
        ("version", ctypes.c_int),
        ("os_file", ctypes.c_int),
        ("max_path", ctypes.c_int),
        ("next", ctypes.c_void_p),
        ("name", ctypes.c_char_p),
        ("app_data", ctypes.c_void_p),
        *((f"call_{number}", ctypes.c_void_p) for number in range(12)),
        ("current_time_int64", ctypes.c_void_p),
        (
            "set_system_call",
            ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p),
        ),
        ("get_system_call", ctypes.CFUNCTYPE(ctypes.c_void_p, ctypes.c_void_p, ctypes.c_char_p)),
    )


_INT, _LONG, _SIZE, _PTR, _STR = (
    ctypes.c_int, ctypes.c_long, ctypes.c_size_t, ctypes.c_void_p, ctypes.c_char_p
)  # fmt: skip
# the calls that change something, with the types of what they give and take
_CALLS = {
    b"open": (_INT, _STR, _INT, _INT),
    b"ftruncate": (_INT, _INT, _LONG),
    b"write": (ctypes.c_ssize_t, _INT, _PTR, _SIZE),
    b"pwrite": (ctypes.c_ssize_t, _INT, _PTR, _SIZE, _LONG),
    b"pwrite64": (ctypes.c_ssize_t, _INT, _PTR, _SIZE, _LONG),
    b"unlink": (_INT, _STR),
}


def library():
    """The SQLite that Python uses, None where it cannot be reached from outside."""
    if not sys.platform.startswith("linux"):
        return None
    import _sqlite3

    try:
        maps = Path("/proc/self/maps").read_text(encoding="utf-8").splitlines()
        paths = {line.split()[-1] for line in maps if "libsqlite3" in line}
        return ctypes.CDLL(paths.pop()) if paths and _sqlite3 else None
    except OSError:
        return None


@dataclass
class Faults:
    """The call with the number `at` fails by an errno, kills the process, or is cut in half and then kills.

    `lasting`: every call from then on fails too, as on a disk that is full for good.
    """

    at: int
    how: int | str
    lasting: bool = False
    seen: int = 0

    def strikes(self) -> bool:
        self.seen += 1
        return self.seen == self.at or (self.lasting and self.seen > self.at)

    def kill(self) -> None:
        os.kill(os.getpid(), signal.SIGKILL)


def put_in(faults: Faults) -> list:
    """Change the calls of this process; gives what must be kept alive as long as they are used."""
    lib = library()
    lib.sqlite3_vfs_find.restype = ctypes.POINTER(_Vfs)
    vfs = lib.sqlite3_vfs_find(None)
    kept = []
    for name, types in _CALLS.items():
        address = vfs.contents.get_system_call(ctypes.cast(vfs, _PTR), name)
        if not address:
            continue
        kind = ctypes.CFUNCTYPE(*types, use_errno=True)
        true = kind(address)
        # a call that changes nothing is let through: a file opened to be read
        mine = kind(_struck(name, true, faults))
        kept += [true, mine]
        vfs.contents.set_system_call(ctypes.cast(vfs, _PTR), name, ctypes.cast(mine, _PTR))
    kept += _syncs(vfs, faults)
    _python_calls(faults)
    return kept


# the name is kept by SQLite, so it is passed on as the address it is
_OPEN = ctypes.CFUNCTYPE(_INT, _PTR, _PTR, ctypes.POINTER(_PTR), _INT, ctypes.POINTER(_INT))
_SYNC = ctypes.CFUNCTYPE(_INT, _PTR, _INT)
_METHODS, _SYNC_PLACE, _IOERR_FSYNC = 19, 5, 1034


def _syncs(vfs, faults):
    """Count the syncs too: they stand in the table of each file that is opened, sqlite3_io_methods."""
    true_open, tables = _OPEN(vfs.contents.call_0), {}

    def opened(own, name, file, flags, given):
        answer = true_open(own, name, file, flags, given)
        if answer == 0 and file[0]:
            address = file[0]
            if address not in tables:
                tables[address] = table = (_PTR * _METHODS).from_buffer_copy(
                    (_PTR * _METHODS).from_address(address)
                )
                true = _SYNC(table[_SYNC_PLACE])

                def synced(one, how):
                    if faults.strikes():
                        if faults.how in {KILL, HALF}:
                            faults.kill()
                        return _IOERR_FSYNC
                    return true(one, how)

                mine = _SYNC(synced)
                table[_SYNC_PLACE] = ctypes.cast(mine, _PTR).value
                tables[address] = (table, true, mine)
            file[0] = ctypes.addressof(tables[address][0])
        return answer

    mine = _OPEN(opened)
    vfs.contents.call_0 = ctypes.cast(mine, _PTR).value
    return [true_open, mine, tables]


def _struck(name, true, faults):
    def called(*given):
        writes = name != b"open" or given[1] & (os.O_RDWR | os.O_CREAT)
        if writes and faults.strikes():
            if faults.how == HALF and b"write" in name:
                true(given[0], given[1], given[2] // 2, *given[3:])
            if faults.how in {KILL, HALF}:
                faults.kill()
            ctypes.set_errno(int(faults.how))
            return -1
        return true(*given)

    return called


_ANSWER = io.open  # as it is before calls are counted
_MOVES = ("fsync", "replace", "rename", "unlink", "truncate", "mkdir", "rmdir", "chmod")


def _python_calls(faults):
    """The calls that our own code makes beside SQLite: syncs, moves, removals, and the writing of files."""

    def strike(what):
        if faults.strikes():
            if faults.how in {KILL, HALF}:
                faults.kill()
            raise OSError(faults.how, os.strerror(faults.how), str(what))

    def wrap(true):
        def called(*given, **named):
            strike(given[0])
            return true(*given, **named)

        return called

    for name in _MOVES:
        setattr(os, name, wrap(getattr(os, name)))
    true_open = io.open

    def opened(file, mode="r", *given, **named):
        if not set(mode) & set("wax+"):
            return true_open(file, mode, *given, **named)
        strike(file)
        return _Written(true_open(file, mode, *given, **named), faults, strike)

    io.open = builtins.open = os.fdopen = opened


class _Written:
    """A file that is written to, each write counted, and cut in half where it is to be."""

    def __init__(self, file, faults, strike):
        self._file, self._faults, self._strike = file, faults, strike

    def write(self, content):
        if self._faults.how == HALF and self._faults.seen + 1 == self._faults.at:
            self._file.write(content[: len(content) // 2])
            self._file.flush()
        self._strike(self._file.name)
        return self._file.write(content)

    def __getattr__(self, name):
        return getattr(self._file, name)

    def __enter__(self):
        return self

    def __exit__(self, *told):
        self._file.close()


def in_child(work, faults: Faults):
    """Run work in a forked child: what it gave, how it ended (0, or minus a signal), the calls seen."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            os.close(read)
            kept = put_in(faults)
            found = work()
            with _ANSWER(write, "wb") as out:
                pickle.dump((found, faults.seen), out)
            status = 0 if kept else 1
        finally:
            os._exit(status)
    os.close(write)
    with os.fdopen(read, "rb") as answer:
        content = answer.read()
    _, ended = os.waitpid(child, 0)
    found, seen = pickle.loads(content) if content else (None, None)  # noqa: S301  (what our own child wrote)
    return found, os.waitstatus_to_exitcode(ended), seen
