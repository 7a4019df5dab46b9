"""The rubric as a value, its file rubric.toml, and the hash of what decides a grade."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Any

from rating import tomlfile
from rating.errors import Problem
from rating.scale import KINDS, Scale
from rating.text import key as compared
from rating.tomlfile import TomlTable


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightedCriterion:
    """One criterion as the rubric counts it: its points in tenths and, where it is computed, its scale."""

    key: str
    group: str
    points: int
    scale: Scale | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A verdict: grades from `start` tenths up, to the next band, get these words."""

    start: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A buyer to pick for: the aim, what it must cost less than (None is any price), and the row it is on."""

    aim: str
    under: Decimal | None
    row: int | None


@dataclass(frozen=True, kw_only=True)
class Rubric:
    """Criteria with their points, groups and scales, and the verdict bands, best first.

    `method` and `chosen_on` say how the points were chosen, and when; `picks` are the buyers to pick for.
    None of them decides a grade, so they are no part of the hash.
    """

    name: str
    groups: Mapping[str, str]
    criteria: tuple[WeightedCriterion, ...]
    bands: tuple[Band, ...]
    method: str = ""
    chosen_on: date | None = None
    picks: tuple[Wish, ...] = ()

    @property
    def total(self) -> int:
        """All points, in tenths."""
        return sum(one.points for one in self.criteria)

    @cached_property
    def by_key(self) -> Mapping[str, WeightedCriterion]:
        """The criteria by their keys."""
        return {one.key: one for one in self.criteria}

    def verdict(self, grade: int) -> str:
        """The words for a grade in tenths."""
        return next(band.words for band in self.bands if grade >= band.start)

    def as_plain(self) -> dict[str, Any]:
        """What decides a grade and its verdict, as text, whole numbers, lists and objects."""
        return {
            "format": tomlfile.FORMAT,
            "criteria": [
                {
                    "key": one.key,
                    "group": one.group,
                    "points": one.points,
                    "scale": one.scale.as_plain() if one.scale else None,
                }
                for one in sorted(self.criteria, key=lambda one: one.key)
            ],
            "verdicts": [{"from": band.start, "words": band.words} for band in self.bands],
        }

    @cached_property
    def text(self) -> str:
        """The canonical text whose SHA-256 names the rubric; names of groups and notes stay out of it."""
        return json.dumps(self.as_plain(), ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @cached_property
    def hash(self) -> str:
        """The SHA-256 of the canonical text, in hexadecimal."""
        return hashlib.sha256(self.text.encode()).hexdigest()


def points_of(text: str) -> dict[str, tuple[str, int]]:
    """Group and points (tenths) of each criterion, from a rubric's stored canonical text."""
    return {one["key"]: (one["group"], one["points"]) for one in json.loads(text)["criteria"]}


def verdict_of(text: str, grade: int) -> str:
    """The words for a grade in tenths under a rubric's stored canonical text."""
    return next(str(band["words"]) for band in json.loads(text)["verdicts"] if grade >= band["from"])


def band_start_of(text: str, grade: int) -> int:
    """Where the band of a grade begins under a rubric's stored text, in tenths."""
    starts = [int(band["from"]) for band in json.loads(text)["verdicts"]]
    return max((start for start in starts if start <= grade), default=0)


def read(table: TomlTable) -> Rubric:
    """The rubric that a parsed rubric.toml holds.

    Raises
    ------
    rating.errors.Refused
        with every problem in the file
    """
    name = table.text("name", required=True) or ""
    groups = _groups(table)
    criteria = tuple(_weighted(key, inner, groups) for key, inner in table.named_tables("criteria"))
    bands = _bands(table)
    method, chosen_on = _method(table)
    picks = _picks(table)
    table.finish()
    if not criteria:
        table.complain("criteria", "is missing", "add one table [criteria.KEY] for each question")
    elif not table.problems and not any(one.points for one in criteria):
        table.complain("criteria", "carry no points at all", "give at least one criterion points above 0")
    tomlfile.finish(table)
    return Rubric(
        name=name,
        groups=groups,
        criteria=criteria,
        bands=bands,
        method=method,
        chosen_on=chosen_on,
        picks=picks,
    )


