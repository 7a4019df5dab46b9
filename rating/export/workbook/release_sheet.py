"""The sheet of one release: disclosure, grade and verdict, scores with reasons, facts in short, prices."""

from __future__ import annotations

from collections.abc import Sequence

from xlsxwriter.workbook import Workbook

from rating import tenths, text
from rating.export import notices
from rating.export.workbook import positions as at
from rating.export.workbook.contents import Contents, ReviewedRelease
from rating.export.workbook.formulas import lift
from rating.export.workbook.positions import SCORES, STANDINGS, absolute
from rating.export.workbook.sheet_writer import SheetWriter
from rating.export.workbook.styles import (
    GRADE,
    HUE,
    LIFT,
    LINE,
    MONEY,
    MOVED,
    POINTS,
    QUIET,
    RANK,
    SCALE,
    TIED,
    Styles,
)
from rating.facts import cautions, sections
from rating.facts.economics.value import DatedPrice, Economics
from rating.facts.history.value import Edition, History
from rating.review import Score
from rating.sensitivity.grades import likely_grade

_WIDTHS = (15, 9, 9, 9, 14, 9, 9, 9, 66)
# the hidden cell that holds the release's row among those of the sheet Standings
_ROW = (0, len(_WIDTHS))
_SCORE_HEADS = (
    "criterion",
    "points",
    "score",
    "lifts or costs",
    "basis",
    "doubt ±",
    "edition before",
    "change",
    "reason",
)
_PRICE_HEADS = ("format", "unit", "price", "kind", "day", "a box", "a card", "a hit", "source")


def write_release(book: Workbook, contents: Contents, style: Styles, place: int) -> None:
    """One release: disclosure, grade and verdict, scores with reasons, facts in short, prices, cautions."""
    release = contents.releases[place]
    sheet = SheetWriter(book, release.sheet, style, _WIDTHS)
    _head(sheet, release)
    line = _grade(sheet, contents, place, 5)
    line = _scores(sheet, contents, place, line + 1)
    line = _facts(sheet, contents, release, line + 1)
    line = _prices(sheet, contents, release, line + 1)
    _provenance(sheet, contents, release, line + 1)
    sheet.lay_out(landscape=False)


def _head(sheet: SheetWriter, release: ReviewedRelease) -> None:
    style, standing = sheet.style, release.standing
    sheet.title(standing.title)
    sheet.paragraph(1, release.disclosed, style.loud, fill=0.9, more=3)
    told = [
        release.facts.maker,
        f"released {standing.released_on or 'no date'}",
        f"stage {standing.stage}",
        f"published {standing.published_on}",
        f"class {standing.price_class}" if standing.price_class else "",
    ]
    shown = " · ".join(words for words in told if words)
    sheet.across(2, 0, sheet.last, shown, style.of(font_size=11, quote_prefix=True))
    sheet.sheet.write_url(
        3, 0, f"internal:'{STANDINGS}'!A1", style.of(font_color=HUE, underline=1), "to the standings"
    )


def _grade(sheet: SheetWriter, contents: Contents, place: int, top: int) -> int:
    """The published grade with its interval and verdict, and the same with the points as they are now."""
    style, release, values = sheet.style, contents.releases[place], contents.values
    standing, published, now = release.standing, top + 1, top + 2
    sheet.across(top, 0, 1, "", style.head)
    sheet.words(top, 2, "grade", style.head_number)
    sheet.words(top, 3, "place", style.head_number)
    sheet.across(top, 4, sheet.last, "verdict", style.head)
    sheet.across(published, 0, 1, "as published", style.words)
    sheet.across(now, 0, 1, "with the points now", style.words)

    big = style.number(GRADE, bold=True, font_size=14, font_color=HUE)
    sheet.number(published, 2, None if standing.grade is None else standing.grade / 10, big)
    sheet.number(published, 3, standing.rank, style.number(TIED if standing.tied else RANK, font_size=12))
    sheet.paragraph(published, _interval(contents, release), style.words, first=4, least=24)

    # sorted or not: the row is that of its slug
    sheet.formula(
        *_ROW,
        f'=MATCH("{standing.release}",{contents.there("slug")},0)',
        place + 1,
        style.of(num_format="0"),
    )
    sheet.sheet.set_column(_ROW[1], _ROW[1], 8, None, {"hidden": True})
    grade, rank, verdict = (_here(contents.there(name)) for name in ("grade", "rank", "verdict"))
    sheet.tenths(now, 2, f"={grade}", values.grades[place], big)
    sheet.formula(now, 3, f"={rank}", values.ranks[place], style.number(RANK, font_size=12))
    sheet.sheet.merge_range(now, 4, now, sheet.last, "", style.words)
    sheet.formula(now, 4, f"={verdict}", contents.verdict(place), style.words)
    sheet.sheet.set_row(now, 24)
    if not release.beside.price_line:
        return top + 3
    sheet.across(top + 3, 0, 1, "at its price", style.words)
    sheet.paragraph(top + 3, release.beside.price_line, style.words, first=2, least=24)
    return top + 4


