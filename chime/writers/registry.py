"""The writers of a compile, in the order in which their files are made."""

from chime.verify.model import Verified
from chime.writers import chart, cut_file, hole_list, icalendar_file, plan_file
from chime.writers.model import Artefact, ChartChoice


def write_all(verified: Verified, choice: ChartChoice | None = None) -> tuple[Artefact, ...]:
    """Make every file of a compile in memory, sorted by name, and last the plan that lists them.

    `choice` is what the chart shows.
    """
    drawn = chart.write(verified, choice)
    cut = () if choice is not None and choice.list_only else cut_file.write(verified, choice)
    calendars = (*icalendar_file.write(verified), *icalendar_file.write_by_zone(verified))
    made = (*calendars, *hole_list.write(verified), *cut, drawn.artefact)
    in_order = sorted(made, key=lambda artefact: artefact.name)
    return (*in_order, plan_file.write(verified, drawn.sheets, in_order))
