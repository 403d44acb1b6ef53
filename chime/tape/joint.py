"""Where a loop is cut and its ends are joined (formula F31).

The best place is the middle of the longest stretch without a hole, in rows of the tape and not in times, for
the joint is a place. It is moved, as little as can be, where a label of the joint is 00:00 or the turnover
of a day wheel, or where it would be at the fingers or the pointer in an hour in which the clocks change:
then somebody runs the tape on or stops it by hand. A cut between two drive holes is preferred to one through
a drive hole. Where no stretch has a clear place, the plain middle of the longest is taken and
`Cut.is_clear` says so. Which part of the loop lies on the wheel while somebody works at it is not known.
"""

from collections.abc import Collection, Iterable, Iterator
from datetime import date

from chime import zone_time
from chime.clock import DAY
from chime.mechanics.seam import FreeRun, free_runs
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.local_clock import local_seconds, midnight
from chime.tape.loop import Loop
from chime.tape.model import Cut

HANDLING_ROWS = 10
"""Rows kept free of holes on each side of a joint that is moved: common practice, no published source."""


class Avoided(NamedTuple):
    """What a joint keeps away from: rows that it should not touch, and rows before which no cut should go.

    A cut before one of `through_drive_hole` would go through a drive hole.
    """

    labels: frozenset[int]
    through_drive_hole: frozenset[int]


NOTHING_AVOIDED = Avoided(frozenset(), frozenset())


def choose_cut(occupied: Iterable[int], rows: int, lap_rows: int, avoided: Avoided) -> Cut | None:
    """Return where to cut a loop of some rows; None if every row holds a hole.

    `occupied` are the rows with a hole. The lap begins with the row at which the loop is cut, so that its
    middle is that of the joint. Drive holes that lie too near to each other are cut through.
    """
    runs = free_runs(occupied, rows)
    if not runs:
        return None
    lap = min(lap_rows, rows)
    for through in (avoided.through_drive_hole, frozenset[int]()):
        for run in runs:
            cuts = (cut for cut in _near_the_middle(run, lap) if cut % rows not in through)
            clear = next((cut for cut in cuts if _is_clear(cut, lap, rows, avoided.labels)), None)
            if clear is not None:
                return Cut(clear % rows, is_clear=True)
    fits = lap <= runs[0].rows
    middle = runs[0].after_row + 1 + (_middle(runs[0], lap) if fits else runs[0].rows // 2)
    return Cut(middle % rows, is_clear=False)


def _middle(run: FreeRun, lap: int) -> int:
    """Return how many free rows stand before a joint in the middle of a run."""
    return (run.rows - lap) // 2


def _near_the_middle(run: FreeRun, lap: int) -> Iterator[int]:
    """Give the rows of a run where a joint may begin, those near its middle first; it may pass row 0."""
    middle, most = _middle(run, lap), run.rows - lap - HANDLING_ROWS
    for off in range(run.rows):
        for before in dict.fromkeys((middle - off, middle + off)):
            if HANDLING_ROWS <= before <= most:
                yield run.after_row + 1 + before


def _is_clear(cut: int, lap: int, rows: int, labels: frozenset[int]) -> bool:
    return not any((cut + place) % rows in labels for place in range(-1, lap + 1))


def avoid(
    machine: Machine, loop: Loop, place: str, anchor: date, last: date, rows_ahead: Collection[int]
) -> Avoided:
    """Return what a joint should keep away from.

    `anchor` is the date whose midnight is the beginning of the loop, `last` the last date of the tapes;
    `rows_ahead` are those by which the tracks in use are read ahead.
    """
    labels = {second // loop.row_interval_s for second in _turnovers(machine, loop)}
    moving = {
        row for since, until in _changes(loop, place, anchor, last) for row in _rows(loop, since, until)
    }
    shown = {(row + ahead) % loop.rows for row in moving for ahead in (0, *rows_ahead)}
    return Avoided(frozenset(labels | shown), frozenset(_through_drive_holes(machine, loop.rows)))


def _through_drive_holes(machine: Machine, rows: int) -> Iterator[int]:
    """Give the rows before which a cut goes through a drive hole; one lies in line with row 0."""
    sprocket, pitch = machine.sprocket, machine.pitch
    if sprocket is None or pitch is None or sprocket.pitch is None or sprocket.hole is None:
        return
    apart, reach = sprocket.pitch.amount, sprocket.hole.amount
    for row in range(rows) if apart > 0 else ():
        past = (2 * row - 1) * pitch.amount % (2 * apart)
        if min(past, 2 * apart - past) <= reach:
            yield row


def _turnovers(machine: Machine, loop: Loop) -> Iterator[int]:
    """Give the times of the loop, in seconds, at which a date or a day wheel turns over."""
    at = {0, *(wheel.turning_at or 0 for wheel in machine.day_wheels)}
    for day in range(0, max(loop.cycle_s, DAY), DAY):
        yield from ((day + seconds) % loop.cycle_s for seconds in at)


def _changes(loop: Loop, place: str, anchor: date, last: date) -> Iterator[tuple[int, int]]:
    """Give the hours that clocks leave out or repeat, as seconds of the loop; the second may lie past it."""
    for change in zone_time.changes(place, anchor, last):
        begin, end = (local_seconds(at) - midnight(anchor) for at in sorted((change.before, change.after)))
        if begin < end:
            since = begin % loop.cycle_s
            yield since, since + end - begin


def _rows(loop: Loop, since: int, until: int) -> Iterator[int]:
    for row in range(since // loop.row_interval_s, -(-until // loop.row_interval_s)):
        yield row % loop.rows
