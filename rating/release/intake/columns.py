"""What each column of a table holds, told by its contents; the heading is one piece of evidence among others.

Each column is profiled once: how many cells are filled and different, whether they run like card numbers,
look like people, recur like a small closed set of teams, stand in blocks like subsets, or hold print runs,
marks or lists of parallels. Every role gets evidence from every profile, in natural-log units by judgement
(common practice, no source), and roles are given jointly: one role a column, one column a role, the best
total (`scipy.optimize.linear_sum_assignment`). What the total loses where a column must not have its role is
how sure the reading is.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import pairwise
from types import MappingProxyType
from typing import Any, TypeAlias

from rating.release.intake import kinds, ladder, people, surnames, words
from rating.release.intake.casts import NOBODY, NOTHING_SAID, Cast, Rows, Said, possible

_UNKNOWN: Mapping[int, str] = MappingProxyType({})
ROLES = (
    "number", "subject", "first", "last", "team", "subset", "kind", "print_run", "rookie", "parallels",
    "parallel", "signed", "relic", "note", "variation", "redemption", "formats",
)  # fmt: skip
# roles that a second person's columns have too, as 'subject 2'
PERSONAL = ("subject", "last", "first", "team")
# what a known heading is worth, and what it costs every other role
_NAMED, _MISNAMED = 4.0, 1.5
# headings that say hardly anything: 'Info', 'Details'
_LOOSE, _LOOSELY = frozenset(("note",)), 2.0
# of a column's different cells that other documents have too, where they are subsets
_NAMED_ELSEWHERE = 0.6
# what cannot be the same on all cards
_VARYING = frozenset(("number", "subject", "first", "last", "team", "subset", "parallel"))
# what notes are read for in pieces
_NOTED = frozenset(("parallels", "kind", "signed", "relic", "variation", "redemption"))
# what a person says of a column goes before all evidence
_TOLD = 99.0
# evidence under this is no reading
_LEAST = 1.0
_WHOLE_NAMES = 0.8  # of a column's cells that are forename and surname
_SAMPLE = 1800  # rows of a table that are looked at: from its beginning, its middle and its end
# a reading that beats the next best by less is not taken
SURE = 0.5
_NEVER = -99.0
_FEW_RUNS = 20  # cells that say how print runs lie
# of a second person's cells that look like names, where the first's column has another heading, or the same
_LIKELY, _ALIKE = 0.9, 0.6
_Matrix: TypeAlias = Any  # an array; numpy is imported where it is needed
_OF_PERSONS = ("subject", "first", "last", "team")
# columns whose evidence for a role is under this are not tried in it; no more than so many are
_UNLIKELY, _FEW = -1.0, 5
# how sure the only columns are that can say who is on the cards
_ALONE = 3.0
# what it costs to leave out a column that is full of words
_IDLE = 1.5

_NUMBER = re.compile(
    r"(?=.*\d)#?\s?(?:(?:no|nr|num)\.?\s*)?(?:[^\W_]{0,8}(?:\s?[-–./]\s?[^\W_]{1,8}){0,3}"
    r"|[^\W\d_]{1,4}\.?\s\d{1,4}[a-z]?)[*†]?\Z",
    re.IGNORECASE,
)
# three small letters or more are a word, unless they say that a number follows
_WORDED = re.compile(r"(?!\b(?:num|card)\b)(?<![^\W\d_])[^\W\d_]*[a-zß-ÿ]{3}")
_DAY = re.compile(r"(?:19|20)\d\d([-./])\d\d?\1\d\d?\Z|\d\d?([-./])\d\d?\2(?:19|20)\d\d\Z")
_ORDINAL = re.compile(r"\d+(?:st|nd|rd|th)\Z", re.IGNORECASE)
_BEFORE = re.compile(r"#(?=\s?[\w])|(?:no|nr|num|card)\b[.:]?\s*(?=\S*\d)", re.IGNORECASE)
_INITIALS = re.compile(r"(?:#\s?|(?:no|nr)\.?\s*)?(?-i:[A-Z]{1,6}[-–][A-Z]{1,8}\d{0,2})\Z", re.IGNORECASE)
_TAIL = re.compile(r"(\d+)[a-z]?[*†]?\Z")
RUN_MARKED = re.compile(
    r"(?:#?/+\s*#?|#['’]?d\s*(?:to\s*)?|(?:numbered|limited)\s+to\s*[#/]*)\d{1,3}(?:[,.]?\d{3})?\Z"
    r"|1\s*(?:/|of)\s*1\Z|\d{1,5}\s*(?:copies|made|ex)\.?\Z|(?:one of one)\Z",
    re.IGNORECASE,
)
_HASHED = re.compile(r"#\s?\d{1,5}\Z")
_YEAR = re.compile(r"(?:19|20)[0-4]\d\Z")
_PADDED = re.compile(r"0\d")
_PLAIN = re.compile(r"\d{1,6}\Z")
_LETTERED = re.compile(r"(?:no\.?\s*|#\s?)?[^\W\d_]{1,6}[-–.]?\d", re.IGNORECASE)
_AMOUNT = re.compile(r"\d+[.,]\d\d\Z")
_WHOLE = re.compile(r"\d{1,3}(?:[,.]?\d{3})*\Z")
_WORD = re.compile(r"[^\W\d_](?:[^\W\d_]|[.'’`-])*\Z")
_CODE = re.compile(r"[A-Z][A-Z0-9&.]{1,4}\Z")
# a heading that only counts columns: 'Col 3', 'Field12'
CODED = re.compile(r"(?P<stem>[^\W\d_]{1,12}[\s._-]{0,2})\d{1,3}\Z")
_ROOKIE = re.compile(r"\(?(?:RC|R|RK|ROOKIE|ROOKIE CARD|1ST YEAR|FIRST YEAR|DEBUT)\)?[.*†]?\Z", re.IGNORECASE)
_UNMARKED = re.compile(
    r"\s*(?:[(\[][^()\[\]]{1,60}[)\]]|\b(?-i:RC)\b|\s[-–—]\s(?=rookie|redemption)"
    r"|\brookie\b|\bredemption\b|[*†‡§^°®™©])\s*",
    re.IGNORECASE,
)
_SHORT = {"d'", "l'", "d’", "o’"}
_SIDE = re.compile(r"\s*(?:/|;|\||\n|\s\+\s|\s&\s|\sand\s|\sw/\s)\s*", re.IGNORECASE)
_PARTICLES = {
    "de",
    "van",
    "von",
    "der",
    "den",
    "da",
    "di",
    "la",
    "le",
    "al",
    "el",
    "bin",
    "ap",
    "dos",
    "du",
    "af",
    "ten",
    "ter",
    "ó",
    "o",
    "st",
    "jr",
    "sr",
    "y",
}


def _nobody(_: str) -> bool:
    return False


@lru_cache(maxsize=65_536)
def _is_half(cell: str) -> bool:
    """Whether a cell is a forename or a surname, of one person or of each of two."""
    parts = [one for one in _SIDE.split(_unmarked(cell)) if one]
    return (
        bool(parts)
        and all(
            len(part.split()) <= 4
            and all(_WORD.match(_spaced(word)) for word in part.split())
            and not is_small(part[-1:] if len(part) == 1 else part.split()[-1][0])
            and (len(part.split()) < 2 or bool(surnames.MARKED.search(part)))
            for part in parts
        )
        and (len(cell) > 1 or not cell.isascii())
    )


def _are_codes(one: Profile) -> bool:
    """Whether cells are codes of one length, as 'TID' and 'BOS', or two of them."""
    codes = [part for cell in one.filled for part in _SIDE.split(cell)]
    lengths = Counter(len(code) for code in codes if _CODE.match(code))
    return bool(lengths) and max(lengths.values()) * 10 > 9 * len(codes)


_NAMES = 500  # of subsets, and more than there ever are
_LABEL = re.compile(r"\s*:\s+|\s+[-–—/|]\s+|\s*\(")


def _joined(names: Counter[str]) -> int:
    """How many names are a subset's and, behind a mark, its parallel's: 'base - brass', with 'base'."""
    if len(names) >= _NAMES:
        return 0
    return sum(any(name[: mark.start()] in names for mark in _LABEL.finditer(name)) for name in names)


def _joins_labels(names: Counter[str]) -> bool:
    """Whether some names are those of subsets and of their parallels."""
    return _joined(names) > 0


def _is_run(cell: str) -> bool:
    return bool(RUN_MARKED.match(cell)) or words.fold(cell) in {"unnumbered", "not numbered"}


_LADDER_MARK = re.compile(r"[#/(,;|]|copies|numbered|limited|one of one", re.IGNORECASE)


@lru_cache(maxsize=65_536)
def _is_ladder(cell: str) -> bool:
    """Whether a cell lists parallels: names with print runs, or several names."""
    if not 5 <= len(cell) < 2000 or not _LADDER_MARK.search(cell):
        return False
    rungs = ladder.read_list(cell)
    told = sum(one.print_run is not None for one in rungs)
    return bool(rungs) and (
        told * 2 >= len(rungs) or (len(rungs) > 1 and (told > 0 or "(" in cell or ";" in cell))
    )


@lru_cache(maxsize=65_536)
def _is_type(cell: str) -> bool:
    """Whether a cell names a kind of cards: 'BASE', 'AUTO RELIC, on-card', 'Insert card'."""
    return kinds.are_kinds(cell) or words.fold(cell) in {"veteran", "parallel"}


@lru_cache(maxsize=65_536)
def is_number(cell: str) -> bool:
    """Whether a cell may be a card's number: '12', 'DS-4', 'MV JT', never a phrase or a run."""
    bare = cell.strip()
    return (
        bool(bare)
        and len(bare) <= 20
        and not _WORDED.search(bare)
        and not _ORDINAL.match(bare)
        and not _DAY.match(bare)
        and bool(_NUMBER.match(bare) or _INITIALS.match(bare))
        and not RUN_MARKED.match(bare)
    )


