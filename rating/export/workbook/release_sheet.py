"""The sheet Reasons, every score with its why, and a sheet for each release."""

from __future__ import annotations

from typing import Any

from xlsxwriter.workbook import Workbook

from rating import tenths, text
from rating.core.exact import half_width_tenths
from rating.export import notices
from rating.export.workbook import cells
from rating.export.workbook import contents as at
from rating.export.workbook import styles as look
from rating.export.workbook.contents import (
    FIRST,
    REASONS,
    SCORES,
    STANDINGS,
    Book,
    Page,
    Row,
    absolute,
    address,
)
from rating.export.workbook.formulas import lift
from rating.export.workbook.standings_sheet import disclosed
from rating.facts import cautions, sections
from rating.facts.advice.tell import price
from rating.facts.economics.value import DatedPrice, Economics
from rating.facts.history.value import Edition, History
from rating.facts.stored import NOT_KEPT

_NAME_WIDTH, _REASON_WIDTH = 30, 90


def write_reasons(book: Workbook, made: Book, style: look.Look) -> None:
    """One line for each release and criterion: score, basis, doubt, rater and the reason in full."""
    page = Page(book.add_worksheet(REASONS), style)
    heads = (
        ("release", _NAME_WIDTH),
        ("criterion", 12),
        ("score", 7),
        ("basis", 14),
        ("doubt ±", 8),
        ("computed", 10),
        ("rater", 14),
        ("reason", _REASON_WIDTH),
    )
    page.words(0, 0, "Reasons", style.title)
    page.sheet.set_row(0, 30)
    for line, words, form in (
        (1, disclosed(made), style.loud),
        (2, notices.with_help(cautions.CAUTIONS, made.season.files.help_lines), style.note),
    ):
        page.across(line, 0, len(heads) - 1, words, form)
        page.sheet.set_row(line, at.height((words, 0.9 * sum(width for _, width in heads))))
    top = 4
    numbers = {"score", "doubt ±", "computed"}
    for column, (words, width) in enumerate(heads):
        page.words(top, column, words, style.head_number if words in numbers else style.head)
        page.sheet.set_column(column, column, width)
    line = top + 1
    cells.hold_to_limits(line + len(made.rows) * len(made.keys), len(heads), REASONS)
    for row in made.rows:
        for key in _criteria(made, row):
            _reason(page, made, line, row, key)
            line += 1
    page.sheet.freeze_panes(top + 1, 1)
    page.sheet.autofilter(top, 0, max(top + 1, line - 1), len(heads) - 1)
    page.sheet.conditional_format(top + 1, 2, max(top + 1, line - 1), 2, look.SCALE)
    at.lay_out(page, repeat=(top, top))


def _criteria(made: Book, row: Row) -> list[str]:
    """The criteria of the rubric that a review answers, then those of its own time that are gone."""
    answered = {**row.scores, **row.unknown, **row.not_applicable}
    return [key for key in made.keys if key in answered] + sorted(set(answered) - set(made.keys))


def _reason(page: Page, made: Book, line: int, row: Row, key: str) -> None:
    style = page.look
    page.words(line, 0, row.name, style.name)
    page.words(line, 1, key)
    score = row.scores.get(key)
    if score is None:
        why = row.unknown.get(key) or row.not_applicable[key]
        for column in (2, 4, 5):
            page.blank(line, column, style.number("0"))
        page.words(line, 3, "not known yet" if key in row.unknown else "does not apply")
        page.words(line, 6, "")
    else:
        why = score.reason
        page.number(line, 2, score.score, style.number("0", bold=True))
        page.words(line, 3, score.basis)
        page.number(line, 4, score.spread, style.number("0"))
        _maybe(page, line, 5, score.computed_score, style.number("0"))
        page.words(line, 6, made.season.config.rater_name(score.rater))
    page.words(line, 7, why)
    page.sheet.set_row(line, at.height((row.name, _NAME_WIDTH), (why, _REASON_WIDTH)))


