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
        list[str] | None,
        typer.Option(
            "--section",
            metavar="KEY",
            help="All of one section, with its tables, such as returns. Repeatable.",
        ),
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="All of every section.")] = False,
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
    """What a box costs, holds and returns, and who should buy what: a line or two of each section.

    Example: boxwright facts halyard

    Example: boxwright facts halyard --section returns --section advice

    Example: boxwright facts halyard --of team="Kelderby Rooks" --of kind=autograph --open "3 boxes"
    """
    from rating.facts import sections

    wanted = section or []
    for key in wanted:
        refusing.hold_to(sections.all_keys(), key, "section", where="--section")
    if (amount or likely) and not of:
        refusing.refuse(
            "--open and --chance ask about some cards", "say which with --of, such as --of kind=relic"
        )
    if of and (every or {*wanted} - {"chances"}):
        refusing.refuse("--of asks for chances and nothing else", "leave --section and --all out")
    season = opening.opened(season_folder, today)
    found = season.facts(release)
    asked = [one for one in sections.SECTIONS if not wanted or one.key in wanted]
    if of:
        _answer(found, of, amount, likely or "0.5", as_json=as_json)
    elif as_json:
        from rating.answers import facts as answers

        printing.data(answers.facts(found, asked, caution=_caution(found, asked)))
    elif wanted or every:
        _show(season, found, asked)
    else:
        _lead(season, found, asked)
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


def _title(season: Season, found: Facts) -> None:
    """The release, since when it is out, and whether it is under embargo."""
    from rating.cli.shown import embargo

    out = f", released {found.released_on.isoformat()}" if found.released_on else ""
    printing.paragraph(f"{found.title}{out}")
    embargo.remind(season, found.release)


def _lead(season: Season, found: Facts, asked: Sequence[Section[Any]]) -> None:
    """A line or two of each section, then what is not known and why, on one screen."""
    from rating.facts import cautions
    from rating.facts.plain import Unknown

    _title(season, found)
    printing.say()
    unknown: dict[str, list[str]] = {}
    for one in asked:
        value = found.of(one)
        if isinstance(value, Unknown):
            unknown.setdefault(value.why, []).append(one.key)
        else:
            printing.labelled(one.key, one.led(value, found))
    for why, keys in unknown.items():
        printing.labelled("not known", f"{', '.join(keys)}: {why}.")
    if _caution(found, asked):
        printing.paragraph(cautions.SHORT)
    printing.paragraph(f"Tables: boxwright facts {found.release} --section KEY, or --all.")


def _show(season: Season, found: Facts, asked: Sequence[Section[Any]]) -> None:
    """The tables of sections and all that is told of them."""
    from rating.facts.plain import Unknown

    _title(season, found)
    launch = season.launch_facts(found.release)
    for one in asked:
        value = found.of(one)
        printing.heading(one.key.capitalize())
        printing.paragraph(one.told(found))
        if launch is not None and (told := one.told_since(found, launch)):
            printing.paragraph(told)
        if not isinstance(value, Unknown):
            printing.say()
            show_blocks(one.tables(value, found))
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
    printing.paragraph(tell.answered(answer, found.headline))
    printing.say()
    show_blocks(tables.answered(answer))
