"""boxwright opened: a box that was opened, card by card, into opened.csv."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing

if TYPE_CHECKING:
    from rating.release.checklist import Card
    from rating.season.noting import Box, Logged, Pull

# cards that are listed to choose from
_LISTED = 9
_NOTES = {
    "hits": "every autograph and relic",
    "numbered": "every autograph, relic and numbered card",
    "all": "every card",
}


def opened(
    release: options.Release,
    packed: Annotated[
        str, typer.Option("--format", metavar="FORMAT", help="Which format. [default: the headline format]")
    ] = "",
    card: Annotated[
        list[str] | None,
        typer.Option(
            "--card",
            metavar="WORDS",
            help="A card in it, as 'INK-1: Gold', without the dialogue. Repeatable.",
        ),
    ] = None,
    nothing: Annotated[
        bool, typer.Option("--nothing", help="None of the noted cards was in it, without the dialogue.")
    ] = False,
    noting: Annotated[
        str,
        typer.Option(
            "--noting",
            metavar="WHAT",
            help="For the first box of a format: hits, numbered (and hits) or all. [default: hits]",
        ),
    ] = "",
    on: Annotated[str, typer.Option("--on", metavar="DATE", help="The day. [default: today]")] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Note a box you opened: name each card by its number or a part of its name, Enter ends.

    Nothing is written before you say so. Every box of a format is noted alike, so that what falls can be held
    against the stated odds.

    Example: boxwright opened halyard

    Example: boxwright opened halyard --card INK-1 --card "quenby: Gold" --on 2031-07-12
    """
    from rating.answers import opened as answers
    from rating.errors import RatingError
    from rating.season import noting as notes
    from rating.season.days import day_from

    if noting:
        refusing.hold_to(notes.NOTED, noting, "way to note a box", where="--noting")
    is_told = bool(card or nothing)
    if not is_told and (as_json or not printing.is_terminal()):
        raise RatingError(
            "a dialogue needs a terminal, and prints no JSON" if as_json else "a dialogue needs a terminal",
            where="boxwright opened",
            fix="name each card with --card, or say --nothing",
        )
    season = opening.opened(season_folder, today)
    day = day_from(on, where="--on") if on else season.today
    box = notes.begin(season, release, packed=packed, day=day, noting=noting)
    if not is_told and box.is_first and not noting:
        noting = _what_is_noted()
        box = notes.begin(season, release, packed=packed, day=day, noting=noting)
    pulls = [notes.pull_named(box, words) for words in card or ()] if is_told else _pulls(box)
    if pulls is None:
        printing.remark("Nothing was written.")
        return
    found = notes.log(season, box, pulls)
    if as_json:
        printing.data(answers.opened(box, found))
        return
    _show(box, found)


def _what_is_noted() -> str:
    """What every box of the format is going to be noted by."""
    printing.paragraph(
        "This is the first box of this format that you note. What do you write down of each box?"
    )
    for number, words in enumerate(_NOTES.values(), start=1):
        printing.say(f"  {number}  {words}")
    while True:
        written = _read("Which (Enter: 1): ") or "1"
        if written in {"1", "2", "3"}:
            return list(_NOTES)[int(written) - 1]
        printing.say("  1, 2 or 3, please")


def _pulls(box: Box) -> list[Pull] | None:
    """The cards that a person names, until nothing is named; None where they are not to be written."""
    from rating import text
    from rating.season import noting as notes

    printing.say(f"{box.title}, one {box.product_format} box opened on {box.day.isoformat()}")
    lines = [line.name for line in box.noted]
    printing.paragraph(f"Noted: {text.some(lines, most=6)}. Enter ends, - takes the last card back.")
    pulls: list[Pull] = []
    while written := _read(f"Card {len(pulls) + 1}: "):
        if written == "-":
            printing.say(
                f"  taken back: {notes.told(*pulls.pop())}" if pulls else "  there is none to take back"
            )
            continue
        chosen = _chosen(box, notes.cards_named(box, written))
        if chosen is not None:
            pulls.append(chosen)
            printing.say(f"  {notes.told(*chosen)}")
    for one in pulls:
        printing.say(f"  {notes.told(*one)}")
    if _read(f"{text.count(len(pulls), 'card')}. Write this box (Enter: yes, n: no)? ") in {"n", "no"}:
        return None
    return pulls


def _chosen(box: Box, cards: list[Card]) -> Pull | None:
    """The card and its version, asked for where several are meant; None where none is chosen."""
    from rating.season import noting as notes

    if not cards:
        printing.say("  no noted card of that number or name")
        return None
    if len(cards) > _LISTED:
        printing.say(f"  {len(cards)} cards could be meant: write more of the name, or the number")
        return None
    card = _one_of([f"{' / '.join(one.subjects)}, {one.subset} {one.number}" for one in cards])
    if card is None:
        return None
    lines = notes.versions(box, cards[card])
    version = _one_of([line.parallel or "the base version" for line in lines])
    return None if version is None else (lines[version], cards[card])


def _one_of(choices: list[str]) -> int | None:
    """The place of what a person picks; the first and only one is not asked about."""
    if len(choices) == 1:
        return 0
    for number, words in enumerate(choices, start=1):
        printing.say(f"    {number}  {words}")
    written = _read("  Which (Enter: none): ")
    return int(written) - 1 if written.isdecimal() and 0 < int(written) <= len(choices) else None


def _read(prompt: str) -> str:
    try:
        return input(prompt).strip()
    except EOFError:  # broken off: nothing may come of half a box
        raise KeyboardInterrupt from None


def _show(box: Box, found: Logged) -> None:
    from rating import text

    number = sum(count for _, _, count in found.pulls)
    held = text.count(number, "noted card") if number else "no noted card"
    printing.say()
    printing.paragraph(
        f"{found.file} now has {text.count(found.boxes, 'box', 'boxes')} of {box.product_format} opened on "
        f"{box.day.isoformat()}; this one held {held}."
    )
