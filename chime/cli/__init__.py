"""The commands: the only part of chime that reads files, prints or exits.

Exit status: 0 fine, 1 faults in the programme, 2 misused (a missing file, a wrong option), 3 a bug
in chime. Each command lives in a module of its own, imported when it is called, so that `check`
starts fast.
"""

import sys
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
        """Return a command by its name."""
        del ctx
        if cmd_name not in COMMANDS:
            return None
        command = import_module(f"chime.cli.{cmd_name}_command").command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any of them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def _show_version(ctx: click.Context, param: click.Parameter, value: bool) -> None:  # noqa: FBT001
    del param
    if not value:
        return
    from importlib.metadata import version

    from chime import zone_time

    click.echo(f"chime {version('chime-programme')}")
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
    try:
        group(prog_name="chime")
    except Exception as error:  # noqa: BLE001
        from chime.cli.bug import tell_of_bug

        tell_of_bug(error)
        sys.exit(3)
