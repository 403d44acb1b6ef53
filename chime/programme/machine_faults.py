"""What can be wrong with the lines of a machine: codes N401 to N412."""

from collections.abc import Sequence

from chime.clock import WEEKDAYS, write_time
from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.equipment import Value

GATE_AND_NO_GATE = Code(
    "N401",
    "gate-and-no-gate",
    "error",
    "A machine has a gate that cuts each ring to length, or it has none and a hole rings as long as its "
    "contact stays closed. It cannot be both.",
    "machine tower\n  gate at 7 s for 5 s, within 0.4 s\n  no gate",
    "machine tower\n  gate at 7 s for 5 s, within 0.4 s",
)
SPROCKET_AND_FRICTION = Code(
    "N402",
    "sprocket-and-friction",
    "error",
    "A tape is drawn by pins in its drive holes, or by rollers that hold it by friction. With pins the "
    "count of the drive holes keeps the programme in step; with rollers nothing does, so which it is must "
    "be plain.",
    "machine tower\n  sprocket every 2.54 mm\n  friction",
    "machine tower\n  sprocket every 2.54 mm",
)
ROWS_DO_NOT_FILL_LOOP = Code(
    "N403",
    "rows-do-not-fill-loop",
    "error",
    "A loop holds a whole number of rows. If the last row were shorter than the others, the programme "
    "would come round early and be wrong by more every time.",
    "machine tower\n  loop 24 h in rows of 7 min",
    "machine tower\n  loop 24 h in rows of 6 min",
)
SHARE_OVER_WHOLE = Code(
    "N404",
    "share-over-whole",
    "error",
    "A share is a part of something, so it is 100 % at most. The reserve is a share of a row; stretch is "
    "a share of the length that is stretched.",
    "machine tower\n  reserve 500 %",
    "machine tower\n  reserve 5 %",
)
TOLERANCE_TOO_WIDE = Code(
    "N405",
    "tolerance-as-large-as-value",
    "error",
    "A tolerance is smaller than the value it belongs to. A hole of 0.5 mm within 0.5 mm might be no hole "
    "at all; usually a decimal point has slipped.",
    "machine tower\n  hole round 1.83 mm within 5 mm",
    "machine tower\n  hole round 1.83 mm within 0.05 mm",
)
GATE_RANGE_BACKWARDS = Code(
    "N406",
    "gate-range-backwards",
    "error",
    "An adjustable gate gives its shortest length first and then its longest.",
    "machine tower\n  gate at 7 s for 12 s to 3 s",
    "machine tower\n  gate at 7 s for 3 s to 12 s",
)
NOT_A_CLOCK_TIME = Code(
    "N407",
    "not-a-clock-time",
    "error",
    "A machine goes by the clock on the wall: what it does begins at a time from 00:00 to 23:59. Times "
    "past 24:00 belong to timetables and exceptions.",
    "machine tower\n  silenced Sat, Sun turning at 24:45 within 15 min",
    "machine tower\n  silenced Sat, Sun turning at 00:45 within 15 min",
)
SILENCE_OVER_A_DAY = Code(
    "N408",
    "silence-over-a-day",
    "error",
    "A machine that is silenced by the clock does the same every day, so one silence is at most a day long.",
    "machine tower\n  silenced 17:30 - 42:00",
    "machine tower\n  silenced 17:30 - 06:50",
)
WEEKDAY_TWICE = Code(
    "N409",
    "machine-weekday-twice",
    "error",
    "A weekday is named once in a line, and is silenced once for each zone. One that is named again "
    "usually stands for another that is now missing.",
    "machine tower\n  silenced Sat, Sat",
    "machine tower\n  silenced Sat, Sun",
)
TRACK_TWICE = Code(
    "N410",
    "machine-track-twice",
    "error",
    "How far ahead a track is read is said once, for that track or for all tracks, and a track is called "
    "out of use once. One that is named again usually stands for another that is now missing.",
    "machine tower\n  reads 2 rows ahead on track 1, 4 rows ahead on track 1",
    "machine tower\n  reads 2 rows ahead on track 1, 4 rows ahead on track 2",
)
TRACKS_IN_ONE_PLACE = Code(
    "N411",
    "tracks-in-one-place",
    "error",
    "Each track has a place of its own across the tape: one hole cannot be on two tracks.",
    "machine tower\n  tracks at 7, 12, 12 mm from the guided edge",
    "machine tower\n  tracks at 7, 12, 17 mm from the guided edge",
)
NO_SUCH_TRACK = Code(
    "N412",
    "machine-lacks-track",
    "error",
    "Tracks are numbered from 1, in the order in which `tracks at` gives their places. What is said of a "
    "track that the machine does not have was meant for another.",
    "machine tower\n  tracks at 7, 12 mm from the guided edge\n  out of use track 3",
    "machine tower\n  tracks at 7, 12 mm from the guided edge\n  out of use track 2",
)

CODES = (
    GATE_AND_NO_GATE,
    SPROCKET_AND_FRICTION,
    ROWS_DO_NOT_FILL_LOOP,
    SHARE_OVER_WHOLE,
    TOLERANCE_TOO_WIDE,
    GATE_RANGE_BACKWARDS,
    NOT_A_CLOCK_TIME,
    SILENCE_OVER_A_DAY,
    WEEKDAY_TWICE,
    TRACK_TWICE,
    TRACKS_IN_ONE_PLACE,
    NO_SUCH_TRACK,
)


def gate_and_no_gate(span: Span, first: Span) -> Diagnostic:
    """Say that a machine is given a gate and none."""
    return complain(
        GATE_AND_NO_GATE,
        "this machine has a gate and no gate",
        (span, "one of the two"),
        "How long a bell sounds depends on it, and which of the two is meant could not be told.",
        [(first, "the other")],
    )


