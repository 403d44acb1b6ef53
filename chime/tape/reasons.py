"""Why something is silenced by hand, in the words of the exceptions that silence it."""

from collections.abc import Mapping
from datetime import date

from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.hand_silences import Silence
from chime.tape.local_clock import LocalClock, date_of, local_seconds, to_local


class Reasons(NamedTuple):
    """What was said of silenced rings, by local time and zone, of closed dates, and of any other date."""

    of_rings: Mapping[tuple[int, str], frozenset[str]]
    of_dates: Mapping[date, frozenset[str]]
    of_changes: Mapping[date, frozenset[str]]


def read_reasons(calendar: RingCalendar) -> Reasons:
    """Gather what was said beside the exceptions of a calendar."""
    of_rings: dict[tuple[int, str], frozenset[str]] = {}
    for each in calendar.silenced:
        if each.said is not None:
            place = local_seconds(each.ring.at), each.ring.zone
            of_rings[place] = of_rings.get(place, frozenset()) | {each.said}
    of_dates = {
        day.day: frozenset(a.said for a in day.acting if a.kind == "replace" and a.said is not None)
        for day in calendar.days
        if day.runs is None
    }
    of_changes = {
        day.day: frozenset(a.said for a in day.acting if a.said is not None)
        for day in calendar.days
        if day.runs is not None
    }
    return Reasons(of_rings, of_dates, of_changes)


def why_silent(clock: LocalClock, silence: Silence, reasons: Reasons) -> str:
    """Return the reasons written beside the exceptions that silence the dates.

    Where none does, those of the exceptions that change the dates are given, else the plain fact.
    """
    said: set[str] = set()
    of_changes: set[str] = set()
    for instant, zone in silence.sounds:
        local_s = to_local(clock, instant)
        said |= reasons.of_rings.get((local_s, zone), frozenset())
        said |= reasons.of_dates.get(date_of(local_s), frozenset())
        of_changes |= reasons.of_changes.get(date_of(local_s), frozenset())
    return "; ".join(sorted(said or of_changes)) or "the tape would ring when no ring is wanted"
