"""boxwright ledger check: what the proof of a grade shows, and what it does not."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Proofs, as 'prove' wrote them.")],
    head: Annotated[
        list[str] | None,
        typer.Option("--head", metavar="HEAD", help="A head that somebody else published; may be repeated."),
    ] = None,
    signers: Annotated[
        Path | None,
        typer.Option("--signers", metavar="FILE", help="Whose keys you trust: allowed signers of OpenSSH."),
    ] = None,
    release: Annotated[
        str, typer.Option("--release", metavar="RELEASE", help="The release it must be of.")
    ] = "",
    countersign: Annotated[
        Path | None,
        typer.Option("--countersign", metavar="KEY", help="Sign it too: your own ledger holds the same."),
    ] = None,
    name: Annotated[str, typer.Option("--as", metavar="NAME", help="Under which name you sign.")] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Check proofs of grades: what was graded, who vouches for it, when it was known, and one history.

    No answer shows that a score is deserved, or that no later review has taken this one's place.

    Example: boxwright ledger check halyard-proof.json

    Example: boxwright ledger check halyard-proof.json --head 5f1d0c... --signers allowed_signers
    """
    from rating.answers import proofs as answers
    from rating.cli.shared import refusing
    from rating.cli.shown import proofs as shown
    from rating.season import proving

    if countersign is not None:
        if not name or len(files) > 1:
            refusing.refuse(
                "a countersignature is of one file, under a name", "name one file, and add --as NAME"
            )
        season = opening.opened(season_folder, today)
        proving.countersign(season.files, files[0], key=countersign, name=name)
    found = proving.checked(files, heads=head or [], signers=signers, release=release)
    if as_json:
        printing.data(answers.checked(found))
        return
    for number, one in enumerate(found):
        if number:
            printing.say()
        shown.show(one)
