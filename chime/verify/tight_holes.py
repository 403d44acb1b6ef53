"""Which holes of a tape have the least to spare, and in which check; and at which of them a check fails."""

from collections import defaultdict
from collections.abc import Iterator

from chime.diagnostics import Code
from chime.tape.model import Hole, Tape
from chime.verify import machine_faults as codes
from chime.verify.gate_judged import heard_apart_left
from chime.verify.judging import NOTHING, Judgement, Subject, neighbours
from chime.verify.model import ShortHoles, TightHole, Verdict
from chime.verify.rows_judged import own_row_left
from chime.verify.webs_judged import reach_in_rows, web_across_left, web_along_left

MOST = 5
"""How many holes of a tape are named."""


def find_tight(judged: list[tuple[Judgement, Verdict]], subject: Subject) -> tuple[TightHole, ...]:
    """Return of each tape the holes with the least to spare, in the checks that could be made."""
    made = {j.code: v.check for j, v in judged if v.verdict != "cannot say"}
    return tuple(hole for tape in subject.tapes for hole in _of_tape(tape, subject, made))


def _of_tape(tape: Tape, subject: Subject, made: dict[Code, str]) -> list[TightHole]:
    least: dict[tuple[int, int], tuple[float, str]] = {}
    for hole, margin, code in _margins(tape, subject, set(made)):
        place = hole.row, hole.track
        least[place] = min(least.get(place, (margin, made[code])), (margin, made[code]))
    tight = sorted((margin, row, track, check) for (row, track), (margin, check) in least.items())
    return [
        TightHole(tape.id, row, track, round(margin, 4), check) for margin, row, track, check in tight[:MOST]
    ]


def _margins(tape: Tape, subject: Subject, made: set[Code]) -> Iterator[tuple[Hole, float, Code]]:
    if codes.ROW_MISSED in made:
        left_on = {track: own_row_left(subject, track) for track in {hole.track for hole in tape.holes}}
        yield from ((hole, left_on[hole.track], codes.ROW_MISSED) for hole in tape.holes)
    if codes.WEB_ALONG in made:
        for first, second in neighbours(tape):
            left = web_along_left(subject, (second.row - first.row) % tape.rows)
            yield from ((hole, left, codes.WEB_ALONG) for hole in (first, second))
    if codes.WEB_ACROSS in made:
        yield from _across(tape, subject)


def find_short(judged: list[tuple[Judgement, Verdict]], subject: Subject) -> tuple[ShortHoles, ...]:
    """Return the holes of each tape at which a check fails, as far as it is a check of single holes."""
    failed = {j.code: v.check for j, v in judged if v.verdict == "fails"}
    found = []
    for tape in subject.tapes if failed else ():
        places: dict[Code, set[tuple[int, int]]] = defaultdict(set)
        for hole, margin, code in (
            *_margins(tape, subject, set(failed)),
            *_pauses(tape, subject, set(failed)),
        ):
            if margin < NOTHING:
                places[code].add((hole.row, hole.track))
        found += [
            ShortHoles(tape.id, check, tuple(sorted(places[code])))
            for code, check in failed.items()
            if places[code]
        ]
    return tuple(found)


def _pauses(tape: Tape, subject: Subject, asked: set[Code]) -> Iterator[tuple[Hole, float, Code]]:
    if codes.HEARD_AS_ONE in asked:
        for first, second in neighbours(tape):
            left = heard_apart_left(subject, (second.row - first.row) % tape.rows)
            yield from ((hole, left, codes.HEARD_AS_ONE) for hole in (first, second))


def _across(tape: Tape, subject: Subject) -> Iterator[tuple[Hole, float, Code]]:
    rows: dict[int, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        rows[hole.row].append(hole)
    reach, known = reach_in_rows(subject), dict[tuple[int, int, int], float]()
    for first in tape.holes:
        for apart in range(reach + 1):
            for second in rows.get((first.row + apart) % tape.rows, ()):
                if second.track != first.track:
                    pair = apart, first.track, second.track
                    if pair not in known:
                        known[pair] = web_across_left(subject, *pair)
                    yield from ((hole, known[pair], codes.WEB_ACROSS) for hole in (first, second))
