"""The part of `boxwright facts` about chances: its tables, and the answer to a question with --of."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from rating.cli import common

if TYPE_CHECKING:
    from rating.facts.chances.value import Chance, Chances, FormatChances, Opened
    from rating.facts.facts import Facts
    from rating.facts.falling.questions import Answer


def show(chances: Chances) -> None:
    """The chances by format, and the boxes opened where there are some."""
    from rating.facts.chances.value import Opened
    from rating.facts.plain import Unknown

    for place, one in enumerate(chances.formats.values()):
        if place:
            common.say()
        if isinstance(one, Unknown):
            common.paragraph(f"Not known: {one.why}.")
        else:
            _format(one)
    if isinstance(chances.opened, Opened):
        common.say()
        _opened(chances.opened)


def ask(facts: Facts, of: Sequence[str], opening: str, likely: str, *, as_json: bool) -> None:
    """Answer how often the cards that some words name fall."""
    from rating.facts import telling
    from rating.facts.falling import questions
    from rating.facts.plain import Unknown, as_json_values

    answer = questions.ask(facts, of, opening=opening, likely=likely)
    if as_json:
        common.data({"release": facts.release, "chances": as_json_values(answer)})
        return
    common.say(f"{facts.title}: {answer.of}")
    common.say()
    _answer(answer)
    for key, one in answer.formats.items():
        if isinstance(one, Unknown):
            common.say()
            common.paragraph(f"Not known in {key}: {one.why}.")
    common.say()
    common.paragraph(telling.answer(answer, facts.headline))


def _answer(answer: Answer) -> None:
    from rating import tenths
    from rating.facts.plain import Unknown

    rows = []
    for key, one in answer.formats.items():
        if isinstance(one, Unknown):
            continue
        rows += [
            (key, amount.what, f"{amount.packs:,}", _number(amount.expected), tenths.share(amount.p))
            for amount in one.amounts
        ]
        if one.packs is not None:
            chance = f"for {tenths.share(answer.likely)}"
            rows.append((key, chance, f"{one.packs:,}", "", tenths.share(answer.likely)))
    headers = ("format", "opened", "packs", "expected", "chance of one")
    common.table(headers, rows, right="packs|expected|chance of one")


def _format(one: FormatChances) -> None:
    common.say(f"{one.name}: boxes of {one.packs_per_box} packs")
    headers = ("cards", "a box", "in a pack", "in a box", "in a case", "packs for 50 %")
    right = "a box|in a pack|in a box|in a case|packs for 50 %"
    common.table(headers, [_row(kind) for kind in one.kinds], right=right)
    common.say()
    common.table(("line", *headers[1:]), [_row(line) for line in one.lines], right=right)
    if one.open_lines:
        common.say()
        common.paragraph(f"Nothing says how often they fall: {', '.join(one.open_lines)}.")


def _row(one: Chance) -> tuple[object, ...]:
    from rating import tenths

    least = "at least " if one.at_least else ""
    return (
        common.shorten(one.what, 40),
        least + _number(one.expected_box),
        tenths.share(one.p_pack),
        tenths.share(one.p_box),
        tenths.share(one.p_case) if one.p_case is not None else "",
        f"{one.packs:,}" if one.packs is not None else "",
    )


def _number(number: Decimal) -> str:
    """Two places, more where there would be nothing left."""
    from rating import tenths

    return tenths.fixed(number) if number >= Decimal("0.1") or not number else f"{number:.2g}"


def _opened(opened: Opened) -> None:
    from rating import tenths

    common.say(f"Opened: {', '.join(f'{boxes} {key}' for key, boxes in opened.boxes.items())}")
    common.table(
        ("line", "format", "packs", "found", "expected", "stated", "seen between", "p", "verdict"),
        [
            (
                common.shorten(f"{one.subset} {one.parallel}".strip(), 34),
                one.format,
                f"{one.packs:,}",
                one.hits,
                tenths.fixed(one.expected),
                f"1:{tenths.plain(one.stated)}",
                _between(one.low, one.high),
                tenths.fixed(one.p, 3),
                one.verdict,
            )
            for one in opened.lines
        ],
        right="packs|found|expected|stated|p",
    )
    for words in opened.left_out:
        common.paragraph(f"Not compared: {words}.")


def _between(low: Decimal, high: Decimal) -> str:
    """An interval of hits a pack as odds, the likelier end first."""
    from rating import tenths

    ends = [f"1:{tenths.fixed(1 / end, 0)}" if end else "never" for end in (high, low)]
    return f"{ends[0]} to {ends[1]}"
