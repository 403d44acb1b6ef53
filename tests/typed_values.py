"""Labels, times, quantities and lists as people type them; `[` and `]` stand round what is marked as wrong."""

from tests.typed_lines import guess, row, sure

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
    row(
        "machine", "hole round 1.83 mm within [-0.05] mm", "S250", guess("hole round 1.83 mm within 0.05 mm")
    ),
    row("machine", "side play [-0.2] mm", "S250", guess("side play 0.2 mm")),
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
