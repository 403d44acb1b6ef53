"""`chime rings FILE`."""

import sys
from collections.abc import Iterable
from datetime import date

import click

from chime.cli.completing import zones as zones_to_complete
from chime.cli.dates import as_date
from chime.cli.progress import telling
from chime.cli.reading import Misused, read_main, reader_for
from chime.cli.reporting import report, report_options, write_json
from chime.cli.zones import zones_named
from chime.clock import write_date
from chime.compiler import check
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import Ring


class Choice(NamedTuple):
    """From which date to which, both included, and in which zone or group; None is no limit."""

    first: date | None
    last: date | None
    zone: str | None


@click.command(name="rings")
@click.argument("file", type=click.Path())
@click.option(
    "--from",
    "first",
    metavar="DATE",
    callback=as_date,
    help="The first date shown, such as 2026-09-07 or Mon 2026-09-07.",
)
@click.option("--until", "last", metavar="DATE", callback=as_date, help="The last date shown, included.")
@click.option(
    "--zone",
    metavar="ZONE",
    shell_complete=zones_to_complete,
    help="Only this zone, or the zones of this group.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object a ring.")
@click.option("--csv", "as_csv", is_flag=True, help="A table for a spreadsheet.")
@report_options
def command(
    file: str,
    first: date | None,
    last: date | None,
    zone: str | None,
    report_: str,
    color: str,
    *,
    as_json: bool,
    as_csv: bool,
    strict: bool,
) -> None:
    """List every ring of the programme in FILE by date; dates are those of the calendar."""
    choice = Choice(first, last, zone)
    if first is not None and last is not None and first > last:
        raise Misused(f"--from {write_date(first)} lies after --until {write_date(last)}")
    if as_json and as_csv:
        raise Misused("--json and --csv are two forms of one list; ask for one of them")
    with telling(f"working out the rings of {file}"):
        checked = check(file, read_main(file), reader_for(file))
    if report(checked.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert checked.programme is not None
    assert checked.calendar is not None
    rings = _chosen(checked.programme, checked.calendar.rings, choice)
    if not rings:
        click.echo(_nothing(file, checked.programme, choice), err=True)
    _write(rings, checked.programme.place, "json" if as_json else "csv" if as_csv else "lines")


def _chosen(programme: Programme, rings: Iterable[Ring], choice: Choice) -> list[Ring]:
    first, last, zone = choice
    zones = None if zone is None else zones_named(programme, zone)
    return [
        ring
        for ring in rings
        if (first is None or ring.at.date() >= first)
        and (last is None or ring.at.date() <= last)
        and (zones is None or ring.zone in zones)
    ]


def _write(rings: list[Ring], place: str, form: str) -> None:
    from chime.writers import rings_text

    if form == "json":
        write_json("".join(f"{line}\n" for line in rings_text.as_json(rings, place)))
        return
    lines = rings_text.as_csv(rings, place) if form == "csv" else rings_text.as_lines(rings)
    click.echo("".join(f"{line}\n" for line in lines), nl=False)


def _nothing(file: str, programme: Programme, choice: Choice) -> str:
    """Say that nothing rings on the dates asked for, and where they lie outside the terms."""
    where = "" if choice.zone in (None, "everywhere") else f" in {choice.zone}"
    return f"nothing rings{where}{_when(choice)}{_because(file, programme, choice)}"


def _when(choice: Choice) -> str:
    first, last = choice.first, choice.last
    if first is None or last is None:
        since = f" from {write_date(first)} on" if first is not None else ""
        return since or (f" until {write_date(last)}" if last is not None else " on any date")
    if first == last:
        return f" on {write_date(first)}"
    return f" between {write_date(first)} and {write_date(last)}"


def _because(file: str, programme: Programme, choice: Choice) -> str:
    ends = sorted(term.last for term in programme.terms)
    begins = sorted(term.first for term in programme.terms)
    first, last = choice.first or begins[0], choice.last or ends[-1]
    before = [end for end in ends if end < first]
    after = [begin for begin in begins if begin > last]
    if len(before) + len(after) < len(programme.terms):
        return f"; chime why {file} {first} tells why" if first == last else ""
    said = []
    if before:
        said.append(f"{'a' if after else 'the last'} term ended {write_date(before[-1])}")
    if after:
        said.append(f"{'the next' if before else 'the first term'} begins {write_date(after[0])}")
    return f": {', '.join(said)}"