# one release ---------------------------------------------------------------------------------------------

_WIDTHS = (15, 9, 9, 9, 14, 9, 9, 9, 66)
_LAST = len(_WIDTHS) - 1


def write_release(book: Workbook, made: Book, style: look.Look, place: int) -> None:
    """One release: disclosure, grade and verdict, scores with reasons, facts in short, prices, cautions."""
    row = made.rows[place]
    page = Page(book.add_worksheet(row.sheet), style)
    for column, width in enumerate(_WIDTHS):
        page.sheet.set_column(column, column, width)
    _head(page, row)
    line = _grade(page, made, place, 5)
    line = _table_of_scores(page, made, place, line + 1)
    line = _facts(page, made, row, line + 1)
    line = _prices(page, made, row, line + 1)
    _provenance(page, made, row, line + 1)
    at.lay_out(page, landscape=False)


def _head(page: Page, row: Row) -> None:
    style, one = page.look, row.standing
    told = row.review.disclosure
    page.words(0, 0, one.title, style.title)
    page.sheet.set_row(0, 30)
    said = notices.disclosure(told.how_obtained, told.sentence)
    page.across(1, 0, _LAST, said, style.loud)
    page.sheet.set_row(1, at.height((said, sum(_WIDTHS) * 0.9)) + 3)
    told_of = [row.facts.maker] if row.facts.maker else []
    told_of += [
        f"released {at.day(one.released_on)}",
        f"stage {one.stage}",
        f"published {one.published_on}",
    ]
    if one.price_class:
        told_of.append(f"class {one.price_class}")
    page.across(2, 0, _LAST, " · ".join(told_of), style.of(font_size=11, quote_prefix=True))
    page.sheet.write_url(
        3, 0, f"internal:'{STANDINGS}'!A1", style.of(font_color=look.HUE, underline=1), "to the standings"
    )


def _grade(page: Page, made: Book, place: int, top: int) -> int:
    """The published grade with its interval and verdict, and the same with the points as they are now."""
    style, row, source = page.look, made.rows[place], FIRST + place
    one, live = row.standing, made.live
    for column, words in ((0, ""), (2, "grade"), (3, "place"), (4, "verdict")):
        form = style.head_number if words in {"grade", "place"} else style.head
        if column in {0, 4}:
            page.across(top, column, 1 if column == 0 else _LAST, words, form)
        else:
            page.words(top, column, words, form)
    for line, words in ((top + 1, "as published"), (top + 2, "with the points now")):
        page.across(line, 0, 1, words, style.words)
    big = style.number(look.GRADE, bold=True, font_size=14, font_color=look.HUE)
    if one.grade is None:
        page.blank(top + 1, 2, big)
    else:
        page.number(top + 1, 2, one.grade / 10, big)
    _maybe(page, top + 1, 3, one.rank, style.number(look.TIED if one.tied else look.RANK, font_size=12))
    page.across(top + 1, 4, _LAST, _interval(made, row), style.words)

    def there(column: int) -> str:
        return f"{STANDINGS}!{absolute(source, column)}"

    value = live.grades[place]
    now = style.number(look.GRADE, bold=True, font_size=14, font_color=look.HUE)
    page.tenths(top + 2, 2, f"={there(at.GRADE)}", value, now)
    page.formula(top + 2, 3, f"={there(at.RANK)}", live.ranks[place], style.number(look.RANK, font_size=12))
    page.sheet.merge_range(top + 2, 4, top + 2, _LAST, "", style.words)
    has_place = value is not None and made.live.ranks[place] is not None
    verdict = cells.cell_text(made.rubric.verdict(value)) if value is not None and has_place else None
    page.formula(top + 2, 4, f"={there(at.VERDICT)}", verdict, style.words)
    page.sheet.set_row(top + 1, max(24.0, at.height((_interval(made, row), sum(_WIDTHS[4:])))))
    page.sheet.set_row(top + 2, 24)
    if row.facts.advice == NOT_KEPT:
        return top + 3
    advised = price(row.facts.advice)
    page.across(top + 3, 0, 1, "a sensible price", style.words)
    page.across(top + 3, 2, _LAST, advised, style.words)
    page.sheet.set_row(top + 3, max(24.0, at.height((advised, sum(_WIDTHS[2:])))))
    return top + 4


