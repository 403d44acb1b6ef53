"""Laws: no bell goes missing without a line that took it away, and `chime why` names that line.

The programmes are drawn by tests/random_programmes.py. What a timetable rings by itself is held against
what does ring on each date that runs it; whatever is not there must have been dropped, moved, shifted
or silenced by a line that acts on that date, or lie in an hour that the clocks pass over.
"""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import islice
from pathlib import Path
from random import Random
from typing import NamedTuple

from click.testing import CliRunner
from hypothesis import given

from chime.cli import group
from chime.compiler import Checked
from chime.diagnostics import Span
from chime.programme.model import Programme
from chime.rings.explain import explain_time
from chime.rings.model import Day, Reason, Removed, Ring, RingCalendar
from chime.rings.plain_days import plain_days
from chime.rings.timetables import work_out
from tests.compiling import checked
from tests.random_programmes import Written, programmes
from tests.shipped_texts import MIXERS, law

TAKES_AWAY = re.compile(r"\b(drop|shift|move|each period)\b")


class Cause(NamedTuple):
    """A reason to ring that a timetable gives: when, where, as what, and the line that writes it."""

    at: datetime
    zone: str
    label: str | None
    span: Span


def causes_of(rings: dict[str, list[tuple[int, str, Reason]]], timetable: str, day: date) -> Iterator[Cause]:
    start = datetime(day.year, day.month, day.day)
    for at, zone, reason in rings[timetable]:
        yield Cause(start + timedelta(seconds=at), zone, reason.label, reason.spans[0])


def plain_causes(programme: Programme) -> dict[str, list[tuple[int, str, Reason]]]:
    """Every reason to ring of each timetable by itself."""
    shapes = work_out(programme).shapes
    return {
        plain.name: [
            (ring.at, ring.zone, reason) for ring in plain.programme.rings for reason in ring.reasons
        ]
        for plain in plain_days(programme, shapes)
    }


class Kept(NamedTuple):
    """What a calendar says of each cause: that it rings, or by which line it does not."""

    ringing: set[Cause]
    silenced: dict[Cause, Span]
    removed: dict[Cause, Removed]


def kept(calendar: RingCalendar) -> Kept:
    removed = {Cause(r.at, r.zone, r.label, r.span): r for r in calendar.removed}
    ringing = {cause for ring in calendar.rings for cause in of_ring(ring)}
    silenced = {cause: one.by for one in calendar.silenced for cause in of_ring(one.ring)}
    return Kept(ringing, silenced, removed)


def of_ring(ring: Ring) -> Iterator[Cause]:
    for reason in ring.reasons:
        yield Cause(ring.at, ring.zone, reason.label, reason.spans[0])


def ring_warned_of(cause: Cause, everything: Kept) -> Removed | None:
    """What became of the start or end whose warning a cause is: the warning goes along with it."""
    owner, _, minutes = (cause.label or "").rpartition(" in ")
    if not re.fullmatch(r"\d+ min", minutes):
        return None
    after = timedelta(minutes=int(minutes.removesuffix(" min")))
    label = owner if owner.endswith(" ends") else f"{owner} starts"
    return everything.removed.get(Cause(cause.at + after, cause.zone, label, cause.span))


def is_gathered(cause: Cause, programme: Programme, everything: Kept) -> bool:
    """Whether a cause in a missing hour rings, or is silenced, at the time that the programme says instead."""
    if programme.clocks.missing_at is None:
        return False
    midnight = datetime(cause.at.year, cause.at.month, cause.at.day)
    there = cause._replace(at=midnight + timedelta(seconds=programme.clocks.missing_at))
    return there in everything.ringing or there in everything.silenced


# ---------------------------------------------------------------- what exceptions take away


def test_what_an_exception_takes_away_is_named_with_the_line_that_did_it() -> None:
    seen: Counter[str] = Counter()

    @law(max_examples=120)
    @given(programmes())
    def draw(written: Written) -> None:
        found = checked(written.text, written.files)
        if found.calendar is None or found.programme is None:
            return
        plain, everything = plain_causes(found.programme), kept(found.calendar)
        for day in found.calendar.days:
            for cause in causes_of(plain, day.runs, day.day) if day.runs is not None else ():
                seen[what_became_of(cause, day, found.programme, everything)] += 1

    draw()
    assert all(seen[kind] > 3 for kind in ("rings", "silenced", "dropped", "moved", "warning")), seen


