"""`chime check FILE`."""

import sys

import click

from chime.cli.progress import telling
from chime.cli.reading import read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.clock import write_date
from chime.compiler import Checked, check, check_with_machine
from chime.diagnostics import count


@click.command(name="check")
@click.argument("file", type=click.Path())
@click.option("--tape", is_flag=True, help="Also lay out the tapes and rehearse their use, as compile does.")
@report_options
def command(file: str, report_: str, color: str, *, tape: bool, strict: bool) -> None:
    """Name every fault of the programme in FILE at its place."""
    examine = check_with_machine if tape else check
    with telling(f"checking {file}"):
        checked = examine(file, read_main(file), reader_for(file))
    failed = report(checked.diagnostics, report_, color, strict=strict, asked_for=True)
    if report_ == "long":
        click.echo(_summary(checked, tape=tape))
    if failed:
        sys.exit(1)


def _summary(checked: Checked, *, tape: bool) -> str:
    errors, warnings = count(checked.diagnostics)
    said = f"{_number(errors, 'error')}, {_number(warnings, 'warning')}"
    calendar = checked.calendar
    if calendar is None:
        return f"{said}\n{_what_was_checked(checked, tape=tape)}"
    dates = len({ring.at.date() for ring in calendar.rings})
    lines = [f"{said}; {_number(len(calendar.rings), 'ring')} on {_number(dates, 'date')}"]
    for passed in sorted(calendar.passed_by, key=lambda p: (p.span.source.path, p.span.start)):
        days = ", ".join(f"{write_date(d)}" for d in passed.days[:3])
        more = f" and {len(passed.days) - 3} more" if len(passed.days) > 3 else ""
        place = f"{passed.span.source.path}:{passed.span.line}"
        lines.append(f"{place} passes by {days}{more}: silent or closed anyway")
    return "\n".join((*lines, _what_was_checked(checked, tape=tape)))


def _what_was_checked(checked: Checked, *, tape: bool) -> str:
    """Say how far the check went: nobody shall punch a tape because a check found nothing."""
    if checked.programme is None:
        return (
            "checked: lines, names, values and the rings that are certain; not yet: the others, and the tape"
        )
    if checked.calendar is None:
        return "checked: lines, names, values and rings; not yet: the tape"
    if checked.programme.machine is None:
        return "checked: lines, names, values and rings; without a machine there is no tape to check"
    if not tape:
        return "checked: lines, names, values and rings; not checked: the tape (check --tape does that)"
    return "checked: lines, names, values, rings, the plan of the tape, and whether it will read true"


def _number(count_: int, what: str) -> str:
    return f"{count_:,} {what}" + ("" if count_ == 1 else "s")
