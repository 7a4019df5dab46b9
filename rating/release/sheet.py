"""The sheet of a release, release.toml: what it is, the ways to buy it, and how the reviewer came by it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from rating import text, tomlfile
from rating.tomlfile import TomlTable

HOW_OBTAINED = (
    "bought",
    "sent free",
    "discounted",
    "early access",
    "affiliate link",
    "own breaks",
    "holds sealed stock",
    "none",
)
GUARANTEED = (
    "autograph",
    "relic",
    "autograph relic",
    "hit",
    "insert",
    "numbered",
    "parallel",
    "rookie",
    "base",
)
PER = ("pack", "box", "case")


@dataclass(frozen=True, slots=True, kw_only=True)
class Guarantee:
    """A promise of the maker: so many of a kind in each pack, box or case, for certain or on average."""

    what: str
    count: Decimal
    per: str
    hard: bool
    subset: str = ""
    parallel: str = ""

    def describe(self) -> str:
        """The promise in words: '3 autographs a box on average'."""
        what = f"{self.what} card" if self.what in {"base", "numbered"} else self.what
        noun = " ".join(part for part in (self.parallel, self.subset, what) if part)
        plural = noun if self.count == 1 else _plural(noun)
        return f"{self.count} {plural} a {self.per}{'' if self.hard else ' on average'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One way to buy a release: how it is packed and what is promised."""

    key: str
    name: str
    cards_per_pack: Decimal | None
    packs_per_box: int | None
    boxes_per_case: int | None
    guarantees: tuple[Guarantee, ...] = ()

    @property
    def cards_per_box(self) -> Decimal | None:
        """Cards in a box, None where the packing is not known."""
        if self.cards_per_pack is None or self.packs_per_box is None:
            return None
        return self.cards_per_pack * self.packs_per_box

    def in_box(self, per: str) -> Decimal | None:
        """How many packs, boxes or cases there are in a box; None where the packing is not known."""
        if per == "box":
            return Decimal(1)
        if per == "pack":
            return None if self.packs_per_box is None else Decimal(self.packs_per_box)
        return None if self.boxes_per_case is None else 1 / Decimal(self.boxes_per_case)


