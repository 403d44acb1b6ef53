"""`chime times FILE [TIMETABLE]`."""

import sys

import click

from chime.cli.completing import timetables
from chime.cli.misuse import offered
from chime.cli.reading import Misused, read_main, reader_for, shortened
from chime.cli.reporting import report, report_options
from chime.compiler import times
from chime.diagnostics.suggest import nearest
from chime.programme.doubts import Doubt
from chime.programme.model import Programme
from chime.programme.names import as_name
from chime.rings.day_model import PlainDay


@click.command(name="times")
@click.argument("file", type=click.Path())
@click.argument("timetable", required=False, shell_complete=timetables)
@report_options
def command(file: str, timetable: str | None, report_: str, color: str, *, strict: bool) -> None:
    """Show each timetable of FILE, or only TIMETABLE, as a day of clock times.

    No date is needed: a day is shown also while the terms and exceptions still have faults.
    """
    from chime.writers import times_text, times_weeks

    drafted = times(file, read_main(file), reader_for(file))
    shown = drafted.days if timetable is None else _named(drafted.days, as_name(timetable))
    failed = report(drafted.diagnostics, report_, color, strict=strict)
    programme = drafted.programme
    doubts: dict[str, list[str]] = {}
    for doubt in drafted.doubts:
        doubts.setdefault(doubt.timetable, []).append(_in_words(doubt, programme))
    text = times_text.write_days(programme, shown, doubts, drafted.diagnostics)
    if timetable is None:
        text += times_weeks.write_weeks(programme, drafted.days)
    click.echo(text, nl=False)
    if failed:
        sys.exit(1)


def _named(days: tuple[PlainDay, ...], name: str) -> tuple[PlainDay, ...]:
    found = tuple(day for day in days if day.name == name)
    if found:
        return found
    names = sorted(day.name for day in days)
    offer = offered(
        nearest(name, names), f"there are {', '.join(names)}" if names else "there is none at all"
    )
    raise Misused(f'there is no timetable called "{shortened(name)}"; {offer}')


def _in_words(doubt: Doubt, programme: Programme) -> str:
    from chime.writers.columns import line_of

    place = line_of(doubt.span, programme.span)
    if doubt.base is not None:
        return f"it starts from {doubt.base}, which may be incomplete"
    if doubt.missing is not None:
        return f"{place} names {doubt.missing}, and not everything that this programme uses could be read"
    return f"{place} has an error"
