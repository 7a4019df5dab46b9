"""A title taken apart: the marks beside its words, the names in them, and the words that nothing explains."""

from __future__ import annotations

import html
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rating.release.checklist import plain_number
from rating.release.intake.grid import mended
from rating.release.intake.titles import marks
from rating.release.intake.titles.people import Named
from rating.release.intake.titles.phrases import Phrases, Span, chosen
from rating.release.intake.titles.tokens import NOISE, RELIC, SIGNED, is_damaged, name_words, stem
from rating.release.intake.titles.vocabulary import Vocabulary

_BLANKS = re.compile(r"\s{2,}")
_LETTERED = re.compile(
    r"(?<![\w/.])[^\W\d_]{1,6}\s?[-–]?\s?\d{1,4}[^\W\d_]?(?![\w/.])"
    r"|(?<![\w-])[^\W\d_]{1,6}-[^\W\d_]{1,6}\d{0,3}(?![\w-])"
)
_NO_GRADER = {"NO", "RC", "SP", "SSP", "LOT", "OF", "THE", "NR", "CARD", "PR", "SN", "AUTO", "NUM", "BASE"}


@dataclass(slots=True)
class Title:
    """A title taken apart.

    `named` are those whom its words name, `subsets` and `parallels` the names that stand in it whole, `stems`
    all its words that belong to any subset, parallel or kind, `beside` those of them outside whole names of
    subsets, `unknown` the words that nothing explains.
    """

    words: tuple[str, ...] = ()
    run: int | None = None
    numbers: set[str] = field(default_factory=set)
    loose: set[str] = field(default_factory=set)
    named: list[Named] = field(default_factory=list)
    subsets: set[str] = field(default_factory=set)
    parallels: list[frozenset[str]] = field(default_factory=list)
    teams: set[str] = field(default_factory=set)
    stems: set[str] = field(default_factory=set)
    beside: set[str] = field(default_factory=set)
    unknown: list[str] = field(default_factory=list)
    is_rookie: bool = False
    is_slabbed: bool = False
    is_fuzzy: bool = False


