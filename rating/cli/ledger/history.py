"""boxwright ledger history: every recorded review of a release."""

from __future__ import annotations

from rating.cli.shared import opening, options, printing, tables


def history(
    release: options.Release,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Every recorded review of a release, oldest first.

    Example: boxwright ledger history halyard
    """
    from rating import tenths, text
    from rating.answers import ledger as answers
    from rating.errors import RatingError

    season = opening.opened(season_folder, today)
    entries = [one for one in season.recorded.entries if one.release == release]
    if not entries:
        raise RatingError(
            f"nothing is recorded of {release}",
            where="ledger.db",
            fix=text.hinted(
                release,
                {one.release for one in season.recorded.entries},
                f"record it with 'boxwright grade {release} --record'",
            ),
        )
    found = [(one, season.recorded.ledger.review(one.id)) for one in entries]
    if as_json:
        printing.data(answers.history(release, found))
        return
    tables.table(
        ("published", "stage", "grade", "review", "why it changed"),
        [
            (
                entry.published_on,
                "withdrawn" if review.withdrawn else entry.stage,
                tenths.show(entry.grade) if entry.grade is not None else "",
                entry.id[:12],
                review.reason_for_change,
            )
            for entry, review in found
        ],
        right="grade",
    )
    printing.say()
    last = found[-1][1]
    printing.say(
        "It is withdrawn."
        if last.withdrawn
        else f"The last of {len(found)} stands; the others are kept as they were."
    )
