"""Tables that point at each other by keys, as a database exports them, joined to the tables they amount to.

A table is pointed at where all cells of another's column are among its keys. What nothing points at is the
table of cards, of odds or of parallels; what it points at is put in place of the keys.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import PurePath

from rating.release.intake import columns as contents
from rating.release.intake import profiles, words
from rating.release.intake.shapes.rows import part
from rating.release.intake.sheet_kinds import CARD_LIST, KEY, ODDS_LIST, PARALLEL_LIST
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns

_COLUMNS = Columns("checklist")
_KEYS = frozenset(("id", "key", "code", "ref", "no", "nr", "uid", "pk"))
_TOLD = re.compile(r"\s*(?P<name>[\w-]{1,30})\s*=\s*(?P<cell>\S{1,12})[\s:,;|=-]+(?P<said>\S.*)\Z")
_PREFIX = re.compile(r"[A-Z]{1,6}\Z")
_LEAST, _DEEPEST, _MOST = 3, 4, 40  # tables, links one after another, columns


@dataclass(slots=True)
class _Table:
    """A sheet under headings, with the column of its keys and what its other columns point at."""

    grid: Grid
    head: Row
    body: tuple[Row, ...]
    key: int
    links: dict[int, _Table] = field(default_factory=dict)
    keys: dict[str, Row] = field(init=False)  # the rows by their keys

    def __post_init__(self) -> None:
        self.keys = {row.cell(self.key): row for row in self.body} if self.key >= 0 else {}

    @property
    def name(self) -> str:
        """What the table is called."""
        return words.fold(self.grid.sheet or PurePath(self.grid.file).stem)


def joined(grids: Sequence[Grid]) -> dict[int, list[Grid]]:
    """For the id of each sheet of a database the grids in its place; nothing where the sheets are none."""
    tables = [one for grid in grids if not grid.kind and (one := _table(grid)) is not None]
    _link(tables)
    pointed = {id(other) for one in tables for other in one.links.values()}
    roots = [one for one in tables if one.links and id(one) not in pointed]
    links = sum(1 + _is_named(one, place, other) for one in tables for place, other in one.links.items())
    if len(pointed) + len(roots) < _LEAST or links < _LEAST:
        return {}
    told = _meanings(grids)
    cards = next((one for one in roots if _has_persons(one)), None)
    subsets = {id(other) for other in cards.links.values()} if cards else set()
    found: dict[int, list[Grid]] = {}
    for one in roots:
        grid = _cards(one, told) if one is cards else _listed(one, subsets)
        if grid:
            found[id(one.grid)] = grid
    if cards is None or id(cards.grid) not in found:
        return {}
    for one in tables:
        if id(one) in pointed and not _is_packing(one):
            found[id(one.grid)] = part(one.grid, one.grid.rows, kind=KEY)
    return found


def _table(grid: Grid) -> _Table | None:
    """A sheet as a table under headings, None where it is none."""
    if len(grid.rows) < _LEAST - 1:
        return None
    head, body = grid.rows[0], grid.rows[1:]
    short = all(cell and len(cell) < 30 and not cell[0].isdigit() for cell in head.cells)
    if not short or len(head.cells) < 2 or len(set(head.cells)) < len(head.cells):
        return None
    if any(len(row.cells) > len(head.cells) for row in body):
        return None
    key = next(
        (
            place
            for place, heading in enumerate(head.cells)
            if (place == 0 or words.fold(heading) in _KEYS)
            and all(row.cell(place) and " " not in row.cell(place) for row in body)
            and len({row.cell(place) for row in body}) == len(body)
        ),
        -1,
    )
    return _Table(grid, head, body, key)


def _link(tables: Sequence[_Table]) -> None:
    for one in tables:
        for place, heading in enumerate(one.head.cells):
            cells = {cell for row in one.body if (cell := row.cell(place))}
            if place == one.key or not cells:
                continue
            fits = [
                other
                for other in tables
                if other is not one
                and other.key >= 0
                and cells <= other.keys.keys()
                and (
                    _is_named(one, place, other)
                    or _is_called(heading, other.name)
                    or (len(cells) > 2 and _are_codes(other.keys))
                )
            ]
            ranked = [
                (not _is_called(heading, other.name), len(other.body), at) for at, other in enumerate(fits)
            ]
            if ranked:
                one.links[place] = fits[min(ranked)[2]]


def _is_named(one: _Table, place: int, other: _Table) -> bool:
    """Whether a column is headed as another table's keys are: 'team_id' in both."""
    return words.fold(one.head.cell(place)) == words.fold(other.head.cell(other.key))


def _is_called(heading: str, name: str) -> bool:
    """Whether a heading names a table: 'person_a' the persons, 'finish' the finishes."""
    parts = [one for one in re.split(r"[\W_]+", words.fold(heading)) if len(one) > 2]
    return any(name.startswith(one) or one.startswith(name) for one in parts)


