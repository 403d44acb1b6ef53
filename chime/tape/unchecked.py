"""What laying out a tape does not judge, in plain sentences."""

NOT_JUDGED: tuple[str, ...] = (
    "How long each contact stays closed, and whether it is closed all through the gate.",
    "Whether holes in rows next to each other are heard as two rings or run together as one.",
    "Whether enough of the tape is left between holes, and between holes and drive holes.",
    "Whether a finger can read the hole of a neighbouring track.",
    "Where the joint and its lap may lie, and how many drive holes the loop holds.",
    "Whether the bells of a minute ask more of a supply or a cable than it can give.",
)
"""Each is left open by the layout; a check that judges one takes its sentence out."""
