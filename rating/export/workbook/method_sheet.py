"""The sheet Method: how to read the workbook, the rubric, verdict bands, cautions, versions and hashes."""

from __future__ import annotations

from importlib import metadata

from xlsxwriter.workbook import Workbook

from rating import money, tenths
from rating.export import notices
from rating.export.workbook.contents import Contents
from rating.export.workbook.positions import ABSENT, METHOD, SORTED, STANDINGS, down
from rating.export.workbook.sheet_writer import SheetWriter
from rating.export.workbook.styles import GRADE, POINTS, Styles
from rating.facts import cautions
from rating.rubric.rubric import shares

_WIDTHS = (22, 16, 9, 16, 72, 72)
_ALLOWED = len(_WIDTHS) + 1

READING = (
    (
        f"What may be changed: on the sheet {STANDINGS} the points in the framed cells, and any score: a "
        f"whole number from 0 to 100, nothing where it is not known, {ABSENT} where it does not apply. "
        "Anything else counts as not known, and the number above the places says how many such scores there "
        "are. Its rows may be sorted and filtered. All else is locked, without a password."
    ),
    (
        "Scores are whole numbers from 0 to 100; 50 is what a typical release offers. The deeper the colour, "
        "the higher the score; the colour means the same on every sheet."
    ),
    (
        "The grade is the mean of the scores, weighted by the points and rounded to tenths, halves up. Only "
        "the ratio of the points matters; they are in whole tenths, and what is not a number counts as 0."
    ),
    (
        "An empty score is not zero: what is not known yet or does not apply is left out, and its points are "
        "shared out over the rest. Where more than a quarter of the points that apply is unknown, the "
        "release is shown apart: it keeps its grade, has no place and no verdict, and counts in nobody's "
        "place."
    ),
    "Equal grades share a place, shown as =4. Moved is against the published place: ▲ is up.",
    (
        "Scales are declared, so no release moves another's grade. "
        f"The sheet {SORTED} follows whatever is changed."
    ),
    (
        "A review id is the SHA-256 of the review's text: it shows that the review is unaltered, not who "
        "wrote it or when. The head of the ledger stands for all reviews: once others hold it, none of them "
        "can be altered unnoticed."
    ),
)


def write_method(book: Workbook, contents: Contents, style: Styles) -> None:
    """How to read and change the workbook, and what it was made from."""
    sheet = SheetWriter(book, METHOD, style, _WIDTHS)
    sheet.title("Method")
    sheet.paragraph(1, contents.disclosed, style.loud, fill=0.9, more=3)
    line = _texts(sheet, 3, "How to read this", READING)
    line = _texts(sheet, line + 1, "Cautions", cautions.CAUTIONS)
    help_lines = contents.season.files.help_lines
    if help_lines and help_lines.sentence:
        day = help_lines.as_of.isoformat() if help_lines.as_of else ""
        line = _texts(sheet, line + 1, f"Help, as looked up on {day}", tuple(map(str, help_lines.lines)))
    line = _bands(book, sheet, contents, line + 1)
    line = _rubric(sheet, contents, line + 1)
    line = _groups(sheet, contents, line + 1)
    _versions(sheet, contents, line + 1)
    _allowed(book, sheet)
    sheet.lay_out()
    sheet.sheet.print_area(0, 0, line + 6 + len(contents.releases), sheet.last)


def _texts(sheet: SheetWriter, top: int, title: str, texts: tuple[str, ...]) -> int:
    sheet.heading(top, title)
    for line, words in enumerate(texts, start=top + 1):
        sheet.paragraph(line, words, sheet.style.plain)
    return top + 1 + len(texts)


