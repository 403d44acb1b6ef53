"""What was found of each check, and which values of the machine it rests on."""

from collections.abc import Iterator
from typing import Literal

from chime.programme.equipment import Count, Machine, Value
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.model import TapeSet
from chime.verify.machine_verdicts import Judged, judge_machine
from chime.verify.model import RestsOn, Verdict

NOT_JUDGED = ("Whether the bells of a minute ask more of a supply or a cable than it can give.",)
"""What no check looks at, in plain sentences; a check that does takes its sentence out."""


def judge(programme: Programme, calendar: RingCalendar, tapes: TapeSet | None) -> Judged:
    """Say what holds if every other check has passed, what does not, and what nothing can be said of."""
    machine = programme.machine
    if machine is None or tapes is None:
        return Judged((), ())
    played = Verdict(
        "The plan gives every wanted ring and no other: played by date, with duties early, with duties late.",
        "holds",
        tuple(_rests_on(machine, tapes)),
    )
    ringing = {ring.signal for ring in calendar.rings}
    signals = tuple(signal for signal in programme.signals if signal.name in ringing)
    unjudged = (Verdict(sentence, "cannot say", ()) for sentence in tapes.unchecked)
    beyond = (Verdict(sentence, "cannot say", (), is_beyond=True) for sentence in NOT_JUDGED)
    judged = judge_machine(machine, tapes, signals)
    return judged._replace(verdicts=(played, *judged.verdicts, *unjudged, *beyond))


def _rests_on(machine: Machine, tapes: TapeSet) -> Iterator[RestsOn]:
    yield RestsOn("length of the loop", _status(machine.cycle))
    yield RestsOn("length of a row", _status(machine.row_interval))
    for track in sorted({hole.track for tape in tapes.tapes for hole in tape.holes}):
        reads = [each.rows for each in machine.reads if each.track in (track, None)]
        yield RestsOn(f"rows ahead of track {track}", _status(reads[0] if reads else None))
    for wheel in machine.day_wheels:
        yield RestsOn("when the day wheel turns", "absent" if wheel.turning_at is None else "measured")
    if machine.gate is not None:
        yield RestsOn("length of the gate", _status(machine.gate.length))
        for name in ("operates", "releases"):
            value = next((part.value for part in machine.relay if part.name == name), None)
            yield RestsOn(f"time in which the relay {name}", _status(value))
    yield RestsOn("attended hours", "measured" if machine.attended else "absent")


def _status(value: Value | Count | None) -> Literal["measured", "assumed", "absent"]:
    if value is None:
        return "absent"
    return "assumed" if value.assumed else "measured"