def _here(column: str) -> str:
    """The cell of a column of the sheet Standings in the release's own row there."""
    return f"INDEX({column},{absolute(*_ROW)})"


def _interval(contents: Contents, release: ReviewedRelease) -> str:
    """The published verdict with how far the grade may be off."""
    standing = release.standing
    told = [standing.verdict or _no_verdict(standing.grade)]
    points = dict(zip(contents.keys, contents.weights, strict=True))
    known = [score for key, score in release.scores.items() if key in points]
    if standing.rubric == contents.rubric.hash and standing.grade is not None:
        likely = likely_grade(
            [score.score for score in known],
            [score.spread for score in known],
            [points[score.criterion] for score in known],
        )
        low, high = likely or (standing.grade, standing.grade)
        told.append(f"likely between {tenths.show(low)} and {tenths.show(high)}, nine times in ten")
    if standing.partial and standing.lowest is not None and standing.highest is not None:
        told.append(
            f"partial: with what is not known yet it could become {tenths.show(standing.lowest)} "
            f"to {tenths.show(standing.highest)}"
        )
    if standing.ranked_apart:
        told.append("shown apart without a place, too little is known")
    return ". ".join(["; ".join(told), release.beside.remark]).removesuffix(". ")


def _no_verdict(grade: int | None) -> str:
    return "no grade yet" if grade is None else "no verdict: too much is open"


def _scores(sheet: SheetWriter, contents: Contents, place: int, top: int) -> int:
    release = contents.releases[place]
    edition = _edition(release)
    before = edition.scores if edition else {}
    sheet.heading(top, "Scores and reasons")
    sheet.heads(top + 1, _SCORE_HEADS, texts={"criterion", "basis", "reason"})
    sheet.sheet.set_row(top + 1, 28)
    line = top + 2
    for number, key in enumerate(contents.keys):
        if release.covers(key):
            _score_line(sheet, contents, line, place, number, before.get(key))
            line += 1
    sheet.sheet.conditional_format(top + 2, 2, max(top + 2, line - 1), 2, SCALE)
    return line


def _score_line(
    sheet: SheetWriter, contents: Contents, line: int, place: int, number: int, before: int | None
) -> None:
    """One criterion, by its number in the rubric, beside its score in the edition before."""
    style, release, key = sheet.style, contents.releases[place], contents.keys[number]
    plain, score = style.number("0"), release.scores.get(key)
    snapped = f"{STANDINGS}!{absolute(at.SNAPPED, SCORES + number)}"
    sheet.words(line, 0, key, style.name)
    sheet.formula(line, 1, f"={snapped}/10", contents.weights[number] / 10, style.number(POINTS))
    sheet.number(line, 6, before, style.number("0", font_color=QUIET))
    if score is None:
        basis, why = release.unscored(key)
        for column in (2, 3, 5, 7):
            sheet.blank(line, column, plain)
        sheet.words(line, 4, basis)
    else:
        why = _why(contents, score)
        whole, now = (
            _here(column) for column in (contents.there("weight"), contents.down(contents.counting + number))
        )
        sheet.number(line, 2, score.score, style.number("0", bold=True))
        # points x (score - 50) over all points that count: ROUND takes halves away from zero
        sheet.tenths(
            line,
            3,
            f'=IF({whole}=0,"",IF(ISNUMBER({now}),ROUND(10*{snapped}*({now}-50)/{whole},0)/10,""))',
            lift(score.score, contents.weights[number], contents.values.weights[place]),
            style.number(LIFT),
        )
        sheet.words(line, 4, score.basis)
        sheet.number(line, 5, score.spread, plain)
        change = None if before is None else score.score - before
        sheet.number(line, 7, change, style.number(MOVED, font_color=HUE))
    sheet.words(line, 8, why)
    sheet.fit(line, (why, 8))


