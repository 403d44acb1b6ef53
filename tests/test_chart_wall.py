"""The sheet for the wall: one line for each thing to do, on its date."""

from pathlib import Path

from chime.compiler import lay_open
from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.chart_wall import write_wall
from chime.writers.model import ChartChoice
from tests.test_chart import read_pages

SAMPLES = Path(__file__).parent / "samples"


def school() -> Verified:
    path = SAMPLES / "saltmarsh.chime"
    proven = lay_open(path.name, path.read_bytes(), lambda inner: (SAMPLES / inner).read_bytes())
    assert proven.verified is not None
    return proven.verified


def test_a_silence_is_one_instruction() -> None:
    """An exam morning: the main zone rings at 08:45 and 13:00, and nothing between; the tape rings 09:45 to 12:05."""
    days = {day.date: day.lines for day in write_wall(school(), ("A", "B", "C"))}
    assert days["Tue 2026-12-08"] == ("bells of zone main off 08:46 - 09:44, on again 12:06 - 12:59",)
    assert days["Thu 2026-12-10"][0].startswith("bells of zone main off")
    # A closed Friday: off in the last attended hours before its first bell, and on again after its last.
    assert days["Fri 2026-10-02"] == ("bells of every zone off 07:45 - 08:39, on again 15:06 - 16:30",)


def test_every_duty_is_on_the_wall_once_and_a_silence_with_its_end() -> None:
    known = school()
    assert known.tapes is not None
    duties = known.tapes.operation.duties
    lines = [line for day in write_wall(known, ("A", "B", "C")) for line in day.lines]
    assert len(lines) == sum(duty.lifts is None for duty in duties)
    assert sum("on again" in line for line in lines) == sum(duty.lifts is not None for duty in duties)


def test_the_sheet_is_in_the_chart_and_a_tape_that_is_not_is_not_on_it() -> None:
    texts = [page.text for page in read_pages(write(school(), ChartChoice(tapes=("A",))).artefact.content)]
    (wall,) = [text for text in texts if "Wall sheet: what to do, by date" in text]
    assert "bells of zone main off 08:46 - 09:44, on again 12:06 - 12:59" in wall
    assert "fit tape A" in wall
    assert "fit tape B" not in wall
