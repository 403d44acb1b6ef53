"""What can be wrong with timetables, days and dates: codes D421 to D459."""

import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Literal

from chime.clock import write_date, write_duration, write_time
from chime.diagnostics import Code, Diagnostic, Edit, Span, Suggestion
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.model import Period, Signal
from chime.rings.model import Ring
from chime.rings.shapes import Mark, Signals, longest

_DAY = "timetable normal in main\n  each period start lesson, end lesson\n"
_EARLY = "timetable early in main\n  ring 08:50, 12:00 lesson\nexceptions\n"
_CYCLE = """\
cycle two on Mon to Fri
  day 1 normal
  day 2 silent
term "Autumn" 2026-09-07 to 2026-12-18
  week ordinary
term "Spring" 2027-01-05 to 2027-03-25
  cycle two from 2027-01-05"""
_HEAD = 'programme "One"\n  place Europe/London\n  issue 1 on 2026-08-20\n  clocks ring missing hour at'
_NIGHTS = "week ordinary\n  Mon to Sun normal"
_SPRING = 'term "Spring" 2027-01-05 to 2027-04-09'

DOES_NOT_END = Code(
    "D421", "sum-does-not-close", "error",
    "`must end` checks the arithmetic of a day: its last period or pause has to stop then. Where it stops earlier or later it means "
    "that a length or a gap is not what was meant.",
    _DAY + '  periods 1 to 2 of 50 min from 09:00 passing 5 min\n  must end 10:50',
    _DAY + '  periods 1 to 2 of 50 min from 09:00 passing 5 min\n  must end 10:45',
)  # fmt: skip
RINGS_NOWHERE = Code(
    "D422", "period-rings-nowhere", "warning",
    "A period or pause rings as its timetable's `each period` line says; a pause that shall not ring ends in `quiet`.",
    'timetable normal in main\n  period "1" 08:45 - 09:45\n  ring 08:40 lesson',
    _DAY + '  period "1" 08:45 - 09:45',
)  # fmt: skip
OVERLAP = Code(
    "D423", "periods-overlap", "warning",
    "Two periods or pauses of a zone overlap: somebody would have to be at two places.",
    _DAY + '  period "1" 08:45 - 09:45\n  period "2" 09:40 - 10:40',
    _DAY + '  period "1" 08:45 - 09:45\n  period "2" 09:45 - 10:40',
)  # fmt: skip
SIGNALS_MEET = Code(
    "D424", "signals-meet", "warning",
    "Rings of one zone at one time are one ring. Where their signals differ the longest sounds (of equal lengths the one "
    "with the narrower tolerance), so the other is not heard as itself.",
    "signal short 3 s within 1 s\ntimetable normal in main\n  ring 08:40 lesson\n  ring 08:40 short",
    "signal short 3 s within 1 s\ntimetable normal in main\n  ring 08:40 lesson\n  ring 08:41 short",
)  # fmt: skip
WARNING_AT_END = Code(
    "D425", "warning-at-end", "warning",
    "A warning that falls on the end of the period before cannot be told apart from it: it is one ring.",
    'timetable normal in main\n  each period end lesson, warn lesson 2 min before start\n  periods 1 to 2 of 50 min from 09:00 passing 2 min',
    'timetable normal in main\n  each period end lesson, warn lesson 2 min before start\n  periods 1 to 2 of 50 min from 09:00 passing 5 min',
)  # fmt: skip
CLOSED_DAY_UNDECLARED = Code(
    "D431", "slip-or-skip", "error",
    "When a day of a cycle is closed, either it takes no number and the next day has it (`slip`), or its number is lost "
    "(`skip`). A term with a closure must say which.",
    _CYCLE + '\nexceptions\n  2027-01-13 silent "Snow"',
    _CYCLE + ' slip\nexceptions\n  2027-01-13 silent "Snow"',
)  # fmt: skip
TWO_REPLACEMENTS = Code(
    "D432", "two-replacements", "error",
    "At most one exception replaces a day. Where a range and a line for one of its dates differ, the one that shall win "
    "says `instead`.",
    _EARLY + '  2026-10-26 to 2026-10-30 silent "Half term"\n  2026-10-28 early "Open day"',
    _EARLY + '  2026-10-26 to 2026-10-30 silent "Half term"\n  2026-10-28 early instead "Open day"',
)  # fmt: skip
INSTEAD_BEATS_NOTHING = Code(
    "D433", "instead-beats-nothing", "warning",
    "`instead` beats another replacement of the same date; here there is none, so one may have been forgotten or has gone.",
    _EARLY + '  2026-10-28 early instead "Open day"',
    _EARLY + '  2026-10-28 early "Open day"',
)  # fmt: skip
ADDED_AND_SILENCED = Code(
    "D434", "added-and-silenced", "error",
    "An added ring that a `silent` of the same day takes away: one line says that it rings, the other that it does not.",
    'exceptions\n  2026-11-11 add 11:00 lesson in main "Two minutes"\n  2026-11-11 silent in main 10:00 - 12:00 "Examination"',
    'exceptions\n  2026-11-11 add 11:00 lesson in main "Two minutes"\n  2026-11-12 silent in main 08:00 - 12:00 "Examination"',
)  # fmt: skip
CHANGES_NOTHING = Code(
    "D435", "exception-changes-nothing", "warning",
    "On none of its dates does the exception change a ring, and no week's letter or day's number depends on it: the date, the "
    "zones or the window are not what was meant, or the line is left over.",
    'exceptions\n  Sat 2026-10-31 silent "Fair"',
    'exceptions\n  Fri 2026-10-30 silent "Fair"',
)  # fmt: skip
NEARLY_ALIKE = Code(
    "D436", "nearly-alike", "warning",
    "Two timetables differ in one ring, or a day that an exception makes has one a few minutes earlier or later than another "
    "such day or timetable. If that is a slip, one tape (or one selector position) could serve both.",
    "timetable normal in main\n  ring 08:40, 13:04 lesson\ntimetable other in main\n  ring 08:40, 13:05 lesson\nweek ordinary\n  Mon to Thu normal\n  Fri other\n  Sat, Sun silent",
    "timetable normal in main\n  ring 08:40, 13:04 lesson\ntimetable other in main\n  ring 08:50, 13:05 lesson\nweek ordinary\n  Mon to Thu normal\n  Fri other\n  Sat, Sun silent",
)  # fmt: skip
MISSING_HOUR = Code(
    "D441", "ring-in-missing-hour", "error",
    "When clocks go forward an hour does not exist, and a ring in it cannot sound. The programme says what is done: "
    "`clocks skip missing hour`, or `clocks ring missing hour at 03:00`.",
    f"timetable normal in main\n  ring 01:30 lesson\n{_NIGHTS}\n{_SPRING}",
    f"timetable normal in main\n  ring 00:30 lesson\n{_NIGHTS}\n{_SPRING}",
)  # fmt: skip
REPEATED_HOUR = Code(
    "D442", "ring-in-repeated-hour", "error",
    "When clocks go back an hour comes twice. The programme says which pass rings: `clocks repeated hour rings first`, "
    "`second` or `both`.",
    f"timetable normal in main\n  ring 01:30 lesson\n{_NIGHTS}",
    f"timetable normal in main\n  ring 02:30 lesson\n{_NIGHTS}",
)  # fmt: skip
SUBSTITUTE_IN_THE_HOUR = Code(
    "D443", "substitute-in-the-hour", "error",
    "The time at which rings of a missing hour sound must itself exist, and once only.",
    f"{_HEAD} 01:45\ntimetable normal in main\n  ring 01:30 lesson\n{_NIGHTS}\n{_SPRING}",
    f"{_HEAD} 02:15\ntimetable normal in main\n  ring 01:30 lesson\n{_NIGHTS}\n{_SPRING}",
)  # fmt: skip
TOO_LONG = Code(
    "D451", "sound-too-long", "warning",
    "A sound without a break that lasts longer than `longest ring` (20 s if nothing is said). Where Directive 92/58/EEC "
    "holds, the signal to evacuate is continuous (Annex VII), so a bell must not sound like it.",
    "signal lesson 25 s within 2 s",
    "signal lesson 15 s within 2 s",
)  # fmt: skip

