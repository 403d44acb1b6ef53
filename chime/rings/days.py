"""What happens on each service day: the pattern, one replacement, changes, additions, silences."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from chime.clock import dates
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Add, AsUsual, Drop, Move, Programme, Replace, Shift, Silence, SpecialDays
from chime.rings import ring_faults
from chime.rings.changes import Found, Ordered, Taken, change
from chime.rings.coverage import Coverage, Stands, is_for_itself
from chime.rings.model import Acting, Day, DayProgramme, DayRing, PassedBy, Reason
from chime.rings.patterns import Given, Pattern, pattern_of
from chime.rings.shapes import Shape, Signals, causes, join
from chime.rings.timetables import Shapes, judge, labels_of, turned_periods

_WORDS = {Drop: "drop", Shift: "shift", Move: "move", Add: "add", Silence: "silence"}


class Window(NamedTuple):
    """A partial silence by the clock on one date: seconds from its 00:00."""

    day: date
    start: int
    end: int
    zones: tuple[str, ...] | None
    stands: Stands


class SilencedPart(NamedTuple):
    """A ring of a day, or some of its causes, that a silence without a window takes."""

    ring: DayRing
    stands: Stands


class Made(NamedTuple):
    """A day programme as made: what still rings, what is silenced, what was taken away."""

    programme: DayProgramme
    silenced: tuple[SilencedPart, ...]
    taken: tuple[Taken, ...]
    found: tuple[tuple[SpecialDays, Found], ...]


class Days(NamedTuple):
    """Every date of the terms, and by date what was made for it."""

    days: tuple[Day, ...]
    made: dict[date, Made]
    programmes: tuple[DayProgramme, ...]
    windows: tuple[Window, ...]
    passed_by: tuple[PassedBy, ...]
    diagnostics: tuple[Diagnostic, ...]
    useful: set[Span]


_Plan = tuple[str | None, tuple[Stands, ...]]


class _DayMaker:
    def __init__(self, programme: Programme, shapes: Shapes, coverage: Coverage) -> None:
        self.programme, self.shapes, self.coverage = programme, shapes, coverage
        self.signals: Signals = {s.name: s for s in programme.signals}
        self.zones = {z.name for z in programme.zones}
        self.faults: list[Diagnostic] = []
        self.patterns: dict[Span, Pattern] = {
            term.span: pattern_of(term, programme, coverage, self.faults) for term in programme.terms
        }
        self.days: list[Day] = []
        self.made: dict[date, Made] = {}
        self.plans: dict[_Plan, Made] = {}
        self.numbers: dict[tuple[object, ...], DayProgramme] = {}
        self.windows: list[Window] = []
        self.passed: dict[Span, list[date]] = {}
        self.useful: set[Span] = set()
        self.clashes: set[tuple[Span, Span]] = set()
        self.changes: dict[Span, list[tuple[Ordered, Found]]] = {}

    # ------------------------------------------------------------- all dates

    def run(self) -> Days:
        for day in dates(self.coverage.first, self.coverage.last):
            self.days.append(self._day(day))
        self._judge_changes()
        programmes = tuple(self.numbers.values())
        passed = tuple(PassedBy(span, tuple(days)) for span, days in self.passed.items())
        return Days(
            tuple(self.days),
            self.made,
            programmes,
            tuple(self.windows),
            passed,
            tuple(self.faults),
            self.useful,
        )

    def _day(self, day: date) -> Day:
        term = self.coverage.term_of(day)
        if term is None:
            return Day(day, None, None, None, None, True, None, ())
        given = self.patterns[term.span](day)
        here = self.coverage.on(day)
        if not here:
            number = self._make(day, given.timetable, ())
            return Day(day, term.label, given.label, given.timetable, given.timetable, False, number, ())
        return self._special_day(day, term.label, given, here)

    def _special_day(self, day: date, term: str, given: Given, here: list[Stands]) -> Day:
        acting = [s for s in here if self._acts(s, day, given)]
        runs, replacing = self._runs(day, given, acting)
        working = [s for s in acting if not isinstance(s.special.special, Replace | AsUsual)]
        working = [s for s in working if self._works_on(s, day, runs)]
        number = self._make(day, runs, tuple(w for w in working if not _is_windowed(w)))
        self._note_windows(day, [w for w in working if _is_windowed(w)])
        closed = self.coverage.is_closed(day, pattern_rings=given.timetable is not None)
        said = tuple(_acting(s) for s in (*replacing, *working))
        return Day(day, term, given.label, given.timetable, runs, closed, number, said)

    # --------------------------------------------------------- what acts here

    def _acts(self, stands: Stands, day: date, given: Given) -> bool:
        """Say whether a line acts on a date that it stands on."""
        if self.coverage.passes_by(stands, day):
            self.passed.setdefault(stands.special.span, []).append(day)
            return False
        if is_for_itself(stands.special.when) or given.timetable is not None or _is_windowed(stands):
            return True
        self.passed.setdefault(stands.special.span, []).append(day)
        return False

    def _works_on(self, stands: Stands, day: date, runs: str | None) -> bool:
        """Say whether a change acts on what runs; a range adds nothing to a day that is silent."""
        is_add = isinstance(stands.special.special, Add)
        if runs is None and is_add and not is_for_itself(stands.special.when):
            self.passed.setdefault(stands.special.span, []).append(day)
            return False
        return True

    def _runs(self, day: date, given: Given, acting: list[Stands]) -> tuple[str | None, list[Stands]]:
        """Return what runs, and the lines that settle it (`as usual`, or the winning replacements)."""
        replacing = [s for s in acting if isinstance(s.special.special, Replace)]
        usual = [s for s in acting if isinstance(s.special.special, AsUsual)]
        if usual:
            self.useful.update(s.special.span for s in usual if replacing)
            self.useful.update(s.special.span for s in replacing)
            return given.timetable, usual if replacing else []
        instead = [s for s in replacing if _replace(s).instead]
        plain = [s for s in replacing if not _replace(s).instead]
        winners = instead or plain
        if not winners:
            return given.timetable, []
        self._note_replacements(day, winners, given)
        if instead and plain:
            self.useful.update(s.special.span for s in replacing)
        return _replace(winners[0]).timetable, winners

    def _note_replacements(self, day: date, winners: list[Stands], given: Given) -> None:
        first = winners[0]
        for other in winners[1:]:
            pair = (other.special.span, first.special.span)
            if _replace(other).timetable != _replace(first).timetable and pair not in self.clashes:
                self.clashes.add(pair)
                spans, instead = (other.special.span, first.special.span), _replace(first).instead
                self.faults.append(ring_faults.two_replacements(day, *spans, instead=instead))
                self.useful |= {other.special.span, first.special.span}
        if _replace(first).timetable != given.timetable:
            self.useful.update(s.special.span for s in winners if not _replace(s).instead)

    def _note_windows(self, day: date, windowed: list[Stands]) -> None:
        for stands in windowed:
            silence = stands.special.special
            assert isinstance(silence, Silence)
            assert silence.window is not None
            start = silence.window.start or 0
            end = 86_400 if silence.window.end is None else silence.window.end
            self.windows.append(Window(day, start, end, silence.zones, stands))

    # --------------------------------------------------------- what is made

    def _make(self, day: date, runs: str | None, working: tuple[Stands, ...]) -> int | None:
        if runs is None and not working:
            return None
        plan = (runs, working)
        if plan not in self.plans:
            self.plans[plan] = self._build(runs, working)
        made = self.made[day] = self.plans[plan]
        for special, found in made.found:
            ordered = Ordered(special.special, special.reason)  # type: ignore[arg-type]
            self.changes.setdefault(special.span, []).append((ordered, found))
        return made.programme.number if made.programme.rings else None

    def _build(self, runs: str | None, working: tuple[Stands, ...]) -> Made:
        shape = self.shapes[runs] if runs is not None else Shape((), None)
        changes = [s for s in working if isinstance(s.special.special, Drop | Shift | Move)]
        ordered = [Ordered(s.special.special, s.said) for s in changes]  # type: ignore[arg-type]
        changed = change(shape, ordered)
        self.faults += changed.diagnostics
        self.faults += turned_periods(changed) if ordered else []
        adds = [s for s in working if isinstance(s.special.special, Add)]
        rings = join([*causes(changed.shape), *(c for s in adds for c in _added(s))], self.signals)
        silences = [s for s in working if isinstance(s.special.special, Silence)]
        kept, silenced = self._silence(rings, silences, adds)
        found = tuple((s.special, f) for s, f in zip(changes, changed.found, strict=True))
        self.useful.update(s.special.span for s in adds)
        return Made(self._numbered(runs, kept), silenced, changed.taken, found)

    def _silence(
        self, rings: tuple[DayRing, ...], silences: list[Stands], adds: list[Stands]
    ) -> tuple[tuple[DayRing, ...], tuple[SilencedPart, ...]]:
        added = {s.special.span for s in adds}
        kept, silenced = [], []
        for ring in rings:
            by = next((s for s in silences if ring.zone in (_silence(s).zones or ())), None)
            if by is None:
                kept.append(ring)
                continue
            self.useful.add(by.special.span)
            silenced.append(SilencedPart(ring, by))
            for span in {r.spans[0] for r in ring.reasons} & added:
                self.faults.append(ring_faults.added_and_silenced(span, by.special.span))
        return tuple(kept), tuple(silenced)

    def _numbered(self, runs: str | None, rings: tuple[DayRing, ...]) -> DayProgramme:
        """Return the day programme of these rings; days that ring alike share one."""
        key = tuple((r.at, r.zone, r.signal, r.reasons) for r in rings)
        if key not in self.numbers:
            self.numbers[key] = DayProgramme(len(self.numbers) + 1, runs, rings)
        return self.numbers[key]

    # -------------------------------------------------------------- judging

    def _judge_changes(self) -> None:
        labels = frozenset(label for shape in self.shapes.values() for label in labels_of(shape.marks))
        for span, found in self.changes.items():
            ordered = found[0][0]
            days: Sequence[tuple[Found, ...]] = [(f,) for _, f in found]
            self.faults += judge([ordered], days, labels)
            self.useful.add(span)


def _is_windowed(stands: Stands) -> bool:
    special = stands.special.special
    return isinstance(special, Silence) and special.window is not None


def _replace(stands: Stands) -> Replace:
    special = stands.special.special
    assert isinstance(special, Replace)
    return special


def _silence(stands: Stands) -> Silence:
    special = stands.special.special
    assert isinstance(special, Silence)
    return special


def _acting(stands: Stands) -> Acting:
    special = stands.special.special
    if isinstance(special, Replace):
        return Acting(stands.special.span, stands.said, "replace")
    if isinstance(special, AsUsual):
        return Acting(stands.special.span, stands.said, "as usual")
    return Acting(stands.special.span, stands.said, _WORDS[type(special)])  # type: ignore[arg-type]


def _added(stands: Stands) -> list[tuple[int, str, str, Reason]]:
    """Return the rings that an `add` makes; its reason is their label."""
    special, span = stands.special.special, stands.special.span
    assert isinstance(special, Add)
    reason = Reason(stands.special.reason, (span,), (), False, False)
    return [(at, zone, special.signal, reason) for at, _ in special.times for zone in special.zones]


def work_out_days(programme: Programme, shapes: Shapes, coverage: Coverage) -> Days:
    """Return what is made for each date of the terms."""
    return _DayMaker(programme, shapes, coverage).run()