def _bands(book: Workbook, sheet: SheetWriter, contents: Contents, top: int) -> int:
    """The verdicts, rising, so that MATCH finds the last band that begins at or below a grade."""
    style = sheet.style
    sheet.heading(top, "Verdicts")
    sheet.words(top + 1, 0, "from grade", style.head_number)
    sheet.across(top + 1, 1, 4, "verdict", style.head)
    bands = sorted(contents.rubric.bands, key=lambda band: band.start)
    for line, band in enumerate(bands, start=top + 2):
        sheet.number(line, 0, band.start / 10, style.number(GRADE))
        sheet.across(line, 1, 4, band.words, style.words)
    first, last = top + 2, top + 1 + len(bands)
    book.define_name("verdict_from", f"={METHOD}!{down(0, first, last)}")
    book.define_name("verdict_words", f"={METHOD}!{down(1, first, last)}")
    return last + 1


def _rubric(sheet: SheetWriter, contents: Contents, top: int) -> int:
    style, rubric, modules = sheet.style, contents.rubric, contents.season.files.modules
    currency = contents.season.config.currency
    sheet.heading(top, f"{rubric.name}: {tenths.show_points(rubric.total)} points")
    heads = ("group", "criterion", "points", "module", "asks", "how it is scored")
    sheet.heads(top + 1, heads, texts=set(heads) - {"points"})
    line = top + 2
    for criterion in rubric.criteria:
        module, scale = modules.get(criterion.key), criterion.scale
        asks = (
            money.in_currency(module.criterion.question, currency)
            if module
            else "no module of this name is installed"
        )
        computes = module is not None and module.criterion.find is not None
        how = (
            money.in_currency(scale.describe(), currency)
            if computes and scale
            else "judged by a person, with a reason"
        )
        sheet.words(line, 0, rubric.groups[criterion.group])
        sheet.words(line, 1, criterion.key, style.name)
        sheet.number(line, 2, criterion.points / 10, style.number(POINTS))
        sheet.words(line, 3, f"{module.criterion.version}, {module.code_hash[:10]}" if module else "")
        sheet.words(line, 4, asks)
        sheet.words(line, 5, how)
        sheet.fit(line, (asks, 4), (how, 5))
        line += 1
    return line


def _groups(sheet: SheetWriter, contents: Contents, top: int) -> int:
    told = ", ".join(
        f"{contents.rubric.groups[group]} {tenths.show_points(points)}"
        for group, points in shares(contents.rubric).items()
        if points
    )
    sheet.paragraph(top, f"Points by group: {told}.", sheet.style.plain)
    return top + 1


def _versions(sheet: SheetWriter, contents: Contents, top: int) -> None:
    style, season = sheet.style, contents.season
    sheet.heading(top, "What this was made from")
    made_by = f"Boxwright {metadata.version('boxwright')}; {season.config.name} as of "
    made_by += f"{season.today.isoformat()}; rubric {contents.rubric.hash}. "
    made_by += f"{notices.head(season.recorded.tree_head, len(season.recorded.entries))}."
    sheet.paragraph(top + 1, made_by, style.plain)
    heads = ("release", "stage", "grade", "published", "review id", "rubric it was published by")
    sheet.heads(top + 2, heads, texts=set(heads) - {"grade"})
    for line, release in enumerate(contents.releases, start=top + 3):
        standing = release.standing
        sheet.words(line, 0, standing.release)
        sheet.words(line, 1, standing.stage)
        grade = None if standing.grade is None else standing.grade / 10
        sheet.number(line, 2, grade, style.number(GRADE))
        sheet.words(line, 3, standing.published_on)
        sheet.words(line, 4, standing.review)
        sheet.words(line, 5, standing.rubric)
        sheet.fit(line, (standing.release, 0), (standing.review, 4))


def _allowed(book: Workbook, sheet: SheetWriter) -> None:
    """The scores that may be written, as a hidden range: a list in one text would break on decimal commas."""
    form = sheet.style.of(num_format="0")
    for score in range(101):
        sheet.number(score, _ALLOWED, score, form)
    sheet.words(101, _ALLOWED, ABSENT, form)
    sheet.sheet.set_column(_ALLOWED, _ALLOWED, 8, None, {"hidden": True})
    book.define_name("allowed_scores", f"={METHOD}!{down(_ALLOWED, 0, 101)}")