def _are_codes(keys: Mapping[str, Row]) -> bool:
    """Whether keys are no numbers counted from one, which anything could be among."""
    return any(not key.isdigit() for key in keys) or min(int(key) for key in keys) > len(keys) + 1


def _has_persons(one: _Table) -> bool:
    headings, rows = _flat(one)
    roles = _roles(headings, [row.cells for row in rows], {}).values()
    return len(rows) >= _LEAST and ("subject" in roles or {"first", "last"} <= set(roles))


def _flat(one: _Table) -> tuple[list[str], list[Row]]:
    """The table with what it points at in place of the keys."""
    paths = list(_paths(one, (), _DEEPEST))[:_MOST]
    headings = [_heading(one, path) for path in paths]
    body = sorted(one.body, key=lambda row: row.cell(one.key)) if one.key >= 0 else one.body
    return headings, [Row(row.number, tuple(_cell(one, row, path) for path in paths)) for row in body]


def _paths(one: _Table, begun: tuple[int, ...], deep: int) -> Iterator[tuple[int, ...]]:
    for place in range(len(one.head.cells)):
        if place in one.links and deep:
            other = one.links[place]
            for path in _paths(other, (), deep - 1):
                if path != (other.key,):
                    yield (*begun, place, *path)
        else:
            yield (*begun, place)


def _heading(one: _Table, path: Sequence[int]) -> str:
    """The last heading of a path; with a number where the table points at another more than once."""
    table, number = one, ""
    if len(path) > 1:
        same = [place for place, other in one.links.items() if other is one.links[path[0]]]
        number = f" {same.index(path[0]) + 1}" if len(same) > 1 else ""
    for place in path[:-1]:
        table = table.links[place]
    named = table.head.cell(path[-1])
    return f"{named if len(path) < 2 or _COLUMNS.name(named) else f'{table.name} {named}'}{number}"


def _cell(one: _Table, row: Row, path: Sequence[int]) -> str:
    table = one
    for place in path[:-1]:
        table, key = table.links[place], row.cell(place)
        if not key:
            return ""
        row = table.keys[key]
    return row.cell(path[-1])


# ---------------------------------------------------------------- what the roots are
def _roles(headings: Sequence[str], rows: Sequence[Sequence[str]], told: Mapping[str, str]) -> dict[int, str]:
    known = {}
    for place, heading in enumerate(headings):
        bare = re.sub(r" \d\Z", "", heading).split(" ")[-1]
        known[place] = told.get(heading, "") or told.get(bare, "") or _COLUMNS.name(heading)
    profiled = profiles.profiles(rows, dict(enumerate(headings)))
    return contents.read(profiled, known, is_team=lambda _: False).roles


def _cards(one: _Table, told: Mapping[str, str]) -> list[Grid]:
    headings, rows = _flat(one)
    own = one.head.cell(one.key) if one.key >= 0 else ""
    free = [place for place, heading in enumerate(headings) if heading != own]
    kept = [Row(row.number, tuple(row.cell(place) for place in free)) for row in rows]
    shown = [headings[place] for place in free]
    roles = _roles(shown, [row.cells for row in kept], {**told, **_linked_headings(one)})
    roles |= _seconds(shown, roles)
    places = {role: place for place, role in roles.items()}
    if not {"number", "subset"} <= places.keys():
        return []
    others = (place for place in range(len(free)) if place not in roles)
    prefix = next((place for place in others if _is_prefix(kept, place, places["subset"])), -1)
    marks = _marks_of_persons(shown, places)
    order = sorted(place for place in roles if place not in marks)
    done = []
    for row in (_with_marks(one, marks) for one in kept):
        cells = [row.cell(place) for place in order]
        number = order.index(places["number"])
        if prefix >= 0 and cells[number].isdigit():
            cells[number] = f"{row.cell(prefix)}-{cells[number]}"
        done.append(Row(row.number, tuple(cells)))
    done.sort(key=lambda row: (row.cell(order.index(places["subset"])), _tail(row.cell(number)), row.number))
    return [
        *part(one.grid, done, kind=CARD_LIST, roles=[roles[place] for place in order]),
        *part(one.grid, [one.head], kind=KEY),
    ]


def _seconds(headings: Sequence[str], roles: Mapping[int, str]) -> dict[int, str]:
    """The columns of a second person, who is pointed at as the first is."""
    found: dict[int, str] = {}
    for place, role in roles.items():
        stem = headings[place].removesuffix(" 1")
        if role in contents.PERSONAL and stem != headings[place]:
            for number in ("2", "3", "4"):
                if f"{stem} {number}" in headings:
                    found[headings.index(f"{stem} {number}")] = f"{role} {number}"
    return found


def _marks_of_persons(headings: Sequence[str], places: Mapping[str, int]) -> dict[int, int]:
    """The columns that mark persons as rookies, where each of two has one, with those of their names."""
    found: dict[int, int] = {}
    stem = headings[places["rookie"]].removesuffix(" 1") if "rookie" in places else ""
    for place, heading in enumerate(headings):
        number = heading.removeprefix(f"{stem} ")
        name = "" if number == "1" else f" {number}"
        owner = places.get(f"last{name}", places.get(f"subject{name}"))
        if stem and number.isdigit() and heading != number and owner is not None:
            found[place] = owner
    return found if len(found) > 1 else {}


