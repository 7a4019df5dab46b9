"""The truth as tables of facts: what each is, which documents state it, and which spellings are as good.

The tables are those of the tidy files, as text; what a release.toml holds is in tables of its own:

checklist   subset kind number subjects teams rookie print_run signed relic variation redemption
parallels   subset parallel print_run formats
odds        subset parallel format packs_per_copy
formats     name cards_per_pack packs_per_box boxes_per_case
promises    format what count per certainty subset parallel
prices      format unit price          the maker's own
sheet       date since                 one row
sales       title date price postage how condition subset parallel number; `junk` is yes where it is no sale
            of a card of the release
slots       slot price format date how cases; a blank slot is a random break

`format` is the name of a format, not its key. A value that no document determines is in the tables all the
same, without a place in `stated`: it counts as right when it is left blank or asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NamedTuple

from makers.truth.market import Market
from makers.truth.release import Release

Row = dict[str, str]
COLUMNS = {
    "checklist": (
        "subset", "kind", "number", "subjects", "teams", "rookie", "print_run", "signed", "relic",
        "variation",
        "redemption",
    ),
    "parallels": ("subset", "parallel", "print_run", "formats"),
    "odds": ("subset", "parallel", "format", "packs_per_copy"),
    "formats": ("name", "cards_per_pack", "packs_per_box", "boxes_per_case"),
    "promises": ("format", "what", "count", "per", "certainty", "subset", "parallel"),
    "prices": ("format", "unit", "price"),
    "sheet": ("date", "since"),
    "sales": ("title", "date", "price", "postage", "how", "condition", "subset", "parallel", "number",
    "junk"),
    "slots": ("slot", "price", "format", "date", "how", "cases"),
}  # fmt: skip


class Key(NamedTuple):
    """One fact: a table, the place of a row in it (from 0), and a column.

    Two tables more are shorthands of writers: "subset" for a fact of all its cards, and "people" with the
    column rookie for somebody who is marked as one.
    """

    table: str
    row: int
    column: str


class Place(NamedTuple):
    """Where a document states something. `row` counts from 1; a text or CSV file has no sheet."""

    file: str
    sheet: str
    row: int
    text: str


@dataclass(frozen=True, slots=True)
class Truth:
    """All facts of a release, where they are stated, and other spellings that are as good."""

    tables: Mapping[str, tuple[Row, ...]]
    stated: Mapping[Key, tuple[Place, ...]]
    also: Mapping[Key, frozenset[str]]

    def value(self, key: Key) -> str:
        """The value of a fact, blank where there is none."""
        return self.tables[key.table][key.row].get(key.column, "")

    def to_json(self) -> dict[str, Any]:
        """The truth in plain values without blanks; places are listed once and named by their number."""
        places = {
            place: at
            for at, place in enumerate(sorted({one for told in self.stated.values() for one in told}))
        }
        return {
            "tables": {
                name: [{column: cell for column, cell in row.items() if cell} for row in rows]
                for name, rows in self.tables.items()
            },
            "places": [list(place) for place in places],
            "stated": [[*key, [places[one] for one in told]] for key, told in sorted(self.stated.items())],
            "also": [[*key, sorted(values)] for key, values in sorted(self.also.items())],
        }


def from_json(content: Mapping[str, Any]) -> Truth:
    """The truth that `to_json` wrote."""
    places = [Place(*one) for one in content["places"]]
    return Truth(
        {
            name: tuple(
                {column: row.get(column, "") for column in columns} for row in content["tables"][name]
            )
            for name, columns in COLUMNS.items()
        },
        {Key(*one[:3]): tuple(places[at] for at in one[3]) for one in content["stated"]},
        {Key(*one[:3]): frozenset(one[3]) for one in content["also"]},
    )


def to_tables(release: Release, market: Market) -> dict[str, tuple[Row, ...]]:
    """Everything that is true of a release and its market, as tables."""
    return {
        "checklist": tuple(_checklist(release)),
        "parallels": tuple(
            {
                "subset": subset.name,
                "parallel": rung.name,
                "print_run": _text(rung.run),
                "formats": " ".join(rung.formats),
            }
            for subset, rung in release.rungs()
        ),
        "odds": tuple(
            {
                "subset": one.subset.name,
                "parallel": one.rung.name if one.rung else "",
                "format": one.format.name,
                "packs_per_copy": plain(one.packs),
            }
            for one in release.odds
        ),
        "formats": tuple(
            {
                "name": one.name,
                "cards_per_pack": str(one.cards),
                "packs_per_box": str(one.packs),
                "boxes_per_case": str(one.boxes),
            }
            for one in release.formats
        ),
        "promises": tuple(_promises(release)),
        "prices": tuple(
            {"format": one.format.name, "unit": one.unit, "price": plain(one.amount)}
            for one in release.prices
        ),
        "sheet": ({"date": release.day.isoformat(), "since": str(release.since)},),
        "sales": tuple(_sales(market)),
        "slots": tuple(_slots(release, market)),
    }


def _checklist(release: Release) -> Iterable[Row]:
    for subset, card in release.cards():
        yield {
            "subset": subset.name,
            "kind": subset.kind,
            "number": card.number,
            "subjects": " / ".join(one.name for one in card.persons),
            "teams": " / ".join(release.league.team_of(one).name for one in card.persons),
            "rookie": _yes(all(one.rookie for one in card.persons)),
            "print_run": _text(card.run),
            "signed": subset.signed,
            "relic": subset.relic,
            "variation": _yes(subset.variation),
            "redemption": _yes(card.redemption),
        }


def _promises(release: Release) -> Iterable[Row]:
    for one in release.promises:
        yield {
            "format": one.format.name,
            "what": one.what,
            "count": plain(one.count),
            "per": one.per,
            "certainty": "hard" if one.hard else "average",
            "subset": one.subset.name if one.subset else "",
            "parallel": one.parallel,
        }


def _sales(market: Market) -> Iterable[Row]:
    for one in market.sales:
        yield {
            "title": one.title,
            "date": one.day.isoformat(),
            "price": plain(one.price),
            "postage": "" if one.postage is None else plain(one.postage),
            "how": one.how,
            "condition": "slabbed" if one.slabbed else "raw",
            "subset": one.subset.name if one.subset else "",
            "parallel": one.rung.name if one.rung else "",
            "number": one.card.number if one.card else "",
            "junk": _yes(one.card is None),
        }


def _slots(release: Release, market: Market) -> Iterable[Row]:
    for hosted in market.breaks:
        for one in hosted.slots:
            yield {
                "slot": " + ".join(release.league.teams[team].name for team in one.teams),
                "price": plain(one.price),
                "format": hosted.format.name,
                "date": hosted.day.isoformat(),
                "how": hosted.how,
                "cases": plain(hosted.cases),
            }


def plain(number: Decimal) -> str:
    """A number without an exponent or idle zeros: 4.5, 120."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _text(number: int | None) -> str:
    return "" if number is None else str(number)


def _yes(so: bool) -> str:
    return "yes" if so else ""
