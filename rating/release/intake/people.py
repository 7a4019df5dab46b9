"""Names in foreign tables: subjects and teams parted, turned round, mended and given one spelling."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from rating import text
from rating.release.intake.values import SeasonWords
from rating.release.intake.words import fold, smart_case

_ROOKIE_MARK = re.compile(
    r"\s*(?:[-–—,]\s*)?(?:[(\[]\s*(?:RC|R|RK|rookie(?: card)?|first[ -]year)\s*[)\]]"
    r"|(?<=\s)(?:RC|rookie card|rookie|(?-i:RK)))\s*\Z",
    re.IGNORECASE,
)
_PARTED = re.compile(r"[/;|\n+&×]|\s(?:and|und|et|y|w/|with|(?-i:x))\s", re.IGNORECASE)
_WRITTEN_WHOLE = re.compile(r"[\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af\u3005\u30fb]{2,8}\Z")
_STAR = re.compile(r"\s*([*†‡§^°]+)\s*\Z")
_SUFFIX = re.compile(r"(?:jr|sr|ii|iii|iv)\.?\Z", re.IGNORECASE)
_INITIALED = re.compile(r"(?:[^\W\d_]\.\s*)+(?=[^\W\d_])")
_MARKED_END = re.compile(
    r"\s*\((?:auto(?:graph)?|relic|sp|ssp|var(?:iation)?|exch|redemption)\)\s*\Z", re.IGNORECASE
)
DAMAGE = re.compile(r"[ÂÃÄÅ]?\ufffd+|[ÂÃÄÅ]?\?+|¿+")


def parted(cell: str) -> list[str]:
    """The people in a cell: 'A / B', 'A/B', 'A; B', 'A × B', one a line, 'Ann Bell & Cy Dorn'."""
    if not _PARTED.search(cell):
        return [cell.strip()] if cell.strip() else []
    parts = [part.strip() for part in re.split(r"\s*(?:/|;|\||\n|×|\s\+\s|\sx\s)\s*", cell)]
    parts = [part for part in parts if part]
    if len(parts) == 1:
        pair = re.split(r"\s+(?:&|and|und|et|y|w/|with)\s+", cell, flags=re.IGNORECASE)
        if len(pair) > 1 and all(len(one.split()) > 1 or "," in one or is_written_whole(one) for one in pair):
            return [one.strip() for one in pair]
    return parts


def is_written_whole(name: str) -> bool:
    """Whether forename and surname are written without a blank between them, in Han, kana or Hangul."""
    return _WRITTEN_WHOLE.match(unmarked(name)[0]) is not None


def halves(cell: str) -> list[str]:
    """The forenames or surnames in a cell that holds no other half: 'Ann & Cy' are two."""
    return [part for one in parted(cell) for part in re.split(r"\s+(?:&|and|und|et)\s+", one) if part.strip()]


def unmarked(name: str) -> tuple[str, bool, str]:
    """A name without its marks, whether it was marked as a rookie's, and the star or dagger after it."""
    star = ""
    is_rookie = False
    name = name.rstrip(" ,")  # what parted it from a team
    while True:
        if found := _STAR.search(name):
            star, name = found[1], name[: found.start()]
        elif (found := _ROOKIE_MARK.search(name)) and found.start():
            is_rookie, name = True, name[: found.start()]
        elif found := _MARKED_END.search(name):
            name = name[: found.start()]
        else:
            return name.strip().strip(","), is_rookie, star


def turned(name: str) -> str:
    """'Núñez-Holm, Maddoc' as 'Maddoc Núñez-Holm'; 'Bell, Cy, Jr.' as 'Cy Bell Jr.'."""
    parts = [part.strip() for part in name.split(",") if part.strip()]
    if len(parts) == 3 and _SUFFIX.match(parts[2]):
        return f"{parts[1]} {parts[0]} {parts[2]}"
    if len(parts) == 3 and _SUFFIX.match(parts[1]):
        return f"{parts[2]} {parts[0]} {parts[1]}"
    if len(parts) != 2:
        return name
    last, first = parts
    if _SUFFIX.match(first):
        return f"{last} {first}"
    if (tail := last.split()) and len(tail) > 1 and _SUFFIX.match(tail[-1]):
        return f"{first} {' '.join(tail[:-1])} {tail[-1]}"
    return f"{first} {last}"


_SUFFIX_CAPS = re.compile(r"(?:JR|SR|II|III|IV|V)\.?\Z", re.IGNORECASE)


def shouted(name: str) -> tuple[str, str] | None:
    """A name whose surname goes first in capitals, as surname and forename; None for others."""
    parts = name.split()
    place = 0
    while place < len(parts) and _is_capitals(parts[place]):
        place += 1
    while 0 < place < len(parts) and _SUFFIX_CAPS.match(parts[place]):
        place += 1
    if not 0 < place < len(parts) or not any(
        len(part) > 1 and not _SUFFIX_CAPS.match(part) for part in parts[:place]
    ):
        return None
    if any(_is_capitals(part) and len(part.strip(".")) > 1 for part in parts[place:]):
        return None
    return " ".join(parts[:place]), " ".join(parts[place:])


