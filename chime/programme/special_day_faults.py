"""What can be wrong with the lines of exceptions: codes N361 to N364."""

from collections.abc import Sequence
from datetime import date
from typing import Literal

from chime.clock import write_date
from chime.diagnostics import Code, Diagnostic, Edit, Span, Suggestion
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.model import Term

DATE_OUTSIDE_TERMS = Code(
    "N361", "date-outside-terms", "error",
    "An exception changes the bells of a day in term. A date outside all terms is left over from another year, or a slip.",
    'exceptions\n  2025-10-26 silent "Half term"',
    'exceptions\n  2026-10-19 silent "Half term"',
)  # fmt: skip
WEEKDAY_NOT_IN_RANGE = Code(
    "N362", "weekday-not-in-range", "error",
    "`every` acts on a weekday between two dates; this weekday does not come between them.",
    'exceptions\n  every Fri from 2026-11-02 to 2026-11-05 silent',
    'exceptions\n  every Fri from 2026-11-02 to 2026-11-06 silent',
)  # fmt: skip
SILENT_EVERYWHERE = Code(
    "N363", "silent-everywhere", "error",
    "A whole silent day is written `silent`, which also closes the day for week letters and cycles; `silent` with zones "
    "silences some of them. `silent everywhere` could mean either.",
    'exceptions\n  2026-10-19 silent everywhere "Half term"',
    'exceptions\n  2026-10-19 silent "Half term"',
)  # fmt: skip
REASON_IS_LABEL = Code(
    "N364", "reason-is-label", "error",
    "A label stands straight after `drop`; a string at the end of the line is its reason. `shift` and `silent` take no label "
    "at all. Where such a reason is also a label of the programme, the line could mean either.",
    'timetable normal in main\n  ring 08:40 lesson "Line up"\nexceptions\n  2026-11-05 drop in main "Line up"',
    'timetable normal in main\n  ring 08:40 lesson "Line up"\nexceptions\n  2026-11-05 drop "Line up" in main "Wet yard"',
)  # fmt: skip

CODES = (
    DATE_OUTSIDE_TERMS,
    WEEKDAY_NOT_IN_RANGE,
    SILENT_EVERYWHERE,
    REASON_IS_LABEL,
)


def date_outside_terms(span: Span, day: date, terms: Sequence[Term]) -> Diagnostic:
    """Say that a date lies in no term."""
    listed = ", ".join(f'"{t.label}" {t.first.isoformat()} to {t.last.isoformat()}' for t in terms[:4])
    listed += " and more" if len(terms) > 4 else ""
    near = [
        year
        for year in (day.year - 1, day.year + 1, day.year + 2)
        if (d := _in_year(day, year)) and _in_a_term(d, terms)
    ]
    offers = tuple(
        Suggestion(d.isoformat(), "guess", (Edit(span, d.isoformat()),))
        for year in near
        if (d := _in_year(day, year))
    )
    return complain(
        DATE_OUTSIDE_TERMS, f"{write_date(day)} lies in no term", (span, "in no term"),
        f"There are no bells on it to change. {'The terms are' if len(terms) > 1 else 'The only term is'} {listed}.", offers=offers,
    )  # fmt: skip


def _in_year(day: date, year: int) -> date | None:
    try:
        return day.replace(year=year)
    except ValueError:
        return None


def _in_a_term(day: date, terms: Sequence[Term]) -> bool:
    return any(term.first <= day <= term.last for term in terms)


def no_such_weekday_in_range(span: Span) -> Diagnostic:
    """Say that a weekday does not come in a range."""
    why = "The line would change nothing."
    return complain(
        WEEKDAY_NOT_IN_RANGE, "this weekday does not come between the two dates", (span, "no such day"), why
    )


def silent_everywhere(span: Span) -> Diagnostic:
    """Say that `silent everywhere` is written `silent`."""
    return complain(
        SILENT_EVERYWHERE, "a whole silent day is written `silent`", (span, "with no window"),
        "`silent` also closes the day for week letters and cycle numbers. `silent everywhere` would leave that open.",
        offers=write_instead(span, "silent"),
    )  # fmt: skip


def reason_is_label(span: Span, label: str, word: Literal["drop", "shift", "silent"]) -> Diagnostic:
    """Say that a reason could also be the label of what a line acts on."""
    rule, act, instead = {
        "drop": ("A label stands straight after `drop`.", "drop", f'drop "{label}" …'),
        "shift": ("A `shift` takes no label.", "shift", f'move "{label}" to …'),
        "silent": ("A `silent` takes no label.", "silence", f'drop "{label}" …'),
    }[word]
    return complain(
        REASON_IS_LABEL, f'"{label}" is a label of this programme and cannot be a reason', (span, "label or reason?"),
        f"{rule} As a reason it would {act} everything, as a label only those rings.",
        offers=sketch(f"{instead}, or another reason"),
    )  # fmt: skip
