"""The text of a first programme, every line explained, for given dates."""

from collections.abc import Iterable
from datetime import date, timedelta

from chime.begin.pasted_times import Pasted
from chime.clock import write_date, write_time
from chime.diagnostics import Source
from chime.parsing.surroundings import HOLIDAY_CODES
from chime.parsing.tidy import tidy
from chime.records import NamedTuple

SHORTEST_TERM = 28
"""Days from the first date to the last: shorter, and the exceptions of the example would not fit in."""

LONGEST_TERM = 730

_ISSUED_BEFORE = timedelta(days=14)
_LINE = 100


class Plan(NamedTuple):
    """What a first programme is made for; `last` is 28 to 730 days after `first`."""

    name: str
    place: str
    first: date
    last: date


class _Dates(NamedTuple):
    """The dates of the exceptions, none of them twice and all of them Monday to Friday."""

    training: date
    examination: tuple[date, date]
    closure: tuple[date, date]
    last_day: date


_CAUTION = """\
#
# CAUTION. Programme bells are never an alarm signal. Fire, evacuation and lockdown need a system
# of their own, under local codes and in licensed hands. Do not name a bell after an emergency,
# and do not drill with these bells: a clock can stop, and a tape can tear.
"""

_HEAD = """\

# ---------------------------------------------------------------------------------- whose bells
# The name of the school or works, as it shall stand on every sheet.
programme "{name}"
  # Whose clocks the times are: a time zone of the IANA list. Clock changes follow from it.
  place  {place}
  # The issue and its date stand on the tape, the chart and the calendar. Count on with every
  # change that is put into use, so that nobody works from an old sheet.
  issue  1 on {issued}

# The tape machine is described in a file of its own, which the technician looks after.
use "machine.chime"
"""

_SIGNALS = """\

# -------------------------------------------------------------------------------------- signals
# How long a bell sounds and what is tolerated either side. A machine whose gate cannot be
# adjusted gives every ring the same length: listen, and write what yours gives.
"""

_WEEK = """\

# ----------------------------------------------------------------------------- week, term, dates
# Which timetable runs on which weekday. Every weekday must be answered; silent is no bell at all.
week ordinary
  Mon to Fri  normal
  Sat, Sun    silent

# The term, first and last day included. Outside every term no bell rings.
term "First term"  {first} to {last}
  # Every week of it is this one. Two weeks in turn would be: weeks a, b from {first} counting
  # school weeks, with a block "week a" and a block "week b" above.
  week ordinary
"""

_ANY_CODE = "GB-ENG"

_PUBLIC_HOLIDAYS = """\
  # Public holidays can be had from a list, by the code of your country or region. Look whether
  # your school is really closed on each of them. Take the # away to use the line:
  # public holidays of {code}  silent
"""


def first_programme(plan: Plan) -> str:
    """Return the text of a programme file, in tidy spacing, with invented zones, times and exceptions."""
    return _in_order(
        (
            _opening("The zones, times and dates in it are invented"),
            _HEAD.format(name=plan.name, place=plan.place, issued=(plan.first - _ISSUED_BEFORE).isoformat()),
            _INVENTED_ZONES,
            _SIGNALS,
            _SIGNAL_LINE,
            _INVENTED_TIMETABLES,
            _WEEK.format(first=plan.first.isoformat(), last=plan.last.isoformat()),
            _exceptions(_dates_of(plan)),
            _public_holidays(plan.place),
        )
    )


def programme_of_times(plan: Plan, pasted: Pasted) -> str:
    """Return the text of a programme file, in tidy spacing, with one timetable of pasted times."""
    return _in_order(
        (
            _opening("The times in it are those that were pasted; its dates are invented"),
            _HEAD.format(name=plan.name, place=plan.place, issued=(plan.first - _ISSUED_BEFORE).isoformat()),
            _pasted_zones(pasted),
            _SIGNALS,
            *(f"signal {name}  7 s within 2 s{_label(label)}\n" for name, label in pasted.signals),
            _pasted_timetable(pasted),
            _WEEK.format(first=plan.first.isoformat(), last=plan.last.isoformat()),
            _closures(_dates_of(plan)),
            _public_holidays(plan.place),
        )
    )


def _in_order(parts: Iterable[str]) -> str:
    return tidy(Source("programme.chime", "".join(parts)))


def _opening(what: str) -> str:
    return (
        f"# A first programme. {what}: change\n"
        "# them into your own, one line at a time, and after each change run\n"
        "#     chime check programme.chime\n"
        "# which names every mistake at its place; chime explain CODE says more about a mistake.\n"
        "# Whatever stands after a # is a note for the reader and changes nothing.\n" + _CAUTION
    )


_INVENTED_ZONES = """\

# ---------------------------------------------------------------------------------------- zones
# A zone is where a bell sounds by itself: a building, a floor, a yard. Behind its name stands the
# track of the tape that rings it. The technician finds out which: ring each terminal alone and
# listen. The words in quotes are for the printed sheets.
zone main  on track 1  "Main building"
zone hall  on track 2  "Hall and dining room"
zone yard  on track 3  "Yard"
# A group is a name for several zones.
group lessons  main, hall
"""

