"""Programmes drawn at random as blocks and lines, most of them without a fault.

The words are invented; what is drawn keeps the language's own rules as far as they can be kept without
working the programme out: a change names a label that its timetables have, no date is replaced twice, no
added ring falls into a silence. What is left over gives a fault now and then, which is welcome too.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from random import Random
from typing import NamedTuple, TypeVar

from hypothesis import strategies as st

from chime.clock import WEEKDAYS, write_time

T = TypeVar("T")

MAIN = "test.chime"
USED = "hall.chime"
CLOSURES = "closures.ics"


class Part(NamedTuple):
    """A block: the line that opens it and its indented lines, without their indentation."""

    opener: str
    lines: tuple[str, ...] = ()


class Written(NamedTuple):
    """A programme: the blocks of its file, those of a file it uses, and the first day of its first term."""

    parts: tuple[Part, ...]
    used: tuple[Part, ...]
    first: date

    @property
    def text(self) -> str:
        return text_of(self.parts)

    @property
    def files(self) -> Mapping[str, str]:
        return {USED: text_of(self.used), CLOSURES: closures_from(self.first)}


def text_of(parts: Sequence[Part]) -> str:
    return "".join(part.opener + "\n" + "".join(f"  {line}\n" for line in part.lines) for part in parts)


def reordered(written: Written, random: Random) -> Written:
    """The same blocks and lines in another order."""
    return written._replace(parts=_shuffled(written.parts, random), used=_shuffled(written.used, random))


def _shuffled(parts: Sequence[Part], random: Random) -> tuple[Part, ...]:
    found = [part._replace(lines=tuple(random.sample(part.lines, len(part.lines)))) for part in parts]
    random.shuffle(found)
    return tuple(found)


def closures_from(first: date) -> str:
    """Two closures in the second week: one day, and one over two days."""
    entries = []
    for number, (after, length) in enumerate(((7, 1), (9, 2))):
        start, end = first + timedelta(days=after), first + timedelta(days=after + length)
        entries += [
            "BEGIN:VEVENT",
            f"UID:closure-{number}@ostermead.example",
            "DTSTAMP:20260801T000000Z",
            f"DTSTART;VALUE=DATE:{start:%Y%m%d}",
            f"DTEND;VALUE=DATE:{end:%Y%m%d}",
            f"SUMMARY:Closure {number}",
            "END:VEVENT",
        ]
    head = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//ostermead//closures//EN"]
    return "".join(f"{line}\r\n" for line in (*head, *entries, "END:VCALENDAR"))


# ------------------------------------------------------------------ what is drawn from

_PLACES = {
    "Europe/London": ("2026-10-12", "2027-03-15"),  # clocks change on 25 October and 28 March
    "America/New_York": ("2026-10-26", "2027-03-01"),  # on 1 November and 14 March
    "Australia/Lord_Howe": ("2026-09-21", "2027-03-29"),  # by half an hour, on 4 October and 4 April
    "Africa/Casablanca": ("2027-02-01", "2027-03-01"),  # about Ramadan
    "Asia/Kolkata": ("2026-09-07",),
}
_HOLIDAYS = {"Europe/London": "GB-ENG", "America/New_York": "US", "Asia/Kolkata": "IN"}
_ZONES = ("main", "yard", "hall", "gate")
_REASONS = ("Sheep market", "Fair", "Concert, with tea", "Heating # 2", "Café visit")
_TIMES = (9 * 3600 + 1800, 10 * 3600 + 900, 12 * 3600, 13 * 3600)
"""The times from which changes count: after the end of every period "1"."""

_MACHINE = (
    "loop 24 h in rows of 1 min",
    "row 2.54 mm",
    "tape 25.4 mm wide, 0.1 mm thick",
    "sprocket every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge",
    "drive steps in 0.35 s",
    "tracks at 2.34, 4.88, 7.42, 12.50, 15.04, 17.58 mm from the guided edge",
    "hole round 1.83 mm within 0.05 mm",
    "finger drops in, round 0.70 mm within 0.04 mm",
    "side play 0.15 mm assumed",
    "reads 2 rows ahead on track 1, 4 rows ahead on track 2",
    "reads 1 row ahead on track 3",
    "gate at 7 s for 6 s, within 0.4 s",
    "relay operates 25 ms, releases 15 ms, bounces 10 ms",
    "errors jig 0.07 mm, registration 0.04 mm, stretch 0.03 % over 32 mm",
    "web at least 0.35 mm",
    "joint lap of 10 rows",
    "silenced Sun turning at 00:45 within 15 min",
    "silenced 03:00 - 04:00",
    "switches each zone",
    "attended Mon to Fri 08:15 - 17:15",
    "attended Sat 09:00 - 12:00",
    "costs tape change 15 min, silence 3 min",
)


class _Term(NamedTuple):
    label: str
    first: date
    last: date


class _Pen:
    """Draws one programme; what is drawn first is kept here, for what comes later names it."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.place = self.one_of(tuple(_PLACES))
        self.zones = _ZONES[: self.number(1, 4)]
        self.signals = ("lesson", "short", "long")[: self.number(1, 3)]
        self.has_group = len(self.zones) > 1 and self.chance(5)
        self.has_night = False
        self.has_replaced = False
        self.timetables: list[str] = []
        self.labels: dict[str, list[str]] = {}
        self.terms = self.draw_terms()

    # ------------------------------------------------------------ choosing

    def one_of(self, choices: Sequence[T]) -> T:
        return self.draw(st.sampled_from(choices))

    def number(self, least: int, most: int) -> int:
        return self.draw(st.integers(least, most))

    def chance(self, in_ten: int) -> bool:
        return self.one_of(range(10)) >= 10 - in_ten

    def zones_in(self, *, must: bool = False) -> str:
        """` in main, yard`, in one of its forms; nothing where the line may leave it out."""
        if not must and self.chance(5):
            return ""
        choices = ["in main", f"in {self.zones[-1]}", "everywhere", "in " + ", ".join(self.zones)]
        if self.has_group:
            choices.append("in lessons")
        return " " + self.one_of(choices)

    def reason(self) -> str:
        return f' "{self.one_of(_REASONS)}"' if self.chance(6) else ""

    def written(self, day: date) -> str:
        """A date, with its weekday or without."""
        return f"{WEEKDAYS[day.weekday()]} {day}" if self.chance(3) else str(day)

    # --------------------------------------------------------------- terms

    def draw_terms(self) -> tuple[_Term, ...]:
        monday = date.fromisoformat(self.one_of(_PLACES[self.place]))
        first = monday + timedelta(days=self.number(0, 2))
        last = monday + timedelta(days=7 * self.number(2, 4) - self.number(1, 3))
        terms = [_Term("Autumn", first, last)]
        if self.chance(4):
            start = last + timedelta(days=self.number(1, 12))
            terms.append(_Term("Spring", start, start + timedelta(days=self.number(6, 16))))
        return tuple(terms)

    # -------------------------------------------------------------- blocks

    def programme(self) -> Part:
        lines = [f"place {self.place}", "issue 2 on 2026-08-20"]
        if self.has_night or self.chance(2):
            missing = self.one_of(("skip missing hour", "ring missing hour at 04:10"))
            lines.append(f"clocks {missing}, repeated hour rings {self.one_of(('first', 'second', 'both'))}")
        lines += ["longest ring 30 s"] if self.chance(2) else []
        lines += ['published at "https://bells.example/ostermead.ics"'] if self.chance(2) else []
        return Part('programme "Ostermead House"', tuple(lines))

    def places(self) -> list[Part]:
        parts = []
        is_fed = self.chance(2)
        for track, zone in enumerate(self.zones, 1):
            lines = ("bells 2 at 420 mA each fed by bell-supply", "cable 2.5 mm2, bells at 25, 60 m")
            label = f' "The {zone}"' if self.chance(5) else ""
            parts.append(Part(f"zone {zone} on track {track}{label}", lines if is_fed and track == 1 else ()))
        parts += [Part("supply bell-supply 12 V 8 A")] if is_fed else []
        parts += [Part(f"group lessons {', '.join(self.zones[:2])}")] if self.has_group else []
        parts += [Part(f'audience "Year 9" in {self.zones[0]}')] if self.chance(2) else []
        lengths = {"lesson": "6 s within 2 s", "short": "3 s within 1 s", "long": "6 s within 1 s"}
        return parts + [Part(f"signal {name} {lengths[name]}") for name in self.signals]

    def days(self) -> list[Part]:
        parts = [self.timetable(name) for name in ("normal", "early", "market")[: self.number(1, 3)]]
        for name in ("half", "long-lunch")[: self.number(0, 2)]:
            parts.append(self.like(name, self.one_of(self.timetables)))
        return parts

    # ---------------------------------------------------------- timetables

    def timetable(self, name: str) -> Part:
        self.timetables.append(name)
        at = 7 * 3600 + 1800 + 300 * self.number(0, 12)
        end = at + 60 * self.number(20, 50)
        lines = [f'period "1" {write_time(at)} - {write_time(end)}{self.zones_in()}']
        self.labels[name] = ["Gates"]
        for label in range(2, 2 + 2 * self.number(0, 4), 2):
            at = end + 60 * self.number(1, 20)
            line, end = self.stretch(name, label, at)
            lines.append(line)
        lines += [self.night_line()] if self.chance(4) else []
        end = 30 * 3600 if "Night" in lines[-1] else end
        lines += [f"must end {write_time(end)}"] if self.chance(5) else []
        lines += [self.each_period()] if self.chance(9) else []
        lines.append(f'ring 06:10 {self.one_of(self.signals)} in {self.zones[0]} "Gates"')
        for _ in range(self.number(0, 2)):
            lines.append(self.ring_line())
        return Part(f"timetable {name}{self.zones_in(must=True)}", tuple(lines))

    def stretch(self, name: str, number: int, at: int) -> tuple[str, int]:
        """A period, a pause or two periods from a time on, and the time at which it ends."""
        length, kind = 60 * self.number(20, 55), self.one_of(("period", "pause", "periods"))
        end = at + length
        if kind == "periods":
            gap = 60 * self.number(0, 5)
            passing = f" passing {gap // 60} min" if gap or self.chance(5) else ""
            self.labels[name] += [str(number), str(number + 1)]
            line = f"periods {number} to {number + 1} of {length // 60} min from {write_time(at)}{passing}"
            return line + self.zones_in(), end + gap + length
        label = str(number) if kind == "period" else f"Pause {number}"
        self.labels[name].append(label)
        quiet = " quiet" if kind == "pause" and self.chance(3) else ""
        return f'{kind} "{label}" {write_time(at)} - {write_time(end)}{self.zones_in()}{quiet}', end

    def each_period(self) -> str:
        parts = [f"start {self.one_of(self.signals)}", f"end {self.one_of(self.signals)}"]
        if self.chance(4):
            edge = self.one_of(("start", "end"))
            parts.append(f"warn {self.signals[-1]} {self.number(2, 4)} min before {edge}")
        return "each period " + ", ".join(self.draw(st.permutations(parts)))

    def ring_line(self) -> str:
        minutes = self.draw(st.lists(st.integers(0, 719), min_size=1, max_size=4, unique=True))
        seconds = self.one_of((0, 0, 0, 30))
        times = ", ".join(write_time(9 * 3600 + 60 * minute + seconds) for minute in minutes)
        label = self.one_of(("", ' "Line up"', ' "Buses"'))
        return f"ring {times} {self.one_of(self.signals)}{self.zones_in()}{label}"

    def night_line(self) -> str:
        self.has_night = True
        if self.chance(3):
            return f'pause "Night" 22:00 - 06:00{self.zones_in()}'
        times = self.draw(st.lists(st.sampled_from(_NIGHT), min_size=1, max_size=4, unique=True))
        return f"ring {', '.join(times)} {self.one_of(self.signals)}{self.zones_in()}"

    def like(self, name: str, base: str) -> Part:
        """A timetable like another: its period "1" and its gates stay where they are."""
        self.timetables.append(name)
        others = [label for label in self.labels[base] if label != "Gates"]
        self.labels[name] = ["Gates"]
        lines = [f"shift {self.signed(5)} {self.window()}{self.zones_in()}"] if self.chance(6) else []
        if others and self.chance(5):
            label = others[0]
            window = self.one_of(("", "", " from 07:00", " before 18:00"))
            lines.append(f'drop "{label}"{self.zones_in()}{window}')
        elif others and self.chance(6):
            lines.append(f'move "{others[0]}" to 15:50 - 16:20')
        if not lines or self.chance(3):
            lines.append(f"drop after {write_time(14 * 3600 + 60 * self.number(0, 59))}{self.zones_in()}")
        lines += [self.ring_line()] if self.chance(6) else []
        lines += [self.each_period()] if self.chance(2) else []
        return Part(f"timetable {name} like {base}", tuple(lines))

    def signed(self, most: int) -> str:
        return f"{self.one_of(('+', '-'))}{self.number(1, most)} min"

    def window(self) -> str:
        start = self.one_of(_TIMES)
        end = start + 60 * self.number(10, 120)
        forms = ("from {0} until {1}", "{0} - {1}", "from {0}", "after {0}")
        return self.one_of(forms).format(write_time(start), write_time(end))

    # ------------------------------------------------------------ patterns

    def patterns(self) -> list[Part]:
        kind = self.one_of(("week", "week", "weeks", "cycle"))
        names = {"week": ("ordinary",), "weeks": ("a", "b"), "cycle": ()}[kind]
        parts = [Part(f"week {name}", self.week_lines()) for name in names]
        if kind == "cycle":
            parts.append(self.cycle())
        for term in self.terms:
            parts.append(Part(f'term "{term.label}" {term.first} to {term.last}', self.pattern(kind, term)))
        return parts

    def pattern(self, kind: str, term: _Term) -> tuple[str, ...]:
        if kind == "week":
            return ("week ordinary",) if self.chance(5) else ()
        anchor = self.one_of((term.first, self.terms[0].first))
        if kind == "cycle":
            start = f" at day {self.number(1, 2)}" if self.chance(3) else ""
            return (f"cycle turns from {anchor}{start} {self.one_of(('slip', 'skip'))}",)
        counting = self.one_of(("counting school weeks", "counting every week"))
        return (f"weeks a, b from {anchor} {counting}",)

    def week_lines(self) -> tuple[str, ...]:
        usual = self.one_of(self.timetables)
        if self.chance(4):
            at_end = self.one_of(("silent", usual, self.one_of(self.timetables)))
            return (f"Mon to Thu {usual}", f"Fri {self.one_of(self.timetables)}", f"Sat, Sun {at_end}")
        by_day = [self.one_of(self.timetables) for _ in range(5)]
        by_day += [self.one_of(("silent", "silent", self.one_of(self.timetables))) for _ in range(2)]
        answers: dict[str, list[str]] = {}
        for weekday, answer in zip(WEEKDAYS, by_day, strict=True):
            answers.setdefault(answer, []).append(weekday)
        return tuple(f"{', '.join(days)} {answer}" for answer, days in answers.items())

    def cycle(self) -> Part:
        days = range(1, self.number(2, 6) + 1)
        lines = [f"day {day} {self.one_of(self.timetables)}" for day in days]
        weekdays = self.one_of(("Mon to Fri", "Mon, Tue, Thu, Fri", "Mon to Sat"))
        return Part(f"cycle turns on {weekdays}", tuple(lines))

    # ---------------------------------------------------------- exceptions

    def exceptions(self) -> list[Part]:
        lines: list[str] = []
        for term in self.terms:
            for monday in _mondays(term):
                inside = [
                    monday + timedelta(days=n)
                    for n in range(5)
                    if term.first <= monday + timedelta(days=n) <= term.last
                ]
                lines += self.in_week(inside)
        lines += self.over_the_term()
        lines += self.from_outside() if self.chance(3) else []
        cut = self.number(0, len(lines))
        return [Part("exceptions", tuple(part)) for part in (lines[:cut], lines[cut:]) if part]

    def in_week(self, days: list[date]) -> list[str]:
        """The exceptions of one week, of one kind, so that no two of them fall out with each other."""
        kinds = (self.nothing, self.closed, self.replaced, self.changed, self.added, self.silenced)
        return self.one_of(kinds)(days) if days else []

    def nothing(self, days: list[date]) -> list[str]:
        del days
        return []

    def span(self, days: list[date]) -> str:
        """One date of some, or a range of them."""
        first, last = sorted((self.number(0, len(days) - 1), self.number(0, len(days) - 1)))
        if first == last:
            return self.written(days[first])
        return f"{self.written(days[first])} to {self.written(days[last])}"

    def closed(self, days: list[date]) -> list[str]:
        if len(days) < 2 or self.chance(4):
            return [f"{self.written(self.one_of(days))} silent{self.reason()}"]
        lines = [f"{days[0]} to {self.written(days[-1])} silent{self.reason()}"]
        opened = self.written(self.one_of(days))
        how = self.one_of(("", "as usual", "instead"))
        if how == "as usual":
            lines.append(f"{opened} as usual{self.reason()}")
        elif how == "instead":
            self.has_replaced = True
            lines.append(f"{opened} {self.one_of(self.timetables)} instead{self.reason()}")
        if self.chance(3):
            lines.append(f"{opened} add 16:20 {self.signals[0]} in main{self.reason()}")
        return lines

    def replaced(self, days: list[date]) -> list[str]:
        self.has_replaced = True
        return [f"{self.span(days)} {self.one_of(self.timetables)}{self.reason()}"]

    def changed(self, days: list[date]) -> list[str]:
        when, lines = self.span(days), []
        if self.chance(6):
            what = self.one_of((f"drop {self.window()}", 'drop "Gates"', "drop 06:10", "drop from 13:00"))
            lines.append(f"{when} {what}{self.zones_in()}{self.reason()}")
        if self.chance(5):
            window = self.one_of(("", f" {self.window()}"))
            lines.append(f"{self.span(days)} shift {self.signed(10)}{window}{self.zones_in()}{self.reason()}")
        if self.chance(5):
            lines.append(f'{when} move "1" to 06:{self.number(15, 29)} - 06:50{self.reason()}')
        elif self.chance(4) and not any("Gates" in line or "06:10" in line for line in lines):
            lines.append(f"{when} move 06:10 to 06:12 in {self.zones[0]}{self.reason()}")
        return lines

    def added(self, days: list[date]) -> list[str]:
        times = self.one_of(("16:31", "16:31, 16:33", "16:40:30, 25:40"))
        self.has_night = self.has_night or "25:40" in times
        return [f"{self.span(days)} add {times} {self.one_of(self.signals)} in main{self.reason()}"]

    def silenced(self, days: list[date]) -> list[str]:
        early = self.one_of(("09:00 - 12:30", "from 08:00 until 11:10", "before 10:00", "24:30 - 27:00"))
        if len(self.zones) == 1:
            return [f"{self.span(days)} silent {early}{self.reason()}"]
        last = self.zones[-1]
        forms = (early, f"in {last}", f"in {last} {early}", f"from 10:00 in {last}", f"in {last} after 22:00")
        return [f"{self.span(days)} silent {self.one_of(forms)}{self.reason()}"]

    def over_the_term(self) -> list[str]:
        """A line for every such weekday of the first term."""
        term = self.terms[0]
        when = f"every {self.one_of(WEEKDAYS[:5])} from {term.first} to {term.last}"
        forms = [
            f"add 17:05 {self.signals[0]} in main",
            'drop "Gates"',
            "drop 06:10",
            f"drop {self.window()}",
        ]
        if not self.has_replaced and self.chance(2):
            forms = [self.timetables[-1]]
        return [f"{when} {self.one_of(forms)}{self.reason()}"] if self.chance(4) else []

    def from_outside(self) -> list[str]:
        region = _HOLIDAYS.get(self.place)
        if region is None or self.chance(5):
            return [f'days in "{CLOSURES}" silent']
        return [f"public holidays of {region} silent"]

    # ------------------------------------------------------------- machine

    def machine(self) -> list[Part]:
        if self.chance(7):
            return []
        lines = [line for line in _MACHINE if line.startswith("loop") or self.chance(6)]
        return [Part("machine hall", tuple(lines))]


_NIGHT = ("01:30", "02:15", "06:00", "22:00", "23:59:30", "24:00", "25:30", "26:15", "30:00", "30:10")


def _mondays(term: _Term) -> list[date]:
    monday = term.first - timedelta(days=term.first.weekday())
    return [monday + timedelta(days=n) for n in range(0, (term.last - monday).days + 1, 7)]


@st.composite
def programmes(draw: st.DrawFn) -> Written:
    """A programme, most often without an error."""
    pen = _Pen(draw)
    days = pen.days()
    rest = [*pen.patterns(), *pen.exceptions()]
    machine = pen.machine()
    own = [pen.programme(), *pen.places(), *days, *rest]
    if machine and pen.chance(5):
        own, used = [*own, Part(f'use "{USED}"')], machine
    else:
        own, used = [*own, *machine], []
    return Written(tuple(own), tuple(used), pen.terms[0].first)
