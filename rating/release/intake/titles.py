"""Free-text titles of listings matched to a subset, a parallel and a card.

A title is taken apart once: print run, slab, number, people, teams; what is left are words. Every version (a
subset with a parallel, or its base version) is scored by how much of its own name is there and how many words
it leaves unexplained; every card by people, number, run and team. The best one counts if the next is far
enough behind. The weights are in one place below and were set by hand, not fitted to a list.
"""

from __future__ import annotations

import html
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from rating.release.checklist import Card, Parallel, plain_number
from rating.release.intake.grid import mended
from rating.release.intake.title_words import FINISHES, NOISE, OPTIONAL, RELIC, SAME, SIGNED
from rating.release.intake.values import ReleaseWords, SeasonWords
from rating.release.intake.words import fold

# what a title can say for or against a card, in points
PERSON, PERSON_BY_INITIAL, PERSON_BY_LAST_NAME = 8.0, 6.0, 4.0
MISSING_PERSON, OTHER_PERSON = -5.0, -6.0
NUMBER, NUMBER_DIGITS, LOOSE_NUMBER, OTHER_NUMBER = 6.0, 3.0, 2.5, -7.0
RUN, OTHER_RUN = 4.0, -6.0
SUBSET, NO_SUBSET = 5.0, -4.0
PARALLEL, NO_PARALLEL, NO_PARALLEL_BUT_RUN = 5.0, -5.0, -1.0
UNEXPLAINED = -3.0
KIND, OTHER_KIND, SILENT_KIND = 1.0, -5.0, -1.5
TEAM, OTHER_TEAM = 1.0, -1.0
ROOKIE, NO_ROOKIE = 0.3, -0.3
SURE, LIKELY, ENOUGH = 3.0, 1.5, 4.0

_TOKEN = re.compile(r"[a-z0-9\ufffd?]+")
_SPAN_OF_YEARS = re.compile(
    r"\b(?:19|20)\d\d\s*[-/]\s*(?:(?:19|20)?\d\d)\b|(?<!\d)'?\d\d\s?-\s?\d\d\b(?=\s+[A-Z])"
)
_YEAR = re.compile(r"(?<![\d/#-])((?:19|20)\d\d)(?![\d/])")
_SERIAL = re.compile(
    r"(?:#|no\.?\s?|serial\s*|numbered\s*"
    r"|ser\.?\s*#?)?'?d?\s*(?<![\d.])(?P<copy>\d{1,5})\s*(?:/|\bof\b"
    r"|\bout of\b)\s*#?(?P<run>\d{1,5})(?![\d/])",
    re.IGNORECASE,
)
_RUN_ONLY = re.compile(
    r"(?:#['’]?\s?d?|numbered|serial(?:ly)?[\s-]*(?:numbered)?|limited|ltd|print run|pr"
    r"|out of|no['’]?d|num['’]?d|(?:ser|s)/n)\s*(?:to|of"
    r"|out of)?\s*:?\s*[#/]+\s*(\d{1,5})\b"
    r"|(?:#['’]\s?d|numbered|serial numbered|limited|print run|out of|num['’]d|#d)\s*(?:to"
    r"|of|out of|:)?\s*(\d{1,5})\b|(?<![\w/])/\s?(\d{1,5})\b",
    re.IGNORECASE,
)
_ONE_OF_ONE = re.compile(
    r"\b1\s*(?:/|of|-of-)\s*1\b|\bone[\s-]of[\s-](?:one|a[\s-]kind)\b|\b1of1\b", re.IGNORECASE
)
_SLAB = re.compile(
    r"\b(?:slab(?:bed)?|graded|encapsulated|gem\s*(?:mint|mt)?|mint|pristine|grade"
    r"|black label|authenticated)\s*[-:]?\s*(?:gem\s*)?(?:mint\s*|mt\s*)?"
    r"(?P<grade>10|[1-9](?:\.5)?)(?![\d/.])|\b(?:slab(?:bed)?|graded|encapsulated|gem\s+(?:mint|mt))\b",
    re.IGNORECASE,
)
_GRADER = re.compile(
    r"(?<![\w#/-])([A-Z]{2,4})[\s-]?(10|[5-9](?:\.5)?)\b(?![/\d.])(?:\s*(?:gem|mint|mt|nm|pristine))?",
    re.IGNORECASE,
)
_RAW = re.compile(
    r"\b(?:ungraded|un-graded|raw|not graded|no grade|grade(?:able)?[\s-]*ready"
    r"|ready to (?:be )?grade|(?:slab|grading)[\s-]*ready)\b",
    re.IGNORECASE,
)
_EXPLICIT = re.compile(
    r"(?:#\s*|\b(?:card|no|nr|number|n°"
    r"|num)\b\.?\s*#?\s*)(?P<n>[A-Za-z]{0,6}[\s-]?\d{1,4}[A-Za-z]?"
    r"|[A-Za-z]{1,5}-[A-Za-z]{1,5})(?![\w/])",
    re.IGNORECASE,
)


