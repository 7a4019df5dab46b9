"""boxwright ledger prove: one file by which a stranger checks a grade."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def prove(
    release: Annotated[
        str, typer.Argument(metavar="RELEASE", help="The release, by its folder's name.", show_default=False)
    ] = "",
    since: Annotated[
        str,
        typer.Option("--since", metavar="HEAD", help="An older head that you published, to go on from it."),
    ] = "",
    verifier: Annotated[
        bool, typer.Option("--verifier", help="Print the script that checks a proof with Python alone.")
    ] = False,
    into: options.Into = None,
    to: options.To = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Write the proof of a grade: one small file that anybody can check offline, without this program.

    It shows that the review is unaltered and stands in the ledger of its head. Who wrote it, and when, is
    shown only if the head is signed, and was published where others keep it.

    Example: boxwright ledger prove halyard

    Example: boxwright ledger prove --verifier > check_proof.py
    """
    from datetime import UTC, datetime
    from pathlib import Path

    from rating.answers import proofs as answers
    from rating.cli.export import handing
    from rating.cli.shared import refusing
    from rating.ledger import proof
    from rating.season import handed, proving
    from rating.season.folder import shown_paths

    if verifier:
        script = proof.script()
        if as_json:
            printing.data(answers.script(script))
        else:
            typer.echo(script, nl=False)
        return
    if not release:
        refusing.refuse("no release named", "name one, as in 'boxwright ledger prove halyard'")
    season = opening.opened(season_folder, today)
    target = handing.folder(season, into) / f"{release}{proving.SUFFIX}"
    receiver = handed.receiver(to)
    handed.hold_ready(season.path)
    told = proving.prove(season.files, release, target, today=season.today, since=since)
    handing.log(season, [target], to=receiver, now=datetime.now(UTC), reviews=[proof.identity(told)])
    (shown,) = shown_paths([target], Path.cwd())
    if as_json:
        printing.data(answers.proved(shown, told))
        return
    printing.wrote([shown])
    handing.say_head(told["head"], told["reviews"])
    printing.say(
        "Publish the head today, in a video's description: nothing else shows when a grade was given."
    )
    printing.say(
        "Anybody can check the file with 'boxwright ledger check', or with the script that --verifier writes."
    )
