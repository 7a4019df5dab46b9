"""The program: the commands put together, and the one place where errors become text and a code."""

from __future__ import annotations

import importlib
import os
import sys
import traceback
from collections.abc import Callable

import typer

from rating import ctrl_c, text
from rating.cli import commands
from rating.cli.shared import emphasis, options, pages, screen
from rating.errors import RatingError

FAULT_OF_OURS = 70


def put_together(name: str = "") -> typer.Typer:
    """The program with all commands, or with the one that is called, so that the others are not loaded."""
    found = options.group(
        "Turn a trading-card release into facts, a reasoned grade and a place in its season.",
        epilog="Start with: boxwright demo. Any command takes -h, and --debug to show where a fault arose.",
    )
    found.callback()(_itself)
    groups: dict[str, typer.Typer] = {}
    for words in [name] if name else commands.COMMANDS:
        first, _, second = words.partition(" ")
        if not second:
            found.command(first, cls=pages.Command)(pages.as_command(words, _function(words)))
            continue
        if first not in groups:
            groups[first] = options.group(commands.GROUPS[first])
            found.add_typer(groups[first], name=first)
        groups[first].command(second, cls=pages.Command)(pages.as_command(words, _function(words)))
    return found


def _itself(version: options.Version = False) -> None:
    """Turn a trading-card release into facts, a reasoned grade and a place in its season.

    Example: boxwright demo

    Example: boxwright facts halyard

    Example: boxwright grade halyard --ask

    Example: boxwright standings
    """


def _function(name: str) -> Callable[..., None]:
    module, function = commands.place_of(name)
    found: Callable[..., None] = getattr(importlib.import_module(f"rating.cli.{module}"), function)
    return found


def main(words: list[str]) -> int:
    """Run one command; gives its exit code.

    0 done, 1 the input was refused, 2 wrong call, 70 a fault of ours, 130 interrupted.
    """
    screen.speak_its_alphabet()
    debug = "--debug" in words
    if debug:
        words.remove("--debug")
    try:
        _run(words)
    except SystemExit as end:
        if isinstance(end.__context__, BrokenPipeError):
            return _quiet()
        return _flushed(end.code if isinstance(end.code, int) else 0)
    except RatingError as fault:
        if debug:
            traceback.print_exc()
        _refuse(fault)
        return fault.exit_code
    except KeyboardInterrupt:
        typer.echo("interrupted; nothing half-written was left", err=True)
        return 130
    except BrokenPipeError:
        return _quiet()
    except OSError as fault:  # what the disk refuses is no fault of ours
        if debug:
            traceback.print_exc()
        place = text.printable(str(fault.filename or ""))
        refusal = RatingError(
            f"the disk refuses: {fault.strerror or fault}",
            where=place,
            fix="look at the place and its rights",
        )
        _refuse(refusal)
        return refusal.exit_code
    except Exception as fault:  # noqa: BLE001  (whatever was not foreseen ends in one line and a log)
        if debug:
            traceback.print_exc()
        typer.echo(f"error: a fault of this program: {type(fault).__name__}; {_log()}", err=True)
        return FAULT_OF_OURS
    return 0


def _run(words: list[str]) -> None:
    with ctrl_c.Noted() as noted:
        try:
            put_together(commands.called(words))(args=words, prog_name="boxwright")
            sys.stdout.flush()
        except Exception as fault:
            if noted.pressed:
                raise KeyboardInterrupt from fault
            raise


def _refuse(fault: RatingError) -> None:
    """Print what was refused, each error set off from its place and fix."""
    for line in str(fault).split("\n"):
        lead, mark, rest = line.partition(": ")
        told = f"{emphasis.bold(lead + mark.rstrip(), sys.stderr)} {rest}" if lead == "error" else line
        typer.echo(told, err=True)


def _flushed(code: int) -> int:
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        return _quiet()
    if code == 130:
        typer.echo("interrupted; nothing half-written was left", err=True)
    return code


def _quiet() -> int:
    """Somebody closed the pipe, as `head` does: no message, and none at exit either."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    return 0


def _log() -> str:
    """Write the traceback to a log file of its own, and say where it is."""
    import tempfile

    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="boxwright-", suffix=".log", delete=False, encoding="utf-8"
        ) as file:
            file.write(traceback.format_exc())
    except OSError:
        return "no log could be written; run it again with --debug"
    return f"the log is {file.name}"
