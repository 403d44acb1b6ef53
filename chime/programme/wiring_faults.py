"""What can be wrong with a selector, its wirings, a cable or a supply: codes N413 to N419."""

from collections.abc import Sequence

from chime.diagnostics import Code, Diagnostic, Edit, Span, Suggestion
from chime.diagnostics.complain import complain, sketch
from chime.programme.equipment import Count
from chime.programme.machine_faults import as_written

_SUPPLY = "supply clock-supply 24 V 2 A"
_LINE = f"{_SUPPLY}\nline dials fed by clock-supply\n  clocks 3 at 12 mA each\n  cable 0.75 mm2, clocks at"

SELECTOR_MISSING = Code(
    "N413",
    "selector-missing",
    "error",
    "Positions are those of a selector. Without the line that counts them, nobody can tell whether one "
    "has been left out.",
    "machine tower\n  position 1 main on track 1",
    "machine tower\n  selector 1 position\n  position 1 main on track 1",
)
NO_SUCH_POSITION = Code(
    "N414",
    "no-such-position",
    "error",
    "The positions of a selector are numbered from 1. A position past the last one cannot be set.",
    "machine tower\n  selector 1 position\n  position 1 main on track 1\n  position 2 main on track 2",
    "machine tower\n  selector 2 positions\n  position 1 main on track 1\n  position 2 main on track 2",
)
POSITION_TWICE = Code(
    "N415",
    "position-twice",
    "error",
    "A line gives all the wirings of its position, so a position has one line.",
    "machine tower\n  selector 1 position\n  position 1 main on track 1\n  position 1 main on track 2",
    "machine tower\n  selector 1 position\n  position 1 main on track 1, main on track 2",
)
POSITION_MISSING = Code(
    "N416",
    "position-missing",
    "error",
    "If wirings are given for one position of the selector, they are given for all: in a position left "
    "out, nobody knows which bells a track would ring.",
    "machine tower\n  selector 2 positions\n  position 1 main on track 1",
    "machine tower\n  selector 2 positions\n  position 1 main on track 1\n  position 2 main on track 2",
)
WIRING_TWICE = Code(
    "N417",
    "wiring-twice",
    "error",
    "A position says once that a zone is on a track. A zone may be on several tracks, each named once.",
    "machine tower\n  selector 1 position\n  position 1 main on track 1, main on track 1",
    "machine tower\n  selector 1 position\n  position 1 main on track 1, main on track 2",
)
TAPS_MISCOUNTED = Code(
    "N418",
    "loads-and-taps-differ",
    "error",
    "A cable that gives the place of each bell or clock gives as many places as there are bells or "
    "clocks. With one too few, the voltage at the far end would come out too high.",
    f"{_LINE} 10, 20 m",
    f"{_LINE} 10, 20, 30 m",
)
SHORT_TIME_TOO_LOW = Code(
    "N419",
    "short-time-too-low",
    "error",
    "A supply gives more for a short time than it can give without end, never less.",
    "supply clock-supply 24 V 8 A short-time 7 A for 15 s\nline dials fed by clock-supply",
    "supply clock-supply 24 V 7 A short-time 8 A for 15 s\nline dials fed by clock-supply",
)

CODES = (
    SELECTOR_MISSING,
    NO_SUCH_POSITION,
    POSITION_TWICE,
    POSITION_MISSING,
    WIRING_TWICE,
    TAPS_MISCOUNTED,
    SHORT_TIME_TOO_LOW,
)


def selector_missing(span: Span, positions: Sequence[int]) -> Diagnostic:
    """Say that positions are given without the selector that has them; `span` is the first of them."""
    last = max(positions)
    words = "1 position" if last == 1 else f"{last} positions"
    line_start = span.source.line_bounds(span.line)[0]
    indent = span.source.text[line_start : span.start]
    edits = (Edit(Span(span.source, span.start, span.start), f"selector {words}\n{indent}"),)
    return complain(
        SELECTOR_MISSING,
        "positions are given, but no selector",
        (span, "a position of what?"),
        "The selector's line says how many positions there are, so that none is left out unseen.",
        offers=(Suggestion(f"selector {words}", "guess", edits),),
    )


def no_such_position(span: Span, selector: Count) -> Diagnostic:
    """Say that a position is past the selector's last."""
    return complain(
        NO_SUCH_POSITION,
        f"there is no position {span.text}",
        (span, "past the last position"),
        "Nobody could set the selector to it, and its wirings would never be used.",
        [(selector.span, "positions of the selector")],
    )


def position_twice(span: Span, first: Span) -> Diagnostic:
    """Say that a position has two lines."""
    return complain(
        POSITION_TWICE,
        f"position {span.text} is said twice",
        (span, "said again"),
        "Which of the two is meant could not be told.",
        [(first, "first said here")],
        sketch("write all wirings of a position in one line, with commas"),
    )


def position_missing(selector: Count, missing: Sequence[int]) -> Diagnostic:
    """Say that positions of the selector have no wirings while others have."""
    listed = ", ".join(str(number) for number in missing[:5]) + (" and more" if len(missing) > 5 else "")
    plural = "s" if len(missing) > 1 else ""
    return complain(
        POSITION_MISSING,
        f"no wirings are given for position{plural} {listed}",
        (selector.span, "positions of the selector"),
        "Nobody could tell which bells a track rings when the selector stands there.",
        offers=sketch(f"position {missing[0]}  main on track 1"),
    )


def wiring_twice(span: Span, zone: str, track: int, first: Span) -> Diagnostic:
    """Say that a zone is twice on one track in one position."""
    return complain(
        WIRING_TWICE,
        f"zone {zone} is on track {track} twice",
        (span, "said again"),
        "Another zone or another track was probably meant, and would now be without its bells.",
        [(first, "first said here")],
    )


def taps_miscounted(cable: Span, taps: int, load: Span, loads: int) -> Diagnostic:
    """Say that a cable gives more or fewer places than there are bells or clocks."""
    return complain(
        TAPS_MISCOUNTED,
        f"{loads} loads, but {taps} {'place' if taps == 1 else 'places'} along the cable",
        (cable, f"{taps} {'place' if taps == 1 else 'places'}"),
        "Where each load hangs settles the voltage at the far end.",
        [(load, f"{loads} in all")],
        sketch("give a distance for each, or write them evenly spaced: every 5 m"),
    )


def short_time_too_low(span: Span, current: Span) -> Diagnostic:
    """Say that a supply's short-time rating is lower than what it always gives."""
    return complain(
        SHORT_TIME_TOO_LOW,
        f"a short-time rating of {as_written(span)} is lower than {as_written(current)}",
        (span, "lower"),
        "A supply gives more for a short time than without end, so the two were probably changed over.",
        [(current, "what it always gives")],
    )