CODES = (
    DOES_NOT_END, RINGS_NOWHERE, OVERLAP, SIGNALS_MEET, WARNING_AT_END, CLOSED_DAY_UNDECLARED, TWO_REPLACEMENTS,
    INSTEAD_BEATS_NOTHING, ADDED_AND_SILENCED, CHANGES_NOTHING, NEARLY_ALIKE, MISSING_HOUR, REPEATED_HOUR,
    SUBSTITUTE_IN_THE_HOUR, TOO_LONG,
)  # fmt: skip


def does_not_end(span: Span, wanted: int, last: Mark | None) -> Diagnostic:
    """Say that the day does not end when it must."""
    if last is None:
        why = "There is no period or pause whose end could close the day."
        return complain(
            DOES_NOT_END, f"the day must end {write_time(wanted)} and has no period", (span, "must end"), why
        )
    off = wanted - last.to
    said = f"{write_duration(abs(off))} {'early' if off > 0 else 'late'}"
    return complain(
        DOES_NOT_END, f"the day ends {write_time(last.to)}, not {write_time(wanted)}: {said}", (span, "must end here"),
        "A length, a gap or a change is not what was meant, and the day would end with the wrong bell.", [(last.spans[-1], f"ends last, at {write_time(last.to)}")],
        write_instead(span, f"must end {write_time(last.to)}"),
    )  # fmt: skip


