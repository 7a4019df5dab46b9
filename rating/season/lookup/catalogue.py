"""Who is on which card of a release, and how often its lines fall: kept ready, so that looking up is fast.

A catalogue follows from a release's files alone. It is kept in the user's cache folder (`folder()`), never in
the season, and carries the hash of every file it was made from, of the program's own modules and of itself:
one that is old, damaged or made by another version is made anew without a word, and a cache that cannot be
written only costs time. The first line holds the hashes, the second the names, the third how the release is
packed, each further one the cards of the person at that place among the names, all in JSON: a look-up reads
the whole text and parses only the lines it needs.

Hashes, not sizes and times, tell whether it is old: hashing 20 large releases takes 15 ms where reading and
solving them takes 2 s. A hidden file in the season would be synced, or could not be written.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from functools import cache, cached_property
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from rating import text
from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import share_weights
from rating.release import CHECKLIST, ODDS, PARALLELS, SALES
from rating.release.market import Sale
from rating.release.release import Release
from rating.season import folder as folders

VARIABLE = "BOXWRIGHT_CACHE"
_SHARED = (CHECKLIST.file, PARALLELS.file)
_OWN = ("release.toml", *_SHARED, ODDS.file, SALES.file)
_ROOT = Path(__file__).resolve().parents[2]


class KeptLine(NamedTuple):
    """A line: its cards, their total weight in a draw, whether they weigh by print run, where it can be."""

    subset: str
    parallel: str
    cards: int
    weight: int
    by_run: bool
    formats: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Packing:
    """What a look-up needs to know of a release beside its cards."""

    title: str
    released_on: str
    headline: str
    formats: Mapping[str, str]
    lines: tuple[KeptLine, ...]
    collations: Mapping[str, Collation]

    @cached_property
    def sizes(self) -> list[int]:
        """How many cards each line has."""
        return [line.cards for line in self.lines]


class Catalogue:
    """The catalogue of one release, read from its text as far as it is asked for."""

    def __init__(self, slug: str, content: str) -> None:
        self.slug = slug
        _, self._names, self._packing, *self._people = content.split("\n")

    @cached_property
    def names(self) -> list[str]:
        """Everybody on a card."""
        names: list[str] = json.loads(self._names)
        return names

    @cached_property
    def packing(self) -> Packing:
        """How the release is packed."""
        return _packing_from(json.loads(self._packing))

    def cards(self, name: str) -> list[dict[str, Any]]:
        """The cards that a person is on; `lines` are its lines with its print run in each."""
        cards: list[dict[str, Any]] = json.loads(self._people[self.names.index(name)])
        return cards


def folder() -> Path | None:
    """Where catalogues are kept: BOXWRIGHT_CACHE, else the user's cache folder; None where there is none."""
    if named := os.environ.get(VARIABLE):
        return Path(named)
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA", "")
    elif sys.platform == "darwin":
        base = str(Path("~/Library/Caches").expanduser())
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path("~/.cache").expanduser())
    return Path(base) / "boxwright" if Path(base).is_absolute() else None


def kept(season: Path, slug: str) -> Catalogue | None:
    """The catalogue of a release as it was kept, None where there is none that fits the files."""
    path = _path(season, slug)
    try:
        content = path.read_bytes() if path else b""
        head, _, body = content.partition(b"\n")
        hashes = json.loads(head)
        made_from = _made_from(season, slug, hashes["owner"])
        if hashes["itself"] != _hash(body) or hashes["made_from"] != made_from:
            return None
        return Catalogue(slug, content.decode())
    except (OSError, ValueError, KeyError, TypeError):
        return None


def made(season: Path, slug: str) -> Catalogue:
    """The catalogue of a release, made from its files and kept.

    Raises
    ------
    rating.errors.RatingError
        with every error that its files hold
    """
    release = folders.sound_release(season, slug)
    owner = release.sheet.checklist_of
    body = _body(release)
    head = {"itself": _hash(body.encode()), "owner": owner, "made_from": _made_from(season, slug, owner)}
    content = f"{json.dumps(head)}\n{body}"
    if (path := _path(season, slug)) is not None:
        with contextlib.suppress(OSError):
            _keep(path, content)
    return Catalogue(slug, content)


def _path(season: Path, slug: str) -> Path | None:
    base = folder()
    return base / _hash(str(season.resolve()).encode())[:16] / f"{slug}.catalogue" if base else None


def _keep(path: Path, content: str) -> None:
    """Put it in its place in one step; a crash may lose it, which only costs time."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(content)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _hash(content: bytes) -> str:
    return sha256(content).hexdigest()


def _made_from(season: Path, slug: str, owner: str) -> dict[str, str]:
    """The hash of each file that a catalogue follows from, '' for one that is not there."""
    places = [(slug, file) for file in _OWN] + [(owner, file) for file in _SHARED if owner]
    hashes = {"program": _program()}
    for release, file in places:
        path = folders.release_folder(season, release) / file
        hashes[f"{release}/{file}"] = _hash(path.read_bytes()) if path.is_file() else ""
    return hashes


@cache
def _program() -> str:
    """The hash of the program's own modules, told by their places, sizes and times."""
    return _hash(repr(sorted(_modules(_ROOT))).encode())


