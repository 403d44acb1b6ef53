"""Day programmes put on their dates: every ring at its civil time, joined, clock changes settled."""

from bisect import bisect_left
from datetime import date, datetime, timedelta
from operator import itemgetter
from typing import Literal

from chime import zone_time
from chime.clock import DAY, moment
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Add, Programme, Unsure
from chime.records import NamedTuple
from chime.rings import ring_faults
from chime.rings.days import Days, Made, Window
from chime.rings.model import DayProgramme, Removed, Ring, Silenced, labels_of
from chime.rings.shapes import Signals, longest, reading, reason_key

_PLACE = itemgetter(0, 1, 2)


class Expanded(NamedTuple):
    """Every ring in order of instant, those that do not sound, and what was wrong."""

    rings: tuple[Ring, ...]
    silenced: tuple[Silenced, ...]
    removed: tuple[Removed, ...]
    diagnostics: tuple[Diagnostic, ...]


class _Expander:
    def __init__(self, programme: Programme, days: Days, unsure: Unsure) -> None:
        self.programme, self.days, self.unsure = programme, days, unsure
        self.signals: Signals = {s.name: s for s in programme.signals}
        self.adds = {s.span for s in programme.specials if isinstance(s.special, Add)}
        self.faults: list[Diagnostic] = []
        self.silenced: list[Silenced] = []
        self.met: set[frozenset[Span]] = set()
        self.undecided: dict[Literal["missing", "repeated"], list[Ring]] = {}

    def run(self) -> Expanded:
        rings = self._dated()
        if any(self._leaves_its_date(programme) for programme in self.days.programmes):
            rings = self._joined(sorted(rings, key=_PLACE))
        rings = self._through_clock_changes(rings)
        for window in self.days.windows:
            rings = self._silence(rings, window)
        silenced = sorted(self.silenced, key=lambda s: _PLACE(s.ring))
        return Expanded(tuple(rings), tuple(silenced), tuple(self._removed()), tuple(self.faults))

    # ------------------------------------------------------------ civil dates

    def _dated(self) -> list[Ring]:
        found: list[Ring] = []
        # What is the same on every date is worked out once for each day programme.
        same = {
            p.number: [
                (timedelta(0, r.at), r.zone, r.signal, r.length_ms, labels_of(r.reasons), r.reasons)
                for r in p.rings
            ]
            for p in self.days.programmes
        }
        for day, made in self.days.made.items():
            start, service = datetime(day.year, day.month, day.day), (day,)
            found += [
                Ring(start + after, 0, zone, signal, length, labels, reasons, service)
                for after, zone, signal, length, labels, reasons in same[made.programme.number]
            ]
            if made.silenced:
                self._note_silenced(start, service, made)
        return found

    @staticmethod
    def _leaves_its_date(programme: DayProgramme) -> bool:
        """Say whether a day programme rings before its date begins or after it ends."""
        rings = programme.rings
        return bool(rings) and (rings[0].at < 0 or rings[-1].at >= DAY)

    def _note_silenced(self, start: datetime, service: tuple[date], made: Made) -> None:
        for part, stands in made.silenced:
            at = start + timedelta(0, part.at)
            labels = labels_of(part.reasons)
            ring = Ring(at, 0, part.zone, part.signal, part.length_ms, labels, part.reasons, service)
            self.silenced.append(Silenced(ring, stands.special.span, stands.said, "exception"))

    def _joined(self, rings: list[Ring], *, gathered: bool = False) -> list[Ring]:
        """Join the rings of one zone at one time that service days make, or that were gathered there."""
        found: list[Ring] = []
        for ring in rings:
            last = found[-1] if found else None
            if last is not None and last[:3] == ring[:3]:
                found[-1] = self._join(last, ring)
                self._note_meeting(last, ring, gathered=gathered)
            else:
                found.append(ring)
        return found

    def _join(self, one: Ring, other: Ring) -> Ring:
        signal = longest({one.signal, other.signal}, self.signals)
        reasons = tuple(sorted({*one.reasons, *other.reasons}, key=reason_key))
        service = tuple(sorted({*one.service_days, *other.service_days}))
        length, labels = self.signals[signal].length_ms, labels_of(reasons)
        return Ring(one.at, one.fold, one.zone, signal, length, labels, reasons, service)

    def _note_meeting(self, one: Ring, other: Ring, *, gathered: bool) -> None:
        """Warn of two different signals, once for two lines: they may meet every night and in many zones."""
        lines = frozenset((one.reasons[0].spans[0], other.reasons[0].spans[0]))
        is_sure = self.unsure.signals.isdisjoint((one.signal, other.signal))
        if one.signal != other.signal and lines not in self.met and is_sure:
            self.met.add(lines)
            sounds = longest({one.signal, other.signal}, self.signals)
            meet = ring_faults.gathered_meet if gathered else ring_faults.nights_meet
            self.faults.append(meet(one, other, sounds))

    # ---------------------------------------------------------- clock changes

    def _through_clock_changes(self, rings: list[Ring]) -> list[Ring]:
        if not rings or self.unsure.clocks:
            return rings
        place = self.programme.place
        changes = zone_time.changes(place, rings[0].at.date(), rings[-1].at.date())
        touched = False
        for change in changes:
            low, high = sorted((change.before, change.after))
            start, end = _between(rings, low, high)
            if low == high or start == end:
                continue
            touched = True
            is_missing = change.after > change.before
            settle = self._settle_missing if is_missing else self._settle_repeated
            rings[start:end] = [r for ring in rings[start:end] for r in settle(ring)]
        for kind, found in self.undecided.items():
            self.faults.append(ring_faults.undecided_hour(kind, found, place))
        if not touched:
            return rings
        rings = self._joined(sorted(rings, key=_PLACE), gathered=True)
        return sorted(rings, key=lambda r: (zone_time.instant(place, r.at, r.fold), r.zone))

    def _settle_missing(self, ring: Ring) -> list[Ring]:
        clocks = self.programme.clocks
        if clocks.missing is None or clocks.span is None:
            self.undecided.setdefault("missing", []).append(ring)
            return []
        if clocks.missing == "skip" or clocks.missing_at is None:
            self.silenced.append(Silenced(ring, clocks.span, None, "missing hour"))
            return []
        at = moment(ring.at.date(), clocks.missing_at)
        if zone_time.kind(self.programme.place, at) != "plain":
            self.faults.append(ring_faults.substitute_in_the_hour(clocks.span, at))
            return []
        return [ring._replace(at=at)]

    def _settle_repeated(self, ring: Ring) -> list[Ring]:
        clocks = self.programme.clocks
        if clocks.repeated is None or clocks.span is None:
            self.undecided.setdefault("repeated", []).append(ring)
            return [ring]
        first, second = ring, ring._replace(fold=1)
        if clocks.repeated == "both":
            return [first, second]
        sounds, quiet = (first, second) if clocks.repeated == "first" else (second, first)
        self.silenced.append(Silenced(quiet, clocks.span, None, "repeated hour"))
        return [sounds]

    # --------------------------------------------------------------- silences

    def _silence(self, rings: list[Ring], window: Window) -> list[Ring]:
        """Take the rings of a window away: a switch on the wall goes by what the clock shows."""
        start = moment(window.day, window.start)
        end = moment(window.day, window.end)
        first, last = self._reach(rings, start, end)
        kept = []
        for ring in rings[first:last]:
            if start <= ring.at < end and (window.zones is None or ring.zone in window.zones):
                self._note_window(ring, window)
            else:
                kept.append(ring)
        rings[first:last] = kept
        return rings

    def _reach(self, rings: list[Ring], start: datetime, end: datetime) -> tuple[int, int]:
        """Return a stretch that holds the window; a repeated hour is not in order of local time."""
        return _between(rings, start - timedelta(hours=3), end + timedelta(hours=3))

    def _note_window(self, ring: Ring, window: Window) -> None:
        stands = window.stands
        self.days.useful.add(stands.special.span)
        self.silenced.append(Silenced(ring, stands.special.span, stands.said, "exception"))
        for span in {r.spans[0] for r in ring.reasons} & self.adds:
            self.faults.append(ring_faults.added_and_silenced(span, stands.special.span))

    # ---------------------------------------------------------------- removed

    def _removed(self) -> list[Removed]:
        found = []
        for day, made in self.days.made.items():
            for mark, ordered, to in made.taken:
                at, span = moment(day, mark.at), ordered.change.span
                gone = None if to is None else moment(day, to)
                found.append(Removed(at, mark.zone, reading(mark), mark.spans[0], span, ordered.said, gone))
        return found


def _between(rings: list[Ring], low: datetime, high: datetime) -> tuple[int, int]:
    at = itemgetter(0)
    return bisect_left(rings, low, key=at), bisect_left(rings, high, key=at)


def expand(programme: Programme, days: Days, unsure: Unsure) -> Expanded:
    """Put the day programmes on their dates; takes what was made for each day, gives dated rings."""
    return _Expander(programme, days, unsure).run()
