"""How a set of tapes is used over the dates of a plan: what a person does when, and what is silenced.

Every date from the first term's first to seven days after the last ring is planned. A tape is taken to be on
from the earliest to the latest moment that its duties allow, and by the plan's own dates; all that sounds in
that time and is not wanted is silenced, so the plan holds however early or late somebody does his duties.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.attendance import attended
from chime.tape.changeovers import Changeover, State, Stay, change_over
from chime.tape.corrections import Correction, correct_clocks
from chime.tape.course import Course, DialStretch, Sounding, read_wanted, soundings
from chime.tape.hand_silences import Silence, silence_by_hand
from chime.tape.local_clock import date_of, midnight, read_clock, to_instant, to_local
from chime.tape.masks import read_masks
from chime.tape.model import Tape
from chime.tape.passes import Phases, phases_of

EARLIER_DAYS = 7
"""How long before the plan's first date the first duties may be done."""

LATER_DAYS = 7
"""How long after the last ring a plan goes on, so that what is done last is seen to hold."""


class Turn(NamedTuple):
    """A tape in a position, and the dates with rings for which it is made, all in one turn of a long loop."""

    tape: str
    position: int | None
    dates: tuple[date, ...]


Hearing = Mapping[int | None, Mapping[int, tuple[str, ...]]]
"""For each position of the selector the zones that hear each track."""


class Operated(NamedTuple):
    """What is done to use some tapes.

    `unsilenced` sounds and is not wanted, and nobody can silence it; where there is any of it, or an error,
    the rest does not hold. `phases` are those of every tape in every position; `sinces` are the instants from
    which on each change is that of the plan's dates.
    """

    course: Course
    phases: Mapping[State, Phases]
    changes: tuple[Changeover, ...]
    corrections: tuple[Correction, ...]
    silences: tuple[Silence, ...]
    state_by_date: tuple[tuple[date, State | None], ...]
    unsilenced: tuple[Sounding, ...]
    diagnostics: tuple[Diagnostic, ...]
    sinces: tuple[int, ...] = ()


def begin_course(programme: Programme, machine: Machine, calendar: RingCalendar) -> Course:
    """Return what a plan is made against, its dial not yet corrected after changes of the clocks."""
    last_ring = calendar.rings[-1].at.date()
    first, last = calendar.days[0].day, last_ring + timedelta(days=LATER_DAYS)
    clock = read_clock(programme.place, first, last)
    start = to_instant(clock, midnight(first - timedelta(days=EARLIER_DAYS)))
    end = to_instant(clock, midnight(last + timedelta(days=1)))
    zones = {zone.name for zone in programme.zones}
    return Course(
        clock,
        read_wanted(clock, calendar.rings),
        read_masks(machine, zones),
        attended(machine, clock, first - timedelta(days=EARLIER_DAYS + 1), last),
        (DialStretch(clock.offsets[0], start, end),),
        first,
        last,
        start,
        end,
        programme.hand_rings,
    )


def operate(
    course: Course,
    machine: Machine,
    tapes: Sequence[Tape],
    turns: Sequence[Turn],
    hearing: Hearing,
    anchor: date,
) -> Operated:
    """Find all duties that some tapes ask for."""
    phases = {
        (tape.id, position): phases_of(tape, heard, midnight(anchor))
        for tape in tapes
        for position, heard in hearing.items()
    }
    stays = _stays(course, turns, phases)
    near = [(stay.first_ring if n else course.start, stay.phases) for n, stay in enumerate(stays)]
    corrected = correct_clocks(course, machine, near)
    course = corrected.course
    first_midnight = to_instant(course.clock, midnight(course.first_date))
    changes, wrong = change_over(course, machine, stays, phases, first_midnight)
    wrong = [*corrected.diagnostics, *wrong]
    if wrong:
        return Operated(course, phases, (), (), (), (), (), tuple(wrong))
    first_dates = _first_dates(course, stays, changes)
    sinces = _sinces(course, stays, changes, first_dates)
    unwanted = _unwanted(course, stays, phases, changes, sinces)
    zones = sorted(course.wanted.by_zone)
    silences = silence_by_hand(course, machine, zones, unwanted)
    return Operated(
        course,
        phases,
        tuple(changes),
        corrected.corrections,
        silences.silences,
        tuple(_state_by_date(course, stays, first_dates).items()),
        silences.unsilenced,
        (),
        tuple(sinces),
    )


