"""The commands: the only part of chime that reads files, prints or exits.

Exit status: 0 fine, 1 faults in the programme, 2 misused (a missing file, a wrong option), 3 a bug
in chime. Each command lives in a module of its own, imported when it is called, so that `check`
starts fast.
"""

import os
import sys
from contextlib import suppress
from importlib import import_module

import click

COMMANDS = {
    "begin": "write a first programme and machine to fill in",
    "check": "name every fault of a programme at its place",
    "compile": "make the tape, its chart and the calendar",
    "explain": "say what a fault's code means, with an example",
    "rings": "list every ring by date",
    "term": "show the term week by week",
    "tidy": "put a programme's spacing in order",
    "times": "show each timetable's day as clock times",
    "why": "say why a bell rings, or does not",
}


class _Commands(click.Group):
    """Commands by name, each imported when it is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command by its name; one that is nearly named is offered."""
        if cmd_name not in COMMANDS:
            self._offer(ctx, cmd_name)
            return None
        command = import_module(f"chime.cli.{cmd_name}_command").command
        assert isinstance(command, click.Command)
        return command

    @staticmethod
    def _offer(ctx: click.Context, name: str) -> None:
        from chime.diagnostics.suggest import nearest

        near = nearest(name, COMMANDS)
        if near and not ctx.resilient_parsing:
            ctx.fail(f'there is no command called "{name}"; did you mean {" or ".join(near)}?')

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any of them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


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
        group(prog_name="chime")
    except Exception as error:  # noqa: BLE001
        from chime.cli import bug

        if isinstance(error, OSError) and bug.is_lack_of_room(error):
            bug.tell_of_lack_of_room(error)
            sys.exit(2)
        bug.tell_of_bug(error)
        sys.exit(3)
    finally:
        _let_go_of_standard_error()


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
        elif stream.errors == "strict":
            stream.reconfigure(errors="backslashreplace")
