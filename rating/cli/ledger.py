"""boxwright ledger: what was recorded, taking a review out, and proving that nothing was altered."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli import common

app = common.group("History, withdrawal and proof of the recorded reviews.")


@app.command("history")
def history(
    release: common.Release,
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Every recorded review of a release, oldest first.

    Example: boxwright ledger history halyard
    """
    from rating import tenths
    from rating.errors import RatingError

    season = common.opened(season_folder, today)
    entries = [one for one in season.entries if one.release == release]
    if not entries:
        raise RatingError(
            f"nothing is recorded of {release}",
            where="ledger.db",
            fix=f"record it with 'boxwright grade {release} --record'",
        )
    found = [(one, season.ledger.review(one.id)) for one in entries]
    if as_json:
        common.data(
            {
                "release": release,
                "reviews": [
                    {
                        "review": entry.id,
                        "published_on": entry.published_on,
                        "recorded_at": entry.recorded_at,
                        "stage": entry.stage,
                        "grade": None if entry.grade is None else entry.grade / 10,
                        "withdrawn": review.withdrawn,
                        "reason_for_change": review.reason_for_change or None,
                        "supersedes": list(review.supersedes),
                    }
                    for entry, review in found
                ],
            }
        )
        return
    common.table(
        ("published", "stage", "grade", "review", "why it changed"),
        [
            (
                entry.published_on,
                "withdrawn" if review.withdrawn else entry.stage,
                tenths.show(entry.grade) if entry.grade is not None else "",
                entry.id[:12],
                common.shorten(review.reason_for_change, 54),
            )
            for entry, review in found
        ],
        right="grade",
    )
    common.say()
    last = found[-1][1]
    common.say(
        "It is withdrawn."
        if last.withdrawn
        else f"The last of {len(found)} stands; the others are kept as they were."
    )


@app.command("withdraw")
def withdraw(
    release: common.Release,
    reason: Annotated[str, typer.Option("--reason", help="Why, in a sentence that is kept.")],
    on: Annotated[str, typer.Option("--on", metavar="DATE", help="The day. [default: today]")] = "",
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Take a release out of the standings; its reviews stay in the ledger.

    Example: boxwright ledger withdraw halyard --reason "The boxes were searched; a new review follows."
    """
    from datetime import UTC, datetime

    from rating.season.days import day_from

    season = common.opened(season_folder, today)
    day = day_from(on, where="--on") if on else season.today
    stored = season.withdraw(release, reason=reason, on=day, now=datetime.now(UTC))
    if as_json:
        common.data({"release": release, "withdrawn": True, "published_on": stored.published_on})
    else:
        common.say(f"{stored.title} is withdrawn as of {stored.published_on}; it left the standings.")


@app.command("verify")
def verify(
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Compare every stored review with its hash, and every copied value with its review.

    A hash shows that a review is unaltered, not who wrote it or when.

    Example: boxwright ledger verify
    """
    from rating import text

    season = common.opened(season_folder, today)
    found = season.ledger.verify()
    number = len(season.entries) if not found else 0
    if as_json:
        names = ("code", "severity", "file", "row", "what", "fix")
        common.data({"problems": [{name: getattr(one, name) for name in names} for one in found]})
    elif found:
        common.problems(found)
    else:
        common.say(f"{text.count(number, 'review')} and every copy of their values are unaltered.")
    if found:
        raise typer.Exit(1)
