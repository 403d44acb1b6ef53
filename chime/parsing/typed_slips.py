"""Pieces that are never right as typed, wherever they stand: what they mean, and the repair.

Each reader takes a piece (its offsets in the line and its text) and returns its kind, its text as it
was meant, and the repair; no repair where the piece is right, or where nothing is known of it.
"""

import re

from chime.diagnostics import Certainty, Code
from chime.parsing import typed_faults as codes
from chime.parsing.repair import Change, Option, Repair
from chime.parsing.typed_values import DASHES_STRAIGHT, read_clock, read_date, read_half_day

Read = tuple[str, str, Repair | None]

SOME_DATE = "2026-01-01"
"""Stands for a date that cannot be told, so that the rest of its line can be held against the grammar."""

_RIGHT_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DIGITS = "Hours and minutes have two digits each, with a colon between them."
_HALVES = "Times are those of the 24-hour clock, so that no ring lands in the wrong half of the day."


def replacing(
    code: Code, place: tuple[int, int], words: tuple[str, str], offer: tuple[Certainty, str]
) -> Repair:
    """Return a repair that writes one text in place of another; `words` are its headline and its why."""
    start, end = place
    certainty, text = offer
    return Repair(code, start, end, *words, (Option(certainty, text, (Change(start, end, text),)),))


def dash(start: int, end: int, typed: str) -> Repair:
    """Return the repair of a piece in which only dashes are wrong."""
    straight = typed.translate(DASHES_STRAIGHT)
    changes = tuple(
        Change(start + at, start + at + 1, "-") for at, letter in enumerate(typed) if letter != straight[at]
    )
    shown = typed[changes[0].start - start]
    return Repair(
        codes.PASTED_DASH,
        start,
        end,
        f"the plain sign - is wanted here, not {shown}",
        "Word processors put longer dashes and minus signs in its place; they are not signs of the language.",
        (Option("sure", straight, changes),),
    )


def pasted_label(start: int, end: int, typed: str) -> Read:
    """Read a label in curly or single quotes."""
    label = f'"{typed[1:-1]}"'
    changes = (Change(start, start + 1, '"'), Change(end - 1, end, '"'))
    repair = Repair(
        codes.PASTED_QUOTES,
        start,
        end,
        f"a label stands in straight double quotes, {label}",
        "A word processor bends the quotes, and single ones may be apostrophes; neither can end a label.",
        (Option("sure", label, changes),),
    )
    return "STRING", label, repair


def time(start: int, end: int, typed: str) -> Read:
    """Read a time with a colon."""
    meant = read_clock(re.sub(r"\s?[^\W\d]+$", "", typed))
    if meant is None or meant == typed:
        return "TIME", typed, None
    return "TIME", meant, time_repair((start, end), typed, meant)


def half_day(start: int, end: int, typed: str) -> Read:
    """Read a time of the 12-hour clock; `08:45am` says nothing that 08:45 does not."""
    meant = read_half_day(typed)
    if meant is None:
        return "SIGN", typed, None
    if "a" in typed.lower() and meant == read_clock(re.sub(r"\s?[aA].*$", "", typed)):
        return "TIME", meant, time_repair((start, end), typed, meant)
    return "TIME", meant, clock_repair((start, end), typed, ("guess", meant))


def time_repair(place: tuple[int, int], typed: str, meant: str) -> Repair:
    """Return the repair of a time in other figures."""
    headline = f"a time is written {meant}, not {typed.rstrip('.')}"
    return replacing(codes.TIME_FORM, place, (headline, _DIGITS), ("sure", meant))


def clock_repair(place: tuple[int, int], typed: str, *offers: tuple[Certainty, str]) -> Repair:
    """Return the repair of a time in words or of the 12-hour clock."""
    meant = " or ".join(text for _, text in offers)
    options = tuple(Option(certainty, text, (Change(*place, text),)) for certainty, text in offers)
    return Repair(
        codes.CLOCK_WORDS, *place, f"a time is written {meant}, not {typed.rstrip('.')}", _HALVES, options
    )


def date(start: int, end: int, typed: str) -> Read:
    """Read a date with its year first, or with its month as a word."""
    if _RIGHT_DATE.fullmatch(typed):
        return "DATE", typed, None
    meant = read_date(typed)
    if meant is None:
        return "SIGN", typed, None
    if typed.translate(DASHES_STRAIGHT) == meant:
        return "DATE", meant, dash(start, end, typed)
    return "DATE", meant, date_repair((start, end), typed, meant)


def date_repair(place: tuple[int, int], typed: str, meant: str) -> Repair:
    """Return the repair of a date that can be told."""
    headline = f"a date is written {meant}, not {typed}"
    why = "Year, month and day stand in this order, in figures, with hyphens between them."
    return replacing(codes.DATE_FORM, place, (headline, why), ("sure", meant))


def day_and_month(start: int, end: int, typed: str) -> Read:
    """Read a date of which nobody can tell the day from the month: it stands, and nothing is offered."""
    return "DATE", SOME_DATE, date_without_offer((start, end), typed)


def date_without_offer(place: tuple[int, int], typed: str) -> Repair:
    """Return the fault of a date that cannot be told."""
    return Repair(
        codes.DATE_FORM,
        *place,
        f"the date {typed} is not written year, month, day",
        "Some write the day first and some the month, and some leave the year out, so no date can be "
        "offered: write it as in 2026-09-07.",
        (),
    )


def bare_point(start: int, end: int, typed: str) -> Read:
    """Read a number that begins with its decimal point."""
    headline = f"a number is written 0{typed}, not {typed}"
    why = "A point alone is easily overlooked, and the number is then ten or a hundred times too large."
    return (
        "NUMBER",
        f"0{typed}",
        replacing(codes.NUMBER_FORM, (start, end), (headline, why), ("sure", f"0{typed}")),
    )
