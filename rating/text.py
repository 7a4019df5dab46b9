"""Cleaning of text from outside: one form for comparing, one for showing, and guards for names."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

SLUG_LIMIT = 60
NAME_LIMIT = 200
# from which likeness on a word can be meant for another, and how much less than the most alike is as likely
_ALIKE, _AS_ALIKE = 0.6, 0.1
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z", re.ASCII)
# device names that Windows will not have as folders: a season folder may be synced to such a machine
_RESERVED = {"con", "prn", "aux", "nul"} | {f"{stem}{n}" for stem in ("com", "lpt") for n in range(1, 10)}
# what a cell of a spreadsheet shows in the place of a value; text that reads so is taken for an error
SPREADSHEET_ERRORS = frozenset({"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"})
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\0")
# what formats text, begins HTML, an entity or a link, or parts cells; what begins a block at a line's start
_MARKDOWN_MARKS = re.compile(r"[\\`*_\[<|~]|&(?=#?\w)|:(?=//)|(?<=www)\.", re.ASCII | re.IGNORECASE)
_MARKDOWN_STARTS = re.compile(r"^(\d{1,9}(?=[.)](?:\s|$))|(?=[#+=>-]))(.)")
# marks that turn the direction of writing, or cannot be seen at all, and so can hide what a name says
_HIDDEN_MARKS = set("\u00ad\u200b\u200c\u200e\u200f\ufeff\u061c") | {
    chr(code)
    for code in (
        *range(0x202A, 0x202F),
        *range(0x2060, 0x2070),
        *range(0xFFF9, 0xFFFC),
        *range(0xE0000, 0xE0080),
    )
}


def tidy(text: str) -> str:
    """Text as it is kept: composed (NFC), blanks collapsed, ends stripped, nothing else touched."""
    if not text.isascii():
        text = unicodedata.normalize("NFC", text)
    return " ".join(text.split())


def key(text: str) -> str:
    """Text as it is compared: composed, case folded, blanks collapsed, and composed again."""
    if text.isascii():
        return " ".join(text.lower().split())
    return unicodedata.normalize("NFC", " ".join(unicodedata.normalize("NFC", text).casefold().split()))


def bad_marks(text: str) -> str:
    """The first control, direction or invisible mark in a text as 'U+202E', or '' where there is none."""
    for mark in text:
        category = unicodedata.category(mark)
        if mark in _HIDDEN_MARKS or category in {"Cc", "Cs", "Co", "Cn"}:
            return f"U+{ord(mark):04X}"
    return ""


def why_no_slug(name: str) -> str:
    """Why a name cannot be a release's slug, in words, or '' where it can."""
    if not name:
        return "it is empty"
    if len(name) > SLUG_LIMIT:
        return f"it has {len(name)} characters, at most {SLUG_LIMIT} are allowed"
    if not _SLUG.match(name):
        return "only a-z, 0-9 and single hyphens between them are allowed"
    if name in _RESERVED:
        return "that name is reserved on some systems"
    return ""


def slug_of(title: str) -> str:
    """A slug made from a title: 'Wickfield 2031 Halyard' gives 'wickfield-2031-halyard'."""
    bare = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", bare.lower()).strip("-")[:SLUG_LIMIT].rstrip("-")


def as_data(text: str) -> str:
    """Text for a CSV cell: an apostrophe before what a spreadsheet program would take for a formula.

    References
    ----------
    OWASP, "CSV Injection": the marks = + - @, tab and carriage return at the start of a cell.
    """
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def as_markdown(text: str, *, begins: bool = False) -> str:
    """Text for a line of Markdown that is shown as it is: no mark of it formats, links, or is HTML.

    Where it begins an item of a list or a quotation, its first mark begins no other block (`begins`). An
    address with @ is still made a link by some readers; nothing in Markdown keeps them from it.

    References
    ----------
    GitHub Flavored Markdown, 2.4 backslash escapes, 6.2 entities, 6.9 autolinks.
    """
    shown = printable(" ".join(text.split()))
    shown = _MARKDOWN_MARKS.sub(r"\\\g<0>", shown)
    return _MARKDOWN_STARTS.sub(r"\1\\\2", shown) if begins else shown


def printable(text: str) -> str:
    """Text that is safe to show in a terminal: control and direction marks are written out as U+XXXX."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(f"<{found}>" if (found := bad_marks(mark)) and mark != "\n" else mark for mark in text)


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Words as a sentence lists them: 'a', 'a and b', 'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def some(names: Sequence[str], most: int = 3) -> str:
    """Names as a sentence lists them, the many cut short: 'a, b, c and 4 more'."""
    if len(names) <= most + 1:
        return listed(list(names))
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def short_titles(titles: Sequence[str]) -> list[str]:
    """Titles without the words that nearly all of them share, such as the year and the sport.

    With fewer than three titles, or where a title would have nothing left, they stay as they are.
    """
    words = [title.split() for title in titles]
    counts = Counter(word for title in words for word in set(title))
    shared = {word for word, number in counts.items() if number * 4 > len(titles) * 3 and len(titles) > 2}
    short = [" ".join(word for word in title if word not in shared).rstrip(",") for title in words]
    return short if all(short) and len(set(short)) == len(set(titles)) else list(titles)


def short_names(titles: Mapping[str, str]) -> dict[str, str]:
    """Titles by a key, shortened together, see `short_titles`."""
    return dict(zip(titles, short_titles(list(titles.values())), strict=True))


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun: '1 card', '2 cards', '1,200 copies'."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def did_you_mean(given: str, names: Iterable[str]) -> str:
    """The names that a word was likely meant for, as a question; '' where none is near.

    At most three, and only those about as near as the nearest.
    """
    from difflib import SequenceMatcher  # loaded where a word is wrong

    word = key(given)
    likeness = {name: SequenceMatcher(None, name, word).ratio() for name in names}
    least = max(_ALIKE, max(likeness.values(), default=0) - _AS_ALIKE)
    near = sorted((name for name in likeness if likeness[name] >= least), key=lambda name: -likeness[name])
    return f"did you mean {listed(near[:3], 'or')}?" if near else ""


def hinted(given: str, names: Iterable[str], fix: str) -> str:
    """How a word that names nothing is put right: by what it was likely meant for, or as `fix` says."""
    meant = did_you_mean(given, names)
    return f"{meant} Or {fix}" if meant else fix


def ordinal(number: int) -> str:
    """A place as it is said: '3rd', '21st', '112th'."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in {11, 12, 13} else ending}"
