"""What `grade` prints: the grade with what the price says, its place, every score with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rating import tenths, text
from rating.cli.shared import printing, tables
from rating.cli.shown import cells, embargo
from rating.doubt import firmness
from rating.export.notices import disclosure
from rating.facts import cautions
from rating.grading import Contribution, Graded
from rating.review import Unscored
from rating.season import pricing
from rating.season.recording import Draft
from rating.season.season import Season
from rating.standings import Standing

# so many strengths and weaknesses come first
_MOST = 3
# over the bars of scores, as wide as that of 100
_RULER = "0 .... 50 .... 100"


def show(
    season: Season, draft: Draft, place: Standing | None, *, since_launch: str, evidence: bool = False
) -> None:
    """Print a grading from its grade down to its reasons.

    Parameters
    ----------
    place : the place it would take today, None where it has no grade
    since_launch : how what was carried over at launch compares with sales since, '' where it does not
    evidence : whether to print what each score rests on, the earlier edition's scores and `since_launch`
    """
    graded = draft.graded
    printing.say(f"{draft.review.title}, stage {draft.stage}")
    embargo.remind(season, draft.review.release)
    if graded.grade is None:
        printing.paragraph("No grade: no criterion has a score yet.")
    else:
        _grade(season, draft, place)
    printing.paragraph(_disclosed(draft))
    if graded.contributions:
        printing.say()
        _scores(graded.contributions)
        _reasons(graded.contributions, evidence=evidence)
    for title, unscored in (("Not known yet", graded.unknown), ("Does not apply", graded.not_applicable)):
        if unscored:
            printing.heading(title)
            _unscored(unscored)
    if graded.grade is not None:
        _against_earlier(draft, evidence=evidence)
    if since_launch and evidence:
        printing.heading("Since launch")
        printing.paragraph(since_launch)
    printing.say()
    printing.paragraph(cautions.short(draft.facts))
    if graded.contributions and not evidence:
        printing.say(f"What each score rests on: boxwright grade {draft.review.release} --evidence")
    printing.paragraph(_recorded(draft))


def _disclosed(draft: Draft) -> str:
    told = draft.sheet.disclosure
    if told is None:
        return "How the reviewer came by it is not filled in yet; nothing can be recorded without it."
    return disclosure(told.how_obtained, told.sentence)


def _grade(season: Season, draft: Draft, place: Standing | None) -> None:
    """The grade, what the price says beside it, and its place."""
    for line in _headline(draft.graded):
        printing.paragraph(line)
    seen = pricing.last_seen(pricing.seen_on(draft.facts), season.today)
    told = (draft.beside.price_line, seen, pricing.values_of(draft.facts, season.today))
    printing.paragraph(" ".join(filter(None, told)))
    if draft.beside.remark:
        printing.paragraph(draft.beside.remark)
    printing.paragraph(_placed(season, draft, place))


def _headline(graded: Graded) -> list[str]:
    """The grade, and how far it may be off."""
    grade = graded.grade or 0
    words = f"Grade {tenths.show(grade)}{'' if graded.verdict else ' so far'}."
    if graded.likely is not None and graded.likely != (grade, grade):
        low, high = graded.likely
        words += f" Likely between {tenths.show(low)} and {tenths.show(high)} (9 in 10)."
    if graded.is_partial:
        ends = f"{tenths.show(graded.lowest or 0)} to {tenths.show(graded.highest or 0)}"
        return [words, f"Partial: what is still unknown could make it anything from {ends}."]
    return [words]


def _placed(season: Season, draft: Draft, place: Standing | None) -> str:
    """The place among all and in the price class, and how firm it is where it is the recorded one."""
    if place is None or place.rank is None:
        return "More than a quarter of its points are unknown, so it is shown apart, without a place."
    others = [row for row in season.rank() if row.release != place.release and row.rank is not None]
    told = []
    if place.class_rank is not None:
        of = sum(row.price_class == place.price_class for row in others) + 1
        told = [f"{text.ordinal(place.class_rank)} of {of} in its price class, {place.price_class}."]
    if draft.recorded is not None and not draft.differs:
        first = firmness.told(season.table(), season.ranges(), place.release)
    else:
        first = f"{firmness.placed(place.rank, len(others) + 1, is_shared=place.tied)}."
    return " ".join([first[:1].upper() + first[1:], *told])


def _scores(contributions: tuple[Contribution, ...]) -> None:
    total = sum(part.points for part in contributions)
    tables.table(
        ("group", "criterion", "score", "doubt", "points", "adds", "basis", _RULER),
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
                "█" * ((part.score.score * len(_RULER) + 50) // 100),
            )
            for part in contributions
        ],
        right="score|doubt|points|adds",
    )
    printing.paragraph("A grade starts at 50, a typical release; 'adds' is how far each score moves it.")


def _lift(part: Contribution, total: int) -> str:
    """Points of grade that a score adds against a typical 50, with their sign."""
    lift = tenths.fixed(Fraction(part.lift, total), 1) if total else "0.0"
    return lift if lift.startswith("-") or lift == "0.0" else f"+{lift}"


def _reasons(contributions: tuple[Contribution, ...], *, evidence: bool) -> None:
    """Every score with its reason, those first that lift the grade most, and those that cost it most."""
    highest = sorted(contributions, key=lambda part: -part.lift)[:_MOST]
    lowest = sorted(contributions, key=lambda part: part.lift)[:_MOST]
    up = [part for part in highest if part.lift > 0]
    down = [part for part in lowest if part.lift < 0]
    rest = [part for part in contributions if part not in up and part not in down]
    for title, parts in (
        ("Biggest strengths", up),
        ("Biggest weaknesses", down),
        ("In between" if up or down else "Typical throughout", rest),
    ):
        if parts:
            printing.heading(title)
        for part in parts:
            by = f" ({part.score.rater})" if part.score.rater else ""
            printing.wrapped(f"{part.score.criterion} {part.score.score}{by}: {part.score.reason}")
            for one in part.evidence if evidence else ():
                printing.wrapped(f"    - {one}")


def _unscored(unscored: Sequence[Unscored]) -> None:
    """What has no score, those together that have one reason for it."""
    whys: dict[str, list[str]] = {}
    for one in unscored:
        whys.setdefault(one.why, []).append(one.criterion)
    for why, criteria in whys.items():
        printing.wrapped(f"{text.listed(criteria)}: {why}")


def _against_earlier(draft: Draft, *, evidence: bool) -> None:
    editions = draft.facts.history.editions
    if not editions or not editions[0].scores:
        return
    last = editions[0]
    if evidence:
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
        printing.paragraph(f"{last.title} was graded {tenths.show(last.grade)}; this is {way}.")


def _recorded(draft: Draft) -> str:
    """How it stands to what is recorded."""
    if draft.recorded is None:
        return f"Not recorded yet; 'boxwright grade {draft.review.release} --record' puts it into the ledger."
    if not draft.differs:
        return f"As recorded on {draft.recorded.published_on}."
    return (
        f"This differs from the review recorded on {draft.recorded.published_on} "
        f"({cells.grade(draft.recorded.grade) or 'no grade'}): {', '.join(draft.differences())}."
    )