def _interval(made: Book, row: Row) -> str:
    one = row.standing
    told = (
        [one.verdict]
        if one.verdict
        else ["no verdict: too much is open"]
        if one.grade is not None
        else ["no grade yet"]
    )
    points = dict(zip(made.keys, made.weights, strict=True))
    known = [score for key, score in row.scores.items() if key in points]
    width = half_width_tenths([score.spread for score in known], [points[score.criterion] for score in known])
    if one.rubric == made.rubric.hash and one.grade is not None and width is not None:
        low, high = max(0, one.grade - width), min(1000, one.grade + width)
        told.append(f"by the doubt in its scores between {tenths.show(low)} and {tenths.show(high)}")
    if one.partial and one.lowest is not None and one.highest is not None:
        told.append(
            f"partial: with what is not known yet it could become {tenths.show(one.lowest)} "
            f"to {tenths.show(one.highest)}"
        )
    if one.ranked_apart:
        told.append("shown apart without a place, too little is known")
    return "; ".join(told)


def _table_of_scores(page: Page, made: Book, place: int, top: int) -> int:
    style, row, live = page.look, made.rows[place], made.live
    edition = _edition(row)
    before = edition.scores if edition else {}
    page.across(top, 0, _LAST, "Scores and reasons", style.heading)
    heads = [
        "criterion",
        "points",
        "score",
        "lifts or costs",
        "basis",
        "doubt ±",
        "edition before",
        "change",
        "reason",
    ]
    for column, words in enumerate(heads):
        page.words(top + 1, column, words, style.head if column in {0, 4, 8} else style.head_number)
    page.sheet.set_row(top + 1, 28)
    line = top + 2
    grade_row = FIRST + place
    whole = f"{STANDINGS}!{absolute(grade_row, made.column('weight'))}"
    for number, key in enumerate(made.keys):
        if key not in row.scores and key not in row.unknown and key not in row.not_applicable:
            continue
        snapped = f"{STANDINGS}!{absolute(at.SNAPPED, SCORES + number)}"
        weight, score = made.weights[number], row.scores.get(key)
        page.words(line, 0, key, style.name)
        page.formula(line, 1, f"={snapped}/10", weight / 10, style.number(look.POINTS))
        old = before.get(key)
        _maybe(page, line, 6, old, style.number("0", font_color=look.QUIET))
        if score is None:
            page.blank(line, 2, style.number("0"))
            page.blank(line, 3, style.number("0"))
            page.words(line, 4, "not known yet" if key in row.unknown else "does not apply")
            page.blank(line, 5, style.number("0"))
            page.blank(line, 7, style.number("0"))
            why = row.unknown.get(key) or row.not_applicable[key]
        else:
            page.number(line, 2, score.score, style.number("0", bold=True))
            # points x (score - 50) over all points that count: ROUND takes halves away from zero
            page.tenths(
                line,
                3,
                f'=IF({whole}=0,"",ROUND(10*{snapped}*({address(line, 2)}-50)/{whole},0)/10)',
                lift(score.score, weight, live.weights[place]),
                style.number(look.LIFT),
            )
            page.words(line, 4, score.basis)
            page.number(line, 5, score.spread, style.number("0"))
            _maybe(
                page,
                line,
                7,
                None if old is None else score.score - old,
                style.number(look.MOVED, font_color=look.HUE),
            )
            why = _why(made, score)
        page.words(line, 8, why)
        page.sheet.set_row(line, at.height((why, _WIDTHS[8])))
        line += 1
    page.sheet.conditional_format(top + 2, 2, max(top + 2, line - 1), 2, look.SCALE)
    return line


