"""`chime rings FILE`."""

import sys
from collections.abc import Iterable
from datetime import date

import click

from chime.cli.dates import as_date
from chime.cli.progress import telling
from chime.cli.reading import Misused, read_main, reader_for
from chime.cli.reporting import report, report_options, write_json
from chime.compiler import check
from chime.diagnostics.suggest import nearest
from chime.programme.model import Programme
from chime.rings.model import Ring


@click.command(name="rings")
@click.argument("file", type=click.Path())
@click.option(
    "--from", "first", metavar="DATE", callback=as_date, help="The first date shown, such as 2026-09-07."
)
@click.option("--until", "last", metavar="DATE", callback=as_date, help="The last date shown, included.")
@click.option("--zone", help="Only this zone (or group).")
@click.option("--json", "form", flag_value="json", help="One JSON object a ring.")
@click.option("--csv", "form", flag_value="csv", help="A table for a spreadsheet.")
@report_options
def command(
    file: str,
    first: date | None,
    last: date | None,
    zone: str | None,
    form: str | None,
    report_: str,
    color: str,
    *,
    strict: bool,
) -> None:
    """List every ring of the programme in FILE by date; dates are those of the calendar."""
    from chime.writers import rings_text

    with telling(f"working out the rings of {file}"):
        checked = check(file, read_main(file), reader_for(file))
    if report(checked.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert checked.programme is not None
    assert checked.calendar is not None
    zones = None if zone is None else _zones(checked.programme, zone)
    rings = _chosen(checked.calendar.rings, first, last, zones)
    place = checked.programme.place
    if form == "json":
        write_json("".join(f"{line}\n" for line in rings_text.as_json(rings, place)))
        return
    lines = rings_text.as_csv(rings, place) if form == "csv" else rings_text.as_lines(rings)
    click.echo("".join(f"{line}\n" for line in lines), nl=False)


def _chosen(
    rings: Iterable[Ring], first: date | None, last: date | None, zones: frozenset[str] | None
) -> list[Ring]:
    return [
        ring
        for ring in rings
        if (first is None or ring.at.date() >= first)
        and (last is None or ring.at.date() <= last)
        and (zones is None or ring.zone in zones)
    ]


def _zones(programme: Programme, name: str) -> frozenset[str]:
    for group in programme.groups:
        if group.name == name:
            return frozenset(group.zones)
    names = [zone.name for zone in programme.zones]
    if name not in names:
        near = nearest(name, names)
        offer = f"; did you mean {' or '.join(near)}?" if near else f"; there are {', '.join(names)}"
        raise Misused(f'there is no zone called "{name}"{offer}')
    return frozenset((name,))