def period_rings_nowhere(period: Period) -> Diagnostic:
    """Warn of a period that makes no ring."""
    what = "pause" if period.is_pause else "period"
    return complain(
        RINGS_NOWHERE, f'the {what} "{period.label}" rings nowhere', (period.span, "no ring"),
        "Its timetable has no `each period` line that gives it a signal.",
        offers=sketch("each period start lesson, end lesson" + (", or `quiet` at the pause's end" if period.is_pause else "")),
    )  # fmt: skip


def period_emptied(timetable: str, mark: Mark, by: Sequence[Span]) -> Diagnostic:
    """Warn of a period of which a timetable drops every ring, but not both its start and its end."""
    what = "pause" if mark.period is not None and mark.period.is_pause else "period"
    return complain(
        RINGS_NOWHERE, f'the {what} "{mark.label}" rings nowhere in timetable {timetable}', (by[-1], "drops its ring"),
        "Its start or its end is still there, and gives no ring.",
        [(mark.spans[0], f"the {what}"), *((span, "drops another ring of it") for span in by[:-1])],
        sketch("drop the label, which takes the whole of it away"),
    )  # fmt: skip


def periods_overlap(timetable: str, overlaps: Sequence[tuple[Period, Period, str]]) -> Diagnostic:
    """Warn of periods of two lines that overlap in a zone; the first two are shown."""
    one, other, zone = overlaps[0]
    more = f", and {len(overlaps) - 1} more" if len(overlaps) > 1 else ""
    return complain(
        OVERLAP, f'"{one.label}" and "{other.label}" overlap in {zone} (timetable {timetable}{more})', (other.span, "begins before the other ends"),
        "Somebody would have to be at two places.", [(one.span, "still runs")],
    )  # fmt: skip


def signals_meet(
    timetable: str, at: int, zone: str, parts: Iterable[tuple[str, Span]], signals: Signals
) -> Diagnostic:
    """Warn of different signals at one time."""
    listed = sorted(parts, key=lambda p: (p[1].source.path, p[1].start, p[0]))
    winner = longest({s for s, _ in listed}, signals)
    last, rest = listed[-1], listed[:-1]
    others = [(span, signal) for signal, span in rest if span != last[1]]
    return complain(
        SIGNALS_MEET, f"{_both(s for s, _ in listed)} meet at {write_time(at)} in {zone} (timetable {timetable}): {winner} sounds",
        (last[1], last[0]), "Rings of a zone at one time are one ring. The longest signal sounds, of equally long ones that which tolerates less.", others,
    )  # fmt: skip


def nights_meet(one: Ring, other: Ring, winner: str) -> Diagnostic:
    """Warn of different signals of two service days at one time."""
    return _meet(one, other, winner, "of two days ", "Last night's ring and this morning's are one ring.")


def gathered_meet(one: Ring, other: Ring, winner: str) -> Diagnostic:
    """Warn of different signals at the time to which the rings of a missing hour are moved."""
    why = "A ring moved out of the missing hour and what rings at its new time are one ring."
    return _meet(one, other, winner, "", why)


def _meet(one: Ring, other: Ring, winner: str, whose: str, why: str) -> Diagnostic:
    place, rest = other.reasons[0].spans[0], one.reasons[0].spans[0]
    return complain(
        SIGNALS_MEET, f"{_both((one.signal, other.signal))} {whose}meet at {one.at:%H:%M} in {one.zone}: {winner} sounds",
        (place, other.signal), f"{why} The longest signal sounds, of equally long ones that which tolerates less.",
        [] if place == rest else [(rest, one.signal)],
    )  # fmt: skip


