"""All faults of a file come in one run, and none that another one only brings with it.

A sound programme is spoiled at two places at once, in every pair of a table of single mistakes. Together
they must give what each of them gives alone: no more, for a fault that goes away when another line is
mended is noise, and no less, for a fault that comes to light only then costs another run. Of some pairs the
second rests on what the first spoils; these are named, and of them only the first half holds.
"""

from collections import Counter
from functools import cache
from typing import NamedTuple

import pytest

from chime.diagnostics import Diagnostic
from tests.compiling import checked, said

SOUND = """\
programme "Quarrel Hill School"
  place  Europe/London
  issue  2 on 2026-08-19
  published at "https://bells.example/quarrel-hill.ics"
  clocks skip missing hour, repeated hour rings first
zone main on track 1 "Main house"
zone lodge on track 2 "Lodge"
zone yard on track 3 "Yard"
# room for a zone
group houses  lodge, main
audience "Boarders"  in lodge
signal lesson  6 s within 1.5 s
signal short  4 s within 1 s
signal chime  8 s within 2 s
timetable normal in houses
  each period  start lesson, end lesson, warn short 3 min before start
  periods 1 to 4 of 45 min from 09:00 passing 5 min
  pause "Dinner"  12:15 - 13:05
  periods 5 to 6 of 45 min from 13:10 passing 5 min
  ring 08:50  short  in yard  "Gather"
  must end 14:45
timetable half like normal
  drop from 12:15
  ring 12:20  lesson  "Home"
timetable games like normal
  move "Dinner" to 12:20 - 13:00
timetable night in lodge
  ring 01:30  chime  "Rounds"
  ring 07:00  chime
timetable fair in yard
  ring 10:00, 16:00  chime
timetable outing in main
  ring 08:20, 17:40  chime
week a
  Mon to Thu  normal
  Fri         half
  Sat         silent
  Sun         night
week b
  Mon, Tue    normal
  Wed, Thu    games
  Fri         half
  Sat         silent
  Sun         night
cycle pair on Mon to Fri
  day 1  normal
  day 2  games
term "Autumn"  2026-10-05 to 2026-11-26
  weeks a, b from 2026-10-05 counting school weeks
term "Spring"  2027-02-01 to 2027-03-30
  week a
term "Summer"  2027-04-26 to 2027-06-11
  cycle pair from 2027-04-26 slip
exceptions
  2026-10-26 to 2026-10-30    silent                         "Half term"
  2026-11-26                  half                           "Last day"
  2026-11-11                  add 11:00 chime in main, yard  "Two minutes"
  2026-11-18                  shift +15 min from 13:00       "Long assembly"
  2027-02-10                  drop "Dinner"                  "Packed lunches"
  2027-02-24                  outing                         "Trip"
  2027-02-03                  move "Gather" to 08:40         "Early start"
  2027-02-15 to 2027-02-19    silent                         "Half term"
  2027-02-17                  fair instead                   "Open day"
  2027-03-03                  silent in main 09:00 - 12:00   "Examination"
  every Tue from 2027-03-09 to 2027-03-23   drop "Gather"    "Choir"
  2027-05-03                  silent                         "May day"
  2027-06-01                  add 15:30 chime in main        "Rehearsal"
  2027-06-08                  games                          "Matches"
machine hall
  loop  24 h in rows of 1 min
  row   2.54 mm
"""


class Mistake(NamedTuple):
    """A text that stands once in the sound programme, what stands there instead, and the codes it gives."""

    right: str
    wrong: str
    codes: tuple[str, ...]


MISTAKES = {
    "place": Mistake("Europe/London", "Europe/Lodnon", ("N369",)),
    "clocks": Mistake("  clocks skip missing hour, repeated hour rings first", "", ("D441", "D442")),
    "unused zone": Mistake("# room for a zone", "zone attic on track 5", ("N393",)),
    "zone of a group": Mistake("houses  lodge, main", "houses  lodge, mian", ("N321",)),
    "long signal": Mistake("signal chime  8 s", "signal chime  28 s", ("D451",)),
    "tolerance": Mistake("signal short  4 s within 1 s", "signal short  4 s within 5 s", ("N372",)),
    "dash": Mistake("12:15 - 13:05", "12:15 – 13:05", ("S211",)),
    "sum": Mistake("must end 14:45", "must end 14:50", ("D421",)),
    "label of a base": Mistake('move "Dinner" to', 'move "Diner" to', ("D401",)),
    "zone of a timetable": Mistake("timetable fair in yard", "timetable fair in yrad", ("N321",)),
    "signal of a timetable": Mistake("17:40  chime", "17:40  chimes", ("N322",)),
    "emergency": Mistake("16:00  chime", '16:00  chime "Lockdown"', ("N391",)),
    "timetable of a week": Mistake("Wed, Thu    games", "Wed, Thu    gmaes", ("N323",)),
    "anchor": Mistake("weeks a, b from 2026-10-05", "weeks a, b from 2026-10-19", ("N360",)),
    "week of a term": Mistake("  week a\nterm", "  week c\nterm", ("N324",)),
    "dates of a term": Mistake('"Spring"  2027-02-01', '"Spring"  2027-02-31', ("N302",)),
    "slip": Mistake("from 2027-04-26 slip", "from 2027-04-26", ("D431",)),
    "outside": Mistake("2027-06-08    ", "2027-08-08    ", ("N361",)),
    "no date": Mistake("2026-11-18    ", "2026-11-31    ", ("N302",)),
    "two lines": Mistake("2027-02-24    ", "2027-02-16    ", ("D432",)),
    "label of no timetable": Mistake('drop "Gather"', 'drop "Gahter"', ("D401",)),
    "added in a silence": Mistake("2027-06-01                  add 15:30", "2027-03-03                  add 10:30", ("D434",)),
    "without effect": Mistake('2027-02-03                  move "Gather" to 08:40', "Sat 2027-02-06              silent", ("D435",)),
    "beats nothing": Mistake("2027-02-17    ", "2027-03-17    ", ("D433",)),
    "unread exception": Mistake('drop "Dinner"', 'drp "Dinner"', ("S201",)),
    "nothing to move": Mistake("add 11:00 chime in main, yard", "move 11:20 to 11:30", ("D405",)),
    "twin": Mistake("outing in main\n  ring 08:20, 17:40", "outing in yard\n  ring 10:00, 16:05", ("D436",)),
}  # fmt: skip

