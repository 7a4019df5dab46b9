"""Tables that were written, held against the truth: each fact right, open, set aside, wrong or lost.

right      written as it is; or no document determines it, and it was left blank or asked
open       blank, or its row is missing, and a problem or a question names where it is stated
set aside  its row was set aside with a reason
wrong      written otherwise; also each row and each value that was written and is not so
lost       stated, and neither written nor named
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from itertools import permutations, product

from makers.scoring.report import Report, fold, letters
from makers.scoring.written import Tables
from makers.truth.facts import COLUMNS, Key, Row, Truth

OUTCOMES = ("right", "open", "set aside", "wrong", "lost")
_PACKING = ("cards_per_pack", "packs_per_box", "boxes_per_case")
_Keys = Callable[[int], Iterable[tuple[str, ...]]]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of one fact. `kind` is 'checklist teams', 'odds', 'sold title' and such."""

    kind: str
    outcome: str
    about: str
    truth: str
    written: str


def compare(truth: Truth, written: Tables, report: Report) -> list[Verdict]:
    """The verdict on every fact."""
    return _Comparison(truth, written, report).verdicts()


class _Comparison:
    def __init__(self, truth: Truth, written: Tables, report: Report) -> None:
        self.truth, self.written, self.report = truth, written, report
        self.found: list[Verdict] = []
        self.cards = self._pair_cards()
        self.subsets = self._subset_names()
        self.formats = {_bare(row["name"]): row["name"] for row in truth.tables["formats"]}
        self.keys = {row["key"]: row["name"] for row in written.get("formats", ())}

    def verdicts(self) -> list[Verdict]:
        """All of them."""
        self._checklist()
        self._parallels()
        self._odds()
        self._formats()
        self._promises()
        self._prices()
        self._sheet()
        self._sales()
        self._slots()
        return self.found

    # -- what all tables share

    def _note(self, kind: str, outcome: str, about: str, truth: str = "", written: str = "") -> None:
        self.found.append(Verdict(kind, outcome, about, truth, written))

    def _accepted(self, key: Key) -> set[str]:
        """Folded spellings of a fact that are as good as the truth's."""
        return {fold(self.truth.value(key)), *map(fold, self.truth.also.get(key, ()))}

    def _judge(
        self, kind: str, key: Key, value: str, *, row: int = 0, same: Callable[[str], bool] | None = None
    ) -> None:
        """The verdict on one value of a row that was written; `row` is its place, from 1."""
        true, places = self.truth.value(key), self.truth.stated.get(key, ())
        about = f"{key.table} {key.row}"
        right = same(value) if same else fold(value) in self._accepted(key)
        if not true:
            if value and not right:
                self._note(kind, "wrong", about, "", value)
            return
        if value:
            self._note(kind, "right" if right else "wrong", about, true, value)
        elif not places:
            self._note(kind, "right", about, true, "")
        elif self.report.waits(key.table, row, key.column) or self.report.names(places):
            self._note(kind, "open", about, true, "")
        else:
            self._note(kind, "lost", about, true, "")

    def _miss(self, kind: str, key: Key, state: Key | None = None) -> None:
        """The verdict on a fact whose row was not written."""
        true, places = self.truth.value(key), self.truth.stated.get(state or key, ())
        if not true or not places:
            return
        outcome = (
            "set aside" if self.report.sets_aside(places) else "open" if self.report.names(places) else "lost"
        )
        self._note(kind, outcome, f"{key.table} {key.row}", true, "")

    def _extra(self, kind: str, rows: Iterable[Row]) -> None:
        for row in rows:
            self._note(
                kind, "wrong", "a row that is not so", "", " | ".join(cell for cell in row.values() if cell)
            )

    def _format(self, text: str) -> str:
        """The truth's name of a format that was written by key or name, blank where there is none."""
        for said in (text, self.keys.get(text, ""), text.replace("-", " ")):
            if _bare(said) in self.formats:
                return self.formats[_bare(said)]
        return ""

    # -- the checklist

    def _pair_cards(self) -> dict[int, int]:
        rows, written = self.truth.tables["checklist"], self.written.get("checklist", ())
        forms = [
            {name: self._accepted(Key("checklist", place, name)) for name in ("subset", "number", "subjects")}
            for place in range(len(rows))
        ]
        passes = [
            ("subset", "number", "subjects"),
            ("number", "subjects"),
            ("subset", "subjects"),
            ("subset", "number"),
            ("subjects",),
        ]
        return _pair(
            len(rows),
            written,
            [
                (
                    lambda place, names=names: product(
                        *(_turned(name, forms[place][name]) for name in names)
                    ),
                    lambda row, names=names: tuple(fold(row.get(name, "")) for name in names),
                )
                for names in passes
            ],
        )

    def _subset_names(self) -> dict[str, set[str]]:
        """By subset: what other tables may call it; as the checklist does, if that is a name of it."""
        forms: dict[str, set[str]] = defaultdict(set)
        used: dict[str, Counter[str]] = defaultdict(Counter)
        for place, row in enumerate(self.truth.tables["checklist"]):
            forms[row["subset"]] |= self._accepted(Key("checklist", place, "subset"))
            if place in self.cards:
                used[row["subset"]][fold(self.written["checklist"][self.cards[place]].get("subset", ""))] += 1
        for table in ("parallels", "odds", "sales"):
            for row in self.truth.tables.get(table, ()):
                forms[row["subset"]].add(fold(row["subset"]))
        for name, counts in used.items():
            chosen = counts.most_common(1)[0][0]
            if chosen in forms[name]:
                forms[name] = {chosen}
        forms[""] = {""}
        return forms

    def _checklist(self) -> None:
        rows = self.written.get("checklist", ())
        for place in range(len(self.truth.tables["checklist"])):
            if place not in self.cards:
                state = Key("checklist", place, "number")
                for name in COLUMNS["checklist"]:
                    key = Key("checklist", place, name)
                    self._miss(f"checklist {name}", key, state if key in self.truth.stated else None)
                continue
            row = rows[self.cards[place]]
            turned = self._is_turned(place, row)
            for name in COLUMNS["checklist"]:
                key = Key("checklist", place, name)
                same = None
                if name in {"subjects", "teams"}:
                    same = self._same_people(key, turned=turned and name == "teams")
                if name == "rookie":
                    same = self._same_word(key)
                self._judge(f"checklist {name}", key, row.get(name, ""), row=self.cards[place] + 1, same=same)
        taken = set(self.cards.values())
        self._extra("checklist number", (row for place, row in enumerate(rows) if place not in taken))

    def _same_word(self, key: Key) -> Callable[[str], bool]:
        return lambda value: fold(value) in self._accepted(key)

    def _is_turned(self, place: int, row: Row) -> bool:
        """Whether the two persons of a card were written in the other order."""
        key = Key("checklist", place, "subjects")
        told = fold(row.get("subjects", ""))
        return told not in self._accepted(key) and told in _turned("subjects", self._accepted(key))

    def _same_people(self, key: Key, *, turned: bool) -> Callable[[str], bool]:
        accepted = self._accepted(key)
        if key.column == "subjects":
            accepted = _turned("subjects", accepted)
        else:
            accepted = {" / ".join(reversed(one.split(" / "))) for one in accepted} if turned else accepted
            accepted |= {one.split(" / ")[0] for one in accepted if len(set(one.split(" / "))) == 1}
        return lambda value: fold(value) in accepted

    # -- parallels and odds

    def _parallels(self) -> None:
        rows, written = self.truth.tables["parallels"], self.written.get("parallels", ())
        pairs = _pair(
            len(rows),
            written,
            [
                (
                    lambda place: product(
                        self.subsets[rows[place]["subset"]], [fold(rows[place]["parallel"])]
                    ),
                    lambda row: (fold(row.get("subset", "")), fold(row.get("parallel", ""))),
                )
            ],
        )
        for place in range(len(rows)):
            state = Key("parallels", place, "parallel")
            if place not in pairs:
                for kind, name in (
                    ("parallel", "parallel"),
                    ("parallel run", "print_run"),
                    ("parallel formats", "formats"),
                ):
                    self._miss(kind, Key("parallels", place, name))
                continue
            row = written[pairs[place]]
            self._judge("parallel", state, row.get("parallel", ""))
            self._judge("parallel run", Key("parallels", place, "print_run"), row.get("print_run", ""))
            key = Key("parallels", place, "formats")
            told = {self._format(name) or name for name in row.get("formats", "").replace(",", " ").split()}
            accepted = [
                {self._format(name) or name for name in form.split()}
                for form in (self.truth.value(key), *self.truth.also.get(key, ()))
            ]
            value = row.get("formats", "")
            implied = not self.truth.value(key) and told in accepted
            if not implied:
                self._judge(
                    "parallel formats", key, value, same=lambda _, told=told, good=accepted: told in good
                )
        self._extra("parallel", _others(written, pairs))

    def _odds(self) -> None:
        rows, written = self.truth.tables["odds"], self.written.get("odds", ())

        def lines(place: int) -> Iterable[tuple[str, ...]]:
            row = rows[place]
            return product(self.subsets[row["subset"]], [fold(row["parallel"])], [row["format"]])

        def line(row: Row) -> tuple[str, ...]:
            return (
                fold(row.get("subset", "")),
                fold(row.get("parallel", "")),
                self._format(row.get("format", "")),
            )

        pairs = _pair(len(rows), written, [(lines, line)])
        left = [place for place in range(len(rows)) if place not in pairs]
        misplaced = _pair(
            len(left),
            list(_others(written, pairs)),
            [
                (
                    lambda place: [
                        (
                            rows[left[place]]["format"],
                            fold(rows[left[place]]["parallel"]),
                            rows[left[place]]["packs_per_copy"],
                        )
                    ],
                    lambda row: (
                        self._format(row.get("format", "")),
                        fold(row.get("parallel", "")),
                        _plain(row.get("packs_per_copy", "")),
                    ),
                )
            ],
        )
        for place in range(len(rows)):
            key = Key("odds", place, "packs_per_copy")
            if place in pairs:
                value = written[pairs[place]].get("packs_per_copy", "")
                self._judge("odds", key, value, same=self._same_number(key))
            elif place not in {left[one] for one in misplaced}:
                self._miss("odds", key)
        others = list(_others(written, pairs))
        for place in misplaced.values():
            self._note("odds", "wrong", "the line of another subset", "", " | ".join(others[place].values()))
        self._extra("odds", _others(others, misplaced))

    def _same_number(self, key: Key) -> Callable[[str], bool]:
        return lambda value: _plain(value) == _plain(self.truth.value(key))

    # -- the sell sheet

    def _formats(self) -> None:
        written = {
            self._format(row["name"]) or self._format(row["key"]): row
            for row in self.written.get("formats", ())
        }
        for place, row in enumerate(self.truth.tables["formats"]):
            for name in _PACKING:
                key = Key("formats", place, name)
                if row["name"] in written:
                    value = written[row["name"]].get(name, "")
                    self._judge(name.replace("_", " "), key, value, same=self._same_number(key))
                else:
                    self._miss(name.replace("_", " "), key)
        unknown = (row for name, row in written.items() if not name and any(row.get(one) for one in _PACKING))
        self._extra("packs per box", unknown)

    def _promises(self) -> None:
        rows, written = self.truth.tables["promises"], self.written.get("promises", ())

        def subject(row: Row, subsets: Iterable[str]) -> list[tuple[str, ...]]:
            what = row.get("what", "")
            parallel = fold(row.get("parallel", ""))
            if parallel:
                return [(row["format"], "", parallel, "")]
            return [
                (row["format"], subset, "", what if what == "numbered" or not subset else "")
                for subset in subsets
            ]

        def line(row: Row) -> tuple[str, ...]:
            named = row | {"format": self._format(row.get("format", ""))}
            return subject(named, [fold(row.get("subset", ""))])[0]

        pairs = _pair(
            len(rows), written, [(lambda at: subject(rows[at], self.subsets[rows[at]["subset"]]), line)]
        )
        for place, row in enumerate(rows):
            key, certainty = Key("promises", place, "count"), Key("promises", place, "certainty")
            if place not in pairs:
                self._miss("promise", key)
                self._miss("promise certainty", certainty)
                continue
            told = written[pairs[place]]
            same = self._rate(row) == self._rate(told | {"format": row["format"]})
            self._judge("promise", key, told.get("count", ""), same=lambda _, same=same: same)
            self._judge("promise certainty", certainty, told.get("certainty", ""))
        self._extra("promise", _others(written, pairs))

    def _rate(self, row: Row) -> Decimal | None:
        """How many a case holds of what is promised."""
        one = next(form for form in self.truth.tables["formats"] if form["name"] == row["format"])
        try:
            packs, boxes = Decimal(one["packs_per_box"]), Decimal(one["boxes_per_case"])
            return Decimal(row["count"]) * {"pack": packs * boxes, "box": boxes}.get(row["per"], Decimal(1))
        except InvalidOperation:
            return None

    def _prices(self) -> None:
        rows, written = self.truth.tables["prices"], self.written.get("prices", ())
        pairs = _pair(
            len(rows),
            written,
            [
                (
                    lambda place: [(rows[place]["format"], rows[place]["unit"])],
                    lambda row: (self._format(row.get("format", "")), row.get("unit", "")),
                )
            ],
        )
        for place in range(len(rows)):
            key = Key("prices", place, "price")
            if place in pairs:
                self._judge(
                    "list price", key, written[pairs[place]].get("price", ""), same=self._same_number(key)
                )
            else:
                self._miss("list price", key)
        self._extra("list price", _others(written, pairs))

    def _sheet(self) -> None:
        row = (self.written.get("sheet") or ({},))[0]
        for name in ("date", "since"):
            self._judge(name, Key("sheet", 0, name), row.get(name, ""))

    # -- the market

    def _sales(self) -> None:
        rows, written = self.truth.tables["sales"], self.written.get("sales", ())

        def key_of(row: Row, count: int) -> tuple[str, ...]:
            return (letters(row.get("title", "")), row.get("date", ""), _plain(row.get("price", "")))[:count]

        pairs = _pair(
            len(rows),
            written,
            [
                *(
                    (lambda place, n=n: [key_of(rows[place], n)], lambda row, n=n: key_of(row, n))
                    for n in (3, 2, 1)
                ),
                (lambda place: [key_of(rows[place], 3)[1:]], lambda row: key_of(row, 3)[1:]),
            ],
        )
        numbers = self._numbers()
        for place, row in enumerate(rows):
            told = written[pairs[place]] if place in pairs else None
            self._title(place, row, told, numbers)
            if told is None or row["junk"]:
                continue
            for name in ("price", "postage"):
                key = Key("sales", place, name)
                self._stated(f"sold {name}", key, told, same=self._same_number(key))
            for name in ("date", "how"):
                self._stated(f"sold {name}", Key("sales", place, name), told)
            if row["condition"] == "slabbed":
                self._judge("sold slab", Key("sales", place, "condition"), told.get("condition", ""))
        self._extra("sold title", _others(written, pairs))

    def _stated(self, kind: str, key: Key, row: Row, same: Callable[[str], bool] | None = None) -> None:
        """The verdict on a column that is counted where a document has it."""
        if key in self.truth.stated:
            self._judge(kind, key, row.get(key.column, ""), same=same)

    def _title(
        self, place: int, row: Row, told: Row | None, numbers: dict[tuple[str, str], set[str]]
    ) -> None:
        """Whether a sale was given to the right card in the right version, and junk to none."""
        about, key = f"sales {place}: {row['title']}", Key("sales", place, "title")
        places = self.truth.stated.get(key, ()) or self.truth.stated.get(Key("sales", place, "card"), ())
        line = " | ".join((row["subset"], row["parallel"], row["number"]))
        matched = told is not None and told.get("subset", "") != ""
        given = " | ".join(told.get(name, "") for name in ("subset", "parallel", "number")) if told else ""
        if row["junk"]:
            named = told is not None or self.report.sets_aside(places) or self.report.names(places)
            self._note(
                "sold title", "wrong" if matched else "right" if named else "lost", about, "no card", given
            )
            return
        certain = Key("sales", place, "card") in self.truth.stated
        if told is not None and matched:
            right = (
                fold(told["subset"]) in self.subsets[row["subset"]]
                and fold(told.get("parallel", "")) == fold(row["parallel"])
                and fold(told.get("number", ""))
                in numbers.get((row["subset"], row["number"]), {fold(row["number"])})
            )
            self._note("sold title", "right" if right else "wrong", about, line, given)
        elif told is not None:
            self._note("sold title", "open" if certain else "right", about, line, "")
        elif self.report.sets_aside(places):
            self._note("sold title", "set aside" if certain else "right", about, line, "")
        else:
            self._note("sold title", "open" if self.report.names(places) else "lost", about, line, "")

    def _numbers(self) -> dict[tuple[str, str], set[str]]:
        return {
            (row["subset"], row["number"]): self._accepted(Key("checklist", place, "number"))
            for place, row in enumerate(self.truth.tables["checklist"])
        }

    def _slots(self) -> None:
        rows, written = self.truth.tables["slots"], self.written.get("slots", ())
        pairs = _pair(
            len(rows),
            written,
            [
                (
                    lambda place, n=n: [
                        (" + ".join(order), _plain(rows[place]["price"]), rows[place]["date"])[:n]
                        for order in permutations(fold(rows[place]["slot"]).split(" + "))
                    ],
                    lambda row, n=n: (
                        fold(row.get("slot", "")),
                        _plain(row.get("price", "")),
                        row.get("date", ""),
                    )[:n],
                )
                for n in (3, 2, 1)
            ],
        )
        for place, row in enumerate(rows):
            told = written[pairs[place]] if place in pairs else None
            for name in ("price", "format", "date", "how", "cases"):
                key = Key("slots", place, name)
                if told is None:
                    if name == "price":
                        self._miss("slot price", key)
                elif name == "format":
                    self._stated(
                        "slot format", key, told, same=lambda v, own=row: self._format(v) == own["format"]
                    )
                else:
                    same = self._same_number(key) if name in {"price", "cases"} else None
                    self._stated(f"slot {name}", key, told, same=same)
        self._extra("slot price", _others(written, pairs))


