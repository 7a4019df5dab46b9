"""The cells of one card: what stands in each column, and what it states."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from makers.documents.grid import Cell, Notes
from makers.documents.layout import Layout
from makers.documents.naming import (
    is_known,
    pair_sign,
    person_forms,
    person_text,
    team_forms,
    team_text,
    written_teams,
)
from makers.documents.phrases import ladder_text, run_cell, type_word
from makers.truth.facts import Key
from makers.truth.league import Team
from makers.truth.people import Person
from makers.truth.release import Card, Release, Rung, Subset

Filled = dict[str, tuple[Cell, list[Key]]]


@dataclass(frozen=True, slots=True)
class Habits:
    """Small choices that stay the same through a checklist."""

    yes: str
    redeem: str
    after: str
    exchange: str
    type_choice: int
    base_word: str
    label_sign: str
    sign: str
    short: str


class CardCells:
    """Fills the columns of a card in a layout."""

    def __init__(
        self, release: Release, layout: Layout, notes: Notes, habits: Habits, *, legend: bool
    ) -> None:
        self.release = release
        self.layout = layout
        self.notes = notes
        self.habits = habits
        self.legend = legend
        singles = [card.persons[0].index for _, card in release.cards() if len(card.persons) == 1]
        self.on_single_cards = set(singles)
        self.people: dict[int, Filled] = {}
        self.pair_sign = ""  # in place of what the layout has, where that would run into other signs
        self.short_prints = {card.index for card in release.base.short_prints}
        self.ladders: dict[int, tuple[Cell, list[Key]]] = {}

    def fill(self, subset: Subset, card: Card, rung: Rung | None) -> Filled:
        """Every column that the card could fill."""
        if card.index not in self.people:
            filled = self.of_persons(subset, card, card.persons)
            apart = self.layout["pairs"] in {"columns", "rows"}
            for place, person in enumerate(card.persons if apart else (), start=1):
                alone = self.of_persons(subset, card, (person,), of=card.persons)
                filled |= {f"{name} {place}": cell for name, cell in alone.items()}
            self.people[card.index] = filled
        return self.of_card(subset, card, rung) | self.people[card.index]

    def of_card(self, subset: Subset, card: Card, rung: Rung | None) -> Filled:
        """The columns that say nothing of persons."""
        layout, habits = self.layout, self.habits
        own = _keys(card)
        run = rung.run if rung else card.run
        run_says = [Key("parallels", rung.index, "print_run")] if rung else [own("print_run")]
        rung_says = [Key("parallels", rung.index, "parallel")] if rung else []
        version = rung.name if rung else habits.base_word
        label = f"{subset.name}{habits.label_sign}{rung.name}" if rung else subset.name
        known = layout.has("attributes")
        kind_says = [own(column) for column in ("kind", *(("signed", "relic") if known else ()))]
        kind_says += [own("variation")] if subset.variation else []
        columns: Filled = {
            "subset": (subset.name, [own("subset")]),
            "label": (label, [own("subset"), *rung_says]),
            "parallel": (version, rung_says),
            "number": (self.number_cell(card), [own("number"), own("subset")]),
            "type": (self.type_text(subset, attributes=known), kind_says),
            "run": (run_cell(run, layout["run form"]) if run else None, run_says),
            "redemption": (habits.redeem if card.redemption else None, [own("redemption")]),
            "note": (habits.short if card.index in self.short_prints else None, []),
        }
        return columns | self.of_ladder(subset)

    def of_ladder(self, subset: Subset) -> Filled:
        """The ladder of a card's subset, in one column or a column a parallel."""
        if self.layout["ladders"] == "cell":
            if subset.index not in self.ladders:
                told = ladder_text(subset.rungs, self.layout, self.release.formats)
                self.ladders[subset.index] = (told or None, ladder_says(subset))
            return {"ladder": self.ladders[subset.index]}
        if self.layout["ladders"] != "columns":
            return {}
        columns: Filled = {}
        for rung in subset.rungs:
            cell = run_cell(rung.run, self.layout["run form"]) if rung.run else "x"
            columns[f"rung {rung.name}"] = (cell, ladder_says(subset, only=rung))
        return columns

    def of_persons(
        self, subset: Subset, card: Card, persons: Sequence[Person], of: Sequence[Person] = ()
    ) -> Filled:
        """The columns about persons, where they share one row; `of` are all of the card's persons."""
        own, league = _keys(card), self.release.league
        everybody = tuple(of or persons)
        sign = self.pair_sign or pair_sign(self.layout, commas=self.form_of(subset) == "comma")
        by_name = len(persons) > 1 and self.layout["teams of pairs"] == "sorted"
        teams = written_teams(league, tuple(persons), sort=by_name)
        told = [self.team(team) for team in teams]
        if not of:
            self._spellings(subset, card, everybody)
        marked = all(one.rookie for one in persons) and self._marks(subset)
        return {
            "person": self._person_cell(subset, card, persons, sign, self._team_says(card, everybody, None)),
            "first": (sign.join(self._first(one) for one in persons), [own("subjects")]),
            "last": (
                sign.join(
                    self._last(one) + self.marks(subset, card, one, last=one is persons[-1])
                    for one in persons
                ),
                [own("subjects"), *self._mark_says(subset, card, persons)],
            ),
            "team": (
                told[0] if len(set(told)) == 1 else sign.join(told),
                self._team_says(card, everybody, teams if not of else None),
            ),
            "rookie": (self.habits.yes if marked else None, _rookies(persons) if marked else []),
        }

    def _person_cell(
        self, subset: Subset, card: Card, persons: Sequence[Person], sign: str, team_says: list[Key]
    ) -> tuple[Cell, list[Key]]:
        """Names in one cell with what follows and precedes them: marks, teams in brackets, the number."""
        own, layout = _keys(card), self.layout
        names = [self.name_text(subset, card, one, last=one is persons[-1]) for one in persons]
        says = [own("subjects")]
        if layout["team place"] == "brackets":
            teams = [self.team(self.release.league.team_of(one)) for one in persons]
            names = [f"{name} ({team})" for name, team in zip(names, teams, strict=True)]
            says += team_says
        says += self._mark_says(subset, card, persons)
        text = sign.join(names)
        if layout.has("number glued"):
            text = f"{self.number(card)}{self.habits.sign}{text}"
            says += [own("number"), own("subset")]
        return text, says

    def team(self, team: Team) -> str:
        """A team as it is written."""
        return team_text(team, self.layout["team"], self.layout["team mark"])

    def form_of(self, subset: Subset) -> str:
        """The form of names in a subset."""
        if self.layout.has("initials for hits") and subset.kind not in {"base", "insert"}:
            return "initials" if not self.layout.has("split names") else self.layout["person"]
        return self.layout["person"]

    def name_text(self, subset: Subset, card: Card, person: Person, *, last: bool) -> str:
        """A name with the marks that follow it."""
        return person_text(person, self.form_of(subset)) + self.marks(subset, card, person, last=last)

    def marks(self, subset: Subset, card: Card, person: Person, *, last: bool) -> str:
        """What follows a name: the mark of a rookie, and after the last one that of a redemption."""
        text = ""
        if person.rookie and self._marks(subset):
            text += {"after name": self.habits.after, "asterisk": "*"}.get(self.layout["rookies"], "")
        if last and card.redemption and self.layout["redemptions"] == "after name":
            text += self.habits.exchange
        return text

    def _mark_says(self, subset: Subset, card: Card, persons: Sequence[Person]) -> list[Key]:
        """What the marks after names state."""
        says: list[Key] = []
        if self.layout["rookies"] in {"after name", "asterisk"} and self._marks(subset):
            says += _rookies([one for one in persons if one.rookie])
        if self.layout["redemptions"] == "after name" and card.redemption:
            says.append(Key("checklist", card.index, "redemption"))
        return says

    def number(self, card: Card) -> str:
        """A card's number as it is written."""
        return f"{self.layout['number sign']}{card.number}"

    def number_cell(self, card: Card) -> Cell:
        """A card's number as a cell: a plain one may be a number as such."""
        plain = card.number.isdigit() and not card.number.startswith("0") and not self.layout["number sign"]
        if plain and self.layout.has("numbers as such") and self.layout["checklist in"] == "xlsx":
            return int(card.number)
        return self.number(card)

    def type_text(self, subset: Subset, *, attributes: bool) -> str:
        """What stands in the column of kinds."""
        text = type_word(subset, self.habits.type_choice)
        if subset.variation:
            text += " variation"
        if attributes and subset.signed:
            text += {"card": ", on-card", "sticker": ", sticker"}[subset.signed]
        if attributes and subset.relic:
            text += f", {subset.relic}"
        return text

    def _marks(self, subset: Subset) -> bool:
        return subset.index == 0 or not self.layout.has("rookies in base only")

    def _first(self, person: Person) -> str:
        return (
            person.given.upper()
            if self.layout["person"] == "capitals" and person.script == "latin"
            else person.given
        )

    def _last(self, person: Person) -> str:
        text = " ".join(part for part in (person.family, person.suffix) if part)
        return text.upper() if self.layout["person"] == "capitals" and person.script == "latin" else text

    def _spellings(self, subset: Subset, card: Card, persons: Sequence[Person]) -> None:
        """Note down which other spellings of persons and teams are as good."""
        form, split = self.form_of(subset), self.layout.has("split names")
        key, also = _keys(card), self.notes.also
        if split or form == "initials":
            names = [[one.name, *sorted(person_forms(one, form, split=split))] for one in persons]
            also[key("subjects")].update(" / ".join(one) for one in product(*names))
        teams = [self.release.league.team_of(one) for one in persons]
        told = [
            [one.name, *sorted(team_forms(one, self.layout["team"], self.layout, legend=self.legend))]
            for one in teams
        ]
        if any(len(forms) > 1 for forms in told):
            also[key("teams")].update(" / ".join(one) for one in product(*told))
        if self.layout["number sign"]:
            also[key("number")].add(self.number(card))
        if not is_known(self.layout["team"], self.layout, legend=self.legend):
            self.notes.open.add(key("teams"))

    def _team_says(
        self, card: Card, persons: Sequence[Person], written: Sequence[object] | None
    ) -> list[Key]:
        """The teams are stated; in another order only where single cards tell whose is whose."""
        if self.layout["team place"] == "none":
            return []
        own = _keys(card)
        league = self.release.league
        turned = written is not None and list(written) != [league.team_of(one) for one in persons]
        if turned:
            self.notes.mark("teams of pairs in another order")
        if turned and not {one.index for one in persons} <= self.on_single_cards:
            return []
        return [own("teams")]


def _keys(card: Card) -> Callable[[str], Key]:
    return lambda column: Key("checklist", card.index, column)


def _rookies(persons: Sequence[Person]) -> list[Key]:
    return [Key("people", one.index, "rookie") for one in persons]


def ladder_says(subset: Subset, only: Rung | None = None) -> list[Key]:
    """What a ladder states of its rungs."""
    rungs = subset.rungs if only is None else (only,)
    columns = ("parallel", "print_run", "formats") if only is None else ("parallel", "print_run")
    return [Key("parallels", rung.index, column) for rung in rungs for column in columns]
