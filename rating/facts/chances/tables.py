"""What a person is shown of chances: by kind and by line, boxes opened, and the answer to a question."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from rating import tenths, text
from rating.facts.blocks import Block, Listing
from rating.facts.chances.questions import Answer
from rating.facts.chances.value import Chance, Chances, FormatChances, Opened
from rating.facts.plain import Unknown
from rating.facts.section import Source

_HEADS = ("a box", "in a pack", "in a box", "in a case", "packs for 50 %")
_BETWEEN = "odds allow"
_SPARE = ("in a case", "a box")
# rounded odds that leave a tenth of a number open or less are not told of
_WIDE = Decimal("0.1")


def shown(chances: Chances, _: Source) -> Iterator[Block]:
    """The chances by format, and the boxes opened where there are some."""
    for place, one in enumerate(chances.formats.values()):
        if place:
            yield ""
        if isinstance(one, Unknown):
            yield f"Not known: {one.why}."
        else:
            yield from _format(one)
    if isinstance(chances.opened, Opened):
        yield ""
        yield from _opened(chances.opened)


def _format(one: FormatChances) -> Iterator[Block]:
    yield f"{one.name}: boxes of {text.count(one.packs_per_box, 'pack')}"
    yield _listing("cards", one.kinds)
    yield ""
    yield _listing("line", one.lines)
    if one.open_lines:
        yield ""
        yield f"Not counted, as their odds are not stated: {', '.join(one.open_lines)}."


def _listing(first: str, chances: Sequence[Chance]) -> Listing:
    """A row each; what odds allow is a column where they leave much open."""
    spans = [_span(one) for one in chances]
    if not any(spans):
        rows = [_row(one) for one in chances]
        return Listing(headers=(first, *_HEADS), rows=rows, right="|".join(_HEADS), spare=_SPARE)
    return Listing(
        headers=(first, _HEADS[0], _BETWEEN, *_HEADS[1:]),
        rows=[(*_row(one)[:2], span, *_row(one)[2:]) for one, span in zip(chances, spans, strict=True)],
        right="|".join((*_HEADS, _BETWEEN)),
        spare=(_BETWEEN, *_SPARE),
    )


def _span(one: Chance) -> str:
    """Copies a box as rounded odds leave them open, blank where that is little."""
    low, high = one.low_box, one.high_box
    if low is None or (high is not None and high - low <= _WIDE * one.expected_box):
        return ""
    return f"{_number(low)} or more" if high is None else f"{_number(low)} to {_number(high)}"


def _row(one: Chance) -> tuple[object, ...]:
    least = "at least " if one.at_least else ""
    return (
        one.what,
        least + _number(one.expected_box),
        tenths.share(one.p_pack),
        tenths.share(one.p_box),
        tenths.share(one.p_case) if one.p_case is not None else "",
        f"{one.packs:,}" if one.packs is not None else "",
    )


def _number(number: Decimal) -> str:
    """Two places, more where there would be nothing left."""
    return tenths.fixed(number) if number >= Decimal("0.1") or not number else f"{number:.2g}"


def _opened(opened: Opened) -> Iterator[Block]:
    boxes = [text.count(number, f"{key} box", f"{key} boxes") for key, number in opened.boxes.items()]
    yield f"Opened: {', '.join(boxes)}"
    yield Listing(
        headers=("line", "format", "packs", "found", "expected", "stated", "seen between", "p", "verdict"),
        rows=[
            (
                f"{one.subset} {one.parallel}".strip(),
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
        yield f"Not compared: {words}."


def _between(low: Decimal, high: Decimal) -> str:
    """An interval of hits a pack as odds, the likelier end first."""
    ends = [f"1:{tenths.fixed(1 / end, 0)}" if end else "never" for end in (high, low)]
    return f"{ends[0]} to {ends[1]}"


def answered(answer: Answer) -> Iterator[Block]:
    """The answer to a question about some cards, by format and amount."""
    rows = []
    for key, one in answer.formats.items():
        if isinstance(one, Unknown):
            continue
        rows += [
            (key, amount.what, f"{amount.packs:,}", _number(amount.expected), tenths.share(amount.p))
            for amount in one.amounts
        ]
        if one.packs is not None:
            likely = tenths.share(answer.likely)
            rows.append((key, f"for {likely}", f"{one.packs:,}", "", likely))
    yield Listing(
        headers=("format", "opened", "packs", "expected", "chance of one"),
        rows=rows,
        right="packs|expected|chance of one",
    )
    for key, one in answer.formats.items():
        if isinstance(one, Unknown):
            yield ""
            yield f"Not known in {key}: {one.why}."