def what_became_of(cause: Cause, day: Day, programme: Programme, everything: Kept) -> str:
    """Say what became of a cause; fails if nothing names it."""
    if cause in everything.ringing:
        return "rings"
    if cause in everything.silenced:
        by = everything.silenced[cause].text
        assert "silent" in by or by.startswith("clocks"), (cause, by)
        return "silenced"
    if is_gathered(cause, programme, everything):
        return "gathered"
    own = everything.removed.get(cause)
    removed = own or ring_warned_of(cause, everything)
    assert removed is not None, (day.day, cause)
    assert TAKES_AWAY.search(removed.by.text), removed
    assert removed.by in {acts.span for acts in day.acting}, (day, removed)
    if own is None:
        return "warning"
    if own.to is None:
        assert "drop" in own.by.text
        return "dropped"
    there = cause._replace(at=own.to)
    is_there = there in everything.ringing or there in everything.silenced
    assert is_there or is_gathered(there, programme, everything), own
    return "moved"


def test_a_day_on_which_another_timetable_runs_names_the_line_that_says_so() -> None:
    seen: Counter[bool] = Counter()

    @law(max_examples=60)
    @given(programmes())
    def draw(written: Written) -> None:
        calendar = checked(written.text, written.files).calendar
        for day in calendar.days if calendar is not None else ():
            replaced = day.runs != day.pattern
            seen[replaced] += 1
            assert not replaced or "replace" in {acts.kind for acts in day.acting}, day

    draw()
    assert seen[True] > 3


# -------------------------------------------------------- what `chime why` says of a lost time


def test_why_names_a_line_for_every_time_of_a_timetable_or_its_base_that_does_not_ring() -> None:
    asked: Counter[str] = Counter()

    @law(max_examples=60)
    @given(programmes(), MIXERS)
    def draw(written: Written, random: Random) -> None:
        found = checked(written.text, written.files)
        if found.calendar is not None and found.programme is not None:
            ask(found, random, asked)

    draw()
    assert all(asked[kind] > 3 for kind in ("silenced", "taken away", "another day")), asked


def test_why_names_the_line_that_rings_the_periods_of_a_base_otherwise(tmp_path: Path) -> None:
    path = tmp_path / "bells.chime"
    path.write_text(OTHERWISE, encoding="utf-8")
    for time, label in (("08:42", "Period 1 in 3 min"), ("09:45", "Period 1 ends")):
        shown = CliRunner().invoke(group, ["why", str(path), "2026-09-11", time]).stdout.splitlines()
        assert shown[2] == "main: replaced"
        assert shown[3].split(maxsplit=1) == ["label", label]
        assert shown[5].split(maxsplit=2) == [
            "replaced", "by", "line 11: each period start lesson, warn short 2 min before start"
        ]  # fmt: skip


OTHERWISE = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1
signal lesson 6 s within 2 s
signal short 3 s within 1 s
timetable normal in main
  each period start lesson, end lesson, warn short 3 min before start
  period "1" 08:45 - 09:45
timetable starts like normal
  each period start lesson, warn short 2 min before start
week ordinary
  Mon to Thu normal
  Fri starts
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-12-18
"""


def ask(found: Checked, random: Random, asked: Counter[str]) -> None:
    programme, calendar = found.programme, found.calendar
    assert programme is not None
    assert calendar is not None
    lost = list(lost_times(programme, calendar))
    for at, zone in random.sample(lost, min(6, len(lost))):
        day = at.date()
        seconds = int((at - datetime(day.year, day.month, day.day)).total_seconds())
        (story,) = explain_time(programme, calendar, day, seconds, [zone]).stories
        assert not story.rings
        assert story.silenced or story.removed or story.displaced or story.gathered, (at, zone)
        for removed in story.removed:
            assert TAKES_AWAY.search(removed.by.text), removed
            asked["taken away"] += 1
        for silenced in story.silenced:
            assert "silent" in silenced.by.text or silenced.by.text.startswith("clocks"), silenced
            asked["silenced"] += 1
        for displaced in story.displaced:
            assert "replace" in {acts.kind for acts in displaced.day.acting}, displaced
            asked["another day"] += 1


def lost_times(programme: Programme, calendar: RingCalendar) -> Iterator[tuple[datetime, str]]:
    """The times at which a day's timetable, its base or its pattern would ring, and nothing does."""
    plain = plain_causes(programme)
    bases = {timetable.name: timetable.like for timetable in programme.timetables}
    ringing = {(ring.at, ring.zone) for ring in calendar.rings}
    for day in calendar.days:
        names = {name for name in (day.runs, day.pattern) if name is not None}
        names |= {bases[day.runs] or day.runs} if day.runs is not None else set()
        times = {(c.at, c.zone) for name in names for c in causes_of(plain, name, day.day)}
        yield from islice(sorted(times - ringing), 40)