class TitleReader:
    """Takes titles apart by what a release's checklist names."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.known = vocabulary

    def read(self, raw: str, instead: Mapping[str, str] | None = None) -> Title:
        """The parts of a title; `instead` holds words that stand for damaged or misspelt ones."""
        raw = _BLANKS.sub(" ", raw)
        line = raw if raw.isascii() else " ".join(map(self._mended, raw.split(" ")))
        line = html.unescape(line) if "&" in line else line
        line = marks.without_years(line)
        title = Title()
        line = self._lettered(line, title)
        slab = marks.cut_slab(line, self._is_own)
        run = marks.cut_run(slab.rest, lambda words: plain_number(words) in self.known.numbers)
        title.run, title.is_slabbed = run.run, slab.is_slabbed
        line = self._numbers(run.rest, title)
        tokens = [word.strip("?") if word.endswith("?") else word for word in name_words(line)]
        tokens = self._expanded([word for word in tokens if word])
        if instead:
            replaced = [part for word in tokens for part in instead.get(word, word).split()]
            title.is_fuzzy = replaced != tokens
            tokens = replaced
        title.words = tuple(tokens)
        self._names(tokens, title, raw)
        return title

    def _mended(self, word: str) -> str:
        """A word that was written in one encoding and read in another, as it was."""
        return word if word.isascii() else self.known.misread.get(word) or mended(word)

    def _is_own(self, letters: str, grade: str) -> bool:
        """Whether letters before a small number belong to this release rather than to a slab."""
        word = letters.lower()
        return (
            letters in _NO_GRADER
            or letters in self.known.prefixes
            or plain_number(letters + grade) in self.known.numbers
            or word in NOISE
            or self.known.knows(word)
        )

    # ------------------------------------------------------------ numbers
    def _lettered(self, line: str, title: Title) -> str:
        """Take out numbers with letters, such as 'SW-6', that the checklist has."""
        kept, last = [], 0
        for found in _LETTERED.finditer(line):
            if plain_number(found[0]) in self.known.lettered and not self.known.knows(found[0].lower()):
                title.numbers.add(plain_number(found[0]))
                kept.append(line[last : found.start()].rstrip("# "))
                last = found.end()
        return " ".join([*kept, line[last:]])

    def _numbers(self, line: str, title: Title) -> str:
        """Take out the numbers that a title calls so: '#7', 'No. 7'."""
        place = 0
        while found := marks.EXPLICIT.search(line, place):
            number = plain_number(found["n"])
            is_known = number in self.known.numbers
            says_so = found[0][0] == "#" or number.isdigit()
            if not is_known and (marks.has_year(found["n"]) or not says_so):
                place = found.end()
                continue
            title.numbers.add(number)
            line = f"{line[: found.start()]} {line[found.end() :]}"
            place = found.start()
        return line

    # ------------------------------------------------------------ names
    def _expanded(self, tokens: Sequence[str]) -> list[str]:
        """Tokens with run-together names parted and parted ones joined."""
        found: list[str] = []
        place = 0
        while place < len(tokens):
            word = tokens[place]
            following = tokens[place + 1] if place + 1 < len(tokens) else ""
            if not self.known.knows(word) and (parts := self.known.joined.get(word)):
                found += parts
            elif len(word) < 4 and following and word + following in self.known.people.vocabulary:
                found.append(word + following)
                place += 1
            else:
                found.append(word)
            place += 1
        return found

    def _names(self, tokens: Sequence[str], title: Title, raw: str) -> None:
        people = self.known.people.full_spans(tokens)
        spans = [Span("person", one.start, one.end, one.people) for one in people]
        spans += self.known.phrases.find(tokens)
        spans += self.known.exact.find(tokens)
        left = list(tokens)
        for one in chosen(spans):
            if one.kind == "person":
                title.named.append(Named(one.what, True, one.start, one.end))
            elif one.kind == "team":
                title.teams |= one.what
            elif one.kind != "line":  # the line's name says nothing of a card
                stems = {stem(word) for word in tokens[one.start : one.end]}
                title.stems |= stems
                if one.kind == "subset":
                    title.subsets |= one.what
                else:
                    title.beside |= stems
                    title.parallels.append(one.what)
            left[one.start : one.end] = [""] * (one.end - one.start)
        self._surnames(left, title)
        self._words(left, title, raw)

    def _surnames(self, left: list[str], title: Title) -> None:
        """Surnames among the words that are left."""
        free = ["" if self._tells(word, stem(word)) else word for word in left]
        for one in self.known.people.by_surname(free):
            title.named.append(one)
            left[one.start : one.end] = [""] * (one.end - one.start)

    def _words(self, left: Sequence[str], title: Title, raw: str) -> None:
        shouted = raw.isupper()
        for word in left:
            if not word:
                continue
            one = stem(word)
            if one == "rookie":
                title.is_rookie = True
            elif self._tells(word, one):
                title.stems.add(one)
                title.beside.add(one)
            elif word in self.known.team_words:
                title.teams |= self.known.team_words[word]
            elif word in self.known.line:
                continue
            elif word.isdigit():
                title.loose.add(plain_number(word))
            elif word.upper() in self.known.team_codes and (shouted or word.upper() in raw):
                title.teams.add(self.known.team_codes[word.upper()])
            elif not self._says_nothing(word):
                title.unknown.append(word)

    def _tells(self, word: str, one: str) -> bool:
        """Whether a word by itself tells a subset, a parallel or a kind.

        The words of a subset's name that any title may hold, such as 'my', do not.
        """
        if one in self.known.ladder or one in SIGNED | RELIC or one == "parallel":
            return True
        return one in self.known.stems and word not in NOISE

    def _says_nothing(self, word: str) -> bool:
        return (
            word in NOISE
            or word in self.known.short_team_words
            or (len(word) < 3 and word not in self.known.people.vocabulary and word.isascii())
        )

    # ------------------------------------------------------------ damaged and misspelt words
    def repaired(self, title: Title) -> dict[str, str]:
        """What the unknown words of a title must stand for, where that is the release's own word."""
        return {word: found for word in title.unknown if (found := self.known.like(word))}

    def is_sound(self, title: Title, instead: Mapping[str, str]) -> bool:
        """Whether the words put in for others decide nothing by themselves that a slip could decide.

        A surname that stands alone must be written rightly, damaged letters apart.
        """
        put_in = {word for old, words in instead.items() if not is_damaged(old) for word in words.split()}
        return not any(
            put_in.intersection(title.words[one.start : one.end]) for one in title.named if not one.is_full
        )


__all__ = ["Phrases", "Title", "TitleReader"]
