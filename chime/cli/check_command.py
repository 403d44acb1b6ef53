"""`chime check FILE`."""

import sys

import click

from chime.cli.progress import telling
from chime.cli.reading import read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.clock import write_date
from chime.compiler import Checked, check
from chime.diagnostics import count


@click.command(name="check")
@click.argument("file", type=click.Path())
@report_options
def command(file: str, report_: str, color: str, *, strict: bool) -> None:
    """Name every fault of the programme in FILE at its place."""
    with telling(f"checking {file}"):
        checked = check(file, read_main(file), reader_for(file))
    failed = report(checked.diagnostics, report_, color, strict=strict, asked_for=True)
    if report_ == "long":
        click.echo(_summary(checked))
    if failed:
        sys.exit(1)


def _summary(checked: Checked) -> str:
    errors, warnings = count(checked.diagnostics)
    said = f"{_number(errors, 'error')}, {_number(warnings, 'warning')}"
    calendar = checked.calendar
    if calendar is None:
        return said
    lines = [f"{said}; {len(calendar.rings):,} rings on {len({r.at.date() for r in calendar.rings})} dates"]
    for passed in sorted(calendar.passed_by, key=lambda p: (p.span.source.path, p.span.start)):
        days = ", ".join(f"{write_date(d)}" for d in passed.days[:3])
        more = f" and {len(passed.days) - 3} more" if len(passed.days) > 3 else ""
        place = f"{passed.span.source.path}:{passed.span.line}"
        lines.append(f"{place} passes by {days}{more}: silent or closed anyway")
    return "\n".join(lines)


def _number(count_: int, what: str) -> str:
    return f"{count_} {what}" + ("" if count_ == 1 else "s")
