"""Showing diagnostics, and what follows from them for the exit status."""

import os
import sys
from collections.abc import Callable, Sequence
from typing import Any, TextIO

import click

from chime.diagnostics import Diagnostic, as_errors, is_error

Command = Callable[..., Any]


def report_options(function: Command) -> Command:
    """Add the options by which every command shows its diagnostics."""
    for option in (
        click.option(
            "--color",
            type=click.Choice(["auto", "always", "never"]),
            default="auto",
            show_default=True,
            help="Colour in what is said; auto: on a terminal where NO_COLOR is not set.",
        ),
        click.option("--strict", is_flag=True, help="Take warnings for errors."),
        click.option(
            "--report",
            "report_",
            type=click.Choice(["long", "line", "json"]),
            default="long",
            show_default=True,
            help="How faults are shown: as a picture, a line each, or as JSON.",
        ),
    ):
        function = option(function)
    return function


def report(
    diagnostics: Sequence[Diagnostic], form: str, color: str, *, strict: bool, asked_for: bool = False
) -> bool:
    """Show the diagnostics and return whether one of them is an error.

    They go to standard error; JSON goes to standard output where it is what was asked for.
    """
    found = as_errors(diagnostics) if strict else tuple(diagnostics)
    if form == "json":
        from chime.diagnostics import machine

        write_json(machine.render(found), err=not asked_for)
    elif form == "line":
        from chime.diagnostics import one_line

        _write(one_line.render(found))
    elif found:
        from chime.diagnostics import long_form

        plain = not _can_show(sys.stderr, "●○│┊⋮·")
        _write(long_form.render(found, color=_colored(color, sys.stderr), ascii_only=plain))
    return is_error(found)


def write_json(text: str, *, err: bool = False) -> None:
    """Write JSON; letters that the stream cannot show are written as JSON's own escapes."""
    if not _can_show(sys.stderr if err else sys.stdout, text):
        import json

        text = "".join(c if c.isascii() else json.dumps(c)[1:-1] for c in text)
    click.echo(text, nl=False, err=err)


def _write(text: str) -> None:
    if text:
        click.echo(text, nl=not text.endswith("\n"), err=True, color=True)


def _colored(choice: str, stream: TextIO) -> bool:
    if choice != "auto":
        return choice == "always"
    return stream.isatty() and not os.environ.get("NO_COLOR")


def _can_show(stream: TextIO, letters: str) -> bool:
    try:
        letters.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
