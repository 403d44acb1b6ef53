"""What the checks of the machine can find: codes V611 to V634."""

from chime.diagnostics import Code

_MACHINE = """\
machine tower
  loop      24 h in rows of 1 min
  row       2.54 mm
  sprocket  every 2.54 mm within 0.01 mm, hole 1.17 mm, 9.96 mm from the guided edge
  wheel     20 pins 1.00 mm over 140 degrees
  tape      25.4 mm wide, 0.1 mm thick
  drive     steps in 0.35 s
  tracks    at 2.34, 4.88, 7.42 mm from the guided edge
  hole      round 1.83 mm within 0.05 mm
  finger    drops in, round 0.70 mm within 0.04 mm
  side play 0.15 mm
  reads     2 rows ahead
  gate      at 7 s for 6 s, within 0.4 s
  relay     operates 25 ms, releases 15 ms, bounces 10 ms
  errors    jig 0.07 mm, registration 0.04 mm, detent 0.06 mm, stretch 0.03 % over 32 mm
  web       at least 0.35 mm
  joint     lap of 10 rows
  silenced  Sat, Sun
  attended  Mon to Fri 08:15 - 17:15
"""


def _machine(*changes: tuple[str, str]) -> str:
    """Return the machine of the examples with some of its words changed."""
    text = _MACHINE
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


_TWO_ZONES = (
    "zone main on track 1\nzone yard on track 2\ntimetable normal in main, yard\n  ring 08:40 lesson\n"
)
_TWO_MINUTES = "timetable normal in main\n  ring 08:40, 08:41 lesson\n"
_ON_TRACK_3 = "zone main on track 3\n"
_ON_TRACK_1 = "zone main on track 1\n"