def _why(made: Book, score: Any) -> str:
    told = str(score.reason)
    if score.computed_score is not None:
        told += f" (computed: {score.computed_score})"
    if score.rater:
        told += f" [{made.season.config.rater_name(score.rater)}]"
    return told


def _edition(row: Row) -> Edition | None:
    """The edition before, by the facts that the review used."""
    history = row.facts.history
    return history.editions[0] if isinstance(history, History) and history.editions else None


def _facts(page: Page, made: Book, row: Row, top: int) -> int:
    style, held = page.look, [made.season.files.sheet(slug).title for slug in made.season.held_back()]
    page.across(
        top, 0, _LAST, f"Facts in short, as of the review of {row.standing.published_on}", style.heading
    )
    line = top + 1
    for one in sections.SECTIONS:
        words = one.told(row.facts)
        for title in held:  # prices may be carried over from what is under embargo
            words = words.replace(title, "another release")
        page.across(line, 0, 1, one.key, style.of(bold=True, bottom=1, bottom_color=look.LINE, indent=1))
        page.across(line, 2, _LAST, words, style.words)
        page.sheet.set_row(line, at.height((words, sum(_WIDTHS[2:]))))
        line += 1
    return line


def _prices(page: Page, made: Book, row: Row, top: int) -> int:
    """The latest price of each format, unit and kind, with the cautions that go with prices."""
    style = page.look
    page.across(top, 0, _LAST, f"Prices in {made.season.config.currency}", style.heading)
    said = notices.with_help(cautions.of_release(row.facts), made.season.files.help_lines)
    page.across(top + 1, 0, _LAST, said, style.note)
    page.sheet.set_row(top + 1, at.height((said, sum(_WIDTHS))))
    economics = row.facts.economics
    formats = economics.formats if isinstance(economics, Economics) else {}
    latest: dict[tuple[str, str, str], DatedPrice] = {}
    seen = 0
    for one in formats.values():
        for found in one.prices:
            latest[one.name, found.unit, found.kind] = found
            seen += 1
    line = top + 2
    if not latest:
        page.across(line, 0, _LAST, "No price is known yet.", style.plain)
        return line + 1
    heads = ("format", "unit", "price", "kind", "day", "a box", "a card", "a hit", "source")
    for column, words in enumerate(heads):
        page.words(
            line,
            column,
            words,
            style.head_number if 0 < column < 8 and column not in {1, 3, 4} else style.head,
        )
    amount = style.number(look.MONEY)
    for (name, unit, kind), found in latest.items():
        line += 1
        page.words(line, 0, name)
        page.words(line, 1, unit)
        page.words(line, 3, kind)
        page.words(line, 4, found.day.isoformat())
        amounts = ((2, found.price), (5, found.box), (6, found.per_card), (7, found.per_hit))
        for column, value in amounts:
            _maybe(page, line, column, None if value is None else float(value), amount)
        page.words(line, 8, found.source)
    if seen > len(latest):
        line += 1
        left = text.count(seen - len(latest), "earlier price")
        page.across(
            line, 0, _LAST, f"Shown is the last of each kind; {left} stand in the season folder.", style.note
        )
    return line + 1


def _provenance(page: Page, made: Book, row: Row, top: int) -> None:
    style, review = page.look, row.review
    names = [made.season.config.rater_name(one) for one in review.raters]
    told = f"Review {row.standing.review} by {text.listed(names)}, rubric {review.rubric[:12]}."
    if review.reason_for_change:
        told += f" Why it was changed: {review.reason_for_change}"
    page.across(top, 0, _LAST, told, style.note)
    page.sheet.set_row(top, at.height((told, sum(_WIDTHS))))


def _maybe(page: Page, line: int, column: int, number: float | None, form: Any) -> None:
    """A number, or an empty cell where there is none."""
    if number is None:
        page.blank(line, column, form)
    else:
        page.number(line, column, number, form)
