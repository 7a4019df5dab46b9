"""What `weights` prints: points beside those of today, what moves, and places for kinds of buyers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rating.cli.shared import opening, printing, tables
from rating.cli.shown.doubt import RESTATED

if TYPE_CHECKING:
    from rating.doubt.what_if import Outcome
    from rating.rubric.choosing import Proposal
    from rating.season.season import Season

NOT_GRADES = "These are places for different buyers, not grades: the published grade stays one."
FROM_SCORES = (
    "entropy, deviation and critic come from the recorded scores alone: they say where the releases differ, "
    "not what matters. For comparison only."
)
OTHER_POINTS = (
    "rubric.toml holds other points than those that most recorded reviews were graded by; the standings "
    "before are the recorded ones."
)


def show(season: Season, proposal: Proposal | None, *, compare: bool, written: bool, as_json: bool) -> None:
    """Print the rubric's points, beside them a proposal and what the scores alone give, and what moves."""
    from rating.answers import weights as answers
    from rating.doubt import points, what_if

    table = season.table() if season.recorded.ledger.exists else None
    beside = points.from_scores(table) if compare and table else {}
    moved = points.moves(table, proposal.points) if proposal and table else None
    if as_json:
        printing.data(
            answers.weights(
                season.rubric,
                season=season.config.name,
                proposal=proposal,
                beside=beside,
                moved=moved,
                written=written,
            )
        )
        return
    _points(season, proposal, beside)
    if compare:
        printing.say()
        printing.paragraph(FROM_SCORES if beside else "There are no scores yet to compare with.")
    if proposal is None:
        return
    _consistency(proposal)
    if moved is None:
        printing.paragraph("Nothing is recorded yet, so nothing moves.")
    else:
        printing.paragraph(what_if.told(moved))
        _moves(moved)
        if table and any(row.restated for row in table.rows):
            printing.paragraph(RESTATED)
        if table and not _is_recorded(season, table.criteria, table.points):
            printing.paragraph(OTHER_POINTS)
    printing.say()
    if written:
        printing.say("wrote rubric.toml")
        printing.paragraph("Grades from now on go by these points; what is recorded stays as it was graded.")
    else:
        printing.say("Nothing was written; --write puts the points into rubric.toml.")


def _is_recorded(season: Season, criteria: tuple[str, ...], points: tuple[int, ...]) -> bool:
    """Whether the points of the rubric before any change are those of the recorded reviews."""
    return {one.key: one.points for one in season.rubric.criteria} == dict(zip(criteria, points, strict=True))


def _points(season: Season, proposal: Proposal | None, beside: dict[str, dict[str, int]]) -> None:
    from rating import tenths

    rubric = season.rubric
    headers = ["group", "criterion", "points", *(("proposed", "change") if proposal else ()), *beside]
    rows = []
    for one in rubric.criteria:
        row = [one.group, one.key, tenths.show(one.points)]
        if proposal:
            new = proposal.points[one.key]
            change = tenths.show(new - one.points)
            row += [
                tenths.show(new),
                "" if new == one.points else change if new < one.points else f"+{change}",
            ]
        row += [tenths.show(column[one.key]) if one.key in column else "" for column in beside.values()]
        rows.append(row)
    printing.paragraph(f"{season.config.name}: {rubric.name}" + (f", {proposal.method}" if proposal else ""))
    printing.say()
    tables.table(headers, rows, right="|".join(headers[2:]))
    printing.say()
    if proposal and proposal.remark:
        printing.paragraph(proposal.remark)
    elif not proposal:
        chosen = f"chosen by {rubric.method}" if rubric.method else "how they were chosen is not noted"
        on = f" on {rubric.chosen_on.isoformat()}" if rubric.chosen_on else ""
        printing.paragraph(f"{tenths.show_points(rubric.total)} points, {chosen}{on}.")


def _consistency(proposal: Proposal) -> None:
    from rating.rubric.choosing import told

    for one in proposal.compared:
        if one.can_contradict:
            printing.paragraph(told(one))


def _moves(moved: tuple[Outcome, ...]) -> None:
    from rating import tenths, text
    from rating.doubt.what_if import grade_text

    names = text.short_titles([one.title for one in moved])
    rows = [
        (
            one.place,
            one.before or "",
            f"{one.moved:+d}" if one.moved else "",
            grade_text(one),
            "" if one.before_grade is None else tenths.show(one.before_grade),
            tables.shorten(name, 56),
        )
        for one, name in zip(moved, names, strict=True)
        if one.before != one.after
    ]
    if rows:
        printing.say()
        headers = ("place", "was", "moved", "would be", "grade", "release")
        tables.table(headers, rows, right="place|was|moved|would be|grade")


def profiles(season: Season, *, as_json: bool) -> None:
    """Print the place of each release for each kind of buyer that season.toml names."""
    from rating import text
    from rating.answers import weights as answers
    from rating.doubt import points
    from rating.errors import RatingError

    if not season.files.profiles:
        raise RatingError(
            "there are no profiles",
            where="season.toml",
            fix="add [profiles.NAME] with why and points for some criteria, such as design = 20",
        )
    opening.need_ledger(season)
    table = season.table()
    weighed = {name: points.under(table, wanted) for name, wanted in season.files.profiles.items()}
    if as_json:
        printing.data(
            answers.profiles(
                season.config.profiles,
                season=season.config.name,
                as_of=season.today,
                points=season.files.profiles,
                published=season.rank(),
                places={name: one.places() for name, one in weighed.items()},
            )
        )
        return
    printing.say(f"{season.config.name}: places for kinds of buyers, as of {season.today.isoformat()}")
    printing.say()
    published = {one.release: one.place for one in season.rank()}
    shown = {name: one.shown_places() for name, one in weighed.items()}
    titles = text.short_titles([row.title for row in table.rows])
    tables.table(
        ("place", *shown, "release"),
        [
            (
                published[row.release],
                *(places.get(row.release, "") for places in shown.values()),
                tables.shorten(title, 40),
            )
            for row, title in zip(table.rows, titles, strict=True)
        ],
        right="|".join(("place", *shown)),
    )
    printing.say()
    for one in season.config.profiles:
        printing.paragraph(f"{one.name}: {one.why}")
    printing.paragraph(NOT_GRADES)