@dataclass(frozen=True, slots=True, kw_only=True)
class Disclosure:
    """How the reviewer came by the product, and the sentence that says so."""

    how_obtained: tuple[str, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A release as its release.toml describes it."""

    slug: str
    title: str
    maker: str
    line: str
    released_on: date | None
    formats: tuple[Format, ...]
    headline: str
    disclosure: Disclosure | None
    earlier: str = ""
    since: int | None = None
    embargo: date | None = None
    checklist_of: str = ""


def read(table: TomlTable, slug: str) -> Sheet:
    """The sheet that a parsed release.toml holds; problems are left in the table for the caller.

    A release that is not described yet is no error: only the title must be there.
    """
    title = table.text("title", required=True) or slug
    maker = table.text("maker", required=True) or ""
    line = table.text("line", required=True, fix="write the line's recurring name, without the year") or ""
    formats = tuple(
        _format(key, inner) for key, inner in table.named_tables("formats") if _key_holds(key, inner)
    )
    keys = tuple(one.key for one in formats)
    headline = table.one_of("headline", keys, required=bool(keys)) or (keys[0] if keys else "")
    sheet = Sheet(
        slug=slug,
        title=title,
        maker=maker,
        line=line,
        released_on=table.day("date"),
        formats=formats,
        headline=headline,
        disclosure=_disclosure(table),
        earlier=table.text("earlier") or "",
        since=table.whole("since", low=1800, high=2500),
        embargo=table.day("embargo"),
        checklist_of=_slug(table, "checklist_of"),
    )
    table.raw("columns")  # names of columns in the maker's files, for those who take them in
    table.finish()
    return sheet


def _key_holds(key: str, table: TomlTable) -> bool:
    why = text.why_no_slug(key)
    if why:
        table.complain("", f"is not a key for a format: {why}", "use a short word such as hobby or retail")
    return not why


def _slug(table: TomlTable, name: str) -> str:
    value = table.text(name) or ""
    if value and (why := text.why_no_slug(value)):
        table.complain(name, f"is {value!r}: {why}", "write the folder name of a release")
        return ""
    return value


def _format(key: str, table: TomlTable) -> Format:
    found = Format(
        key=key,
        name=table.text("name") or key.replace("-", " ").capitalize(),
        cards_per_pack=table.decimal("cards_per_pack", low="0.01", high="1000"),
        packs_per_box=table.whole("packs_per_box", low=1, high=10_000),
        boxes_per_case=table.whole("boxes_per_case", low=1, high=10_000),
        guarantees=tuple(
            one for inner in table.tables("guarantees") if (one := _guarantee(inner)) is not None
        ),
    )
    table.finish()
    return found


def _guarantee(table: TomlTable) -> Guarantee | None:
    what = table.one_of("what", GUARANTEED, required=True)
    count = table.decimal("count", low="0.001", high="10000", required=True)
    per = table.one_of("per", PER, required=True)
    hard = table.one_of("certainty", ("hard", "average"), required=True)
    subset, parallel = table.text("subset") or "", table.text("parallel") or ""
    table.text("words", limit=500)
    table.finish()
    if what is None or count is None or per is None or hard is None:
        return None
    return Guarantee(what=what, count=count, per=per, hard=hard == "hard", subset=subset, parallel=parallel)


def _disclosure(table: TomlTable) -> Disclosure | None:
    inner = table.table("disclosure")
    if inner is None:
        return None
    how = inner.texts("how_obtained")
    sentence = inner.text("sentence", limit=500)
    for one in how:
        if one not in HOW_OBTAINED:
            inner.complain("how_obtained", f"holds {one!r}", f"use one or more of {', '.join(HOW_OBTAINED)}")
    if "none" in how and len(how) > 1:
        inner.complain("how_obtained", "holds 'none' beside others", "keep 'none' alone, or take it out")
    inner.finish()
    if not how or not sentence:
        return None
    return Disclosure(how_obtained=how, sentence=sentence)


def _plural(noun: str) -> str:
    return noun if noun.endswith("s") else f"{noun}s"


def problems_of_guarantees(sheet: Sheet) -> list[tuple[Format, str]]:
    """Promises that do not fit each other or the pack, with both numbers, as (format, what)."""
    found = []
    for one in sheet.formats:
        found += [(one, what) for what in (*_case_against_boxes(one), *_against_pack(one))]
    return found


def _case_against_boxes(one: Format) -> list[str]:
    found = []
    boxes = one.boxes_per_case
    per_box = {_subject(g): g for g in one.guarantees if g.per == "box"}
    for g in one.guarantees:
        other = per_box.get(_subject(g))
        if g.per != "case" or other is None or boxes is None:
            continue
        if g.count != other.count * boxes:
            found.append(
                f"{g.describe()}, but {other.describe()} in {boxes} boxes makes {other.count * boxes}"
            )
    return found


def _subject(g: Guarantee) -> tuple[str, str, str]:
    return (g.what, text.key(g.subset), text.key(g.parallel))


def _against_pack(one: Format) -> list[str]:
    """Kinds that exclude each other must fit into the cards there are."""
    if one.cards_per_pack is None:
        return []
    found = []
    apart = [
        g for g in one.guarantees if g.what in {"autograph", "relic", "autograph relic", "insert", "base"}
    ]
    for per, cards in (("pack", one.cards_per_pack), ("box", one.cards_per_box)):
        promised = sum((g.count for g in apart if g.per == per and not g.subset), Decimal(0))
        if cards is not None and promised > cards:
            found.append(f"{promised} guaranteed cards a {per}, but a {per} holds {cards}")
    return found


def parsed(content: str, slug: str, *, file: str) -> Sheet:
    """The sheet in the text of a release.toml.

    Raises
    ------
    rating.errors.RatingError
        with every problem in it
    """
    table = tomlfile.parse(content, file=file)
    sheet = read(table, slug)
    tomlfile.finish(table)
    return sheet