@lru_cache(maxsize=65_536)
def is_person(cell: str) -> bool:
    """Whether a cell looks like one or more people: two to five words that are names, in either order."""
    parts = [one for one in _SIDE.split(_unmarked(cell)) if one]
    return bool(parts) and all(map(_is_name, parts))


def _unmarked(cell: str) -> str:
    return _UNMARKED.sub(" ", cell).strip()


def is_small(mark: str) -> bool:
    """Whether a letter is a small one in a script whose names begin with capitals."""
    return mark.islower() and not "\u10d0" <= mark <= "\u10ff"


def _spaced(word: str) -> str:
    """A word without its combining marks, which are no letters to a pattern."""
    if word.isascii():
        return word
    return "".join(mark for mark in word if not unicodedata.category(mark).startswith("M"))


def _is_name(part: str) -> bool:
    parts = [_spaced(one) for one in re.split(r"[\s,]+", part.strip()) if one]
    if len(parts) == 1 and people.is_written_whole(parts[0]):
        return True
    if not 2 <= len(parts) <= 6 or len(part) > 50:
        return False
    capitals = 0
    for one in parts:
        if not _WORD.match(one):
            return False
        if one and not is_small(one[0]):
            capitals += 1
        elif one.casefold().strip(".'’") not in _PARTICLES and one[:2].casefold() not in _SHORT:
            return False
    return capitals >= 2


