"""The report of an intake in words: what was taken, what was not and why, and what waits for a person."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from rating import text
from rating.errors import Problem
from rating.release.checklist import CHECKLIST, ODDS, PARALLELS
from rating.release.intake.values import Change, IntakeResult, Proposal, Repaired, SetAside, Tally
from rating.release.market import PRICES, SALES
from rating.release.release import TABLES_BY_FIELD

_SHOWN = 12
# so many problems that differ in numbers only are told as one
_MANY = 4
_DIGITS = re.compile(r"\d+")
_WIDE = 100
_TABLES = {table.file: table for table in TABLES_BY_FIELD.values()}
# what the rows of a sheet are called that were taken as something
_ROLES: dict[str, tuple[str, ...]] = {
    "card": CHECKLIST.nouns,
    "second person on a card": ("second person",),
    "parallel of a card": ("parallel of a card",),
    "parallel": PARALLELS.nouns,
    "odds": ODDS.nouns,
    "sale": SALES.nouns,
    "slot": ("slot",),
}
_SUBJECTS = CHECKLIST.place("subjects")


def lines(result: IntakeResult) -> list[str]:
    """The report, a line each; blank lines part its sections."""
    sections: tuple[Iterable[str], ...] = (
        _read(result),
        _changed(result),
        _problems(result.problems),
        _repaired(result.repaired),
        _aside(result.set_aside),
        _doubtful(result),
        _questions(result),
        _proposals(result.proposals),
        _kept(result.kept),
        _notes(result),
    )
    found: list[str] = []
    for section in sections:
        told = list(section)
        if told and found:
            found.append("")
        found += told
    return found


def explained(result: IntakeResult) -> list[str]:
    """What each sheet and each of its columns was taken for, a line each."""
    found: list[str] = []
    for one in result.readings:
        place = f"{one.file}, sheet {one.sheet}" if one.sheet else one.file
        found.append(f"{place}: {one.read_as or 'not recognised'}")
        for number, column in enumerate(one.columns, start=1):
            heading = f"{_cut(column.heading)!r}" if column.heading else f"column {number}"
            role = f"{column.role} ({column.how_sure})" if column.role else "not used"
            found.append(f"  {heading}: {role}")
        found += [f"  for example: {_cut(example)}" for example in one.examples]
    return [*found, ""] if found else []


def _read(result: IntakeResult) -> Iterator[str]:
    for one in result.tallies:
        place = f"{one.file}, sheet {one.sheet}" if one.sheet else one.file
        yield f"{place}: {_tally(one)}"
    if result.matches:
        whole = sum(result.matches.values())
        parts = [
            f"{result.matches[name]:,} {name}"
            for name in ("sure", "likely", "hand", "doubtful")
            if result.matches.get(name)
        ]
        yield f"Of {text.count(whole, 'sale')}, matched to cards: {text.listed(parts)}."


def _tally(one: Tally) -> str:
    main = [text.count(number, *_ROLES[role]) for role, number in one.taken.items() if role in _ROLES]
    other = sum(number for role, number in one.taken.items() if role not in _ROLES)
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


def _changed(result: IntakeResult) -> Iterator[str]:
    by_table: dict[str, Counter[str]] = {}
    for one in result.changes:
        by_table.setdefault(one.table, Counter())[one.how] += 1
    for table, rows in result.tables.items():
        counts = by_table.get(table)
        whole = text.count(rows, *_TABLES[table].nouns)
        if counts is None:
            yield f"{table}: unchanged, {whole}."
        elif set(counts) == {"added"} and counts["added"] == rows:
            yield f"{table}: new, {whole}."
        else:
            told = [f"{counts[how]:,} {how}" for how in ("added", "removed", "altered") if counts[how]]
            yield f"{table}: {text.listed(told)}; it now has {whole}."
            yield from _some([_change(one) for one in result.changes if one.table == table])


def _change(one: Change) -> str:
    name = " ".join(cell for cell in one.key if cell)
    if one.how != "altered":
        is_card = one.table == CHECKLIST.file and one.after
        return f"  {one.how}: {name}" + (f" ({one.after[_SUBJECTS]})" if is_card else "")
    parts = [
        f"{before or 'blank'} is now {after or 'blank'}"
        for before, after in zip(one.before, one.after, strict=True)
        if before != after
    ]
    return f"  altered: {name}: {text.listed(parts)}"


def _problems(found: Sequence[Problem]) -> Iterator[str]:
    errors = [one for one in found if one.severity == "error"]
    remarks = [one for one in found if one.severity != "error"]
    if errors:
        yield (
            f"{text.count(len(errors), 'row')} could not be taken and "
            f"{'needs' if len(errors) == 1 else 'need'} you:"
        )
        yield from _some(list(_grouped(errors)))
    if remarks:
        yield "Worth a look:"
        yield from _some(list(_grouped(remarks)))


def _grouped(problems: Sequence[Problem]) -> Iterator[str]:
    """A line each; problems of a file that differ in numbers only are one, with the rows of three."""
    alike: dict[tuple[str, str, str], list[Problem]] = {}
    for one in problems:
        alike.setdefault((one.file or "", one.code, _DIGITS.sub("#", one.what)), []).append(one)
    for (file, _, _), group in alike.items():
        first = group[0]
        said = f"{first.what}. {_sentence(first.fix)}"
        rows = [str(one.row) for one in group if one.row is not None]
        if len(group) < _MANY or len(rows) < len(group):
            yield from (f"  {_place(one)}: {one.what}. {_sentence(one.fix)}" for one in group)
        else:
            yield f"  {file}: {len(group):,} times, in rows {', '.join(rows[:3])} and more: {said}"


def _place(one: Problem) -> str:
    place = f"{one.file}, sheet {one.sheet}" if one.sheet else one.file
    return f"{place}, row {one.row}" if one.row is not None else place


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _repaired(found: Sequence[Repaired]) -> Iterator[str]:
    if not found:
        return
    yield "Damaged, and read as they must have been:"
    yield from _some([f"  {one.file}, row {one.row}: {_cut(one.was)} as {_cut(one.now)}" for one in found])


def _aside(found: Sequence[SetAside]) -> Iterator[str]:
    if not found:
        return
    whole = sum(one.rows for one in found)
    yield (
        f"Set aside, {text.count(whole, 'row')}; nothing of {'it' if whole == 1 else 'them'} "
        f"is in the tables:"
    )
    by_why: dict[str, list[SetAside]] = {}
    for one in found:
        by_why.setdefault(one.why, []).append(one)
    for why, rows in sorted(by_why.items(), key=lambda item: -sum(one.rows for one in item[1])):
        number = sum(one.rows for one in rows)
        yield f"  {number:,} x {why}" if number > 1 else f"  {why}"
        shown = rows if len(rows) <= 4 else rows[:3]
        for one in shown:
            place = (
                f"{one.file}, sheet {one.sheet}, row {one.row}" if one.sheet else f"{one.file}, row {one.row}"
            )
            yield f"    {place}: {_cut(one.text)}"
        if len(shown) < len(rows):
            numbers = ", ".join(str(one.row) for one in rows[3:23])
            yield f"    and rows {numbers}{' ...' if len(rows) > 23 else ''}"


def _doubtful(result: IntakeResult) -> Iterator[str]:
    if not result.doubtful:
        return
    number = len(result.doubtful)
    yield (
        f"{text.count(number, 'sale')} could not be matched for certain; "
        f"{'it stands' if number == 1 else 'they stand'} in sales.csv with a blank subset."
    )
    yield (
        "Fill in subset, parallel and number there (or answer with --ask): it is remembered "
        "for the next list."
    )
    rows = []
    for one in result.doubtful:
        guess = (
            f" Perhaps {text.listed([' '.join(p for p in card if p) for card in one.guesses[:2]], 'or')}."
            if one.guesses
            else ""
        )
        rows.append(f"  row {one.row}: {_cut(one.title)}\n    {one.why}.{guess}")
    yield from _some(rows)


def _questions(result: IntakeResult) -> Iterator[str]:
    if not result.questions:
        return
    yield "To be answered when you have a minute; nothing waits for it:"
    rows = []
    for one in result.questions:
        place = f"row {one.row}: " if one.row is not None else ""
        rows.append(f"  {place}{one.what} ({_sentence(one.meanwhile).rstrip('.')} meanwhile.)")
    yield from _some(rows)


def _proposals(found: Sequence[Proposal]) -> Iterator[str]:
    taken = [one for one in found if one.taken]
    differing = [one for one in found if one.there and one.there != one.shown and not _is_same(one)]
    waiting = [one for one in found if not one.taken and not one.there]
    if taken:
        yield "Taken from the sell sheet into release.toml and prices.csv:"
        yield from (_proposal(one) for one in taken)
    if waiting:
        sure = sum(one.sure for one in waiting)
        hint = "; --yes takes the sure ones" if sure else ""
        yield f"Proposed from the sell sheet, to be confirmed{hint}:"
        yield from (_proposal(one) + ("" if one.sure else "  (not sure)") for one in waiting)
    if differing:
        yield "The sell sheet says something else than your files, which stay as they are:"
        yield from (f"{_proposal(one)}; there stands {one.there}" for one in differing)


def _is_same(one: Proposal) -> bool:
    """Whether what is there says the same: a list price of another day, or another quote."""
    if one.where == PRICES.file and not isinstance(one.value, str | int):
        return one.there.split(" ")[0] == str(one.table.get("price"))
    return text.key(one.there) == text.key(one.shown)


def _proposal(one: Proposal) -> str:
    return f'  {one.where}: {one.shown}  <- "{_cut(one.words, 70)}"'


def _kept(found: Sequence[str]) -> Iterator[str]:
    if found:
        yield f"Your own edits are kept ({len(found)}); --replace would take the file's:"
        yield from _some([f"  {one}" for one in found])


def _notes(result: IntakeResult) -> Iterator[str]:
    if result.presales:
        file, row, title = result.presales[0]
        number = len(result.presales)
        yield (
            f"{text.count(number, 'sale')} from before the release {'is' if number == 1 else 'are'} kept"
            f" (presale), such as {file}, row {row}: {_cut(title, 60)}"
        )
    yield from result.notes


def _some(rows: Sequence[str]) -> Iterator[str]:
    yield from rows[:_SHOWN]
    if len(rows) > _SHOWN:
        yield f"  ... and {len(rows) - _SHOWN:,} more; --json lists them all"


def _cut(words: str, width: int = _WIDE) -> str:
    return words if len(words) <= width else words[: width - 1].rstrip() + "…"
