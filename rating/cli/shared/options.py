"""The options that several commands take, and the set-up of a group of commands."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import pages

SeasonFolder = Annotated[
    Path | None,
    typer.Option(
        "--season", metavar="DIR", help="The season folder. [default: BOXWRIGHT_SEASON, or here and above]"
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON, for scripts.")]
Today = Annotated[
    str | None, typer.Option("--today", metavar="DATE", help="Take this day for today, as 2031-07-15.")
]
Release = Annotated[str, typer.Argument(metavar="RELEASE", help="The release, by its folder's name.")]
Review = Annotated[
    str,
    typer.Argument(metavar="REVIEW", help="The first letters of its id, or a release for its last review."),
]

# how weights and scores are drawn
Around = Annotated[
    str, typer.Option("--around", metavar="WEIGHTS", help="Doubt about weights: rubric, uniform or order.")
]
Spreads = Annotated[
    bool, typer.Option("--spreads/--no-spreads", help="Draw scores within their spreads, or keep them.")
]
Draws = Annotated[int, typer.Option("--draws", help="How often weights and scores are drawn.")]
Seed = Annotated[int, typer.Option("--seed", help="The same seed gives the same answer.")]

# where an export goes
Into = Annotated[
    Path | None,
    typer.Option("--into", metavar="DIR", help="Where to write. [default: exports/<today> in the season]"),
]

To = Annotated[
    str,
    typer.Option("--to", metavar="NAME", help="Who gets it, kept in exports/log.csv."),
]


def _tell_version(value: bool) -> None:
    if value:
        from rating.cli import completing

        typer.echo(completing.version())
        raise typer.Exit


Version = Annotated[
    bool,
    typer.Option("--version", is_eager=True, callback=_tell_version, help="Say which version this is."),
]


def group(words: str, *, epilog: str = "") -> typer.Typer:
    """A group of commands, set up as the program itself is."""
    return typer.Typer(
        help=words,
        epilog=epilog,
        cls=pages.Group,
        no_args_is_help=True,
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
