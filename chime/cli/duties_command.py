"""`chime duties FILE`."""

import sys
from datetime import date
from pathlib import Path

import click

from chime.cli.completing import Folder
from chime.cli.dates import as_date
from chime.cli.progress import telling
from chime.cli.reading import Misused, read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.cli.writing import earlier_plan
from chime.clock import write_date
from chime.compiler import lay_open


@click.command(name="duties")
@click.argument("file", type=click.Path())
@click.option(
    "--on",
    "first",
    metavar="DATE",
    callback=as_date,
    help="The day to show, or with --until the first one, such as 2026-09-07 or Mon 2026-09-07.",
)
@click.option("--until", "last", metavar="DATE", callback=as_date, help="The last date shown, included.")
@click.option(
    "--set",
    "folder",
    metavar="DIR",
    type=Folder(),
    help="The folder of the compiled files: tapes are called as they are there.",
)
@report_options
def command(
    file: str,
    first: date | None,
    last: date | None,
    folder: str | None,
    report_: str,
    color: str,
    *,
    strict: bool,
) -> None:
    """Say what a person must do with the tapes and switches of the programme in FILE, and when."""
    from chime.writers.duties_text import write_duties

    if first is not None and last is not None and first > last:
        raise Misused(f"--on {write_date(first)} lies after --until {write_date(last)}")
    plan = None if folder is None else earlier_plan(Path(folder))
    if folder is not None and plan is None:
        raise Misused(f"there is no plan.json in {folder}: compile into it first")
    with telling(f"working out the duties of {file}"):
        proven = lay_open(file, read_main(file), reader_for(file), plan)
    if report(proven.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert proven.verified is not None
    if proven.verified.tapes is None:
        click.echo("no machine is described, so there is no tape to fit and nothing to switch")
        return
    click.echo(write_duties(proven.verified, first, first if last is None else last), nl=False)
