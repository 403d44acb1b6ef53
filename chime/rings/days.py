"""What happens on each service day: the pattern, one replacement, changes, additions, silences."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from chime.clock import dates
from chime.diagnostics import Diagnostic, Span, is_error
from chime.programme.model import (
    SURE,
    Add,
    AsUsual,
    Drop,
    Move,
    OneDate,
    Programme,
    Replace,
    Shift,
    Silence,
    SpecialDays,
)
from chime.records import NamedTuple
from chime.rings import ring_faults
from chime.rings.acting import Settled, beating, decisive, is_windowed, settle, timetable_of
from chime.rings.certainty import Certain, certain, is_plain, is_seen_alone, nowhere_found
from chime.rings.change_faults import same_mistake
from chime.rings.changes import Found, Ordered, Taken
from chime.rings.coverage import Coverage, Stands
from chime.rings.day_warnings import Oddity, oddities
from chime.rings.model import Acting, Day, DayProgramme, DayRing, PassedBy
from chime.rings.patterns import Given, Pattern, pattern_of
from chime.rings.shapes import Shape, Signals
from chime.rings.timetables import Shapes, judge, labels_of, turned_periods
from chime.rings.working import Worked, effective, silencer, work

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
    """A day programme as made: what still rings, what is silenced, what was taken away, what is odd."""

    programme: DayProgramme
    silenced: tuple[SilencedPart, ...]
    taken: tuple[Taken, ...]
    found: tuple[tuple[SpecialDays, Found], ...]
    odd: tuple[Oddity, ...]


class Days(NamedTuple):
    """Every date of the terms, and by date what was made for it.

    `useful` are the lines that certainly change something, or of which something else was said; `beating`
    those that say `instead` where there is something to beat.
    """

    days: tuple[Day, ...]
    made: dict[date, Made]
    programmes: tuple[DayProgramme, ...]
    windows: tuple[Window, ...]
    passed_by: tuple[PassedBy, ...]
    diagnostics: tuple[Diagnostic, ...]
    useful: set[Span]
    beating: frozenset[Span]


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
        self.beating: set[Span] = set()
        self.clashes: set[tuple[Span, Span]] = set()
        self.told: set[tuple[str, tuple[Span, ...]]] = set()
        self.changes: dict[Span, list[tuple[Ordered, Found]]] = {}
        self.open: dict[Span, Ordered] = {}
        self.open_days: set[date] = set()
        self.wrong: set[Span] = set()

    # ------------------------------------------------------------- all dates

    def run(self) -> Days:
        for day in dates(self.coverage.first, self.coverage.last):
            self.days.append(self._day(day))
        self._judge_changes()
        if self.wrong:
            self._leave_out_wrong_days()
        self._note_open_windows()
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
            frozenset(self.beating),
        )

    def _day(self, day: date) -> Day:
        term = self.coverage.term_of(day)
        if term is None:
            return Day(day, None, None, None, None, True, None, ())
        given = self.patterns[term.span](day)
        if is_plain(self.coverage, day, given):
            number = self._make(day, given.timetable, ())
            return Day(day, term.label, given.label, given.timetable, given.timetable, False, number, ())
        return self._special_day(day, term.label, given)

    def _special_day(self, day: date, term: str, given: Given) -> Day:
        pattern = given.timetable
        settled = settle(self.coverage, day, pattern)
        if self.coverage.unsure is not SURE or settled.is_clash or not given.is_known:
            known = certain(self.coverage, day, given, settled)
            self.useful.update(stands.special.span for stands in known.open)
            self.beating.update(stands.special.span for stands in known.open)
            if not known.rings:
                return self._open_day(day, term, given, settled, known)
        for stands in settled.passed:
            self.passed.setdefault(stands.special.span, []).append(day)
        self.useful.update(decisive(settled, pattern))
        self.beating.update(beating(settled))
        self._note_clashes(day, settled)
        number = self._make(day, settled.runs, settled.of_the_day)
        self._note_windows(day, settled.by_the_clock)
        closed = self.coverage.is_closed(day, pattern_rings=pattern is not None) is True
        said = tuple(_acting(s) for s in (*settled.settling, *settled.working))
        return Day(day, term, given.label, pattern, settled.runs, closed, number, said)

    def _open_day(self, day: date, term: str, given: Given, settled: Settled, known: Certain) -> Day:
        """Return a date of which not every ring is known, with those that lines certainly add to it."""
        self.open_days.add(day)
        lines = (stands.special for stands in known.open)
        changes = [line for line in lines if isinstance(line.special, Drop | Shift | Move)]
        self.open.update((line.span, Ordered(line.special, line.reason)) for line in changes)  # type: ignore[arg-type]
        if known.runs:
            self.useful.update(decisive(settled, given.timetable))
            self.beating.update(beating(settled))
        if known.agrees:
            self._note_clashes(day, settled)
        number = self._make(day, None, tuple(s for s in known.acting if not is_windowed(s)))
        self._note_windows(day, (s for s in known.acting if is_windowed(s)))
        is_told = known.runs and settled.runs not in self.coverage.unsure.timetables
        runs = settled.runs if is_told else None
        return Day(day, term, given.label, given.timetable, runs, False, number, ())

    # -------------------------------------------------------- what is noted of it

    def _note_clashes(self, day: date, settled: Settled) -> None:
        if not settled.is_clash:
            return
        first = settled.settling[0]
        for other in settled.settling[1:]:
            pair = (other.special.span, first.special.span)
            if timetable_of(other) != timetable_of(first) and pair not in self.clashes:
                self.clashes.add(pair)
                instead, earlier = _replace(first).instead, self._earlier(first, other)
                self.faults.append(ring_faults.two_replacements(day, *pair, instead=instead, earlier=earlier))

    def _earlier(self, one: Stands, other: Stands) -> tuple[Span, date] | None:
        """Return the line that gives a closed date a timetable, and the last day before it that rings."""
        opening = [s for s in (one, other) if _replace(s).timetable is not None]
        is_of_one_date = all(isinstance(s.special.when, OneDate) for s in opening)
        before = next((day.day for day in reversed(self.days) if day.runs and day.programme), None)
        if len(opening) != 1 or not is_of_one_date or before is None:
            return None
        return opening[0].special.span, before

    def _note_windows(self, day: date, windowed: Iterable[Stands]) -> None:
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
        worked = work(shape, working, self.signals)
        changed = worked.changed
        faults = [*changed.diagnostics, *(turned_periods(changed) if worked.changes else [])]
        self._tell_once(faults)
        if is_error(faults):
            self.wrong.update(s.special.span for s in worked.changes)
        kept, silenced = self._silence(worked)
        found = tuple((s.special, f) for s, f in zip(worked.changes, changed.found, strict=True))
        self.useful.update(effective(worked, self.signals))
        # Where a change is at fault, what the day then looks like is no mistake of its own.
        odd = () if is_error(faults) else oddities(worked, self.signals)
        if self.coverage.unsure.signals:  # which of two sounds is not known
            odd = tuple(oddity for oddity in odd if oddity.kind != "meet")
        return Made(self._numbered(runs, kept), silenced, changed.taken, found, odd)

    def _tell_once(self, faults: Iterable[Diagnostic]) -> None:
        """Note the faults that no day before has shown."""
        for fault in faults:
            if same_mistake(fault) not in self.told:
                self.told.add(same_mistake(fault))
                self.faults.append(fault)

    def _silence(self, worked: Worked) -> tuple[tuple[DayRing, ...], tuple[SilencedPart, ...]]:
        if not worked.silences:
            return worked.rings, ()
        added = {s.special.span for s in worked.adds}
        kept, silenced = [], []
        for ring in worked.rings:
            by = silencer(ring, worked.silences)
            if by is None:
                kept.append(ring)
                continue
            self.useful.add(by.special.span)
            silenced.append(SilencedPart(ring, by))
            for span in {r.spans[0] for r in ring.reasons} & added:
                self.useful.add(span)
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
            faults = judge([ordered], days, labels) if span not in self.open else []
            self.faults += faults
            if faults:
                self.useful.add(span)
            if is_error(faults):
                self.wrong.add(span)
        if self.open and not self.coverage.unsure.labels:
            self.faults += nowhere_found(self.open.values(), self.shapes.values(), labels)

    def _leave_out_wrong_days(self) -> None:
        """Keep of the days on which a line is at fault only what other lines add: nobody knows the rest."""
        left: dict[int, Made] = {}
        for (_, working), made in list(self.plans.items()):
            if any(s.special.span in self.wrong for s in working):
                left[id(made)] = self._build(None, tuple(s for s in working if is_seen_alone(s)))
        for place, day in enumerate(self.days):
            made_of_it = self.made.get(day.day)
            if id(made_of_it) in left:
                self.open_days.add(day.day)
                made = self.made[day.day] = left[id(made_of_it)]
                self.days[place] = day._replace(programme=made.programme.number, acting=())
        rung = {made.programme.number for made in self.made.values()}
        self.numbers = {key: each for key, each in self.numbers.items() if each.number in rung}

    def _note_open_windows(self) -> None:
        """Take for useful the silences by the clock that meet rings of days that are not all known."""
        for window in self.windows if self.open_days else ():
            near = (window.day + timedelta(days=n) for n in range(-2, 3))
            if not self.open_days.isdisjoint(near):
                self.useful.add(window.stands.special.span)


def _replace(stands: Stands) -> Replace:
    special = stands.special.special
    assert isinstance(special, Replace)
    return special


def _acting(stands: Stands) -> Acting:
    special = stands.special.special
    if isinstance(special, Replace):
        return Acting(stands.special.span, stands.said, "replace")
    if isinstance(special, AsUsual):
        return Acting(stands.special.span, stands.said, "as usual")
    return Acting(stands.special.span, stands.said, _WORDS[type(special)])  # type: ignore[arg-type]


def work_out_days(programme: Programme, shapes: Shapes, coverage: Coverage) -> Days:
    """Return what is made for each date of the terms."""
    return _DayMaker(programme, shapes, coverage).run()
