"""What can be wrong with the programme block: codes N365 to N369, N373, N374."""

from collections.abc import Sequence

from chime.diagnostics import Code, Diagnostic, Source, Span
from chime.diagnostics.complain import complain, sketch, write_instead

_HEAD = 'programme "One"\n  place Europe/London\n  issue 1 on 2026-08-17'

NO_PROGRAMME = Code(
    "N365", "no-programme", "error",
    "A programme begins with a block that names it, its place and its issue.",
    "",
    "",
)  # fmt: skip
TWO_PROGRAMMES = Code(
    "N366", "two-programmes", "error",
    "A programme has one programme block; a file that others use has none.",
    _HEAD + '\nprogramme "Two"\n  place Europe/London\n  issue 1 on 2026-08-17',
    _HEAD,
)  # fmt: skip
PROGRAMME_IN_USED = Code(
    "N367", "programme-in-used-file", "error",
    "A file that a programme uses holds blocks for many programmes, so it has no programme block of its own.",
    "",
    "",
)  # fmt: skip
HEAD_MISSING = Code(
    "N368", "head-line-missing", "error",
    "The programme block says the place (for the clocks) and the issue with its date (the only source of dates in outputs).",
    'programme "One"\n  place Europe/London',
    _HEAD,
)  # fmt: skip
UNKNOWN_PLACE = Code(
    "N369", "unknown-place", "error",
    "The place is a time zone of the IANA data, such as Europe/London: all times are what the clocks there show.",
    'programme "One"\n  place Europe/Londn\n  issue 1 on 2026-08-17',
    _HEAD,
)  # fmt: skip
CLOCK_CHOICE_TWICE = Code(
    "N373", "clock-choice-twice", "error",
    "One thing is done with rings in a missing hour, and one with those in a repeated hour.",
    _HEAD + "\n  clocks skip missing hour, ring missing hour at 03:00",
    _HEAD + "\n  clocks skip missing hour, repeated hour rings first",
)  # fmt: skip
PUBLISHED_NOT_ADDRESS = Code(
    "N374", "not-an-address", "error",
    "`published at` is the address from which calendars are fetched: it begins with https:// or http:// and has no spaces.",
    _HEAD + '\n  published at "the office"',
    _HEAD + '\n  published at "https://bells.example/one.ics"',
)  # fmt: skip

CODES = (
    NO_PROGRAMME,
    TWO_PROGRAMMES,
    PROGRAMME_IN_USED,
    HEAD_MISSING,
    UNKNOWN_PLACE,
    CLOCK_CHOICE_TWICE,
    PUBLISHED_NOT_ADDRESS,
)


def no_programme(main: Source, *, is_machine: bool) -> Diagnostic:
    """Say that there is no programme block; a file that describes a machine is no fault, but no programme."""
    if is_machine:
        return Diagnostic(
            NO_PROGRAMME, "the file describes a machine and has no programme block", (),
            "A machine is checked together with a programme that uses it: by itself it rings nothing.",
            sketch(f'check the programme that says: use "{main.path}"'), main.name,
        )  # fmt: skip
    return Diagnostic(
        NO_PROGRAMME, "the file has no programme block", (),
        "Without it nothing says whose bells these are, where the clocks are, and which issue this is.",
        sketch('programme "Our school"'), main.name,
    )  # fmt: skip


def two_programmes(span: Span, first: Span) -> Diagnostic:
    """Say that there are two programme blocks."""
    why = "Which of the two is meant could not be told."
    return complain(
        TWO_PROGRAMMES, "a second programme block", (span, "the second"), why, [(first, "the first")]
    )


def programme_in_used(span: Span) -> Diagnostic:
    """Say that a used file has a programme block."""
    why = "A used file holds blocks for many programmes; only the file that is compiled says which programme it is."
    return complain(
        PROGRAMME_IN_USED, "a programme block in a file that is used", (span, "in a used file"), why
    )


def head_missing(span: Span, line: str, example: str) -> Diagnostic:
    """Say that the programme block lacks a line."""
    why = {
        "place": "The place says whose clocks the times are; without it no clock change is known.",
        "issue": "The issue and its date stand on every tape and calendar, so that an old one is told from a new one.",
    }
    headline = f'the programme block has no line "{line}"'
    return complain(HEAD_MISSING, headline, (span, f"no {line}"), why[line], offers=sketch(example))


def unknown_place(span: Span, near: Sequence[str]) -> Diagnostic:
    """Say that a place is no time zone."""
    why = "A place is a time zone such as Europe/London; without it no clock change can be known."
    return complain(
        UNKNOWN_PLACE, f'there is no time zone called "{span.text}"', (span, "no such zone"), why,
        offers=write_instead(span, *near),
    )  # fmt: skip


def clock_choice_twice(span: Span, first: Span) -> Diagnostic:
    """Say that two things are to be done in one clock-change hour."""
    return complain(
        CLOCK_CHOICE_TWICE, "two answers for the same hour", (span, "the second answer"),
        "Which of the two is meant could not be told.", [(first, "the first")],
    )  # fmt: skip


def not_an_address(span: Span) -> Diagnostic:
    """Say that `published at` holds no address."""
    why = "Calendar programs fetch new issues from it."
    return complain(
        PUBLISHED_NOT_ADDRESS, "this is not an address of the web", (span, "no address"), why,
        offers=sketch('published at "https://bells.example/ours.ics"'),
    )  # fmt: skip