def _both(names: Iterable[str]) -> str:
    return " and ".join(sorted(set(names)))


def warning_at_end(timetable: str, at: int, zone: str, warned: Span, ended: Span) -> Diagnostic:
    """Warn of a warning that falls on the end of the period before."""
    others = [] if warned == ended else [(ended, "ends at the same time")]
    return complain(
        WARNING_AT_END, f"a warning falls on the end of a period at {write_time(at)} in {zone} (timetable {timetable})",
        (warned, "its warning"), "They are one ring, so the warning cannot be told apart.", others,
        sketch("a shorter warning, or none"),
    )  # fmt: skip


def closed_day_undeclared(span: Span, day: date, closers: Sequence[Span]) -> Diagnostic:
    """Say that a cycle must say what a closed day does."""
    return complain(
        CLOSED_DAY_UNDECLARED, f"{write_date(day)} is closed, and the cycle does not say what then", (span, "slip or skip?"),
        "With `slip` the next day takes its number, with `skip` the number is lost; every day after it depends on that.",
        [(c, "closes the day") for c in closers], write_instead(span, f"{span.text} slip", f"{span.text} skip"),
    )  # fmt: skip


def two_replacements(
    day: date, span: Span, first: Span, *, instead: bool, earlier: tuple[Span, date] | None = None
) -> Diagnostic:
    """Say that two lines replace a day differently.

    `earlier` is the line that gives a closed day a timetable, and the last day before it that rings.
    """
    one, other = sorted((span, first), key=lambda s: (s.source.path, s.start))
    offers = sketch(
        "take one of the two lines out" if instead else "write `instead` in the line that shall win"
    )
    if earlier is not None:
        offers = (*offers, *_on_an_earlier_day(*earlier, day))
    return complain(
        TWO_REPLACEMENTS, f"two lines replace {write_date(day)}", (other, "replaces the day"),
        "Which of the two is meant could not be told, and the bells can follow only one.", [(one, "replaces it too")], offers,
    )  # fmt: skip


def _on_an_earlier_day(span: Span, earlier: date, day: date) -> tuple[Suggestion, ...]:
    """Return the guess that the last day with bells was meant: the line with its date in place of its own."""
    written = re.search(rf"(?:[A-Z][a-z]{{2}}\s+)?{day.isoformat()}", span.text)
    if written is None:
        return ()
    place = Span(span.source, span.start + written.start(), span.start + written.end())
    text = f"{write_date(earlier)}, the last day before it that rings"
    return (Suggestion(text, "guess", (Edit(place, write_date(earlier)),)),)


def instead_beats_nothing(span: Span) -> Diagnostic:
    """Warn of an `instead` with nothing to beat."""
    why = "`instead` beats another replacement of the same date; here there is none."
    return complain(
        INSTEAD_BEATS_NOTHING, "`instead` beats nothing here", (span, "nothing else replaces this"), why
    )


def added_and_silenced(span: Span, silence: Span) -> Diagnostic:
    """Say that a silence would swallow an added ring."""
    return complain(
        ADDED_AND_SILENCED, "an added ring falls in a silence", (span, "adds it"),
        "One line says that it rings, the other that it does not.", [(silence, "silences it")],
        sketch("give the silence an end before the ring, or other zones"),
    )  # fmt: skip


def changes_nothing(span: Span) -> Diagnostic:
    """Warn of an exception that changes nothing."""
    why = "No ring is added, moved or silenced by it on any of its dates, and no week's letter or day's number depends on it."
    return complain(CHANGES_NOTHING, "this exception changes nothing", (span, "without effect"), why)


def nearly_alike(span: Span, first: Span, names: tuple[str, str], difference: str) -> Diagnostic:
    """Warn of two timetables that differ in one ring."""
    (before, one), (after, other) = sorted(
        zip((first, span), names, strict=True), key=lambda p: (p[0].source.path, p[0].start)
    )
    return complain(
        NEARLY_ALIKE, f"the timetables {one} and {other} differ in one ring: {difference}", (after, other),
        "If that is a slip, one tape could serve both.", [(before, one)],
    )  # fmt: skip


