"""All checks of the machine, in the order in which they are told.

To add one, write a `Judgement` in the module of its kind.
"""

from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Signal
from chime.records import NamedTuple
from chime.tape.model import TapeSet
from chime.verify import gate_judged, loop_judged, rows_judged, tracks_judged, webs_judged
from chime.verify.judging import Judgement, Subject, give_verdict
from chime.verify.machine_sheet import read_sheet
from chime.verify.machine_words import tell
from chime.verify.model import Verdict

JUDGEMENTS: tuple[Judgement, ...] = (
    *rows_judged.JUDGEMENTS,
    *gate_judged.JUDGEMENTS,
    *webs_judged.JUDGEMENTS,
    *tracks_judged.JUDGEMENTS,
    *loop_judged.JUDGEMENTS,
)


class Judged(NamedTuple):
    """What was found of each check, and what is wrong with it."""

    verdicts: tuple[Verdict, ...]
    diagnostics: tuple[Diagnostic, ...]


def judge_machine(machine: Machine, tapes: TapeSet, signals: tuple[Signal, ...]) -> Judged:
    """Make every check that is asked of the machine; none where no tape holds a hole.

    `signals` are those that ring.
    """
    if not any(tape.holes for tape in tapes.tapes):
        return Judged((), ())
    sheet = read_sheet(machine)
    subject = Subject(sheet, tapes.tapes, tapes.operation.gate, signals)
    judged = [(each, give_verdict(each, subject)) for each in JUDGEMENTS if each.is_asked(sheet)]
    return Judged(tuple(verdict for _, verdict in judged), tuple(tell(judged, subject)))
