"""What people and word processors type instead of the language's forms.

In a line of these tables `[` and `]` stand round the text that is marked as wrong; the language has no
brackets. An offer is written as the line that it leads to.
"""

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

import holidays
import pytest

from chime.diagnostics import Certainty, Code, Diagnostic, Source, Suggestion
from chime.diagnostics.edits import apply
from chime.parsing import typed_faults, typed_search
from chime.parsing.lines import LONGEST_LINE
from chime.parsing.parser import BlocksRead, read_blocks
from chime.parsing.surroundings import HOLIDAY_CODES
from chime.parsing.tree import Node, Word
from chime.parsing.typed_line import Pieces
from chime.parsing.typed_spot import Spot

SAMPLES = sorted(Path(__file__).parent.glob("samples/*.chime"))

OPENERS = {
    "programme": 'programme "Saltmarsh School"',
    "timetable": "timetable normal in main",
    "week": "week ordinary",
    "cycle": "cycle six on Mon to Fri",
    "term": 'term "Spring" 2027-01-05 to 2027-03-25',
    "exceptions": "exceptions",
    "zone": "zone main on track 1",
    "line": "line dials fed by clock-supply",
    "machine": "machine hall",
}
BEFORE = 'programme "Saltmarsh School"\n  place Europe/London\nterm "Autumn" 2026-09-07 to 2026-12-18\n'


class Typed(NamedTuple):
    """A typed line, the code of its fault, and its offers: how sure, and the line each leads to."""

    block: str
    line: str
    code: str
    offers: tuple[tuple[Certainty, str], ...] = ()

    @property
    def text(self) -> str:
        return re.sub(r"[\[\]]", "", self.line)


def row(block: str, line: str, code: str, *offers: tuple[Certainty, str]) -> Typed:
    return Typed(block, line, code, offers)


def sure(line: str) -> tuple[Certainty, str]:
    return ("sure", line)


def guess(line: str) -> tuple[Certainty, str]:
    return ("guess", line)