def _why(contents: Contents, score: Score) -> str:
    told = score.reason
    if score.computed_score is not None:
        told += f" (computed: {score.computed_score})"
    if score.rater:
        told += f" [{contents.season.config.rater_name(score.rater)}]"
    return told


def _edition(release: ReviewedRelease) -> Edition | None:
    """The edition before, by the facts that the review used."""
    history = release.facts.history
    return history.editions[0] if isinstance(history, History) and history.editions else None


def _facts(sheet: SheetWriter, contents: Contents, release: ReviewedRelease, top: int) -> int:
    style, season = sheet.style, contents.season
    held = [season.files.sheet(slug).title for slug in season.held_back()]
    sheet.heading(top, f"Facts in short, as of the review of {release.standing.published_on}")
    line = top + 1
    for section in sections.SECTIONS:
        words = section.told(release.facts)
        for title in held:  # prices may be carried over from what is under embargo
            words = words.replace(title, "another release")
        key_style = style.of(bold=True, bottom=1, bottom_color=LINE, indent=1)
        sheet.across(line, 0, 1, section.key, key_style)
        sheet.paragraph(line, words, style.words, first=2)
        line += 1
    return line


def _prices(sheet: SheetWriter, contents: Contents, release: ReviewedRelease, top: int) -> int:
    """The latest price of each format, unit and kind, with the cautions that go with prices."""
    style, season = sheet.style, contents.season
    sheet.heading(top, f"Prices in {season.config.currency}")
    said = notices.with_help(cautions.of_release(release.facts), season.files.help_lines)
    sheet.paragraph(top + 1, said, style.note)
    economics = release.facts.economics
    formats = economics.formats.values() if isinstance(economics, Economics) else ()
    prices = [(packed.name, found) for packed in formats for found in packed.prices]
    line = top + 2
    if not prices:
        sheet.across(line, 0, sheet.last, "No price is known yet.", style.plain)
        return line + 1
    sheet.heads(line, _PRICE_HEADS, texts={"format", "unit", "kind", "day", "source"})
    latest = {(name, found.unit, found.kind): found for name, found in prices}
    for (name, _, _), found in latest.items():
        line += 1
        _price_line(sheet, line, name, found)
    if len(prices) > len(latest):
        line += 1
        left = text.count(len(prices) - len(latest), "earlier price")
        words = f"This is the last price of each kind; the season folder also has {left}."
        sheet.across(line, 0, sheet.last, words, style.note)
    return line + 1


def _price_line(sheet: SheetWriter, line: int, packed: str, found: DatedPrice) -> None:
    """One price with what follows from it; `packed` is the name of its format."""
    sheet.words(line, 0, packed)
    sheet.words(line, 1, found.unit)
    sheet.words(line, 3, found.kind)
    sheet.words(line, 4, found.day.isoformat())
    amounts = ((2, found.price), (5, found.box), (6, found.per_card), (7, found.per_hit))
    for column, amount in amounts:
        sheet.number(line, column, None if amount is None else float(amount), sheet.style.number(MONEY))
    sheet.words(line, 8, found.source)


def _provenance(sheet: SheetWriter, contents: Contents, release: ReviewedRelease, top: int) -> None:
    review = release.review
    raters: Sequence[str] = [contents.season.config.rater_name(key) for key in review.raters]
    told = f"Review {release.standing.review} by {text.listed(list(raters))}, rubric {review.rubric[:12]}."
    if review.reason_for_change:
        told += f" Why it was changed: {review.reason_for_change}"
    sheet.paragraph(top, told, sheet.style.note)
