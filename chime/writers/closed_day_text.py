"""What changes if a date is closed: rings, turns of weeks and cycles, tapes, and what a person must do."""

from collections.abc import Iterable
from datetime import date

from chime.clock import write_date, write_time
from chime.rings.model import Day, Ring
from chime.tape.model import Duty, TapeSet
from chime.verify.model import Verified
from chime.writers.columns import fold, joined, number, visible
from chime.writers.duty_words import describe_duties

_MOST_DAYS = 6
"""How many dates that turn out differently are named one by one."""


def write_closed_day(line: str, day: date, before: Verified, after: Verified) -> str:
    """Write what to put into the programme, what no longer rings, and what is to be done otherwise."""
    programme = before.programme
    lines = [visible(f"{programme.name}, issue {programme.issue}: {write_date(day)} closed"), ""]
    lines += [
        "to make it so, write into the programme and raise its issue:",
        "",
        "exceptions",
        f"  {line}",
        "",
    ]
    lines += _rings(day, before.calendar.rings, after.calendar.rings)
    lines += _turns(day, before.calendar.days, after.calendar.days)
    if before.tapes is not None and after.tapes is not None:
        lines += ["", *_tapes(before.tapes, after.tapes), *_duties(before.tapes, after.tapes)]
    return "\n".join(visible(each) for each in lines) + "\n"


def _rings(day: date, before: Iterable[Ring], after: Iterable[Ring]) -> list[str]:
    kept = {(ring.at, ring.fold, ring.zone, ring.signal) for ring in after}
    lost = [ring for ring in before if (ring.at, ring.fold, ring.zone, ring.signal) not in kept]
    on_date = [ring for ring in lost if ring.at.date() == day]
    said = [f"{number(len(on_date), 'ring')} of {write_date(day)} fall away"] if on_date else []
    if not on_date:
        said = [f"no bell would have rung on {write_date(day)}"]
    for zone in sorted({ring.zone for ring in on_date}):
        at = [ring.at for ring in on_date if ring.zone == zone]
        times = [write_time(each.hour * 3600 + each.minute * 60 + each.second) for each in at]
        said += fold(times, f"  {zone}  ")
    later = [ring for ring in lost if ring.at.date() != day and day in ring.service_days]
    if later:
        said.append(
            f"{number(len(later), 'ring')} of the night after it fall away too, for they belong to it"
        )
    others = len(lost) - len(on_date) - len(later)
    if others:
        said.append(f"{number(others, 'ring')} of other dates change: see below")
    return said


def _turns(day: date, before: Iterable[Day], after: Iterable[Day]) -> list[str]:
    """Name the dates that run another day, or have another letter or number, because this one is closed."""
    known = {each.day: each for each in after}
    changed = [
        (each, known[each.day])
        for each in before
        if each.day != day
        and each.day in known
        and (each.label, each.runs) != (known[each.day].label, known[each.day].runs)
    ]
    if not changed:
        return ["no other date changes"]
    said = [
        f"{number(len(changed), 'other date')} change, for weeks or cycles go on from days that are taught"
    ]
    said += [f"  {write_date(old.day)}: {_turn(old)}, now {_turn(new)}" for old, new in changed[:_MOST_DAYS]]
    if len(changed) > _MOST_DAYS:
        said.append(f"  and so on until {write_date(changed[-1][0].day)}")
    return said


def _turn(day: Day) -> str:
    return " ".join(part for part in (day.label, day.runs or "silent") if part is not None)


def _tapes(before: TapeSet, after: TapeSet) -> list[str]:
    had, has = {tape.id for tape in before.tapes}, {tape.id for tape in after.tapes}
    new, idle = sorted(has - had), sorted(had - has)
    said = []
    if new:
        said.append(f"to punch: tape {joined(new)}")
    if idle:
        said.append(f"no longer used: tape {joined(idle)}")
    return said or ["no tape is to be punched"]


def _duties(before: TapeSet, after: TapeSet) -> list[str]:
    was, will = ({_key(duty): duty for duty in tapes.operation.duties} for tapes in (before, after))
    gone = [duty for key, duty in was.items() if key not in will]
    come = [duty for key, duty in will.items() if key not in was]
    said: list[str] = []
    for heading, duties in (("no longer to be done", gone), ("to be done instead", come)):
        if duties:
            said += ["", heading, *_list(duties)]
    return said or ["nothing else is to be done"]


def _key(duty: Duty) -> tuple[object, ...]:
    return duty.do, duty.what, duty.begins, duty.ends


def _list(duties: Iterable[Duty]) -> list[str]:
    return [
        f"  {write_date(line.begins_on)}  {line.when}  {line.what}" for line in describe_duties(tuple(duties))
    ]
