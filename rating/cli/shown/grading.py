"""What `grade` prints: the grade and its place, every score with its reason, how it stands to the ledger."""

from __future__ import annotations

from fractions import Fraction

from rating import tenths, text
from rating.cli.shared import printing, tables
from rating.cli.shown import cells
from rating.doubt import firmness
from rating.export.notices import disclosure
from rating.facts import cautions
from rating.grading import Contribution, Graded
from rating.season.recording import Draft
from rating.season.season import Season
from rating.standings import Standing


def show(season: Season, draft: Draft, place: Standing | None, *, since_launch: str) -> None:
    """Print a grading from its grade down to its reasons.

    Parameters
    ----------
    place : the place it would take today, None where it has no grade
    since_launch : how what was carried over at launch compares with sales since, '' where it does not
    """
    graded = draft.graded
    printing.say(f"{draft.review.title}, stage {draft.stage}")
    printing.paragraph(_disclosed(draft))
    printing.say()
    if graded.grade is None:
        printing.paragraph("No grade: no criterion has a score yet.")
    else:
        _grade(season, draft, place)
    for title, unscored in (("Not known yet", graded.unknown), ("Does not apply", graded.not_applicable)):
        if unscored:
            printing.heading(title)
            for criterion in unscored:
                printing.paragraph(f"{criterion.criterion}: {criterion.why}")
    if graded.grade is not None:
        _reasons(graded.contributions)
        _against_earlier(draft)
    if since_launch:
        printing.heading("Since launch")
        printing.paragraph(since_launch)
    printing.say()
    printing.paragraph(cautions.short(draft.facts))
    printing.paragraph(_recorded(draft))


def _disclosed(draft: Draft) -> str:
    told = draft.sheet.disclosure
    if told is None:
        return "How the reviewer came by it is not filled in yet; nothing can be recorded without it."
    return disclosure(told.how_obtained, told.sentence)


def _grade(season: Season, draft: Draft, place: Standing | None) -> None:
    """The grade, what the price says beside it, its place, and the scores it is made of."""
    graded = draft.graded
    for line in _headline(graded):
        printing.paragraph(line)
    printing.paragraph(draft.beside.price_line)
    if draft.beside.remark:
        printing.paragraph(draft.beside.remark)
    printing.paragraph(_placed(season, place))
    stands = draft.recorded is not None and not draft.differs
    if stands and place is not None and place.rank is not None:
        printing.paragraph(firmness.told(season.table(), season.ranges(), draft.review.release))
    printing.say()
    _scores(graded.contributions)
    printing.say()
    printing.paragraph(_lifts(graded.contributions))


def _headline(graded: Graded) -> list[str]:
    """The grade with its verdict, and how far it may be off."""
    grade = graded.grade or 0
    words = f"Grade {tenths.show(grade)}{'' if graded.verdict else ' so far'}."
    if graded.likely is not None and graded.likely != (grade, grade):
        low, high = graded.likely
        words += f" By the doubt of its scores it is likely between {tenths.show(low)} and "
        words += f"{tenths.show(high)} (9 in 10)."
    if graded.is_partial:
        ends = f"{tenths.show(graded.lowest or 0)} to {tenths.show(graded.highest or 0)}"
        return [words, f"Partial: what is unknown could make it {ends}."]
    return [words]


def _placed(season: Season, place: Standing | None) -> str:
    if place is None or place.rank is None:
        return "More than a quarter of its points is unknown: it is shown apart, without a rank."
    others = [row for row in season.rank() if row.release != place.release and row.rank is not None]
    words = f"It takes place {place.place} of {len(others) + 1}"
    if place.class_rank is not None:
        in_class = sum(row.price_class == place.price_class for row in others)
        words += f", place {place.class_rank} of {in_class + 1} in the class {place.price_class}"
    return words + "."


def _scores(contributions: tuple[Contribution, ...]) -> None:
    total = sum(part.points for part in contributions)
    tables.table(
        ("group", "criterion", "score", "doubt", "points", "lifts", "basis", "0 .... 50 .... 100"),
        [
            (
                part.group,
                part.score.criterion,
                part.score.score,
                f"±{part.score.spread}",
                tenths.show_points(part.points),
                _lift(part, total),
                " ".join(
                    str(word) for word in (part.score.basis, part.score.computed_score) if word is not None
                ),
                "█" * ((part.score.score + 2) // 5),
            )
            for part in contributions
        ],
        right="score|doubt|points|lifts",
    )


def _lift(part: Contribution, total: int) -> str:
    """Points of grade that a score adds against a typical 50, with their sign."""
    lift = tenths.fixed(Fraction(part.lift, total), 1) if total else "0.0"
    return lift if lift.startswith("-") or lift == "0.0" else f"+{lift}"


def _lifts(contributions: tuple[Contribution, ...]) -> str:
    highest = sorted(contributions, key=lambda part: -part.lift)[:3]
    lowest = sorted(contributions, key=lambda part: part.lift)[:3]
    up = [part.score.criterion for part in highest if part.lift > 0]
    down = [part.score.criterion for part in lowest if part.lift < 0]
    words = []
    if up:
        words.append(f"What lifts it most: {text.listed(up)}.")
    if down:
        words.append(f"What costs it most: {text.listed(down)}.")
    return " ".join(words) or "Nothing lifts it, nothing costs it: it is typical throughout."


def _reasons(contributions: tuple[Contribution, ...]) -> None:
    printing.heading("Reasons")
    for part in contributions:
        by = f" ({part.score.rater})" if part.score.rater else ""
        printing.paragraph(f"{part.score.criterion} {part.score.score}{by}: {part.score.reason}")
        for evidence in part.evidence:
            printing.paragraph(f"- {evidence}", indent="    ")


def _against_earlier(draft: Draft) -> None:
    editions = draft.facts.history.editions
    if not editions or not editions[0].scores:
        return
    last = editions[0]
    printing.heading(f"Against {last.title}")
    now = {part.score.criterion: part.score.score for part in draft.graded.contributions}
    both = [(key, last.scores[key], now[key]) for key in now if key in last.scores]
    tables.table(
        ("criterion", "then", "now", "change"),
        [(key, then, here, cells.change(here - then) or "0") for key, then, here in both],
        right="then|now|change",
    )
    if last.grade is not None and draft.graded.grade is not None:
        change = draft.graded.grade - last.grade
        way = "the same" if not change else f"{tenths.show(abs(change))} {'more' if change > 0 else 'less'}"
        printing.say()
        printing.say(f"It was graded {tenths.show(last.grade)} then; this is {way}.")


def _recorded(draft: Draft) -> str:
    """How it stands to what is recorded."""
    if draft.recorded is None:
        return "Not recorded yet; 'boxwright grade RELEASE --record' puts it into the ledger."
    if not draft.differs:
        return f"As recorded on {draft.recorded.published_on}."
    return (
        f"This differs from the review recorded on {draft.recorded.published_on} "
        f"({cells.grade(draft.recorded.grade) or 'no grade'}): {', '.join(draft.differences())}."
    )