ROW_MISSED = Code(
    "V611",
    "row-missed",
    "error",
    "A tape rests with its hole a little off the place where the finger stands. If all the errors together are more than half "
    "the length over which the contact is closed, the hole is missed. A larger hole, a smaller tip, less side play or "
    "a better jig leaves more room.",
    _machine(("side play 0.15", "side play 0.50")),
    _MACHINE,
)
ROW_READ_TWICE = Code(
    "V612",
    "row-read-twice",
    "error",
    "The contact is closed over such a length that a hole can be read while the row before or after its own stands "
    "under the finger: a bell rings a minute early or late, or twice. Shorter holes or tips help.",
    _machine(("drops in, round 0.70 mm", "brushes, 3.20 mm by 0.60 mm")),
    _MACHINE,
)
OTHER_MINUTE = Code(
    "V613",
    "ring-in-another-minute",
    "error",
    "A ring that starts half a minute or more from its time belongs to another minute for everybody who hears it.",
    _machine(("at 7 s", "at 35 s")),
    _MACHINE,
)
FINGER_SWITCHES = Code(
    "V614",
    "finger-switches-the-bells",
    "error",
    "The gate must close after the finger has come to rest, and open before the tape moves on. Otherwise the finger "
    "itself makes or breaks the current of the bells, rings are cut short, and its contact burns away.",
    _machine(("at 7 s", "at 0.2 s")),
    _MACHINE,
)
_CREEPING = (
    ("row       2.54 mm", "row       8 mm"),
    ("every 2.54 mm", "every 8 mm"),
    ("steps in 0.35 s", "steady"),
    ("gate      at 7 s for 6 s, within 0.4 s", "no gate"),
)
RING_TOO_LONG = Code(
    "V615",
    "ring-of-the-wrong-length",
    "error",
    "Without a gate a bell rings as long as its hole keeps the contact closed. That is the length of every ring of the "
    "machine, and each signal must tolerate it.",
    _machine(*_CREEPING),
    _machine(*_CREEPING) + "signal lesson 8 s within 2 s\n",
)
_SLOWLY = (
    *_CREEPING[2:],
    ("2.54 mm", "1.20 mm"),
    ("round 1.83 mm", "round 0.80 mm"),
    ("drops in, round 0.70 mm", "brushes, 0.30 mm by 0.30 mm"),
    ("at least 0.35", "at least 0.15"),
)
_LONG = 'programme "Bell Tower"\n  place Europe/London\n  issue 1 on 2026-08-17\n  longest ring 120 s\n'
HEARD_AS_ONE = Code(
    "V616",
    "two-rings-heard-as-one",
    "error",
    "Without a gate the contact must open between two rings for long enough to be heard: two seconds and the time in "
    "which the relay lets go. Holes that are too near to each other make one long ring.",
    f"{_machine(*_SLOWLY)}{_LONG}signal lesson 55 s within 20 s\n{_TWO_MINUTES}",
    f"{_machine(*_SLOWLY)}{_LONG}signal lesson 55 s within 20 s\n{_TWO_MINUTES.replace('41', '42')}",
)
WEB_ALONG = Code(
    "V617",
    "web-along-too-thin",
    "error",
    "What is left of the tape between two holes of a track tears if it is thinner than the machine allows: fingers "
    "catch on it. Smaller holes or a better jig leave more, and so does another minute.",
    f"{_machine(('at least 0.35', 'at least 0.80'))}{_TWO_MINUTES}",
    f"{_MACHINE}{_TWO_MINUTES}",
)
WEB_ACROSS = Code(
    "V618",
    "web-across-too-thin",
    "error",
    "What is left of the tape between holes of different tracks tears if it is thinner than the machine allows.",
    f"{_machine(('at least 0.35', 'at least 0.80'))}{_TWO_ZONES}",
    f"{_MACHINE}{_TWO_ZONES}",
)
WEB_TO_DRIVE_HOLES = Code(
    "V619",
    "web-to-drive-holes-too-thin",
    "error",
    "The drive holes carry the tape. If too little is left between them and a hole beside them, a pin tears through.",
    f"{_machine(('7.42 mm', '8.00 mm'), ('at least 0.35', 'at least 0.50'))}{_ON_TRACK_3}",
    f"{_machine(('7.42 mm', '8.00 mm'))}{_ON_TRACK_3}",
)
WEB_TO_EDGES = Code(
    "V634",
    "web-to-edges-too-thin",
    "error",
    "A hole so near to an edge of the tape tears out of it, and the edge is what guides the tape.",
    _machine(("2.34", "1.10")) + _ON_TRACK_1,
    _MACHINE + _ON_TRACK_1,
)
OTHER_TRACK = Code(
    "V620",
    "finger-reaches-another-track",
    "error",
    "A finger that wanders as far as the machine lets it must not reach the holes of another track, nor the drive "
    "holes: a brush would ring the wrong bells, and a pin would be caught by the rim.",
    f"{_machine(('drops in, round 0.70 mm', 'brushes, 0.50 mm by 4.00 mm'))}{_ON_TRACK_3}",
    f"{_machine(('drops in, round 0.70 mm', 'brushes, 0.50 mm by 1.00 mm'))}{_ON_TRACK_3}",
)
DRIVE_HOLES_NOT_WHOLE = Code(
    "V621",
    "drive-holes-not-whole",
    "error",
    "A loop must hold a whole number of drive holes. Joined with one too many or too few, every turn brings all bells "
    "some minutes later or earlier, without end. Measure the pitch over a hundred rows.",
    _machine(("every 2.54 mm", "every 2.55 mm")),
    _MACHINE,
)
PINS_BIND = Code(
    "V622",
    "pins-bind",
    "error",
    "Several pins of the wheel are in the tape at once. If the drive holes are farther out of step than their play, "
    "the pins bind and tear them.",
    _machine(("within 0.01 mm", "within 0.05 mm")),
    _MACHINE,
)
NO_ROOM_FOR_JOINT = Code(
    "V623",
    "no-room-for-joint",
    "error",
    "The ends of the loop overlap in a stretch without holes, with some rows to spare on both sides, and over a whole "
    "number of drive holes.",
    _machine(("lap of 10 rows", "lap of 1430 rows")),
    _MACHINE,
)
UNDER_RESERVE = Code(
    "V631",
    "margin-under-reserve",
    "warning",
    "The check holds, but with less to spare than the reserve that the machine's block claims.",
    f"{_MACHINE}  reserve 20 %\n",
    f"{_MACHINE}  reserve 5 %\n",
)
LENGTH_AT_WORST = Code(
    "V632",
    "ring-length-at-worst",
    "warning",
    "By its nominal values a ring has the length of its signal, but at the limits of the machine's tolerances it is "
    "shorter or longer than the signal tolerates.",
    f"{_MACHINE}signal lesson 6 s within 0.5 s\n",
    f"{_MACHINE}signal lesson 6 s within 1 s\n",
)
CANNOT_SAY = Code(
    "V633",
    "checks-cannot-be-made",
    "warning",
    "Some checks of the machine need values that its block does not give. Nothing is guessed in their place: such a "
    "check says neither that the tape reads true nor that it does not. Measure the values, or write them with the "
    "word assumed. Only what most machines lack (wear, a lag, the errors of print, index, seam, wheel and skew, that "
    "across the tape, the tolerances of the drive holes) counts as nothing, and is listed so.",
    _machine(("  side play 0.15 mm\n", "")),
    _MACHINE,
)

FAILURES: tuple[Code, ...] = (
    ROW_MISSED,
    ROW_READ_TWICE,
    OTHER_MINUTE,
    FINGER_SWITCHES,
    RING_TOO_LONG,
    HEARD_AS_ONE,
    WEB_ALONG,
    WEB_ACROSS,
    WEB_TO_DRIVE_HOLES,
    WEB_TO_EDGES,
    OTHER_TRACK,
    DRIVE_HOLES_NOT_WHOLE,
    PINS_BIND,
    NO_ROOM_FOR_JOINT,
)
"""Those of a tape that will not read true. Its lists can be made all the same."""

CODES: tuple[Code, ...] = (*FAILURES, UNDER_RESERVE, LENGTH_AT_WORST, CANNOT_SAY)
