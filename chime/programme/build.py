"""From blocks to the checked programme, in the order in which one part needs the other."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence

from chime.diagnostics import Diagnostic, Source, Span, is_error
from chime.file_access import ReadFile
from chime.parsing.tree import Document
from chime.programme import advice, block_faults, pattern_faults
from chime.programme.bells import build_audiences, build_groups, build_signals, build_zones
from chime.programme.equipment import Line, Machine, Supply
from chime.programme.head import Head, build_head
from chime.programme.model import Holidays, Programme, SpecialDays, Term, Timetable
from chime.programme.name_faults import SAID_TWICE
from chime.programme.names import Names
from chime.programme.patterns import build_cycles, build_terms, build_weeks
from chime.programme.special_days import build_special_days
from chime.programme.timetables import build_timetables
from chime.records import NamedTuple

Faults = list[Diagnostic]


class Built(NamedTuple):
    """The checked programme and every fault of its names and values.

    With an error among the faults the programme holds what could be read, to look for more of them only:
    a day of a week or a cycle may stand as a silent one, and a term have a pattern that is not known.
    """

    programme: Programme
    diagnostics: tuple[Diagnostic, ...]


def build(document: Document, read_file: ReadFile) -> Built:
    """Check the names and values of a document; `read_file` gives the files that exceptions name."""
    faults_: Faults = []
    names = Names(document)
    head = build_head(document, faults_)
    zones = build_zones(names, faults_)
    signals = build_signals(names, faults_)
    timetables = build_timetables(names, faults_)
    weeks = build_weeks(names, faults_)
    cycles = build_cycles(names, faults_)
    terms = build_terms(names, cycles, faults_)
    if names.is_whole and not names.declared("term") and not any(b.kind == "term" for b in document.blocks):
        faults_ += _no_term(document, head)
    specials = _specials(document, names, terms, timetables, head, read_file, faults_)
    programme = Programme(
        head.name,
        head.place,
        head.issue,
        head.issued,
        head.published,
        head.longest_ring_ms,
        head.hand_rings,
        head.clocks,
        zones,
        build_groups(names),
        build_audiences(names),
        signals,
        timetables,
        weeks,
        cycles,
        terms,
        specials,
        _machine(document, names, faults_),
        _supplies(names, faults_),
        _lines(names, faults_),
        _holidays_release(specials),
        head.span,
    )
    faults_ += names.diagnostics + advice.emergencies(programme) + advice.unread_blocks(programme)
    if names.is_whole:
        faults_ += _unused(document, names, programme, faults_)
    return Built(programme, tuple(_without_guesses(document, faults_)))


def _without_guesses(document: Document, faults_: Faults) -> Faults:
    """Leave out what is wrong with a guess, or clashes with one: it is no fault of the programme."""
    guessed: dict[Source, list[Span]] = {}
    for span in (span for block in document.blocks for span in block.guessed):
        guessed.setdefault(span.source, []).append(span)
    if not guessed:
        return faults_
    for spans in guessed.values():
        spans.sort(key=lambda span: span.start)
    return [f for f in faults_ if not any(_meets(span, guessed) for span in _grounds(f))]


def _grounds(fault: Diagnostic) -> list[Span]:
    """Return the places that a fault rests on: its own, and where something is said for the first time."""
    twice = (
        block_faults.LINE_TWICE,
        pattern_faults.WEEKDAY_TWICE,
        pattern_faults.CYCLE_DAY_TWICE,
        pattern_faults.TWO_PATTERNS,
        SAID_TWICE,
    )
    return [label.span for label in fault.labels if label.role == "primary" or fault.code in twice]


def _meets(span: Span, guessed: Mapping[Source, Sequence[Span]]) -> bool:
    """Say whether a place shares a character with a stretch; an empty one needs only to touch."""
    spans = guessed.get(span.source, ())
    first = bisect_right(spans, span.start, key=lambda other: other.start)
    for other in spans[max(0, first - 1) : bisect_right(spans, span.end, key=lambda other: other.start)]:
        apart = min(span.end, other.end) - max(span.start, other.start)
        if apart > 0 or (apart == 0 and (span.start == span.end or other.start == other.end)):
            return True
    return False


def _unused(document: Document, names: Names, programme: Programme, faults_: Faults) -> list[Diagnostic]:
    unused = advice.unused_blocks(names)
    if not (is_error(faults_) or any(not b.is_certain for b in document.blocks)):
        return unused + advice.silent_zones(names, programme)
    if not unused:
        return unused
    from chime.programme.unused import certainly_unused

    return certainly_unused(unused, document, names, faults_)


def _no_term(document: Document, head: Head) -> list[Diagnostic]:
    has_programme = any(b.kind == "programme" for b in document.blocks)
    return [pattern_faults.no_term(head.span)] if has_programme else []


def _specials(
    document: Document,
    names: Names,
    terms: tuple[Term, ...],
    timetables: tuple[Timetable, ...],
    head: Head,
    read_file: ReadFile,
    faults_: Faults,
) -> tuple[SpecialDays, ...]:
    blocks = [b for b in document.blocks if b.kind == "exceptions"]
    periods = {p.label for t in timetables for p in t.periods}
    labels = frozenset(periods | {r.label for t in timetables for r in t.rings if r.label})
    return build_special_days(blocks, names, terms, labels, head.place, read_file, faults_)


def _machine(document: Document, names: Names, faults_: Faults) -> Machine | None:
    blocks = [b for b in document.blocks if b.kind == "machine"]
    if not blocks:
        return None
    from chime.programme.machine import build_machine

    spans: list[Span] = [b.span for b in blocks]
    faults_ += [block_faults.two_machines(span, spans[0]) for span in spans[1:]]
    return build_machine(blocks[0], names, faults_)


def _supplies(names: Names, faults_: Faults) -> tuple[Supply, ...]:
    from chime.programme.supplies import build_supply

    found = [build_supply(d, names, faults_) for d in names.declared("supply")]
    return tuple(s for s in found if s is not None)


def _lines(names: Names, faults_: Faults) -> tuple[Line, ...]:
    from chime.programme.supplies import build_line

    found = [build_line(d, names, faults_) for d in names.declared("line")]
    return tuple(s for s in found if s is not None)


def _holidays_release(specials: tuple[SpecialDays, ...]) -> str | None:
    if not any(isinstance(s.when, Holidays) for s in specials):
        return None
    from chime.programme.public_days import release

    return release()
