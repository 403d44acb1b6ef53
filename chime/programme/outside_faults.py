"""What can be wrong with days from outside the programme: codes N381 to N385."""

from collections.abc import Iterable, Sequence

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.closures import Kind, Problem

UNKNOWN_REGION = Code(
    "N381", "unknown-region", "error",
    "Public holidays are known for countries, by their ISO 3166 code, and for parts of some of them, with the "
    "part after a hyphen: GB-ENG, AU-NSW, US.",
    'term "Summer" 2027-04-15 to 2027-07-14\n  week ordinary\nexceptions\n  public holidays of GB-EGN silent',
    'term "Summer" 2027-04-15 to 2027-07-14\n  week ordinary\nexceptions\n  public holidays of GB-ENG silent',
)  # fmt: skip
CLOSURES_UNREADABLE = Code(
    "N382", "closures-unreadable", "error",
    "`days in` names an iCalendar file by its path from the programme, inside the folder of the programme. The "
    "file must be there and must be readable.",
    'exceptions\n  days in "no-such-closures.ics" silent',
    "",
)  # fmt: skip
NOT_A_CALENDAR = Code(
    "N383", "closures-not-a-calendar", "error",
    "`days in` reads an iCalendar file (RFC 5545): UTF-8 text from BEGIN:VCALENDAR to END:VCALENDAR. A file "
    "that breaks off, or is far larger than a calendar of closures, is not read in part.",
    "", "",
)  # fmt: skip
ENTRY_REFUSED = Code(
    "N384", "closures-entry-refused", "error",
    "`days in` takes the all-day entries of a calendar, also those that come again by a rule of years, months, "
    "weeks or days. An entry that could be read in more than one way closes no day by guess.",
    "", "",
)  # fmt: skip
NO_DAY_IN_TERM = Code(
    "N385", "no-day-in-term", "warning",
    "Days from outside that fall in no term are simply not used. If none of them falls in a term, the line does "
    "nothing, and the region or the file is probably another than was meant.",
    "exceptions\n  public holidays of GB-ENG silent",
    'term "Summer" 2027-04-15 to 2027-07-14\n  week ordinary\nexceptions\n  public holidays of GB-ENG silent',
)  # fmt: skip

CODES = (UNKNOWN_REGION, CLOSURES_UNREADABLE, NOT_A_CALENDAR, ENTRY_REFUSED, NO_DAY_IN_TERM)

_FILE_KINDS: frozenset[Kind] = frozenset(("empty", "too large", "not UTF-8", "not iCalendar", "broken file"))
_MOST_NAMED = 3

_TROUBLE: dict[Kind, tuple[str, str]] = {
    "timed": (
        "times of day",
        "Only an entry for whole days can close days.",
    ),
    "time among dates": (
        "dates and times of day mixed",
        "In an entry for whole days every date stands without a time of day, else it may be off by a day.",
    ),
    "frequency": (
        "a repetition that is not by whole days",
        "An entry may come again every some days, weeks, months or years.",
    ),
    "rule part": (
        "a rule that is not for whole days, or that programs read differently",
        "A rule that two programs read differently would close days by guess.",
    ),
    "rule value": (
        "a rule that cannot be read",
        "A rule is names and values, such as FREQ=WEEKLY;UNTIL=20261218, and its last day is a date.",
    ),
    "weekly positions": (
        "positions counted in a week",
        "Programs disagree whether a first week that is not whole counts from its beginning.",
    ),
    "count and until": (
        "two ends of one rule",
        "A rule ends after a number of times or on a date, not both.",
    ),
    "several rules": (
        "more than one rule",
        "The standard leaves open what several rules of one entry mean together.",
    ),
    "out of step": (
        "a first day outside its own rule",
        "Programs disagree whether such a first day is one of the days.",
    ),
    "too many steps": (
        "a rule that takes too long to count out",
        "A rule with a number of times is counted from its first day on.",
    ),
    "this and later": (
        "a change of one day and all that follow",
        "Such a change is a new rule in the middle of another.",
    ),
    "said twice": (
        "two that say they are the same",
        "Two entries with one UID and one SEQUENCE are one entry in two forms; which one holds cannot be told.",
    ),
    "broken entry": (
        "an entry that cannot be read",
        "An entry says when it begins (DTSTART) and may say when it ends, each once and as a date.",
    ),
}  # fmt: skip
"""Of each kind of entry that is not used: what is wrong, for the headline, and the rule behind it."""


