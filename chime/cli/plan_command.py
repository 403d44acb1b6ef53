"""`chime plan FILE`."""

import sys
from datetime import date

import click

from chime.cli.dates import read_date
from chime.cli.progress import telling
from chime.cli.reading import Misused, read_main, reader_for, shortened
from chime.cli.reporting import report, report_options
from chime.clock import write_date
from chime.compiler import close_day, lose_track, plan


def as_track(ctx: click.Context, param: click.Parameter, value: str | None) -> int | None:
    """Return the number of a track, None where it is not given; click's callback of an option."""
    del ctx, param
    if value is None:
        return None
    if not value.isascii() or not value.isdigit() or not int(value):
        raise Misused(f'--track-lost: "{shortened(value)}" is no track: tracks are numbered from 1')
    return int(value)


@click.command(name="plan")
@click.argument("file", type=click.Path())
@click.option(
    "--closed",
    metavar="DATE REASON",
    nargs=2,
    help="What changes if a date is closed: 2026-12-09 'Snow'. Nothing is written.",
)
@click.option(
    "--track-lost",
    "track",
    metavar="TRACK",
    callback=as_track,
    help="What can be done if this track no longer reads.",
)
@report_options
def command(
    file: str,
    closed: tuple[str, str] | None,
    track: int | None,
    report_: str,
    color: str,
    *,
    strict: bool,
) -> None:
    """Weigh what the term of the programme in FILE costs: as the machine stands, and in other ways.

    Counted are tapes to punch, tape changes, moves of a selector and silences by hand, in minutes. With
    --closed say instead what to do if a date is closed, and which duties that changes; with --track-lost
    where the zones of a track can go.
    """
    if closed is not None and track is not None:
        raise Misused("--closed and --track-lost are two questions: ask one at a time")
    if track is not None:
        _lose(file, track, report_, color, strict=strict)
        return
    if closed is not None:
        _close(file, *_read(closed), report_, color, strict=strict)
        return
    from chime.writers.term_options_text import write_options

    with telling(f"weighing the plans of {file}"):
        planned = plan(file, read_main(file), reader_for(file))
    if report(planned.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert planned.verified is not None
    if planned.verified.tapes is None:
        click.echo("no machine is described, so there is nothing to plan")
        return
    if planned.term is None:
        click.echo("no bell rings, so there is nothing to plan")
        return
    click.echo(write_options(planned.verified, planned.term), nl=False)


def _read(closed: tuple[str, str]) -> tuple[date, str]:
    try:
        day = read_date(closed[0])
    except Misused as error:
        raise Misused(f"--closed: {error.message}") from None
    reason = closed[1].strip()
    if not reason or not reason.isprintable() or '"' in reason:
        raise Misused('--closed: the reason is one line of words without "')
    return day, reason


def _close(file: str, day: date, reason: str, report_: str, color: str, *, strict: bool) -> None:
    from chime.writers.closed_day_text import write_closed_day

    with telling(f"closing {write_date(day)} in {file}"):
        found = close_day(file, read_main(file), reader_for(file), day, reason)
    if report(found.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert found.before is not None
    assert found.after is not None
    click.echo(write_closed_day(found.line, day, found.before, found.after), nl=False)


def _lose(file: str, track: int, report_: str, color: str, *, strict: bool) -> None:
    from chime.writers.lost_track_text import WithoutTrack, write_lost_track

    with telling(f"planning {file} without track {track}"):
        found = lose_track(file, read_main(file), reader_for(file), track)
    if report(found.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    assert found.verified is not None
    machine = found.verified.programme.machine
    if machine is None or found.lost is None:
        click.echo("no machine is described, so there is nothing to plan")
        return
    if machine.tracks and track > len(machine.tracks):
        raise Misused(f"--track-lost: machine {machine.name} has {len(machine.tracks)} tracks, not {track}")
    ways = tuple((way.zone, way.track, way.shared_with) for way in found.lost.refuges)
    without = WithoutTrack(found.lost.silent, ways, found.lost.dropped, found.lost.tapes)
    click.echo(write_lost_track(found.verified, track, without), nl=False)
