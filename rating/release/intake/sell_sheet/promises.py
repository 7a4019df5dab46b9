"""Promises of a sell sheet: so many of a kind, subset or parallel in each pack, box or case."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from rating import text
from rating.release.intake import lexicon, phrases, wordlists
from rating.release.intake.phrases import UNITS, Names, Phrase
from rating.release.intake.words import fold

_CONTAINER = re.compile(
    r"(?:(?<!n)p{1,6}(?:x|n(?=f?j{0,3}[kbe]))?(?P<f>f?)j{0,3}(?P<u>[kbe])(?!p{0,6}f?[kbe])"  # in every box
    r"|^p{0,6}(?P<g>f?)j{0,3}(?P<v>[kbe])(?=[h,:(]))"  # Hobby boxes hold
)
_INVERTED = (
    re.compile(
        r"^p{0,6}(?P<c>n)p{1,6}(?P<n>n)(?P<f>f?)j{0,3}(?P<u>[kbe])h"
    ),  # four in every nine Hobby boxes hold
    re.compile(r"^p{0,6}(?P<c>n)(?P<f>f?)j{0,3}(?P<u>[kbe])p{1,6}(?P<n>n)h"),  # one Hobby box in six holds
)
_AVERAGE = lexicon.listed("packing", "certainty", "average")
_HARD = lexicon.listed("packing", "certainty", "hard")
_LOOSE = lexicon.listed("packing", "certainty", "loose")
_FILL = lexicon.listed("packing", "promise", "fill")
_AMONG = re.compile(
    r"[,(;–—-]?\s*(?:(?:of which|of these|of them|including|incl\.?|with|among them)\s+)?"
    r"(?:at least|a minimum of|minimum|min\.?|no fewer than|no less than)\s+(?P<n>\d+|[a-z]+)\s+"
    r"(?P<rest>[^,;.()]*)(?P<end>\)?)",
    re.IGNORECASE,
)
_OF_THEM = re.compile(
    r"\b(?:of (?:them|these|those|which|the)|are|is|will be|being|signed|among)\b", re.IGNORECASE
)
_ARTICLES = frozenset(("a", "an", "ein", "eine", "un", "une", "una", "een"))
_AND = frozenset(("and", "plus", "including", "y", "und", "et", "e", "en", "oraz", "och", "og", "sowie"))
_CERTAINTY = re.compile(
    r"\b(?:on average|guaranteed|in total|at random|for certain|for sure|every time|always)\b"
    r"|\((?:on average|guaranteed)\)",
    re.IGNORECASE,
)
_CARDS_OF = re.compile(r"cards?\s+(?:of|from)\s+(?:the\s+)?", re.IGNORECASE)
_NUMBERED_TO = re.compile(
    r"(?P<name>.*?)\s*(?:parallels?|cards?)?\s*(?:serial[\s-]*)?numbered\s+(?:to|out of)\s+\d+"
    r"(?:\s+or\s+\w+)?",
    re.IGNORECASE,
)
_NEUTRAL = lexicon.listed("packing", "promise", "neutral")
_EXCEPT = re.compile(r"\b(?:no|not|never|without|none)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Promise:
    """A promise as read; `format` is blank where the sentence names none."""

    what: str
    count: Decimal
    per: str
    is_hard: bool
    sure: bool
    format: str = ""
    subset: str = ""
    parallel: str = ""


@dataclass(frozen=True, slots=True)
class Kinds:
    """What the checklist and the sheet itself know: the kind of each subset, and the parallels' names."""

    subsets: Mapping[str, str]  # as the checklist spells it: its kind
    parallels: Sequence[str]
    base: str = ""


@dataclass(frozen=True, slots=True)
class _Container:
    unit: str
    times: Decimal
    format: str