def days_nearly_alike(
    span: Span, days: Sequence[date | str | None], others: Sequence[tuple[Span, str]], difference: str
) -> Diagnostic:
    """Warn of a day made by an exception that differs in one ring from another such day, or from a timetable."""
    named = [write_date(day) if isinstance(day, date) else f"the timetable {day}" for day in days]
    return complain(
        NEARLY_ALIKE, f"{' and '.join(named)} differ in one ring: {difference}", (span, "makes one of them"),
        "If that is a slip, one tape could serve both.", others,
    )  # fmt: skip


def undecided_hour(kind: Literal["missing", "repeated"], rings: Sequence[Ring], place: str) -> Diagnostic:
    """Say that rings fall in an hour that does not exist, or comes twice, and the programme does not say what then.

    One `clocks` line settles them all, so they are one fault; the first is shown, and each further line.
    """
    first = rings[0]
    lines = dict.fromkeys(ring.reasons[0].spans[0] for ring in rings)
    here, *others = lines
    more = f" (and {len(rings) - 1} more)" if len(rings) > 1 else ""
    if kind == "missing":
        code, headline = MISSING_HOUR, f"{_when(first.at)} does not exist in {place}: the clocks go forward"
        why = "The hour is skipped by the clocks, so the ring cannot sound."
        offers = sketch("clocks skip missing hour, or: clocks ring missing hour at 03:00")
    else:
        code, headline = REPEATED_HOUR, f"{_when(first.at)} comes twice in {place}: the clocks go back"
        why = "Without a word the ring would sound twice, or once at an hour nobody chose."
        offers = sketch("clocks repeated hour rings first, or second, or both")
    also = [(span, "in such an hour too") for span in others[:3]]
    return complain(code, headline + more, (here, "rings then"), why, also, offers)


def substitute_in_the_hour(span: Span, at: datetime) -> Diagnostic:
    """Say that the substitute for a missing hour does not exist itself."""
    headline = f"rings of the missing hour cannot move to {_when(at)}, which is in such an hour itself"
    why = "The time at which they ring must exist and come once."
    return complain(SUBSTITUTE_IN_THE_HOUR, headline, (span, "rings then"), why)


def signal_too_long(signal: Signal, longest_ms: int) -> Diagnostic:
    """Warn of a signal longer than the longest ring."""
    return _too_long(
        signal.span,
        f'the signal "{signal.name}" sounds {_seconds(signal.length_ms)} without a break',
        longest_ms,
        [],
    )


def rings_too_long(
    ring: Ring,
    ends: tuple[Span, Span],
    line: Span | None,
    total_ms: int,
    longest_ms: int,
    days: Sequence[date],
) -> Diagnostic:
    """Warn of rings that run into each other: the first of them, and the lines that begin and end the sound.

    `line` is an exception that has a part in it; `days` are given where it does not sound so every day.
    """
    when = f" {on_dates(days)}" if days else ""
    at = write_time(ring.at.hour * 3600 + ring.at.minute * 60 + ring.at.second)
    headline = f"rings from {at} in {ring.zone} run together into one sound of {_seconds(total_ms)}{when}"
    first, last = ends
    others = [(first, "begins it")] if first != last else []
    if line is not None:
        others = [(s, t) for s, t in (*others, (last, "ends it")) if s != line]
    return _too_long(line or last, headline, longest_ms, others)


def on_dates(days: Sequence[date]) -> str:
    """Return when something is so: `on Tue 2026-09-15`, or `on 4 dates, the first Tue 2026-09-15`."""
    if len(days) == 1:
        return f"on {write_date(days[0])}"
    return f"on {len(days)} dates, the first {write_date(days[0])}"


def _too_long(span: Span, headline: str, longest_ms: int, others: list[tuple[Span, str]]) -> Diagnostic:
    why = (
        f"Longer than {_seconds(longest_ms)}. In many places a continuous sound is the signal to leave the building. "
        "`longest ring` in the programme block sets another length."
    )
    return complain(TOO_LONG, headline, (span, "too long"), why, others)


def _seconds(milliseconds: int) -> str:
    seconds, rest = divmod(milliseconds, 1000)
    if seconds >= 120 and not rest:
        return write_duration(seconds)
    return f"{seconds}.{rest:03}".rstrip("0").rstrip(".") + " s"


def _when(at: datetime) -> str:
    return f"{write_date(at.date())} {at:%H:%M}"
