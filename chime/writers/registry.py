"""The writers of a compile, in the order in which their files are made."""

from chime.verify.model import Verified
from chime.writers import chart, hole_list, icalendar_file
from chime.writers.chart_sheets import PaperName
from chime.writers.model import Artefact


def write_all(verified: Verified, *, paper: PaperName = "a4") -> tuple[Artefact, ...]:
    """Make every file of a compile in memory, sorted by name."""
    made = (
        *icalendar_file.write(verified),
        *hole_list.write(verified),
        *chart.write(verified, paper=paper),
    )
    return tuple(sorted(made, key=lambda artefact: artefact.name))