class Version(NamedTuple):
    """A subset with a parallel; a blank one is the base version."""

    subset: str
    parallel: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """What a title is: the card where one is certain enough, how certain, and what else it could be."""

    subset: str = ""
    parallel: str = ""
    number: str = ""
    match: str = ""  # sure, likely, hand or blank
    why: str = ""
    guesses: tuple[tuple[str, str, str], ...] = ()
    has_subject: bool = False
    is_slabbed: bool = False


@dataclass(slots=True)
class _Title:
    """A title taken apart."""

    words: list[str] = field(default_factory=list)
    run: int | None = None
    numbers: set[str] = field(default_factory=set)
    loose: set[str] = field(default_factory=set)
    people: dict[int, float] = field(default_factory=dict)
    rivals: list[int] = field(default_factory=list)
    is_fuzzy: bool = False
    stems: frozenset[str] = frozenset()
    hinted: frozenset[str] = frozenset()
    teams: set[str] = field(default_factory=set)
    is_rookie: bool = False
    unknown: list[str] = field(default_factory=list)
    is_slabbed: bool = False


class _CardWords(NamedTuple):
    card: Card
    people: tuple[int, ...]
    number: str
    digits: str
    teams: frozenset[str]


def stem(word: str) -> str:
    """A word as titles' words are compared: one spelling for abbreviations, no plural."""
    if word in SAME:
        return SAME[word]
    if len(word) > 3 and word[-1] == "s" and word[-2] != "s":
        single = word[:-1]
        return SAME.get(single, single)
    return word


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name, without accents and apostrophes, parted at hyphens."""
    return tuple(_TOKEN.findall(fold(name).replace("'", "")))


class Matcher:
    """Matches titles to the cards of one checklist."""

    def __init__(
        self,
        cards: Sequence[Card],
        parallels: Sequence[Parallel],
        *,
        season: SeasonWords | None = None,
        release: ReleaseWords | None = None,
        titles: Iterable[str] = (),
    ) -> None:
        season, release = season or SeasonWords(), release or ReleaseWords()
        self._people(cards)
        self.product = _product_words(release)
        self._runs: dict[Version, set[int | None]] = {}
        self._versions(cards, parallels)
        self._teams(cards, season)
        self._learn(titles)
        self._cards: list[_CardWords] = []
        self._by_person: dict[int, list[int]] = {}
        self._by_number: dict[str, list[int]] = {}
        for card in cards:
            self._add(card)
        self.prefixes = {m[1] for one in self._cards if (m := re.match(r"([A-Z]+)\d", one.number))}
        self._version_scores: dict[tuple[frozenset[str], frozenset[str]], dict[Version, float]] = {}
        self._known: dict[str, Match] = {}
        self._fuzzy_names: dict[str, str] = {}
        self._fuzzy_words: dict[str, str] = {}

    # ------------------------------------------------------------ what is known
    def _people(self, cards: Sequence[Card]) -> None:
        self.names: list[str] = list(dict.fromkeys(name for card in cards for name in card.subjects))
        self._name_id = {name: place for place, name in enumerate(self.names)}
        self._forward: dict[str, list[tuple[tuple[str, ...], int]]] = {}
        self._backward: dict[str, list[tuple[tuple[str, ...], int]]] = {}
        self._last: dict[str, list[tuple[tuple[str, ...], int]]] = {}
        self._joined: dict[str, tuple[str, ...]] = {}
        self._name_vocabulary: set[str] = set()
        for place, name in enumerate(self.names):
            parts = [name_words(part) for part in name.split()]
            parts = [part for part in parts if part and part[0] not in {"jr", "sr", "ii", "iii", "iv"}]
            if not parts:
                continue
            flat = tuple(word for part in parts for word in part)
            self._forward.setdefault(flat[0], []).append((flat, place))
            self._name_vocabulary.update(flat)
            if len(parts) > 1:
                last = tuple(word for part in parts[1:] for word in part)
                turned = (*last, *parts[0])
                self._backward.setdefault(turned[0], []).append((turned, place))
                self._last.setdefault(last[0], []).append((last, place))
                if len(parts) > 2:  # a middle name is often left out
                    short = (*parts[0], *parts[-1])
                    self._forward.setdefault(short[0], []).append((short, place))
                    self._last.setdefault(parts[-1][0], []).append((parts[-1], place))
            for part in parts:
                if len(part) > 1:
                    self._joined["".join(part)] = part
        for table in (self._forward, self._backward, self._last):
            for found in table.values():
                found.sort(key=lambda item: -len(item[0]))

    def _versions(self, cards: Sequence[Card], parallels: Sequence[Parallel]) -> None:
        self._kind: dict[str, tuple[bool, bool, bool]] = {}
        for card in cards:
            version = Version(card.subset, "")
            self._runs.setdefault(version, set()).add(card.print_run)
            self._kind.setdefault(
                card.subset,
                (card.has_signature, "relic" in card.kind, card.kind == "base" and not card.variation),
            )
        for one in parallels:
            if one.subset in self._kind:
                self._runs.setdefault(Version(one.subset, one.parallel), set()).add(one.print_run)
        self._of_subset: dict[str, list[Version]] = {}
        for version in self._runs:
            self._of_subset.setdefault(version.subset, []).append(version)
        self._subset_stems = {subset: self._stems(subset) for subset in self._kind}
        self._parallel_stems = {
            version: self._stems(version.parallel) for version in self._runs if version.parallel
        }
        uses: Counter[str] = Counter()
        for stems in self._subset_stems.values():
            uses.update(set(stems))
        uses.update({one for stems in self._parallel_stems.values() for one in stems})
        self._weight = {
            one: 0.4 if one in SIGNED | RELIC | {"rookie", "variation"} else 1.0 if number == 1 else 0.6
            for one, number in uses.items()
        }
        self.vocabulary = set(uses)
        self._surfaces = {
            word
            for name in (*self._kind, *(version.parallel for version in self._parallel_stems))
            for word in name_words(name)
        }
        self._initials: dict[str, str] = {}
        self._glued: dict[str, tuple[str, ...]] = {}
        for subset in self._kind:
            raw = [word for word in name_words(subset) if word not in self.product]
            if len(raw) > 1:
                self._initials.setdefault("".join(word[0] for word in raw), subset)
                for width in range(2, len(raw) + 1):
                    for start in range(len(raw) - width + 1):
                        self._glued["".join(raw[start : start + width])] = tuple(raw[start : start + width])
        for version in self._parallel_stems:
            raw = list(name_words(version.parallel))
            if len(raw) > 1:
                self._glued["".join(raw)] = tuple(raw)

    def _stems(self, name: str) -> tuple[str, ...]:
        found = [stem(word) for word in name_words(name)]
        kept = [one for one in found if one not in OPTIONAL and one not in self.product]
        return tuple(dict.fromkeys(kept or [one for one in found if one not in {"base", "set", "card"}]))

    def _teams(self, cards: Sequence[Card], season: SeasonWords) -> None:
        names = {team for card in cards for team in card.teams}
        self._team_words: dict[str, set[str]] = {}
        self._short_team_words: set[str] = set()
        self._team_codes: dict[str, str] = {}
        known = {fold(team.name): team for team in season.teams}
        for name in names:
            spellings = [name]
            if team := known.get(fold(name)):
                spellings += team.aliases
                if team.code:
                    self._team_codes[team.code] = name
            for spelling in spellings:
                words = name_words(spelling)
                if words:
                    self._team_words.setdefault(words[-1], set()).add(name)
                for word in words[:-1]:
                    if len(word) > 3:
                        self._team_words.setdefault(word, set()).add(name)
                    else:
                        self._short_team_words.add(word)

    def _learn(self, titles: Iterable[str]) -> None:
        """Words that stand in most titles, or with very many different people, are the list's own noise."""
        self.noise: set[str] = set()
        counts: Counter[str] = Counter()
        total = 0
        for title in titles:
            total += 1
            counts.update({word for word in _TOKEN.findall(fold(title)) if not word.isdigit()})
        if total >= 20:
            self.noise = {
                word
                for word, number in counts.items()
                if number * 100 >= total * 3 and word not in FINISHES and stem(word) not in self.vocabulary
            }
            if not self.product:
                self.product = {
                    word
                    for word, number in counts.items()
                    if number * 10 >= total * 6
                    and stem(word) not in self.vocabulary
                    and word not in self._name_vocabulary
                }

    def _add(self, card: Card) -> None:
        number = plain_number(card.number)
        place = len(self._cards)
        people = tuple(self._name_id[name] for name in card.subjects)
        self._cards.append(_CardWords(card, people, number, re.sub(r"\D", "", number), frozenset(card.teams)))
        for person in people:
            self._by_person.setdefault(person, []).append(place)
        self._by_number.setdefault(number, []).append(place)

    # ------------------------------------------------------------ a title taken apart
    def _read(self, raw: str) -> _Title:
        title = _Title()
        line = html.unescape(mended(raw)) if "&" in raw or not raw.isascii() else raw
        line = _SPAN_OF_YEARS.sub(" ", line)
        line = self._slab(line, title)
        line = self._serial(line, title)
        line = self._explicit(line, title)
        tokens = _TOKEN.findall(fold(line).replace("'", ""))
        tokens = [word.strip("?") if word.endswith("?") or word == "?" else word for word in tokens]
        tokens = self._expanded([word for word in tokens if word])
        rest = self._take_people(tokens, title)
        self._take_words(rest, title, raw)
        return title

    def _slab(self, line: str, title: _Title) -> str:
        bare = _RAW.sub(" ", line)
        if bare == line and (found := _SLAB.search(bare)):
            is_grade = found["grade"] is not None
            word = found[0].lower()
            if is_grade or word.startswith(("slab", "graded", "encaps", "gem")):
                title.is_slabbed = is_grade or not word.startswith("gem")
                bare = f"{bare[: found.start()]} {bare[found.end() :]}"
        for found in _GRADER.finditer(bare):
            if not self._is_own(found[1].upper(), found[2]):
                title.is_slabbed = True
                return f"{bare[: found.start()]} {bare[found.end() :]}"
        return bare

    def _is_own(self, letters: str, grade: str) -> bool:
        """Whether letters before a small number belong to this release rather than to a grader."""
        return (
            letters in self.prefixes
            or letters in self._team_codes
            or plain_number(letters + grade) in self._by_number
            or letters in {"NO", "RC", "SP", "SSP", "LOT", "OF", "THE", "NR", "CARD", "PR", "SN", "AUTO"}
            or fold(letters) in self._name_vocabulary
            or fold(letters) in NOISE
            or fold(letters) in self._team_words
            or fold(letters) in self.noise
            or fold(letters) in self.product
            or stem(fold(letters)) in self.vocabulary
        )

    def _serial(self, line: str, title: _Title) -> str:
        if found := _ONE_OF_ONE.search(line):
            title.run = 1
            return f"{line[: found.start()]} {line[found.end() :]}".replace("#", " # ")
        for found in _SERIAL.finditer(line):
            copy, run = int(found["copy"]), int(found["run"])
            if 0 < copy <= run:
                title.run = run
                return f"{line[: found.start()]} {line[found.end() :]}"
        for found in _RUN_ONLY.finditer(line):
            if plain_number(found[0]) in self._by_number and "/" not in found[0]:
                continue  # '#D8' is a card where the checklist has a D-8
            digits = next(value for value in found.groups() if value)
            title.run = int(digits) or None
            return f"{line[: found.start()]} {line[found.end() :]}"
        return line

    def _explicit(self, line: str, title: _Title) -> str:
        place = 0
        while found := _EXPLICIT.search(line, place):
            number = plain_number(found["n"])
            is_known = number in self._by_number
            if not is_known and (_YEAR.search(found["n"]) or (found[0][0] != "#" and not number.isdigit())):
                place = found.end()
                continue
            title.numbers.add(number)
            line = f"{line[: found.start()]} {line[found.end() :]}"
            place = found.start()
        for prefix in sorted(self.prefixes, key=len, reverse=True):
            if found := re.search(
                rf"(?<![A-Za-z0-9]){prefix}\s?[-–#]?\s?(\d{{1,4}})(?![\w/])", line, re.IGNORECASE
            ):
                number = plain_number(prefix + found[1])
                if number in self._by_number:
                    title.numbers.add(number)
                    line = f"{line[: found.start()]} {line[found.end() :]}"
        for found in re.finditer(r"(?<![\w-])[A-Za-z]{1,5}-[A-Za-z]{1,5}(?![\w-])", line):
            number = plain_number(found[0])
            if number in self._by_number and "-" in found[0]:
                title.numbers.add(number)
                line = line.replace(found[0], " ", 1)
        return line

    def _expanded(self, tokens: list[str]) -> list[str]:
        """Tokens with run-together names parted and parted ones joined."""
        found: list[str] = []
        place = 0
        while place < len(tokens):
            word = tokens[place]
            following = tokens[place + 1] if place + 1 < len(tokens) else ""
            if word in self._joined and word not in self._name_vocabulary:
                found += self._joined[word]
            elif word in self._glued and word not in self.vocabulary and word not in self._name_vocabulary:
                found += self._glued[word]
            elif len(word) < 4 and following and word + following in self._name_vocabulary:
                found.append(word + following)
                place += 1
            else:
                found.append(word)
            place += 1
        return found

    def _take_people(self, tokens: list[str], title: _Title) -> list[str | None]:
        """Find the people; the tokens that named them are taken out."""
        rest: list[str | None] = list(tokens)
        self._sequences(tokens, rest, title, self._forward)
        self._sequences(tokens, rest, title, self._backward)
        is_damaged = any(word and ("\ufffd" in word or "?" in word) for word in rest)
        if not title.people or is_damaged:
            mended_tokens = [self._name_like(word) for word in tokens]
            if mended_tokens != tokens:
                self._sequences(mended_tokens, rest, title, self._forward)
                self._sequences(mended_tokens, rest, title, self._backward)
                title.is_fuzzy = bool(title.people)
        if not title.people:
            self._by_last_name(tokens, rest, title)
        return rest

    def _sequences(
        self,
        tokens: list[str],
        rest: list[str | None],
        title: _Title,
        table: dict[str, list[tuple[tuple[str, ...], int]]],
    ) -> None:
        for place, word in enumerate(tokens):
            if word not in table:
                continue
            for sequence, person in table[word]:
                end = place + len(sequence)
                if tuple(tokens[place:end]) == sequence and all(
                    rest[at] is not None for at in range(place, end)
                ):
                    title.people[person] = PERSON
                    for other, twin in table[word]:
                        if other == sequence and twin != person:
                            title.people[twin] = PERSON
                            title.rivals.append(twin)
                    rest[place:end] = [None] * len(sequence)
                    break

    def _by_last_name(self, tokens: list[str], rest: list[str | None], title: _Title) -> None:
        for attempt in (tokens, [self._name_like(word) for word in tokens]):
            for place, word in enumerate(attempt):
                if stem(word) in self.vocabulary:
                    continue
                hits = [
                    (sequence, person)
                    for sequence, person in self._last.get(word, ())
                    if tuple(attempt[place : place + len(sequence)]) == sequence
                ]
                if not hits:
                    continue
                longest = len(hits[0][0])
                people = [person for sequence, person in hits if len(sequence) == longest]
                start = place
                initial = attempt[place - 1] if place else ""
                if len(initial) == 1:
                    fits = [one for one in people if fold(self.names[one]).startswith(initial)]
                    if fits:
                        people, start = fits, place - 1
                elif len(people) > 1:
                    near = self._by_first_name(people, attempt, place, place + longest)
                    people = people if near is None else [near]
                worth = PERSON_BY_INITIAL if start < place else PERSON_BY_LAST_NAME
                for person in people:
                    title.people[person] = worth
                title.rivals += people[1:]
                rest[start : place + longest] = [None] * (place + longest - start)
                if attempt is not tokens:
                    title.is_fuzzy = True
                return

    def _by_first_name(
        self, people: Sequence[int], tokens: Sequence[str], start: int, end: int
    ) -> int | None:
        """The one of several people of a last name whose forename stands beside it, a slip away."""
        from rapidfuzz.distance import OSA

        for word in (*tokens[start - 1 : start], *tokens[end : end + 1]):
            if len(word) < 3:
                continue
            fits = [one for one in people if OSA.distance(fold(self.names[one].split()[0]), word) <= 1]
            if len(fits) == 1:
                return fits[0]
        return None

    def _name_like(self, word: str) -> str:
        """The name's word that a damaged or misspelt word must be; the word itself where none is close."""
        if len(word) < 4 or word in self._name_vocabulary or word.isdigit() or stem(word) in self.vocabulary:
            return word
        if word not in self._fuzzy_names:
            self._fuzzy_names[word] = _closest(word, self._name_vocabulary) or word
        return self._fuzzy_names[word]

    def _take_words(self, rest: list[str | None], title: _Title, raw: str) -> None:
        stems: set[str] = set()
        hinted: set[str] = set()
        shouted = raw.isupper()
        for word in rest:
            if word is None or word in self.product:
                continue
            one = stem(word)
            if one == "rookie":
                title.is_rookie = True
            is_team = word in self._team_words
            if (
                one in self.vocabulary and not (is_team and word not in self._surfaces)
            ) or one in SIGNED | RELIC:
                stems.add(one)
            elif is_team:
                title.teams |= self._team_words[word]
            elif word.isdigit():
                if word.startswith("0") or plain_number(word) in self._by_number:
                    title.loose.add(plain_number(word))
            elif word.upper() in self._team_codes and (shouted or word.upper() in raw):
                title.teams.add(self._team_codes[word.upper()])
            elif word in self._initials and not (len(word) < 3 and word in NOISE):
                hinted.add(self._initials[word])
            elif self._says_nothing(word):
                if one == "variation":
                    stems.add(one)
            elif close := self._word_like(word):
                stems.add(close)
            else:
                title.unknown.append(word)
        title.stems, title.hinted = frozenset(stems), frozenset(hinted)

    def _says_nothing(self, word: str) -> bool:
        return (
            word in NOISE
            or word in self.noise
            or word in self._short_team_words
            or len(word) < 3
            or any(mark.isdigit() or mark in "\ufffd?" for mark in word)
        )

    def _word_like(self, word: str) -> str:
        if word not in self._fuzzy_words:
            self._fuzzy_words[word] = self._abbreviated(word) or _closest(
                word, self.vocabulary | SIGNED | RELIC
            )
        return self._fuzzy_words[word]

    def _abbreviated(self, word: str) -> str:
        """The only word of the checklist's names that a shortening can stand for."""
        begins = [one for one in self.vocabulary if one.startswith(word)]
        if len(begins) == 1:
            return begins[0]
        if not re.search("[aeiou]", word):
            thin = [one for one in self.vocabulary if one[0] == word[0] and _is_thinned(word, one)]
            if len(thin) == 1:
                return thin[0]
        return ""

    # ------------------------------------------------------------ scores
    def match(self, raw: str) -> Match:
        """The card that a title names, with how certain that is."""
        if raw not in self._known:
            self._known[raw] = self._matched(raw)
        return self._known[raw]

    def _matched(self, raw: str) -> Match:
        title = self._read(raw)
        places = self._candidates(title)
        if not places:
            return Match(
                why="no name and no number of the checklist is in the title",
                has_subject=False,
                is_slabbed=title.is_slabbed,
            )
        versions = self._score_versions(title)
        scored: list[tuple[float, int, Version, bool]] = []
        for place in places:
            one = self._cards[place]
            of_card, number_clash = self._score_card(one, title)
            for version in self._of_subset[one.card.subset]:
                score, run_clash = self._score_run(one, version, title, versions[version])
                scored.append((of_card + score, place, version, number_clash or run_clash))
        scored.sort(key=lambda item: -item[0])
        return self._decided(scored, title)

    def _candidates(self, title: _Title) -> list[int]:
        places = dict.fromkeys(place for person in title.people for place in self._by_person.get(person, ()))
        if not places:
            for number in title.numbers:
                places.update(dict.fromkeys(self._by_number.get(number, ())))
        return list(places)

    def _score_card(self, one: _CardWords, title: _Title) -> tuple[float, bool]:
        score = 0.0
        if title.people:
            there = [title.people[person] for person in one.people if person in title.people]
            score += sum(there) / len(one.people)
            score += MISSING_PERSON * (len(one.people) - len(there))
            others = [p for p in title.people if p not in one.people and p not in title.rivals]
            if len(one.people) > 1 or not title.rivals:
                score += OTHER_PERSON * len(others)
        clash = False
        if title.numbers:
            worth = max(self._number_worth(one, number) for number in title.numbers)
            clash = worth < 0
            score += worth
        elif title.loose and one.number in title.loose:
            score += LOOSE_NUMBER
        if title.teams:
            score += TEAM if title.teams & one.teams else OTHER_TEAM
        if title.is_rookie:
            score += ROOKIE if one.card.rookie else NO_ROOKIE
        return score, clash

    def _number_worth(self, one: _CardWords, number: str) -> float:
        if number == one.number:
            return NUMBER
        if number.isdigit() and one.digits == number and one.digits != one.number:
            return NUMBER_DIGITS
        return OTHER_NUMBER

    def _score_versions(self, title: _Title) -> dict[Version, float]:
        key = (title.stems, title.hinted)
        if key not in self._version_scores:
            self._version_scores[key] = {
                version: self._score_version(version, title.stems, title.hinted) for version in self._runs
            }
        return self._version_scores[key]

    def _score_version(self, version: Version, stems: frozenset[str], hinted: frozenset[str]) -> float:
        subset, parallel = version
        is_signed, has_relic, is_plain = self._kind[subset]
        explained: set[str] = set()
        score = 0.0
        wanted = () if is_plain else self._subset_stems[subset]
        cover = self._cover(wanted, stems, explained)
        if subset in hinted:
            cover = max(cover, 0.7)
        if wanted:
            score += SUBSET * cover + NO_SUBSET * (1 - cover)
        if is_plain:
            self._cover(self._subset_stems[subset], stems, explained)
        says_signed, says_relic = stems & SIGNED, stems & RELIC
        if parallel:
            ladder = self._cover(self._parallel_stems[version], stems, explained)
            score += PARALLEL * ladder + NO_PARALLEL * (1 - ladder)
        if says_signed - explained:
            score += KIND if is_signed else OTHER_KIND
            if is_signed:
                explained |= says_signed
        elif is_signed and not says_signed and cover < 0.5:
            score += SILENT_KIND
        if says_relic - explained:
            score += KIND if has_relic else OTHER_KIND
            if has_relic:
                explained |= says_relic - self._ladder_words(subset)
        elif has_relic and not says_relic and cover < 0.5:
            score += SILENT_KIND
        for one in stems - explained:
            if one in self.vocabulary and one != "rookie":
                score += UNEXPLAINED * self._weight.get(one, 1.0)
        return score

    def _ladder_words(self, subset: str) -> set[str]:
        return {
            one
            for version in self._of_subset[subset]
            if version.parallel
            for one in self._parallel_stems[version]
        }

    def _cover(self, wanted: Sequence[str], stems: frozenset[str], explained: set[str]) -> float:
        """The share of a name's words that a title holds, by weight; those words are explained."""
        if not wanted:
            return 1.0
        total = there = 0.0
        for one in wanted:
            weight = self._weight.get(one, 1.0)
            total += weight
            same = {one}
            if one in {"auto", "signature"}:
                same = {"auto", "signature", "autograph"}
            elif one == "relic":
                same = {"relic", "jersey", "swatch", "material"}
            if held := same & stems:
                there += weight
                explained |= held
        return there / total

    def _score_run(
        self, one: _CardWords, version: Version, title: _Title, score: float
    ) -> tuple[float, bool]:
        if title.run is None:
            return score, False
        runs = self._runs[version]
        run = one.card.print_run if not version.parallel else next(iter(runs))
        if run == title.run or (version.parallel and title.run in runs):
            if version.parallel and not set(self._parallel_stems[version]) & title.stems:
                score += NO_PARALLEL_BUT_RUN - NO_PARALLEL
            return score + RUN, False
        return score + OTHER_RUN, True

    def _decided(self, scored: list[tuple[float, int, Version, bool]], title: _Title) -> Match:
        best, place, version, clash = scored[0]
        one = self._cards[place].card
        second = next(
            (
                score
                for score, other, kind, _ in scored[1:]
                if (kind, self._cards[other].card.number) != (version, one.number)
            ),
            float("-inf"),
        )
        margin = best - second
        guesses = tuple(
            dict.fromkeys(
                (kind.subset, kind.parallel, self._cards[other].card.number)
                for _, other, kind, _ in scored[:3]
            )
        )
        doubt = self._doubt(best, margin, clash=clash, version=version, title=title)
        if doubt:
            return Match(
                why=doubt, guesses=guesses, has_subject=bool(title.people), is_slabbed=title.is_slabbed
            )
        is_sure = margin >= SURE and not title.is_fuzzy and not title.unknown and not clash
        is_sure = is_sure and (not title.people or max(title.people.values()) >= PERSON)
        return Match(
            subset=version.subset,
            parallel=version.parallel,
            number=one.number,
            match="sure" if is_sure else "likely",
            guesses=guesses,
            has_subject=bool(title.people),
            is_slabbed=title.is_slabbed,
        )

    def _doubt(self, best: float, margin: float, *, clash: bool, version: Version, title: _Title) -> str:
        """Why a title is not certain enough, in words; nothing where it is."""
        if clash and title.run is not None and not self._has_run(title):
            return f"no version of this card is numbered to {title.run}"
        if clash:
            return "number, print run and words contradict each other"
        if margin < LIKELY:
            return "it could be more than one card"
        if best < ENOUGH:
            return "too little in the title fits"
        foreign = [word for word in title.unknown if word in FINISHES]
        if foreign and not version.parallel:
            return f"{foreign[0]!r} is no parallel on the checklist"
        return ""

    def _has_run(self, title: _Title) -> bool:
        return any(
            title.run in self._runs[version]
            for person in title.people
            for place in self._by_person.get(person, ())
            for version in self._of_subset[self._cards[place].card.subset]
        )

    # ------------------------------------------------------------ for those who set rows aside
    def speaks_of_product(self, raw: str) -> bool:
        """Whether a title has a word of the product's own name."""
        return not self.product or bool(self.product & set(_TOKEN.findall(fold(raw))))

    def unknown_words(self, raw: str) -> list[str]:
        """The words of a title that neither the checklist nor the trade's usual noise explains."""
        return self._read(raw).unknown


