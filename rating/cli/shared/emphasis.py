"""Emphasis at a terminal: words in bold, where a person looks on and has not asked for none.

NO_COLOR, where it is set to anything, turns it off, as does a terminal that calls itself dumb.

References
----------
no-color.org, the convention of the variable NO_COLOR.
"""

from __future__ import annotations

import os
from typing import TextIO

_BOLD, _PLAIN = "\033[1m", "\033[0m"


def bold(words: str, stream: TextIO) -> str:
    """Words as they are written to a stream."""
    return f"{_BOLD}{words}{_PLAIN}" if words and _is_wanted(stream) else words


def _is_wanted(stream: TextIO) -> bool:
    return not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb" and stream.isatty()