@dataclass(frozen=True)
class Profile:
    """A column's cells in the order of the rows, blanks among them, with what can be counted of them."""

    place: int
    heading: str
    cells: tuple[str, ...]
    more: tuple[str, ...] = ()  # filled cells of other columns under the same heading

    @cached_property
    def filled(self) -> list[str]:
        """The cells that are not blank."""
        return [cell for cell in (*self.cells, *self.more) if cell]

    @cached_property
    def fill(self) -> float:
        """The share of cells that are not blank."""
        return sum(map(bool, self.cells)) / len(self.cells) if self.cells else 0.0

    @cached_property
    def kinds(self) -> Counter[str]:
        """The different cells, as compared, with their counts."""
        return Counter(words.fold(cell) for cell in self.filled)

    @cached_property
    def distinct(self) -> float:
        """The share of filled cells that are different from each other."""
        return len(self.kinds) / len(self.filled) if self.filled else 0.0

    @cached_property
    def blocks(self) -> int:
        """Into how many stretches of equal cells the filled cells fall."""
        folded = [words.fold(cell) for cell in self.filled]
        return sum(1 for a, b in zip(folded, [None, *folded], strict=False) if a != b)

    @cached_property
    def stretches(self) -> int:
        """Into how many stretches the filled cells fall that blank ones part."""
        return sum(
            bool(cell) and not before for cell, before in zip(self.cells, ("", *self.cells), strict=False)
        )

    @cached_property
    def is_constant(self) -> bool:
        """Whether all cells are the same, but for a heading that nobody took for one."""
        return len(set(map(words.fold, self.filled[1:]))) == 1

    @cached_property
    def is_steady(self) -> bool:
        """Whether nearly all cells are the same."""
        return max(self.kinds.values(), default=0) * 10 > 9 * len(self.filled)

    def share(self, test: Callable[[str], object]) -> float:
        """The share of filled cells that pass a test; each different cell is tried once."""
        if not self.filled:
            return 0.0
        tried: dict[str, bool] = {}
        for cell in self.filled:
            if cell not in tried:
                tried[cell] = bool(test(cell))
        return sum(tried[cell] for cell in self.filled) / len(self.filled)

    def kinds_share(self, test: Callable[[str], object]) -> float:
        """The share of the different cells that pass a test: one subset of many cards is not most of them."""
        return sum(bool(test(one)) for one in self.kinds) / len(self.kinds) if self.kinds else 0.0

    @cached_property
    def running(self) -> float:
        """The share of neighbours whose last digits go up by one, or start again at one."""
        once = [cell for cell, before in zip(self.filled, ["", *self.filled], strict=False) if cell != before]
        tails = [
            int(found[1]) if (found := _TAIL.search(cell)) and len(found[1]) < 7 else None for cell in once
        ]
        if len(tails) < 3:
            return 0.0
        steps = [b is not None and ((a is not None and b - a == 1) or b == 1) for a, b in pairwise(tails)]
        return sum(steps) / len(steps)


@dataclass(slots=True)
class Reading:
    """The role of each column by its place, how sure each is, and what else was thought of."""

    roles: dict[int, str] = field(default_factory=dict)
    margins: dict[int, float] = field(default_factory=dict)
    unsure: list[tuple[str, int, str]] = field(
        default_factory=list
    )  # heading, place and role of what is left out


def profiles(rows: Sequence[Sequence[str]], headings: Mapping[int, str]) -> list[Profile]:
    """The columns of a table's body."""
    if len(rows) > _SAMPLE:
        third, middle = _SAMPLE // 3, len(rows) // 2
        rows = [*rows[:third], *rows[middle : middle + third], *rows[-third:]]
    width = max([len(row) for row in rows] + [place + 1 for place in headings], default=0)
    return [
        Profile(place, headings.get(place, ""), tuple(row[place] if place < len(row) else "" for row in rows))
        for place in range(width)
    ]


def read(
    columns: Sequence[Profile],
    known: Mapping[int, str],
    *,
    is_team: Callable[[str], bool],
    is_named: Callable[[str], bool] = _nobody,
    formats: Sequence[str] = (),
    said: Said = NOTHING_SAID,
    told: Mapping[int, str] = _UNKNOWN,
) -> Reading:
    """The roles of columns, given jointly.

    Parameters
    ----------
    known : the role that each heading names, by place; blank where its words are not known
    said : what other documents say, to tell forenames from surnames
    is_team : whether a cell is a team's name, code or other spelling, as the season or the file's key has it
    is_named : whether other documents have a cell's words
    told : what somebody said that columns hold, by place; what is none of the roles leaves a column out
    """
    columns = _without_copies(columns, known)
    shape = _Shape(columns, is_team, known, said, is_named)
    roles, margins = _Jointly(columns, shape, _worths(columns, known, shape, formats, told)).read()
    found = Reading(roles, margins)
    for one in columns:
        role = roles.get(one.place, "")
        is_open = known.get(one.place, "") != role and one.place not in told
        if role and margins[one.place] < SURE and is_open:
            found.unsure.append((one.heading, one.place, roles.pop(one.place)))
    _second(found, columns, known, shape, told)
    for place, role in told.items():
        if role not in ROLES and role.removesuffix(" 2") in roles.values():
            roles[place], margins[place] = role, _TOLD
    return found


def _worths(
    columns: Sequence[Profile],
    known: Mapping[int, str],
    shape: _Shape,
    formats: Sequence[str],
    told: Mapping[int, str],
) -> list[list[float]]:
    """What contents and heading say for each role of each column."""
    worth = [[-9.0] * len(ROLES) for _ in columns]
    counts = Counter(known.values())
    shares = {role: _most_like(role, columns, known, shape) for role in counts if role in ROLES}
    for row, one in enumerate(columns):
        if not one.filled:
            continue
        if one.place in told:
            if told[one.place] in ROLES:
                worth[row][ROLES.index(told[one.place])] = _TOLD
            continue
        is_constant = one.is_constant and len(one.filled) > 3 and one.fill > 0.5
        for column, role in enumerate(ROLES):
            named = known.get(one.place, "")
            if named and named not in PERSONAL[2:] and counts[named] > 1 and shares.get(named) is not one:
                named = ""  # two columns are headed alike: the heading says little
            if named in {"first", "last"} and shape.persons[one.place] > _WHOLE_NAMES:
                named = ""  # 'First' over whole names: the first of two persons
            if named == "subset" and one.share(_is_type) > 0.95 and one.kinds_share(_is_type) > 0.5:
                named = ""  # kinds of cards, whatever is written above them
            if is_constant and role == "subset" and named == role:
                worth[row][column] = _LEAST + 0.2  # the release, unless no other column names a subset
                continue
            if is_constant and role in _VARYING and named != role:
                continue  # what is the same in every row says nothing of a card
            if named not in _LOOSE or role not in _NOTED:
                worth[row][column] = shape.evidence(one, role, formats) + _of_heading(named, role)
    return worth


