"""Whether a person pressed Ctrl-C, whatever became of the exception on its way.

Compiled modules turn a `KeyboardInterrupt` that meets them while they load into an `ImportError`, and other
people's code may swallow it. Who asks here is not misled: the signal itself was noted.
"""

from __future__ import annotations

import signal
import threading
from types import FrameType, TracebackType
from typing import Any, Self


class Noted:
    """While it is entered, `pressed` says whether Ctrl-C was pressed; what it does otherwise stays the same.

    Outside the main thread no signal arrives, and where the process ignores Ctrl-C it goes on ignoring it.
    """

    def __init__(self) -> None:
        self.pressed = False
        self._before: Any = None

    def __enter__(self) -> Self:
        before = signal.getsignal(signal.SIGINT)
        if callable(before) and threading.current_thread() is threading.main_thread():
            self._before = before
            signal.signal(signal.SIGINT, self._note)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def _note(self, number: int, frame: FrameType | None) -> None:
        self.pressed = True
        self._before(number, frame)
