"""What a label of odds speaks of, in the checklist's words: a subset, and a parallel of it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import ladder, words
from rating.release.intake.words import fold

_SEPARATOR = re.compile(r"\s+[-–—|/·]\s+|\s*[:;–—|]\s+|,\s+|\s+\(")
_PARALLEL_OF = re.compile(
    r"(?P<parallel>.+?)\s+(?:parallels?|versions?|variants?)\s+(?:of|from|in)\s+(?P<subset>.+)\Z"
)
_PARALLEL = re.compile(r"(?P<parallel>.+?)\s+parallels?\Z")
_CARDS = re.compile(r"(?<=\w)\s+(?:cards?|inserts?|karten|cartes)\Z")
_ALIKE = (
    ("auto", "autos", "autograph", "autographs", "autographed", "sig", "sigs", "signature", "signatures",
     "signed"),
    ("relic", "relics", "mem", "memorabilia", "memo"),
    ("patch", "patches"),
    ("variation", "variations", "var", "vars"),
    ("parallel", "parallels"),
    ("rookie", "rookies", "rc", "rcs"),
)  # fmt: skip
_CANON = {word: group[0] for group in _ALIKE for word in group}
_NOISE = {"card", "cards", "set", "sets", "the", "insert", "inserts", "subset", "checklist", "series"}


@dataclass(frozen=True, slots=True)
class Label:
    """A label as the file has it, whole, or as subset and parallel apart."""

    subset: str
    parallel: str = ""
    is_joined: bool = True  # the subset's words may name a parallel too


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the checklist; `how` is '' where the names are sure, else why they are not."""

    subset: str
    parallel: str
    how: str = ""  # near subset, unknown subset, several subsets, near parallel, unknown parallel
    written: str = ""
    choices: tuple[str, ...] = ()


