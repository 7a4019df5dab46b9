"""boxwright ledger errata: a correction, the text to pin, and who got the wrong review."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rating.ledger.ledger import Entry
    from rating.season.handed import Handed


def errata(
    review: options.Review,
    says: Annotated[str, typer.Option("--says", metavar="TEXT", help="What was wrong, in a sentence.")],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Correct a review: record a new one, with a text to pin and a list of who got the wrong one.

    Put the files or the scores right first; the wrong review stays in the ledger as it was.

    Example: boxwright ledger errata halyard --says "I read the Retail odds as those of the Hobby box."
    """
    from datetime import UTC, datetime

    from rating.answers import ledger as answers
    from rating.export import pinned
    from rating.season import amending, handed

    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    wrong = amending.named(season.recorded, review)
    sentence = amending.sentence(says, where="--says")
    amending.hold_correctable(season.recorded, wrong, today=season.today)
    listed, lost = handed.read(season.path)  # may refuse, so it goes before anything is recorded
    draft = season.grade(wrong.release, reason_for_change=sentence)
    stored = season.record(draft, now=datetime.now(UTC), corrects=wrong.id)
    if stored is None:
        raise amending.puts_nothing_right(wrong)
    to_pin = pinned.correction(wrong, stored, sentence)
    got = handed.of_review(listed, wrong.id, place=wrong.seq)
    right = season.recorded.of(wrong.release)[-1]
    if as_json:
        printing.data(answers.errata(wrong.id, right.id, to_pin, got))
    else:
        _show(wrong, right, to_pin, got)
    if lost:
        rows = "1 row says" if lost == 1 else f"{lost} rows say"
        printing.remark(f"remark: {handed.FOLDER}/{handed.NAME}: {rows} no file with its reviews")
    if end := season.held_back().get(wrong.release):
        printing.remark(
            f"remark: {wrong.release} is under embargo until {end.isoformat()}: pin nothing before"
        )


def _show(wrong: Entry, right: Entry, to_pin: str, got: Sequence[Handed]) -> None:
    from rating import text

    printing.say("To pin:")
    printing.say()
    for line in to_pin.split("\n"):
        printing.paragraph(line)
    printing.say()
    printing.paragraph(f"Recorded as {right.id[:12]}, stage {right.stage}; it corrects {wrong.id[:12]}.")
    printing.say()
    if not got:
        printing.paragraph("No export in exports/log.csv had the wrong review.")
        return
    printing.paragraph(f"{text.count(len(got), 'export')} had the wrong review:")
    for one in got:
        to = f"to {one.receiver}" if one.receiver else "recipient not noted"
        printing.wrapped(f"- {one.at[:10]}, {one.file}, {to}")