class Reader:
    """Reads the promises of sentences."""

    def __init__(self, kinds: Kinds, names: Names) -> None:
        self.kinds, self.names = kinds, names
        self.unread: list[str] = []  # parts that promise something, nobody knows what
        self._singular = {_singular(name): name for name in kinds.subsets}

    def read(self, sentence: str) -> list[Promise]:
        """The promises of a sentence, in its order."""
        bare, _ = without_minimum(sentence)
        if _EXCEPT.search(bare):
            return []
        is_average = _says(bare, _AVERAGE)
        whole = phrases.read(bare, self.names)
        found: list[Promise] = []
        if (turned := self._inverted(whole)) is not None:
            container, rest = turned
            for item in self._items(rest):
                found += self._item(phrases.read(item, self.names), container, is_average=is_average)
            return found
        outer = self._container(whole)
        for item in self._items(bare):
            phrase = phrases.read(item, self.names)
            own = self._container(phrase)
            inside = own or outer
            if inside is None or (own is None and _is_among(item)):
                continue
            found += self._item(phrase, inside, is_average=is_average)
        return found

    def _items(self, sentence: str) -> Iterator[str]:
        """The parts of a sentence that each begin a count: 'two autographs, three inserts and a relic'."""
        phrase = phrases.read(sentence, self.names)
        begun = 0
        for place, one in enumerate(phrase.tokens):
            is_mark = one.code in ",;" or (one.code == "w" and fold(one.word) in _AND)
            following = phrase.codes[place + 1 : place + 4]
            is_article = following[:1] == "p" and fold(phrase.tokens[place + 1].word) in _ARTICLES
            if is_mark and (
                re.match(r"[wph]{0,3}n(?!k*p|j{0,3}[kbe])", following)
                or (is_article and following[1:2] in "ws")
            ):
                part = sentence[begun : one.start].strip(" ,;")
                if part:
                    yield part
                begun = one.start if fold(one.word) == "including" else one.end
        yield sentence[begun:].strip(" ,;")

    def _inverted(self, phrase: Phrase) -> tuple[_Container, str] | None:
        """The container of 'one box in six holds ...', with what it holds."""
        for pattern in _INVERTED:
            found = pattern.match(phrase.codes)
            if found:
                many, once = (phrase.tokens[found.start(name)].value for name in ("n", "c"))
                key = str(phrase.tokens[found.start("f")].value) if found["f"] else ""
                rest = phrase.text[phrase.tokens[found.end() - 1].start :]
                return _Container(UNITS[found["u"]], many / once, key), rest
        return None

    def _container(self, phrase: Phrase) -> _Container | None:
        found = None
        for one in _CONTAINER.finditer(phrase.codes):
            found = one
            if one["u"]:
                break
        if found is None:
            return None
        unit = UNITS[found["u"] or found["v"]]
        place = found.start("f") if found["f"] else found.start("g") if found["g"] else -1
        times = Decimal(1)
        for token in phrase.tokens[found.start() : found.end()]:
            if token.code in "xn":
                times = Decimal(token.value)
        return _Container(unit, times, str(phrase.tokens[place].value) if place >= 0 else "")

    def _item(self, phrase: Phrase, container: _Container, *, is_average: bool) -> Iterator[Promise]:
        place = self._count_place(phrase)
        if place is None:
            return
        said = self._rest(phrase, place)
        what = self.what(said)
        if what is None:
            if said:
                self.unread.append(phrase.text)
            return
        number = phrase.tokens[place].value
        count = (Decimal(1) if number is None else number) / container.times
        count = count.quantize(Decimal("0.000001")).normalize()
        count = count.quantize(Decimal(1)) if count == count.to_integral_value() else count
        loose = _is_loose(phrase, place)
        yield Promise(
            what=what[0],
            count=count,
            per=container.unit,
            is_hard=not loose and not _is_average(phrase.text, is_average=is_average or _is_about(phrase)),
            sure=not loose,
            format=container.format,
            subset=what[1],
            parallel=what[2],
        )

    def _count_place(self, phrase: Phrase) -> int | None:
        """Where the count stands: the first number that no unit follows, else an article after the verb."""
        for found in re.finditer("n", phrase.codes):
            place = found.start()
            if phrase.codes[place + 1 : place + 2] in {"k", "b", "e"}:
                continue
            if re.search(r"p$", phrase.codes[:place]) and re.match(r"n[fj]*[kbe]", phrase.codes[place:]):
                continue
            return place
        for place, one in enumerate(phrase.tokens):
            before = fold(phrase.tokens[place - 1].word) if place else ""
            is_first = place == 0 or phrase.codes[place - 1] in "h,;" or before in _AVERAGE
            if is_first and fold(one.word) in _ARTICLES:
                return place
        return None

    def _rest(self, phrase: Phrase, place: int) -> str:
        """What stands after the count, up to the container or a mark; else what stands before it."""
        end = next(
            (
                found.start()
                for found in _CONTAINER.finditer(phrase.codes)
                if found.start() > place and found["u"]
            ),
            len(phrase.tokens),
        )
        if end == place + 1:
            first = 0
            return phrase.text[phrase.tokens[first].start : phrase.tokens[place].start]
        stop = next(
            (at for at in range(place + 1, end) if phrase.tokens[at].code in ",;:()[]"),
            end,
        )
        if stop == place + 1:
            return ""
        return phrase.said(place + 1, stop - 1)

    def what(self, said: str) -> tuple[str, str, str] | None:
        """What is promised: its kind, with the subset or the parallel that the words name."""
        bare = text.tidy(_CERTAINTY.sub(" ", said)).strip(" .,;:()")
        if found := _NUMBERED_TO.fullmatch(bare):
            return ("numbered", self.subset(found["name"]), "")
        bare = _CARDS_OF.sub("", bare)
        if not bare:
            return None
        numbered = re.match(r"(?:serial[\s-]*)?numbered\b\s*(?P<of>.*)", bare, re.IGNORECASE)
        if numbered:
            name = re.sub(r"\b(?:parallels?|cards?)\b", " ", numbered["of"], flags=re.IGNORECASE)
            subset = self.subset(text.tidy(name))
            if text.tidy(name) and not subset:
                return self._unknown_numbered(text.tidy(name))
            return ("numbered", subset, "")
        if found := re.fullmatch(
            r"(?P<name>.+?)\s+(?:parallels?|parallel cards?|versions?)", bare, re.IGNORECASE
        ):
            return self._parallel(found["name"])
        if subset := self.subset(bare):
            return (self.kinds.subsets[subset], subset, "")
        if known := self._known_parallel(bare):
            return ("parallel", "", known)
        return self._kind(bare)

    def _known_parallel(self, said: str) -> str:
        """The parallel that words name, with the subset it is of or without: '4 Slate of The Crew'."""
        head, _, tail = said.partition(" of ")
        bare = head if tail and self.subset(tail) else said
        key = fold(text.tidy(re.sub(r"\bcards?\s*\Z", "", bare, flags=re.IGNORECASE)))
        return next((known for known in self.kinds.parallels if fold(known) == key), "")

    def _unknown_numbered(self, name: str) -> tuple[str, str, str] | None:
        if all(fold(part) in _FILL for part in name.split()):
            return ("numbered", "", "")
        if fold(name) in {"base", "base set"}:
            return ("numbered", self.kinds.base or name, "")
        if self._kind(name) is not None and name.islower():
            return None
        return ("numbered", name, "") if name[:1].isupper() and not self.kinds.subsets else None

    def _parallel(self, name: str) -> tuple[str, str, str] | None:
        for known in self.kinds.parallels:
            if fold(known) == fold(name):
                return ("parallel", "", known)
        if fold(name) in {"exclusive", "color", "colour", "different", "base"}:
            return ("parallel", "", "")
        return ("parallel", "", name) if name[:1].isupper() and not self.kinds.parallels else None

    def subset(self, said: str) -> str:
        """The subset that words name, with or without 'cards' and in the singular; blank for none."""
        bare = text.tidy(re.sub(r"\b(?:cards?|inserts?)\s*\Z", "", said.strip(), flags=re.IGNORECASE))
        for words in (said, bare):
            key = _singular(words)
            if key and key in self._singular:
                return self._singular[key]
        return ""

    def kind_in(self, said: str) -> str:
        """The kind that words name, blank where they name none."""
        folded = fold(said)
        for kind, listed in wordlists.load("packing")["kinds"].items():
            if any(re.search(rf"(?<!\w){re.escape(fold(one))}(?!\w)", folded) for one in listed):
                return str(kind)
        return ""

    def _kind(self, said: str) -> tuple[str, str, str] | None:
        """A kind where nothing but a kind is named; a name that holds one is a subset of that kind."""
        found = self.kind_in(said)
        named = [
            part
            for part in re.findall(r"[^\W\d_][\w'’-]*", said)[0:]
            if part[:1].isupper() and fold(part) not in _FILL
        ]
        is_name = bool(named) and not said.isupper() and not _is_kind_alone(said)
        if is_name and not self.kinds.subsets:
            name = text.tidy(re.sub(r"\bcards?\s*\Z", "", said, flags=re.IGNORECASE))
            return (found or "insert", name, "") if found else None
        if is_name or not found:
            return None
        if extra := _beside_kinds(said):
            return self._by_words(found, extra)
        return (found, "", "")

    def _by_words(self, kind: str, extra: set[str]) -> tuple[str, str, str] | None:
        """The one subset of a kind whose name has all of some words: 'a dual autograph'."""
        named = [
            name for name, of in self.kinds.subsets.items() if of == kind and extra <= set(fold(name).split())
        ]
        return (kind, named[0], "") if len(named) == 1 else None