def _is_capitals(part: str) -> bool:
    letters = [mark for mark in part if mark.isalpha()]
    return len(letters) > 1 and all(mark.isupper() for mark in letters)


def unshouted(name: str) -> str:
    """A name whose surname goes first in capitals, in the usual order: 'QUILL II Ada' is 'Ada Quill II'."""
    told = shouted(name)
    if told is None:
        return name
    surname, blank, suffix = told[0].rpartition(" ")
    if blank and not suffix.isupper():  # 'QUILL Sr. Ada'
        return f"{told[1]} {smart_case(surname)} {suffix}"
    return f"{told[1]} {smart_case(told[0])}"


def are_shouted(cells: Iterable[str]) -> bool:
    """Whether the surname goes first, in capitals; those of short forenames, 'A. Quill', do not tell."""
    hits = whole = total = 0
    for cell in cells:
        for part in parted(cell):
            bare = unmarked(part)[0]
            if len(bare.split()) > 1 and any(mark.isupper() for mark in bare):
                total += 1
                whole += _INITIALED.match(bare) is None
                hits += shouted(bare) is not None
    return total > 1 and hits * 10 >= whole * 6 and hits * 5 >= total


def are_last_first(cells: Iterable[str]) -> bool:
    """Whether names are written 'Last, First': most of all, or some where others are short, as 'A. Quill'."""
    turned_round: list[list[str]] = []
    total = 0
    for cell in cells:
        for part in parted(cell):
            bare = unmarked(part)[0]
            if len(bare.replace(",", " ").split()) < 2 or not any(mark.isupper() for mark in bare):
                continue
            total += 1
            sides = [side for one in bare.split(",") if (side := one.strip()) and not _SUFFIX.match(side)]
            if len(sides) == 2 and not any(mark.isdigit() for mark in bare):
                turned_round.append(sides)
    if total and len(turned_round) * 5 >= total * 3:
        return True
    of_one = sum(min(len(side.split()) for side in sides) < 2 for sides in turned_round)
    return len(turned_round) > 2 and of_one * 10 >= len(turned_round) * 9


class Spellings:
    """One spelling for each name: the commonest in the file, the season's where the file only shouts."""

    def __init__(self, season: Iterable[str] = ()) -> None:
        self._season = {text.key(name): name for name in season}
        self._seen: dict[str, Counter[str]] = {}
        self._best: dict[str, str] = {}
        self._keys: dict[str, str] = {}

    def _key(self, name: str) -> str:
        if name not in self._keys:
            self._keys[name] = text.key(name)
        return self._keys[name]

    def see(self, name: str, number: int = 1) -> None:
        """Count a spelling."""
        self._seen.setdefault(self._key(name), Counter())[name] += number
        if self._best:
            self._best.clear()

    def best(self, name: str) -> str:
        """The spelling to show."""
        key = self._keys.get(name) or self._key(name)
        if key not in self._best:
            spellings = self._seen.get(key, Counter([name]))
            quiet = {one: number for one, number in spellings.items() if not _shouts(one)}
            chosen = max((quiet or spellings).items(), key=lambda item: item[1])[0]
            if _shouts(chosen) and key in self._season:
                chosen = self._season[key]
            self._best[key] = chosen
        return self._best[key]

    def names(self) -> list[str]:
        """Every name once, as it is shown."""
        return [self.best(next(iter(seen))) for seen in self._seen.values()]

    def count(self, name: str) -> int:
        """How often a name was seen."""
        return sum(self._seen.get(text.key(name), Counter()).values())


def _shouts(name: str) -> bool:
    return (name.isupper() or name.islower()) and sum(map(str.isalpha, name)) > 3


_MOST_WORDS, _LEAST_LETTERS = 5, 3  # of a team's name that is shortened
_MARKS = str.maketrans("", "", "®™©")


