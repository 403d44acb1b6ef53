"""What is not certain of a programme with errors, so that everything else can still be told.

Each error is looked at where it stands: a faulty line of a timetable leaves that timetable open, a faulty
line of the exceptions its dates, a faulty week its weekdays. Errors of a machine, a supply, a line or an
audience leave every ring alone.
"""

from collections.abc import Container, Iterable, Iterator, Sequence
from datetime import date

from chime.clock import dates
from chime.diagnostics import Diagnostic
from chime.parsing.tree import Block, Document, Node
from chime.programme.doubts import doubts
from chime.programme.lost_days import LostDates, find_lost_dates
from chime.programme.model import CyclePattern, Programme, RotatingWeeks, Term, UnknownPattern, Unsure
from chime.programme.names import as_name
from chime.programme.places import Places, known_names, name_of, names_in
from chime.programme.values import weekdays_of, whole_of

_LEAVE_RINGS_ALONE = frozenset(("place", "issue", "published", "hand"))
"""First words of lines of the programme block; without a place no clock change is known at all."""


def find_unsure(document: Document, programme: Programme, faults: Sequence[Diagnostic]) -> Unsure:
    """Return what is not certain; takes the faults of the document's lines, names and values."""
    places = Places(document, faults)
    timetables = frozenset(doubt.timetable for doubt in doubts(document, programme, places))
    names = frozenset(timetable.name for timetable in programme.timetables)
    terms = _Terms(document, programme, places)
    closing, running, changing = _dates(document, programme, places, terms)
    clocks, longest = _of_head(document, places)
    return Unsure(
        timetables=timetables,
        labels=bool(timetables) or not _are_all_there(document, places),
        signals=frozenset(_signals(document, places)),
        weekdays=frozenset(_weekdays(document, names, places)),
        cycle_days=frozenset(_cycle_days(document, names, places)),
        patterns=frozenset(term.label for term in programme.terms if terms.is_open(term)),
        terms=terms.are_open,
        closing=closing,
        running=running,
        changing=changing,
        clocks=clocks,
        longest=longest,
    )


def _are_all_there(document: Document, places: Places) -> bool:
    """Say whether every timetable is known by its name."""
    timetables = (block for block in document.blocks if block.kind == "timetable")
    return places.is_whole and all(block.header is not None for block in timetables)


def _dates(document: Document, programme: Programme, places: Places, terms: "_Terms") -> LostDates:
    if not places.is_whole:  # a missing block may hold exceptions
        return LostDates(terms.all_days, terms.all_days, terms.all_days)
    known = known_names(document, places)
    lost = find_lost_dates(document, programme, places, known, terms_open=terms.are_open)
    return LostDates(*(days | terms.days for days in lost))


# ------------------------------------------------------------------------ terms


class _Terms:
    """Which terms are missing, and of which the dates or the pattern are not certain."""

    def __init__(self, document: Document, programme: Programme, places: Places) -> None:
        blocks = [block for block in document.blocks if block.kind == "term"]
        self.is_whole = places.is_whole
        self.faulty = {_label_of(block) for block in blocks if places.of_block(block) or block.unread}
        undated = {_label_of(block) for block in blocks if _is_opener_faulty(block, places)}
        self.are_open = not places.is_whole or bool(undated) or len(programme.terms) != len(blocks)
        self.open_cycles = {
            name_of(block)
            for block in document.blocks
            if block.kind == "cycle" and _is_opener_faulty(block, places)
        }
        self.all_days = _days_of(programme.terms)
        self.days = _days_of([term for term in programme.terms if term.label in undated])

    def is_open(self, term: Term) -> bool:
        """Say whether it is not known what a term runs, or from where its letters or numbers count."""
        pattern = term.pattern
        if not self.is_whole or term.label in self.faulty or isinstance(pattern, UnknownPattern):
            return True
        if isinstance(pattern, CyclePattern) and pattern.cycle in self.open_cycles:
            return True
        if not isinstance(pattern, CyclePattern | RotatingWeeks):
            return False
        return self.are_open and pattern.anchor < term.first


def _label_of(block: Block) -> str | None:
    return as_name(block.header.word("STRING").text) if block.header is not None else None


def _is_opener_faulty(block: Block, places: Places) -> bool:
    return block.header is None or any(span.start <= block.span.end for span in places.of_block(block))


def _days_of(terms: Iterable[Term]) -> frozenset[date]:
    return frozenset(day for term in terms for day in dates(term.first, term.last))


# -------------------------------------------------------- signals, weeks and cycles


def _signals(document: Document, places: Places) -> Iterator[str]:
    for block in document.blocks:
        name = name_of(block) if block.kind == "signal" else None
        if name is not None and _is_opener_faulty(block, places):
            yield name


def _weekdays(document: Document, timetables: Container[str], places: Places) -> Iterator[tuple[str, int]]:
    for block in document.blocks:
        name = name_of(block) if block.kind == "week" else None
        if name is None:
            continue
        known: set[int] = set()
        open_: set[int] = set(range(7)) if _is_opener_faulty(block, places) else set()
        for line in block.lines:
            listed = line.node("weekdays")
            assert listed is not None
            is_known = _is_answer_known(line, timetables, places)
            (known if is_known else open_).update(weekday for weekday, _ in weekdays_of(listed, []))
        yield from ((name, weekday) for weekday in range(7) if weekday in open_ or weekday not in known)


def _cycle_days(document: Document, timetables: Container[str], places: Places) -> Iterator[tuple[str, int]]:
    for block in document.blocks:
        name = name_of(block) if block.kind == "cycle" else None
        for line in block.lines if name is not None else ():
            number = whole_of(line.word("NUMBER"), [])
            if number is not None and name is not None and not _is_answer_known(line, timetables, places):
                yield name, number - 1


def _is_answer_known(line: Node, timetables: Container[str], places: Places) -> bool:
    """Say whether a line of a week or a cycle certainly says what runs."""
    runs = line.node("runs")
    named = [name for name, _ in names_in(runs)] if runs is not None else []
    return not places.of_line(line.span) and all(name in timetables for name in named)


# ------------------------------------------------------------------ the programme block


def _of_head(document: Document, places: Places) -> tuple[bool, bool]:
    """Say whether it is open what happens when clocks change, and how long a sound may be."""
    blocks = [block for block in document.blocks if block.kind == "programme"]
    if not (places.has_head and places.is_whole and len(blocks) == 1):
        return True, True
    (block,) = blocks
    faulty = [line.span for line in block.lines if places.of_line(line.span)]
    faulty += [span for span in block.unread if span != block.span]
    words = {span.text.split(maxsplit=1)[0] for span in faulty} - _LEAVE_RINGS_ALONE
    return bool(words - {"longest"}), bool(words - {"clocks"})