def unknown_region(span: Span, region: str, near: Sequence[str]) -> Diagnostic:
    """Say that no public holidays are known for a region, and which regions may be meant."""
    return complain(
        UNKNOWN_REGION,
        f'no public holidays are known for a region "{region}"',
        (span, "unknown region"),
        "A region is a country's two letters (ISO 3166), with a part of it after a hyphen where there are some.",
        offers=write_instead(span, *near) or sketch("GB-ENG for England, AU-NSW for New South Wales, US"),
    )


def closures_unreadable(span: Span, file: str, reason: str, way_out: str | None = None) -> Diagnostic:
    """Say that the file of a `days in` line cannot be read, and what to do where that is not to name another."""
    why = "Without the file it is not known which days are closed, and they would ring."
    offers = sketch(way_out or "a path from the folder of the programme, such as days/closed.ics")
    return complain(
        CLOSURES_UNREADABLE, f'cannot read "{file}": {reason}', (span, "named here"), why, offers=offers
    )


def closure_problems(span: Span, file: str, problems: Iterable[Problem]) -> tuple[Diagnostic, ...]:
    """Say what of a file of closed days is not used: of its entries, one fault for each kind of trouble."""
    found: list[Diagnostic] = []
    by_kind: dict[Kind, list[Problem]] = {}
    for problem in problems:
        if problem.kind in _FILE_KINDS:
            found.append(_not_a_calendar(span, file, problem))
        else:
            by_kind.setdefault(problem.kind, []).append(problem)
    found += [_entries_refused(span, file, kind, by_kind[kind]) for kind in sorted(by_kind)]
    return tuple(found)


def _not_a_calendar(span: Span, file: str, problem: Problem) -> Diagnostic:
    return complain(
        NOT_A_CALENDAR,
        f'"{file}" cannot be used as a calendar: {problem.detail}',
        (span, "named here"),
        "It must be an iCalendar file (RFC 5545) in the UTF-8 encoding. None of its days is closed.",
        offers=sketch("export the calendar again, as iCalendar (.ics), with the closures alone"),
    )


def _entries_refused(span: Span, file: str, kind: Kind, problems: Sequence[Problem]) -> Diagnostic:
    """Name up to three entries with the same kind of trouble, and count the others."""
    trouble, rule = _TROUBLE[kind]
    entries = "1 entry" if len(problems) == 1 else f"{len(problems):,} entries"
    are = "is" if len(problems) == 1 else "are"
    named = [f"{_name(problem)}: {problem.detail}" for problem in problems[:_MOST_NAMED]]
    if len(problems) > _MOST_NAMED:
        named.append(f"and {len(problems) - _MOST_NAMED:,} more")
    return complain(
        ENTRY_REFUSED,
        f'{entries} of "{file}" {are} not used: {trouble}',
        (span, "named here"),
        f"{rule} Not used: {'; '.join(named)}.",
        offers=sketch("take it out of the file, and write its dates here, or there as entries of whole days"),
    )


def _name(problem: Problem) -> str:
    return f'"{problem.summary}"' if problem.summary else "an entry without a name"


def no_day_in_term(span: Span, what: str) -> Diagnostic:
    """Say that of the days of a region or a file none falls in a term; `what` is one such day in words."""
    why = "Days outside every term are silent anyway, so this line does nothing."
    return complain(NO_DAY_IN_TERM, f"no {what} falls in a term", (span, "closes no day of any term"), why)
