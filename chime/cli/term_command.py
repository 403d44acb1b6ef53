"""`chime term FILE`."""

import sys

import click

from chime.cli.reading import read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.compiler import check


@click.command(name="term")
@click.argument("file", type=click.Path())
@report_options
def command(file: str, report_: str, color: str, *, strict: bool) -> None:
    """Show the terms of the programme in FILE week by week.

    Below the weeks stand the dates of each timetable, the dates with no bells, and bells inside a
    closure, which are usually a slip.
    """
    from chime.rings.inside_closures import bells_inside_closures
    from chime.writers.term_text import write_term

    checked = check(file, read_main(file), reader_for(file))
    if report(checked.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert checked.programme is not None
    assert checked.calendar is not None
    inside = bells_inside_closures(checked.programme, checked.calendar)
    click.echo(write_term(checked.programme, checked.calendar, inside), nl=False)
