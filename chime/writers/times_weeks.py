"""What the weeks and cycles come to before any date: rings and hours, zone by zone."""

from collections.abc import Iterable, Mapping, Sequence

from chime.clock import WEEKDAYS, write_duration
from chime.diagnostics import Span
from chime.programme.model import Programme, Week
from chime.rings.day_model import PlainDay
from chime.writers.columns import align, fold, line_of, number, zone_order
from chime.writers.times_text import sums


def write_weeks(programme: Programme, days: Sequence[PlainDay]) -> str:
    """Return what each week and each cycle comes to, zone by zone; empty if there is none."""
    by_name, order = {day.name: day for day in days}, zone_order(programme)
    blocks = [_week(week, programme.span) + _totals(_runs(week), by_name, order) for week in programme.weeks]
    for cycle in programme.cycles:
        names = [choice.timetable for choice in cycle.days]
        listed = [f"day {n} {name or 'silent'}" for n, name in enumerate(names, 1)]
        heading = f"cycle {cycle.name}  ({line_of(cycle.span, programme.span)}): "
        blocks.append([*fold(listed, heading, "; "), *_totals(names, by_name, order)])
    return "".join("\n" + "\n".join(block) + "\n" for block in blocks)


def _runs(week: Week) -> list[str | None]:
    return [choice.timetable for choice in week.days]


def _week(week: Week, main: Span) -> list[str]:
    names = _runs(week)
    stretches: list[list[int]] = []
    for weekday, name in enumerate(names):
        if stretches and names[stretches[-1][-1]] == name:
            stretches[-1].append(weekday)
        else:
            stretches.append([weekday])
    listed = [f"{_weekdays(found)} {names[found[0]] or 'silent'}" for found in stretches]
    return fold(listed, f"week {week.name}  ({line_of(week.span, main)}): ", "; ")


def _weekdays(found: Sequence[int]) -> str:
    first, last = WEEKDAYS[found[0]], WEEKDAYS[found[-1]]
    return first if len(found) == 1 else f"{first}, {last}" if len(found) == 2 else f"{first} to {last}"


def _totals(names: Iterable[str | None], by_name: Mapping[str, PlainDay], order: Sequence[str]) -> list[str]:
    run = [by_name[name] for name in names if name is not None]
    zones = {ring.zone for day in run for ring in day.programme.rings}
    zones |= {stretch.zone for day in run for stretch in day.stretches}
    by_sums: dict[tuple[str, str], list[str]] = {}
    for zone in sorted(zones, key=order.index):
        by_sums.setdefault(_zone_totals(zone, run), []).append(zone)
    return align([["in " + ", ".join(found), *words] for words, found in by_sums.items()])


def _zone_totals(zone: str, run: Sequence[PlainDay]) -> tuple[str, str]:
    rings = sum(1 for day in run for ring in day.programme.rings if ring.zone == zone)
    added = [s for s in (sums([s for s in day.stretches if s.zone == zone]) for day in run) if s is not None]
    parts = (
        ("periods", sum(s.periods for s in added)),
        ("pauses", sum(s.pauses for s in added)),
        ("passing", sum(s.passing for s in added)),
    )
    words = (f"{word} {write_duration(length)}" for word, length in parts if length)
    return number(rings, "ring"), ", ".join(words)
