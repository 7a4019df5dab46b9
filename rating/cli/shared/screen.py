"""How much room there is for what a person is shown: the one place that knows.

COLUMNS says it where it is set, else the terminal. A pipe or a file has no end on the right: nothing is left
out or wrapped there but sentences, which are wrapped to a page.
"""

from __future__ import annotations

import os
import sys

# lines of sentences that are longer are hard to follow
PAGE = 100
# what a terminal that does not say is taken for, and the narrowest that anything is fitted to
_USUAL, _LEAST = 80, 40


def columns() -> int | None:
    """The columns that there are, None where nothing limits them."""
    said = os.environ.get("COLUMNS", "")
    if said.isascii() and said.isdecimal() and int(said[:9]):
        return max(_LEAST, int(said[:9]))
    try:
        found = os.get_terminal_size(sys.stdout.fileno()).columns
    except (AttributeError, OSError, ValueError):  # no terminal, or no file at all
        return None
    return max(_LEAST, found or _USUAL)


def page() -> int:
    """The columns that sentences are wrapped to."""
    return min(PAGE, columns() or PAGE)


def speak_its_alphabet() -> None:
    """Have output and errors write what their encoding lacks in the letters it has, and never fail."""
    import codecs
    import io

    codecs.register_error("boxwright", _in_its_letters)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and not is_whole(stream.encoding):
            stream.reconfigure(errors="boxwright")


def is_whole(encoding: str) -> bool:
    """Whether an encoding can write every letter."""
    return encoding.lower().replace("-", "").startswith("utf")


_PLAIN = {"…": "...", "±": "+/-", "█": "#", "–": "-", "—": "-", "−": "-", "×": "x", "€": "EUR ", "£": "GBP "}
_PLAIN |= {"¥": "JPY ", "→": "->", "≤": "<=", "≥": ">=", "’": "'", "“": '"', "”": '"', "\xa0": " "}
_PLAIN |= {"Ł": "L", "ł": "l", "Ø": "O", "ø": "o", "Đ": "D", "đ": "d", "ß": "ss", "Æ": "AE", "æ": "ae"}


def _in_its_letters(fault: UnicodeError) -> tuple[str, int]:
    """What is written for what an encoding lacks: letters without their accents, else a question mark."""
    import unicodedata

    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    lacking = fault.object[fault.start : fault.end]
    told = ""
    for mark in lacking:
        bare = unicodedata.normalize("NFKD", mark).encode("ascii", "ignore").decode()
        told += _PLAIN.get(mark) or bare or "?"
    return told, fault.end