def _most_like(
    role: str, columns: Sequence[Profile], known: Mapping[int, str], shape: _Shape
) -> Profile | None:
    """Of columns headed as one role, the fullest; of equally full ones what looks most like it."""
    headed = [one for one in columns if known.get(one.place) == role]
    return max(headed, key=lambda one: (round(one.fill, 1), shape.evidence(one, role, ())), default=None)


class _Jointly:
    """One role a column, one column a role, by the best total; a column may also be nothing, worth the least.

    The columns that say who is on the cards are chosen together, as the rows bear them out.
    """

    def __init__(self, columns: Sequence[Profile], shape: _Shape, worth: Sequence[Sequence[float]]) -> None:
        import numpy as np

        self.columns, self.shape = columns, shape
        none = np.where(np.eye(len(columns), dtype=bool), _LEAST, _NEVER)
        self.worth = np.hstack([np.array(worth), none]) if columns else none
        self.of_persons = [ROLES.index(role) for role in _OF_PERSONS]

    def read(self) -> tuple[dict[int, str], dict[int, float]]:
        """The roles by place, and by how much each beats the next best reading without it."""
        casts = self._casts()
        if not casts:
            return self._with_margins(self.worth)
        rows = self.shape.rows_of({place for cast in casts for place in cast.roles})
        scored = [(self._total(cast) + (rows.worth(cast) if cast.names else NOBODY), cast) for cast in casts]
        best, cast = max(scored, key=lambda one: one[0])
        roles, margins = self._with_margins(self._held_to(cast))
        for place, role in cast.roles.items():
            others = [total for total, other in scored if other.names and other.roles.get(place) != role]
            margins[place] = best - max(others, default=best - _ALONE)
            twins = self._twins(place, role, roles) if margins[place] < SURE else []
            if twins:  # a second person's column stands behind the first's
                del roles[place]
                first = min(place, *twins)
                roles[first], margins[first] = role, SURE
        return roles, margins

    def _twins(self, place: int, role: str, roles: Mapping[int, str]) -> list[int]:
        """The columns that could have a role as well as the one that got it, and have none."""
        worth = {one.place: self.worth[row, ROLES.index(role)] for row, one in enumerate(self.columns)}
        least = max(_LEAST, worth[place] - SURE)
        return [other for other in worth if other not in roles and worth[other] > least]

    def _casts(self) -> list[Cast]:
        """The columns that may say who is on the cards, or that nobody is; none where rows are no cards."""
        if self.shape.number_place is None:
            return []
        value = {
            role: {one.place: self.worth[row, ROLES.index(role)] for row, one in enumerate(self.columns)}
            for role in _OF_PERSONS
        }
        likely = {
            role: sorted((place for place in told if told[place] > _UNLIKELY), key=told.__getitem__)[-_FEW:]
            for role, told in value.items()
        }
        found = list(possible(*(likely[role] for role in _OF_PERSONS)))
        return [*found, Cast(())] if found else []

    def _held_to(self, cast: Cast) -> _Matrix:
        """The worth of every role where the persons stand in the columns of a cast and nowhere else."""
        worth = self.worth.copy()
        worth[:, self.of_persons if cast.names else self.of_persons[:-1]] = _NEVER
        for row, one in enumerate(self.columns):
            if role := cast.roles.get(one.place):
                place = ROLES.index(role)
                worth[row, :] = _NEVER
                worth[row, place] = self.worth[row, place]
        return worth

    def _total(self, cast: Cast) -> float:
        """What a cast and the best of all other roles are worth, less the columns of words without one."""
        from scipy.optimize import linear_sum_assignment

        worth = self._held_to(cast)
        rows, chosen = linear_sum_assignment(worth, maximize=True)
        idle = sum(
            j >= len(ROLES) and self.shape.is_worded(self.columns[i])
            for i, j in zip(rows.tolist(), chosen.tolist(), strict=True)
        )
        return float(worth[rows, chosen].sum()) - _IDLE * idle

    def _with_margins(self, worth: _Matrix) -> tuple[dict[int, str], dict[int, float]]:
        from scipy.optimize import linear_sum_assignment

        rows, chosen = linear_sum_assignment(worth, maximize=True)
        total = worth[rows, chosen].sum()
        roles: dict[int, str] = {}
        margins: dict[int, float] = {}
        for i, j in zip(rows.tolist(), chosen.tolist(), strict=True):
            if j >= len(ROLES):
                continue
            without = worth.copy()
            without[i, j] = _NEVER
            place = self.columns[i].place
            roles[place] = ROLES[j]
            margins[place] = float(total - without[linear_sum_assignment(without, maximize=True)].sum())
        return roles, margins


def _without_copies(columns: Sequence[Profile], known: Mapping[int, str]) -> list[Profile]:
    """The columns without those that say the same as another in every row; one with a known heading stays."""
    first: dict[tuple[str, ...], Profile] = {}
    for one in columns:
        other = first.get(one.cells)
        if other is None or (one.place in known and known[one.place] and not known.get(other.place)):
            first[one.cells] = one
    return [one for one in columns if len(one.kinds) < 3 or first[one.cells] is one]


def _of_heading(named: str, role: str) -> float:
    if not named:
        return 0.0
    if named in _LOOSE:
        return _LOOSELY if named == role else 0.0
    return _NAMED if named == role else -_MISNAMED


