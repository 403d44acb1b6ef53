"""What the writers are asked for, and what they give."""

from typing import Literal

from chime.records import NamedTuple

PaperName = Literal["a4", "a3", "letter", "tabloid"]


class Artefact(NamedTuple):
    """A file to be written: its name in the output folder and its content."""

    name: str
    content: bytes


class ChartChoice(NamedTuple):
    """Which part of the chart is wanted, and on which paper.

    Without `all_sheets` only sheets that show a hole or the joint are printed. `tapes` are letters of tapes;
    none means all of them. `first_row` and `last_row` are printed labels, given both or neither: sheets that
    show no row from the one to the other, both included and round the loop, are left out. With `list_only`
    no sheet is drawn at all, only the lists. `measured_nm` is what a bar of `bar_nm` measured on a printed
    sheet, 0 if nobody has measured one; `from_back` turns the sheets to the back of the tape.
    """

    paper: PaperName = "a4"
    all_sheets: bool = False
    tapes: tuple[str, ...] = ()
    first_row: str | None = None
    last_row: str | None = None
    list_only: bool = False
    bar_nm: int = 0
    measured_nm: int = 0
    from_back: bool = False


class SheetHole(NamedTuple):
    """A hole as it is drawn: its centre from the page's top left, its length along the tape and width across.

    All lengths are nanometres. `again` is true of the second print of a hole that lies in the lap.
    """

    row: int
    track: int
    x_nm: int
    y_nm: int
    along_nm: int
    across_nm: int
    again: bool


class Sheet(NamedTuple):
    """A true-size sheet of a tape in a finished file: the rows it shows, both included, and its holes.

    `page` counts from 1. Rows run down the page and never past the loop's last row.
    """

    file: str
    page: int
    tape: str
    first_row: int
    last_row: int
    holes: tuple[SheetHole, ...]


class Chart(NamedTuple):
    """The chart as a file, and where its holes are drawn."""

    artefact: Artefact
    sheets: tuple[Sheet, ...]