def _pair(
    count: int, written: Sequence[Row], passes: Sequence[tuple[_Keys, Callable[[Row], tuple[str, ...]]]]
) -> dict[int, int]:
    """Rows of the truth with those that were written for them, by the keys of one pass after the other."""
    pairs: dict[int, int] = {}
    left = set(range(len(written)))
    for keys, key in passes:
        waiting: dict[tuple[str, ...], list[int]] = defaultdict(list)
        for place in sorted(left, reverse=True):
            waiting[key(written[place])].append(place)
        for place in range(count):
            if place in pairs:
                continue
            for one in keys(place):
                if waiting.get(one):
                    pairs[place] = waiting[one].pop()
                    left.discard(pairs[place])
                    break
    return pairs


def _others(written: Sequence[Row], pairs: dict[int, int]) -> Iterable[Row]:
    taken = set(pairs.values())
    return (row for place, row in enumerate(written) if place not in taken)


def _bare(name: str) -> str:
    """A format's name without the word for what it is."""
    return re.sub(r" (boxes|box|packs|pack|format|edition)$", "", fold(name))


def _turned(name: str, forms: set[str]) -> set[str]:
    """The spellings, with several persons in any order."""
    if name != "subjects":
        return forms
    return {" / ".join(order) for form in forms for order in permutations(form.split(" / "))}


def _plain(text: str) -> str:
    """A number without idle zeros, another text as it is."""
    try:
        number = Decimal(text)
    except InvalidOperation:
        return text
    plain = f"{number:f}"
    return plain.rstrip("0").rstrip(".") if "." in plain else plain
