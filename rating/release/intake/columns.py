"""What each column of a table holds, told by its contents; the heading is one piece of evidence among others.

Each column is profiled once (profiles.py), and every role gets evidence from every profile (evidence.py).
Roles are given jointly: one role a column, one column a role, the best total
(`scipy.optimize.linear_sum_assignment`). What the total loses where a column must not have its role is how
sure the reading is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from rating.release.intake import looks
from rating.release.intake.casts import NOBODY, NOTHING_SAID, Cast, Said, possible
from rating.release.intake.evidence import ALIKE, LEAST, LIKELY, LOOSE, UNKNOWN, Evidence, nobody, of_heading
from rating.release.intake.profiles import Profile, stem

ROLES = (
    "number", "subject", "first", "last", "team", "subset", "kind", "print_run", "rookie", "parallels",
    "parallel", "signed", "relic", "note", "variation", "redemption", "formats",
)  # fmt: skip
# roles that a second person's columns have too, as 'subject 2'
PERSONAL = ("subject", "last", "first", "team")
# what cannot be the same on all cards
_VARYING = frozenset(("number", "subject", "first", "last", "team", "subset", "parallel"))
# what notes are read for in pieces
_NOTED = frozenset(("parallels", "kind", "signed", "relic", "variation", "redemption"))
# what a person says of a column goes before all evidence
_TOLD = 99.0
_WHOLE_NAMES = 0.8  # of a column's cells that are forename and surname
# a reading that beats the next best by less is not taken
SURE = 0.5
_NEVER = -99.0
_Matrix: TypeAlias = Any  # an array; numpy is imported where it is needed
_OF_PERSONS = ("subject", "first", "last", "team")
# columns whose evidence for a role is under this are not tried in it; no more than so many are
_UNLIKELY, _FEW = -1.0, 5
# how sure the only columns are that can say who is on the cards
_ALONE = 3.0
# what it costs to leave out a column that is full of words
_IDLE = 1.5


@dataclass(slots=True)
class Reading:
    """The role of each column by its place, how sure each is, and what else was thought of."""

    roles: dict[int, str] = field(default_factory=dict)
    margins: dict[int, float] = field(default_factory=dict)
    unsure: list[tuple[str, int, str]] = field(
        default_factory=list
    )  # heading, place and role of what is left out


def read(
    columns: Sequence[Profile],
    known: Mapping[int, str],
    *,
    is_team: Callable[[str], bool],
    is_named: Callable[[str], bool] = nobody,
    is_known: Callable[[str], bool] = nobody,
    formats: Sequence[str] = (),
    said: Said = NOTHING_SAID,
    told: Mapping[int, str] = UNKNOWN,
) -> Reading:
    """The roles of columns, given jointly.

    Parameters
    ----------
    known : the role that each heading names, by place; blank where its words are not known
    said : what other documents say, to tell forenames from surnames
    is_team : whether a cell is a team's name, code or other spelling, as the season or the file's key has it
    is_named : whether other documents have a cell's words
    is_known : whether a name of one word is a person's, as a sure column of these files has it
    told : what somebody said that columns hold, by place; what is none of the roles leaves a column out
    """
    columns = _without_copies(columns, known)
    shape = Evidence(columns, is_team, known, said, is_named, is_known)
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
    shape: Evidence,
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
            if (
                named == "subject"
                and shape.numbers[one.place] > _WHOLE_NAMES
                and not shape.persons[one.place]
            ):
                named = ""  # 'Name' over the numbers of cards
            if named == "subset" and one.share(looks.is_type) > 0.95 and one.kinds_share(looks.is_type) > 0.5:
                named = ""  # kinds of cards, whatever is written above them
            if is_constant and role == "subset" and named == role:
                worth[row][column] = LEAST + 0.2  # the release, unless no other column names a subset
                continue
            if is_constant and role in _VARYING and named != role:
                continue  # what is the same in every row says nothing of a card
            if named not in LOOSE or role not in _NOTED:
                worth[row][column] = shape.evidence(one, role, formats) + of_heading(named, role)
    return worth


def _most_like(
    role: str, columns: Sequence[Profile], known: Mapping[int, str], shape: Evidence
) -> Profile | None:
    """Of columns headed as one role that may have it, the fullest; of equally full ones the likeliest."""
    headed = [one for one in columns if known.get(one.place) == role]
    worth = {one.place: shape.evidence(one, role, ()) for one in headed}
    return max(
        headed,
        key=lambda one: (worth[one.place] > _UNLIKELY, round(one.fill, 1), worth[one.place]),
        default=None,
    )


class _Jointly:
    """One role a column, one column a role, by the best total; a column may also be nothing, worth the least.

    The columns that say who is on the cards are chosen together, as the rows bear them out.
    """

    def __init__(self, columns: Sequence[Profile], shape: Evidence, worth: Sequence[Sequence[float]]) -> None:
        import numpy as np

        self.columns, self.shape = columns, shape
        none = np.where(np.eye(len(columns), dtype=bool), LEAST, _NEVER)
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
        least = max(LEAST, worth[place] - SURE)
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


def _second(
    found: Reading,
    columns: Sequence[Profile],
    known: Mapping[int, str],
    shape: Evidence,
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
                if fits and shape.is_second(one, role, ALIKE if alike else LIKELY):
                    found.roles[one.place] = f"{role} 2"
                    found.margins[one.place] = 1.0
                    break
    halves = {role: place for place, role in found.roles.items() if role in {"first 2", "last 2"}}
    if len(halves) == 1:
        del found.roles[next(iter(halves.values()))]
