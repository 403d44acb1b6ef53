"""What the checks can find: codes V6xx."""

from datetime import datetime

from chime.clock import write_date, write_time
from chime.diagnostics import Code, Diagnostic
from chime.diagnostics.complain import complain
from chime.programme.equipment import Machine
from chime.rings.model import Ring

RING_MISSING = Code(
    "V601",
    "ring-missing",
    "error",
    "The plan was played over every date, and a ring that is wanted did not sound. The layout is at fault, not the "
    "programme; nothing is written.",
    "",
    "",
)
RING_EXTRA = Code(
    "V602",
    "ring-extra",
    "error",
    "The plan was played over every date, and something sounded that nobody wants. The layout is at fault, not the "
    "programme; nothing is written.",
    "",
    "",
)
NOT_DECLARED = Code(
    "V603",
    "plan-not-declared",
    "error",
    "The plan asks for a wiring, a silence, a switch or an hour that the machine's block does not give. The layout is at "
    "fault, not the programme; nothing is written.",
    "",
    "",
)

CODES = (RING_MISSING, RING_EXTRA, NOT_DECLARED)

_WAYS = {
    "by date": "date by date",
    "early": "with every duty done as early as it may be",
    "late": "with every duty done as late as it may be",
}


def _written(at: datetime) -> str:
    return f"{write_date(at.date())} at {write_time(at.hour * 3600 + at.minute * 60 + at.second)}"


def ring_missing(ring: Ring, way: str, count: int) -> Diagnostic:
    """Say that a ring did not sound when the plan was played; `count` of them are missing."""
    return complain(
        RING_MISSING,
        f"the plan does not ring {ring.zone} on {_written(ring.at)}",
        (ring.reasons[0].spans[0], "asks for it"),
        f"Played {_WAYS[way]}, {_number(count, 'wanted ring does', 'wanted rings do')} not sound.",
    )


def ring_extra(zone: str, at: datetime, way: str, count: int, machine: Machine) -> Diagnostic:
    """Say that something unwanted sounded when the plan was played; `count` such sounds there are."""
    return complain(
        RING_EXTRA,
        f"the plan rings {zone} on {_written(at)}, which nobody wants",
        (machine.span, "on this machine"),
        f"Played {_WAYS[way]}, {_number(count, 'ring sounds', 'rings sound')} that nobody asked for.",
    )


def not_declared(machine: Machine, what: str) -> Diagnostic:
    """Say what the plan takes for granted."""
    return complain(
        NOT_DECLARED,
        f"the plan takes for granted {what}",
        (machine.span, "does not say so"),
        "It would hold on another machine than this.",
    )


def _number(count: int, one: str, many: str) -> str:
    return f"1 {one}" if count == 1 else f"{count:,} {many}"
