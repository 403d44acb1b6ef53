"""What nobody is there to do: codes T513 to T515 and their words."""

from collections.abc import Sequence

from chime.clock import DAY, WEEKDAYS, write_time
from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import Other, complain, sketch
from chime.programme.equipment import Machine
from chime.rings.model import Ring
from chime.tape.course import CLEAR_S, Course, Sounding, before, following, there_between
from chime.tape.faults import EXAMPLE_MACHINE, EXAMPLE_ZONE
from chime.tape.local_clock import date_of, midnight, to_local, weekday_of, written

_ATTENDED = "  attended  Mon to Fri 08:15 - 17:15\n"
_WITHOUT = EXAMPLE_MACHINE.replace(_ATTENDED, "") + "{}" + EXAMPLE_ZONE
_AT_NOON, _BY_DAY = _WITHOUT.format("  attended  Mon to Fri 12:00 - 12:30\n"), _WITHOUT.format(_ATTENDED)
_TWO_DAYS = (
    "timetable normal in main\n  ring 08:40, 13:20 lesson\ntimetable long in main\n  ring 08:40, 14:20, 15:20 lesson\n"
    "week ordinary\n  Mon to Thu normal\n  Fri long\n  Sat, Sun silent\n"
    'term "Autumn" 2026-09-03 to 2026-10-16\n  week ordinary'
)
_CLOSED = 'exceptions\n  Mon 2026-10-05 silent "Fair"'
_EVERY_DAY = "week ordinary\n  Mon to Sun normal"
_NO_WHEEL = _BY_DAY.replace("  silenced  Sat, Sun\n", "")

NOBODY_TO_FIT = Code(
    "T513",
    "nobody-to-fit-tape",
    "error",
    "Between the last ring of one tape and the first of the next somebody must be at the machine to fit it, and so "
    "for a move of the selector. Make the two days alike, let somebody come, or leave more time between the rings.",
    f"{_AT_NOON}{_TWO_DAYS}",
    f"{_BY_DAY}{_TWO_DAYS}",
)
NOBODY_TO_CORRECT = Code(
    "T514",
    "nobody-to-correct-clocks",
    "error",
    "A tape machine goes on by the old time when the clocks change, until somebody puts it right. A ring before "
    "that would come an hour early or late.",
    f"{_NO_WHEEL}{_EVERY_DAY}",
    f"{_NO_WHEEL.replace('Mon to Fri', 'Mon to Sun').replace('08:15', '07:15')}{_EVERY_DAY}",
)
NOBODY_TO_SILENCE = Code(
    "T515",
    "nobody-to-silence",
    "error",
    "The tape that is on would ring when no ring is wanted, and nobody can keep it from that: either nobody is at "
    "the machine between the wanted rings before and after it, or no switch turns off that zone without another "
    "that rings.",
    f"{_WITHOUT.format('  attended  Mon to Thu 08:15 - 17:15' + chr(10))}{_CLOSED}",
    f"{_BY_DAY}{_CLOSED}",
)

CODES: tuple[Code, ...] = (NOBODY_TO_FIT, NOBODY_TO_CORRECT, NOBODY_TO_SILENCE)


def _ring_at(course: Course, instant: int) -> Ring:
    zones = sorted(zone for zone, instants in course.wanted.by_zone.items() if instant in instants)
    return course.wanted.rings[instant, zones[0]]


def asks(course: Course, instant: int) -> Span:
    """Return the line that asks for the first ring of an instant."""
    return _ring_at(course, instant).reasons[0].spans[0]


def _hours(machine: Machine) -> list[Other]:
    return [(hours.span, "somebody is there then") for hours in machine.attended]


def nobody_to_fit(
    course: Course, machine: Machine, what: str, rings: Sequence[tuple[int | None, int]]
) -> Diagnostic:
    """Say that a tape cannot be fitted, or the selector not moved: for each time the rings before and after.

    `what` are the words for it.
    """
    last_ring, first_ring = rings[0]
    since = "Before that" if last_ring is None else f"After the ring on {written(course.clock, last_ring)}"
    return complain(
        NOBODY_TO_FIT,
        f"nobody is there to {what} before the ring on {written(course.clock, first_ring)}",
        (
            asks(course, first_ring),
            f"the first ring that needs {'the tape' if what.startswith('fit') else 'the position'}",
        ),
        f"{since} nobody is at the machine for as much as a minute in which nothing rings."
        + _also(course, [first for _, first in rings[1:]]),
        _hours(machine),
        sketch(_let_be_there(course, last_ring, first_ring)),
    )


_MOST_NAMED = 3


def _also(course: Course, rings: Sequence[int]) -> str:
    """Say before which other rings it is so, the first few by name."""
    if not rings:
        return ""
    named = [f"on {written(course.clock, each)}" for each in rings[:_MOST_NAMED]]
    more = len(rings) - len(named)
    if more:
        named.append(f"{more} more")
    listed = named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
    return f" So it is before the ring{'s' if len(rings) > 1 else ''} {listed}."


