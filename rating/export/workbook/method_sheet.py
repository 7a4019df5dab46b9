"""The sheet Method: how to read the workbook, the rubric, verdict bands, cautions, versions and hashes."""

from __future__ import annotations

from importlib import metadata

from xlsxwriter.workbook import Workbook

from rating import tenths
from rating.export.workbook import contents as at
from rating.export.workbook import styles as look
from rating.export.workbook.contents import METHOD, SORTED, STANDINGS, Book, Page, absolute
from rating.export.workbook.standings_sheet import disclosed
from rating.facts import cautions
from rating.rubric.rubric import shares

_WIDTHS = (22, 16, 9, 16, 72, 72)
_LAST = len(_WIDTHS) - 1
_ALLOWED = _LAST + 2

READING = (
    (
        f"What may be changed: the points in the framed cells of the sheet {STANDINGS}. All else is locked, "
        "without a password: take the protection off to try another score (a whole number from 0 to 100, or "
        "nothing)."
    ),
    (
        "Scores are whole numbers from 0 to 100; 50 is what a typical release offers. The deeper the colour, "
        "the higher the score; the colour means the same on every sheet."
    ),
    (
        "The grade is the mean of the scores, weighted by the points, in tenths and halves up. Only the "
        "ratio of the points matters; they are taken in whole tenths, and what is no number counts as 0."
    ),
    (
        "An empty score is not zero: what is not known yet or does not apply is left out, and its points are "
        "shared out over the rest. Where more than a quarter of the points that applied was unknown when the "
        "review was published, the release is shown apart: it keeps its grade, has no place and no verdict, "
        "and counts in nobody's place."
    ),
    "Equal grades share a place, shown as =4. Moved is against the published place: ▲ is up.",
    (
        "Scales are declared, so no release moves another's grade. "
        f"The sheet {SORTED} follows whatever is changed."
    ),
    (
        "A review id is the SHA-256 of the review's text: it shows that the review is unaltered, not who "
        "wrote it or when."
    ),
)


def write_method(book: Workbook, made: Book, style: look.Look) -> None:
    """How to read and change the workbook, and what it was made from."""
    page = Page(book.add_worksheet(METHOD), style)
    for column, width in enumerate(_WIDTHS):
        page.sheet.set_column(column, column, width)
    page.words(0, 0, "Method", style.title)
    page.sheet.set_row(0, 30)
    page.across(1, 0, _LAST, disclosed(made), style.loud)
    page.sheet.set_row(1, at.height((disclosed(made), sum(_WIDTHS) * 0.9)) + 3)
    line = _texts(page, 3, "How to read this", READING)
    line = _texts(page, line + 1, "Cautions", cautions.CAUTIONS)
    if made.season.files.help_lines and made.season.files.help_lines.sentence:
        lines = made.season.files.help_lines
        day = lines.as_of.isoformat() if lines.as_of else ""
        line = _texts(page, line + 1, f"Help, as looked up on {day}", tuple(map(str, lines.lines)))
    line = _bands(book, page, made, line + 1)
    line = _rubric(page, made, line + 1)
    line = _groups(page, made, line + 1)
    _versions(page, made, line + 1)
    _allowed(book, page)
    at.lay_out(page)
    page.sheet.print_area(0, 0, line + 6 + len(made.rows), _LAST)


def _texts(page: Page, top: int, title: str, texts: tuple[str, ...]) -> int:
    page.across(top, 0, _LAST, title, page.look.heading)
    for line, words in enumerate(texts, start=top + 1):
        page.across(line, 0, _LAST, words, page.look.plain)
        page.sheet.set_row(line, at.height((words, sum(_WIDTHS))))
    return top + 1 + len(texts)


