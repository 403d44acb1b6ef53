"""The words for what is odd in a day that exceptions make; its codes are those of a timetable."""

from collections.abc import Sequence
from datetime import date

from chime.diagnostics import Code, Diagnostic, Suggestion
from chime.diagnostics.complain import complain, sketch
from chime.rings.day_warnings import Kind, Oddity
from chime.rings.ring_faults import OVERLAP, RINGS_NOWHERE, SIGNALS_MEET, WARNING_AT_END, on_dates

_WORDS: dict[Kind, tuple[Code, str, str, str | None]] = {
    "overlap": (OVERLAP, "makes them overlap", "Somebody would have to be at two places.", None),
    "meet": (
        SIGNALS_MEET, "makes them meet",
        "Rings of a zone at one time are one ring. The longest signal sounds, of equally long ones that which tolerates less.",
        None,
    ),
    "warning at end": (
        WARNING_AT_END, "brings them together",
        "They are one ring, so the warning cannot be told apart.", "another time for one of the two",
    ),
    "rings nowhere": (
        RINGS_NOWHERE, "drops its ring",
        "Its start or its end is still there, and gives no ring.", "drop the label, which takes the whole of it away",
    ),
}  # fmt: skip


def odd_days(oddity: Oddity, days: Sequence[date]) -> Diagnostic:
    """Warn of something odd that an exception brings about on some dates, the first of which is given first."""
    code, at_line, why, offer = _WORDS[oddity.kind]
    offers: tuple[Suggestion, ...] = sketch(offer) if offer is not None else ()
    headline = f"{oddity.said} {on_dates(days)}{oddity.so}"
    return complain(code, headline, (oddity.line, at_line), why, oddity.beside, offers)
