"""The programme block: place, issue, and what holds for the whole programme."""

from collections.abc import Sequence
from datetime import date
from typing import Literal

from chime import zone_time
from chime.clock import DAY
from chime.diagnostics import Diagnostic, Span
from chime.diagnostics.suggest import nearest
from chime.parsing.tree import Block, Document, Node
from chime.programme import block_faults
from chime.programme import head_faults as faults
from chime.programme.model import ClockChoices
from chime.programme.names import as_name
from chime.programme.value_faults import out_of_range
from chime.programme.values import bell_length_of, date_of, time_of, whole_of
from chime.records import NamedTuple

LONGEST_RING_MS = 20_000
"""The default of `longest ring`: common practice, no published source."""

Faults = list[Diagnostic]


class Head(NamedTuple):
    """What the programme block says."""

    name: str
    place: str
    issue: int
    issued: date
    published: str | None
    longest_ring_ms: int
    hand_rings: bool
    clocks: ClockChoices
    span: Span


class _HeadReader:
    def __init__(self, faults_: Faults) -> None:
        self.faults = faults_
        self.said: dict[str, Span] = {}
        self.place: str | None = None
        self.issue: tuple[int, date] | None = None
        self.published: str | None = None
        self.longest: int | None = None
        self.hand_rings = False
        self.clocks = ClockChoices(None, None, None, None)

    def take(self, line: Node) -> None:
        if line.rule in self.said:
            words = line.rule.removesuffix("_line").replace("_", " ")
            self.faults.append(block_faults.line_twice(line.span, self.said[line.rule], words))
            return
        self.said[line.rule] = line.span
        getattr(self, line.rule)(line)

    def place_line(self, line: Node) -> None:
        """`place Europe/London`."""
        word = line.word("TZ")
        if word.text in zone_time.places():
            self.place = word.text
        else:
            self.faults.append(faults.unknown_place(word.span, nearest(word.text, zone_time.places())))

    def issue_line(self, line: Node) -> None:
        """`issue 2 on 2026-08-17`."""
        number = whole_of(line.word("NUMBER"), self.faults)
        written = line.node("date")
        assert written is not None
        day = date_of(written, self.faults)
        self.issue = None if number is None or day is None else (number, day)

    def published_line(self, line: Node) -> None:
        """Read `published at "https://bells.example/quayside.ics"`."""
        word = line.word("STRING")
        address = as_name(word.text)
        if not address.startswith(("https://", "http://")) or " " in address or not address.isascii():
            self.faults.append(faults.not_an_address(word.span))
        self.published = address

    def longest_line(self, line: Node) -> None:
        """`longest ring 15 s`."""
        self.longest = bell_length_of(next(line.nodes("quantity")), self.faults)

    def hand_rings_line(self, line: Node) -> None:
        """`hand rings allowed`."""
        self.hand_rings = bool(line.rule)

    def clocks_line(self, line: Node) -> None:
        """`clocks skip missing hour, repeated hour rings first`."""
        seen: dict[str, Span] = {}
        missing: Literal["skip", "ring"] | None = None
        repeated: Literal["first", "second", "both"] | None = None
        missing_at = None
        for part in line.nodes():
            hour = "repeated" if part.rule == "repeated_hour" else "missing"
            if hour in seen:
                self.faults.append(faults.clock_choice_twice(part.span, seen[hour]))
                continue
            seen[hour] = part.span
            if part.rule == "skip_missing":
                missing = "skip"
            elif part.rule == "ring_missing":
                missing, missing_at = "ring", time_of(part.word("TIME"), self.faults)
                if missing_at is not None and missing_at >= DAY:
                    self.faults.append(out_of_range(part.word("TIME").span, "00:00", "23:59:59"))
            else:
                repeated = _which_pass(part)
        self.clocks = ClockChoices(missing, missing_at, repeated, line.span)


def _which_pass(part: Node) -> Literal["first", "second", "both"]:
    if part.node("first_pass") is not None:
        return "first"
    return "second" if part.node("second_pass") is not None else "both"


def build_head(document: Document, faults_: Faults) -> Head:
    """Return what the one programme block says; what a fault leaves unknown is filled in quietly."""
    blocks = [b for b in document.blocks if b.kind == "programme"]
    own = [b for b in blocks if b.span.source is document.main]
    faults_ += [faults.programme_in_used(b.span) for b in blocks if b.span.source is not document.main]
    if not own:
        if document.is_whole:
            own_kinds = {b.kind for b in document.blocks if b.span.source is document.main}
            faults_.append(faults.no_programme(document.main, is_machine="machine" in own_kinds))
        return _filled(_HeadReader(faults_), "", Span(document.main, 0, 0))
    faults_ += [faults.two_programmes(b.span, own[0].span) for b in own[1:]]
    return _read_block(own[0], faults_)


def _read_block(block: Block, faults_: Faults) -> Head:
    reader = _HeadReader(faults_)
    for line in block.lines:
        reader.take(line)
    if not block.unread:
        faults_ += _missing(reader, block.span)
    name = as_name(block.header.word("STRING").text) if block.header else ""
    return _filled(reader, name, block.span)


def _missing(reader: _HeadReader, span: Span) -> Sequence[Diagnostic]:
    examples = {
        "place_line": ("place", "place Europe/London"),
        "issue_line": ("issue", "issue 1 on 2026-08-17"),
    }
    return [faults.head_missing(span, *said) for rule, said in examples.items() if rule not in reader.said]


def _filled(reader: _HeadReader, name: str, span: Span) -> Head:
    number, day = reader.issue or (1, date(2000, 1, 1))
    return Head(
        name,
        reader.place or "UTC",
        number,
        day,
        reader.published,
        reader.longest or LONGEST_RING_MS,
        reader.hand_rings,
        reader.clocks,
        span,
    )
