"""The page of steps by which a punched tape is joined, mounted, set to time and proven before it rings.

Common practice, no published source. Each step is one that can be ticked; what a difference means is the
order in which a technician looks for its cause.
"""

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.verify.model import Verified


class Proving(NamedTuple):
    """The steps in the order in which they are done, and what each kind of difference points to."""

    steps: tuple[str, ...]
    meanings: tuple[str, ...]


_ALWAYS_FIRST = (
    "Bells off, every zone, and the switch marked so that nobody turns it on.",
    (
        "Proof-read: one reads the punched tape aloud, another holds the list of times and not the chart. "
        "Then hold the tape over its sheets against a lamp. Hole counts and sums agree with the totals."
    ),
)
_ALWAYS_LAST = (
    "Stand by at the first ring of each zone with a hand on the switch. Sign and date the label on the tape.",
)


def describe_proving(verified: Verified) -> Proving | None:
    """Return the page; None where there is no tape."""
    machine, tapes = verified.programme.machine, verified.tapes
    if machine is None or tapes is None or not tapes.tapes:
        return None
    steps = (
        *_ALWAYS_FIRST,
        _join(machine),
        _mount(machine),
        "Turn the loop once round by hand, fingers lifted: it runs free, and nothing catches at the joint.",
        *_set_to_time(machine),
        (
            "Prove it with the bells off: a lamp or a meter on each zone, a whole loop long. Write down when "
            "each closes and hold it against the list: the same times, no more and no fewer."
        ),
        "Bells on.",
        *_ALWAYS_LAST,
    )
    return Proving(steps, tuple(_meanings(machine)))


def _join(machine: Machine) -> str:
    lap = machine.joint_rows
    if lap is None or not lap.amount:
        return "Join the ends so that the label after the last one is the first. Count the drive holes."
    return (
        "Join the ends: the lap on the rows of the same labels, each MATCH of one end on that of the other. "
        "Count the drive holes of the loop: one too many or too few, and every turn rings at other times."
    )


def _mount(machine: Machine) -> str:
    backwards = " Lift the fingers before the tape is moved backwards."
    pins = "" if machine.sprocket is None else ", each pin in a drive hole"
    return (
        "Mount it: guided edge to the guide, the marked side to the fingers, the arrow as it "
        f"travels{pins}.{backwards}"
    )


def _set_to_time(machine: Machine) -> list[str]:
    steps = [
        (
            "Set the master clock to the true time, then the other clocks, then the tape: the label at the "
            "pointer is that time."
        )
    ]
    if machine.day_wheels:
        steps.append("The day wheel to today.")
    if machine.positions:
        steps.append("The selector to the position of today: see the cover and the duties.")
    return [*steps, "Watch two more steps: clocks and tape go on together."]


def _meanings(machine: Machine) -> list[str]:
    found = [
        "every ring early or late by the same: the pointer or the setting of the tape (index)",
        "later and later, or earlier and earlier, turn by turn: a drive hole too many or few, or slipping",
        "one track alone: its finger, or how many rows ahead it is read",
        "one ring alone: its hole, or a slug that hangs in it",
        "one hour a row out: lines were counted for spaces while it was punched",
        "tracks the wrong way round, or times that run backwards: the tape is turned over or end for end",
    ]
    if machine.day_wheels:
        found.append("right on some days and wrong on others: the day wheel")
    return found
