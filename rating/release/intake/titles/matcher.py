"""Free-text titles of listings matched to a subset, a parallel and a card, by ruling out.

A title is taken apart once. Each thing that it says (who, which number, which print run, which team, which
words of subsets, parallels and kinds) rules out the versions that it does not fit; a version is a card's
subset with a parallel or its base version. A match is a version that alone is left. What is left open is not
guessed: a title that leaves two versions, or none, is doubtful.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from rating.release.checklist import Card, Parallel, plain_number
from rating.release.intake.titles import teams
from rating.release.intake.titles.marks import years_in
from rating.release.intake.titles.people import Named
from rating.release.intake.titles.reading import Title, TitleReader
from rating.release.intake.titles.tokens import FINISHES, NOISE, RELIC, SIGNED, name_words, stem
from rating.release.intake.titles.vocabulary import Vocabulary
from rating.release.intake.values import ReleaseWords, SeasonWords

# so many titles must name their subset, none leave it out, before one without a subset is of the base set
_NAMED_ENOUGH = 60
# from so many titles on, a list itself tells what its release is called
_LIST = 20


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


class _Version(NamedTuple):
    """A subset with a parallel; a blank one is the base version."""

    subset: str
    parallel: str
    runs: frozenset[int | None]
    stems: frozenset[str]


class _Subset(NamedTuple):
    name: str
    stems: frozenset[str]
    is_signed: bool
    has_relic: bool
    is_plain: bool
    ladder: frozenset[str]
    versions: tuple[_Version, ...]


class _Fit(NamedTuple):
    """A card in a version that a title could be."""

    place: int
    version: _Version
    covered: int

    @property
    def key(self) -> tuple[int, str]:
        return self.place, self.version.parallel


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
        slots: Iterable[str] = (),
    ) -> None:
        self.known = Vocabulary(cards, parallels, season or SeasonWords(), release or ReleaseWords())
        self.reader = TitleReader(self.known)
        self._cards = cards
        self._numbers = [plain_number(card.number) for card in cards]
        self._by_person: dict[str, list[int]] = {}
        self._by_number: dict[str, list[int]] = {}
        for place, card in enumerate(cards):
            for name in card.subjects:
                self._by_person.setdefault(name, []).append(place)
            self._by_number.setdefault(self._numbers[place], []).append(place)
        self._subsets = self._with_ladders(cards, parallels)
        self._read: dict[str, Title] = {}
        self._known: dict[str, Match] = {}
        titles = list(dict.fromkeys(titles))
        self._is_told = bool(self.known.line) or len(titles) >= _LIST
        if not self.known.line:
            self.known.line = self._line_of(titles)
        self._hear_slots(slots)
        self._learn_teams(titles)
        self._names_subsets = False
        self._names_subsets = self._learn(titles)

    @property
    def vocabulary(self) -> set[str]:
        """The words of subsets' and parallels' names."""
        return self.known.stems

    def _with_ladders(self, cards: Sequence[Card], parallels: Sequence[Parallel]) -> dict[str, _Subset]:
        ladders: dict[str, dict[str, set[int | None]]] = {card.subset: {} for card in cards}
        for one in parallels:
            if one.parallel and one.subset in ladders:
                ladders[one.subset].setdefault(one.parallel, set()).add(one.print_run)
        runs: dict[str, set[int | None]] = {}
        first: dict[str, Card] = {}
        for card in cards:
            runs.setdefault(card.subset, set()).add(card.print_run)
            first.setdefault(card.subset, card)
        found = {}
        for name, card in first.items():
            rungs = [
                _Version(name, parallel, frozenset(told), frozenset(self.known.core(parallel)))
                for parallel, told in ladders[name].items()
            ]
            base = _Version(name, "", frozenset(runs[name]), frozenset())
            found[name] = _Subset(
                name,
                frozenset(self.known.core(name)) | {stem(word) for word in name_words(name)},
                card.has_signature,
                "relic" in card.kind,
                card.kind == "base" and not card.variation,
                frozenset(one for rung in rungs for one in rung.stems),
                (base, *rungs),
            )
        return found

    def _line_of(self, titles: Sequence[str]) -> set[str]:
        """The words that most titles of a list hold and no checklist explains: the name of its release."""
        counts = Counter(
            word for raw in titles for word in set(name_words(raw)) if not word.isdigit() and word.isalpha()
        )
        return {
            word
            for word, number in counts.items()
            if number * 10 >= len(titles) * 6 and not self.known.knows(word) and word not in NOISE
        }

    def _hear_slots(self, slots: Iterable[str]) -> None:
        """Know the teams that slots of breaks name, by their whole names and their last words."""
        for name, team in teams.of_slots(slots, self._cards).items():
            words = name_words(name)
            for place in range(len(words)):
                if len(words[place:]) > 1 or len(words[place]) > 2:
                    self.known.add_team(words[place:], team)

    def _learn_teams(self, titles: Iterable[str]) -> None:
        """Learn the teams that titles name and neither the checklist nor the season does."""
        said = []
        for raw in titles:
            title = self._parsed(raw)
            words = teams.unexplained(title.words, title.unknown) if title.unknown and title.named else ()
            if not words:
                continue
            who = {self._whose(self._cards[fit.place]) for fit in self._fits(title)}
            if len(who) == 1 and (one := who.pop()):
                tells = title.subsets or title.parallels or title.numbers or title.stems
                said.append(teams.Said(one, words, bool(tells), bool(title.parallels)))
        found = teams.learned(said)
        for words in found:
            self.known.add_team(words)
        if found:
            self._read = {raw: title for raw, title in self._read.items() if not title.unknown}

    def _whose(self, card: Card) -> str:
        """A card's team, else its people; nothing where they are of two teams."""
        known = {team for team in card.teams if team}
        return " / ".join(known or card.subjects) if len(known) < 2 else ""

    def _learn(self, titles: Iterable[str]) -> bool:
        """Whether the list names the subset of every card outside the base set."""
        named = 0
        for raw in titles:
            title = self._parsed(raw)
            subsets = {self._cards[fit.place].subset for fit in self._fits(title)}
            if len(subsets) != 1:
                continue
            one = self._subsets[next(iter(subsets))]
            if one.is_plain:
                continue
            if not (title.stems & (one.stems - SIGNED - RELIC)) and not title.subsets:
                return False
            named += 1
        return named >= _NAMED_ENOUGH

    # ------------------------------------------------------------ a title
    def match(self, raw: str) -> Match:
        """The card that a title names, with how certain that is."""
        if raw not in self._known:
            self._known[raw] = self._matched(self._parsed(raw))
        return self._known[raw]

    def _parsed(self, raw: str) -> Title:
        if raw not in self._read:
            title = self.reader.read(raw)
            if title.unknown and (instead := self.reader.repaired(title)):
                again = self.reader.read(raw, instead)
                if self.reader.is_sound(again, instead):
                    title = again
            self._read[raw] = title
        return self._read[raw]

    def _matched(self, title: Title) -> Match:
        fits = self._preferred(self._fits(title), title)
        match = Match(has_subject=bool(title.named), is_slabbed=title.is_slabbed)
        if len(fits) == 1 and not title.unknown:
            one = fits[0]
            card = self._cards[one.place]
            is_full = bool(title.named) and all(who.is_full for who in title.named)
            is_sure = is_full and self._is_told and not title.is_fuzzy
            guess = (card.subset, one.version.parallel, card.number)
            return replace(
                match,
                subset=card.subset,
                parallel=one.version.parallel,
                number=card.number,
                match="sure" if is_sure else "likely",
                guesses=(guess,),
            )
        return replace(match, why=self._why(fits, title), guesses=self._guesses(fits, title))

    def _preferred(self, fits: list[_Fit], title: Title) -> list[_Fit]:
        """The cards that a title rather is, of those that it could be."""
        if len(fits) > 1:
            most = max(one.covered for one in fits)
            fits = [one for one in fits if one.covered == most]
        if len(fits) > 1 and title.subsets:
            whole = [one for one in fits if self._cards[one.place].subset in title.subsets]
            fits = whole or fits
        if len(fits) > 1 and self._names_subsets:
            plain = [one for one in fits if self._subsets[self._cards[one.place].subset].is_plain]
            fits = plain or fits
        return fits

    # ------------------------------------------------------------ ruling out
    def _fits(self, title: Title) -> list[_Fit]:
        found = []
        for place in self._candidates(title):
            one = self._subsets[self._cards[place].subset]
            if not self._is_of_subset(one, title):
                continue
            versions = [
                version
                for version in one.versions
                if self._has_run(place, version, title) and self._explains(one, version, title)
            ]
            stated = [
                version for version in versions if not version.parallel or self._is_named(version, title)
            ]
            # without a word of a parallel it is the base version, unless the print run says otherwise
            plain = [version for version in stated if not version.parallel]
            found += [
                _Fit(place, version, len(version.stems & self._said(version, title)))
                for version in stated or (versions if title.run is not None else ())
                if version.parallel or plain
            ]
        return found

    def _candidates(self, title: Title) -> list[int]:
        """The cards of the people, number and team that a title names."""
        if title.named:
            sets = [
                {place for name in one.people for place in self._by_person.get(name, ())}
                for one in title.named
            ]
            places = sorted(set.intersection(*sets))
            places = [place for place in places if self._are_on(self._cards[place], title)]
        elif title.numbers and title.subsets:
            places = [place for number in title.numbers for place in self._by_number.get(number, ())]
        else:
            return []
        if title.numbers:
            places = self._of_number(places, title)
        elif title.loose and not title.loose.isdisjoint(self._numbers[place] for place in places):
            places = [place for place in places if self._numbers[place] in title.loose]
        if title.teams:
            places = [
                place
                for place in places
                if not self._cards[place].teams or title.teams.intersection(self._cards[place].teams)
            ]
        return places

    def _of_number(self, places: Sequence[int], title: Title) -> list[int]:
        if len(title.numbers) > 1:
            return []
        exact = [place for place in places if self._numbers[place] in title.numbers]
        if exact:
            return exact
        number = next(iter(title.numbers))
        if not number.isdigit():
            return []
        # '#7' may be said of SW-7
        return [
            place
            for place in places
            if self._numbers[place].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ").lstrip("0") == number
        ]

    def _are_on(self, card: Card, title: Title) -> bool:
        """Whether all that are named are on a card, each one another of its people, and nobody else."""
        if len(title.named) > len(card.subjects):
            return False
        if len(title.named) < len(set(card.subjects)) and not (title.numbers and title.subsets):
            return False
        return _paired(title.named, card.subjects)

    def _is_of_subset(self, one: _Subset, title: Title) -> bool:
        if title.subsets and one.name not in title.subsets:
            return False
        if title.stems & SIGNED and not (one.is_signed or title.stems & SIGNED & one.stems):
            return False
        said = (title.stems & RELIC) - one.ladder
        return not said or one.has_relic or bool(said & one.stems)

    def _explains(self, one: _Subset, version: _Version, title: Title) -> bool:
        """Whether a version accounts for every word of subsets, parallels and kinds in a title."""
        if title.parallels and not any(version.parallel in names for names in title.parallels):
            return False
        if "parallel" in title.stems and not version.parallel:
            return False
        rest = title.stems - version.stems - one.stems - {"parallel"}
        if one.is_signed:
            rest -= SIGNED
        if one.has_relic:
            rest -= RELIC - one.ladder
        return not rest

    def _is_named(self, version: _Version, title: Title) -> bool:
        return version.stems <= self._said(version, title)

    def _said(self, version: _Version, title: Title) -> set[str]:
        """The words that may name a version's parallel: not those of its subset's whole name."""
        return title.beside if version.subset in title.subsets else title.stems

    def _has_run(self, place: int, version: _Version, title: Title) -> bool:
        if title.run is None:
            return True
        if version.parallel:
            return title.run in version.runs
        return self._cards[place].print_run == title.run

    # ------------------------------------------------------------ words for what is doubtful
    def _why(self, fits: Sequence[_Fit], title: Title) -> str:
        if not title.named and not title.numbers:
            return "no name and no number of the checklist is in the title"
        foreign = [word for word in title.unknown if word in FINISHES]
        if foreign:
            return f"{foreign[0]!r} is not a parallel on the checklist"
        if not fits and title.run is not None and not self._is_any_run(title):
            return f"no version of this card is numbered to {title.run}"
        if not fits:
            return "number, print run and words contradict each other"
        if title.unknown:
            return f"{title.unknown[0]!r} is not a word of this release"
        return "it could be more than one card"

    def _is_any_run(self, title: Title) -> bool:
        return any(
            self._has_run(place, version, title)
            for one in title.named
            for name in one.people
            for place in self._by_person.get(name, ())
            for version in self._subsets[self._cards[place].subset].versions
        )

    def _guesses(self, fits: Sequence[_Fit], title: Title) -> tuple[tuple[str, str, str], ...]:
        """The cards that it could be, at most three: those that fit, else those of the people."""
        found = [
            (self._cards[one.place].subset, one.version.parallel, self._cards[one.place].number)
            for one in fits
        ]
        if not found:
            for one in title.named:
                for name in sorted(one.people):
                    found += [
                        (c.subset, "", c.number) for c in map(self._cards.__getitem__, self._by_person[name])
                    ]
        return tuple(dict.fromkeys(found))[:3]

    # ------------------------------------------------------------ for those who set rows aside
    def unknown_words(self, raw: str) -> list[str]:
        """The words of a title that neither the checklist nor the trade's usual noise explains."""
        return self._parsed(raw).unknown


def _paired(named: Sequence[Named], subjects: Sequence[str]) -> bool:
    """Whether those named can be told apart among the people of a card."""
    if len(named) == 1:
        return any(name in named[0].people for name in subjects)
    first, rest = named[0], named[1:]
    return any(
        name in first.people and _paired(rest, [*subjects[:at], *subjects[at + 1 :]])
        for at, name in enumerate(subjects)
    )


__all__ = ["Match", "Matcher", "years_in"]
