"""The report of an intake in words, document by document; each of them fits a screen."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from rating import text
from rating.errors import Problem, row_of
from rating.release.checklist import CHECKLIST, ODDS, PARALLELS
from rating.release.intake import told_values
from rating.release.intake.values import (
    Change,
    Doubtful,
    IntakeResult,
    Proposal,
    Question,
    Repaired,
    SetAside,
    Tally,
)
from rating.release.market import SALES
from rating.release.release import TABLES_BY_FIELD

# a screen, for each document
WIDTH, HEIGHT = 80, 24
# how many entries of a section are shown, and how many lines each may take: the first that fits the screen
_FITS = ((12, 4), (8, 3), (5, 3), (4, 2), (3, 2), (2, 2), (2, 1), (1, 1), (0, 1))
_SHOWN = 12
# so many problems of one sort are told as one
_MANY = 4
# sheets of a workbook that are told one by one
_SHEETS = 4
_DIGITS = re.compile(r"\d+")
_TABLES = {table.file: table for table in TABLES_BY_FIELD.values()}
# what the rows of a sheet are called that were taken as something
_ROLES: dict[str, tuple[str, ...]] = {
    "card": CHECKLIST.nouns,
    "second person on a card": ("second person",),
    "parallel of a card": ("parallel of a card", "parallels of cards"),
    "parallel": PARALLELS.nouns,
    "odds": ODDS.nouns,
    "sale": SALES.nouns,
    "slot": ("slot",),
}
_SUBJECTS = CHECKLIST.place("subjects")


@dataclass(frozen=True, slots=True)
class _Section:
    """A heading with entries under it; how many are alike stands in the heading."""

    heading: str
    entries: tuple[str, ...]

    def lines(self, most: int, tall: int, width: int) -> Iterator[str]:
        """The heading, and as many entries as may be shown, each of so many lines at most."""
        shown = self.entries if len(self.entries) == most + 1 and most else self.entries[:most]
        rest = len(self.entries) - len(shown)
        yield f"  {self.heading}" + (f" {rest:,} in --json." if rest and not shown else "")
        for entry in shown:
            yield f"    {_cut(entry, (width - 8) * tall)}"
        if rest and shown:
            yield f"    ... and {rest:,} more; --json lists them all"


def lines(result: IntakeResult, *, width: int = WIDTH, height: int = HEIGHT) -> list[str]:
    """The report, a line each, to be wrapped at the width; blank lines part the documents."""
    files = dict.fromkeys(
        (
            *(one.file for one in result.tallies),
            *(one.file or "" for one in result.problems),
            *(one.file for one in result.questions),
        )
    )
    found: list[str] = []
    for file in files:
        found += [*_document(result, file, width, height), ""]
    found += _tables(result, width, height)
    return found[:-1] if found and not found[-1] else found


def explained(result: IntakeResult) -> list[str]:
    """What each sheet and each of its columns was taken for, a line each."""
    found: list[str] = []
    for one in result.readings:
        found.append(f"{_named(one.file, one.sheet)}: {one.read_as or 'not recognised'}")
        for number, column in enumerate(one.columns, start=1):
            heading = f"{_cut(column.heading, 60)!r}" if column.heading else f"column {number}"
            role = f"{column.role} ({column.how_sure})" if column.role else "not used"
            found.append(f"  {heading}: {role}")
        found += [f"  for example: {_cut(example, 200)}" for example in one.examples]
    return [*found, ""] if found else []


# ---------------------------------------------------------------- a document
def _document(result: IntakeResult, file: str, width: int, height: int) -> list[str]:
    """What became of one document, cut so that it fits the screen."""
    head = list(_read([one for one in result.tallies if one.file == file])) or [f"{file}: not taken in."]
    sections = [one for one in _sections(result, file) if one.entries]
    shown: list[str] = head
    for most, tall in _FITS:
        shown = [*head, *(line for one in sections for line in one.lines(most, tall, width))]
        if sum(len(wrapped(line, width)) for line in shown) <= height:
            break
    return shown


def _sections(result: IntakeResult, file: str) -> Iterator[_Section]:
    own = [one for one in result.problems if (one.file or "") == file]
    errors = [one for one in own if one.severity == "error"]
    needs = (
        f"{text.count(len(errors), 'row')} could not be taken and {'needs' if len(errors) == 1 else 'need'}"
    )
    heading = f"{needs} you:" if all(one.row for one in errors) else "This needs you:"
    yield _Section(heading, tuple(_grouped(errors)))
    asked = [one for one in result.questions if one.file == file]
    heading = f"{text.count(len(asked), 'question')} for you (answer with --ask):"
    yield _Section(heading, tuple(map(_question, asked)))
    doubtful = [one for one in result.doubtful if one.file == file]
    yield _Section(_doubts(len(doubtful)), tuple(map(_doubtful, doubtful)))
    aside = [one for one in result.set_aside if one.file == file]
    heading = f"Set aside, {text.count(sum(one.rows for one in aside), 'row')}:"
    yield _Section(heading, tuple(_aside(aside)))
    mended = [one for one in result.repaired if one.file == file]
    yield _Section("Damaged, and read as what it must have been:", tuple(map(_repaired, mended)))
    remarks = [one for one in own if one.severity != "error"]
    yield _Section("Worth a look:", tuple(_grouped(remarks)))
    yield from _proposals([one for one in result.proposals if one.file == file])


def _read(tallies: Sequence[Tally]) -> Iterator[str]:
    if len(tallies) <= _SHEETS:
        for one in tallies:
            yield f"{_named(one.file, one.sheet)}: {_tally(one)}"
        return
    alike: dict[str, list[Tally]] = {}
    for one in tallies:
        alike.setdefault(one.read_as, []).append(one)
    for group in alike.values():
        first = group[0]
        name = _named(first.file, first.sheet) if len(group) == 1 else f"{first.file}, {len(group)} sheets"
        yield f"{name}: {_tally(_together(group))}"


def _together(group: Sequence[Tally]) -> Tally:
    taken: Counter[str] = Counter()
    for one in group:
        taken.update(one.taken)
    return replace(
        group[0],
        rows=sum(one.rows for one in group),
        taken=dict(taken),
        set_aside=sum(one.set_aside for one in group),
        problems=sum(one.problems for one in group),
    )


def _tally(one: Tally) -> str:
    main = [text.count(number, *_ROLES[role]) for role, number in one.taken.items() if role in _ROLES]
    # a matrix gives more rows than it has, so that fewer than no blank ones are left
    other = sum(max(0, number) for role, number in one.taken.items() if role not in _ROLES)
    parts = [*main]
    if other:
        around = text.count(other, "row of headings, notes or blanks", "rows of headings, notes and blanks")
        parts.append(around if main else f"{text.count(other, 'line')} read")
    if one.set_aside:
        parts.append(f"{one.set_aside:,} set aside")
    if one.problems:
        parts.append(text.count(one.problems, "problem"))
    read_as = (
        f"read as a {one.read_as}"
        if one.read_as not in {"odds", "parallels", "unknown"}
        else f"read as {one.read_as}"
    )
    if one.read_as == "unknown":
        read_as = "not recognised"
    return f"{text.count(one.rows, 'row')}, {read_as}: {text.listed(parts) or 'nothing in it'}."


def _grouped(problems: Sequence[Problem]) -> Iterator[str]:
    """An entry each; many of one sort are one, with the rows of three."""
    for key in (lambda one: _DIGITS.sub("#", one.what), lambda one: one.fix):
        problems, told = _bundled(problems, key)
        yield from told
    for one in problems:
        yield f"{_place(one.file, one.sheet, one.row)}{one.what}. {_sentence(one.fix)}".strip()


def _bundled(problems: Sequence[Problem], key: Callable[[Problem], str]) -> tuple[list[Problem], list[str]]:
    alike: dict[tuple[str, str], list[Problem]] = {}
    for one in problems:
        alike.setdefault((one.code, key(one)), []).append(one)
    rest: list[Problem] = []
    told: list[str] = []
    for group in alike.values():
        rows = list(dict.fromkeys(str(one.row) for one in group if one.row is not None))
        if len(group) < _MANY or len(rows) < _MANY:
            rest += group
            continue
        first = group[0]
        same = "" if len({one.what for one in group}) == 1 else ", for example"
        told.append(
            f"{len(group):,} times, in {_rows(first.file, first.sheet)} {', '.join(rows[:3])} and "
            f"more{same}: {first.what}."
            f" {_sentence(first.fix)}"
        )
    order = {id(one): place for place, one in enumerate(problems)}
    return sorted(rest, key=lambda one: order[id(one)]), told


def _question(one: Question) -> str:
    meanwhile = _sentence(one.meanwhile).rstrip(".")
    return f"{_place(one.file, one.sheet, one.row)}{one.what} ({meanwhile} meanwhile.)"


def _doubts(number: int) -> str:
    they = "it stands" if number == 1 else "they stand"
    return (
        f"{text.count(number, 'sale')} could not be matched for certain; {they} in sales.csv with a blank"
        " subset. Fill in subset, parallel and number there, or answer with --ask:"
    )


def _doubtful(one: Doubtful) -> str:
    cards = [" ".join(part for part in card if part) for card in one.guesses[:2]]
    guess = f" Perhaps {text.listed(cards, 'or')}." if cards else ""
    return f"{_place(one.file, '', one.row)}{_cut(one.title, 60)}: {one.why}.{guess}"


def _aside(found: Sequence[SetAside]) -> Iterator[str]:
    by_why: dict[str, list[SetAside]] = {}
    for one in found:
        by_why.setdefault(one.why, []).append(one)
    for why, rows in sorted(by_why.items(), key=lambda item: -sum(one.rows for one in item[1])):
        number = sum(one.rows for one in rows)
        first = rows[0]
        if number == 1:
            yield f"{why}: {_place(first.file, first.sheet, first.row)}{first.text}"
            continue
        listed = ", ".join(str(one.row) for one in rows[:8])
        where = (
            f"{_rows(first.file, first.sheet)} {listed}{' ...' if len(rows) > 8 else ''}"
            if len(rows) > 1
            else f"from {row_of(first.file, first.row, first.sheet)}"
        )
        yield f"{number:,} x {why}: {where}, such as {first.text}"


def _repaired(one: Repaired) -> str:
    return f"{_place(one.file, one.sheet, one.row)}{_cut(one.was, 60)} as {_cut(one.now, 60)}"


def _proposals(found: Sequence[Proposal]) -> Iterator[_Section]:
    taken = [one for one in found if one.taken]
    differing = [one for one in found if told_values.differs(one)]
    waiting = [one for one in found if not one.taken and not one.there]
    sure = [one for one in waiting if one.sure]
    yield _Section("Taken into release.toml and prices.csv:", tuple(told_values.grouped(taken)))
    yield _Section(
        "For release.toml and prices.csv; --yes writes it there:", tuple(told_values.grouped(sure))
    )
    unsure = tuple(map(told_values.quoted, (one for one in waiting if not one.sure)))
    yield _Section("Not sure; fill it in by hand where it is right:", unsure)
    heading = "It differs from your files, which stay as they are:"
    told = tuple(f"{told_values.quoted(one)}; yours says {one.there}" for one in differing)
    yield _Section(heading, told)


# ---------------------------------------------------------------- the tables
def _tables(result: IntakeResult, width: int, height: int) -> list[str]:
    shown: list[str] = []
    for most, tall in _FITS:
        shown = [*_changed(result, most, (width - 8) * tall), *_rest(result, most)]
        if sum(len(wrapped(line, width)) for line in shown) <= height:
            break
    return shown


def _changed(result: IntakeResult, most: int, long: int) -> Iterator[str]:
    by_table: dict[str, list[Change]] = {}
    for one in result.changes:
        by_table.setdefault(one.table, []).append(one)
    for table, rows in result.tables.items():
        changes = by_table.get(table, [])
        counts = Counter(one.how for one in changes)
        whole = text.count(rows, *_TABLES[table].nouns)
        if not changes:
            yield f"{table}: unchanged, {whole}."
        elif set(counts) == {"added"} and counts["added"] == rows:
            yield f"{table}: new, {whole}."
        else:
            told = [f"{counts[how]:,} {how}" for how in ("added", "removed", "altered") if counts[how]]
            yield f"{table}: {text.listed(told)}; it now has {whole}."
            yield from _some([f"  {_cut(_change(one), long)}" for one in changes], most)
    if result.matches:
        number = sum(result.matches.values())
        parts = [
            f"{result.matches[name]:,} {name}"
            for name in ("sure", "likely", "hand", "doubtful")
            if result.matches.get(name)
        ]
        yield f"Of {text.count(number, 'sale')}, matched to cards: {text.listed(parts)}."


def _change(one: Change) -> str:
    name = " ".join(cell for cell in one.key if cell)
    if one.how != "altered":
        is_card = one.table == CHECKLIST.file and one.after
        return f"{one.how}: {name}" + (f" ({one.after[_SUBJECTS]})" if is_card else "")
    parts = [
        f"{before or 'blank'} is now {after or 'blank'}"
        for before, after in zip(one.before, one.after, strict=True)
        if before != after
    ]
    return f"altered: {name}: {text.listed(parts)}"


def _rest(result: IntakeResult, most: int) -> Iterator[str]:
    if result.kept:
        yield f"Your own edits are kept ({len(result.kept)}); --replace would take the file's:"
        yield from _some([f"  {one}" for one in result.kept], most)
    if result.presales:
        file, row, title = result.presales[0]
        number = len(result.presales)
        yield (
            f"{text.count(number, 'sale')} from before the release {'is' if number == 1 else 'are'} kept"
            f" (presale), such as {file}, {row_of(file, row)}: {_cut(title, 60)}"
        )
    yield from _some(result.notes, max(most, 3))
    if result.teams:
        names = text.some([one.name for one in result.teams])
        yield (
            f"season.toml lacks {text.count(len(result.teams), 'team')} that the checklist shows ({names});"
            " --teams adds them."
        )


# ---------------------------------------------------------------- words
def wrapped(line: str, width: int) -> list[str]:
    """A line as it is printed: what follows is indented a little more than its start."""
    indent = " " * (len(line) - len(line.lstrip(" ")))
    return textwrap.wrap(
        line.lstrip(" "),
        width=width,
        initial_indent=indent,
        subsequent_indent=f"{indent}    ",
        break_on_hyphens=False,
    ) or [""]


def _named(file: str, sheet: str) -> str:
    return f"{file}, sheet {sheet}" if sheet else file


def _place(file: str, sheet: str, row: int | None) -> str:
    parts = [f"sheet {sheet}"] if sheet else []
    parts += [row_of(file, row, sheet)] if row is not None else []
    return f"{', '.join(parts)}: " if parts else ""


def _rows(file: str, sheet: str) -> str:
    """What rows of a document are called: 'rows' of a workbook, 'lines' of a text."""
    return f"{row_of(file, 0, sheet).split()[0]}s"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _some(rows: Iterable[str], most: int = _SHOWN) -> Iterator[str]:
    listed = list(rows)
    yield from listed[:most]
    if most and len(listed) > most:
        yield f"  ... and {len(listed) - most:,} more; --json lists them all"


def _cut(words: str, width: int) -> str:
    return words if len(words) <= width else words[: width - 1].rstrip() + "…"
