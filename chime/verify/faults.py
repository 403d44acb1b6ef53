"""What the checks can find: codes V6xx."""

from chime.clock import write_date
from chime.diagnostics import Code, Diagnostic
from chime.diagnostics.complain import complain
from chime.rings.model import Ring

RING_WITHOUT_HOLE = Code(
    "V601",
    "ring-without-hole",
    "error",
    "A ring that is wanted has no hole on the tape of its date that its zone would hear. The layout is at fault, not the "
    "programme; nothing is written.",
    "",
    "",
)

CODES = (RING_WITHOUT_HOLE,)


def ring_without_hole(ring: Ring) -> Diagnostic:
    """Say that a ring has no hole."""
    when = f"{write_date(ring.at.date())} {ring.at:%H:%M:%S}"
    return complain(
        RING_WITHOUT_HOLE,
        f"the ring of {ring.zone} on {when} has no hole",
        (ring.reasons[0].spans[0], "asks for it"),
        "The tape would not ring it.",
    )
