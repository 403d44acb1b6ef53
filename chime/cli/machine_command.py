"""`chime machine FILE`."""

import sys

import click

from chime.cli.reading import Misused, read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.compiler import read_machine
from chime.programme.equipment import Machine


@click.command(name="machine")
@click.argument("file", type=click.Path())
@click.option("--form", is_flag=True, help="A table of test holes to punch, read and fill in, as CSV.")
@click.option(
    "--readings",
    metavar="CSV",
    type=click.Path(),
    help="A filled-in table: fits the reading allowance and the side play.",
)
@report_options
def command(file: str, readings: str | None, report_: str, color: str, *, form: bool, strict: bool) -> None:
    """Show what is known of the tape machine in FILE, what is missing, and which checks hang on it.

    FILE is a programme that has a machine, or the file of a machine alone. Where a check fails whatever is
    punched, the exit status is 1.
    """
    from chime.writers.machine_text import write_machine

    if form and readings is not None:
        raise Misused("--form gives an empty table, and --readings takes a filled one; ask for one of them")
    known = read_machine(file, read_main(file), reader_for(file))
    if report(known.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    if known.machine is None or known.sheet is None:
        click.echo(f"no machine is described in {file}")
        return
    if form:
        from chime.cli.calibrating import write_form

        click.echo(write_form(known.machine), nl=False)
    elif readings is not None:
        click.echo(_fit(readings, known.machine), nl=False)
    else:
        click.echo(write_machine(known.sheet), nl=False)
        if any(verdict.verdict == "fails" for verdict in known.sheet.verdicts):
            sys.exit(1)


def _fit(path: str, machine: Machine) -> str:
    from chime.cli.calibrating import read_form
    from chime.cli.fitting import fit_readings, write_fit

    try:
        text = read_main(path).decode("utf-8")
    except UnicodeDecodeError:
        raise Misused(f"cannot read {path}: it is not UTF-8 text") from None
    read = read_form(text, machine)
    fitted = "; ".join(read.wrong) or fit_readings(read.readings, machine)
    if not isinstance(fitted, str):
        return write_fit(fitted)
    for words in read.wrong or (fitted,):
        click.echo(f"{path}: {words}", err=True)
    click.echo("nothing was fitted", err=True)
    sys.exit(1)
