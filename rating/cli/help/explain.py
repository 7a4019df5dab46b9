"""boxwright explain: what a code of `check`, a word, a topic or a file of a season means."""

from __future__ import annotations

from typing import Annotated

import typer

from rating import text
from rating.cli import words
from rating.cli.shared import options, printing, refusing

_TITLES = {
    "topic": "How it is done",
    "file": "Files of a season",
    "word": "Words",
    "code": "Codes of check and intake",
}
# what stands over an example, by what is explained
_HEADS = {
    "code": "How a fix looks:",
    "word": "For example:",
    "topic": "For example:",
    "csv": "Its columns, a blank cell being not known or not so:",
    "toml": "The template that you are given:",
}


def explain(
    word: Annotated[
        list[str] | None,
        typer.Argument(metavar="[CODE]", help="A code, a word, a topic or a file. [default: lists them all]"),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """What a code of check, a word such as odds, or a file of the season such as sales.csv means.

    Example: boxwright explain duplicate-number

    Example: boxwright explain price line

    Example: boxwright explain sales.csv

    Example: boxwright explain makers files
    """
    known = words.everything()
    name = "-".join(text.key(" ".join(word or ())).split())
    if name and name not in known:
        refusing.refuse(
            refusing.unknown("code, word, topic or file", " ".join(word or ())),
            text.hinted(name, known, "see them all with 'boxwright explain'"),
        )
    if as_json:
        from rating.answers import explain as answers

        printing.data(answers.explained([known[name]] if name else known.values()))
    elif name:
        _show(known[name])
    else:
        _list(known)


def _show(one: words.Explained) -> None:
    printing.say(_shown(one).capitalize() if one.kind in {"word", "topic"} else one.name)
    for part in one.means.split("\n\n"):
        printing.paragraph(part)
        printing.say()
    printing.say(_HEADS[one.kind.removesuffix("file") or one.name.partition(".")[2]])
    if one.name.endswith(".toml"):
        typer.echo(one.example)  # to be copied, line for line
        return
    for line in one.example.split("\n"):
        printing.wrapped(f"  {line}")


def _shown(one: words.Explained) -> str:
    is_name = one.kind in {"code", "file"} or one.name == "in-hand"
    return one.name if is_name else one.name.replace("-", " ")


def _list(known: dict[str, words.Explained]) -> None:
    for kind, title in _TITLES.items():
        printing.heading(title)
        printing.wrapped(", ".join(sorted(_shown(one) for one in known.values() if one.kind == kind)))
