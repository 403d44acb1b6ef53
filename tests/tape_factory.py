"""Programmes, machines and calendars for the tests of the tape, built without reading a file."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from decimal import Decimal

from chime.diagnostics import Source, Span
from chime.programme.equipment import (
    BaseUnit,
    Count,
    DailySilence,
    DayWheel,
    Finger,
    Hole,
    Machine,
    Position,
    Reads,
    Sprocket,
    Value,
)
from chime.programme.model import ClockChoices, Programme, Signal, TrackChoice, Zone
from chime.rings.model import Day, Reason, Ring, RingCalendar, labels_of
from chime.tape.lay_out import lay_out
from chime.tape.model import TapeSet
from chime.verify.model import Verified
from chime.verify.verdicts import judge

FINGERPRINT = "5f1d0c9a7be2483695ad17c04e6f8b23d9a1507e8c64b3f2105d7e9a6c8b4f31"


def spot(text: str = "") -> Span:
    """Return a span over a text of its own."""
    return Span(Source("made.chime", text), 0, len(text))


NOWHERE = spot()


def value(amount: int, unit: BaseUnit, *, assumed: bool = False) -> Value:
    return Value(amount, unit, assumed, NOWHERE)


def mm(text: str, *, assumed: bool = False) -> Value:
    return value(int(Decimal(text) * 1_000_000), "nm", assumed=assumed)


def seconds(amount: float) -> Value:
    return value(int(Decimal(str(amount)) * 1_000_000), "us")


def ahead(rows: int, track: int | None = None) -> Reads:
    return Reads(Count(rows, False, NOWHERE), track, NOWHERE)


def bare_machine(name: str = "bare") -> Machine:
    """Return a machine of which nothing is known but its name."""
    return Machine(
        name=name,
        cycle=None,
        row_interval=None,
        pitch=None,
        sprocket=None,
        friction=None,
        tape_width=None,
        tape_thickness=None,
        drive=None,
        tracks=(),
        hole=None,
        finger=Finger("drops in", None, None, None, None, None, NOWHERE),
        side_play=None,
        reads=(),
        gate=None,
        no_gate=None,
        relay=(),
        errors=(),
        web=None,
        joint_rows=None,
        day_wheels=(),
        daily_silences=(),
        switches=None,
        selector_positions=None,
        positions=(),
        contacts=None,
        contact_opens=None,
        out_of_use=(),
        attended=(),
        costs=(),
        allowance=None,
        wear=None,
        wheel=None,
        reserve=None,
        span=NOWHERE,
    )


def sprocket(pitch: str, hole: str, from_edge: str) -> Sprocket:
    return Sprocket(mm(pitch), None, mm(hole), None, None, mm(from_edge), None, NOWHERE)


def day_machine() -> Machine:
    """Return a machine with a 24 h loop, a row a minute, read 3 rows ahead."""
    places = ("2.34", "4.88", "7.42", "12.50", "15.04", "17.58", "20.12", "22.66")
    return bare_machine("hall")._replace(
        cycle=seconds(86_400),
        row_interval=seconds(60),
        pitch=mm("2.54"),
        sprocket=sprocket("2.54", "1.17", "9.96"),
        tape_width=mm("25.4"),
        tracks=tuple(mm(place) for place in places),
        hole=Hole("round", mm("1.83"), None, None, None, NOWHERE),
        reads=(ahead(3),),
        day_wheels=(DayWheel((5, 6), None, None, None, NOWHERE),),
    )


def half_day_machine() -> Machine:
    """Return a machine with a 12 h loop, a row a minute, read 4 or 6 rows ahead by track."""
    return bare_machine("college")._replace(
        cycle=seconds(43_200),
        row_interval=seconds(60),
        pitch=mm("1.5"),
        sprocket=sprocket("3", "1", "1.5"),
        tape_width=mm("30"),
        tracks=tuple(mm(place) for place in ("6", "9", "12", "15")),
        hole=Hole("round", mm("1.2"), None, None, None, NOWHERE),
        reads=(ahead(4, 1), ahead(6, 2), ahead(4, 3), ahead(6, 4)),
        daily_silences=(DailySilence(58_500, 29_700, None, NOWHERE),),
    )


def week_machine() -> Machine:
    """Return a machine with a loop of 7 days, a row each five minutes, slots, read in line."""
    return bare_machine("works")._replace(
        cycle=seconds(604_800),
        row_interval=seconds(300),
        pitch=mm("4.75"),
        sprocket=sprocket("4.75", "1.98", "2.01"),
        tape_width=mm("35"),
        tracks=tuple(mm(place) for place in ("8", "13", "18", "23")),
        hole=Hole("slot", mm("2.4"), mm("1.6"), "rounded", None, NOWHERE),
        reads=(ahead(0),),
    )


def zone(name: str, *tracks: int, together: bool = False, text: str = "") -> Zone:
    """Return a zone on one of some tracks, or on all of them `together`; on no track if none is given."""
    span = spot(text or f"zone {name}")
    return Zone(name, None, TrackChoice(tracks, together, span) if tracks else None, None, None, span)


def position(number: int, *wirings: tuple[str, int]) -> Position:
    return Position(number, wirings, spot(f"position {number}"))


def ring(at: str, zone_name: str, span: Span = NOWHERE, *, moved_by: tuple[Span, ...] = ()) -> Ring:
    """Return a ring at an ISO local time such as `2026-09-07 08:45`."""
    moment = datetime.fromisoformat(at)
    reason = Reason(None, (span, *moved_by), (), is_warning=False, is_end=False)
    return Ring(moment, 0, zone_name, "lesson", 6000, labels_of((reason,)), (reason,), (moment.date(),))


def every_day(first: str, last: str, times: str, zone_name: str) -> list[Ring]:
    """Return rings at some times, with spaces between, of every Monday to Friday."""
    start, end = date.fromisoformat(first), date.fromisoformat(last)
    days = [start + timedelta(days=n) for n in range((end - start).days + 1)]
    return [
        ring(f"{day.isoformat()} {at}", zone_name)
        for day in days
        if day.weekday() < 5
        for at in times.split()
    ]


def calendar(rings: Iterable[Ring]) -> RingCalendar:
    ordered = tuple(sorted(rings, key=lambda each: (each.at, each.zone)))
    first, last = ordered[0].at.date(), ordered[-1].at.date()
    days = tuple(
        Day(first + timedelta(days=n), "Term", None, None, None, False, None, ())
        for n in range((last - first).days + 1)
    )
    return RingCalendar(days, (), ordered, (), (), ())


def programme(zones: Iterable[Zone], machine: Machine | None, name: str = "Saltmarsh School") -> Programme:
    return Programme(
        name=name,
        place="Europe/London",
        issue=3,
        issued=date(2026, 8, 20),
        published=None,
        longest_ring_ms=20_000,
        hand_rings=False,
        clocks=ClockChoices(None, None, None, None),
        zones=tuple(sorted(zones)),
        groups=(),
        audiences=(),
        signals=(Signal("lesson", 6000, 1500, None, NOWHERE),),
        timetables=(),
        weeks=(),
        cycles=(),
        terms=(),
        specials=(),
        machine=machine,
        supplies=(),
        lines=(),
        holidays_release=None,
        span=NOWHERE,
    )


def tapes_of(zones: Iterable[Zone], machine: Machine, rings: Iterable[Ring]) -> TapeSet:
    """Lay rings out that must give no complaint."""
    laid = lay_out(programme(zones, machine), calendar(rings))
    assert laid.diagnostics == ()
    assert laid.tapes is not None
    return laid.tapes


def verified(zones: Iterable[Zone], machine: Machine | None, rings: Iterable[Ring]) -> Verified:
    """Lay rings out and hand them on as if every check had passed."""
    made, dated = programme(zones, machine), calendar(rings)
    laid = lay_out(made, dated)
    assert laid.diagnostics == ()
    return Verified(made, dated, laid.tapes, FINGERPRINT, "2026c", judge(made, dated, laid.tapes).verdicts)