def _bands(book: Workbook, page: Page, made: Book, top: int) -> int:
    """The verdicts, rising, so that MATCH finds the last band that begins at or below a grade."""
    style = page.look
    page.across(top, 0, _LAST, "Verdicts", style.heading)
    page.words(top + 1, 0, "from grade", style.head_number)
    page.across(top + 1, 1, 4, "verdict", style.head)
    bands = sorted(made.rubric.bands, key=lambda band: band.start)
    for line, band in enumerate(bands, start=top + 2):
        page.number(line, 0, band.start / 10, style.number(look.GRADE))
        page.across(line, 1, 4, band.words, style.words)
    first, last = top + 2, top + 1 + len(bands)
    book.define_name("verdict_from", f"={METHOD}!{absolute(first, 0)}:{absolute(last, 0)}")
    book.define_name("verdict_words", f"={METHOD}!{absolute(first, 1)}:{absolute(last, 1)}")
    return last + 1


def _rubric(page: Page, made: Book, top: int) -> int:
    style = page.look
    page.across(
        top, 0, _LAST, f"{made.rubric.name}: {tenths.show_points(made.rubric.total)} points", style.heading
    )
    for column, words in enumerate(("group", "criterion", "points", "module", "asks", "how it is scored")):
        page.words(top + 1, column, words, style.head_number if column == 2 else style.head)
    modules = made.season.files.modules
    line = top + 2
    for one in made.rubric.criteria:
        module = modules.get(one.key)
        asks = module.criterion.question if module else "no module of this name is installed"
        computes = module is not None and module.criterion.find is not None and one.scale is not None
        how = one.scale.describe() if computes and one.scale else "judged by a person, with a reason"
        page.words(line, 0, made.rubric.groups[one.group])
        page.words(line, 1, one.key, style.name)
        page.number(line, 2, one.points / 10, style.number(look.POINTS))
        page.words(line, 3, f"{module.criterion.version}, {module.code_hash[:10]}" if module else "")
        page.words(line, 4, asks)
        page.words(line, 5, how)
        page.sheet.set_row(line, at.height((asks, _WIDTHS[4]), (how, _WIDTHS[5])))
        line += 1
    return line


def _groups(page: Page, made: Book, top: int) -> int:
    style = page.look
    told = ", ".join(
        f"{made.rubric.groups[group]} {tenths.show_points(points)}"
        for group, points in shares(made.rubric).items()
        if points
    )
    page.across(top, 0, _LAST, f"Points by group: {told}.", style.plain)
    page.sheet.set_row(top, at.height((told, sum(_WIDTHS))))
    return top + 1


def _versions(page: Page, made: Book, top: int) -> None:
    style, season = page.look, made.season
    page.across(top, 0, _LAST, "What this was made from", style.heading)
    page.across(
        top + 1,
        0,
        _LAST,
        f"Boxwright {metadata.version('boxwright')}; {season.config.name} as of {season.today.isoformat()}; "
        f"rubric {made.rubric.hash}.",
        style.plain,
    )
    heads = ("release", "stage", "grade", "published", "review id", "rubric it was published by")
    for column, words in enumerate(heads):
        page.words(top + 2, column, words, style.head_number if column == 2 else style.head)
    for line, row in enumerate(made.rows, start=top + 3):
        one = row.standing
        page.words(line, 0, one.release)
        page.words(line, 1, one.stage)
        if one.grade is None:
            page.blank(line, 2, style.number(look.GRADE))
        else:
            page.number(line, 2, one.grade / 10, style.number(look.GRADE))
        page.words(line, 3, one.published_on)
        page.words(line, 4, one.review)
        page.words(line, 5, one.rubric)
        page.sheet.set_row(line, at.height((one.release, _WIDTHS[0]), (one.review, _WIDTHS[4])))


def _allowed(book: Workbook, page: Page) -> None:
    """The scores that may be written, as a hidden range: a list in one text would break on decimal commas."""
    form = page.look.of(num_format="0")
    for score in range(101):
        page.number(score, _ALLOWED, score, form)
    page.sheet.set_column(_ALLOWED, _ALLOWED, 8, None, {"hidden": True})
    book.define_name("allowed_scores", f"={METHOD}!{absolute(0, _ALLOWED)}:{absolute(100, _ALLOWED)}")
