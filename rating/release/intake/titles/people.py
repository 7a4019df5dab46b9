"""The people of a checklist as titles name them: in full either way round, by an initial, by surname."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import NamedTuple

from rating.release.checklist import Card
from rating.release.intake.titles.phrases import Phrases, chosen
from rating.release.intake.titles.tokens import name_words

_AFTER = {"jr", "sr", "ii", "iii", "iv", "v"}
# scripts in which one sign may be a whole name
_WHOLE = ("CJK", "HANGUL", "HIRAGANA", "KATAKANA")


class Named(NamedTuple):
    """Whom some words of a title may be, and whether they name one in full."""

    people: frozenset[str]
    is_full: bool
    start: int
    end: int


class People:
    """Finds the people of a checklist in the words of titles."""

    def __init__(self, cards: Sequence[Card]) -> None:
        self.names = list(dict.fromkeys(name for card in cards for name in card.subjects))
        self._full, self._last = Phrases(), Phrases()
        self._first: dict[str, str] = {}
        self._rest: dict[str, tuple[str, ...]] = {}
        self.vocabulary: set[str] = set()
        self.joined: dict[str, tuple[str, ...]] = {}
        exact = {name_words(name) for name in self.names}
        for name in self.names:
            parts = [words for part in name.split() if (words := name_words(part))]
            flat = tuple(word for part in parts for word in part)
            if not flat:
                continue
            self.vocabulary.update(flat)
            self._full.add(flat, "person", name)
            self.joined.update({"".join(part): part for part in parts if len(part) > 1})
            after = parts[-1] if len(parts) > 1 and parts[-1][0] in _AFTER else ()
            parts = parts[:-1] if after else parts
            self._first[name] = parts[0][0]
            self._run_on(name, flat, exact)
            if len(parts) < 2:
                continue
            self._rest[name] = tuple(word for part in (*parts[1:], after) for word in part)
            self._turned(name, parts, after, exact)
        self._join_initials()

    def _join_initials(self) -> None:
        """Let a full name mean its short form too, where nobody else of the checklist fits that one."""
        alike: dict[tuple[str, ...], list[str]] = {}
        for name, rest in self._rest.items():
            alike.setdefault(rest, []).append(name)
        for names in alike.values():
            short = [name for name in names if _is_initial(self._first[name])]
            for name in short:
                fits = [
                    other for other in names if other not in short and self._begins(name, self._first[other])
                ]
                if len(fits) == 1:
                    first, rest = self._first[fits[0]], self._rest[name]
                    for form in ((first, *rest), (*rest, first), name_words(fits[0])):
                        self._full.add(form, "person", name)

    def _run_on(self, name: str, words: tuple[str, ...], exact: set[tuple[str, ...]]) -> None:
        """Names in scripts that need no blank: parted or not, either way round."""
        signs = [unicodedata.normalize("NFC", word) for word in words]  # titles' words are taken apart
        whole = "".join(signs)
        if len(signs) > 2 or not 1 < len(whole) < 7 or not all(map(_is_sign, whole)):
            return
        if len(signs) == 2:
            told = [whole, signs[1] + signs[0]]
        else:
            parted = [(whole[:place], whole[place:]) for place in range(1, len(whole))]
            told = [" ".join(form) for first, last in parted for form in ((first, last), (last, first))]
        forms = [name_words(one) for one in told]
        for form in forms:
            if form not in exact:
                self._full.add(form, "person", name)
                self.vocabulary.update(form)

    def _turned(
        self,
        name: str,
        parts: Sequence[tuple[str, ...]],
        after: tuple[str, ...],
        exact: set[tuple[str, ...]],
    ) -> None:
        """Other ways to write a name of at least two parts."""
        last = tuple(word for part in parts[1:] for word in part)
        forms = [(*parts[0], *last), (*last, *parts[0])]
        if after:
            forms.append((*last, *after, *parts[0]))
        if len(parts) > 2:  # a middle name is often left out
            forms += [(*parts[0], *parts[-1]), (*parts[-1], *parts[0])]
        for form in forms:
            if form not in exact:
                self._full.add(form, "person", name)
        for place in range(1, len(parts)):
            sure = tuple(word for part in parts[place:] for word in part)
            self._last.add(sure, "person", name)
            if after:
                self._last.add((*sure, *after), "person", name)

    def full_spans(self, tokens: Sequence[str]) -> list[Named]:
        """Where people are named in full."""
        return [Named(one.what, True, one.start, one.end) for one in self._full.find(tokens)]

    def _begins(self, name: str, word: str) -> bool:
        """Whether a word is a forename of which the title or the checklist has the initial alone."""
        first = self._first[name]
        return (_is_initial(word) and first.startswith(word)) or (
            _is_initial(first) and word.startswith(first)
        )

    def by_surname(self, tokens: Sequence[str]) -> list[Named]:
        """Where people are named by surname alone, or with an initial; words that are used up are ''."""
        found = []
        for one in chosen(self._last.find(tokens)):
            start, end, people = one.start, one.end, one.what
            for beside in (start - 1, end):
                word = tokens[beside] if 0 <= beside < len(tokens) else ""
                if fits := frozenset(name for name in people if self._begins(name, word)):
                    people, start, end = fits, min(start, beside), max(end, beside + 1)
                    break
                if len(word) == 1 and word.isalpha() and word.isascii():
                    people = frozenset()  # another person of this surname
            found.append(Named(people, False, start, end))
        return found


def _is_initial(word: str) -> bool:
    """Whether a word is one letter that stands for a name, its marks aside."""
    letters = [mark for mark in word if unicodedata.category(mark)[0] != "M"]
    return len(letters) == 1 and word[0].isalpha() and not _is_sign(word[0])


def _is_sign(mark: str) -> bool:
    """Whether a letter is of a script in which one sign may be a whole name."""
    return unicodedata.name(mark, "").startswith(_WHOLE)
