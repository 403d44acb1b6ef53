"""`chime why FILE DATE [TIME] [ZONE]`."""

import re
import sys
from datetime import date

import click

from chime.cli.completing import zone_after_time
from chime.cli.dates import read_date
from chime.cli.reading import Misused, read_main, reader_for, shortened
from chime.cli.reporting import report, report_options
from chime.cli.zones import zones_named
from chime.clock import read_time
from chime.compiler import check
from chime.records import NamedTuple

_TIME = re.compile(r"\d\d?:\d\d(:\d\d)?", re.ASCII)


class Question(NamedTuple):
    """A date, a time of it in seconds, and a zone or group; the last two may be left out."""

    day: date
    seconds: int | None
    zone: str | None


@click.command(name="why")
@click.argument("file", type=click.Path())
@click.argument(
    "question", nargs=-1, required=True, metavar="DATE [TIME] [ZONE]", shell_complete=zone_after_time
)
@report_options
def command(file: str, question: tuple[str, ...], report_: str, color: str, *, strict: bool) -> None:
    """Say why a bell of the programme in FILE rings, or does not.

    DATE is written 2026-12-01, or with its weekday: Tue 2026-12-01. TIME is written 09:45; 25:30 is
    01:30 next morning. Without TIME the whole date is told, without ZONE every zone.
    """
    asked = _read(question)
    checked = check(file, read_main(file), reader_for(file))
    if report(checked.diagnostics, report_, color, strict=strict):
        sys.exit(1)
    from chime.rings.explain import explain_day, explain_time
    from chime.writers.why_day_text import write_day_story
    from chime.writers.why_text import write_time_asked

    programme, calendar = checked.programme, checked.calendar
    assert programme is not None
    assert calendar is not None
    zones = zones_named(programme, "everywhere" if asked.zone is None else asked.zone)
    if asked.seconds is None:
        text = write_day_story(programme, explain_day(programme, calendar, asked.day))
    else:
        told = explain_time(programme, calendar, asked.day, asked.seconds, zones)
        text = write_time_asked(programme, told)
    click.echo(text, nl=False)


def _read(words: tuple[str, ...]) -> Question:
    """Return what is asked; the weekday may stand in one word with the date or before it."""
    left = [part for word in words for part in word.split()]
    date_words = 2 if left and left[0].isalpha() else 1
    day = read_date(" ".join(left[:date_words]))
    if not 1970 <= day.year <= 9000:
        raise Misused(f"{day} lies outside every term that can be written")
    del left[:date_words]
    seconds = _time(left.pop(0)) if left and left[0][0].isdigit() else None
    zone = left.pop(0) if left else None
    if left:
        raise Misused(f'"{shortened(left[0])}" is one word too many: a date, a time and a zone are asked for')
    if zone is not None and seconds is None:
        raise Misused(f'"{shortened(zone)}" is no time: a zone is asked for after a time, as in 09:45 main')
    return Question(day, seconds, zone)


def _time(word: str) -> int:
    seconds = read_time(word) if _TIME.fullmatch(word) else None
    if seconds is None:
        raise Misused(f'"{shortened(word)}" is no time: it is written 09:45, up to 47:59')
    return seconds