def _second(
    found: Reading,
    columns: Sequence[Profile],
    known: Mapping[int, str],
    shape: _Shape,
    told: Mapping[int, str],
) -> None:
    """Columns of a second person: they look as the first's do, stand after them, and are headed alike."""
    first = {role: place for place, role in found.roles.items()}
    heads = {one.place: stem(one.heading) for one in columns}
    for is_strict in (True, False):
        for one in columns:
            if one.place in {*found.roles, *told} or not one.filled or one.is_steady:
                continue
            for role in PERSONAL:
                if role not in first or f"{role} 2" in found.roles.values() or one.place < first[role]:
                    continue
                if role == "subject" and "team" in first and shape.is_second(one, "team"):
                    continue
                alike = bool(heads[one.place]) and heads[one.place] == heads[first[role]]
                fits = alike or (not is_strict and known.get(one.place, "") in {"", role})
                if fits and shape.is_second(one, role, _ALIKE if alike else _LIKELY):
                    found.roles[one.place] = f"{role} 2"
                    found.margins[one.place] = 1.0
                    break
    halves = {role: place for place, role in found.roles.items() if role in {"first 2", "last 2"}}
    if len(halves) == 1:
        del found.roles[next(iter(halves.values()))]


def stem(heading: str) -> str:
    """A heading without the number or letter behind it: 'Athlete 1' and 'Athlete 2' are one."""
    return re.sub(r"[\s_#.(]*(?:\d+|(?<=\s)[ab])\)?$", "", words.fold(heading)).strip()


