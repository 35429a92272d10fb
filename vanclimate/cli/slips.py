"""Slips of the command line in one line each: what was found, what is allowed, what to type.

Only typer is imported here at the top, see `vanclimate.cli`. What does not belong here: what an
option may hold, which its command says.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from typing import Any

import typer
from typer.core import TyperGroup

from vanclimate.cli.outcome import INTERRUPTED, message, stopped

PROGRAM = "vanclimate"
Parsing: type[Exception] = typer.BadParameter.__mro__[1]
"""What typer raises of a command line that it cannot read."""

EXAMPLES = {
    "--also": "kettle", "--at": "15:00", "--compare": "other-van.yaml", "--days": "3",
    "--for": "summer", "--futures": "1000", "--night": "hottest", "--odds": "'90 %'",
    "--place": "'Moab, Utah'", "--seed": "20", "--set": "'battery.capacity=500 Ah'",
    "--site": "miami", "--source": "power", "--stay": "'12 July to 26 July'",
    "--stop": "'greensboro, 12 January, 3 nights'", "--table": "futures.csv", "--trace": "run.csv",
    "--units": "si", "--van": "'long high'", "--years": "2017-2019", "file": "my-van.yaml",
    "place": "'Moab, Utah'", "sheet": "my-van.yaml", "site": "miami",
}  # fmt: skip
SHEETS = (".yaml", ".yml")


class Commands(TyperGroup):
    """The commands; what cannot be read, and Ctrl-C, end in one line and an exit code."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run the command line and end the program."""
        from vanclimate.errors import OptionError

        typed = list(sys.argv[1:] if args is None else args)
        try:
            code = super().main(args, PROGRAM, complete_var, False, windows_expand_args, **extra)
        except OptionError as error:
            typer.echo(message(error), err=True)
            code = 2
        except Parsing as error:
            typer.echo(_slip(error, self, typed), err=True)
            code = 2
        sys.exit(code if isinstance(code, int) else 0)

    def invoke(self, ctx: Any) -> Any:
        """Run the command that was named."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt as stop:
            typer.echo(stopped(stop), err=True)
            raise typer.Exit(INTERRUPTED) from None

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Find the command that was named, or say which there are."""
        refuse_unknown(self, ctx, args)
        return super().resolve_command(ctx, args)


class SubCommands(TyperGroup):
    """The commands of a command, such as ``weather``."""

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Find the command that was named, or say which there are."""
        refuse_unknown(self, ctx, args)
        return super().resolve_command(ctx, args)


def refuse_unknown(group: TyperGroup, ctx: Any, args: list[str]) -> None:
    """Refuse a command that there is not.

    Raises
    ------
    OptionError
    """
    from vanclimate.errors import OptionError, near

    word = args[0]
    if word in group.commands or ctx.resilient_parsing:
        return
    said = _said(ctx)
    if word.endswith(SHEETS) and "night" in group.commands:
        raise OptionError(said, word, "a command first", f"type: {said} night {_quoted(word)}")
    known, meant = ", ".join(group.commands), near(word, group.commands)
    to_type = meant.split("'")[1] if meant else "--help"
    raise OptionError(said, word, known, _hint(meant, f"{said} {to_type}"))


def _slip(error: Any, group: TyperGroup, typed: Sequence[str]) -> str:
    """Return what is said of a command line that cannot be read."""
    from vanclimate.errors import OptionError

    text, ctx = error.format_message(), error.ctx
    if type(error).__name__ == "NoArgsIsHelpError":
        return str(text)
    if name := getattr(error, "option_name", ""):
        if hasattr(error, "possibilities"):
            return str(_no_option(name, ctx, typed))
        said = f"{_typed(group, typed)} {name}"
        if "does not take" in text:
            return str(OptionError(name, "a value", "no value", f"type: {said}"))
        return _nothing(name, "a value", EXAMPLES.get(name, "…"), said)
    param = getattr(error, "param", None)
    if param is not None and hasattr(error, "param_type"):
        return _nothing(_said(ctx), f"a {param.name}", EXAMPLES.get(param.name, "…"), _said(ctx))
    if param is not None:  # all options of one kind of their own are whole numbers
        option = param.opts[0]
        to_type = f"type: {_said(ctx)} {option} {EXAMPLES.get(option, '1')}"
        return str(OptionError(option, _given(option, typed), "a whole number", to_type))
    if more := re.search(r"extra arguments?(?:\(s\))? \((.*)\)", text, re.DOTALL):
        return str(_too_much(more[1], ctx, typed))
    return " ".join(text.split())


def _said(ctx: Any) -> str:
    """Return the words of the command that was typed: 'vanclimate weather show'."""
    words: list[str] = []
    while ctx.parent is not None:
        words.insert(0, str(ctx.info_name))
        ctx = ctx.parent
    return " ".join((PROGRAM, *words))


def _typed(group: TyperGroup, typed: Sequence[str]) -> str:
    """Return the same of a command line in which typer found no command's context."""
    said, commands = [PROGRAM], group.commands
    for word in typed:
        if word not in commands:
            break
        said.append(word)
        commands = getattr(commands[word], "commands", {})
    return " ".join(said)


