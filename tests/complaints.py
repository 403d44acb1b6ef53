"""Complaints to draw and to count, about an invented school by a harbour."""

import re
import unicodedata

from chime.diagnostics import Code, Diagnostic, Edit, Label, Severity, Source, Span, Suggestion, long_form

FERRYBANK = """\
programme "Marramsea School"
  place  Europe/Dublin

zone south-quay  on track 1  "South quay with its pier"
zone north-quay  on track 2  "North quay"

timetable normal  in north-quay
  ring 11:25  long   "Deck class is over"
  ring 11:00  long   "Break ends"
  ring 11:40  long   "Third lesson"
  ring 11:25  short  "Ferry sails"

exceptions
  2026-10-02  silent in south-qauy  "Rowing day"
"""


def code(identifier: str, severity: Severity = "error") -> Code:
    return Code(identifier, "example", severity, "An example.", "wrong", "right")


def span_of(source: Source, words: str) -> Span:
    start = source.text.index(words)
    return Span(source, start, start + len(words))


def at(source: Source, start: int, end: int, headline: str = "something is wrong here") -> Diagnostic:
    return Diagnostic(code("N300"), headline, (Label(Span(source, start, end), "here"),))


def unknown_zone(source: Source) -> Diagnostic:
    used = span_of(source, "south-qauy")
    declared = span_of(source, "south-quay")
    return Diagnostic(
        Code("N388", "unknown-zone", "error", "A zone is named and nowhere declared.", "wrong", "right"),
        'there is no zone called "south-qauy"',
        (Label(used, "nowhere declared"), Label(declared, "a name much like it, from here", "secondary")),
        "Only a zone that is declared somewhere can be silenced.",
        (Suggestion("south-quay", "guess", (Edit(used, "south-quay"),)),),
    )


def marramsea() -> Source:
    return Source("programmes/marramsea.chime", FERRYBANK)


def drawn(*diagnostics: Diagnostic, ascii_only: bool = False) -> str:
    return long_form.render(diagnostics, color=False, ascii_only=ascii_only)


def snippet(*diagnostics: Diagnostic) -> list[str]:
    """The lines of the long form that have a strip in their margin."""
    return [line for line in drawn(*diagnostics).splitlines() if re.match(r" +\d* ?[│┊⋮]", line)]


def cells(line: str) -> int:
    """The cells that a drawn line takes, by Unicode Standard Annex 11 and the categories of marks."""
    return sum(
        0
        if unicodedata.category(character) in ("Mn", "Me") or "\u1160" <= character <= "\u11ff"
        else 2
        if unicodedata.east_asian_width(character) in ("W", "F")
        else 1
        for character in line
    )