class _Shape:
    """The table as a whole: what columns are only beside each other."""

    def __init__(
        self,
        columns: Sequence[Profile],
        is_team: Callable[[str], bool],
        known: Mapping[int, str] = _UNKNOWN,
        said: Said = NOTHING_SAID,
        is_named: Callable[[str], bool] = _nobody,
    ) -> None:
        self.columns, self.is_team, self.known, self.said = columns, is_team, known, said
        self.is_named = is_named
        self.rows = len(columns[0].cells) if columns else 0
        self._told: dict[tuple[int, str], float] = {}
        self._counting: dict[int, bool] = {}

    @cached_property
    def at(self) -> dict[int, Profile]:
        return {one.place: one for one in self.columns}

    @cached_property
    def persons(self) -> dict[int, float]:
        return {one.place: one.share(is_person) for one in self.columns}

    @cached_property
    def teams(self) -> dict[int, float]:
        return {
            one.place: one.share(lambda cell: all(map(self.is_team, _teams_in(cell, self.is_team))))
            for one in self.columns
        }

    @cached_property
    def numbers(self) -> dict[int, float]:
        return {one.place: one.share(is_number) for one in self.columns}

    def evidence(self, one: Profile, role: str, formats: Sequence[str]) -> float:
        key = (one.place, role)
        if key not in self._told:
            self._told[key] = (
                getattr(self, f"_{role}")(one)
                if role not in {"parallels", "formats"}
                else self._of_lists(one, role, formats)
            )
        return self._told[key]

    # ------------------------------------------------------------ the roles
    def _number(self, one: Profile) -> float:
        share = self.numbers[one.place]
        if share < 0.6:
            return -8.0 if share < 0.3 else -4.0
        worth = 6 * (share - 0.7) + 3 * one.running + min(one.fill - 0.9, 0) * 6
        if one.kinds and len(one.kinds) * 3 < len(one.filled) and one.running < 0.3:
            worth -= 3
        if self._is_count(one):
            return -2.0
        if one.share(_AMOUNT.match) > 0.8:
            return -4.0
        if any(re.search(r"[^\W\d_]", cell) for cell in one.filled[:200]) or re.search(
            r"\b0\d", " ".join(one.filled[:50])
        ):
            worth += 1.2  # prefixes and padded numbers are nothing else
        if one.share(lambda cell: bool(RUN_MARKED.match(cell))) > 0.5:
            worth -= 5
        if self.teams[one.place] > 0.7:
            worth -= 3
        return worth

    def _counts_rows(self, one: Profile) -> bool:
        """Whether a column counts the rows, from the first to the last."""
        if one.place not in self._counting:
            # the first may be a heading that nobody took for one
            cells = one.filled[not _PLAIN.match(one.filled[0]) :] if one.filled else []
            numbers = [int(cell) for cell in cells if _PLAIN.match(cell)]
            steps = sum(b == a + 1 for a, b in pairwise(numbers))
            self._counting[one.place] = len(numbers) == len(cells) > 3 and steps * 100 >= 95 * (
                len(numbers) - 1
            )
        return self._counting[one.place]

    def _is_no_count(self, one: Profile) -> bool:
        """Whether numbers do not count rows: they leap, begin anew padded, or go with the same persons."""
        if not self._counts_rows(one) or self._names_again(one):
            return True
        is_padded = any(_PADDED.match(cell) for cell in one.filled[:50])
        numbers = [int(cell) for cell in one.filled if _PLAIN.match(cell)]
        return is_padded and any(b < a for a, b in pairwise(numbers))

    def _names_again(self, one: Profile) -> bool:
        """Whether most numbers stand in several rows with the same person: a row a card and parallel."""
        names = max(self.columns, key=lambda column: self.persons[column.place])
        pairs = Counter(zip(one.cells, names.cells, strict=True))
        again = sum(number for (cell, _), number in pairs.items() if cell and number > 1)
        return self.persons[names.place] > 0.6 and again * 2 > len(one.filled)

    def _is_count(self, one: Profile) -> bool:
        """Whether a column counts rows beside another that has the numbers of the cards."""
        if one.share(_PLAIN.match) < 0.95:
            return False
        for other in self.columns:
            if other.place == one.place or self.numbers[other.place] < 0.9 or other.fill < 0.8:
                continue
            if other.share(RUN_MARKED.match) > 0.5 or len(other.kinds) < min(3, len(other.filled)):
                continue
            lettered = other.share(lambda cell: any(mark.isalpha() for mark in cell)) > 0.3
            if (lettered and (other.running > 0.3 or other.distinct > 0.3)) or (
                self._counts_rows(one) and self._is_no_count(other) and other.running > 0.5
            ):
                return True
            if other.cells == one.cells and other.place > one.place:
                return True
        return False

    def _subject(self, one: Profile) -> float:
        share = self.persons[one.place]
        named = set(self.known.values())
        if {"first", "last"} <= named and self.known.get(one.place, "") != "subject":
            return -4.0
        worth = 6 * (share - 0.65) + 2 * min(one.distinct, 0.5) + min(one.fill - 0.9, 0) * 5
        worth += one.share(lambda cell: "," in cell)  # 'Last, First' is nobody's team
        if self.teams[one.place] > 0.5:
            worth -= 4
        if one.distinct < 0.15 and len(one.filled) > 30 and len(one.kinds) < 15:
            worth -= 3
        return worth if share > 0.4 else -8.0 if self.numbers[one.place] > 0.7 else -4.0

    def _first(self, one: Profile) -> float:
        return self._half(one, -1)

    def _last(self, one: Profile) -> float:
        return self._half(one, 1)

    @cached_property
    def halves(self) -> dict[int, float]:
        """The columns of single names by place, with how much they look like surnames."""
        found = {}
        for one in self.columns:
            if one.fill < 0.7 or len(one.kinds) < 3 or (one.distinct < 0.06 and len(one.kinds) < 8):
                continue
            if self.teams[one.place] > 0.5 or one.share(_is_half) < 0.9 or _are_codes(one):
                continue
            found[one.place] = surnames.likeness(people.unmarked(cell)[0] for cell in one.filled)
        return found

    def _half(self, one: Profile, side: int) -> float:
        """A forename or a surname: single words that differ, with another column of the same kind."""
        halves = self.halves
        if one.place not in halves or len(halves) < 2:
            return -4.0
        worth = -9.0
        for other in self.columns:
            if other.place == one.place or other.place not in halves:
                continue
            tilt = halves[one.place] - halves[other.place]
            tilt += 1.5 * math.log(one.distinct / other.distinct)
            tilt += 0.2 if one.place > other.place else -0.2
            worth = max(worth, 1.8 + side * max(-2.5, min(2.5, tilt)))
        if any(
            self.persons[c.place] > 0.8 and c.distinct > 0.3 for c in self.columns if c.place not in halves
        ):
            worth -= 2
        return worth

    def _team(self, one: Profile) -> float:
        known = self.teams[one.place]
        worth = 6 * (known - 0.5) if known > 0.2 else 0.0
        number = len(one.kinds)
        is_code = one.share(_CODE.match) > 0.9
        if known < 0.2:
            if number < 4 or number > 70 or len(one.filled) < 8:
                return -3.0
            if one.share(lambda cell: is_small(cell[0])) > 0.8:
                return -3.0  # 'helm', 'bow': what somebody does, and no name
            recurs = len(one.filled) / number
            is_worded = one.share(
                lambda cell: bool(re.search(r"[^\W\d_]{2,}", cell)) and not re.search(r"\d{3,}", cell)
            )
            if is_worded < 0.9:
                return -3.0
            worth = 0.6 + min(recurs, 6) * 0.25
            scattered = one.blocks / number
            worth += 0.8 if scattered > 1.5 else -0.6
            if is_code and number < 8:
                worth -= 3  # positions on the field are few, teams are many
            if number < 8 and not is_code:
                worth -= 0.8
        worth += min(one.fill - 0.8, 0) * 4
        return worth

    @cached_property
    def starts(self) -> set[int]:
        """The rows where card numbers begin anew: another prefix, or lower than before."""
        place = self.number_place
        if place is None:
            return set()
        found, before = set(), ("", -1)
        for row, cell in enumerate(self.at[place].cells):
            if not cell:
                continue
            tail = _TAIL.search(cell)
            this = (cell[: tail.start()] if tail else cell.rsplit("-", 1)[0], int(tail[1]) if tail else -1)
            if this[0] != before[0] or (tail and this[1] < before[1]):
                found.add(row)
            before = this
        return found

    def rows_of(self, places: Iterable[int]) -> Rows:
        """The rows with the words of some columns, and the card that each row is of."""
        number = self.number_place
        numbers = self.at[number].cells if number is not None else ("",) * self.rows
        cards, stretch = [], 0
        for row, cell in enumerate(numbers):
            stretch += row in self.starts
            cards.append((stretch, cell or str(row)))
        told = {
            place: [words.fold(people.unmarked(cell)[0]) for cell in self.at[place].cells] for place in places
        }
        return Rows(told, cards, self.said)

    def is_worded(self, one: Profile) -> bool:
        """Whether a column is full of different words, which ought to mean something."""
        return (
            one.fill > 0.8
            and len(one.kinds) > 2
            and self.numbers[one.place] < 0.5
            and one.share(lambda cell: len(cell) > 1 and cell[0].isalpha()) > 0.8
        )

    @cached_property
    def number_place(self) -> int | None:
        """The column that most looks like card numbers."""
        worth = {
            one.place: self._number(one) + _of_heading(self.known.get(one.place, ""), "number")
            for one in self.columns
            if one.filled
        }
        best = max(worth, key=lambda place: worth[place], default=None)
        return best if best is not None and worth[best] > 0 else None

    @cached_property
    def _headed(self) -> int:
        """Whether the first row has no card's number, as a heading that nobody took for one has none."""
        place = self.number_place
        return int(place is not None and not is_number(self.at[place].cells[0]))

    def _heads_blocks(self, one: Profile) -> float:
        """Whether a column is filled in the first row of each stretch of numbers alone."""
        above = ("", *one.cells)  # a row may stand twice
        rows = [row for row, cell in enumerate(one.cells) if cell and cell != above[row]]
        if not rows or rows[0] > self._headed or len(rows) * 4 > len(one.cells) or len(one.kinds) < len(rows):
            return -2.0
        if one.share(lambda cell: cell[:1].isalpha() and len(cell) > 2 and not words.is_yes(cell)) < 1:
            return -2.0
        if one.share(_is_ladder) > 0.4 or one.share(_is_run) > 0:
            return -2.0
        hit = sum(not row or row in self.starts for row in rows)
        if len(rows) < 2:
            return 0.6
        said = (_NAMED - _MISNAMED) * (one.kinds_share(self.is_named) > _NAMED_ELSEWHERE)
        return said + (3.4 if hit * 10 >= 8 * len(rows) else 2.4)

    def _subset(self, one: Profile) -> float:
        number = len(one.kinds)
        if one.fill < 0.3:
            return self._heads_blocks(one)
        if one.share(_is_ladder) > 0.5 or one.share(_is_run) > 0.3 or one.share(words.is_yes) > 0.5:
            return -4.0
        if number < 2 or number * 2 > len(one.filled) or len(one.filled) < 5:
            return -2.0 if number != 1 else -0.5
        if self.teams[one.place] > 0.5 or one.share(_WHOLE.match) > 0.3:
            return -4.0
        stray = number > 2  # a slip in one cell parts a stretch in two
        in_blocks = one.blocks <= number * 1.15 + stray or self._changes_at_starts(one)
        joined = _joined(one.kinds)
        are_below = joined * 2 >= number  # a card's parallels stand in the rows below it
        worth = 0.4 + (2.2 if in_blocks else 0.6 if are_below or one.blocks <= 2 * number else -1.5)
        if self._tells_numbers_apart(one):
            worth += 1.5
        if joined:
            worth += 3.0
        if one.share(_is_type) > 0.95 and one.kinds_share(_is_type) > 0.5 and number <= 14:
            worth -= 6.0
        if self.persons[one.place] > 0.95 and one.distinct > 0.3:
            worth -= 2
        if one.blocks <= 2 * number and one.kinds_share(self.is_named) > _NAMED_ELSEWHERE:
            worth += _NAMED - _MISNAMED
        return worth

    def _changes_at_starts(self, one: Profile) -> bool:
        """Whether a full column changes where card numbers begin anew, and nowhere else."""
        folded = [words.fold(cell) for cell in one.cells]
        edges = [row for row, (a, b) in enumerate(pairwise(folded), 1) if a != b]
        hit = sum(row in self.starts for row in edges)
        return one.fill > 0.95 and bool(edges) and hit * 20 >= 19 * len(edges)

    def _tells_numbers_apart(self, one: Profile) -> bool:
        """Whether card numbers that recur in the sheet are told apart by this column."""
        number = max(
            self.columns, key=lambda c: (self.numbers[c.place] > 0.8) * (c.running + c.distinct), default=None
        )
        if number is None or self.numbers[number.place] < 0.8 or number.distinct > 0.98:
            return False
        pairs = {(a, words.fold(b)) for a, b in zip(number.cells, one.cells, strict=True) if a}
        return len(pairs) > 0.98 * len(number.filled)

    def _kind(self, one: Profile) -> float:
        share, number = one.share(_is_type), len(one.kinds)
        if share < 0.9 or number > 14 or one.kinds_share(_is_type) <= 0.5:
            return -3.0
        return 1.6 + 1.5 * (number > 1)

    def _print_run(self, one: Profile) -> float:
        if one.place in self.named_runs and (len(self.named_runs) > 1 or len(set(one.filled)) < 3):
            return 0.5  # the same run again and again may be that of the parallel which the heading names
        if one.running > 0.4 or one.share(_YEAR.match) > 0.5:
            return -6.0
        marked = one.share(lambda cell: RUN_MARKED.match(cell) or _HASHED.match(cell))
        blank = one.share(
            lambda cell: words.is_no(cell) or words.fold(cell) in {"unnumbered", "open", "unlimited"}
        )
        if marked + blank > 0.9 and marked > 0.05:
            return 3.5
        plain = one.share(lambda cell: bool(_WHOLE.match(cell)))
        if plain + blank + marked < 0.95:
            return -4.0
        if set(one.filled) == {"1"} and one.stretches * 3 > len(one.filled):
            return -2.0  # cards of which one exists stand together; a mark stands here and there
        worth = 0.3
        if one.blocks * 3 > len(one.filled) > _FEW_RUNS:
            worth -= 1.5  # the cards of a subset have one run, or a few: neighbours are alike
        if len(one.kinds) * 3 < len(one.filled):
            worth += 0.6
        usual = one.share(lambda cell: cell.replace(",", "") in _USUAL_RUNS)
        return worth + 1.2 * usual - (0.6 if one.fill > 0.98 and usual < 0.5 else 0)

    @cached_property
    def named_runs(self) -> set[int]:
        """The columns of marked print runs whose headings could be names of parallels."""
        return {
            one.place
            for one in self.columns
            if one.heading
            and self.known.get(one.place, "") != "print_run"
            and not any(word[0].islower() for word in one.heading.split()[1:])
            and not CODED.match(one.heading)
            and one.filled
            and one.share(RUN_MARKED.match) > 0.8
        }

    def _rookie(self, one: Profile) -> float:
        if one.share(_ROOKIE.match) > 0.9 and len(one.kinds) <= 3:
            return 3.5
        marks = one.share(lambda cell: words.is_yes(cell) or words.is_no(cell))
        return 0.4 if marks > 0.95 and 0.02 < one.share(words.is_yes) * one.fill < 0.6 else -4.0

    def _signed(self, one: Profile) -> float:
        share = one.share(
            lambda cell: (
                words.is_no(cell)
                or words.is_yes(cell)
                or words.SIGNED_WORDS.search(cell)
                or words.ON_CARD.search(cell)
                or words.ON_STICKER.search(cell)
                or words.fold(cell) in words.SIGNED_CELLS
            )
        )
        says = one.share(lambda cell: words.ON_CARD.search(cell) or words.ON_STICKER.search(cell))
        if one.share(words.RELIC_WORDS.search) > 0.5:
            says = 0  # how a card is signed and what is in it: its kind
        return -4.0 if share < 0.95 else 2.5 * says - 0.2

    def _relic(self, one: Profile) -> float:
        share = one.share(
            lambda cell: (
                words.is_no(cell)
                or words.is_yes(cell)
                or words.RELIC_WORDS.search(cell)
                or any(p.search(cell) for _, p in words.WORN)
            )
        )
        says = one.share(lambda cell: any(p.search(cell) for _, p in words.WORN))
        if one.share(words.SIGNED_WORDS.search) > 0.5:
            says = 0
        return -4.0 if share < 0.95 else 2.5 * says - 0.2

    def _of_lists(self, one: Profile, role: str, formats: Sequence[str]) -> float:
        if role == "formats":
            return (
                0.9
                if formats and one.share(lambda cell: bool(ladder.formats_in(cell, formats))) > 0.95
                else -3.0
            )
        lists = one.share(_is_ladder)
        if self.teams[one.place] > 0.5:
            return -9.0
        if self._is_twin(one):
            return -3.0
        return 4.5 * lists if lists > 0.7 and one.share(RUN_MARKED.match) < 0.5 else -3.0

    def _is_twin(self, one: Profile) -> bool:
        """Whether a column of persons is headed as another of persons is, but for a number.

        'Quill, Ada (Harbour)' could be a list of two parallels by its marks alone.
        """
        head = stem(one.heading)
        if not head or self.persons[one.place] <= 0.9:
            return False
        others = (c for c in self.columns if c.place != one.place and stem(c.heading) == head)
        return any(self.persons[c.place] > 0.9 for c in others)

    def _parallel(self, one: Profile) -> float:
        number = len(one.kinds)
        if self.numbers[one.place] > 0.6 or one.share(_is_run) > 0.3:
            return -3.0
        if (
            number < 2
            or number * 2 > len(one.filled)
            or self.teams[one.place] > 0.3
            or self.persons[one.place] > 0.9
        ):
            return -3.0
        if _joins_labels(one.kinds) or one.share(_is_type) > 0.9:
            return -3.0
        return 5.0 if self._repeats_cards(one) else -2.0

    def _repeats_cards(self, one: Profile) -> bool:
        """Whether one card, by number and person, stands in rows that only this column tells apart.

        Of several columns of numbers one may count the rows, and one be the same in all of them.
        """
        person = max(self.columns, key=lambda c: self.persons[c.place], default=None)
        numbers = [
            c
            for c in self.columns
            if self.numbers[c.place] > 0.8 and c not in (one, person) and len(c.kinds) * 30 > self.rows
        ]
        if person is None:
            return False
        return any(self._tells_apart(one, number, person) for number in numbers)

    def _tells_apart(self, one: Profile, number: Profile, person: Profile) -> bool:
        """Whether a column tells apart most rows that are alike in number and person."""
        cards = Counter(zip(number.cells, person.cells, strict=True))
        if len(one.kinds) > 40 or len(one.kinds) * 2 > len(cards):
            return False
        more = sum(n for n in cards.values() if n > 1)
        whole = Counter(zip(number.cells, person.cells, one.cells, strict=True))
        return more * 2 > self.rows and sum(n for n in whole.values() if n > 1) * 10 < more

    def _note(self, _one: Profile) -> float:
        return -0.5

    def _variation(self, one: Profile) -> float:
        return (
            -0.5
            if one.share(
                lambda cell: (
                    words.is_yes(cell)
                    or words.is_no(cell)
                    or words.VARIATION.search(cell)
                    or words.SHORT_PRINT.search(cell)
                )
            )
            > 0.9
            else -4.0
        )

    def _redemption(self, one: Profile) -> float:
        if one.share(words.REDEMPTION.search) > 0.95:
            return 3.5
        return (
            -0.5
            if one.share(
                lambda cell: words.is_yes(cell) or words.is_no(cell) or words.REDEMPTION.search(cell)
            )
            > 0.9
            else -4.0
        )

    @cached_property
    def team_names(self) -> set[str]:
        """The cells of the column that most looks like teams."""
        worth = {one.place: self._team(one) for one in self.columns if one.filled}
        best = max(worth, key=lambda place: worth[place], default=None)
        if best is None or worth[best] < _LEAST:
            return set()
        return {cell for one in self.columns if one.place == best for cell in one.filled}

    def is_second(self, one: Profile, role: str, least: float = _LIKELY) -> bool:
        """Whether a column could be a second person's: names or teams in some rows, this share of them."""
        if role == "team":
            return self.teams.get(one.place, 0) > 0.7 or one.share(lambda cell: cell in self.team_names) > 0.5
        if role == "subject":
            return self.persons.get(one.place, 0) > least and one.distinct > 0.1
        if role in {"first", "last"}:
            return one.share(_is_half) > least and not self.teams.get(one.place, 0) > 0.5
        return (
            len(one.kinds) > 1
            and one.share(lambda cell: len(cell) > 1 and bool(_WORD.match(cell.split()[0]))) > 0.9
        )


_USUAL_RUNS = {
    str(n)
    for n in (
        1,
        2,
        3,
        5,
        8,
        10,
        12,
        15,
        20,
        25,
        30,
        35,
        40,
        49,
        50,
        60,
        65,
        70,
        75,
        80,
        99,
        100,
        120,
        125,
        149,
        150,
        175,
        199,
        200,
        225,
        249,
        250,
        275,
        299,
        300,
        349,
        350,
        399,
        400,
        450,
        499,
        500,
        599,
        699,
        750,
        799,
        899,
        999,
        1000,
        1499,
        1999,
    )
}


def _teams_in(cell: str, is_team: Callable[[str], bool]) -> list[str]:
    return [cell] if is_team(cell) else [one for one in re.split(r"\s*[/;|\n]\s*", cell) if one] or [cell]
