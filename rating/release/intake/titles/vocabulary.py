"""What a release's checklist names: its subsets, parallels, numbers, people and teams, as titles' words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from rating.release.checklist import Card, Parallel, plain_number
from rating.release.intake.titles.people import People
from rating.release.intake.titles.phrases import Phrases
from rating.release.intake.titles.tokens import (
    NOISE,
    OPTIONAL,
    RELIC,
    SIGNED,
    is_damaged,
    name_words,
    stem,
)
from rating.release.intake.values import ReleaseWords, SeasonWords
from rating.release.intake.words import fold

_GENERAL = SIGNED | RELIC | {"rookie", "base", "dual", "triple", "parallel"}
_SMALL = {"the", "of", "and", "a"}


class Vocabulary:
    """The words and names of one release."""

    def __init__(
        self, cards: Sequence[Card], parallels: Sequence[Parallel], season: SeasonWords, release: ReleaseWords
    ) -> None:
        self.people = People(cards)
        self.line = {
            word
            for name in (release.title, release.maker, release.line)
            for word in name_words(name)
            if not word.isdigit()
        } - _SMALL
        self.numbers = {plain_number(card.number) for card in cards}
        self.lettered = {
            one for one in self.numbers if not one.isdigit() and (re.search(r"\d", one) or len(one) > 2)
        }
        self.prefixes = {m[1] for one in self.numbers if (m := re.match(r"([A-Z]+)\d", one))}
        self.phrases, self.exact = Phrases(stem), Phrases()
        self.joined: dict[str, tuple[str, ...]] = dict(self.people.joined)
        self.stems: set[str] = set()
        self.ladder: set[str] = set()
        self._subsets(dict.fromkeys(card.subset for card in cards))
        self._parallels(dict.fromkeys(one.parallel for one in parallels if one.parallel))
        own_line = name_words(release.line)
        if own_line:
            self.phrases.add([stem(word) for word in own_line], "line", "line")
        self._teams(cards, season)
        spelled = [*self.people.names, *self.team_names, *dict.fromkeys(card.subset for card in cards)]
        self.misread = _misread(word for name in spelled for word in name.split())
        self._likely: dict[str, str] = {}

    # ------------------------------------------------------------ names
    def core(self, name: str) -> tuple[str, ...]:
        """The words that tell a subset or a parallel, without those that a title may leave out."""
        found = [stem(word) for word in name_words(name)]
        kept = [one for one in found if one not in OPTIONAL and one not in self.line]
        return tuple(dict.fromkeys(kept or [one for one in found if one not in {"set", "card"}] or found))

    def _subsets(self, names: Iterable[str]) -> None:
        initials: dict[str, set[str]] = {}
        for name in names:
            words = name_words(name)
            whole = [stem(word) for word in words]
            if self.line.issuperset(words):
                continue  # a base set that is called as the line: every title of the release holds its name
            if _GENERAL.issuperset(self.core(name)):  # 'Rookie Autographs': 'Auto RC' is said of any card
                self.exact.add(words, "subset", name)
            else:
                for form in {
                    tuple(whole),
                    self.core(name),
                    tuple(one for one in whole if one not in self.line),
                }:
                    self.phrases.add(form, "subset", name)
            self.stems.update(self.core(name))
            if len(words) > 1:
                initials.setdefault("".join(word[0] for word in words), set()).add(name)
                self.joined["".join(words)] = words
        for short, named in initials.items():
            if len(named) == 1 and (len(short) > 2 or short not in NOISE):
                self.phrases.add((short,), "subset", next(iter(named)))

    def _parallels(self, names: Iterable[str]) -> None:
        for name in names:
            words = name_words(name)
            self.phrases.add([stem(word) for word in words], "parallel", name)
            self.phrases.add(self.core(name), "parallel", name)
            self.ladder.update(self.core(name))
            if len(words) > 1:
                self.joined["".join(words)] = words
        self.stems |= self.ladder

    def _teams(self, cards: Sequence[Card], season: SeasonWords) -> None:
        self.team_words: dict[str, set[str]] = {}
        self.short_team_words: set[str] = set()
        self.team_codes: dict[str, str] = {}
        known = {fold(team.name): team for team in season.teams}
        self.team_names = names = {team for card in cards for team in card.teams} | {
            team.name for team in season.teams
        }
        for name in sorted(names):
            spellings = [name]
            if team := known.get(fold(name)):
                spellings += team.aliases
                if team.code:
                    self.team_codes[team.code.upper()] = name
            for spelling in spellings:
                words = name_words(spelling)
                for place in range(len(words)):
                    if place == 0 or len(words[place:]) > 1 or len(words[place]) > 2:
                        self.exact.add(words[place:], "team", name)
                    if place and (place > 1 or len(words[0]) > 3):
                        self.exact.add(words[:place], "team", name)
                for word in words:
                    if len(word) > 3:
                        self.team_words.setdefault(word, set()).add(name)
                    else:
                        self.short_team_words.add(word)

    def add_team(self, words: Sequence[str], team: str = "") -> None:
        """Know the words of a team; without the checklist's name for it they tell nothing of a card."""
        self.exact.add(words, "team" if team else "line", team or "team")

    # ------------------------------------------------------------ words
    def knows(self, word: str) -> bool:
        """Whether a word belongs to any name of the release."""
        return (
            stem(word) in self.stems
            or word in self.people.vocabulary
            or word in self.team_words
            or word in self.line
            or word.upper() in self.team_codes
        )

    def like(self, word: str) -> str:
        """The word of the release that a damaged, shortened or misspelt one must be; else nothing."""
        if word not in self._likely:
            self._likely[word] = self._abbreviated(word) or self._closest(word)
        return self._likely[word]

    def _abbreviated(self, word: str) -> str:
        """The only word of the subsets' and parallels' names that a shortening can stand for."""
        if len(word) < 3 or is_damaged(word):
            return ""
        begins = [one for one in self.stems if one.startswith(word)]
        if len(begins) == 1 and len(word) * 2 >= len(begins[0]):
            return begins[0]
        if word.isascii() and not re.search("[aeiou]", word):
            thin = [one for one in self.stems if one[0] == word[0] and _is_thinned(word, one)]
            if len(thin) == 1:
                return thin[0]
        return ""

    def _closest(self, word: str) -> str:
        from rapidfuzz.distance import OSA

        words = self.stems | self.people.vocabulary | SIGNED | RELIC | self.line | self.team_words.keys()
        if is_damaged(word):
            pieces = re.split(r"[\ufffd?]+", word)
            if sum(map(len, pieces)) < 3:
                return ""
            pattern = re.compile(r".{0,3}".join(re.escape(piece) for piece in pieces) + r"\Z")
            fits = [one for one in words if pattern.match(one)]
            return fits[0] if len(fits) == 1 else ""
        if len(word) < 5:
            return ""
        near = [one for one in words if abs(len(one) - len(word)) < 2]
        fits = [one for one in near if OSA.distance(one, word, score_cutoff=1) <= 1 and one[0] == word[0]]
        return fits[0] if len(fits) == 1 else ""


def _is_thinned(short: str, long: str) -> bool:
    letters = iter(long)
    return all(mark in letters for mark in short)


def _misread(words: Iterable[str]) -> dict[str, str]:
    """Words with other than plain letters, by what they look like where UTF-8 is read as a Western encoding.

    Bytes that stand for nothing there are lost, so that the words could not be read back.
    """
    found = {}
    for word in words:
        if word.isascii():
            continue
        for form in (word, word.upper(), word.title()):
            raw = form.encode("utf-8")
            lost = raw.decode("cp1252", errors="replace")
            plain = "".join(mark for mark in lost if mark != "\ufffd")
            for seen in (lost, plain, lost.replace("\ufffd", "?"), raw.decode("latin-1")):
                found[seen.rstrip("\xa0")] = form
    return found
