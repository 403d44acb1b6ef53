"""What is sound but probably not meant, and what only whole days and the whole term can show."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from chime.clock import moment
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Programme
from chime.rings.coverage import Coverage
from chime.rings.day_faults import odd_days
from chime.rings.day_warnings import Oddity
from chime.rings.days import Days, Window
from chime.rings.effects import without_effect
from chime.rings.expand import Expanded
from chime.rings.long_sounds import long_sounds
from chime.rings.near_twins import near_twins
from chime.rings.timetables import Shapes


def advise(
    programme: Programme, shapes: Shapes, coverage: Coverage, days: Days, expanded: Expanded
) -> list[Diagnostic]:
    """Return the warnings of days and rings that are worked out."""
    told = frozenset(
        label.span for fault in (*days.diagnostics, *expanded.diagnostics) for label in fault.labels
    )
    return [
        *long_sounds(programme, days, expanded.rings, coverage.unsure),
        *without_effect(programme, shapes, coverage, days, told),
        *_odd_days(days),
        *near_twins(programme, shapes, days),
    ]


def _odd_days(days: Days) -> Iterator[Diagnostic]:
    """Yield a warning for each exception and each kind of thing that is odd on its days, the first shown."""
    found: dict[tuple[str, Span], tuple[Oddity, dict[date, None]]] = {}
    windows: dict[date, list[Window]] = {}
    for window in days.windows:
        windows.setdefault(window.day, []).append(window)
    for day, made in days.made.items():
        for odd in made.odd:
            if not _is_silenced(odd, day, windows):
                found.setdefault((odd.kind, odd.line), (odd, {}))[1][day] = None
    for odd, on in found.values():
        yield odd_days(odd, tuple(on))


def _is_silenced(odd: Oddity, day: date, windows: dict[date, list[Window]]) -> bool:
    """Say whether a silence by the clock takes the bells away of which something is odd."""
    if odd.at is None or not windows:
        return False
    at = moment(day, odd.at)
    near: Iterable[date] = (at.date() - timedelta(days=before) for before in (0, 1))
    here = (window for when in near for window in windows.get(when, ()))
    return any(
        moment(w.day, w.start) <= at < moment(w.day, w.end) and (w.zones is None or odd.zone in w.zones)
        for w in here
    )