def _product_words(release: ReleaseWords) -> set[str]:
    found = set()
    for name in (release.title, release.maker, release.line):
        found |= {word for word in name_words(name) if not word.isdigit()}
    return found - {"the", "of", "and"}


def _is_thinned(short: str, long: str) -> bool:
    letters = iter(long)
    return all(mark in letters for mark in short)


def _closest(word: str, vocabulary: Iterable[str]) -> str:
    """The one word of a vocabulary that a damaged or misspelt word stands for, or nothing."""
    from rapidfuzz import fuzz, process
    from rapidfuzz.distance import OSA

    if "\ufffd" in word or "?" in word:
        pattern = re.compile(
            r".{0,2}".join(re.escape(piece) for piece in re.split(r"[\ufffd?]+", word)) + r"\Z"
        )
        fits = [one for one in vocabulary if pattern.match(one)]
        if len(fits) == 1:
            return fits[0]
        word = re.sub(r"[\ufffd?]+", "", word)
    if len(word) < 4:
        return ""
    hits = process.extract(word, list(vocabulary), scorer=fuzz.ratio, score_cutoff=80, limit=2)
    if not hits:  # two letters that changed places weigh more in a short word
        slips = [one for one in vocabulary if len(one) > 3 and OSA.distance(one, word, score_cutoff=1) <= 1]
        return slips[0] if len(slips) == 1 else ""
    if len(hits) > 1 and hits[0][1] == hits[1][1]:
        return ""
    return str(hits[0][0])


def years_in(title: str) -> set[int]:
    """The years that a title names; both of a season such as 2031-32."""
    spans = {
        int(found[0][:4]) + step
        for found in _SPAN_OF_YEARS.finditer(title)
        if found[0][:4].isdigit()
        for step in (0, 1)
    }
    return spans | {int(found[1]) for found in _YEAR.finditer(_SPAN_OF_YEARS.sub(" ", title))}