@dataclass(slots=True)
class Lines:
    """The lines of a checklist, by the names that labels may give them."""

    cards: Sequence[Card] = ()
    parallels: Sequence[Parallel] = ()
    subsets: list[str] = field(init=False)
    base: str = field(init=False)
    ladders: dict[str, dict[str, str]] = field(init=False)
    _known: dict[str, tuple[str, ...]] = field(init=False, default_factory=dict)
    _lines: dict[Label, Line] = field(init=False, default_factory=dict)
    _said: set[str] = field(init=False, default_factory=set)
    _heads: set[str] = field(init=False, default_factory=set)

    def __post_init__(self) -> None:
        """Index the names."""
        self.subsets = list(dict.fromkeys(card.subset for card in self.cards))
        self.base = next((c.subset for c in self.cards if c.kind == "base" and not c.variation), "")
        self.ladders = {}
        for one in self.parallels:
            self.ladders.setdefault(one.subset, {})[bare(one.parallel)] = one.parallel

    def hear(self, labels: Iterable[Label]) -> None:
        """Note all labels of a document: a subset that one names outright is not what a shorter one means."""
        heads: dict[str, int] = {}
        named = {bare(subset): subset for subset in self.subsets}
        for whole, number in Counter(one.subset for one in labels).items():
            for head in {fold(head) for head, _ in _splits(whole)} | {fold(whole)}:
                heads[head] = heads.get(head, 0) + number
                if (subset := named.get(bare(head))) is not None:
                    self._said.add(subset)
        self._heads = {head for head, number in heads.items() if number > 1}
        self._known.clear()
        self._lines.clear()

    # ------------------------------------------------------------ a label
    def line(self, label: Label) -> Line:
        """The line that a label names."""
        if label not in self._lines:
            self._lines[label] = self._line(label)
        return self._lines[label]

    def _line(self, label: Label) -> Line:
        subset, parallel = _unfolded(label)
        if not self.subsets:
            return self._without_checklist(subset, parallel, is_joined=label.is_joined)
        if not subset:
            return self._of_base(parallel)
        if parallel or not label.is_joined:
            return self._in(subset, parallel)
        if (found := _PARALLEL.match(subset)) and not self.subset(subset, nearly=False):
            return self._of_one(found["parallel"])
        return self._joined(subset)

    def _of_one(self, name: str) -> Line:
        """A parallel that names no subset: of the one that has it, else of the base set."""
        having = [subset for subset in self.ladders if self.parallel(subset, name)]
        if len(having) == 1:
            return Line(having[0], self.parallel(having[0], name))
        if len(having) > 1:
            return Line("", name, "several subsets", name, tuple(having))
        return self._in(name, "")

    def _joined(self, whole: str) -> Line:
        found = self.subset(whole, nearly=False)
        if len(found) == 1:
            return Line(found[0], "")
        split = [
            self._in(head, tail) for head, tail in _splits(whole) if len(self.subset(head, nearly=False)) == 1
        ]
        sure = [one for one in split if not one.how]
        if sure:
            return sure[0]
        if (line := self._run_on(whole)) is not None:
            return line
        if split:
            return split[0]
        for head, tail in _splits(whole):
            line = self._in(head, tail)
            if line.how in {"near subset", "several subsets"}:
                return line
        if self.base and self.parallel(self.base, whole):
            return Line(self.base, self.parallel(self.base, whole))
        return self._of_document(whole) or self._in(whole, "")

    def _of_document(self, whole: str) -> Line | None:
        """A parallel of a subset that the checklist lacks and the document names by itself too."""
        named = ((head, tail) for head, tail in _splits(whole) if fold(head) in self._heads)
        head, tail = next(named, ("", ""))
        return Line(words.smart_case(head), version_of(tail), "unknown subset", head) if head else None

    def _run_on(self, whole: str) -> Line | None:
        """'Deck Signatures Pearl /12': a subset and a parallel without a mark between them."""
        rung = ladder.read_one(whole)
        parts = text.tidy(rung.name if rung else whole).split(" ")
        for at in range(len(parts) - 1, 0, -1):
            first, last = " ".join(parts[:at]), " ".join(parts[at:])
            for head, tail in ((first, last), (last, first)):
                found = self.subset(head, nearly=False)
                if len(found) != 1:
                    continue
                if is_base_version(tail) and tail is last:
                    return Line(found[0], "")
                if known := self.parallel(found[0], tail):
                    return Line(found[0], known)
        return None

    def _in(self, subset: str, parallel: str) -> Line:
        found = self.subset(subset)
        if len(found) == 1:
            return self._with_parallel(found[0], parallel, subset)
        version = version_of(parallel)
        if len(found) > 1:
            return Line("", version, "several subsets", subset, found)
        if near := self._near(subset, self.subsets):
            line = self._with_parallel(near, parallel, subset)
            return Line(line.subset, line.parallel, "near subset", subset, (near,))
        return Line(words.smart_case(subset), version, "unknown subset", subset)

    def _of_base(self, parallel: str) -> Line:
        return self._with_parallel(self.base, parallel, "") if self.base and parallel else Line("", "")

    def _with_parallel(self, subset: str, parallel: str, said: str) -> Line:
        version = version_of(parallel)
        known = self.parallel(subset, parallel) if parallel else ""
        if known:
            return Line(subset, known)
        if not version or bare(version) in {bare(subset), bare(said)}:
            return Line(subset, "")
        names = list(self.ladders.get(subset, {}).values())
        if near := self._near(version, names):
            return Line(subset, near, "near parallel", version, (near,))
        return Line(subset, version, "unknown parallel" if self.parallels else "", version)

    # ------------------------------------------------------------ names
    def parallel(self, subset: str, name: str) -> str:
        """The parallel of a subset's ladder by this name, blank where it has none such."""
        known = self.ladders.get(subset, {})
        rung = ladder.read_one(name)
        for candidate in (name, rung.name if rung else name):
            if (key := bare(candidate)) in known:
                return known[key]
        return ""

    def subset(self, name: str, *, nearly: bool = True) -> tuple[str, ...]:
        """The subsets that a name may mean: one where it is sure."""
        mark = f"{fold(name)}\x1f{nearly}"
        if mark not in self._known:
            self._known[mark] = self._subset(name, nearly=nearly)
        return self._known[mark]

    def _subset(self, name: str, *, nearly: bool) -> tuple[str, ...]:
        exact = [one for one in self.subsets if fold(one) == fold(name)]
        if len(exact) == 1:
            return tuple(exact)
        key = bare(name)
        alike = [one for one in self.subsets if bare(one) == key]
        if len(alike) == 1:
            return tuple(alike)
        free = [one for one in self.subsets if one not in self._said]
        if is_base_name(name) and self.base and self.base in free:
            return (self.base,)
        wanted = canonical(name)
        alike = [one for one in free if canonical(one) == wanted]
        if len(alike) == 1:
            return tuple(alike)
        if found := self._with_kind(name):
            return (found,)
        if not nearly and len(wanted) < 2 and not is_base_name(name):
            short = [one for one in free if _shortens(wanted, canonical(one)) and len(canonical(one)) == 2]
        else:
            short = [one for one in free if _shortens(wanted, canonical(one))]
        return tuple(short)

    def _with_kind(self, name: str) -> str:
        """A name followed by the kind that its cards are: 'Harbour Ink (autographs)'."""
        key = bare(name)
        kinds: Mapping[str, str] = {card.subset: card.kind for card in self.cards}
        for one in sorted(self.subsets, key=len, reverse=True):
            stem = bare(one) + " "
            rest = key.removeprefix(stem)
            if key.startswith(stem) and words.are_kinds(rest) and kinds[one] == _kind_said(rest):
                return one
        return ""

    def _near(self, name: str, choices: Sequence[str]) -> str:
        from rapidfuzz import fuzz, process

        hit = process.extract(
            bare(name), [bare(one) for one in choices], scorer=fuzz.ratio, score_cutoff=86, limit=2
        )
        if not hit or (len(hit) > 1 and hit[0][1] - hit[1][1] < 5):
            return ""
        return choices[hit[0][2]]

    # ------------------------------------------------------------ without a checklist
    def _without_checklist(self, subset: str, parallel: str, *, is_joined: bool) -> Line:
        version = version_of(parallel)
        if parallel or not is_joined:
            head = words.smart_case(subset)
            return Line(head, "" if bare(version) == bare(head) else version)
        splits = list(_splits(subset))
        if not splits:
            return Line(words.smart_case(subset), "")
        head, tail = next(((h, t) for h, t in reversed(splits) if fold(h) in self._heads), splits[-1])
        return Line(words.smart_case(head), version_of(tail))