def without_minimum(sentence: str) -> tuple[str, list[str]]:
    """A sentence without the minimum among those counted ('at least two of them signed'), and those words."""
    told: list[str] = []

    def drop(found: re.Match[str]) -> str:
        if not found.string[: found.start()].strip():
            return found[0]
        is_bracket = found[0].lstrip()[:1] == "("
        is_number = phrases.number_in(found["n"]) is not None
        if not is_number or not (is_bracket or _OF_THEM.search(found[0])):
            return found[0]
        told.append(found[0])
        average = re.search(r"\s+(on average|guaranteed)\s*\Z", found["rest"], re.IGNORECASE)
        return f", {average[1]}" if average else " "

    return text.tidy(_AMONG.sub(drop, sentence)), told


def _is_among(item: str) -> bool:
    return re.match(r"\s*(?:including|incl)\b", item, re.IGNORECASE) is not None


def _says(sentence: str, listed: frozenset[str]) -> bool:
    return any(fold(word) in listed for word in re.findall(r"[^\W\d_]+", sentence))


def _is_average(item: str, *, is_average: bool) -> bool:
    """Whether one of several promises holds on average: by its own words, else by those of its sentence."""
    if _says(item, _AVERAGE):
        return True
    return is_average and not _says(item, _HARD)


def _is_about(phrase: Phrase) -> bool:
    """Whether a promise is of about every so many boxes."""
    return (
        re.search(
            r"\b(?:about|roughly|around|approximately)\s+(?:every|one|an?)\b", phrase.text, re.IGNORECASE
        )
        is not None
    )


def _is_loose(phrase: Phrase, place: int) -> bool:
    before = phrase.tokens[max(0, place - 2) : place]
    return any(fold(one.word) in _LOOSE for one in before)


def _is_kind_alone(said: str) -> bool:
    known = {
        fold(word)
        for listed in wordlists.load("packing")["kinds"].values()
        for one in listed
        for word in one.split()
    }
    return all(fold(part) in known or fold(part) in _FILL for part in re.findall(r"[^\W\d_][\w'’-]*", said))


def _beside_kinds(said: str) -> set[str]:
    """The words of a promise that are neither kinds nor usual beside them."""
    known = {
        part
        for listed in wordlists.load("packing")["kinds"].values()
        for one in listed
        for part in fold(one).split()
    }
    words = re.findall(r"[^\W\d_][\w'’-]*", fold(said))
    return {word for word in words if word not in known and word not in _FILL and word not in _NEUTRAL}


def _singular(name: str) -> str:
    """A name for comparing, its last word in the singular."""
    bare = " ".join(re.sub(r"[^\w\s'’&]", " ", fold(name)).split())
    return bare.removesuffix("s") if len(bare) > 4 else bare