def _with_marks(row: Row, marks: Mapping[int, int]) -> Row:
    cells = list(row.cells)
    for place, owner in marks.items():
        if cells[owner] and words.is_yes(cells[place]):
            cells[owner] += " (RC)"
    return Row(row.number, tuple(cells))


def _linked_headings(one: _Table) -> dict[str, str]:
    """The headings of what cards point at: subsets beside the persons, and the teams of those."""
    found: dict[str, str] = {}
    others = [(place, other) for place, other in one.links.items() if not _has_persons(other)]
    place, other = min(others, key=lambda item: len(item[1].body), default=(-1, one))
    if place >= 0 and _named(other) >= 0:
        found[_heading(one, (place, _named(other)))] = "subset"
    for person, other in one.links.items():
        if _has_persons(other) and len(other.links) == 1:
            ((club, team),) = other.links.items()
            found[_heading(one, (person, club, _named(team)))] = "team"
    return found


def _tail(number: str) -> int:
    digits = re.findall(r"\d+", number)
    return int(digits[-1]) if digits else 0


def _is_prefix(rows: Sequence[Row], place: int, subset: int) -> bool:
    """Whether a column has short capitals, others for each subset."""
    pairs = {(row.cell(place), row.cell(subset)) for row in rows}
    return all(_PREFIX.match(one) for one, _ in pairs) and len({one for one, _ in pairs}) == len(pairs)


def _listed(one: _Table, subsets: set[int]) -> list[Grid]:
    """A table of odds or of parallels: a subset, a parallel, perhaps a format, with numbers or without."""
    named = {id(other): _named(other) for other in one.links.values()}
    roles: dict[str, int] = {}
    for place, other in one.links.items():
        role = "subset" if id(other) in subsets else "format" if _is_packing(other) else "parallel"
        if role in roles or named[id(other)] < 0:
            return []
        roles[role] = place
    numbers = [
        place
        for place in range(len(one.head.cells))
        if place not in one.links
        and place != one.key
        and all(re.fullmatch(r"[\d.,:]+|[-–—]?", row.cell(place)) for row in one.body)
    ]
    if "subset" not in roles or "parallel" not in roles or len(numbers) > 1:
        return []

    def cell(row: Row, role: str) -> str:
        if role not in roles or not row.cell(roles[role]):
            return ""
        other = one.links[roles[role]]
        said = other.keys[row.cell(roles[role])].cell(named[id(other)])
        return "" if role == "parallel" and words.fold(said) in words.BASE_VERSION else said

    if "format" in roles and numbers:
        head = Row(one.head.number, ("format", "subset", "parallel", "odds"))
        rows = [
            Row(row.number, (*(cell(row, role) for role in head.cells[:3]), row.cell(numbers[0])))
            for row in one.body
        ]
        return part(one.grid, [head, *rows], kind=ODDS_LIST)
    other = one.links[roles["parallel"]]
    run = next((p for p, heading in enumerate(other.head.cells) if _COLUMNS.name(heading) == "print_run"), -1)
    rows = [
        Row(
            row.number,
            (
                cell(row, "subset"),
                cell(row, "parallel"),
                row.cell(numbers[0])
                if numbers
                else other.keys[row.cell(roles["parallel"])].cell(run)
                if run >= 0
                else "",
            ),
        )
        for row in one.body
    ]
    return [
        *part(one.grid, rows, kind=PARALLEL_LIST, roles=("subset", "parallel", "print_run")),
        *part(one.grid, [one.head], kind=KEY),
    ]


def _named(one: _Table) -> int:
    """The column of a table that names its rows: words that differ."""
    for place in range(len(one.head.cells)):
        cells = [row.cell(place) for row in one.body]
        worded = sum(bool(re.search(r"[^\W\d_]{2}", cell)) for cell in cells)
        longer = sum(len(cell) for cell in cells) > 4 * len(cells) or worded < len(cells)
        if (
            place != one.key
            and all(cells)
            and worded * 3 >= 2 * len(cells)
            and len(set(cells)) == len(cells)
            and longer
        ):
            return place
    return -1


def _is_packing(one: _Table) -> bool:
    """Whether a table says how formats are packed or what they cost: columns of numbers under units."""
    from rating.release.intake.sell_sheet import attributes

    return sum(attributes.of(heading) is not None for heading in one.head.cells) > 1


def _meanings(grids: Sequence[Grid]) -> dict[str, str]:
    """What a short note says of a column: 'deb = 1 first season' makes it that of rookies."""
    found = {}
    for grid in grids:
        for row in grid.rows if len(grid.rows) < 2 * _MOST else ():
            said = _TOLD.match(" ".join(row.filled))
            if said and (words.NEWCOMER.match(said["said"]) or words.ROOKIE.search(said["said"])):
                found[said["name"]] = "rookie"
    return found
