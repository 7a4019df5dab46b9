"""boxwright explain: what a code of `check`, or a word of the program, means."""

from __future__ import annotations

from typing import Annotated

import typer

from rating import text
from rating.cli import words
from rating.cli.shared import options, printing, refusing


def explain(
    word: Annotated[
        list[str] | None,
        typer.Argument(metavar="[CODE]", help="A code of check, or a word. [default: lists them all]"),
    ] = None,
    as_json: options.AsJson = False,
) -> None:
    """What a code of check, or a word such as grade or odds, means, in a few plain sentences.

    Example: boxwright explain duplicate-number

    Example: boxwright explain price line
    """
    known = words.everything()
    name = "-".join(text.key(" ".join(word or ())).split())
    if name and name not in known:
        refusing.refuse(refusing.unknown("code or word", " ".join(word or ())), _instead(name, known))
    if as_json:
        from rating.answers import explain as answers

        printing.data(answers.explained([known[name]] if name else known.values()))
    elif name:
        _show(known[name])
    else:
        _list(known)


def _instead(name: str, known: dict[str, words.Explained]) -> str:
    meant = text.did_you_mean(name, known)
    return f"{meant} 'boxwright explain' lists them all" if meant else "'boxwright explain' lists them all"


def _show(one: words.Explained) -> None:
    printing.say(_shown(one).capitalize() if one.kind == "word" else one.name)
    printing.paragraph(one.means)
    printing.say()
    printing.say("How a fix looks:" if one.kind == "code" else "For example:")
    for line in one.example.split("\n"):
        printing.wrapped(f"  {line}")


def _shown(one: words.Explained) -> str:
    return one.name if one.kind == "code" or one.name == "in-hand" else one.name.replace("-", " ")


def _list(known: dict[str, words.Explained]) -> None:
    for kind, title in (("code", "Codes of check and intake"), ("word", "Words")):
        printing.heading(title)
        printing.wrapped(", ".join(sorted(_shown(one) for one in known.values() if one.kind == kind)))