LABELS = (
    row("timetable", "period [1] 08:45 - 09:45", "S227", sure('period "1" 08:45 - 09:45')),
    row("timetable", "drop [4]", "S227", sure('drop "4"')),
    row("timetable", "move [3] to 11:20 - 12:00", "S227", sure('move "3" to 11:20 - 12:00')),
    row(
        "timetable",
        "pause [Morning break] 10:30 - 10:45",
        "S227",
        sure('pause "Morning break" 10:30 - 10:45'),
    ),
    row("timetable", "drop [Line up] in main", "S227", guess('drop "Line up" in main')),
    row("timetable", "drop [lunch]", "S230", guess("drop in lunch"), guess('drop "lunch"')),
    row(
        "opener",
        "term [Autumn] 2026-09-07 to 2026-12-18",
        "S227",
        sure('term "Autumn" 2026-09-07 to 2026-12-18'),
    ),
    row("opener", "programme [Saltmarsh School]", "S227", sure('programme "Saltmarsh School"')),
    row("opener", "use [hall-machine.chime]", "S227", sure('use "hall-machine.chime"')),
    row("opener", "audience [Year 7] in main", "S227", sure('audience "Year 7" in main')),
    row("exceptions", "days in [closures.ics] silent", "S227", sure('days in "closures.ics" silent')),
    row("exceptions", "2026-10-26 silent [Half term]", "S227", sure('2026-10-26 silent "Half term"')),
    row("exceptions", "2026-10-26 silent [“Half term”]", "S212", sure('2026-10-26 silent "Half term"')),
    row("exceptions", "2026-10-26 silent ['Half term']", "S212", sure('2026-10-26 silent "Half term"')),
    row("exceptions", "2026-10-26 silent [‘Half term’]", "S212", sure('2026-10-26 silent "Half term"')),
    row("exceptions", "2026-10-26 silent [«Half term»]", "S212", sure('2026-10-26 silent "Half term"')),
    row("exceptions", '2026-10-26 silent ["Half term”]', "S212", sure('2026-10-26 silent "Half term"')),
    row(
        "exceptions",
        "2026-11-11 silent ['Two minutes' silence']",
        "S212",
        sure('2026-11-11 silent "Two minutes\' silence"'),
    ),
    row(
        "timetable",
        'periods ["2"] to "4" of 50 min from 09:50',
        "S228",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row("timetable", 'ring 08:40 lesson in ["main"]', "S228", sure("ring 08:40 lesson in main")),
    row("week", 'Fri ["early"]', "S228", sure("Fri early")),
)

TIMES = (
    row("timetable", "ring [8:45] lesson", "S215", sure("ring 08:45 lesson")),
    row("timetable", "ring [08.45] lesson", "S215", sure("ring 08:45 lesson")),
    row("timetable", "ring [0845] lesson", "S215", sure("ring 08:45 lesson")),
    row("timetable", "ring [08:45am] lesson", "S215", sure("ring 08:45 lesson")),
    row("timetable", "ring [8.45 am] lesson", "S215", sure("ring 08:45 lesson")),
    row("timetable", "ring [08:45 hrs] lesson", "S215", sure("ring 08:45 lesson")),
    row("timetable", "ring [8:45], 9:45, 10.45 lesson", "S215", sure("ring 08:45, 09:45, 10:45 lesson")),
    row("timetable", "ring [3pm] lesson", "S216", guess("ring 15:00 lesson")),
    row("timetable", "ring [3.15 p.m.] lesson", "S216", guess("ring 15:15 lesson")),
    row("timetable", "ring [12 am] lesson", "S216", guess("ring 00:00 lesson")),
    row("timetable", "ring [15h30] lesson", "S216", guess("ring 15:30 lesson")),
    row("timetable", "ring [noon] lesson", "S216", guess("ring 12:00 lesson")),
    row(
        "timetable", "ring [midnight] lesson", "S216", guess("ring 24:00 lesson"), guess("ring 00:00 lesson")
    ),
    row("timetable", 'period "1" 08:45 [–] 09:45', "S211", sure('period "1" 08:45 - 09:45')),
    row("exceptions", "2026-10-02 shift [−]10 min", "S211", sure("2026-10-02 shift -10 min")),
    row("exceptions", "2026-10-02 shift [–] 10 min", "S211", sure("2026-10-02 shift - 10 min")),
    row("opener", "timetable [long–lunch] in main", "S211", sure("timetable long-lunch in main")),
    row("timetable", 'period "1" 08:45 [to] 09:45', "S220", sure('period "1" 08:45 - 09:45')),
    row("timetable", 'period "1" [from 08:45 to 09:45]', "S220", sure('period "1" 08:45 - 09:45')),
    row("timetable", 'period "1" [from] 08:45 - 09:45', "S220", sure('period "1" 08:45 - 09:45')),
    row(
        "timetable",
        "shift +10 min from 09:00 [to] 12:00",
        "S220",
        sure("shift +10 min from 09:00 until 12:00"),
    ),
    row(
        "timetable",
        "shift +10 min from 09:00 [-] 12:00",
        "S220",
        sure("shift +10 min from 09:00 until 12:00"),
    ),
    row("timetable", "drop in main [between 09:00 and 12:00]", "S220", sure("drop in main 09:00 - 12:00")),
    row("timetable", "drop [until] 09:00", "S221", sure("drop before 09:00")),
    row("timetable", "shift [10 min]", "S224", guess("shift +10 min"), guess("shift -10 min")),
    row("timetable", "shift [10 min later] from 09:00", "S224", sure("shift +10 min from 09:00")),
    row("timetable", "shift [10 min earlier]", "S224", sure("shift -10 min")),
)

QUANTITIES = (
    row("timetable", "shift +[10] from 09:00", "S223", guess("shift +10 min from 09:00")),
    row("opener", "signal lesson [6] within 1.5 s", "S223", guess("signal lesson 6 s within 1.5 s")),
    row("opener", "signal lesson 6 s within [1.5]", "S223", guess("signal lesson 6 s within 1.5 s")),
    row(
        "machine",
        "tracks at 2.34, [4.88] from the guided edge",
        "S223",
        guess("tracks at 2.34, 4.88 mm from the guided edge"),
    ),
    row("machine", "loop [24] in rows of 1 min", "S223", guess("loop 24 h in rows of 1 min")),
    row("opener", "supply bells [24] 5", "S223", guess("supply bells 24 V 5 A")),
    row(
        "timetable",
        "periods 2 to 4 of 50 [minutes] from 09:50",
        "S222",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row(
        "timetable",
        "periods 2 to 4 of 50 [mins] from 09:50",
        "S222",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row(
        "timetable",
        "periods 2 to 4 of 50[mins] from 09:50",
        "S222",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row("opener", "signal lesson 6 [seconds] within 2 s", "S222", sure("signal lesson 6 s within 2 s")),
    row("opener", "signal lesson 30 [sec] within 2 s", "S222", sure("signal lesson 30 s within 2 s")),
    row("opener", "signal lesson 30 [sec.] within 2 secs", "S222", sure("signal lesson 30 s within 2 s")),
    row("machine", "reserve 5 [percent]", "S222", sure("reserve 5 %")),
    row(
        "machine", "wheel 24 pins 1.00 mm over 150[°]", "S222", sure("wheel 24 pins 1.00 mm over 150 degrees")
    ),
    row("zone", "cable 1.5 [mm²], every 5 m", "S222", sure("cable 1.5 mm2, every 5 m")),
    row("zone", "cable 1.5 [sq mm], every 5 m", "S222", sure("cable 1.5 mm2, every 5 m")),
    row("zone", "bells 4 at 350 [ma] each", "S222", sure("bells 4 at 350 mA each")),
    row("machine", 'web at least 0.1["]', "S222", sure("web at least 0.1 in")),
    row("machine", 'finger brushes, 0.02["] by 0.016"', "S222", sure("finger brushes, 0.02 in by 0.016 in")),
    row("machine", "wear [.05] mm", "S226", sure("wear 0.05 mm")),
    row("machine", "web at least [1/10] in", "S226"),
    row("machine", "hole round 1.83 [±] 0.05 mm", "S214", sure("hole round 1.83 mm within 0.05 mm")),
    row("machine", "hole round 1.83[±]0.05 mm", "S214", sure("hole round 1.83 mm within 0.05 mm")),
    row("machine", "hole round 1.83 mm [+-] 0.05 mm", "S214", sure("hole round 1.83 mm within 0.05 mm")),
    row("opener", "signal lesson 6 s [+/-] 1.5 s", "S214", sure("signal lesson 6 s within 1.5 s")),
    row("machine", "row [2,54] mm", "S225", guess("row 2.54 mm")),
    row("machine", "tracks at [2,34], 4,88 mm", "S225", guess("tracks at 2.34, 4.88 mm")),
    row("machine", "row [2,540] mm", "S225", guess("row 2.540 mm"), guess("row 2540 mm")),
    row("opener", "zone main on tracks [3,4]", "S225", guess("zone main on tracks 3, 4")),
    row(
        "zone",
        "cable 1.5 mm2, bells at [40,90,120] m",
        "S225",
        guess("cable 1.5 mm2, bells at 40, 90, 120 m"),
    ),
    row(
        "timetable",
        "periods 2 [-] 4 of 50 min from 09:50",
        "S220",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row(
        "timetable",
        "periods [2, 3, 4] of 50 min from 09:50",
        "S220",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row(
        "timetable",
        "periods [2 and 3] of 50 min from 09:50",
        "S220",
        sure("periods 2 to 3 of 50 min from 09:50"),
    ),
    row(
        "timetable",
        "[period] 2 to 4 of 50 min from 09:50",
        "S245",
        sure("periods 2 to 4 of 50 min from 09:50"),
    ),
    row("opener", "[signal lesson 6 s]", "S246"),
)

LISTS = (
    row(
        "timetable",
        "ring 08:40 lesson in main [and] junior",
        "S229",
        sure("ring 08:40 lesson in main, junior"),
    ),
    row(
        "timetable", "ring 08:40 lesson in main [&] junior", "S229", sure("ring 08:40 lesson in main, junior")
    ),
    row("timetable", "ring 08:40 lesson in main [junior]", "S229", sure("ring 08:40 lesson in main, junior")),
    row(
        "timetable",
        "ring 08:40 lesson in main, junior, [and] yard",
        "S229",
        sure("ring 08:40 lesson in main, junior, yard"),
    ),
    row("timetable", "ring 08:40, 08:45 [09:45] lesson", "S229", sure("ring 08:40, 08:45, 09:45 lesson")),
    row(
        "timetable",
        "ring 08:40 lesson in main [line up]",
        "S227",
        guess('ring 08:40 lesson in main "line up"'),
        guess("ring 08:40 lesson in main, line, up"),
    ),
    row("week", "Sat [&] Sun silent", "S229", sure("Sat, Sun silent")),
    row("week", "Sat [and] Sun silent", "S229", sure("Sat, Sun silent")),
    row("week", "Sat[/]Sun silent", "S229", sure("Sat, Sun silent")),
    row("week", "Mon [Tue] normal", "S229", sure("Mon, Tue normal")),
    row(
        "timetable",
        "each period start lesson [end] lesson",
        "S229",
        sure("each period start lesson, end lesson"),
    ),
    row("machine", "tape 25.4 mm wide [0.1] mm thick", "S229", sure("tape 25.4 mm wide, 0.1 mm thick")),
    row("machine", "out of use tracks 2 [and] 3", "S229", sure("out of use tracks 2, 3")),
    row(
        "opener",
        "zone main on tracks [1, 2 and 3]",
        "S229",
        guess("zone main on tracks 1, 2, 3"),
        guess("zone main on tracks 1 and 2 and 3"),
    ),
    row("opener", "zone main on [track] 1, 2", "S245", sure("zone main on tracks 1, 2")),
    row("opener", "zone main on [tracks] 1", "S245", sure("zone main on track 1")),
    row("timetable", "ring 08:40[,] lesson in main", "S242", sure("ring 08:40 lesson in main")),
    row("timetable", "ring 08:40[;] 08:45 lesson", "S242", sure("ring 08:40, 08:45 lesson")),
    row("opener", "timetable normal[:]", "S242", sure("timetable normal")),
    row("cycle", "day 1[:] normal", "S242", sure("day 1 normal")),
)

WORDS = (
    row("timetable", "ring 08:40 lesson [main]", "S230", sure("ring 08:40 lesson in main")),
    row("timetable", "ring [at] 08:40 lesson", "S231", sure("ring 08:40 lesson")),
    row("timetable", "ring 08:40 [the] lesson in main", "S231", sure("ring 08:40 lesson in main")),
    row("timetable", "ring [lesson 08:40]", "S232", sure("ring 08:40 lesson")),
    row(
        "timetable", "ring [lesson at 08:40, 08:45] in main", "S232", sure("ring 08:40, 08:45 lesson in main")
    ),
    row(
        "timetable",
        'ring 08:40 lesson ["Line up"] in main',
        "S232",
        sure('ring 08:40 lesson in main "Line up"'),
    ),
    row("timetable", 'period [08:45 - 09:45 "1"]', "S232", sure('period "1" 08:45 - 09:45')),
    row(
        "opener",
        'zone main ["Main building"] on track 1',
        "S232",
        sure('zone main on track 1 "Main building"'),
    ),
    row("timetable", "[Ring] 08:40 lesson", "S241", sure("ring 08:40 lesson")),
    row("timetable", '[break] "Morning" 10:30 - 10:45', "S234", guess('pause "Morning" 10:30 - 10:45')),
    row("timetable", "[lunch] 12:25 - 13:10", "S234", guess('pause "Lunch" 12:25 - 13:10')),
    row("timetable", "[Morning break] 10:30 - 10:45", "S234", guess('pause "Morning break" 10:30 - 10:45')),
    row("timetable", '[lesson] "1" 08:45 - 09:45', "S234", guess('period "1" 08:45 - 09:45')),
    row("timetable", "[add] 11:00 lesson in main", "S233", sure("ring 11:00 lesson in main")),
    row("timetable", "[silent] in main", "S233", guess("drop in main")),
    row(
        "opener",
        "timetable normal [main]",
        "S230",
        guess("timetable normal in main"),
        guess("timetable normal like main"),
    ),
    row("opener", "group lessons [in] main, junior", "S231", sure("group lessons main, junior")),
    row("machine", "[gate none]", "S243", sure("no gate")),
    row("machine", "[gate no gate]", "S243", sure("no gate")),
    row("machine", "[sprocket friction]", "S243", sure("friction")),
    row("machine", "[drive friction]", "S243", sure("friction")),
    row("machine", "joint lap [12] rows", "S230", sure("joint lap of 12 rows")),
    row("machine", "web [0.40] mm", "S230", sure("web at least 0.40 mm")),
    row("machine", "tracks [2.34], 4.88 mm", "S230", sure("tracks at 2.34, 4.88 mm")),
    row("zone", "bells 4 at 350 [mA]", "S230", sure("bells 4 at 350 mA each")),
    row(
        "zone",
        "bells 4 at 350 mA [fed] by bell-supply",
        "S230",
        sure("bells 4 at 350 mA each fed by bell-supply"),
    ),
    row("line", "clocks 36 at 20 [mA]", "S230", sure("clocks 36 at 20 mA each")),
    row("programme", "issue 3 [2026-08-20]", "S230", sure("issue 3 on 2026-08-20")),
    row("opener", '[program] "Saltmarsh School"', "S240", sure('programme "Saltmarsh School"')),
    row("opener", "[Exceptions]", "S240", sure("exceptions")),
    row("opener", '[include] "hall-machine.chime"', "S240", sure('use "hall-machine.chime"')),
)

DAYS = (
    row("week", "[Mon-Fri] normal", "S220", sure("Mon to Fri normal")),
    row("week", "[Monday–Thursday] normal", "S220", sure("Mon to Thu normal")),
    row("week", "Mon [-] Fri normal", "S220", sure("Mon to Fri normal")),
    row("week", "Mon [–] Fri normal", "S220", sure("Mon to Fri normal")),
    row("week", "[Monday] normal", "S218", sure("Mon normal")),
    row("week", "[mon] normal", "S218", sure("Mon normal")),
    row("week", "[MON] normal", "S218", sure("Mon normal")),
    row("week", "[Tues] to Thurs normal", "S218", sure("Tue to Thu normal")),
    row("week", "Mon[.] normal", "S242", sure("Mon normal")),
    row("week", "[weekdays] normal", "S219", guess("Mon to Fri normal")),
    row("week", "[weekend] silent", "S219", guess("Sat, Sun silent")),
    row("week", "Sat, Sun [no bells]", "S235", guess("Sat, Sun silent")),
    row("exceptions", "2026-10-02 [no bells]", "S235", guess("2026-10-02 silent")),
    row("week", "Fri [timetable] early", "S231", sure("Fri early")),
    row("exceptions", "[Monday] 2026-10-26 silent", "S218", sure("Mon 2026-10-26 silent")),
)

DATES = (
    row("exceptions", "2026-10-26 [-] 2026-10-30 silent", "S220", sure("2026-10-26 to 2026-10-30 silent")),
    row("exceptions", "2026-10-26[-]2026-10-30 silent", "S220", sure("2026-10-26 to 2026-10-30 silent")),
    row("exceptions", "2026-10-26 [–] 2026-10-30 silent", "S220", sure("2026-10-26 to 2026-10-30 silent")),
    row(
        "exceptions", "2026-10-26 [until] 2026-10-30 silent", "S220", sure("2026-10-26 to 2026-10-30 silent")
    ),
    row(
        "exceptions",
        "[from] 2026-10-26 to 2026-10-30 silent",
        "S220",
        sure("2026-10-26 to 2026-10-30 silent"),
    ),
    row(
        "exceptions",
        "[from 2026-10-26 until 2026-10-30] silent",
        "S220",
        sure("2026-10-26 to 2026-10-30 silent"),
    ),
    row(
        "opener",
        'term "A" [from] 2026-09-07 to 2026-12-18',
        "S220",
        sure('term "A" 2026-09-07 to 2026-12-18'),
    ),
    row("exceptions", "[26/10/2026] silent", "S217"),
    row("exceptions", "[26.10.2026] silent", "S217"),
    row("exceptions", "[7/9/2026] silent", "S217"),
    row("exceptions", "[7/9/2026] to 8/9/2026 silent", "S217"),
    row("exceptions", "[26 Oct] silent", "S217"),
    row("exceptions", "[26 Oct 2026] silent", "S217", sure("2026-10-26 silent")),
    row("exceptions", "[26th October 2026] silent", "S217", sure("2026-10-26 silent")),
    row("exceptions", "[October 26, 2026] silent", "S217", sure("2026-10-26 silent")),
    row("exceptions", "[26 Sept 2026] silent", "S217", sure("2026-09-26 silent")),
    row("exceptions", "[2026/10/26] silent", "S217", sure("2026-10-26 silent")),
    row("exceptions", "[2026-9-7] silent", "S217", sure("2026-09-07 silent")),
    row("exceptions", "[2026‑10‑02] silent", "S211", sure("2026-10-02 silent")),
    row(
        "exceptions",
        '[2026-10-02, 2026-11-23] silent "x"',
        "S236",
        sure('2026-10-02 silent "x"\n  2026-11-23 silent "x"'),
    ),
    row(
        "exceptions",
        "[2026-10-02, 2026-10-05 to 2026-10-07 and 2026-11-23] silent in main",
        "S236",
        sure(
            "2026-10-02 silent in main\n"
            "  2026-10-05 to 2026-10-07 silent in main\n"
            "  2026-11-23 silent in main"
        ),
    ),
    row(
        "exceptions",
        "every [Wed and Fri] from 2026-09-07 to 2026-12-18 silent",
        "S236",
        sure(
            "every Wed from 2026-09-07 to 2026-12-18 silent\n  every Fri from 2026-09-07 to 2026-12-18 silent"
        ),
    ),
)

EXCEPTIONS = (
    row("exceptions", "2026-10-02 silent [main]", "S230", guess("2026-10-02 silent in main")),
    row("exceptions", "2026-10-02 silent [Holiday]", "S227", guess('2026-10-02 silent "Holiday"')),
    row(
        "exceptions",
        '2026-10-02 ["Staff training"] silent',
        "S232",
        sure('2026-10-02 silent "Staff training"'),
    ),
    row("exceptions", "2026-10-02 [instead normal]", "S232", sure("2026-10-02 normal instead")),
    row("exceptions", "2026-10-02 [as] early", "S231", sure("2026-10-02 early")),
    row("exceptions", "2026-10-02 [timetable] early", "S231", sure("2026-10-02 early")),
    row("exceptions", "[on] 2026-10-02 silent", "S231", sure("2026-10-02 silent")),
    row(
        "exceptions",
        "2026-11-11 [ring] 11:00 lesson in main",
        "S233",
        sure("2026-11-11 add 11:00 lesson in main"),
    ),
    row(
        "exceptions", "2026-11-11 add 11:00 [lesson]", "S244", guess("2026-11-11 add 11:00 lesson everywhere")
    ),
    row(
        "exceptions",
        '[every Wed] drop "Line up"',
        "S237",
        guess('every Wed from 2026-09-07 to 2026-12-18 drop "Line up"'),
    ),
    row(
        "exceptions",
        "every [Wednesday] from 2026-09-07 to 2026-12-18 silent",
        "S218",
        sure("every Wed from 2026-09-07 to 2026-12-18 silent"),
    ),
    row(
        "exceptions",
        "every Wed [2026-09-07] to 2026-12-18 silent",
        "S230",
        sure("every Wed from 2026-09-07 to 2026-12-18 silent"),
    ),
    row("exceptions", "[every other Wed] from 2026-09-07 to 2026-12-18 silent", "S238"),
    row("exceptions", "[every second Wed] from 2026-09-07 to 2026-12-18 silent", "S238"),
    row("exceptions", "[public holidays] silent", "S239", guess("public holidays of GB-ENG silent")),
    row("exceptions", "[public holidays] GB-SCT silent", "S230", sure("public holidays of GB-SCT silent")),
)

SPACES = (
    row("timetable", "ring[\u00a0]08:40 lesson", "S213", sure("ring 08:40 lesson")),
    row("timetable", "ring 08:40[\u202f]lesson in\u00a0main", "S213", sure("ring 08:40 lesson in main")),
    row("timetable", "[\u00a0]ring 08:40 lesson", "S213", sure(" ring 08:40 lesson")),
    row("exceptions", "2026-10-02[\u200b] silent", "S213", sure("2026-10-02 silent")),
)

ROWS = LABELS + TIMES + QUANTITIES + LISTS + WORDS + DAYS + DATES + EXCEPTIONS + SPACES
OFFERED = [(typed, *offer) for typed in ROWS for offer in typed.offers]


def in_file(block: str, line: str) -> Source:
    """A file whose last line is the given one."""
    if block == "opener":
        return Source("typed.chime", BEFORE + line)
    return Source("typed.chime", f"{BEFORE}{OPENERS[block]}\n  {line}")


def last_line(block: str, text: str) -> str:
    """What stands in a file at the place of the typed line."""
    return text.removeprefix(in_file(block, "").text)


def faults_in(block: str, line: str) -> tuple[Diagnostic, ...]:
    return read_blocks(in_file(block, line)).diagnostics


def fault_in(typed: Typed) -> Diagnostic:
    found = faults_in(typed.block, typed.text)
    assert len(found) == 1, [f"{fault.code.id} {fault.headline}" for fault in found]
    return found[0]


def carried_out(fault: Diagnostic, block: str, suggestion: Suggestion) -> str:
    assert fault.primary is not None
    return last_line(block, apply(fault.primary.span.source, suggestion.edits))


def words_in(node: Node) -> Iterator[Word]:
    for child in node.children:
        if isinstance(child, Word):
            yield child
        else:
            yield from words_in(child)


def shape(part: Node | Word) -> object:
    """A node without its places."""
    if isinstance(part, Word):
        return part.kind, part.text
    return part.rule, tuple(shape(child) for child in part.children)


def last_node(read: BlocksRead, block: str) -> Node:
    last = read.blocks[-1]
    node = last.header if block == "opener" else last.lines[-1]
    assert node is not None
    return node


def ids(typed: Typed) -> str:
    return ascii(typed.line)


# ------------------------------------------------------------- one mistake


@pytest.mark.parametrize("typed", ROWS, ids=ids)
def test_a_typed_form_gives_one_fault_of_its_kind_at_its_place(typed: Typed) -> None:
    fault = fault_in(typed)
    assert fault.code.id == typed.code
    assert fault.primary is not None
    span = fault.primary.span
    indent = 0 if typed.block == "opener" else 2
    start = indent + typed.line.index("[")
    assert (span.column, span.column + span.end - span.start) == (start + 1, indent + typed.line.index("]"))


@pytest.mark.parametrize("typed", ROWS, ids=ids)
def test_a_typed_form_has_the_offers_it_should_have(typed: Typed) -> None:
    fault = fault_in(typed)
    offers = tuple((each.certainty, carried_out(fault, typed.block, each)) for each in fault.suggestions)
    assert offers == typed.offers
    assert fault.why.endswith(".")


@pytest.mark.parametrize(("typed", "certainty", "line"), OFFERED, ids=lambda part: ascii(part)[:60])
def test_an_offered_line_is_right(typed: Typed, certainty: Certainty, line: str) -> None:
    assert certainty in ("sure", "guess")
    assert faults_in(typed.block, line) == ()


@pytest.mark.parametrize("typed", [t for t in ROWS if t.offers and "\n" not in t.offers[0][1]], ids=ids)
def test_a_line_is_read_as_its_first_offer_says(typed: Typed) -> None:
    as_typed = read_blocks(in_file(typed.block, typed.text))
    as_meant = read_blocks(in_file(typed.block, typed.offers[0][1]))
    assert shape(last_node(as_typed, typed.block)) == shape(last_node(as_meant, typed.block))
    assert not as_typed.blocks[-1].unread


@pytest.mark.parametrize("typed", [t for t in ROWS if not t.offers], ids=ids)
def test_a_line_without_an_offer_is_not_read(typed: Typed) -> None:
    read = read_blocks(in_file(typed.block, typed.text))
    assert [span.text for span in read.blocks[-1].unread] == [typed.text]


@pytest.mark.parametrize("typed", [t for t in ROWS if t.offers and "\n" not in t.offers[0][1]], ids=ids)
def test_the_words_of_a_mended_line_lie_on_what_was_typed(typed: Typed) -> None:
    source = in_file(typed.block, typed.text)
    read = read_blocks(source)
    begin = len(source.text) - len(typed.text)
    edits = [edit.span for fault in read.diagnostics for edit in fault.suggestions[0].edits]
    marked = [label.span for fault in read.diagnostics for label in fault.labels]
    for word in words_in(last_node(read, typed.block)):
        span = word.span
        assert begin <= span.start <= span.end <= len(source.text)
        touched = any(span.start <= other.end and other.start <= span.end for other in edits + marked)
        assert touched or span.text == word.text


def test_a_moved_word_keeps_its_place() -> None:
    read = read_blocks(in_file("timetable", "ring lesson 08:40, 08:45 in main"))
    words = list(words_in(last_node(read, "timetable")))
    assert [word.text for word in words] == ["08:40", "08:45", "lesson", "main"]
    assert [word.span.text for word in words] == ["08:40", "08:45", "lesson", "main"]


def test_a_mended_value_lies_on_what_was_typed_for_it() -> None:
    read = read_blocks(in_file("timetable", "period 1 8:45 – 9.45 main"))
    words = list(words_in(last_node(read, "timetable")))
    assert [(word.text, word.span.text) for word in words] == [
        ('"1"', "1"),
        ("08:45", "8:45"),
        ("09:45", "9.45"),
        ("main", "main"),
    ]


# -------------------------------------------------------- several mistakes


class Pair(NamedTuple):
    """A line with several mistakes, the codes of its faults, and the line as it was meant."""

    block: str
    line: str
    codes: list[str]
    right: str


PAIRS = (
    Pair("timetable", "period 1 8:45 - 09:45", ["S227", "S215"], 'period "1" 08:45 - 09:45'),
    Pair("timetable", "period 1 08:45 – 09:45", ["S227", "S211"], 'period "1" 08:45 - 09:45'),
    Pair("timetable", "ring lesson 8:40", ["S232", "S215"], "ring 08:40 lesson"),
    Pair("timetable", "ring at 8.40 lesson main", ["S231", "S215", "S230"], "ring 08:40 lesson in main"),
    Pair("timetable", "shift by 10 min", ["S231", "S224"], "shift +10 min"),
    Pair(
        "timetable",
        "shift 10 from 9:00 to 12:00",
        ["S223", "S224", "S215", "S220"],
        "shift +10 min from 09:00 until 12:00",
    ),
    Pair("opener", "signal lesson 6 seconds ± 2", ["S222", "S214", "S223"], "signal lesson 6 s within 2 s"),
    Pair("week", "Mon-Thu: normal", ["S220", "S242"], "Mon to Thu normal"),
    Pair("week", "Monday, Wednesday and Friday normal", ["S218", "S229"], "Mon, Wed, Fri normal"),
    Pair("exceptions", "26 Oct 2026 silent “Half term”", ["S217", "S212"], '2026-10-26 silent "Half term"'),
    Pair("exceptions", "26 – 30 October 2026 silent", ["S217", "S220"], "2026-10-26 to 2026-10-30 silent"),
    Pair(
        "exceptions",
        "2026-10-02 “Staff training” silent",
        ["S212", "S232"],
        '2026-10-02 silent "Staff training"',
    ),
    Pair(
        "exceptions",
        "every Wednesday drop Line up",
        ["S237", "S218", "S227"],
        'every Wed from 2026-09-07 to 2026-12-18 drop "Line up"',
    ),
    Pair(
        "exceptions",
        "2026-11-11 ring lesson 11:00 in main",
        ["S233", "S232"],
        "2026-11-11 add 11:00 lesson in main",
    ),
    Pair(
        "exceptions",
        "2026-11-11 ring 11:00 lesson “Silence”",
        ["S233", "S244", "S212"],
        '2026-11-11 add 11:00 lesson everywhere "Silence"',
    ),
    Pair("machine", "hole round 1.83 ± 0.05", ["S214", "S223"], "hole round 1.83 mm within 0.05 mm"),
    Pair("machine", "attended Mon – Fri 7.45 - 16.30", ["S220", "S215"], "attended Mon to Fri 07:45 - 16:30"),
    Pair(
        "timetable",
        "ring\u00a008:40 lesson in main and junior",
        ["S213", "S229"],
        "ring 08:40 lesson in main, junior",
    ),
)


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: ascii(pair.line))
def test_each_kind_of_mistake_in_a_line_is_a_fault(pair: Pair) -> None:
    assert [fault.code.id for fault in faults_in(pair.block, pair.line)] == pair.codes


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: ascii(pair.line))
def test_all_first_offers_of_a_line_together_make_it_right(pair: Pair) -> None:
    source = in_file(pair.block, pair.line)
    edits = [edit for fault in read_blocks(source).diagnostics for edit in fault.suggestions[0].edits]
    assert last_line(pair.block, apply(source, edits)) == pair.right
    assert faults_in(pair.block, pair.right) == ()


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: ascii(pair.line))
def test_a_sure_offer_removes_its_fault_and_adds_none(pair: Pair) -> None:
    source = in_file(pair.block, pair.line)
    for fault in read_blocks(source).diagnostics:
        for offer in fault.suggestions:
            if offer.certainty == "sure":
                left = faults_in(pair.block, last_line(pair.block, apply(source, offer.edits)))
                assert sorted(each.code.id for each in left) == sorted(set(pair.codes) - {fault.code.id})


def test_mistakes_of_one_kind_in_a_line_are_one_fault() -> None:
    (fault,) = faults_in("timetable", "ring 8:40, 8:45, 9:45 lesson")
    assert fault.headline == "a time is written 08:40, not 8:40 (and 2 more in this line)"


def test_a_mistake_without_an_offer_stands_beside_one_with() -> None:
    dated, quoted = faults_in("exceptions", "26/10/2026 silent 'Half term'")
    assert (dated.code.id, dated.suggestions) == ("S217", ())
    assert (quoted.code.id, quoted.suggestions[0].text) == ("S212", '"Half term"')


def test_a_date_that_cannot_be_told_is_said_even_if_the_line_is_not_understood() -> None:
    (fault,) = faults_in("exceptions", "26/10/2026 silent silent silent in nowhere at all")
    assert fault.code.id == "S217"


def test_no_stand_in_for_a_date_is_ever_offered() -> None:
    several, untold = faults_in("exceptions", "2026-10-02, 26/10/2026 silent")
    assert (several.code.id, several.suggestions) == ("S236", ())
    assert (untold.code.id, untold.suggestions) == ("S217", ())


def test_a_length_without_unit_and_tolerance_is_two_faults() -> None:
    first, second = faults_in("opener", "signal lesson 6")
    assert (first.code.id, first.suggestions) == ("S246", ())
    assert (second.code.id, [each.text for each in second.suggestions]) == ("S223", ["6 s"])


def test_one_mistake_that_is_not_known_leaves_the_line_to_the_general_fault() -> None:
    (fault,) = faults_in("timetable", "ring 8:40 lesson quickly in main")
    assert fault.code.id == "S201"


# --------------------------------------------------------- continued lines


def test_mistakes_of_a_continued_line_are_marked_on_their_own_lines() -> None:
    lines = "ring 8:40,   # early\n    08.45,\n\n    # late\n    09:45 lesson main"
    source = in_file("timetable", lines)
    times, zones = read_blocks(source).diagnostics
    assert times.primary is not None
    assert zones.primary is not None
    assert (times.primary.span.text, times.primary.span.line) == ("8:40", 5)
    assert (zones.primary.span.text, zones.primary.span.line) == ("main", 9)
    edits = [edit for fault in (times, zones) for edit in fault.suggestions[0].edits]
    right = "ring 08:40,   # early\n    08:45,\n\n    # late\n    09:45 lesson in main"
    assert last_line("timetable", apply(source, edits)) == right


def test_a_word_too_many_on_a_continued_line_leaves_the_line_end() -> None:
    source = in_file("timetable", "ring 08:40 lesson in main,  # indoors\n    and yard")
    (fault,) = read_blocks(source).diagnostics
    assert fault.code.id == "S229"
    right = "ring 08:40 lesson in main,  # indoors\n    yard"
    assert last_line("timetable", apply(source, fault.suggestions[0].edits)) == right


def test_several_dates_over_two_lines_are_one_line_each() -> None:
    source = in_file("exceptions", '2026-10-02,\n  2026-11-23 silent "x"  # closed')
    (fault,) = read_blocks(source).diagnostics
    right = '2026-10-02 silent "x"\n  2026-11-23 silent "x"  # closed'
    assert last_line("exceptions", apply(source, fault.suggestions[0].edits)) == right


def test_faults_in_a_file_with_crlf_line_ends_have_their_columns() -> None:
    source = Source(
        "typed.chime", "timetable normal in main\r\n  ring 8:40 lesson\r\n  ring 08:45 lesson main\r\n"
    )
    first, second = read_blocks(source).diagnostics
    assert first.primary is not None
    assert second.primary is not None
    assert (first.primary.span.line, first.primary.span.column, first.primary.span.text) == (2, 8, "8:40")
    assert (second.primary.span.line, second.primary.span.column, second.primary.span.text) == (3, 21, "main")


def test_a_comment_behind_an_inch_sign_stays_a_comment() -> None:
    source = in_file("machine", 'row 0.1"   # the pitch')
    (fault,) = read_blocks(source).diagnostics
    assert last_line("machine", apply(source, fault.suggestions[0].edits)) == "row 0.1 in   # the pitch"
    assert faults_in("machine", "row 0.1 in   # the pitch") == ()


# ---------------------------------------------------------- labels and traps


@pytest.mark.parametrize(
    "label",
    [
        '"8:45 – 9:45"',
        '"Monday and Tuesday"',
        '"Mon-Fri, 10 mins ± 2"',
        '"the “new” hall"',
        '"hard\u00a0space"',
        '"26/10/2026"',
        '"Two minutes\' silence"',
    ],
)
def test_what_stands_in_quotes_is_never_touched(label: str) -> None:
    source = in_file("timetable", f"ring 8:40 lesson in main and junior {label}")
    found = read_blocks(source).diagnostics
    assert [fault.code.id for fault in found] == ["S215", "S229"]
    edits = [edit for fault in found for edit in fault.suggestions[0].edits]
    assert last_line("timetable", apply(source, edits)) == f"ring 08:40 lesson in main, junior {label}"


@pytest.mark.parametrize(
    "zone", ["indoor", "infirmary", "interval", "Frisbee", "Monty", "day1", "weekly", "untidy"]
)
def test_a_name_that_begins_like_a_word_is_a_name(zone: str) -> None:
    line = f"ring 08:40 lesson in {zone}"
    read = read_blocks(in_file("timetable", line))
    assert read.diagnostics == ()
    assert list(words_in(last_node(read, "timetable")))[-1].text == zone


@pytest.mark.parametrize("zone", ["inmain", "indoor", "infirmary", "interval", "Frisbee", "Monty"])
def test_a_name_is_never_split_into_a_word_and_a_name(zone: str) -> None:
    (fault,) = faults_in("timetable", f"ring 08:40 lesson {zone}")
    assert fault.primary is not None
    assert fault.primary.span.text == zone
    assert all(zone in offer.text for offer in fault.suggestions)
    if zone.startswith("in"):
        assert [offer.certainty for offer in fault.suggestions] == ["guess"]


@pytest.mark.parametrize(
    ("block", "line", "code"),
    [
        ("week", "Frisbee normal", "S203"),
        ("week", "Monty normal", "S203"),
        ("week", "Monnormal", "S203"),
        ("cycle", "day1 normal", "S203"),
        ("opener", "weekly", "S204"),
        ("opener", "signal lesson 6 swithin 1 s", "S201"),
        ("opener", "signal bell 6 seconds_long within 2 s", "S201"),
        ("timetable", "bell 08:40 lesson", "S203"),
    ],
)
def test_a_run_of_letters_is_refused_whole(block: str, line: str, code: str) -> None:
    (fault,) = faults_in(block, line)
    assert fault.code.id == code
    assert "sure" not in {offer.certainty for offer in fault.suggestions}


@pytest.mark.parametrize(
    ("block", "line"),
    [
        ("opener", "signal lesson 6s within 1.5s"),
        ("machine", "row 2.54mm"),
        ("timetable", 'period "1" 08:45-09:45'),
        ("opener", "supply bells 24V 5A"),
        ("timetable", "periods 2 to 4 of 50m from 09:50"),
        ("machine", "reads 1 row ahead"),
        ("exceptions", "2026-10-02 silent everywhere"),
        ("exceptions", "2026-10-02 closed"),
        ("week", "Sat, Sun off"),
        ("opener", "zone main on tracks 3 and 4"),
        ("week", "Fri Monday"),
    ],
)
def test_what_can_be_read_is_no_fault_of_form(block: str, line: str) -> None:
    assert faults_in(block, line) == ()


@pytest.mark.parametrize("day", ["31 Feb 2026", "2026/13/01", "2026-2-30"])
def test_a_date_that_does_not_exist_is_not_offered(day: str) -> None:
    (fault,) = faults_in("exceptions", f"{day} silent")
    assert fault.suggestions == ()


@pytest.mark.parametrize("time", ["8:75", "08.75", "0875", "4845", "13am"])
def test_a_time_that_does_not_exist_is_not_offered(time: str) -> None:
    offers = [offer for fault in faults_in("timetable", f"ring {time} lesson") for offer in fault.suggestions]
    assert offers == []


# -------------------------------------------------------- the rest of a file


def test_every_without_dates_offers_each_term_of_the_file() -> None:
    text = BEFORE + 'term "Spring" Tue 2027-01-05 to 2027-03-25\nexceptions\n  every Wed silent'
    (fault,) = read_blocks(Source("typed.chime", text)).diagnostics
    assert [offer.text for offer in fault.suggestions] == [
        "every Wed from 2026-09-07 to 2026-12-18",
        "every Wed from 2027-01-05 to 2027-03-25",
    ]


def test_every_without_dates_offers_nothing_where_no_term_is_known() -> None:
    (fault,) = read_blocks(Source("typed.chime", "exceptions\n  every Wed silent")).diagnostics
    assert (fault.code.id, fault.suggestions) == ("S237", ())


def test_public_holidays_offer_nothing_where_no_place_is_known() -> None:
    (fault,) = read_blocks(Source("typed.chime", "exceptions\n  public holidays silent")).diagnostics
    assert (fault.code.id, fault.suggestions) == ("S239", ())
    assert "GB-ENG" in fault.why


def test_the_holiday_code_of_a_place_is_one_of_its_country() -> None:
    # The country of each place is that of the IANA time zone data (zone.tab, as packaged in tzdata).
    rows = (files("tzdata") / "zoneinfo" / "zone.tab").read_text(encoding="utf-8").splitlines()
    country = {line.split("\t")[2]: line.split("\t")[0] for line in rows if not line.startswith("#")}
    assert {place: code[:2] for place, code in HOLIDAY_CODES.items()} == {
        place: country[place] for place in HOLIDAY_CODES
    }


def test_every_offered_holiday_code_is_known_to_the_holidays_library() -> None:
    known = holidays.list_supported_countries(include_aliases=False)
    for code in set(HOLIDAY_CODES.values()):
        country, _, part = code.partition("-")
        assert country in known
        assert not part or part in known[country]


# ------------------------------------------------------------- bounds and words

PATTERNS = {
    "single quotes": ("exceptions", "2026-10-02 silent ", "'a ", ""),
    "only single quotes": ("exceptions", "2026-10-02 silent ", "'", ""),
    "curly quotes": ("exceptions", "2026-10-02 silent ", "“", ""),
    "figures": ("timetable", "ring ", "1", " lesson"),
    "commas": ("timetable", "ring ", "1,", "1 lesson"),
    "inch signs": ("machine", "tracks at ", '1" ', ""),
    "months": ("exceptions", "", "26 Oct ", ""),
    "dates": ("exceptions", "", "26/10/2026, ", "2026-10-02 silent"),
    "dashes": ("exceptions", "2026-10-02", " – ", ""),
    "hyphens": ("week", "a", "-a", " normal"),
    "capitals": ("timetable", "ring 08:40 lesson in main", " Ab", ""),
    "small words": ("timetable", "ring 08:40 lesson in main", " ab", ""),
    "marks": ("week", "Mon", ":", " normal"),
    "hard spaces": ("week", "Mon", "\u00a0", "normal"),
}


@pytest.mark.parametrize("name", PATTERNS)
def test_a_line_of_the_greatest_length_takes_few_attempts(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    block, begin, middle, end = PATTERNS[name]
    line = begin + middle * ((LONGEST_LINE - 40 - len(begin + end)) // len(middle)) + end
    attempts = []
    hold_against_the_grammar = typed_search._Search._misfit

    def count(search: typed_search._Search, pieces: Pieces) -> Spot | None:
        attempts.append(pieces)
        return hold_against_the_grammar(search, pieces)

    monkeypatch.setattr(typed_search._Search, "_misfit", count)
    assert faults_in(block, line)
    assert 0 < len(attempts) <= typed_search.MOST_ATTEMPTS


def test_a_long_list_with_one_kind_of_mistake_is_read() -> None:
    times = ", ".join(["8.45"] * 1500)
    (fault,) = faults_in("timetable", f"ring {times} lesson")
    assert len(fault.suggestions[0].edits) == 1500
    assert len(fault.headline) < 100


MUTATIONS = (
    (":", "."), (":", ""), (" - ", " – "), (" - ", " to "), (", ", " and "), (", ", " "), (", ", ","),
    (" in ", " "), (" to ", " - "), (" ", "\u00a0"), (" min", " minutes"), (" mm", ""), (" within ", " ± "),
    ('"', "”"), ('"', "'"), ("2026-", "26/"), ("Mon", "Monday"), (" of ", " "), (" at ", " "), ("each", ""),
    ("silent", "no bells"), ("a", "A"),
)  # fmt: skip


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_file_with_one_slip_anywhere_is_read_with_every_place_inside_it(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for right, wrong in MUTATIONS:
        for at in [match.start() for match in re.finditer(re.escape(right), text)][:40]:
            source = Source(path.name, text[:at] + wrong + text[at + len(right) :])
            read = read_blocks(source)
            for fault in read.diagnostics:
                for span in [label.span for label in fault.labels] + [
                    edit.span for offer in fault.suggestions for edit in offer.edits
                ]:
                    assert 0 <= span.start <= span.end <= len(source.text)
            for block in read.blocks:
                for node in block.lines:
                    assert 0 <= node.span.start <= node.span.end <= len(source.text)


@pytest.mark.parametrize("code", typed_faults.CODES, ids=lambda code: code.id)
def test_the_example_of_a_code_gives_that_code_and_its_right_form_none(code: Code) -> None:
    file = Source("example.chime", code.wrong)
    assert [fault.code for fault in read_blocks(file).diagnostics] == [code]
    assert read_blocks(Source("example.chime", code.right)).diagnostics == ()


def test_codes_are_numbered_in_order_and_each_is_used_in_a_table() -> None:
    numbers = [code.id for code in typed_faults.CODES]
    assert numbers == [f"S{number}" for number in range(211, 211 + len(numbers))]
    assert {typed.code for typed in ROWS} == set(numbers)


def test_faults_speak_of_bells_and_never_of_compilers() -> None:
    for typed in ROWS:
        fault = fault_in(typed)
        said = f"{fault.headline} {fault.why} {fault.code.explanation}".casefold()
        assert not re.search(r"\b(token|parse|parser|syntax|grammar|terminal|regex)\b", said)
        assert not fault.headline.endswith(".")
