"""What `why` prints: two grades, what each criterion brings, the reasons, what would turn the order."""

from __future__ import annotations

from collections.abc import Mapping

from rating import tenths
from rating.cli.shared import printing, tables
from rating.cli.shown import cells
from rating.doubt import swaps, why
from rating.doubt.score_table import ScoreTable
from rating.doubt.why import Part, Why

# so many of the largest differences are shown with both reasons
_REASONS = 4


def show(found: Why, table: ScoreTable, reasons: Mapping[str, Mapping[str, str]]) -> None:
    """Print the difference of two grades.

    Parameters
    ----------
    reasons : of each score, by release and criterion
    """
    names, short = cells.names(table.ranked), cells.nicknames(table.ranked)
    first, second = short[found.first], short[found.second]
    printing.paragraph(why.told(found, names))
    printing.say()
    tables.table(
        ("criterion", "points", first, second, "brings"),
        [
            (
                part.criterion,
                tenths.show_points(part.points),
                _score(part.first),
                _score(part.second),
                _signed(part.brings),
            )
            for part in found.parts
        ],
        right=f"points|{first}|{second}|brings",
    )
    printing.paragraph(
        f"brings: how far each criterion puts {first} ahead of {second} (minus: behind it), in points of the "
        f"grade; together {_signed(found.difference)}"
    )
    for part in found.parts[:_REASONS]:
        if part.brings:
            _reason(
                part,
                {name: reasons[name].get(part.criterion, "") for name in (found.first, found.second)},
                names,
            )
    if found.turn is not None:
        printing.heading("What would turn the order around")
        printing.paragraph(swaps.told(found.turn, names))


def _reason(part: Part, reasons: Mapping[str, str], names: Mapping[str, str]) -> None:
    printing.heading(f"{part.criterion}: {_signed(part.brings)}")
    for (release, reason), score in zip(reasons.items(), (part.first, part.second), strict=True):
        printing.wrapped(f"{names[release]}, {_score(score) or 'no score'}: {reason}")


def _score(score: int | None) -> str:
    return "" if score is None else str(score)


def _signed(size: int) -> str:
    return f"{'+' if size > 0 else '-' if size < 0 else ''}{tenths.show(abs(size))}"