RESTS_ON = {
    "clocks": {"place", "week of a term", "dates of a term", "anchor"},
    "unused zone": {"zone of a group", "zone of a timetable", "unread exception"},
    "sum": {"zone of a group"},
    "label of a base": {"zone of a group"},
    "label of no timetable": {"zone of a group", "dates of a term"},
    "outside": {"dates of a term"},
    "two lines": {"week of a term", "dates of a term"},
    "added in a silence": {"dates of a term"},
    "without effect": {"week of a term", "dates of a term"},
    "beats nothing": {"week of a term", "dates of a term"},
    "nothing to move": {"zone of a group", "sum", "label of a base", "timetable of a week", "anchor", "no date"},
    "twin": {"zone of a timetable", "signal of a timetable", "two lines", "dates of a term"},
}  # fmt: skip
"""Mistakes that nobody can tell of for certain while one of some others is there.

The move finds nothing in the timetable that runs on its date. Whether a line acts on a date, closes it or
beats another there depends on the dates and the week of its term. An unknown zone may be the unused one.
"""


def spoiled(*names: str) -> str:
    text = SOUND
    for name in names:
        mistake = MISTAKES[name]
        assert text.count(mistake.right) == 1, f"{name}: {text.count(mistake.right)}"
        text = text.replace(mistake.right, mistake.wrong)
    return text


def told(text: str) -> Counter[tuple[object, ...]]:
    """All that a reader is told, however often each."""
    return Counter(shown(fault) for fault in checked(text).diagnostics)


def shown(fault: Diagnostic) -> tuple[object, ...]:
    labels = tuple((label.span.line, label.span.column, label.text, label.role) for label in fault.labels)
    offers = tuple((offer.text, offer.certainty) for offer in fault.suggestions)
    return fault.code.id, fault.severity, fault.headline, labels, fault.why, offers


@cache
def alone(name: str) -> Counter[tuple[object, ...]]:
    return told(spoiled(name))


def rests(one: str, other: str) -> bool:
    return other in RESTS_ON.get(one, ()) or one in RESTS_ON.get(other, ())


def test_the_programme_to_spoil_is_sound() -> None:
    assert said(checked(SOUND).diagnostics) == []


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_alone_is_told_once_and_brings_no_other_with_it(name: str) -> None:
    assert tuple(fault[0] for fault in alone(name).elements()) == MISTAKES[name].codes


@pytest.mark.parametrize("name", MISTAKES)
def test_of_two_mistakes_each_gives_what_it_gives_alone(name: str) -> None:
    for other in MISTAKES:
        if other <= name:
            continue
        both = told(spoiled(name, other))
        apart = alone(name) + alone(other)
        assert both <= apart, f"{other}: {both - apart}"
        if not rests(name, other):
            assert both == apart, f"{other}: {apart - both}"


TRIPLES = [
    ("sum", "outside", "unused zone"),
    ("zone of a timetable", "clocks", "slip"),
    ("signal of a timetable", "two lines", "nothing to move"),
    ("label of a base", "added in a silence", "long signal"),
    ("timetable of a week", "without effect", "label of no timetable"),
    ("anchor", "beats nothing", "outside"),
    ("week of a term", "slip", "nothing to move"),
    ("dates of a term", "sum", "slip"),
    ("no date", "clocks", "two lines"),
    ("unread exception", "slip", "twin"),
    ("place", "sum", "added in a silence"),
    ("emergency", "two lines", "clocks"),
    ("tolerance", "clocks", "without effect"),
    ("zone of a group", "two lines", "slip"),
]


@pytest.mark.parametrize("names", TRIPLES, ids=" + ".join)
def test_of_three_mistakes_the_two_that_are_left_are_told_as_before(names: tuple[str, str, str]) -> None:
    assert told(spoiled(*names)) == sum((alone(name) for name in names), Counter())
    for mended in names:
        left = [name for name in names if name != mended]
        assert told(spoiled(*left)) == sum((alone(name) for name in left), Counter())
