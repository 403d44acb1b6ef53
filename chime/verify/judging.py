"""How a check of the machine is made: what it needs, what it finds, and what that says.

A check names the values that it needs before it looks at any of them. If one is not known the check cannot be
made, and says which; else it finds what is left in the worst case, its margins.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator

from chime.diagnostics import Code, Span
from chime.programme.model import Signal
from chime.records import NamedTuple
from chime.tape.model import GateSetting, Hole, Tape
from chime.verify.machine_sheet import Sheet
from chime.verify.model import RestsOn, Verdict

NOTHING = -1e-9
"""A margin that is less than nothing by no more than arithmetic is nothing."""


class Subject(NamedTuple):
    """What is judged: the machine, the tapes that it reads, how its gate is set, the signals that ring.

    With `is_cut_anew` the tapes are not cut yet, and their joint may lie wherever there is most room.
    """

    sheet: Sheet
    tapes: tuple[Tape, ...]
    gate: GateSetting | None
    signals: tuple[Signal, ...]
    is_cut_anew: bool = False

    def tracks(self) -> list[int]:
        """Return the tracks that hold holes, in order."""
        return sorted({hole.track for tape in self.tapes for hole in tape.holes})

    def gate_length_s(self) -> float:
        """Return for how long the gate is closed, as it is set."""
        set_us = None if self.gate is None else self.gate.length_us
        return self.sheet.amount("length of the gate") if set_us is None else set_us / 1e6

    def nearest_on_a_track(self) -> tuple[int, Hole, Hole] | None:
        """Return the two holes of one track and tape that are nearest to each other, and the rows between."""
        pairs = [
            ((second.row - first.row) % tape.rows, first, second)
            for tape in self.tapes
            for first, second in neighbours(tape)
        ]
        return min(pairs, key=lambda pair: (pair[0], pair[1].row, pair[1].track), default=None)


def neighbours(tape: Tape) -> Iterator[tuple[Hole, Hole]]:
    """Give each hole of a tape with the one after it on its track, round the loop."""
    by_track: dict[int, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        by_track[hole.track].append(hole)
    for holes in by_track.values():
        if len(holes) > 1:
            yield from zip(holes, [*holes[1:], holes[0]], strict=True)


class Found(NamedTuple):
    """What a check found: how it stands in words, and what is left in the worst case, in mm or s or both.

    `at` names the value that has the largest part in it, if one has; `provided` is what must be done so that
    it is so.
    """

    says: str
    margin_mm: float | None = None
    margin_s: float | None = None
    because: tuple[Span, ...] = ()
    holds: bool = True
    at: str = ""
    provided: str = ""

    def is_good(self) -> bool:
        """Tell whether the check holds."""
        margins = [margin for margin in (self.margin_mm, self.margin_s) if margin is not None]
        return self.holds and all(margin >= NOTHING for margin in margins)


class Judgement(NamedTuple):
    """A check of the machine: its sentence, whether it is asked, what it needs, what it finds.

    `code` is that of its failure and `failure` how that is called; `blames` are the values at which it
    points, and `cures` those of which another amount may mend it; `otherwise` is offered where none would.
    Where `claims_reserve` the margin is held against the machine's reserve. `is_of_tapes` says that it
    depends on the holes of a programme.
    """

    sentence: str
    code: Code
    failure: str
    is_asked: Callable[[Sheet], bool]
    needs: Callable[[Subject], tuple[str, ...]]
    find: Callable[[Subject], Found]
    blames: tuple[str, ...]
    cures: tuple[str, ...] = ()
    otherwise: str = ""
    claims_reserve: bool = False
    is_of_tapes: bool = False


def give_verdict(judgement: Judgement, subject: Subject) -> Verdict:
    """Make one check."""
    sheet = subject.sheet
    reserve = ("reserve",) if judgement.claims_reserve else ()
    names = tuple(dict.fromkeys((*judgement.needs(subject), *reserve)))
    rests_on = tuple(RestsOn(name, sheet.status(name)) for name in names)
    lacks = tuple(name for name in names if sheet.lacks(name))
    if lacks:
        return Verdict(judgement.sentence, "cannot say", rests_on, lacks=lacks)
    found = judgement.find(subject)
    said = tuple(sheet.values[name].span for name in names if name in sheet.values)
    because = tuple(dict.fromkeys((*found.because, *said)))
    return Verdict(
        judgement.sentence,
        "holds" if found.is_good() else "fails",
        rests_on,
        found.says,
        _rounded(found.margin_mm),
        _rounded(found.margin_s),
        because,
        at=sheet.values[found.at].span if found.at in sheet.values else None,
        provided=found.provided,
    )


def _rounded(margin: float | None) -> float | None:
    """Return a margin to a tenth of a micrometre or a millisecond: more is arithmetic."""
    return None if margin is None else round(margin, 4) + 0.0
