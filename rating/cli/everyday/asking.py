"""Asking a person for scores at the terminal, one question a screen; answers go into scores.toml."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

import typer

from rating import money
from rating.cli.shared import printing, refusing

if TYPE_CHECKING:
    from rating.criterion import Criterion
    from rating.facts.facts import Facts
    from rating.raters import Judgement
    from rating.season.season import Season

# clears a terminal's screen and goes to its first line (ECMA-48: ED 2, CUP)
_CLEAR = "\x1b[2J\x1b[H"


def ask(season: Season, release: str, *, rater: str, stage: str) -> None:
    """Go through what cannot be computed, by design or not yet, and write each answer at once.

    A blank answer leaves a criterion as it is; `-` says that it does not apply; `q` ends the round.
    """
    from rating.errors import RatingError
    from rating.season import folder
    from rating.season.scoring import scores

    keys = season.config.rater_keys
    who = rater or keys[0]
    refusing.hold_to(keys, who, "rater", where="--rater")
    if not printing.is_terminal():
        raise RatingError(
            "--ask needs a terminal",
            where="standard input",
            fix=f"write the scores into {folder.RELEASES}/{release}/scores.toml instead",
        )
    path = folder.release_folder(season.path, release) / "scores.toml"
    facts = season.facts(release)
    given = {(one.rater, one.criterion): one for one in season.files.judgements(release)}
    without = season.grade(release, stage=stage, judgements=()).graded
    open_keys = {one.criterion for one in without.unknown}
    asked = [
        module
        for one in season.rubric.criteria
        if one.key in open_keys and (module := season.files.modules.get(one.key)) is not None
    ]
    said, whom = "", season.config.rater_name(who)
    if not asked:
        typer.echo("Nothing is left to ask: everything is computed.")
    for number, module in enumerate(asked, start=1):
        head = f"{module.criterion.key}, {number} of {len(asked)} questions for {whom}"
        _screen(said, f"{facts.title}: {head}")
        _question(module.criterion, facts, stage)
        before = given.get((who, module.criterion.key))
        answer = _one(module.criterion, before, who)
        if answer == "end":
            break
        said = ""
        if answer is not None and not isinstance(answer, str):
            scores.write(path, answer)
            said = f"{module.criterion.key}: written."
    _screen(said, "")


def _screen(said: str, head: str) -> None:
    """Begin a screen with what was done on the one before, and what this one is about."""
    if sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb":
        typer.echo(_CLEAR, nl=False)
    for line in filter(None, (said, head)):
        printing.say(line)
    printing.say()


def _question(one: Criterion, facts: Facts, stage: str) -> None:
    """What is asked, what scores look like, and what the files say that bears on it."""
    from rating.criterion import GUIDE
    from rating.facts import sections

    currency = facts.season.currency
    printing.paragraph(money.in_currency(one.question, currency))
    for score, words in zip(GUIDE, one.guidance, strict=True):
        printing.say(f"  {score:>3}  {money.in_currency(words, currency)}")
    if one.provisional_until and stage not in {"in-hand", "settled"}:
        printing.say(f"  (a first impression until the release is {one.provisional_until})")
    told = [section for section in sections.SECTIONS if section.key in one.needs]
    if told:
        printing.say()
    for section in told:
        printing.paragraph(f"{section.key}: {section.told(facts)}")
    printing.say()


def _one(one: Criterion, before: Judgement | None, who: str) -> Judgement | str | None:
    """What somebody answers: a judgement, None where it stays as it is, 'end' where the round ends."""
    from rating.raters import Judgement

    if before is not None:
        shown = before.score if before.score is not None else "does not apply"
        printing.paragraph(f"Now: {shown}. {before.reason}", indent="  ")
    printing.paragraph(
        "50 is typical. Enter keeps what is there, - says it does not apply, q ends.", indent="  "
    )
    while True:
        written = _read("  score 0 to 100: ")
        if written == "":
            return None
        if written == "q":
            return "end"
        if written == "-":
            reason = _reason("  why does it not apply? ", "")
            if reason is None:
                return "end"
            return Judgement(rater=who, criterion=one.key, score=None, reason=reason)
        if written.isascii() and written.isdigit() and int(written) <= 100:
            break
        typer.echo("  a whole number from 0 to 100, please")
    reason = _reason("  reason: ", before.reason if before and before.score is not None else "")
    if reason is None:
        return "end"
    return Judgement(
        rater=who,
        criterion=one.key,
        score=int(written),
        reason=reason,
        spread=before.spread if before else None,
    )


def _reason(prompt: str, before: str) -> str | None:
    """A reason that can be kept, None where the round ends: half an answer is not written."""
    from rating import text
    from rating.criterion import REASON_LIMIT

    while True:
        written = text.tidy(_read(prompt))
        if written == "q":
            return None
        if not written and before:
            return before
        if mark := text.bad_marks(written):
            typer.echo(f"  it holds the invisible mark {mark}; type it again")
        elif len(written) > REASON_LIMIT:
            typer.echo(f"  that is {len(written)} characters; at most {REASON_LIMIT}")
        elif written:
            return written
        else:
            typer.echo("  no score stands without a reason: one sentence you could read aloud")


def _read(prompt: str) -> str:
    try:
        return input(prompt).strip()
    except EOFError:
        typer.echo("")
        return "q"