def _no_option(name: str, ctx: Any, typed: Sequence[str]) -> Exception:
    from vanclimate.errors import OptionError, near

    said, known = _said(ctx), _options(ctx.command)
    for word, command in getattr(ctx.command, "commands", {}).items():
        if name in _options(command):
            to_type = f"type: {said} {word} {name} {_given(name, typed)}"
            return OptionError(said, name, "a command before its options", to_type.rstrip())
    return OptionError(said, name, ", ".join(known), _hint(near(name, known), f"{said} --help"))


def _options(command: Any) -> list[str]:
    """Return the options that a command has, by their long names."""
    names = [
        name
        for param in command.params
        for name in (*param.opts, *getattr(param, "secondary_opts", ()))
    ]
    return [name for name in names if name.startswith("--")]


def _nothing(where: str, allowed: str, example: str, said: str) -> str:
    """Return what is said where something is missing."""
    return f"{where}: found nothing after it; allowed: {allowed} (type: {said} {example})"


def _too_much(more: str, ctx: Any, typed: Sequence[str]) -> Exception:
    from vanclimate.errors import OptionError, near

    if more.startswith("-"):  # where a place may begin with a minus, an option is taken for one
        return _no_option(more.split()[0], ctx, typed)
    said, options = _said(ctx), _options(ctx.command)
    names = [param.name for param in ctx.command.params if param.param_type_name == "argument"]
    if not names:
        return OptionError(said, more, "options only", f"type: {said}")
    first = str(ctx.params.get(names[0]) or "")
    allowed = f"one {names[0]}"
    if "--compare" in options and more.endswith(SHEETS) and first.endswith(SHEETS):
        to_type = f"{said} {_quoted(first)} --compare {_quoted(more)}"
        return OptionError(said, more, allowed, f"to compare two, type: {to_type}")
    if near(f"--{more.split()[0]}", options):
        return OptionError(said, more, allowed, _hint(near(f"--{more}", options), f"{said} --help"))
    whole = _quoted(f"{first} {more}".strip())
    return OptionError(
        said, more, f"{allowed}, in quotes where it has blanks", f"type: {said} {whole}"
    )


def _given(option: str, typed: Sequence[str]) -> str:
    """Return what stood after an option, or ''."""
    for i, word in enumerate(typed):
        if word == option and i + 1 < len(typed):
            return typed[i + 1]
        if word.startswith(f"{option}="):
            return word.partition("=")[2]
    return ""


def _hint(meant: str, to_type: str) -> str:
    return f"{meant} type: {to_type}" if meant else f"type: {to_type}"


def _quoted(word: str) -> str:
    """Return a word as a shell takes it."""
    import shlex

    return shlex.quote(word)
