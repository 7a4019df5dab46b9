"""What speaks for each role of a column: its cells, and what the columns beside it hold.

Every role gets evidence from every profile, in natural-log units by judgement (common practice, no source).
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from types import MappingProxyType

from rating.release.intake import ladder, looks, people, surnames, words
from rating.release.intake.casts import NOTHING_SAID, Rows, Said
from rating.release.intake.profiles import Profile, are_codes, joined_labels, joins_labels, stem

UNKNOWN: Mapping[int, str] = MappingProxyType({})
# what a known heading is worth, and what it costs every other role
_NAMED, _MISNAMED = 4.0, 1.5
# headings that say hardly anything: 'Info', 'Details'
LOOSE, _LOOSELY = frozenset(("note",)), 2.0
# of a column's different cells that other documents have too, where they are subsets
_NAMED_ELSEWHERE = 0.6
# evidence under this is no reading
LEAST = 1.0
_SOME_WHOLE = 0.3  # of a column's cells that are whole names
_FEW_RUNS = 20  # cells that say how print runs lie
_LADDER = 3  # columns of print runs under headings that could name parallels
# of a second person's cells that look like names, where the first's column has another heading, or the same
LIKELY, ALIKE = 0.9, 0.6


def nobody(_: str) -> bool:
    """No cell is named in another document."""
    return False


def of_heading(named: str, role: str) -> float:
    """What a known heading is worth to a role, and what it costs the others."""
    if not named:
        return 0.0
    if named in LOOSE:
        return _LOOSELY if named == role else 0.0
    return _NAMED if named == role else -_MISNAMED


class Evidence:
    """The table as a whole: what columns are only beside each other."""

    def __init__(
        self,
        columns: Sequence[Profile],
        is_team: Callable[[str], bool],
        known: Mapping[int, str] = UNKNOWN,
        said: Said = NOTHING_SAID,
        is_named: Callable[[str], bool] = nobody,
        is_known: Callable[[str], bool] = nobody,
    ) -> None:
        self.columns, self.is_team, self.known, self.said = columns, is_team, known, said
        self.is_named, self.is_known = is_named, is_known
        self.rows = len(columns[0].cells) if columns else 0
        self._told: dict[tuple[int, str], float] = {}
        self._counting: dict[int, bool] = {}

    @cached_property
    def at(self) -> dict[int, Profile]:
        return {one.place: one for one in self.columns}

    @cached_property
    def persons(self) -> dict[int, float]:
        found = {one.place: one.share(self._is_person) for one in self.columns}
        single = self._of_one_word(found)
        if single is not None:
            found[single.place] = single.share(looks.is_single)
        return found

    def _is_person(self, cell: str) -> bool:
        """Whether a cell looks like persons, or names those that a sure column has as names of one word."""
        return looks.is_person(cell) or (
            looks.is_single(cell) and all(map(self.is_known, looks.SIDE.split(cell)))
        )

    def _of_one_word(self, whole: Mapping[int, float]) -> Profile | None:
        """The one column of persons who go by one name, where no column has whole names.

        A column of teams, a heading or other documents have to bear it out. Another column of single words
        has to be one of teams, or other documents name these persons without it: else they are forenames or
        surnames.
        """
        teams = {
            one.place
            for one in self.columns
            if self.teams[one.place] > 0.5 or self.known.get(one.place) == "team"
        }
        if any(share > _SOME_WHOLE for place, share in whole.items() if place not in teams):
            return None
        worded = [one for one in self.columns if one.place not in teams and self._is_worded_singly(one)]
        names = [
            one
            for one in worded
            if one.distinct > 0.5 and self.known.get(one.place, "") in {"", "subject"} and not are_codes(one)
        ]
        if len(names) != 1:
            return None
        others = [one for one in worded if one is not names[0]]
        is_told = bool(teams) or self.known.get(names[0].place) == "subject"
        is_told = is_told or self._are_named_without(names[0], names[0])
        return names[0] if is_told and all(self._are_named_without(names[0], one) for one in others) else None

    def _is_worded_singly(self, one: Profile) -> bool:
        return (
            one.fill > 0.8
            and len(one.kinds) > 2
            and one.share(looks.is_single) > LIKELY
            and self.numbers[one.place] < 0.3
            and one.share(looks.is_type) < 0.5
        )

    def _are_named_without(self, one: Profile, other: Profile) -> bool:
        """Whether other documents name some of a column's persons, and never with the other column's word."""
        told = [[words.fold(cell) for cell in column.cells] for column in (one, other)]
        return (other is one or other.distinct < one.distinct) and self.said.alone(*told) > 2

    @cached_property
    def teams(self) -> dict[int, float]:
        return {
            one.place: one.share(lambda cell: all(map(self.is_team, _teams_in(cell, self.is_team))))
            for one in self.columns
        }

    @cached_property
    def numbers(self) -> dict[int, float]:
        return {one.place: one.share(looks.is_number) for one in self.columns}

    def evidence(self, one: Profile, role: str, formats: Sequence[str]) -> float:
        key = (one.place, role)
        if key not in self._told:
            self._told[key] = (
                getattr(self, f"_{role}")(one)
                if role not in {"parallels", "formats"}
                else self._of_lists(one, role, formats)
            )
        return self._told[key]

    # ------------------------------------------------------------ the roles
    def _number(self, one: Profile) -> float:
        share = self.numbers[one.place]
        if share < 0.6:
            return -8.0 if share < 0.3 else -4.0
        worth = 6 * (share - 0.7) + 3 * one.running + min(one.fill - 0.9, 0) * 6
        in_rows = 10 * len(one.kinds) > one.blocks and 2 * one.blocks < len(one.filled)  # one a parallel
        if (
            one.kinds
            and len(one.kinds) * 3 < (one.blocks if in_rows else len(one.filled))
            and one.running < 0.3
        ):
            worth -= 3
        if self._is_count(one):
            return -2.0
        if one.share(looks.AMOUNT.match) > 0.8:
            return -4.0
        if any(re.search(r"[^\W\d_]", cell) for cell in one.filled[:200]) or re.search(
            r"\b0\d", " ".join(one.filled[:50])
        ):
            worth += 1.2  # prefixes and padded numbers are nothing else
        if one.share(lambda cell: bool(looks.RUN_MARKED.match(cell))) > 0.5:
            worth -= 5
        if self.teams[one.place] > 0.7:
            worth -= 3
        return worth

    def _counts_rows(self, one: Profile) -> bool:
        """Whether a column counts the rows, from the first to the last."""
        if one.place not in self._counting:
            # the first may be a heading that nobody took for one
            cells = one.filled[not looks.PLAIN.match(one.filled[0]) :] if one.filled else []
            numbers = [int(cell) for cell in cells if looks.PLAIN.match(cell)]
            steps = sum(b == a + 1 for a, b in pairwise(numbers))
            self._counting[one.place] = len(numbers) == len(cells) > 3 and steps * 100 >= 95 * (
                len(numbers) - 1
            )
        return self._counting[one.place]

    def _is_no_count(self, one: Profile) -> bool:
        """Whether numbers do not count rows: they leap, begin anew padded, or go with the same persons."""
        if not self._counts_rows(one) or self._names_again(one):
            return True
        is_padded = any(looks.PADDED.match(cell) for cell in one.filled[:50])
        numbers = [int(cell) for cell in one.filled if looks.PLAIN.match(cell)]
        return is_padded and any(b < a for a, b in pairwise(numbers))

    def _names_again(self, one: Profile) -> bool:
        """Whether most numbers stand in several rows with the same person: a row a card and parallel."""
        names = max(self.columns, key=lambda column: self.persons[column.place])
        pairs = Counter(zip(one.cells, names.cells, strict=True))
        again = sum(number for (cell, _), number in pairs.items() if cell and number > 1)
        return self.persons[names.place] > 0.6 and again * 2 > len(one.filled)

    def _begins_anew_in(self, one: Profile, other: Profile) -> bool:
        """Whether a column counts all rows without a break, and the other begins at 1 again and again."""
        if not self._counts_rows(one) or other.share(looks.PLAIN.match) < 1:
            return False
        counted = [int(cell) for cell in one.filled if looks.PLAIN.match(cell)]
        steps = list(pairwise(map(int, other.filled)))
        return all(a < b for a, b in pairwise(counted)) and {b for a, b in steps if b < a} == {1}

    def _is_count(self, one: Profile) -> bool:
        """Whether a column counts rows beside another that has the numbers of the cards."""
        if one.share(looks.PLAIN.match) < 0.95:
            return False
        for other in self.columns:
            if other.place == one.place or self.numbers[other.place] < 0.9 or other.fill < 0.8:
                continue
            if other.share(looks.RUN_MARKED.match) > 0.5 or len(other.kinds) < min(3, len(other.filled)):
                continue
            lettered = other.share(lambda cell: any(mark.isalpha() for mark in cell)) > 0.3
            if (lettered and (other.running > 0.3 or other.distinct > 0.3)) or (
                self._counts_rows(one) and self._is_no_count(other) and other.running > 0.5
            ):
                return True
            if other.place > one.place and (other.cells == one.cells or self._begins_anew_in(one, other)):
                return True
        return False

    def _subject(self, one: Profile) -> float:
        share = self.persons[one.place]
        named = set(self.known.values())
        if {"first", "last"} <= named and self.known.get(one.place, "") != "subject":
            return -4.0
        worth = 6 * (share - 0.65) + 2 * min(one.distinct, 0.5) + min(one.fill - 0.9, 0) * 5
        worth += one.share(lambda cell: "," in cell)  # 'Last, First' is nobody's team
        if self.teams[one.place] > 0.5:
            worth -= 4
        if one.distinct < 0.15 and len(one.filled) > 30 and len(one.kinds) < 15:
            worth -= 3
        return worth if share > 0.4 else -8.0 if self.numbers[one.place] > 0.7 else -4.0

    def _first(self, one: Profile) -> float:
        return self._half(one, -1)

    def _last(self, one: Profile) -> float:
        return self._half(one, 1)

    @cached_property
    def halves(self) -> dict[int, float]:
        """The columns of single names by place, with how much they look like surnames."""
        found = {}
        for one in self.columns:
            if one.fill < 0.7 or len(one.kinds) < 3 or (one.distinct < 0.06 and len(one.kinds) < 8):
                continue
            if self.teams[one.place] > 0.5 or one.share(looks.is_half) < 0.9 or are_codes(one):
                continue
            found[one.place] = surnames.likeness(people.unmarked(cell)[0] for cell in one.filled)
        return found

    def _half(self, one: Profile, side: int) -> float:
        """A forename or a surname: single words that differ, with another column of the same kind."""
        halves = self.halves
        if one.place not in halves or len(halves) < 2:
            return -4.0
        worth = -9.0
        for other in self.columns:
            if other.place == one.place or other.place not in halves:
                continue
            tilt = halves[one.place] - halves[other.place]
            tilt += 1.5 * math.log(one.distinct / other.distinct)
            tilt += 0.2 if one.place > other.place else -0.2
            worth = max(worth, 1.8 + side * max(-2.5, min(2.5, tilt)))
        if any(
            self.persons[c.place] > 0.8 and c.distinct > 0.3 for c in self.columns if c.place not in halves
        ):
            worth -= 2
        return worth

    def _team(self, one: Profile) -> float:
        known = self.teams[one.place]
        worth = 6 * (known - 0.5) if known > 0.2 else 0.0
        number = len(one.kinds)
        is_code = one.share(looks.CODE.match) > 0.9
        if known < 0.2:
            if number < 4 or number > 70 or len(one.filled) < 8:
                return -3.0
            if one.share(lambda cell: looks.is_small(cell[0])) > 0.8:
                return -3.0  # 'helm', 'bow': what somebody does, and no name
            recurs = len(one.filled) / number
            is_worded = one.share(
                lambda cell: bool(re.search(r"[^\W\d_]{2,}", cell)) and not re.search(r"\d{3,}", cell)
            )
            if is_worded < 0.9:
                return -3.0
            worth = 0.6 + min(recurs, 6) * 0.25
            scattered = one.blocks / number
            worth += 0.8 if scattered > 1.5 else -0.6
            if is_code and number < 8:
                worth -= 3  # positions on the field are few, teams are many
            if number < 8 and not is_code:
                worth -= 0.8
        worth += min(one.fill - 0.8, 0) * 4
        return worth

    @cached_property
    def starts(self) -> set[int]:
        """The rows where card numbers begin anew: another prefix, or lower than before."""
        place = self.number_place
        if place is None:
            return set()
        found, before = set(), ("", -1)
        for row, cell in enumerate(self.at[place].cells):
            if not cell:
                continue
            tail = looks.TAIL.search(cell)
            this = (cell[: tail.start()] if tail else cell.rsplit("-", 1)[0], int(tail[1]) if tail else -1)
            if this[0] != before[0] or (tail and this[1] < before[1]):
                found.add(row)
            before = this
        return found

    def rows_of(self, places: Iterable[int]) -> Rows:
        """The rows with the words of some columns, and the card that each row is of."""
        number = self.number_place
        numbers = self.at[number].cells if number is not None else ("",) * self.rows
        cards, stretch = [], 0
        for row, cell in enumerate(numbers):
            stretch += row in self.starts
            cards.append((stretch, cell or str(row)))
        told = {
            place: [words.fold(people.unmarked(cell)[0]) for cell in self.at[place].cells] for place in places
        }
        return Rows(told, cards, self.said)

    def is_worded(self, one: Profile) -> bool:
        """Whether a column is full of different words, which ought to mean something."""
        return (
            one.fill > 0.8
            and len(one.kinds) > 2
            and self.numbers[one.place] < 0.5
            and one.share(lambda cell: len(cell) > 1 and cell[0].isalpha()) > 0.8
        )

    @cached_property
    def number_place(self) -> int | None:
        """The column that most looks like card numbers."""
        worth = {
            one.place: self._number(one) + of_heading(self.known.get(one.place, ""), "number")
            for one in self.columns
            if one.filled
        }
        best = max(worth, key=lambda place: worth[place], default=None)
        return best if best is not None and worth[best] > 0 else None

    @cached_property
    def _headed(self) -> int:
        """Whether the first row has no card's number, as a heading that nobody took for one has none."""
        place = self.number_place
        return int(place is not None and not looks.is_number(self.at[place].cells[0]))

    def _heads_blocks(self, one: Profile) -> float:
        """Whether a column is filled in the first row of each stretch of numbers alone."""
        above = ("", *one.cells)  # a row may stand twice
        rows = [row for row, cell in enumerate(one.cells) if cell and cell != above[row]]
        if not rows or rows[0] > self._headed or len(rows) * 4 > len(one.cells) or len(one.kinds) < len(rows):
            return -2.0
        if one.share(lambda cell: cell[:1].isalpha() and len(cell) > 2 and not words.is_yes(cell)) < 1:
            return -2.0
        if one.share(looks.is_ladder) > 0.4 or one.share(looks.is_run) > 0:
            return -2.0
        hit = sum(not row or row in self.starts for row in rows)
        if len(rows) < 2:
            return 0.6
        said = (_NAMED - _MISNAMED) * (one.kinds_share(self.is_named) > _NAMED_ELSEWHERE)
        return said + (3.4 if hit * 10 >= 8 * len(rows) else 2.4)

    def _subset(self, one: Profile) -> float:
        number = len(one.kinds)
        if one.fill < 0.3:
            return self._heads_blocks(one)
        if one.share(looks.is_ladder) > 0.5 or one.share(looks.is_run) > 0.3 or one.share(words.is_yes) > 0.5:
            return -4.0
        if number < 2 or number * 2 > len(one.filled) or len(one.filled) < 5:
            return -2.0 if number != 1 else -0.5
        if self.teams[one.place] > 0.5 or one.share(looks.WHOLE.match) > 0.3:
            return -4.0
        stray = number > 2  # a slip in one cell parts a stretch in two
        in_blocks = one.blocks <= number * 1.15 + stray or self._changes_at_starts(one)
        joined = joined_labels(one.kinds)
        are_below = joined * 2 >= number  # a card's parallels stand in the rows below it
        worth = 0.4 + (2.2 if in_blocks else 0.6 if are_below or one.blocks <= 2 * number else -1.5)
        if self._tells_numbers_apart(one):
            worth += 1.5
        if joined:
            worth += 3.0
        if one.share(looks.is_type) > 0.95 and one.kinds_share(looks.is_type) > 0.5 and number <= 14:
            worth -= 6.0
        if self.persons[one.place] > 0.95 and one.distinct > 0.3:
            worth -= 2
        if one.blocks <= 2 * number and one.kinds_share(self.is_named) > _NAMED_ELSEWHERE:
            worth += _NAMED - _MISNAMED
        return worth

    def _changes_at_starts(self, one: Profile) -> bool:
        """Whether a full column changes where card numbers begin anew, and nowhere else."""
        folded = [words.fold(cell) for cell in one.cells]
        edges = [row for row, (a, b) in enumerate(pairwise(folded), 1) if a != b]
        hit = sum(row in self.starts for row in edges)
        return one.fill > 0.95 and bool(edges) and hit * 20 >= 19 * len(edges)

    def _tells_numbers_apart(self, one: Profile) -> bool:
        """Whether card numbers that recur in the sheet are told apart by this column."""
        number = max(
            self.columns, key=lambda c: (self.numbers[c.place] > 0.8) * (c.running + c.distinct), default=None
        )
        if number is None or self.numbers[number.place] < 0.8 or number.distinct > 0.98:
            return False
        pairs = {(a, words.fold(b)) for a, b in zip(number.cells, one.cells, strict=True) if a}
        return len(pairs) > 0.98 * len(number.filled)

    def _kind(self, one: Profile) -> float:
        share, number = one.share(looks.is_type), len(one.kinds)
        if share < 0.9 or number > 14 or one.kinds_share(looks.is_type) <= 0.5:
            return -3.0
        return 1.6 + 1.5 * (number > 1)

    def _print_run(self, one: Profile) -> float:
        if one.place in self.named_runs and len(self.named_runs) >= _LADDER:
            return -2.0  # so many columns of runs are a ladder's, each headed by its parallel
        if one.place in self.named_runs and (len(self.named_runs) > 1 or len(set(one.filled)) < 3):
            return 0.5  # the same run again and again may be that of the parallel which the heading names
        if one.running > 0.4 or one.share(looks.YEAR.match) > 0.5:
            return -6.0
        marked = one.share(lambda cell: looks.RUN_MARKED.match(cell) or looks.HASHED.match(cell))
        blank = one.share(
            lambda cell: words.is_no(cell) or words.fold(cell) in {"unnumbered", "open", "unlimited"}
        )
        if marked + blank > 0.9 and marked > 0.05:
            return 3.5
        plain = one.share(lambda cell: bool(looks.WHOLE.match(cell)))
        if plain + blank + marked < 0.95:
            return -4.0
        if set(one.filled) == {"1"} and one.stretches * 3 > len(one.filled):
            return -2.0  # cards of which one exists stand together; a mark stands here and there
        worth = 0.3
        if one.blocks * 3 > len(one.filled) > _FEW_RUNS:
            worth -= 1.5  # the cards of a subset have one run, or a few: neighbours are alike
        if len(one.kinds) * 3 < len(one.filled):
            worth += 0.6
        if one.heading and self._has_runs_under_none:
            worth -= 1.0  # the heading names a parallel, and the base version's runs stand under none
        usual = one.share(lambda cell: cell.replace(",", "") in _USUAL_RUNS)
        return worth + 1.2 * usual - (0.6 if one.fill > 0.98 and usual < 0.5 else 0)

    @cached_property
    def _has_runs_under_none(self) -> bool:
        """Whether a column without a heading, blank here and there, holds what print runs usually are."""
        return any(
            one.fill < 0.98
            and bool(one.filled)
            and all(cell.replace(",", "") in _USUAL_RUNS for cell in one.filled)
            for one in self.columns
            if not one.heading
        )

    @cached_property
    def named_runs(self) -> set[int]:
        """The columns of marked print runs whose headings could be names of parallels."""
        return {
            one.place
            for one in self.columns
            if one.heading
            and self.known.get(one.place, "") != "print_run"
            and not any(word[0].islower() for word in one.heading.split()[1:])
            and not looks.CODED.match(one.heading)
            and one.filled
            and one.share(looks.RUN_MARKED.match) > 0.8
        }

    def _rookie(self, one: Profile) -> float:
        if one.share(looks.ROOKIE.match) > 0.9 and len(one.kinds) <= 3:
            return 3.5
        marks = one.share(lambda cell: words.is_yes(cell) or words.is_no(cell))
        return 0.4 if marks > 0.95 and 0.02 < one.share(words.is_yes) * one.fill < 0.6 else -4.0

    def _signed(self, one: Profile) -> float:
        share = one.share(
            lambda cell: (
                words.is_no(cell)
                or words.is_yes(cell)
                or words.SIGNED_WORDS.search(cell)
                or words.ON_CARD.search(cell)
                or words.ON_STICKER.search(cell)
                or words.fold(cell) in words.SIGNED_CELLS
            )
        )
        says = one.share(lambda cell: words.ON_CARD.search(cell) or words.ON_STICKER.search(cell))
        if one.share(words.RELIC_WORDS.search) > 0.5:
            says = 0  # how a card is signed and what is in it: its kind
        return -4.0 if share < 0.95 else 2.5 * says - 0.2

    def _relic(self, one: Profile) -> float:
        share = one.share(
            lambda cell: (
                words.is_no(cell)
                or words.is_yes(cell)
                or words.RELIC_WORDS.search(cell)
                or any(p.search(cell) for _, p in words.WORN)
            )
        )
        says = one.share(lambda cell: any(p.search(cell) for _, p in words.WORN))
        if one.share(words.SIGNED_WORDS.search) > 0.5:
            says = 0
        return -4.0 if share < 0.95 else 2.5 * says - 0.2

    def _of_lists(self, one: Profile, role: str, formats: Sequence[str]) -> float:
        if role == "formats":
            return (
                0.9
                if formats and one.share(lambda cell: bool(ladder.formats_in(cell, formats))) > 0.95
                else -3.0
            )
        lists = one.share(looks.is_ladder)
        if self.teams[one.place] > 0.5:
            return -9.0
        # the cards of a subset share their list, and not their second person
        if self._is_twin(one) or (self.persons[one.place] > 0.9 and 2 * len(one.kinds) > len(one.filled)):
            return -3.0
        return 4.5 * lists if lists > 0.7 and one.share(looks.RUN_MARKED.match) < 0.5 else -3.0

    def _is_twin(self, one: Profile) -> bool:
        """Whether a column of persons is headed as another of persons is, but for a number.

        'Quill, Ada (Harbour)' could be a list of two parallels by its marks alone.
        """
        head = stem(one.heading)
        if not head or self.persons[one.place] <= 0.9:
            return False
        others = (c for c in self.columns if c.place != one.place and stem(c.heading) == head)
        return any(self.persons[c.place] > 0.9 for c in others)

    def _parallel(self, one: Profile) -> float:
        number = len(one.kinds)
        if self.numbers[one.place] > 0.6 or one.share(looks.is_run) > 0.3:
            return -3.0
        if (
            number < 2
            or number * 2 > len(one.filled)
            or self.teams[one.place] > 0.3
            or self.persons[one.place] > 0.9
        ):
            return -3.0
        if joins_labels(one.kinds) or one.share(looks.is_type) > 0.9:
            return -3.0
        return 5.0 if self._repeats_cards(one) else -2.0

    def _repeats_cards(self, one: Profile) -> bool:
        """Whether one card, by number and person, stands in rows that only this column tells apart.

        Of several columns of numbers one may count the rows, and one be the same in all of them.
        """
        person = max(self.columns, key=lambda c: self.persons[c.place], default=None)
        numbers = [
            c
            for c in self.columns
            if self.numbers[c.place] > 0.8 and c not in (one, person) and len(c.kinds) * 30 > self.rows
        ]
        if person is None:
            return False
        return any(self._tells_apart(one, number, person) for number in numbers)

    def _tells_apart(self, one: Profile, number: Profile, person: Profile) -> bool:
        """Whether a column tells apart most rows that are alike in number and person."""
        cards = Counter(zip(number.cells, person.cells, strict=True))
        if len(one.kinds) > 40 or len(one.kinds) * 2 > len(cards):
            return False
        more = sum(n for n in cards.values() if n > 1)
        whole = Counter(zip(number.cells, person.cells, one.cells, strict=True))
        return more * 2 > self.rows and sum(n for n in whole.values() if n > 1) * 10 < more

    def _note(self, _one: Profile) -> float:
        return -0.5

    def _variation(self, one: Profile) -> float:
        return (
            -0.5
            if one.share(
                lambda cell: (
                    words.is_yes(cell)
                    or words.is_no(cell)
                    or words.VARIATION.search(cell)
                    or words.SHORT_PRINT.search(cell)
                )
            )
            > 0.9
            else -4.0
        )

    def _redemption(self, one: Profile) -> float:
        if one.share(words.REDEMPTION.search) > 0.95:
            return 3.5
        return (
            -0.5
            if one.share(
                lambda cell: words.is_yes(cell) or words.is_no(cell) or words.REDEMPTION.search(cell)
            )
            > 0.9
            else -4.0
        )

    @cached_property
    def team_names(self) -> set[str]:
        """The cells of the column that most looks like teams."""
        worth = {one.place: self._team(one) for one in self.columns if one.filled}
        best = max(worth, key=lambda place: worth[place], default=None)
        if best is None or worth[best] < LEAST:
            return set()
        return {cell for one in self.columns if one.place == best for cell in one.filled}

    def is_second(self, one: Profile, role: str, least: float = LIKELY) -> bool:
        """Whether a column could be a second person's: names or teams in some rows, this share of them."""
        if role == "team":
            return self.teams.get(one.place, 0) > 0.7 or one.share(lambda cell: cell in self.team_names) > 0.5
        if role == "subject":
            return self.persons.get(one.place, 0) > least and one.distinct > 0.1
        if role in {"first", "last"}:
            return one.share(looks.is_half) > least and not self.teams.get(one.place, 0) > 0.5
        return (
            len(one.kinds) > 1
            and one.share(lambda cell: len(cell) > 1 and bool(looks.WORD.match(cell.split()[0]))) > 0.9
        )


_USUAL_RUNS = {
    str(n)
    for n in (
        1,
        2,
        3,
        5,
        8,
        10,
        12,
        15,
        20,
        25,
        30,
        35,
        40,
        49,
        50,
        60,
        65,
        70,
        75,
        80,
        99,
        100,
        120,
        125,
        149,
        150,
        175,
        199,
        200,
        225,
        249,
        250,
        275,
        299,
        300,
        349,
        350,
        399,
        400,
        450,
        499,
        500,
        599,
        699,
        750,
        799,
        899,
        999,
        1000,
        1499,
        1999,
    )
}


def _teams_in(cell: str, is_team: Callable[[str], bool]) -> list[str]:
    return [cell] if is_team(cell) else [one for one in re.split(r"\s*[/;|\n×]\s*", cell) if one] or [cell]