def _modules(room: Path | str) -> Iterator[tuple[str, int, int]]:
    """Every module in a folder and its folders: those that decide what a catalogue holds are all over it."""
    for one in os.scandir(room):
        if one.is_dir():
            yield from _modules(one.path)
        elif one.name.endswith(".py"):
            told = one.stat()
            yield one.path, told.st_size, told.st_mtime_ns


def _body(release: Release) -> str:
    """The catalogue's text but for its first line."""
    from rating.facts.gather import lasting  # every section: too slow to load for a catalogue that is there

    facts = lasting(release, {})
    people = _people(facts.lines, _sales(release.sales or ()))
    parts = (list(people), _packing(release, facts.lines, facts.collations), *people.values())
    return "\n".join(json.dumps(part, ensure_ascii=False, separators=(",", ":")) for part in parts)


def _people(
    lines: Sequence[CardLine], sales: Mapping[tuple[str, str, str], list[list[str]]]
) -> dict[str, list[dict[str, Any]]]:
    """Each person's cards, in the order of the checklist."""
    cards: dict[int, dict[str, Any]] = {}
    people: dict[str, list[dict[str, Any]]] = {}
    for place, line in enumerate(lines):
        for card, run in zip(line.cards, line.runs, strict=True):
            if id(card) not in cards:
                cards[id(card)] = {
                    "number": card.number,
                    "kind": card.kind,
                    "subjects": card.subjects,
                    "teams": card.teams,
                    "rookie": card.rookie,
                    "signed": card.signed,
                    "relic": card.relic,
                    "redemption": card.redemption,
                    "lines": [],
                    "sales": {},
                }
                for name in dict.fromkeys(card.subjects):
                    people.setdefault(name, []).append(cards[id(card)])
            kept_card = cards[id(card)]
            kept_card["lines"].append((place, run))
            sold = sales.get((text.key(line.subset), text.key(line.parallel), text.key(card.number)))
            if sold:
                kept_card["sales"][str(place)] = sold
    return people


def _sales(sales: Sequence[Sale]) -> dict[tuple[str, str, str], list[list[str]]]:
    """Day, price and currency of the raw sales matched to a card, by subset, parallel and number."""
    by_card: dict[tuple[str, str, str], list[list[str]]] = {}
    for sale in sales:
        if sale.subset and sale.condition != "slabbed":
            card = (text.key(sale.subset), text.key(sale.parallel), text.key(sale.number))
            by_card.setdefault(card, []).append([sale.day.isoformat(), str(sale.price), sale.currency])
    return by_card


def _packing(
    release: Release, lines: Sequence[CardLine], collations: Mapping[str, Collation]
) -> dict[str, Any]:
    sheet = release.sheet
    return {
        "title": sheet.title,
        "released_on": sheet.released_on.isoformat() if sheet.released_on else "",
        "headline": sheet.headline,
        "formats": {packed.key: packed.name for packed in sheet.formats},
        "lines": [
            KeptLine(
                subset=line.subset,
                parallel=line.parallel,
                cards=len(line.cards),
                weight=sum(share_weights(line.runs)),
                by_run=None not in line.runs,
                formats=line.formats,
            )
            for line in lines
        ],
        "collations": {key: _plain(collation) for key, collation in collations.items()},
    }


def _plain(collation: Collation) -> dict[str, Any]:
    """A collation for JSON: floats keep all their digits there, fractions become text."""
    plain = asdict(collation)
    plain["cards_per_pack"] = str(collation.cards_per_pack)
    plain["draws"] = [{**asdict(draw), "count": str(draw.count)} for draw in collation.draws]
    return plain


def _packing_from(plain: dict[str, Any]) -> Packing:
    lines = tuple(KeptLine._make((*line[:5], tuple(line[5]))) for line in plain.pop("lines"))
    collations = {key: _collation_from(kept) for key, kept in plain.pop("collations").items()}
    return Packing(lines=lines, collations=collations, **plain)


def _collation_from(plain: dict[str, Any]) -> Collation:
    draws = tuple(
        Draw(
            **{
                **draw,
                "lines": tuple(draw["lines"]),
                "weights": tuple(draw["weights"]),
                "count": Fraction(draw["count"]),
            }
        )
        for draw in plain.pop("draws")
    )
    open_lines = tuple(plain.pop("open_lines"))
    per_pack = Fraction(plain.pop("cards_per_pack"))
    return Collation(draws=draws, open_lines=open_lines, cards_per_pack=per_pack, **plain)
