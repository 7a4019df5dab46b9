"""boxwright demo: the sample season, built, recorded, ranked and exported."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import options, printing

DEFAULT = Path("demo-season")
# the release whose grade is proved, for people to look at
PROVED = "halyard"


def demo(
    into: Annotated[
        Path, typer.Option("--into", metavar="DIR", help="The folder that becomes the season.")
    ] = DEFAULT,
    as_json: options.AsJson = False,
) -> None:
    """Build the sample season, record its history, rank it and write the exports.

    Example: boxwright demo --into my-look-around
    """
    from rating import text
    from rating.cli.export import handing
    from rating.cli.shown import standings as shown
    from rating.export.tables import write_tables
    from rating.export.workbook import write_workbook
    from rating.ledger import proof
    from rating.season import handed, proving, sample
    from rating.season.folder import shown_paths

    season = sample.build(into, progress=printing.remark)
    folder = season.path / handed.FOLDER / season.today.isoformat()
    write_workbook(season, folder / "season.xlsx")
    paths = [folder / "season.xlsx"]
    for form in ("csv", "json", "md"):
        paths += write_tables(season, folder, form)
    handing.log(season, paths, to="Bo Larkin, co-host", now=sample.moment(season.today))
    paths.append(folder / f"{PROVED}{proving.SUFFIX}")
    told = proving.prove(season.files, PROVED, paths[-1], today=season.today)
    handing.log(season, paths[-1:], to="", now=sample.moment(season.today), reviews=[proof.identity(told)])
    if as_json:
        printing.data(shown.answer(season, season.rank(), as_of=season.today))
        return
    printing.say()
    since = season.last_show()
    shown.show(season, season.rank(since=since), as_of=season.today, since=since)
    printing.say()
    printing.say(f"{text.count(len(season.recorded.entries), 'review')} recorded over the season; exports:")
    for path in shown_paths(paths, Path.cwd()):
        printing.say(f"  {path}")
    printing.say()
    printing.say("Look around, for example:")
    printing.say(f"  boxwright grade halyard --season {into}")
    printing.say(f"  boxwright standings --since 2031-05-01 --season {into}")
