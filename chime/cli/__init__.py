"""The commands: the only part of chime that reads files, prints or exits.

Exit status: 0 fine, 1 faults in the programme, 2 misused (a missing file, a wrong option), 3 a bug
in chime; 130 where somebody stopped it, 141 where nobody reads its output any more. Each command
lives in a module of its own, imported when it is called, so that `check` starts fast.
"""

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from typing import Any

import click

COMMANDS = {
    "begin": "write a first programme and machine to fill in",
    "check": "name every fault of a programme at its place",
    "compile": "make the tape, its chart and the calendar",
    "duties": "say what a person must do, and when",
    "explain": "say what a fault's code means, with an example",
    "machine": "show what is known of a tape machine",
    "plan": "weigh what a term costs in tapes, changes and minutes",
    "rings": "list every ring by date",
    "term": "show the term week by week",
    "tidy": "put a programme's spacing in order",
    "times": "show each timetable's day as clock times",
    "why": "say why a bell rings, or does not",
}

INTERRUPTED = 130
READER_LEFT = 141
"""As a shell tells that a signal ended a command, 128 and its number: SIGINT is 2, SIGPIPE is 13 (POSIX)."""


class _Commands(click.Group):
    """Commands by name, each imported when it is wanted."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Show the help, as a misuse, where no command is given."""
        if not args and not ctx.resilient_parsing:
            click.echo(ctx.get_help(), err=True)
            ctx.exit(2)
        return super().parse_args(ctx, args)

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        """Read the options before the command; what is wrong with them is said in our own words."""
        with _saying_misuse(None):
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; what is wrong with its words is said in our own words."""
        with _saying_misuse(ctx):
            return super().invoke(ctx)

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command by its name; where there is none, the nearest is offered."""
        if cmd_name in COMMANDS:
            command = import_module(f"chime.cli.{cmd_name}_command").command
            assert isinstance(command, click.Command)
            return command
        if not ctx.resilient_parsing:
            from chime.cli.misuse import no_such_command

            raise no_such_command(cmd_name, COMMANDS)
        return None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any of them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


class _NobodyReadsError(Exception):
    """Nobody reads any more what is written."""


@contextmanager
def _saying_misuse(ctx: click.Context | None) -> Iterator[None]:
    """Turn what click says of a call that cannot run into the words of chime."""
    try:
        yield
    except click.UsageError as error:
        from chime.cli.misuse import in_words

        raise in_words(error, ctx) from None
    except BrokenPipeError:
        # Left to click it would be exit status 1, which says that the programme has faults.
        raise _NobodyReadsError from None


def _show_version(ctx: click.Context, param: click.Parameter, value: bool) -> None:  # noqa: FBT001
    del param
    if not value:
        return
    from importlib.metadata import PackageNotFoundError, version

    from chime import zone_time

    try:
        click.echo(f"chime {version('chime-programme')}")
    except PackageNotFoundError:
        click.echo("chime, run from its source")
    click.echo(f"zone data {zone_time.release()}, holidays {version('holidays')}")
    ctx.exit()


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version", is_flag=True, expose_value=False, is_eager=True, callback=_show_version,
    help="Show the releases of chime, of the zone data and of the holidays.",
)  # fmt: skip
def group() -> None:
    """Compile a bell programme: rings by date, a punched tape, a calendar and a chart.

    Programme bells are never an alarm signal. Alarms belong to a system of their own.
    """


def main() -> None:
    """Run a command; whatever goes wrong inside chime itself ends in words and exit status 3."""
    _ready_streams()
    try:
        sys.exit(_status())
    except Exception as error:  # noqa: BLE001
        from chime.cli import bug

        if isinstance(error, _NobodyReadsError | BrokenPipeError):
            bug.stop_writing()
            sys.exit(READER_LEFT)
        if isinstance(error, OSError) and bug.is_lack_of_room(error):
            bug.tell_of_lack_of_room(error)
            sys.exit(2)
        bug.tell_of_bug(error)
        sys.exit(3)
    finally:
        _let_go_of_standard_error()


def _status() -> int:
    """Run the command that is asked for and return its exit status, if it does not exit by itself."""
    try:
        status = group.main(prog_name="chime", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except click.Abort:
        return INTERRUPTED
    return status if isinstance(status, int) else 0


def _let_go_of_standard_error() -> None:
    """Leave nothing unwritten in standard error: a last try on the way out would change the exit status."""
    try:
        sys.stderr.flush()
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())


def _ready_streams() -> None:
    """Make sure that what is said can be written, whatever the letters and wherever it goes."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by whoever called
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
            continue
        if isinstance(getattr(stream, "buffer", None), io.RawIOBase):
            # A raw stream may write the beginning of a text, and not say that the end is lost.
            stream = open(stream.fileno(), "w", encoding=stream.encoding, errors=stream.errors, closefd=False)  # noqa: SIM115
            setattr(sys, name, stream)
        if stream.errors == "strict":
            stream.reconfigure(errors="backslashreplace")
