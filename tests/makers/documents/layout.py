"""The grammar of layouts: every choice a maker, a distributor or a marketplace makes, each drawn by itself.

A choice hangs on nothing but the seed and its own name, so any two are independent. Where one cannot be
carried out beside another (there are no merged cells in a text), `RULES` take the nearest that can.
`FEATURES` names what then occurs in the documents.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from types import MappingProxyType

from makers.dice import Dice
from makers.truth.planning import Style


def _maybe(share: float) -> dict[str, float]:
    return {"yes": share, "no": 1 - share}


GRAMMAR: Mapping[str, Mapping[str, float]] = {
    # what the reviewer has typed into season.toml
    "typed teams": {"full": 0.4, "names": 0.3, "none": 0.3},
    "currency": {"USD": 0.4, "EUR": 0.2, "GBP": 0.15, "CAD": 0.1, "SEK": 0.1, "AUD": 0.05},
    "decimal comma": _maybe(0.2),
    "date order": {"day first": 0.45, "month first": 0.3, "year first": 0.25},
    # files
    "one workbook": _maybe(0.17),
    "checklist in": {"xlsx": 0.42, "csv": 0.18, "txt": 0.4},
    "ladders in": {"xlsx": 0.35, "csv": 0.35, "txt": 0.3},
    "odds in": {"xlsx": 0.5, "csv": 0.5},
    "sell sheet in": {"xlsx": 0.5, "csv": 0.5},
    "sold in": {"csv": 0.6, "xlsx": 0.4},
    "slots in": {"csv": 0.6, "xlsx": 0.4},
    "cover sheet": _maybe(0.33),
    "sheet names": {"telling": 0.65, "numbered": 0.35},
    # the checklist as a whole
    "arrangement": {
        "one": 0.19, "stacked": 0.2, "each": 0.15, "beside": 0.19, "parallel": 0.13, "running": 0.14,
    },
    "titles above": _maybe(0.6),
    "headings": {
        "usual": 0.13, "odd": 0.16, "foreign": 0.16, "codes": 0.13, "gaps": 0.13, "repeated": 0.13,
        "none": 0.16,
    },
    "headings again": _maybe(0.5),
    "shuffled": _maybe(0.35),
    "constants": {"0": 0.6, "1": 0.2, "2": 0.2},
    "row index": _maybe(0.22),
    "empty column": _maybe(0.15),
    "two subset columns": _maybe(0.4),
    "subset cells": {"every": 0.3, "first": 0.3, "merged": 0.4},
    "banner": {"plain": 0.25, "capitals": 0.25, "ruled": 0.15, "named": 0.2, "prefix": 0.15},
    "counts": _maybe(0.5),
    "sections": _maybe(0.8),
    "footnotes": _maybe(0.6),
    "page breaks": _maybe(0.16),
    # persons and teams
    "person": {"plain": 0.28, "comma": 0.2, "capitals": 0.18, "surname first": 0.18, "initials": 0.16},
    "initials for hits": _maybe(0.12),
    "split names": _maybe(0.25),
    "team": {"full": 0.3, "nick": 0.25, "code": 0.25, "city": 0.2},
    "team mark": {"": 0.7, "®": 0.15, "™": 0.15},
    "team place": {"column": 0.64, "brackets": 0.2, "none": 0.16},
    "team legend": {"sheet": 0.4, "footnote": 0.3, "none": 0.3},
    "teams listed anyway": _maybe(0.2),
    "pairs": {"stroke": 0.12, "and": 0.12, "semicolon": 0.08, "break": 0.08, "columns": 0.32, "rows": 0.28},
    "teams of pairs": {"in order": 0.5, "sorted": 0.5},
    # single cells
    "numbers": {
        "dash": 0.16, "tight": 0.14, "padded": 0.14, "initials": 0.26, "restart": 0.16, "continued": 0.14,
    },
    "base numbers": {"plain": 0.5, "padded": 0.3, "prefixed": 0.2},
    "number sign": {"": 0.65, "#": 0.2, "No. ": 0.15},
    "numbers as such": _maybe(0.6),
    "number glued": _maybe(0.24),
    "rookies": {"column": 0.3, "after name": 0.25, "asterisk": 0.2, "sentence": 0.18, "none": 0.07},
    "rookies in base only": _maybe(0.3),
    "redemptions": {"column": 0.25, "after name": 0.35, "sentence": 0.4},
    "runs": {"column": 0.55, "blurb": 0.45},
    "short prints": {"column": 0.4, "sentence": 0.6},
    "short print notes": _maybe(0.55),
    "run form": {"stroke": 0.3, "hash": 0.2, "to": 0.2, "copies": 0.15, "number": 0.15},
    "silent names": _maybe(0.55),
    "trap names": _maybe(0.4),
    "kinds": {"name": 0.16, "column": 0.28, "legend": 0.24, "blurb": 0.14, "sell sheet": 0.18},
    "attributes": _maybe(0.75),
    # ladders
    "ladders": {"blurb": 0.25, "cell": 0.2, "columns": 0.33, "table": 0.12, "text": 0.1},
    "ladder sentence": {"stroke": 0.3, "brackets": 0.3, "semicolons": 0.2, "of": 0.2},
    "exclusives": {"brackets": 0.6, "word": 0.4},
    # odds
    "odds": {
        "grid": 0.2, "long": 0.16, "sheets": 0.15, "lines": 0.15, "list": 0.13, "sentences": 0.16,
        "none": 0.07,
    },
    "odds form": {"colon": 0.5, "in": 0.2, "number": 0.15, "stroke": 0.15},
    "odds labels": {"apart": 0.55, "joined": 0.45},
    "odds names": {"same": 0.6, "shorter": 0.4},
    "odds per box": _maybe(0.35),
    "odds footnote": _maybe(0.35),
    "no odds": {"dash": 0.4, "blank": 0.3, "words": 0.3},
    "base version": {"blank": 0.3, "words": 0.4, "subset": 0.3},
    # sell sheet
    "sell sheet": {
        "prose": 0.22, "bullets": 0.2, "by column": 0.17, "by row": 0.17, "lines": 0.17, "none": 0.07,
    },
    "promises in a table": _maybe(0.6),
    "wrapped": _maybe(0.4),
    "other dates": _maybe(0.4),
    "since": {"ordinal": 0.3, "year": 0.3, "none": 0.4},
    "day form": {"long": 0.3, "american": 0.2, "iso": 0.25, "numeric": 0.25},
    "price words": {"srp": 0.4, "msrp": 0.25, "plain": 0.35},
    "promise contradicts odds": _maybe(0.2),
    # market
    "sold": {"table": 0.4, "bare": 0.22, "lines": 0.2, "none": 0.18},
    "sold dates": {"same": 0.6, "mixed": 0.4},
    "sold status": _maybe(0.65),
    "typed cells": _maybe(0.6),
    "sold numbers": _maybe(0.35),
    "sums below": _maybe(0.3),
    "sold preamble": _maybe(0.25),
    "slots": {"table": 0.27, "bare": 0.13, "text": 0.25, "none": 0.35},
    "slots dated": _maybe(0.75),
    # encodings, one draw a maker and one a file
    "encoding": {"utf-8": 0.34, "utf-8-sig": 0.2, "utf-16": 0.2, "legacy": 0.26},
    "delimiter": {",": 0.4, ";": 0.24, "\t": 0.2, "|": 0.16},
    "newline": {"\n": 0.6, "\r\n": 0.4},
    # damage
    "damage: widths": _maybe(0.2),
    "damage: quote": _maybe(0.25),
    "damage: encodings": _maybe(0.32),
    "damage: duplicates": _maybe(0.17),
    "damage: line ends": _maybe(0.2),
    "damage: blanks": _maybe(0.2),
    "damage: spaces": _maybe(0.17),
    "damage: NUL": _maybe(0.18),
}  # fmt: skip

FEATURES = (
    # files
    "checklist in a workbook", "checklist in CSV", "checklist in text", "all in one workbook", "cover sheet",
    "UTF-16", "a legacy encoding", "a byte-order mark", "semicolons", "tabs", "strokes between cells",
    "decimal comma", "no teams typed", "teams typed without codes",
    # the checklist as a whole
    "one table", "stacked blocks", "one sheet or file a subset", "blocks side by side",
    "one row a card and parallel", "running text", "cards as lines of text",
    "odd headings", "headings in another language", "headings that are codes", "missing headings",
    "repeated headings", "no headings", "shuffled columns", "constant columns", "a column that counts rows",
    "an empty column", "subset in two columns", "subset cell first only", "merged subset cells",
    "banners with counts", "sections in the base set", "blurbs under banners", "footnotes", "page breaks",
    # persons and teams
    "other alphabets", "last name first", "capitals", "surname in capitals first", "initials",
    "first and last name in two columns", "teams by nickname", "teams by code", "teams by city",
    "teams with a mark",
    "teams in brackets", "no teams on cards", "legend of team codes", "pairs in one cell", "pairs in columns",
    "pairs in rows", "teams of pairs in another order",
    # single cells
    "numbers by initials", "numbers that start again", "numbers with a sign", "number and name in one cell",
    "numbers with leading zeros", "rookie column", "rookies after the name", "rookies by asterisk",
    "rookies in a sentence", "redemptions in a sentence", "redemptions after the name",
    "short prints in a sentence", "notes of short prints",
    "kinds in a column", "kinds in a legend", "kinds in the sell sheet", "names that hide the kind",
    "names that mislead",
    # ladders
    "ladders in blurbs", "ladders in cells", "ladders in columns", "a table of ladders", "a text of ladders",
    "parallels of one format only", "sheets named by numbers",
    # odds
    "odds as a grid", "odds as a long table", "odds a sheet a format", "odds as lines", "odds as a list",
    "odds as sentences", "odds with joined labels", "odds per box", "a footnote that denies",
    "subset names shorter in the odds",
    # sell sheet
    "sell sheet as prose", "sell sheet as bullets", "sell sheet by column", "sell sheet by row",
    "sell sheet as lines", "promises in a table", "at least one of them", "every so many boxes",
    "how many years it runs", "other dates",
    "a promise that contradicts the odds",
    # market
    "sold list with headings", "sold list without headings", "sold list as lines", "unsold rows",
    "junk in the sold list", "cards of other releases", "slabs", "surnames only",
    "subsets cut short in titles",
    "serials that fit no card", "slots as a table", "slots as text", "a random break",
    "dates in two forms", "amounts and days as such in cells", "a column of listing numbers",
    "sums below",
    # damage
    "rows of another width", "a quote that never closes", "mixed encodings", "duplicated rows",
    "odd line ends",
    "blank rows", "stray spaces", "NUL",
)  # fmt: skip


_LINES: dict[str, AbstractSet[str]] = {"cards as lines": {"yes"}}
_NO_BANNERS: dict[str, AbstractSet[str]] = {"arrangement": {"one", "parallel"}}
# what cannot stand beside what: where all of the first holds, the second is taken instead; in this order
RULES: Sequence[tuple[Mapping[str, AbstractSet[str]], Mapping[str, str]]] = (
    (
        {"one workbook": {"yes"}},
        dict.fromkeys(("checklist in", "ladders in", "odds in", "sell sheet in"), "xlsx"),
    ),
    ({"one workbook": {"no"}, "arrangement": {"running"}}, {"checklist in": "txt"}),
    ({"arrangement": {"one", "parallel", "beside"}, "checklist in": {"txt"}}, {"checklist in": "csv"}),
    ({"checklist in": {"txt"}}, {"cards as lines": "yes"}),
    ({"arrangement": {"running"}}, {"cards as lines": "yes"}),
    (_LINES, {"split names": "no", "number glued": "no", "runs": "blurb"}),
    (_LINES | {"rookies": {"column"}}, {"rookies": "after name"}),
    (_LINES | {"redemptions": {"column"}}, {"redemptions": "after name"}),
    (_LINES | {"ladders": {"cell"}}, {"ladders": "text"}),
    (_LINES | {"ladders": {"columns"}}, {"ladders": "blurb"}),
    (_LINES | {"pairs": {"columns", "break"}}, {"pairs": "stroke"}),
    (_LINES | {"kinds": {"column"}}, {"kinds": "legend"}),
    (_NO_BANNERS, {"runs": "column"}),
    (_NO_BANNERS | {"ladders": {"blurb"}}, {"ladders": "table"}),
    (_NO_BANNERS | {"kinds": {"blurb"}}, {"kinds": "legend"}),
    ({"arrangement": {"parallel"}}, {"ladders": "rows"}),
    ({"headings": {"none", "codes"}, "ladders": {"columns"}}, {"ladders": "cell"}),
    ({"runs": {"blurb"}}, {"short prints": "sentence"}),
    ({"split names": {"yes"}}, {"number glued": "no"}),
    (
        {"split names": {"yes"}, "person": {"comma", "surname first", "initials"}},
        {"person": "plain"},
    ),
    ({"split names": {"yes"}, "team place": {"brackets"}}, {"team place": "column"}),
    ({"arrangement": {"beside"}, "pairs": {"columns"}}, {"pairs": "stroke"}),
    ({"checklist in": {"csv", "txt"}, "pairs": {"break"}}, {"pairs": "semicolon"}),
    ({"arrangement": {"running"}, "pairs": {"rows"}}, {"pairs": "and"}),
    ({"sell sheet": {"none"}, "kinds": {"sell sheet"}}, {"kinds": "legend"}),
)
# features that are there wherever a choice is
FOLLOWING: Mapping[tuple[str, str], str] = {
    ("arrangement", "one"): "one table",
    ("arrangement", "stacked"): "stacked blocks",
    ("arrangement", "each"): "one sheet or file a subset",
    ("arrangement", "beside"): "blocks side by side",
    ("arrangement", "parallel"): "one row a card and parallel",
    ("arrangement", "running"): "running text",
    ("checklist in", "xlsx"): "checklist in a workbook",
    ("checklist in", "csv"): "checklist in CSV",
    ("checklist in", "txt"): "checklist in text",
    ("one workbook", "yes"): "all in one workbook",
    ("decimal comma", "yes"): "decimal comma",
    ("typed teams", "none"): "no teams typed",
    ("typed teams", "names"): "teams typed without codes",
    ("split names", "yes"): "first and last name in two columns",
    ("team place", "brackets"): "teams in brackets",
    ("team place", "none"): "no teams on cards",
    ("numbers", "restart"): "numbers that start again",
    ("number sign", "#"): "numbers with a sign",
    ("number sign", "No. "): "numbers with a sign",
    ("number glued", "yes"): "number and name in one cell",
    ("base numbers", "padded"): "numbers with leading zeros",
    ("rookies", "column"): "rookie column",
    ("rookies", "after name"): "rookies after the name",
    ("rookies", "asterisk"): "rookies by asterisk",
    ("kinds", "column"): "kinds in a column",
    ("ladders", "cell"): "ladders in cells",
    ("ladders", "columns"): "ladders in columns",
}


@dataclass(frozen=True, slots=True)
class Layout:
    """The choices of one maker."""

    choices: Mapping[str, str]

    def __getitem__(self, choice: str) -> str:
        """What was chosen."""
        return self.choices[choice]

    @property
    def style(self) -> Style:
        """How cards are numbered and hits named."""
        hides = self.choices["kinds"] != "name" and self.has("silent names")
        misleads = self.choices["kinds"] in {"column", "legend"} and self.has("trap names")
        return Style(self.choices["numbers"], self.choices["base numbers"], silent=hides, traps=misleads)

    def has(self, choice: str) -> bool:
        """Whether a choice of yes or no came out as yes."""
        return self.choices[choice] == "yes"


def draw_layout(seed: object, fixed: Mapping[str, str] | None = None) -> Layout:
    """The layout of a seed, with choices that are not drawn where some are fixed."""
    fixed = fixed or {}
    if unknown := [name for name, choice in fixed.items() if choice not in GRAMMAR.get(name, ())]:
        raise ValueError(f"the grammar knows no such choice for {', '.join(unknown)}")
    drawn = {name: Dice(seed, "layout", name).weigh(weights) for name, weights in GRAMMAR.items()}
    drawn |= {"cards as lines": "no", **fixed}
    for when, then in RULES:
        if all(drawn[name] in choices for name, choices in when.items()):
            drawn |= then
    return Layout(MappingProxyType(drawn))