class Teams:
    """The teams that a cell may mean: by name, code or other spelling; the file's own key goes first.

    A part of a name does where it is one team's alone: its first words (the city), its last (the nickname).
    """

    def __init__(self, season: SeasonWords, key: Mapping[str, str] | None = None) -> None:
        self._names: dict[str, str] = {}
        self._codes: dict[str, str] = {}
        self._folded: dict[str, str] = {}
        for team in season.teams:
            for spelling in (team.name, *team.aliases):
                self._names.setdefault(text.key(spelling), team.name)
                self._folded.setdefault(fold(spelling), team.name)
            if team.code:
                self._codes[team.code] = team.name
        for code, name in (key or {}).items():
            whole = self._names.get(text.key(name), name)
            self._codes[code] = whole
            self._names.setdefault(text.key(name), whole)
            self._folded.setdefault(fold(name), whole)
        self._parts = _parts_of(self.names)
        self._initials = _initials_of(self.names)
        self._by_first: dict[str, list[str]] = {}
        for name in self.names:
            self._by_first.setdefault(fold(name).split()[0], []).append(name)

    def __bool__(self) -> bool:
        return bool(self._names or self._codes)

    @property
    def names(self) -> list[str]:
        """The names of the teams."""
        return list(dict.fromkeys(self._names.values()))

    def knows(self, cell: str) -> bool:
        """Whether a cell is a team's name, code, other spelling, city or nickname, marks aside."""
        return bool(self._found(cell))

    def named(self, cell: str) -> str:
        """The team that a cell stands for; the cell itself, without marks, where it is not known."""
        return self._found(cell) or cell.translate(_MARKS).strip()

    def _found(self, cell: str) -> str:
        if cell in self._codes:
            return self._codes[cell]
        bare = cell.translate(_MARKS).strip()
        if bare.upper() in self._codes and len(bare) < 6:
            return self._codes[bare.upper()]
        key = text.key(bare)
        if key in self._names:
            name = self._names[key]
            # a plain name keeps the file's spelling for the count of the commonest; an alias does not
            return bare if text.key(name) == key else name
        folded = fold(bare)
        told = self._folded.get(folded, "") or self._parts.get(folded, "") or self._initials.get(bare, "")
        return told or self._shortened(folded)

    def _shortened(self, folded: str) -> str:
        """The one team whose name a cell shortens word by word: 'Tarn Ath' is Tarn Athletic."""
        parts = [one.rstrip(".") for one in folded.split()]
        if not 1 < len(parts) <= _MOST_WORDS or any(len(one) < _LEAST_LETTERS for one in parts):
            return ""
        fits = {
            name
            for name in self._by_first.get(parts[0], ())
            if len(fold(name).split()) == len(parts) and all(map(str.startswith, fold(name).split(), parts))
        }
        return next(iter(fits)) if len(fits) == 1 else ""


def _parts_of(names: Sequence[str]) -> dict[str, str]:
    """Words of names that follow each other, where they belong to one of them alone."""
    owners: dict[str, set[str]] = {}
    for name in names:
        parts = fold(name).split()
        for first in range(len(parts)):
            for after in range(first + 1, len(parts) + 1):
                part = " ".join(parts[first:after])
                if len(part) > 3 and after - first < len(parts):
                    owners.setdefault(part, set()).add(name)
    return {part: next(iter(those)) for part, those in owners.items() if len(those) == 1}


def _initials_of(names: Sequence[str]) -> dict[str, str]:
    """The first letters of names' words, where they belong to one of them alone."""
    owners: dict[str, set[str]] = {}
    for name in names:
        letters = "".join(word[0] for word in re.findall(r"[^\W\d_][^\s-]*", name)).upper()
        if len(letters) > 1:
            owners.setdefault(letters, set()).add(name)
            owners.setdefault(fold(letters).upper(), set()).add(name)
    return {part: next(iter(those)) for part, those in owners.items() if len(those) == 1}


def restored(name: str, known: Sequence[str]) -> str:
    """The one known name that a name with damaged letters can be, or nothing."""
    if not DAMAGE.search(name):
        return ""
    pieces = [fold(piece) for piece in DAMAGE.split(name)]
    pattern = re.compile(r".{0,2}".join(re.escape(piece) for piece in pieces) + r"\Z")
    wider = re.compile(r".{1,3}".join(re.escape(piece) for piece in pieces) + r"\Z")
    fits = [one for one in known if pattern.match(fold(one)) or wider.match(fold(one))]
    return fits[0] if len({text.key(one) for one in fits}) == 1 else ""


def near_misses(names: Sequence[str], known: Sequence[str]) -> list[tuple[str, str]]:
    """Names that differ from a known one by a letter or two, as (written, known)."""
    from rapidfuzz import process
    from rapidfuzz.distance import DamerauLevenshtein

    keys = {text.key(one) for one in known}
    folded = {fold(one): one for one in known}
    by_word: dict[str, list[str]] = {}
    for one in folded:
        for word in one.split():
            by_word.setdefault(word, []).append(one)
    found = []
    for name in names:
        if text.key(name) in keys or len(name) < 5:
            continue
        bare = fold(name)
        if bare in folded:
            found.append((name, folded[bare]))  # only an accent differs
            continue
        allowed = 1 if len(bare) < 9 else 2
        # a slip leaves one of the words whole; only those that share one are compared
        parts = bare.split()
        choices = (
            list(folded)
            if len(parts) == 1
            else list(dict.fromkeys(one for word in parts for one in by_word.get(word, ())))
        )
        hit = process.extractOne(
            bare, choices, scorer=DamerauLevenshtein.distance, score_cutoff=allowed, processor=None
        )
        if hit is not None and not _is_other(bare, str(hit[0])):
            found.append((name, folded[str(hit[0])]))
    return found


def _is_other(one: str, other: str) -> bool:
    """Names whose forenames are both usual and differ are two people: 'Ewan' and 'Owen' are no slip."""
    return one.split()[-1:] == other.split()[-1:] and one[:1] != other[:1]
