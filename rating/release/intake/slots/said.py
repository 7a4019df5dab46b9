"""What holds for slots: told by their row, their column, the title above, the sheet's name or the file's."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from rating import text
from rating.release.intake import days, ladder, titles
from rating.release.intake.slots import words
from rating.release.intake.slots.layout import FORMATS
from rating.release.intake.values import ReleaseWords, SeasonWords
from rating.release.intake.words import fold

_COUNTS = {"half": "0.5", "full": "1", "one": "1", "two": "2", "three": "3", "four": "4"}
_CASES = re.compile(
    r"\b(\d{1,3}(?:[.,]\d)?|half|full|one|two|three|four)[\s-]+(?:an?\s+)?(?:(?!box)[a-z]+[\s-]+)?cases?\b",
    re.IGNORECASE,
)
_BOXES = re.compile(r"\b(\d{1,3})[\s-]*box(?:es)?\b(?!\s*(?:per|in|/))", re.IGNORECASE)
_CASE_OF = re.compile(
    r"\b(?:\d{1,3}(?:[.,]\d)?|[Hh]alf an?|[Oo]ne|[Aa])\s+"
    r"(?:(?P<before>[^\W\d_]+(?: [^\W\d_]+)?)\s+[Cc]ases?\b"
    r"|[Cc]ases?(?:\s+of)?\s+(?P<after>[A-Z][^\W\d_]+(?: [A-Z][^\W\d_]+)?))(?=\s*(?:[,;.|(:–—-]|\Z))"
)

_WORD = re.compile(r"[^\W\d_][\w'’&.-]*")
_UNIT = re.compile(r"(?:^|[\s-]+)(?:box(?:es)?|packs?|cases?|format|edition)\Z", re.IGNORECASE)
_NO_FORMAT = re.compile(
    r"(?:breaks?|cases?|pyt|pick|your|random\w*|auctions?|fixed|half|live|teams?|slots?|spots?"
    r"|prices?|mixer|group|division|list|sold|draft|on|from|for|of|the|an?|and|with|hits?|sales?|results?)[.,:]?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Said:
    """What holds for a slot."""

    day: str = ""
    format: str = ""
    how: str = ""
    cases: Decimal | None = None
    round: str = ""
    why_not: str = ""


class Listener:
    """Hears day, format, way of sale and number of cases in what stands around slots."""

    def __init__(self, season: SeasonWords, release: ReleaseWords, today: date) -> None:
        self.season, self.release, self.today = season, release, today
        self.keys = {one.key: one.name for one in release.formats}
        self.own = {
            word
            for name in (release.line or release.title, release.line and release.title)
            for word in titles.name_words(name)
            if not word.isdigit() and word not in {"the", "of", "and"}
        }

    def told(self, line: str, before: Said) -> dict[str, Any]:
        found: dict[str, Any] = {}
        if days.read_day(line, self.today) is not None:
            found["day"] = line
        if key := self._after_line(line) or self.format_in(line) or self._beside_cases(line):
            found["format"] = key
        if how := words.how_in(line):
            found["how"] = how
        if cases := self.cases_in(line, found.get("format", before.format)):
            found["cases"] = cases
        own = titles.name_words(self.release.line)
        if others := self._other_lines(line):
            found["why_not"] = f"a break of another product: {text.listed(others)}"
        elif own and f" {' '.join(own)} " in f" {' '.join(titles.name_words(line))} ":
            found["why_not"] = ""
        return found

    def _other_lines(self, line: str) -> list[str]:
        """The season's other releases that a text names; a name that holds this one's goes before it."""
        bare = f" {' '.join(titles.name_words(line))} "
        own = f" {' '.join(titles.name_words(self.release.line))} "
        others = {one: f" {' '.join(titles.name_words(one))} " for one in self.season.other_lines}
        return [one for one, name in others.items() if name in bare and not (own in bare and name in own)]

    def _after_line(self, line: str) -> str:
        """The format that stands right behind the release's name: '2034 Sundial Premier, 1 case'."""
        words_in = list(_WORD.finditer(line))
        own = [place for place, word in enumerate(words_in) if self._is_own(word[0])]
        named: list[str] = []
        for place in range(own[-1] + 1 if own else len(words_in), len(words_in)):
            word, before = words_in[place], words_in[place - 1]
            is_next = not line[before.end() : word.start()].strip()
            if not is_next or not word[0][0].isupper() or _NO_FORMAT.fullmatch(word[0]):
                break
            named.append(word[0])
        name = " ".join(named)
        return self.key_of(name) if len(named) < 4 and _UNIT.sub("", name).strip() else ""

    def _beside_cases(self, line: str) -> str:
        """The format that stands beside the number of cases: '1 case Velvet', '2 Velvet cases'."""
        if found := _CASE_OF.search(line):
            name = found["before"] or found["after"] or ""
            words_in = name.split()
            if words_in and not any(_NO_FORMAT.fullmatch(word) or self._is_own(word) for word in words_in):
                return self.key_of(name)
        return ""

    def _is_own(self, word: str) -> bool:
        return any(part in self.own for part in titles.name_words(word))

    def key_of(self, name: str) -> str:
        """The key of a format that is called so, else a new one."""
        for key, told in self.keys.items():
            if _bare(name) in {_bare(key), _bare(told)}:
                return key
        return text.slug_of(_bare(name))

    def format_in(self, line: str) -> str:
        bare = _bare(line)
        for key, name in self.keys.items():
            if bare and bare in {_bare(key), _bare(name)}:
                return key
        known = {*self.keys, *FORMATS}
        others = " ".join(word[0] for word in _WORD.finditer(line) if not self._is_own(word[0]))
        keys = [one for one in ladder.formats_in(others, list(self.keys)) if one in known]
        return keys[0] if len(keys) == 1 else ""

    def cases_in(self, line: str, form: object) -> Decimal | None:
        if found := _CASES.search(line):
            number = Decimal(_COUNTS.get(found[1].lower(), found[1]).replace(",", "."))
            return number if number > 0 else None
        boxes = next(
            (
                one.boxes_per_case
                for one in self.release.formats
                if one.key == (form or self.release.headline)
            ),
            None,
        )
        if (found := _BOXES.search(line)) and boxes:
            share = Decimal(found[1]) / boxes
            return share if share > 0 and share == share.quantize(Decimal("0.0001")) else None
        return Decimal(1) if re.search(r"\bcase break\b", line, re.IGNORECASE) else None


def _bare(name: str) -> str:
    """A format's name without the word for what it is."""
    return _UNIT.sub("", fold(name)).replace("-", " ")