def _groups(table: TomlTable) -> dict[str, str]:
    inner = table.table("groups")
    if inner is None:
        table.complain("groups", "is missing", 'add [groups] with lines such as people = "People"')
        return {}
    return {key: inner.text(key, required=True) or key for key in list(inner.values)}


def _method(table: TomlTable) -> tuple[str, date | None]:
    """How the points were chosen, and when."""
    inner = table.table("weights")
    if inner is None:
        return "", None
    method, chosen_on = inner.text("method", limit=500), inner.day("on")
    inner.text("note", limit=2000)
    inner.finish()
    return method or "", chosen_on


def _picks(table: TomlTable) -> tuple[Wish, ...]:
    wishes = []
    for inner in table.tables("picks"):
        aim, under = inner.text("aim", required=True), inner.decimal("under", low="0.01")
        if aim:
            wishes.append(Wish(aim=aim, under=under, row=inner.line("aim")))
        inner.finish()
    return tuple(wishes)


def _weighted(key: str, table: TomlTable, groups: Mapping[str, str]) -> WeightedCriterion:
    group = table.one_of("group", tuple(groups), required=True) or ""
    points = table.points("points", required=True) or 0
    scale = read_scale(table)
    table.text("note", limit=2000)
    table.finish()
    return WeightedCriterion(key=key, group=group, points=points, scale=scale)


def read_scale(table: TomlTable) -> Scale | None:
    """The value scale in a criterion's table, None where there is none; problems go to the table."""
    inner = table.table("scale")
    if inner is None:
        return None
    kind = inner.one_of("kind", tuple(KINDS), required=True)
    unit = inner.text("unit", required=True)
    goalposts = _goalposts(inner)
    inner.finish()
    if kind is None or unit is None or goalposts is None:
        return None
    try:
        return Scale(kind=kind, unit=unit, points=goalposts)  # type: ignore[arg-type]  # one_of checked it
    except ValueError as fault:
        inner.complain(
            "points", f"do not make a scale: {fault}", "write pairs [measure, score], measures rising"
        )
        return None


def _goalposts(table: TomlTable) -> tuple[tuple[Decimal, int], ...] | None:
    fix = "write pairs of a measure and its score, such as points = [[0.5, 0], [1, 100]]"
    value = table.raw("points")
    if not isinstance(value, list) or not value:
        table.complain("points", "are missing" if value is None else "are not a list of pairs", fix)
        return None
    pairs: list[tuple[Decimal, int]] = []
    for pair in value:
        numbers = [tomlfile.as_decimal(one) for one in pair] if isinstance(pair, list) else []
        match numbers:
            case [Decimal() as measure, Decimal() as score] if 0 <= score <= 100 and score == int(score):
                pairs.append((measure, int(score)))
            case _:
                shown = "[" + ", ".join("?" if one is None else str(one)[:20] for one in numbers) + "]"
                table.complain("points", f"hold {shown}, no measure with a whole score from 0 to 100", fix)
                return None
    return tuple(pairs)


def _bands(table: TomlTable) -> tuple[Band, ...]:
    bands = []
    for inner in table.tables("verdicts"):
        start = inner.points("from", required=True)
        words = inner.text("words", required=True)
        inner.finish()
        if start is not None and words is not None:
            bands.append(Band(start=start, words=words))
    starts = [band.start for band in bands]
    if 0 not in starts:
        table.complain("verdicts", "do not cover every grade", "let one [[verdicts]] begin with from = 0")
    if len(set(starts)) < len(starts):
        table.complain("verdicts", "have two bands that begin at the same grade", "give each its own from")
    if len({compared(band.words) for band in bands}) < len(bands):
        table.complain("verdicts", "use the same words twice", "give each band its own words")
    return tuple(sorted(bands, key=lambda band: -band.start))


def shares(rubric: Rubric) -> dict[str, int]:
    """The points of each group, in tenths: how much it weighs of `rubric.total`."""
    return {
        group: sum(one.points for one in rubric.criteria if one.group == group) for group in rubric.groups
    }


def problem_unknown_criteria(rubric: Rubric, known: set[str], file: str) -> list[Problem]:
    """A problem for each criterion of the rubric that no module answers for."""
    return [
        Problem(
            code="unknown-criterion",
            file=file,
            what=f"no criterion module is called {one.key!r}",
            fix=f"use one of: {', '.join(sorted(known))}; or install the module",
        )
        for one in rubric.criteria
        if one.key not in known
    ]