_SIGNAL_LINE = "signal lesson  7 s within 2 s\n"

_INVENTED_TIMETABLES = """\

# ----------------------------------------------------------------------------------- timetables
# A day's bells. "in lessons" says where they ring if a line does not say it itself.
timetable normal  in lessons
  # What rings at each period and pause: one bell at the start, one at the end.
  each period  start lesson, end lesson
  # A ring by itself: its time, its signal, its zones, and its reason in quotes.
  ring 08:40  lesson  in main, hall, yard  "Doors open"
  # Periods 1 and 2, of 55 minutes each with 5 minutes between: 08:50 - 09:45 and 09:50 - 10:45.
  periods 1 to 2 of 55 min from 08:50 passing 5 min
  # A pause rings like a period; with the word quiet at its end it would not ring. Where the end
  # of one thing is the start of the next, the bell rings once.
  pause "Break"  10:45 - 11:05  in main, yard
  # Periods 3 and 4: 11:05 - 12:00 and 12:05 - 13:00.
  periods 3 to 4 of 55 min from 11:05 passing 5 min
  # The midday pause, heard in the yard too.
  pause "Lunch"  13:00 - 13:50  in main, hall, yard
  # Periods 5 and 6, of 40 minutes: 13:50 - 14:30 and 14:35 - 15:15.
  periods 5 to 6 of 40 min from 13:50 passing 5 min
  # A check on the sum: if the last period does not end then, chime says by how much.
  must end 15:15

# A short day that begins like the normal one.
timetable early like normal
  # Every bell later than 12:00 goes; the one at 12:00 stays.
  drop after 12:00
  # What this day has of its own.
  ring 12:10  lesson  in main, hall, yard  "Coaches"
"""


def _exceptions(dates: _Dates) -> str:
    (begins, ends), last_day = dates.examination, write_date(dates.last_day)
    return f"""\
{_closures(dates)}\
  # Some zones, at some times: somebody must turn that zone off at the switch, and on again.
  {begins.isoformat()} to {ends.isoformat()}  silent in main 09:20 - 11:45  "Examinations"
  # Another timetable for one day.
  {last_day}  early  "The term ends"
"""


def _closures(dates: _Dates) -> str:
    begins, ends = dates.closure
    return f"""\

# ----------------------------------------------------------------------------------- exceptions
# Dates on which something else is done, with the reason in quotes. A line says one thing. The
# weekday before a date may be left out; if it is there it must agree.
exceptions
  # A whole day without bells.
  {write_date(dates.training)}  silent  "Staff study day"
  # From one date to another, both included.
  {begins.isoformat()} to {ends.isoformat()}  silent  "Holiday week"
"""


def _public_holidays(place: str) -> str:
    return _PUBLIC_HOLIDAYS.format(code=HOLIDAY_CODES.get(place, _ANY_CODE))


def _dates_of(plan: Plan) -> _Dates:
    """Choose the dates of the exceptions from the weeks that lie in the term from Monday to Friday."""
    monday = plan.first + timedelta(days=-plan.first.weekday() % 7)
    weeks = []
    while monday + timedelta(days=4) <= plan.last:
        weeks.append(monday)
        monday += timedelta(days=7)
    middle = len(weeks) // 2
    last_day = plan.last - timedelta(days=max(0, plan.last.weekday() - 4))
    before = weeks[middle - 1]
    return _Dates(
        training=weeks[0] + timedelta(days=4),
        examination=(before + timedelta(days=1), before + timedelta(days=3)),
        closure=(weeks[middle], weeks[middle] + timedelta(days=4)),
        last_day=last_day,
    )


_PASTED_ZONES = """\

# ---------------------------------------------------------------------------------------- zones
# A zone is where a bell sounds by itself: a building, a floor, a yard. The track behind its name
# is a guess, counted from 1: ring each terminal alone, listen, and write the track that rings it.
"""

_PASTED_TIMETABLE = """\

# ----------------------------------------------------------------------------------- timetables
# The bells of a day: times, signal, zones, and the reason in quotes. A line that ends in a comma
# goes on in the next line.
timetable normal
"""


def _pasted_zones(pasted: Pasted) -> str:
    said = [
        f"zone {name}  on track {track}{_label(label)}\n"
        for track, (name, label) in enumerate(pasted.zones, start=1)
    ]
    return _PASTED_ZONES + "".join(said)


def _pasted_timetable(pasted: Pasted) -> str:
    lines = [_PASTED_TIMETABLE]
    for ring in pasted.rings:
        rest = f"  {ring.signal}  in {', '.join(ring.zones)}{_label(ring.label)}"
        lines.append(_wrapped([write_time(at) for at in ring.times], rest))
    return "".join(lines)


def _wrapped(times: list[str], rest: str) -> str:
    lines = ["  ring "]
    for number, time in enumerate(times):
        is_last = number == len(times) - 1
        if len(lines[-1]) + len(time) + 1 > _LINE - (len(rest) if is_last else 0) and number:
            lines[-1] = lines[-1].rstrip()
            lines.append(" " * 4)
        lines[-1] += time if is_last else f"{time}, "
    return "\n".join(lines) + rest + "\n"


def _label(label: str | None) -> str:
    return "" if label is None else f'  "{label}"'
