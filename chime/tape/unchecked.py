"""What laying out a tape does not judge, in plain sentences."""

NOT_JUDGED: tuple[str, ...] = (
    "Whether the bells of a minute ask more of a supply or a cable than it can give.",
)
"""Each is left open by the layout; a check that judges one takes its sentence out."""
