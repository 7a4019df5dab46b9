"""The settings of a season, season.toml."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from rating import text, tomlfile
from rating.errors import Problem
from rating.facts.context import Buying, PriceClass, Selling
from rating.facts.house import HouseRules, SlotRules
from rating.raters import RULES
from rating.rubric.rubric import Rubric
from rating.season.settings import breaks
from rating.season.settings.teams import Team, read_teams
from rating.tomlfile import TomlTable

DATE_ORDERS = ("day first", "month first", "year first")
DECIMAL_MARKS = (".", ",")
EMBARGOES = ("none", "release date")
_PROFILE_NAME = 40
KEPT_BACKUPS = 10
_SEASON_ID = re.compile(r"[0-9a-f]{32}\Z", re.ASCII)
_CURRENCY = re.compile(r"[A-Z]{3}\Z", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rater:
    """A person who scores: a key for files and the name that is shown."""

    key: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A kind of buyer: other points (tenths) for some criteria, with the row each stands on, and why."""

    name: str
    why: str
    points: Mapping[str, int]
    rows: Mapping[str, int | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Config:
    """A season's settings."""

    name: str
    season_id: str
    sport: str
    currency: str
    zone: ZoneInfo
    date_order: str
    decimal_mark: str
    today: date | None
    earlier: tuple[str, ...]
    teams: tuple[Team, ...]
    classes: tuple[PriceClass, ...]
    raters: tuple[Rater, ...]
    published: str
    selling: Selling
    buying: Buying
    embargo: str
    profiles: tuple[Profile, ...]
    house: HouseRules
    slots: SlotRules
    rates: Mapping[str, Decimal]
    keep: int
    sign_with: str

    @property
    def rater_keys(self) -> tuple[str, ...]:
        """The keys of the raters, the publishing one first."""
        return tuple(rater.key for rater in self.raters)

    def rater_name(self, key: str) -> str:
        """The name of a rater; the key itself where it is a combination or unknown."""
        return next((rater.name for rater in self.raters if rater.key == key), key)

    @property
    def aliases(self) -> dict[str, str]:
        """Every spelling of every team, as compared, to the compared form of its name."""
        return {text.key(spelling): text.key(team.name) for team in self.teams for spelling in team.spellings}


def read(table: TomlTable) -> Config:
    """The settings that a parsed season.toml holds.

    Raises
    ------
    rating.errors.Refused
        with every problem in the file
    """
    teams = read_teams(table)
    keep, sign_with = _ledger(table)
    config = Config(
        name=table.text("name", required=True) or "",
        season_id=_season_id(table),
        sport=table.text("sport") or "",
        currency=_currency(table),
        zone=_zone(table),
        date_order=table.one_of("date_order", DATE_ORDERS, default="year first") or "year first",
        decimal_mark=table.one_of("decimal_mark", DECIMAL_MARKS, default=".") or ".",
        today=table.day("today"),
        earlier=_earlier(table),
        teams=teams,
        classes=_classes(table),
        raters=_raters(table),
        published=table.one_of("published", tuple(RULES), default="first") or "first",
        selling=_selling(table),
        buying=_buying(table),
        embargo=table.one_of("embargo", EMBARGOES, default="none") or "none",
        profiles=_profiles(table),
        house=breaks.house_rules(table, teams),
        slots=breaks.slot_rules(table, teams),
        rates=_rates(table),
        keep=keep,
        sign_with=sign_with,
    )
    table.raw("columns")  # read by the room that uses them
    table.finish()
    tomlfile.finish(table)
    return config


def _season_id(table: TomlTable) -> str:
    """What ties the ledger to this season; '' in a season that was started before there were ids."""
    value = table.text("season_id") or ""
    if value and not _SEASON_ID.match(value):
        table.complain(
            "season_id",
            f"is {value[:40]!r}, and it should be 32 digits and letters from a to f",
            "put it back as 'boxwright start' made it; every recorded review names it",
        )
        return ""
    return value


def _currency(table: TomlTable) -> str:
    value = table.text("currency", required=True) or "XXX"
    if not _CURRENCY.match(value):
        table.complain("currency", f"is {value!r}", 'write the three letters of the currency, such as "USD"')
    return value


def _rates(table: TomlTable) -> dict[str, Decimal]:
    """What one unit of another currency is in the season's."""
    inner = table.table("rates")
    if inner is None:
        return {}
    rates = {}
    for name in list(inner.values):
        rate = inner.decimal(name, low="0.000001", required=True)
        if not _CURRENCY.match(name):
            inner.complain(name, "is not a currency", "write its three letters, such as EUR = 1.08")
        elif rate is not None:
            rates[name] = rate
    return rates


def _ledger(table: TomlTable) -> tuple[int, str]:
    """How many backups of the ledger are kept, and the OpenSSH key that signs its proofs, '' for none."""
    inner = table.table("ledger")
    if inner is None:
        return KEPT_BACKUPS, ""
    keep = inner.whole("keep", low=1, high=1000)
    sign_with = inner.text("sign_with")
    inner.finish()
    return keep or KEPT_BACKUPS, sign_with or ""


def _zone(table: TomlTable) -> ZoneInfo:
    value = table.text("time_zone") or "UTC"
    try:
        return ZoneInfo(value)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        table.complain(
            "time_zone", f"is {value!r}", 'write a zone of the tz database, such as "UTC" or "Europe/Oslo"'
        )
        return ZoneInfo("UTC")


def _earlier(table: TomlTable) -> tuple[str, ...]:
    folders = table.texts("earlier")
    for folder in folders:
        if folder.startswith(("/", "\\")) or _leads_up(folder) or ":" in folder:
            table.complain("earlier", f"holds {folder!r}", "name folders inside the season folder")
    return tuple(folder for folder in folders if not _leads_up(folder))


def _leads_up(folder: str) -> bool:
    return ".." in folder.replace("\\", "/").split("/")


def _classes(table: TomlTable) -> tuple[PriceClass, ...]:
    bands = []
    for inner in table.tables("classes"):
        band = PriceClass(
            name=inner.text("name", required=True) or "",
            below=inner.decimal("below", low="0.01"),
            typical_box=inner.decimal("typical_box", low="0.01"),
            typical_card=inner.decimal("typical_card", low="0.001"),
            typical_hit=inner.decimal("typical_hit", low="0.01"),
        )
        inner.finish()
        bands.append(band)
    if not bands:
        table.complain(
            "classes", "are missing", "add [[classes]] with name and below, the last without below"
        )
        return ()
    limits = [band.below for band in bands]
    rising = all(a is not None and (b is None or a < b) for a, b in itertools.pairwise(limits))
    if limits[-1] is not None or not rising:
        table.complain(
            "classes", "do not cover every price once", "let below rise, and leave it out in the last class"
        )
    if len({text.key(band.name) for band in bands}) < len(bands):
        table.complain("classes", "have two of one name", "give each class its own name")
    return tuple(bands)


def _raters(table: TomlTable) -> tuple[Rater, ...]:
    raters: list[Rater] = []
    for inner in table.tables("raters"):
        key, name = inner.text("key", required=True, limit=30), inner.text("name", required=True)
        inner.finish()
        if key and (why := text.why_no_slug(key)):
            inner.complain("key", f"is {key!r}: {why}", "write a short word such as mo")
        elif key == "format":
            inner.complain("key", "is 'format', which scores.toml needs for itself", "choose another key")
        elif key in [rater.key for rater in raters]:
            inner.complain("key", f"{key!r} is used twice", "give each rater a key of their own")
        elif key and name:
            raters.append(Rater(key=key, name=name))
    if not raters:
        table.complain("raters", "are missing", 'add [[raters]] with key = "me" and your name')
    return tuple(raters)


def _selling(table: TomlTable) -> Selling:
    inner = table.table("selling")
    if inner is None:
        return Selling()
    zero = Decimal(0)
    selling = Selling(
        fee=inner.decimal("fee", high="0.99") or zero,
        fixed=inner.decimal("fixed") or zero,
        postage=inner.decimal("postage") or zero,
        bulk_floor=inner.decimal("bulk_floor") or zero,
    )
    inner.finish()
    return selling


def _buying(table: TomlTable) -> Buying:
    inner = table.table("buying")
    if inner is None:
        return Buying()
    zero = Decimal(0)
    buying = Buying(
        tax=inner.decimal("tax", high="1") or zero,
        shipping=inner.decimal("shipping") or zero,
        duty=inner.decimal("duty", high="1") or zero,
        entertainment=inner.decimal("entertainment", low="0.01", high="1") or Buying().entertainment,
    )
    inner.finish()
    return buying


def _profiles(table: TomlTable) -> tuple[Profile, ...]:
    profiles = []
    for name, inner in table.named_tables("profiles"):
        if not name.strip() or len(name) > _PROFILE_NAME or text.bad_marks(name):
            fix = f"name it in a word or two, at most {_PROFILE_NAME} characters"
            inner.complain("", "is not a name for a profile", fix)
        why = inner.text("why", required=True, limit=500)
        keys = [key for key in inner.values if key != "why"]
        if not keys:
            inner.complain("", "changes no points", "add lines such as design = 20")
        points = {key: number for key in keys if (number := inner.points(key)) is not None}
        rows = {key: inner.line(key) for key in keys}
        profiles.append(Profile(name=name, why=why or "", points=points, rows=rows))
    return tuple(profiles)


def weighed(
    profiles: Sequence[Profile], rubric: Rubric, *, file: str
) -> tuple[dict[str, dict[str, int]], list[Problem]]:
    """The points (tenths) of every criterion under each profile, by its name, and what is wrong with them.

    A criterion that a profile does not name keeps the points of the rubric.
    """
    own = {weighted.key: weighted.points for weighted in rubric.criteria}
    points, problems = {}, []
    for profile in profiles:
        for key in [key for key in profile.points if key not in own]:
            what = f"profiles.{profile.name}.{text.printable(key)} is not a criterion of the rubric"
            fix = f"use one of {', '.join(own)}"
            row = profile.rows[key]
            problems.append(Problem(code="unknown-criterion", file=file, row=row, what=what, fix=fix))
        points[profile.name] = own | {key: new for key, new in profile.points.items() if key in own}
        if not any(points[profile.name].values()):
            what = f"profiles.{profile.name} leaves no points at all"
            row = min((row for row in profile.rows.values() if row), default=None)
            fix = "give at least one criterion points above 0"
            problems.append(Problem(code="bad-value", file=file, row=row, what=what, fix=fix))
    return points, problems
