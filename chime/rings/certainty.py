"""What is certain of a date although the programme has errors.

A day may be open in three ways: what runs on it may not be known, the timetable that runs may be at
fault, or a line may be lost that changes its rings. Lines that add rings or silence a zone can then still
be held against each other; what any line does to the rings of the day cannot be told.
"""

from collections.abc import Iterable, Iterator
from datetime import date

from chime.diagnostics import Diagnostic
from chime.diagnostics.suggest import nearest
from chime.programme.model import Add, AsUsual, Drop, Move, Silence
from chime.records import NamedTuple
from chime.rings.acting import Settled, is_replacement, is_windowed, says_instead
from chime.rings.change_faults import no_such_label
from chime.rings.changes import Ordered
from chime.rings.coverage import Coverage, Stands, is_for_itself
from chime.rings.patterns import Given
from chime.rings.shapes import Shape, warning_reading, warnings_of


class Certain(NamedTuple):
    """What is certain of a date.

    `runs` is whether it is known what runs, `rings` whether every ring of it is known. `agrees` is whether
    all replacements that could win are known. `acting` are additions and silences that certainly act,
    `open` the lines of which it cannot be told whether they change anything.
    """

    runs: bool
    rings: bool
    agrees: bool
    acting: tuple[Stands, ...]
    open: tuple[Stands, ...]


def is_plain(coverage: Coverage, day: date, given: Given) -> bool:
    """Say whether the timetable that a pattern gives certainly rings as it is, with no exception."""
    unsure = coverage.unsure
    is_certain = given.is_known and given.timetable not in unsure.timetables
    is_lost = day in unsure.running or day in unsure.changing
    return is_certain and not is_lost and not coverage.on(day)


def certain(coverage: Coverage, day: date, given: Given, settled: Settled) -> Certain:
    """Return what is certain of a date; takes what its lines would make of it if nothing were lost."""
    unsure, here = coverage.unsure, coverage.on(day)
    maybe = [s for s in here if _may_act(s, coverage, day, given)]
    beats = any(says_instead(s) for s in settled.settling if is_replacement(s) and s not in maybe)
    weighs = [s for s in maybe if _settles(s) and not (beats and is_replacement(s) and not says_instead(s))]
    agrees = day not in unsure.running and not weighs
    if any(s not in maybe for s in settled.usual):
        runs = given.is_known  # it undoes lost replacements, too
    else:
        runs = agrees and not settled.is_clash and (bool(settled.settling) or given.is_known)
    is_sound = settled.runs not in unsure.timetables and day not in unsure.changing
    rings = runs and is_sound and all(_settles(s) for s in maybe)
    acting = tuple(_certainly_acting(settled, maybe, runs=runs))
    is_settled = runs and agrees and given.is_known
    open_ = tuple(s for s in here if not (is_settled if _settles(s) else rings))
    return Certain(runs, rings, agrees, acting, open_)


def _may_act(stands: Stands, coverage: Coverage, day: date, given: Given) -> bool:
    """Say whether it is not known if a line acts on a date that it stands on."""
    if coverage.passes_by(stands, day) is None:
        return True
    acts_anyway = is_for_itself(stands.special.when) or is_windowed(stands)
    return not given.is_known and not acts_anyway


def _settles(stands: Stands) -> bool:
    return is_replacement(stands) or isinstance(stands.special.special, AsUsual)


def _certainly_acting(settled: Settled, maybe: list[Stands], *, runs: bool) -> Iterator[Stands]:
    for stands in settled.working:
        is_range_add = isinstance(stands.special.special, Add) and not is_for_itself(stands.special.when)
        if is_seen_alone(stands) and stands not in maybe and (runs or not is_range_add):
            yield stands


def is_seen_alone(stands: Stands) -> bool:
    """Say whether the work of a line does not depend on what runs: it adds rings or silences zones."""
    return isinstance(stands.special.special, Add | Silence)


def nowhere_found(
    changes: Iterable[Ordered], shapes: Iterable[Shape], labels: frozenset[str]
) -> Iterator[Diagnostic]:
    """Yield the faults of labels that no timetable has: whatever runs, the line finds nothing.

    `labels` are all of the timetables; a warning has none and is named by another fault.
    """
    warnings = {
        warning_reading(mark, before)
        for shape in shapes
        for mark in shape.marks
        for _, before in warnings_of(mark, shape.each)
    }
    for ordered in changes:
        label = ordered.change.label if isinstance(ordered.change, Drop | Move) else None
        if label is not None and label not in labels and label not in warnings:
            yield no_such_label(ordered.change.span, label, nearest(label, labels))
