"""What can be wrong with names: codes N321 to N339."""

from collections.abc import Sequence

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, write_instead

_SPACES = {
    "zone": "N321",
    "signal": "N322",
    "timetable": "N323",
    "week": "N324",
    "cycle": "N325",
    "supply": "N326",
}
_WRONG = {
    "zone": "timetable normal in main\n  ring 08:40 lesson in yrad",
    "signal": "timetable normal in main\n  ring 08:40 lessen",
    "timetable": "week other\n  Mon to Fri nromal\n  Sat, Sun silent",
    "week": 'term "Other" 2027-01-11 to 2027-01-15\n  week ordinry',
    "cycle": 'term "Other" 2027-01-11 to 2027-01-15\n  cycle six from 2027-01-11 slip',
    "supply": 'zone main on track 1 "Main building"\n  bells 4 at 350 mA each fed by bell-suply',
}
_WHY = {
    "zone": "Rings can only be sent to a zone or a group that the programme declares.",
    "signal": "A ring needs a signal that the programme declares, with its length.",
    "timetable": "A day can only run a timetable that the programme declares.",
    "week": "A term can only use a week that the programme declares.",
    "cycle": "A term can only use a cycle that the programme declares.",
    "supply": "Loads can only be fed by a supply that the programme declares.",
}
UNKNOWN = {
    space: Code(
        number, f"unknown-{space}", "error", _WHY[space] + " Names are written alike everywhere.", _WRONG[space], ""
    )
    for space, number in _SPACES.items()
}
SAID_TWICE = Code(
    "N331", "said-twice", "error",
    "A block is said once. Zones and groups share their names; every other kind has its own. Two names of a kind "
    "that differ only in capitals would be mistaken for each other.",
    'zone main on track 1 "Main building"\nzone Main on track 2 "Main hall"',
    'zone main on track 1 "Main building"\nzone hall on track 2 "Main hall"\ntimetable normal in main, hall\n  ring 08:40 lesson',
)  # fmt: skip
GROUP_IN_GROUP = Code(
    "N332", "group-in-group", "error",
    "A group holds zones, not other groups, so that everybody can see at one place who hears it.",
    'zone main on track 1 "Main building"\ngroup lessons main\ngroup all-day lessons',
    'zone main on track 1 "Main building"\ngroup lessons main',
)  # fmt: skip

CODES = (*UNKNOWN.values(), SAID_TWICE, GROUP_IN_GROUP)

_CLOSED_WORDS = frozenset(("off", "closed", "none", "nothing", "holiday", "shut", "quiet", "free", "no"))


def unknown(space: str, span: Span, near: Sequence[str], declared: Sequence[Span]) -> Diagnostic:
    """Say that a name is not declared, and which near ones are."""
    if space == "timetable" and span.text.casefold() in _CLOSED_WORDS:
        near, declared = ("silent",), ()
    return complain(
        UNKNOWN[space],
        f'there is no {space} called "{span.text}"',
        (span, "used here"),
        _WHY[space],
        [(place, "closest name, declared here") for place in declared],
        write_instead(span, *near),
    )


def said_twice(kind: str, span: Span, first_kind: str, first: Span) -> Diagnostic:
    """Say that a name is declared twice, or that two differ only in capitals."""
    same = span.text == first.text
    headline = (
        f"the {kind} {_quoted(span.text)} is said twice"
        if same and kind == first_kind
        else f"a {kind} and a {first_kind} share the name {_quoted(span.text)}"
        if same
        else f"{_quoted(span.text)} and {_quoted(first.text)} differ only in capitals"
    )
    why = "Which of the two is meant could not be told where the name is used."
    return complain(SAID_TWICE, headline, (span, "said again"), why, [(first, "first said here")])


def _quoted(text: str) -> str:
    return text if text.startswith('"') else f'"{text}"'


def group_in_group(span: Span, group: Span) -> Diagnostic:
    """Say that a group is listed in a group."""
    why = "A group lists its zones, so that everybody sees at one place who hears it."
    headline = f'"{span.text}" is a group; a group can only list zones'
    return complain(GROUP_IN_GROUP, headline, (span, "a group"), why, [(group, "declared here")])
