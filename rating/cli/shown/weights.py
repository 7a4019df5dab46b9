"""What `weights` prints: points beside those of today, what moves, and places for kinds of buyers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from rating import tenths
from rating.cli.shared import printing, tables
from rating.cli.shown import cells, tried
from rating.doubt import what_if
from rating.doubt.score_table import ScoreTable
from rating.doubt.what_if import Outcome
from rating.rubric import choosing
from rating.rubric.choosing import Proposal
from rating.rubric.rubric import Rubric
from rating.season.settings.config import Profile
from rating.standings import Standing

NOT_GRADES = "These are places for different buyers, not grades. There is only one published grade."
FROM_SCORES = (
    "entropy, deviation and critic come from the recorded scores alone: they say where the releases differ, "
    "not what matters. For comparison only."
)
OTHER_POINTS = (
    "rubric.toml holds other points than those that most recorded reviews were graded by; the standings "
    "before are the recorded ones."
)


def points(
    rubric: Rubric, proposal: Proposal | None, beside: Mapping[str, Mapping[str, int]], *, season: str
) -> None:
    """Print the rubric's points, beside them a proposal and others.

    Parameters
    ----------
    beside : other points (tenths) by name and criterion
    season : its name
    """
    headers = ["group", "criterion", "points", *(("proposed", "change") if proposal else ()), *beside]
    rows = []
    for criterion in rubric.criteria:
        row = [criterion.group, criterion.key, tenths.show(criterion.points)]
        if proposal:
            new = proposal.points[criterion.key]
            row += [tenths.show(new), _change(new - criterion.points)]
        row += [cells.grade(column.get(criterion.key)) for column in beside.values()]
        rows.append(row)
    printing.paragraph(f"{season}: {rubric.name}" + (f", {proposal.method}" if proposal else ""))
    printing.say()
    tables.table(headers, rows, right="|".join(headers[2:]))
    printing.say()
    if proposal is None:
        printing.paragraph(f"{tenths.show_points(rubric.total)} points, {_chosen(rubric)}.")
    elif proposal.remark:
        printing.paragraph(proposal.remark)


def _change(more: int) -> str:
    return "" if not more else tenths.show(more) if more < 0 else f"+{tenths.show(more)}"


def _chosen(rubric: Rubric) -> str:
    chosen = f"chosen by {rubric.method}" if rubric.method else "with no note of how they were chosen"
    return f"{chosen} on {rubric.chosen_on.isoformat()}" if rubric.chosen_on else chosen


def compared(beside: Mapping[str, Mapping[str, int]]) -> None:
    """Print what points from scores alone are good for."""
    printing.say()
    printing.paragraph(FROM_SCORES if beside else "There are no scores yet to compare with.")


def proposed(
    rubric: Rubric,
    proposal: Proposal,
    table: ScoreTable | None,
    moved: tuple[Outcome, ...] | None,
    *,
    written: bool,
) -> None:
    """Print how consistent a proposal is, what it moves, and whether it was written.

    Parameters
    ----------
    rubric : as it was before
    table, moved : the recorded scores and what becomes of each release; None where nothing is recorded
    """
    for comparison in proposal.compared:
        if comparison.can_contradict:
            printing.paragraph(choosing.told(comparison))
    if table is None or moved is None:
        printing.paragraph("Nothing is recorded yet, so nothing moves.")
    else:
        printing.paragraph(what_if.told(moved))
        _moves(moved)
        if table.restated:
            printing.paragraph(table.restated)
        if not _is_recorded(rubric, table):
            printing.paragraph(OTHER_POINTS)
    printing.say()
    if written:
        printing.say("wrote rubric.toml")
        printing.paragraph("Grades from now on go by these points; what is recorded stays as it was graded.")
    else:
        printing.say("Nothing was written; --write puts the points into rubric.toml.")


def _moves(moved: Sequence[Outcome]) -> None:
    shown = [outcome for outcome in moved if outcome.before != outcome.after]
    if shown:
        printing.say()
        tried.table(shown, value="would be", was="grade")


def _is_recorded(rubric: Rubric, table: ScoreTable) -> bool:
    """Whether a rubric's points are those of the recorded reviews."""
    points = {criterion.key: criterion.points for criterion in rubric.criteria}
    return points == dict(zip(table.criteria, table.points, strict=True))


def profiles(
    wanted: Sequence[Profile],
    weighed: Mapping[str, ScoreTable],
    published: Sequence[Standing],
    *,
    season: str,
    day: date,
) -> None:
    """Print the place of each release for each kind of buyer beside the published one.

    Parameters
    ----------
    weighed : the recorded scores under each profile's points, by its name
    season : its name
    """
    printing.say(f"{season}: places for kinds of buyers, as of {day.isoformat()}")
    printing.say()
    shown = {name: table.shown_places() for name, table in weighed.items()}
    cells.of_releases(
        ("place", *shown, "release"),
        [(row.place, *(places.get(row.release, "") for places in shown.values())) for row in published],
        published,
        right="|".join(("place", *shown)),
    )
    printing.say()
    for profile in wanted:
        printing.paragraph(f"{profile.name}: {profile.why}")
    printing.paragraph(NOT_GRADES)
