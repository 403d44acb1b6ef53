"""What the work of a term costs, in minutes of anybody's time."""

from fractions import Fraction

from chime.records import NamedTuple

Minutes = Fraction
"""Whole seconds over sixty: costs are compared exactly."""


class Costs(NamedTuple):
    """What each thing costs, in minutes."""

    new_tape: Minutes = Minutes(90)
    tape_change: Minutes = Minutes(12)
    selector_move: Minutes = Minutes(1)
    silence: Minutes = Minutes(2)