def _unfolded(label: Label) -> tuple[str, str]:
    """Subset and parallel of a label: 'Teal parallels of Base' has both in one."""
    subset = text.tidy(label.subset.replace("\n", " ")).strip(" .,")
    parallel = text.tidy(label.parallel.replace("\n", " ")).strip(" .,")
    if label.is_joined and not parallel and (found := _PARALLEL_OF.match(subset)):
        return _CARDS.sub("", found["subset"]), found["parallel"]
    return _CARDS.sub("", subset) if label.is_joined else subset, parallel


def _splits(whole: str) -> Iterator[tuple[str, str]]:
    """A label parted at each mark in it, as subset and parallel."""
    for found in _SEPARATOR.finditer(whole):
        head, tail = whole[: found.start()].strip(), whole[found.end() :].strip()
        if "(" in found[0]:
            tail = tail.rstrip(")")
        if head and tail:
            yield head, tail


def is_base_version(name: str) -> bool:
    """Whether a name stands for the base version of a subset: 'Common', '(base)'."""
    return not name.strip() or fold(name).strip(" ()[].") in words.BASE_VERSION


def version_of(cell: str) -> str:
    """A parallel's name without its run; nothing for the base version."""
    plain = text.tidy(cell.replace("\n", " "))
    if not plain or is_base_version(plain):
        return ""
    rung = ladder.read_one(plain)
    name = rung.name if rung else words.smart_case(plain)
    return "" if is_base_version(name) else name


def is_base_name(name: str) -> bool:
    """Whether a name is one of the usual for the base set."""
    return words.BASE_NAME.match(fold(name)) is not None or fold(name).strip() in {
        "main", "main set", "veterans", "basis", "basisset", "set base",
    }  # fmt: skip


@lru_cache(maxsize=100_000)
def bare(name: str) -> str:
    """A name for comparing: folded, without 'cards', 'set', 'parallel' and marks."""
    kept = re.sub(r"[^\w ]+", " ", fold(name).replace("'", "").replace("’", ""))
    kept = re.sub(r"\b(?:cards?|set|parallels?|the|insert|subset)\b", " ", kept)
    return " ".join(kept.split()) or " ".join(fold(name).split())


@lru_cache(maxsize=100_000)
def canonical(name: str) -> tuple[str, ...]:
    """The words of a name, those of one sense made one, noise left out."""
    parts = re.findall(r"[^\W_]+", fold(name).replace("'", "").replace("’", ""))
    kept = tuple(_CANON.get(part, part) for part in parts if part not in _NOISE)
    return kept or tuple(parts)


def _shortens(short: Sequence[str], long: Sequence[str]) -> bool:
    """Whether words are those of a longer name, some shortened and the last ones left out."""
    if not short or len(short) > len(long):
        return False
    for one, other in zip(short, long, strict=False):
        if one != other and not (len(one) >= 3 and other.startswith(one)):
            return False
    return True


def _kind_said(said: str) -> str:
    """The kind of card that kind words name."""
    signed = "autograph" if words.SIGNED_WORDS.search(said) else ""
    relic = "relic" if words.RELIC_WORDS.search(said) else ""
    return f"{signed} {relic}".strip() or "insert"
