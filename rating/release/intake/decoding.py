"""Bytes as text: UTF-8 line by line, and other lines in the encoding that makes the best words of them.

Files are pasted together of parts in several encodings; a line that is UTF-8 is hardly ever anything else.
What the other lines are is told by letters: scripts and words that stand in the file's sound lines, letters
rather than signs, no capital inside a word.
"""

from __future__ import annotations

import re
import unicodedata

from rating.errors import RatingError

# of each script the encodings that were usual before UTF-8; the first is taken where nothing speaks
_LEGACY = (
    "cp1252", "cp1254", "cp1250", "cp1251", "cp1253", "cp1257", "koi8-r", "mac-roman", "cp949", "cp932",
    "gb18030", "big5", "cp1255", "cp1256",
)  # fmt: skip
_WORD = re.compile(r"[^\W\d_]+")
_USUAL_SIGNS = frozenset("–—’‘“”„«»…•·®™©°£€¥§†‡×º ")
# what a letter is worth in an encoding that hardly any file is in today: less than a sign in a usual one
_RARE = {"mac-roman": 0.45}
_ORDINAL = re.compile(r"(?<=[\w.])[ºª]")
_SAMPLE = 400
_DAMAGED = "\ufffd"


def decode(data: bytes, name: str) -> str:
    """The text of a file in UTF-8 or UTF-16 with or without a mark, else in what its letters tell.

    Raises
    ------
    RatingError
        if it is no text
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _utf_16(data, "utf-16", name)
    data = data.removeprefix(b"\xef\xbb\xbf")
    head = data[:4096]
    if b"\0" in head:
        odd, even = head[1::2].count(0), head[::2].count(0)
        if max(odd, even) * 4 >= len(head) // 2 and odd != even:
            return _utf_16(data, "utf-16-le" if odd > even else "utf-16-be", name)
    if b"\0" in data:
        if data.count(b"\0") * 100 > len(data) or any(mark < 9 or 13 < mark < 32 for mark in data if mark):
            raise RatingError(
                "the file is neither a workbook nor text", where=name, fix="save it as .xlsx or CSV"
            )
        data = data.replace(b"\0", b"")  # a few stray marks in what is text otherwise
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return _line_by_line(data)


def _utf_16(data: bytes, encoding: str, name: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as fault:
        raise RatingError(
            f"byte {fault.start + 1} is not {encoding} text", where=name, fix="save it as CSV in UTF-8"
        ) from fault


def _line_by_line(data: bytes) -> str:
    lines = data.splitlines(keepends=True)
    sound: list[str | None] = []
    for line in lines:
        try:
            sound.append(line.decode("utf-8"))
        except UnicodeDecodeError:
            sound.append(None)
    whole = " ".join(text for text in sound if text)
    sound = [_nearly(line, whole) if text is None else text for line, text in zip(lines, sound, strict=True)]
    damaged = [line for line, text in zip(lines, sound, strict=True) if text is None]
    encoding = _best(damaged[:_SAMPLE], whole)
    # some bytes have no letter in an encoding; they become visible damage, never a silent loss
    return "".join(
        line.decode(encoding, errors="replace") if text is None else text
        for line, text in zip(lines, sound, strict=True)
    )


def _nearly(line: bytes, whole: str) -> str | None:
    """A line of UTF-8 in which a byte was damaged, None for one in another encoding."""
    text = line.decode("utf-8", errors="replace")
    told = [mark for mark in text if not mark.isascii() and mark != _DAMAGED]
    is_one = text.count(_DAMAGED) <= min(2, len(told)) and all(mark in whole for mark in told)
    return text if is_one else None


def _best(lines: list[bytes], sound: str) -> str:
    whole = b"".join(lines)
    words = {word.casefold() for word in _WORD.findall(sound) if not word.isascii()}
    scripts = {_script(mark) for mark in sound if mark.isalpha() and not mark.isascii()}
    worth = {encoding: _worth(whole, encoding, words, scripts) for encoding in _LEGACY}
    return max(_LEGACY, key=lambda one: worth[one])


def _worth(data: bytes, encoding: str, words: set[str], scripts: set[str]) -> float:
    """How well bytes read in an encoding: what each of its letters and words is worth, by judgement."""
    text = data.decode(encoding, errors="replace")
    worth, usual = 3.0 * len(_ORDINAL.findall(text)), _RARE.get(encoding, 1.0)
    for word in _WORD.findall(text):
        if word.isascii():
            continue
        if len(word) == 1:
            worth -= 1.0  # a letter alone is hardly ever a word
            continue
        told = {_script(mark) for mark in word}
        strange = [mark for mark in word if not mark.isascii()]
        each = len(" ".join(strange).encode(encoding, errors="replace")) - len(strange) + 1
        worth += each * (usual if len(told) == 1 else -1.5)
        worth -= 3.0 * (word[-1] in "þÞ" or "ƒ" in word)  # no word ends in a thorn
        worth += 2 * each * (told <= scripts - {"LATIN"} and bool(told))
        worth += 6.0 * (word.casefold() in words)
        inner = word[1:]
        if any(mark.isupper() and not mark.isascii() for mark in inner) and not word.isupper():
            worth -= 3.0 * len(strange)
        if told == {"LATIN"} and len(strange) * 2 > len(word) and len(word) > 3:
            worth -= 2.0 * len(strange)
    for mark in text:
        worth += 0.5 * (mark in "–—®™©•’“”")
        if not mark.isascii() and not mark.isalpha() and mark not in _USUAL_SIGNS:
            worth -= 3.0 if unicodedata.category(mark) not in {"Mn", "Mc", "Lm"} else 0.0
    return worth


def _script(mark: str) -> str:
    name = unicodedata.name(mark, "?")
    return name.split(" ", 1)[0].split("-", 1)[0].replace("HIRAGANA", "CJK").replace("KATAKANA", "CJK")
