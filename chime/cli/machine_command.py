"""`chime machine FILE`."""

import sys

import click

from chime.cli.reading import read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.compiler import read_machine


@click.command(name="machine")
@click.argument("file", type=click.Path())
@report_options
def command(file: str, report_: str, color: str, *, strict: bool) -> None:
    """Show what is known of the tape machine in FILE, what is missing, and which checks hang on it.

    FILE is a programme that has a machine, or the file of a machine alone.
    """
    from chime.writers.machine_text import write_machine

    known = read_machine(file, read_main(file), reader_for(file))
    if report(known.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    if known.sheet is None:
        click.echo(f"no machine is described in {file}")
        return
    click.echo(write_machine(known.sheet), nl=False)