def _sinces(
    course: Course, stays: list[Stay], changes: list[Changeover], first_dates: list[date]
) -> list[int]:
    """Return the instant from which on each tape, in its position, is that of the plan's dates.

    It is 00:00 of its first date, or where it is fitted on that date the earliest moment of that. Where it is
    fitted on the date before, and the old tape would sound in the rest of that date, it is that moment too.
    """
    found = []
    for number, (fit, day) in enumerate(zip(changes, first_dates, strict=True)):
        before, start, end = (to_instant(course.clock, midnight(day + timedelta(days=n))) for n in (-1, 0, 1))
        is_on_date = start < fit.within[0] < end
        is_on_eve = bool(number) and before < fit.within[0] and fit.within[1] < start
        if is_on_eve:
            is_on_eve = any(soundings(course, stays[number - 1].phases, fit.within[1] + 1, start))
        found.append(fit.within[0] if is_on_date or is_on_eve else start)
    return found


def _stays(course: Course, turns: Sequence[Turn], phases: Mapping[State, Phases]) -> list[Stay]:
    by_date: dict[date, list[int]] = {}
    for (instant, _), ring in course.wanted.rings.items():
        by_date.setdefault(ring.at.date(), []).append(instant)
    stays: list[Stay] = []
    for turn in turns:
        instants = [instant for day in turn.dates for instant in by_date[day]]
        heard = phases[turn.tape, turn.position]
        first, last = turn.dates[0], turn.dates[-1]
        new = Stay(turn.tape, turn.position, heard, min(instants), max(instants), first, last)
        if stays and stays[-1].state == new.state:
            stays[-1] = stays[-1]._replace(last_ring=new.last_ring, last_date=new.last_date)
        else:
            stays.append(new)
    return stays


def _first_dates(course: Course, stays: list[Stay], changes: list[Changeover]) -> list[date]:
    """Return the date from which on each stay's tape is the one of the plan's dates.

    A date without rings on which a tape is fitted has the one that sounds nothing in the rest of it.
    """
    found = [_first_date(course, stays[0], changes[0])]
    for old, new, fit in zip(stays, stays[1:], changes[1:], strict=False):
        day = date_of(to_local(course.clock, fit.within[1] - 1))
        if old.last_date < day < new.first_date:
            start, end = (to_instant(course.clock, midnight(day + timedelta(days=n))) for n in (0, 1))
            sounds_new = any(soundings(course, new.phases, start, fit.within[0]))
            sounds_old = any(soundings(course, old.phases, fit.within[1], end))
            day += timedelta(days=int(sounds_new and not sounds_old))
        found.append(min(max(day, old.last_date + timedelta(days=1)), new.first_date))
    return found


def _first_date(course: Course, stay: Stay, fit: Changeover) -> date:
    """Return the date from which on a tape of the plan is on the machine: none is before it is fitted."""
    day = max(course.first_date, date_of(to_local(course.clock, fit.within[1] - 1)))
    start = to_instant(course.clock, midnight(day))
    too_early = day < stay.first_date and any(soundings(course, stay.phases, start, fit.within[0]))
    return min(day + timedelta(days=int(too_early)), stay.first_date)


def _state_by_date(course: Course, stays: list[Stay], first_dates: list[date]) -> dict[date, State | None]:
    before = (first_dates[0] - course.first_date).days
    found: dict[date, State | None] = {course.first_date + timedelta(days=n): None for n in range(before)}
    for stay, first, after in zip(stays, first_dates, [*first_dates[1:], None], strict=True):
        last = course.last_date if after is None else after - timedelta(days=1)
        for number in range((last - first).days + 1):
            found[first + timedelta(days=number)] = stay.state
    return found


def _unwanted(
    course: Course,
    stays: list[Stay],
    phases: Mapping[State, Phases],
    changes: list[Changeover],
    sinces: list[int],
) -> set[Sounding]:
    """Return all that sounds and is not wanted, each tape being on as long as it can be.

    Where a tape is fitted and the selector moved, either may be done first.
    """
    found: set[Sounding] = set()
    for number, stay in enumerate(stays):
        start, end = min(changes[number].within[0], sinces[number]), course.end
        if number + 1 < len(stays):
            end = max(changes[number + 1].within[1] + 1, sinces[number + 1])
        found.update(soundings(course, stay.phases, start, end))
        for state in changes[number].halfway:
            since, until = changes[number].within
            found.update(soundings(course, phases[state], since, until + 1))
    return found.difference(course.wanted.rings)


def dates_of(course: Course, start: int, end: int) -> list[date]:
    """Return the dates that a stretch of instants touches."""
    first = date_of(to_local(course.clock, start))
    last = date_of(to_local(course.clock, max(start, end - 1)))
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
