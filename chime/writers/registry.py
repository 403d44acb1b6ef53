"""The writers of a compile, in the order in which their files are made."""

from chime.verify.model import Verified
from chime.writers import chart, hole_list, icalendar_file
from chime.writers.model import Artefact, ChartChoice


def write_all(verified: Verified, choice: ChartChoice | None = None) -> tuple[Artefact, ...]:
    """Make every file of a compile in memory, sorted by name; `choice` is what the chart shows."""
    drawn = chart.write(verified, choice)
    made = (*icalendar_file.write(verified), *hole_list.write(verified), drawn.artefact)
    return tuple(sorted(made, key=lambda artefact: artefact.name))
