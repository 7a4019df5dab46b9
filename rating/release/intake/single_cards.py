"""What lines beside a list say of single cards: redemptions, rookies and short prints, by number or mark."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from rating import text
from rating.release.intake import named_rookies, paragraphs, statements, words
from rating.release.intake.drafts import Draft
from rating.release.intake.parts import Sheet
from rating.release.intake.values import Row

_SHORTEST = 3  # letters of a subset's name that is looked for in sentences


def tell(drafts: Sequence[Draft], sheets: Sequence[Sheet], others: Iterable[Row] = ()) -> None:
    """What lines say of single cards: redemptions, rookies and print runs, by number or by mark.

    `others` are rows of sheets without cards, which may say what a mark means.
    """
    names = {draft.key: draft.section for draft in drafts}
    by_number: dict[str, list[Draft]] = {}
    for draft in drafts:
        by_number.setdefault(_plain(draft.number), []).append(draft)
    above = [title for sheet in sheets for title in sheet.titles]
    for told in map(statements.read, above):
        if told is not None and told.mark:
            _marked(told, drafts)
    others = tuple(others)
    new = named_rookies.named(others, {name for draft in drafts for name in draft.subjects})
    for draft in drafts if new else ():
        draft.rookies = [
            is_rookie or text.key(name) in new
            for name, is_rookie in zip(draft.subjects, draft.rookies, strict=True)
        ]
    running = paragraphs.running(others)
    for told in (statements.read(said) for one in running for said in statements.sentences(one)):
        if told is not None and told.mark:
            _marked(told, drafts)
        elif told is not None and told.topic == "redemption":
            for draft in _elsewhere(told, drafts, by_number, names):
                draft.redemption = True
    for sheet in sheets:
        for row in sheet.footnotes:
            told = statements.read(row.text)
            if told is None:
                continue
            if told.mark:
                _marked(told, drafts)
                continue
            hit = _meant(told, sheet, by_number, names)
            if not hit:
                sheet.account.remark(
                    row,
                    "unknown-numbers",
                    f"it is not clear which cards are meant: {row.text[:120]!r}",
                    "write it beside the cards in checklist.csv",
                )
            for draft in hit:
                if told.topic == "redemption":
                    draft.redemption = True
                elif told.topic == "rookie":
                    draft.rookies = [True] * len(draft.rookies)
                else:
                    draft.is_short = True
                    draft.print_run = told.print_run if draft.print_run is None else draft.print_run


def _marked(told: statements.Statement, drafts: Sequence[Draft]) -> None:
    """Say of the cards with a mark behind a name what the mark means."""
    for draft in drafts:
        _take_mark(draft, told.mark)
        if is_noted := draft.note == told.mark:
            draft.note = ""
        elif told.mark not in draft.stars:
            continue
        if told.topic == "redemption":
            draft.redemption = True
        elif told.topic == "short print":
            draft.is_short = True
        else:
            draft.rookies = [
                is_rookie or is_noted or star == told.mark
                for is_rookie, star in zip(draft.rookies, draft.stars, strict=True)
            ]


def _take_mark(draft: Draft, mark: str) -> None:
    """Part a mark in brackets from the names that it stands behind: 'Ada Quill (d)'."""
    if not mark.startswith(("(", "[")):
        return
    for told in (draft.subjects, draft.teams):
        for place, name in enumerate(told):
            if name.endswith(mark) and len(name) > len(mark):
                told[place] = name.removesuffix(mark).strip()
                draft.stars = [mark if at == place else star for at, star in enumerate(draft.stars)]


def _elsewhere(
    told: statements.Statement,
    drafts: Sequence[Draft],
    by_number: Mapping[str, list[Draft]],
    names: Mapping[str, str],
) -> list[Draft]:
    """The cards that another document means: by numbers with letters, or by those of the subset it names."""
    lettered = [number for number in told.numbers if not number.isdecimal()]
    if lettered and len(lettered) == len(told.numbers):
        hit = [draft for number in lettered for draft in by_number.get(_plain(number), ())]
        return hit if len(hit) == len(lettered) else []
    hit = []
    for number, key in _with_subsets(told, names):
        own = [draft for draft in drafts if draft.key == key and _digits(draft.number) == _digits(number)]
        if len({draft.number for draft in own}) != 1:  # a card may stand in a row for each of its parallels
            return []
        hit += own
    return hit


def _digits(number: str) -> str:
    return re.sub(r"\D+", "", number).lstrip("0")


def _with_subsets(told: statements.Statement, names: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The numbers of a sentence, each with the subset named last before it, else with the only one."""
    line = told.line.casefold()
    places = sorted(
        (found.start(), key)
        for key, name in names.items()
        if len(name) > _SHORTEST
        for found in re.finditer(rf"(?<!\w){re.escape(name.casefold())}(?!\w)", line)
    )
    keys = {key for _, key in places}
    at = 0
    for number in told.numbers:
        at = max(at, line.find(number.casefold(), at))
        before = [key for place, key in places if place < at]
        if len(keys) == 1:
            yield number, next(iter(keys))
        else:
            yield number, before[-1] if before else ""


def _meant(
    told: statements.Statement,
    sheet: Sheet,
    by_number: dict[str, list[Draft]],
    keys: dict[str, str],
) -> list[Draft]:
    """The cards that a sentence means: of the subset it names, else those whose numbers only one has."""
    line = f" {words.fold(told.line)} "
    named = [key for key, name in keys.items() if words.fold(name) in line]
    named = [
        key
        for key in named
        if not any(key != other and words.fold(keys[key]) in words.fold(keys[other]) for other in named)
    ]
    if not named and re.search(r"\bbase\b", line):
        named = [next(iter(keys))] if keys else []
    numbers = {_plain(number) for number in told.numbers}
    hit = [draft for number in numbers for draft in by_number.get(number, ())]
    if named:
        return [draft for draft in hit if draft.key == named[0]] if len(named) == 1 else []
    if told.topic == "rookie" and len({tuple(draft.subjects) for draft in hit}) == len(numbers):
        return hit  # the same persons, whatever the subset
    own = [draft for draft in hit if draft.account is sheet.account]
    for some in (own, hit):
        if len(some) == len(numbers) and (
            len({draft.key for draft in some}) == 1 or not any(map(str.isdecimal, numbers))
        ):
            return some
    return []


def _plain(number: str) -> str:
    return re.sub(r"(?<!\d)0+(?=\d)", "", re.sub(r"[^A-Z0-9]", "", number.upper()))
