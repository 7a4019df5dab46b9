"""Help pages: examples first, then what the command does, its options and how it ends."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from rating import text

EXIT_CODES = (
    "Exit codes: 0 done, 1 the input was refused or a check found an error, 2 wrong call, "
    "70 a fault of the program, 130 interrupted."
)
_EXAMPLE = "Example: "
_INDENT = "  "


def _parted(words: str) -> tuple[str, list[str]]:
    """What a command does, and its examples, parted."""
    paragraphs = [one for one in inspect.cleandoc(words).split("\n\n") if one.strip()]
    told = [one for one in paragraphs if not one.startswith(_EXAMPLE)]
    examples = [" ".join(one.removeprefix(_EXAMPLE).split()) for one in paragraphs if one not in told]
    return "\n\n".join(told), examples


def _folded(example: str, width: int) -> str:
    """A call in as many lines as it needs, so that a shell still takes it for one."""
    import shlex

    lines = [_INDENT]
    for word in shlex.split(example, posix=False):
        if len(lines[-1]) + len(word) + 3 > width and lines[-1].strip():
            lines[-1] += " \\"
            lines.append(_INDENT * 2)
        lines[-1] += word if not lines[-1].strip() else f" {word}"
    return "\n".join(lines)


def _write_page(page: Any, ctx: Any, formatter: Any, words: str, examples: list[str]) -> None:
    if examples:
        formatter.write("Examples:\n" if len(examples) > 1 else "Example:\n")
        for one in examples:
            formatter.write(f"{_folded(one, formatter.width)}\n")
        formatter.write_paragraph()
    page.format_usage(ctx, formatter)
    formatter.write_paragraph()
    with formatter.indentation():
        formatter.write_text(words)
    page.format_options(ctx, formatter)
    page.format_epilog(ctx, formatter)
    formatter.write_paragraph()
    formatter.write_text(EXIT_CODES)


class Command(TyperCommand):
    """A command whose page begins with its examples, and which says what an unknown option was meant for."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the page."""
        _write_page(self, ctx, formatter, *_parted(self.help or ""))

    def get_short_help_str(self, limit: int = 45) -> str:
        """What it does in a list of commands, whole: the list wraps it."""
        _ = limit
        return " ".join(_parted(self.help or "")[0].partition("\n\n")[0].split())

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Parse the options; an unknown one is told with the nearest that there is."""
        return _with_nearest(super().parse_args, ctx, args)


class Group(TyperGroup):
    """A group whose page begins with an example of each of its commands, or with its own."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the page."""
        words, examples = _parted(self.callback.__doc__ or "") if self.callback else (self.help or "", [])
        if not examples:
            commands = [self.get_command(ctx, name) for name in self.list_commands(ctx)]
            parted = [_parted(one.help or "")[1] for one in commands if one is not None]
            examples = [one[0] for one in parted if one]
        _write_page(self, ctx, formatter, words, examples)

    def get_short_help_str(self, limit: int = 45) -> str:
        """What its commands do in a list of commands, whole."""
        _ = limit
        return self.help or ""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Parse the options; an unknown one is told with the nearest that there is."""
        return _with_nearest(super().parse_args, ctx, args)


def _with_nearest(parse: Callable[[Any, list[str]], list[str]], ctx: Any, args: list[str]) -> list[str]:
    try:
        return parse(ctx, args)
    except Exception as fault:
        if near := getattr(fault, "possibilities", None):
            meant = text.did_you_mean(getattr(fault, "option_name", ""), near)
            fault.message = f"{fault.message}. {meant.capitalize()}".rstrip()  # type: ignore[attr-defined]  # a UsageError has one
            fault.possibilities = None  # type: ignore[attr-defined]  # or they would be told again
        raise


def _print_schema(ctx: typer.Context, value: bool) -> None:
    if value and not ctx.resilient_parsing:
        from rating.answers import schemas

        typer.echo(schemas.text_of(ctx.command_path.partition(" ")[2]))
        raise typer.Exit


_Schema = Annotated[
    bool,
    typer.Option(
        "--json-schema",
        is_eager=True,
        callback=_print_schema,
        help="Print the JSON Schema of what --json prints.",
    ),
]


def as_command(name: str, function: Callable[..., None]) -> Callable[..., None]:
    """A command with --json-schema beside its --json, which suggests the next one when it is done."""
    own = inspect.signature(function, eval_str=True)

    @functools.wraps(function)
    def command(*, json_schema: bool = False, **given: Any) -> None:
        _ = json_schema  # is done by its callback
        try:
            function(**given)
        except typer.Exit as end:
            _suggest(name, given, is_refused=bool(end.exit_code))
            raise
        _suggest(name, given, is_refused=False)

    asked = inspect.Parameter(
        "json_schema", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=_Schema
    )
    parameters = [one.replace(kind=inspect.Parameter.KEYWORD_ONLY) for one in own.parameters.values()]
    place = [one.name for one in parameters].index("as_json") + 1
    command.__signature__ = own.replace(parameters=[*parameters[:place], asked, *parameters[place:]])  # type: ignore[attr-defined]  # typer reads it
    command.__annotations__ = {**command.__annotations__, "json_schema": _Schema}
    return command


def _suggest(name: str, given: dict[str, Any], *, is_refused: bool) -> None:
    from rating.cli.shared import next_steps, printing, screen

    step = None if given["as_json"] else next_steps.after(name, given, is_refused=is_refused)
    if step is not None:
        printing.remark(next_steps.line(step, screen.columns()))