def sprocket_and_friction(span: Span, first: Span) -> Diagnostic:
    """Say that a tape is drawn by pins and by friction."""
    return complain(
        SPROCKET_AND_FRICTION,
        "this machine draws its tape by a sprocket and by friction",
        (span, "one of the two"),
        "Whether the programme can creep out of step depends on it, and which of the two is meant could not "
        "be told.",
        [(first, "the other")],
    )


def rows_do_not_fill_loop(interval: Span, cycle: Span, nearest: Sequence[str]) -> Diagnostic:
    """Say that a loop does not hold whole rows; `nearest` are intervals of which it does."""
    return complain(
        ROWS_DO_NOT_FILL_LOOP,
        f"a loop of {as_written(cycle)} does not divide into whole rows of {as_written(interval)}",
        (interval, "the last row would be cut short"),
        "The programme would come round at the wrong time, and be wrong by more every time.",
        [(cycle, "the length of the loop")],
        write_instead(interval, *nearest),
    )


def share_over_whole(span: Span) -> Diagnostic:
    """Say that a share is more than 100 %."""
    why = "A share is a part of something, so it is 100 % at most; a decimal point has probably slipped."
    return complain(
        SHARE_OVER_WHOLE, f"{as_written(span)} is more than the whole", (span, "more than 100 %"), why
    )


def tolerance_too_wide(span: Span, value: Span) -> Diagnostic:
    """Say that a tolerance is not smaller than its value."""
    return complain(
        TOLERANCE_TOO_WIDE,
        f"the tolerance of {as_written(span)} is not smaller than the value {as_written(value)}",
        (span, "as large as the value, or larger"),
        "The value could then be nothing at all, and no verdict could rest on it.",
        [(value, "the value")],
        sketch("measure several of them: the tolerance is the most by which one is off, either way"),
    )


def gate_range_backwards(span: Span, shortest: Value, longest: Value) -> Diagnostic:
    """Say that the second length of an adjustable gate is not the longer one."""
    turned = f"for {as_written(longest.span)} to {as_written(shortest.span)}"
    is_same = shortest.amount == longest.amount
    return complain(
        GATE_RANGE_BACKWARDS,
        "the second length of this gate is not longer than the first",
        (span, "shortest first, then longest"),
        "A gate that is set somewhere between two lengths needs a shortest and a longest.",
        offers=write_instead(span, f"for {as_written(shortest.span)}" if is_same else turned),
    )


def not_a_clock_time(span: Span, at: int, *, alone: bool) -> Diagnostic:
    """Say that a machine's time lies past 23:59; unless it stands alone, more than it would have to change."""
    offers = write_instead(span, write_time(at % 86_400)) if alone else ()
    return complain(
        NOT_A_CLOCK_TIME,
        f"no clock shows {span.text}",
        (span, "past 23:59"),
        "A machine goes by the clock on the wall, which begins anew at 00:00.",
        offers=offers,
    )


def silence_over_a_day(span: Span) -> Diagnostic:
    """Say that a daily silence is longer than a day."""
    return complain(
        SILENCE_OVER_A_DAY,
        "this silence is longer than a day",
        (span, "more than 24 hours"),
        "It comes every day, so the machine would never ring.",
        offers=sketch("write the clock time at which it ends: silenced 17:30 - 06:50"),
    )


def weekday_twice(span: Span, weekdays: Sequence[int], first: Span) -> Diagnostic:
    """Say that weekdays (0 is Monday) are named again."""
    named = ", ".join(WEEKDAYS[day] for day in weekdays)
    return complain(
        WEEKDAY_TWICE,
        f"{named} {'is' if len(weekdays) == 1 else 'are'} named twice",
        (span, "named again"),
        "Another was probably meant, and on that day the bells would now do the wrong thing.",
        [(first, "first named here")],
    )


def reads_twice(span: Span, first: Span) -> Diagnostic:
    """Say that how far ahead a track is read is said twice, one of them perhaps for all tracks."""
    return complain(
        TRACK_TWICE,
        "how far ahead this is read is said twice",
        (span, "said again"),
        "Every hole of the track would be punched at one of two rows, and which is meant could not be told.",
        [(first, "first said here")],
    )


def out_of_use_twice(span: Span, first: Span) -> Diagnostic:
    """Say that a track is called out of use twice."""
    return complain(
        TRACK_TWICE,
        f"track {span.text} is called out of use twice",
        (span, "named again"),
        "Another track was probably meant, and would now be punched although it is never read.",
        [(first, "first named here")],
    )


def tracks_in_one_place(span: Span, first: Span) -> Diagnostic:
    """Say that two tracks have the same place across the tape."""
    return complain(
        TRACKS_IN_ONE_PLACE,
        f"two tracks stand at one place across the tape: {span.text}",
        (span, "the same place again"),
        "Each track has a place of its own: a hole here would be read on both.",
        [(first, "the other track")],
    )


def no_such_track(span: Span, tracks: Sequence[Value]) -> Diagnostic:
    """Say that a track is not among those whose places the machine gives."""
    count = len(tracks)
    places = Span(tracks[0].span.source, tracks[0].span.start, tracks[-1].span.end)
    return complain(
        NO_SUCH_TRACK,
        f"this machine has no track {span.text}",
        (span, "no such track"),
        "Tracks are numbered from 1 in the order of their places, so this was meant for another.",
        [(places, f"{count} {'track' if count == 1 else 'tracks'}")],
    )


def as_written(span: Span) -> str:
    """Return a quantity as written, without `assumed`."""
    return " ".join(span.text.removesuffix("assumed").split())