def _let_be_there(course: Course, last: int | None, first: int) -> str:
    alike = "make the days before and after alike"
    hours = None if last is None else _hours_between(course, last + CLEAR_S, first - CLEAR_S)
    if hours is None:
        return f"{alike}, or leave more time between the rings"
    return f"let somebody be there in between, and write in the machine's block, say: {hours}; or {alike}"


def _hours_between(course: Course, since: int, until: int, *, soon: bool = True) -> str | None:
    """Return an `attended` line for one day's part of a stretch of instants, None if it is too short.

    It is the first day on which there is time, or where it need not be soon the last.
    """
    start, end = to_local(course.clock, since), to_local(course.clock, until)
    first, last = midnight(date_of(start)), midnight(date_of(end))
    for day in sorted({first, first + DAY, last - DAY, last}, reverse=not soon):
        begins, ends = max(start, day), min(end, day + DAY)
        if ends - begins >= CLEAR_S:
            return (
                f"attended {WEEKDAYS[weekday_of(day)]} {write_time(begins - day)} - {write_time(ends - day)}"
            )
    return None


def nobody_to_correct(course: Course, machine: Machine, change: int, ring: int) -> Diagnostic:
    """Say that a ring is wanted after a change of the clocks and before anybody can correct the machine."""
    hours = _hours_between(course, change, ring - CLEAR_S)
    return complain(
        NOBODY_TO_CORRECT,
        f"nobody is there to correct the machine before the ring on {written(course.clock, ring)}",
        (asks(course, ring), "rings before anybody can have been there"),
        f"The clocks change, and then show {written(course.clock, change)}. Until somebody corrects it the tape runs by the "
        "old time.",
        _hours(machine),
        sketch(
            "ring later on that day"
            if hours is None
            else f"let somebody be there in between, and write in the machine's block, say: {hours}; or ring later "
            "on that day"
        ),
    )


def nobody_to_silence(
    course: Course, machine: Machine, sounds: Sequence[Sounding], acting: Sequence[Span], *, by_switch: bool
) -> Diagnostic:
    """Say what would sound unwanted; `by_switch` tells that for want of a switch, not of a person.

    `acting` are the exceptions that change the date on which it would first sound.
    """
    first, zone = sounds[0]
    zones = sorted({name for at, name in sounds if at == first})
    named = f"zone{'s' if len(zones) > 1 else ''} {' and '.join(zones)}"
    last = before(course.wanted.by_zone.get(zone, ()), first)
    others = len(sounds) - len(zones)
    more = f" {others} more such ring{'s follow' if others > 1 else ' follows'}." if others else ""
    switches = [] if machine.switches is None else [(machine.switches.span, "what a hand can turn off")]
    why = (
        f"No switch turns off {named} without another zone that rings at that time."
        if by_switch
        else "The rings about it leave no time to turn a switch off before it and on after it."
        if None in _around(course, machine, sounds)
        else "Nobody is there to turn a switch off and on between the wanted rings about it."
    )
    asking = asks(course, course.wanted.instants[0] if last is None else last), "the tape has a hole for this"
    stopping = [(span, "stops rings of that day") for span in acting]
    there = switches if by_switch else _hours(machine)
    primary, *others_beside = [*stopping, asking]
    return complain(
        NOBODY_TO_SILENCE,
        f"{named} would ring on {written(course.clock, first)}, and nobody can keep it from that",
        primary,
        f"{why}{more}",
        [*others_beside, *(there or [(machine.span, "without hours in which somebody is there")])],
        sketch(_keep_from_it(course, machine, sounds, by_switch=by_switch)),
    )


def _keep_from_it(course: Course, machine: Machine, sounds: Sequence[Sounding], *, by_switch: bool) -> str:
    silence = "let the machine silence that time"
    if by_switch:
        return f"give the zone a switch, or {silence}"
    before_and_after = _around(course, machine, sounds)
    if None in before_and_after:
        return f"leave out the ring before or after it, or {silence}"
    lines = " and ".join(line for line in before_and_after if line)
    return f"let somebody be there then, and write in the machine's block, say: {lines}; or {silence}"


def _around(course: Course, machine: Machine, sounds: Sequence[Sounding]) -> tuple[str | None, str | None]:
    """Return the lines that let a switch be turned off before what sounds first, and on after it.

    None where there is no time for it, empty where somebody is there already.
    """
    first, zone = sounds[0]
    apart = machine.switches is not None and machine.switches.kind != "all together"
    wanted = course.wanted.by_zone.get(zone, ()) if apart else course.wanted.instants
    last, upcoming = before(wanted, first), following(wanted, first)
    ends = max(at for at, _ in sounds if upcoming is None or at < upcoming)
    off = course.start if last is None else last + CLEAR_S, first - CLEAR_S
    on = ends + CLEAR_S, course.end if upcoming is None else upcoming - CLEAR_S
    lines = [
        "" if there_between(course, *stretch) else _hours_between(course, *stretch, soon=soon)
        for stretch, soon in ((off, False), (on, True))
    ]
    return lines[0], "" if upcoming is None else lines[1]
