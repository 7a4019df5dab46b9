"""Who is on which card of a release, and how often its lines fall: kept ready, so that looking up is fast.

A catalogue follows from a release's files alone, see `rating.season.cache`. Its first line holds the names,
the second how the release is packed, each further one the cards of the person at that place among the names,
all in JSON: a look-up reads the whole text and parses only the lines it needs.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from rating import text
from rating.facts.falling.collation import Collation, Draw
from rating.facts.falling.lines import CardLine, share_weights
from rating.release.market import Sale
from rating.release.release import Release
from rating.season import cache
from rating.season import folder as folders

_KIND = "catalogue"


class KeptLine(NamedTuple):
    """A line: the total weight of its cards in a draw, whether they weigh by print run, where it can be."""

    subset: str
    parallel: str
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


class Catalogue:
    """The catalogue of one release, read from its text as far as it is asked for."""

    def __init__(self, slug: str, content: str) -> None:
        self.slug = slug
        self._names, self._packing, *self._people = content.split("\n")

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


def kept(season: Path, slug: str) -> Catalogue | None:
    """The catalogue of a release as it was kept, None where there is none that fits the files."""
    body = cache.read(season, slug, _KIND)
    try:
        return None if body is None else Catalogue(slug, body)
    except ValueError:
        return None


def made(season: Path, slug: str) -> Catalogue:
    """The catalogue of a release, made from its files and kept.

    Raises
    ------
    rating.errors.RatingError
        with every error that its files hold
    """
    release = folders.sound_release(season, slug)
    body = _body(release)
    cache.write(season, slug, _KIND, body, owner=release.sheet.checklist_of)
    return Catalogue(slug, body)


def _body(release: Release) -> str:
    """The catalogue's text."""
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
    lines = tuple(KeptLine._make((*line[:4], tuple(line[4]))) for line in plain.pop("lines"))
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
