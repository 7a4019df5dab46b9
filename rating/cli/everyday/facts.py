"""boxwright facts: what follows from a release's files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli.shared import opening, options, printing, refusing
from rating.cli.shown.blocks import show_blocks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rating.facts.facts import Facts
    from rating.facts.section import Section
    from rating.season.season import Season


def facts(
    release: options.Release,
    section: Annotated[
        str,
        typer.Option("--section", help="Only one, such as economics, content, values, returns or advice."),
    ] = "",
    of: Annotated[
        list[str] | None,
        typer.Option(
            "--of",
            metavar="KEY=WORDS",
            help="How often cards fall: team, subject, subset, parallel, kind, rookie=yes, numbered=25. "
            "Repeatable.",
        ),
    ] = None,
    amount: Annotated[
        str, typer.Option("--open", metavar="AMOUNT", help="With --of: in '3 boxes', '10 packs', '1 case'.")
    ] = "",
    likely: Annotated[
        str, typer.Option("--chance", metavar="SHARE", help="With --of: the packs for it. [default: 0.5]")
    ] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What a card, a hit and a box cost, what the checklist holds, and who should buy what, in words too.

    Example: boxwright facts halyard

    Example: boxwright facts halyard --section advice

    Example: boxwright facts halyard --of team="Kelderby Rooks" --of kind=autograph --open "3 boxes"
    """
    from rating.facts import sections

    if section:
        refusing.hold_to(sections.all_keys(), section, "section")
    if (amount or likely) and not of:
        refusing.refuse(
            "--open and --chance ask about some cards", "say which with --of, such as --of kind=relic"
        )
    if of and section not in {"", "chances"}:
        refusing.refuse(f"--of asks for chances, not for {section}", "take --section out")
    season = opening.opened(season_folder, today)
    found = season.facts(release)
    asked = [one for one in sections.SECTIONS if section in {"", one.key}]
    if of:
        _answer(found, of, amount, likely or "0.5", as_json=as_json)
    elif as_json:
        from rating.answers import facts as answers

        printing.data(answers.facts(found, asked, caution=_caution(found, asked)))
    else:
        _show(season, found, asked)
    opening.not_counted(season)


def _caution(found: Facts, asked: Sequence[Section[Any]]) -> str:
    """What goes with prices, blank where none are shown.

    The share of its own boxes stands where returns are worked out anyway: they take as long as all else.
    """
    from rating.facts import advice, cautions, returns

    if not any(one.has_prices(found.of(one)) for one in asked):
        return ""
    has_returns = returns.SECTION in asked or advice.SECTION in asked
    return cautions.short(found) if has_returns else cautions.SHORT


def _show(season: Season, found: Facts, asked: Sequence[Section[Any]]) -> None:
    from rating.facts.plain import Unknown

    printing.say(f"{found.title}")
    if found.released_on:
        printing.say(f"{found.maker}, released {found.released_on.isoformat()}")
    launch = season.launch_facts(found.release)
    for one in asked:
        value = found.of(one)
        printing.heading(one.key.capitalize())
        if not isinstance(value, Unknown):
            show_blocks(one.tables(value, found))
            printing.say()
        printing.paragraph(one.told(found))
        if launch is not None and (told := one.told_since(found, launch)):
            printing.paragraph(told)
    if caution := _caution(found, asked):
        printing.say()
        printing.paragraph(caution)


def _answer(found: Facts, of: Sequence[str], amount: str, likely: str, *, as_json: bool) -> None:
    """Answer how often the cards that some words name fall."""
    from rating.answers import facts as answers
    from rating.facts.chances import questions, tables, tell

    answer = questions.ask(found, of, opening=amount, likely=likely)
    if as_json:
        printing.data(answers.chances(found.release, answer))
        return
    printing.say(f"{found.title}: {answer.of}")
    printing.say()
    show_blocks(tables.answered(answer))
    printing.say()
    printing.paragraph(tell.answered(answer, found.headline))
