"""A fence around plug-in code, against mistakes and not against malice.

What runs inside has arithmetic of its own, prints into nothing, and is stopped after a while; whatever it
raises is caught, and what it changed of the process is put back and told. Nothing here holds code that means
harm.
"""

from __future__ import annotations

import ctypes
import decimal
import io
import locale
import os
import random
import signal
import sys
import threading
import warnings
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from rating import ctrl_c, tenths, text

T = TypeVar("T")
# sections of the facts may be worked out inside, which takes seconds for the largest releases
LIMIT_S = 60.0
_AGAIN_S = 0.05
_SAID = 200


@dataclass(frozen=True, slots=True)
class Ended(Generic[T]):
    """How a call ended: what it gave, else how it failed in words, and what it did beside in either case."""

    value: T | None
    failed: str
    strayed: tuple[str, ...]


class _TooLongError(BaseException):
    """Put into code that does not end; no `except Exception` takes it for its own."""


def run(work: Callable[[], T], *, limit_s: float = LIMIT_S) -> Ended[T]:
    """Do some work inside the fence. Ctrl-C goes through; whatever else is raised does not."""
    printed, before = _Printed(), _state()
    value, failed = None, ""
    with (
        ctrl_c.Noted() as noted,
        decimal.localcontext(tenths.STANDARD),
        warnings.catch_warnings(),
        redirect_stdout(printed),
        redirect_stderr(printed),
    ):
        warnings.simplefilter("ignore")
        watch = _Watch(limit_s)
        try:
            watch.start()
            try:
                value = work()
            finally:
                watch.stop()
        except _TooLongError:
            watch.stop()
            failed = f"did not end within {limit_s:g} seconds"
        except BaseException as fault:  # noqa: BLE001  (plug-in code may raise anything; it must not stop the rest)
            failed = _told(fault)
        if noted.pressed:
            raise KeyboardInterrupt
        changed = _rules(decimal.getcontext()) != _rules(tenths.STANDARD)
        strayed = ["changes how decimals are reckoned"] if changed else []
    if printed.something:
        strayed.append("prints")
    return Ended(value if not failed else None, failed, (*strayed, *_put_back(before)))


def _told(fault: BaseException) -> str:
    try:
        said = text.printable(str(fault))[:_SAID]
    except BaseException:  # noqa: BLE001  (an exception's own text is plug-in code too)
        said = "it cannot say why"
    return f"failed: {type(fault).__name__}: {said}"


def _rules(context: decimal.Context) -> tuple[object, ...]:
    return (context.prec, context.rounding, context.Emin, context.Emax, context.capitals, context.clamp)


class _Printed(io.TextIOBase):
    """Takes what is printed and keeps only whether there was something."""

    something = False

    def write(self, words: str) -> int:
        self.something = self.something or bool(words)
        return len(words)

    def close(self) -> None:
        """Stay open: it is not the module's to close."""


class _Watch:
    """Stops the thread that started it after a while, again and again until it has ended."""

    def __init__(self, limit_s: float) -> None:
        self._limit_s, self._is_on = limit_s, False
        self._done = threading.Event()
        self._thread: threading.Thread | None = None
        self._me = threading.get_ident()
        self._old: dict[int, Any] = {}
        self._by_signal = (
            hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()
        )

    def start(self) -> None:
        """Begin to count."""
        self._is_on = True
        if self._by_signal:
            # a signal also ends waiting and sleeping, which an exception put into the thread does not
            self._old[signal.SIGALRM] = signal.signal(signal.SIGALRM, self._bark)
            signal.setitimer(signal.ITIMER_REAL, self._limit_s, _AGAIN_S)
            return
        self._thread = threading.Thread(target=self._from_beside, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Stop counting, and take back what was sent and has not arrived."""
        while True:
            try:
                self._is_on = False
                self._done.set()
                if self._by_signal:
                    signal.setitimer(signal.ITIMER_REAL, 0)
                    for number in list(self._old):
                        signal.signal(number, self._old.pop(number))
                elif self._thread is not None:
                    self._thread.join()
                    _send(self._me, None)
            except _TooLongError:
                continue
            return

    def _bark(self, *_: object) -> None:
        if self._is_on:
            raise _TooLongError

    def _from_beside(self) -> None:
        if self._done.wait(self._limit_s):
            return
        while not self._done.wait(_AGAIN_S):
            _send(self._me, _TooLongError)


def _send(thread: int, fault: type[BaseException] | None) -> None:
    """Put an exception into a thread, or take one back that has not arrived."""
    given = ctypes.py_object(fault) if fault is not None else None
    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), given)


# what a process has only one of: how it is called, asked and put back ---------------------------------------


def _numpy_errors() -> Any:
    numpy = sys.modules.get("numpy")
    return None if numpy is None or not hasattr(numpy, "geterr") else numpy.geterr()


def _set_numpy_errors(rules: Any) -> None:
    if rules is not None:
        sys.modules["numpy"].seterr(**rules)


def _set_environment(variables: dict[str, str]) -> None:
    os.environ.clear()
    os.environ.update(variables)


_ONE_OF: tuple[tuple[str, Callable[[], Any], Callable[[Any], Any]], ...] = (
    ("the working folder", os.getcwd, os.chdir),
    ("the environment", lambda: dict(os.environ), _set_environment),
    ("how deep calls may go", sys.getrecursionlimit, sys.setrecursionlimit),
    ("how long a number may be", sys.get_int_max_str_digits, sys.set_int_max_str_digits),
    ("the random numbers", random.getstate, random.setstate),
    ("the locale", lambda: locale.setlocale(locale.LC_ALL), lambda own: locale.setlocale(locale.LC_ALL, own)),
    ("how numpy tells of errors", _numpy_errors, _set_numpy_errors),
)


def _state() -> list[Any]:
    return [ask() for _, ask, _ in _ONE_OF]


def _put_back(before: list[Any]) -> list[str]:
    """Put the process back as it was; what had been changed, in words."""
    changed = []
    for (name, ask, put), old in zip(_ONE_OF, before, strict=True):
        try:
            is_same = ask() == old
        except OSError:  # the working folder was removed
            is_same = False
        if not is_same and old is not None:
            put(old)
            changed.append(f"changes {name}")
    return changed
