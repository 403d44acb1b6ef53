"""What can be wrong with names: codes N321 to N339."""

from collections.abc import Sequence

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, write_instead
from chime.programme.alike import Difference, difference

_SPACES = {
    "zone": "N321",
    "signal": "N322",
    "timetable": "N323",
    "week": "N324",
    "cycle": "N325",
    "supply": "N326",
}
_TERMS = """\
term "Autumn" 2026-09-03 to 2026-12-17
  week ordinary
term "Spring" 2027-01-07 to 2027-03-19
  """
_EXAMPLES = {
    "zone": (
        "timetable normal in main\n  ring 08:40 lesson in mian",
        "timetable normal in main\n  ring 08:40 lesson in main",
    ),
    "signal": (
        "timetable normal in main\n  ring 08:40 lesson\n  ring 08:45 lessen",
        "timetable normal in main\n  ring 08:40 lesson\n  ring 08:45 lesson",
    ),
    "timetable": (
        "week ordinary\n  Mon to Thu normal\n  Fri nromal\n  Sat, Sun silent",
        "week ordinary\n  Mon to Thu normal\n  Fri normal\n  Sat, Sun silent",
    ),
    "week": (_TERMS + "week ordinry", _TERMS + "week ordinary"),
    "cycle": (
        _TERMS + "cycle two from 2027-01-07 slip",
        _TERMS + "cycle two from 2027-01-07 slip\ncycle two on Mon to Fri\n  day 1 normal\n  day 2 silent",
    ),
    "supply": (
        'zone main on track 1 "Main building"\n  bells 3 at 420 mA each fed by bell-suply',
        'zone main on track 1 "Main building"\n  bells 3 at 420 mA each fed by bell-supply\n'
        "supply bell-supply 12 V 8 A",
    ),
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
        number,
        f"unknown-{space}",
        "error",
        _WHY[space] + " Names are written alike everywhere.",
        *_EXAMPLES[space],
    )
    for space, number in _SPACES.items()
}
SAID_TWICE = Code(
    "N331", "said-twice", "error",
    "Each block is declared in one place. A zone and a group may not bear the same name, and two names of one kind "
    "that differ only in capitals, or in how wide a letter is, would be mistaken for each other.",
    "zone main on track 1\nzone Main on track 2\ntimetable normal in main, Main\n  ring 08:40 lesson",
    "zone main on track 1\nzone hall on track 2\ntimetable normal in main, hall\n  ring 08:40 lesson",
)  # fmt: skip
GROUP_IN_GROUP = Code(
    "N332", "group-in-group", "error",
    "A group holds zones, not other groups, so that everybody can see at one place who hears it.",
    "group lessons main\ngroup all-day lessons, main\ntimetable normal in lessons\n"
    "  ring 08:40 lesson\n  ring 17:00 lesson in all-day",
    "group lessons main\ngroup all-day main\ntimetable normal in lessons\n"
    "  ring 08:40 lesson\n  ring 17:00 lesson in all-day",
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


_TWINS: dict[Difference, str] = {
    "marks": "the {kind} {name} is said twice, its marks typed in two ways",
    "capitals": "{name} and {first} differ only in capitals",
    "width": "{name} and {first} differ only in the width of their letters",
    "width and capitals": "{name} and {first} differ only in width and capitals",
    "form": "{name} and {first} would be taken for one name",
}


def said_twice(kind: str, span: Span, first_kind: str, first: Span) -> Diagnostic:
    """Say that a name is declared twice, or that two would be taken for each other."""
    twins = difference(span.text, first.text)
    is_one_name = twins in ("none", "marks")
    if is_one_name and kind != first_kind:
        headline = f"a {kind} and a {first_kind} share the name {_quoted(span.text)}"
    elif twins == "none":
        headline = f"the {kind} {_quoted(span.text)} is said twice"
    else:
        headline = _TWINS[twins].format(kind=kind, name=_quoted(span.text), first=_quoted(first.text))
    why = "Which of the two is meant could not be told where the name is used."
    return complain(SAID_TWICE, headline, (span, "said again"), why, [(first, "first said here")])


def _quoted(text: str) -> str:
    return text if text.startswith('"') else f'"{text}"'


def group_in_group(span: Span, group: Span) -> Diagnostic:
    """Say that a group is listed in a group."""
    why = "A group lists its zones, so that everybody sees at one place who hears it."
    headline = f'"{span.text}" is a group; a group can only list zones'
    return complain(GROUP_IN_GROUP, headline, (span, "a group"), why, [(group, "declared here")])
