"""All checks of the machine, in the order in which they are told.

To add one, write a `Judgement` in the module of its kind.
"""

from collections.abc import Iterator

from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Signal
from chime.records import NamedTuple
from chime.tape.model import Hole, Tape, TapeSet
from chime.verify import gate_judged, loop_judged, rows_judged, tracks_judged, webs_judged
from chime.verify.judging import Judgement, Subject, give_verdict
from chime.verify.machine_sheet import ANGLE, NOTHING_IF_ABSENT, Sheet, read_sheet
from chime.verify.machine_words import tell
from chime.verify.model import MachineSheet, SheetValue, ShortHoles, TightHole, Verdict
from chime.verify.tight_holes import find_short, find_tight

JUDGEMENTS: tuple[Judgement, ...] = (
    *rows_judged.JUDGEMENTS,
    *gate_judged.JUDGEMENTS,
    *webs_judged.JUDGEMENTS,
    *tracks_judged.JUDGEMENTS,
    *loop_judged.JUDGEMENTS,
)


def describe_machine(machine: Machine, signals: tuple[Signal, ...] = ()) -> MachineSheet:
    """Judge a machine by itself, as if every track in use held one hole; and say what rests on each value."""
    sheet = read_sheet(machine)
    broken = {track for track, _ in machine.out_of_use}
    # Of a machine that does not say where its tracks lie, or has none in use, the first is asked for.
    tracks = [n for n in range(1, len(machine.tracks) + 1) if n not in broken] or [1]
    subject = Subject(sheet, (_hole_on_each(machine, tracks),), None, signals)
    asked = [each for each in JUDGEMENTS if each.is_asked(sheet)]
    verdicts = [(each, give_verdict(each, subject)) for each in asked]
    return MachineSheet(
        machine.name,
        tuple(_values(sheet, [verdict for _, verdict in verdicts])),
        tuple(verdict for each, verdict in verdicts if not each.is_of_tapes),
        tuple(each.sentence for each in asked if each.is_of_tapes),
    )


def _hole_on_each(machine: Machine, tracks: list[int]) -> Tape:
    cycle, row = machine.cycle, machine.row_interval
    rows = 1 if cycle is None or row is None or row.amount <= 0 else max(1, cycle.amount // row.amount)
    holes = tuple(Hole(0, track, (), (0,), None, None, ()) for track in tracks)
    return Tape("", rows, 0 if row is None else row.amount // 1_000_000, "other", (), holes)


def _values(sheet: Sheet, verdicts: list[Verdict]) -> Iterator[SheetValue]:
    """Give what the machine says, in one order whatever that of its lines, then what the checks miss."""
    resting: dict[str, list[str]] = {}
    for verdict in verdicts:
        for each in verdict.rests_on:
            resting.setdefault(each.value, []).append(verdict.check)
    for name in [*sheet.values, *(name for name in resting if name not in sheet.values)]:
        checks, needed = tuple(resting.get(name, ())), name not in NOTHING_IF_ABSENT
        yield SheetValue(name, _as_written(sheet, name), sheet.status(name), checks, needed)


def _as_written(sheet: Sheet, name: str) -> str:
    value = sheet.values.get(name)
    if value is None:
        return ""
    if value.word not in ("", ANGLE):
        return value.word
    text = " ".join(value.span.text.removesuffix("assumed").split())
    # Of several tracks on one line the unit stands behind the last.
    return f"{text} mm" if name.startswith("place of track") and not text.endswith("mm") else text


class Judged(NamedTuple):
    """What was found of each check, and what is wrong with it."""

    verdicts: tuple[Verdict, ...]
    diagnostics: tuple[Diagnostic, ...]
    tight: tuple[TightHole, ...] = ()
    sheet: MachineSheet | None = None
    short: tuple[ShortHoles, ...] = ()


def judge_machine(machine: Machine, tapes: TapeSet, signals: tuple[Signal, ...]) -> Judged:
    """Make every check that is asked of the machine; none where no tape holds a hole.

    `signals` are those that ring.
    """
    if not any(tape.holes for tape in tapes.tapes):
        return Judged((), (), (), describe_machine(machine, signals))
    sheet = read_sheet(machine)
    subject = Subject(sheet, tapes.tapes, tapes.operation.gate, signals)
    judged = [(each, give_verdict(each, subject)) for each in JUDGEMENTS if each.is_asked(sheet)]
    return Judged(
        tuple(verdict for _, verdict in judged),
        tuple(tell(judged, subject)),
        find_tight(judged, subject),
        describe_machine(machine, signals),
        find_short(judged, subject),
    )
