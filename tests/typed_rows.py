"""Words, days and exceptions as people type them, and all such rows; `[` and `]` stand round what is wrong."""

from tests.typed_lines import guess, row, sure
from tests.typed_values import LABELS, LISTS, QUANTITIES, TIMES

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


SLIPS = (
    row("timetable", "ring 08:20 lesson [ni] court", "S247", guess("ring 08:20 lesson in court")),
    row("timetable", "ring 08:20 lesson [iin] court", "S247", guess("ring 08:20 lesson in court")),
    row("opener", "timetable short [lik] normal", "S247", guess("timetable short like normal")),
    row("machine", "switches [ecah] zone", "S247", guess("switches each zone")),
    row("timetable", "each period [starts] lesson", "S247", guess("each period start lesson")),
    row("timetable", "each [periods] start lesson", "S247", guess("each period start lesson")),
    row(
        "term",
        "weeks a, b [form] 2027-01-05 counting every week",
        "S247",
        guess("weeks a, b from 2027-01-05 counting every week"),
    ),
    row("exceptions", "2026-10-07 as [usaul]", "S247", guess("2026-10-07 as usual")),
    row(
        "exceptions", "public holidays [fo] GB-WLS silent", "S247", guess("public holidays of GB-WLS silent")
    ),
    row("timetable", "ring [ring] 08:20 lesson", "S231", sure("ring 08:20 lesson")),
    row("timetable", "ring 08:20 [08:20], 09:10 lesson", "S231", sure("ring 08:20, 09:10 lesson")),
    row("timetable", 'period "5" 13:10 - [-] 13:55', "S231", sure('period "5" 13:10 - 13:55')),
    row("opener", "group [group] inside court, hall", "S231", sure("group inside court, hall")),
    row("opener", "signal long 9 s within 3 [3] s", "S231", guess("signal long 9 s within 3 s")),
    row("timetable", "ring 08:20 lesson [court in]", "S232", guess("ring 08:20 lesson in court")),
    row(
        "timetable",
        "periods 3 to [of 5] 45 min from 10:25",
        "S232",
        guess("periods 3 to 5 of 45 min from 10:25"),
    ),
    row(
        "timetable",
        'ring 08:20 lesson in ["Ferry" court]',
        "S232",
        guess('ring 08:20 lesson in court "Ferry"'),
    ),
    row("opener", "[zone] on track 2", "S248"),
    row("opener", "[timetable] in court", "S248"),
    row("opener", "[week]", "S248"),
    row("timetable", "ring [08:20] in court", "S248"),
    row("timetable", 'ring 08:20 lesson [in] "Ferry"', "S248"),
    row("timetable", "ring 08:20 lesson [in], court", "S248"),
    row("exceptions", '[2026-10-07] "Ferry late"', "S248"),
    row("machine", "tracks at 3, [,] 9 mm", "S248"),
    row("machine", "tracks at 3, 6[,] mm", "S248"),
    row("opener", "zone court on tracks 3[,]", "S248"),
    row(
        "opener",
        "zone court on tracks [3 5]",
        "S229",
        guess("zone court on tracks 3, 5"),
        guess("zone court on tracks 3 and 5"),
    ),
    row(
        "opener",
        "zone court on tracks [3 5 and]",
        "S229",
        guess("zone court on tracks 3, 5"),
        guess("zone court on tracks 3 and 5"),
    ),
    row("opener", "timetable short in court [and]", "S229", guess("timetable short in court")),
    row("machine", "tracks at 3,[,] 9 mm", "S248"),
    row("machine", "row [mm]", "S248"),
    row("timetable", "periods 3 to [of] 45 min from 10:25", "S248"),
    row("cycle", "day [normal]", "S248"),
    row(
        "exceptions",
        "[Wed from] 2026-10-07 to 2026-11-04 silent",
        "S230",
        guess("every Wed from 2026-10-07 to 2026-11-04 silent"),
    ),
    row("exceptions", '2026-10-07 ["Tea" drop] "Fog"', "S232", guess('2026-10-07 drop "Tea" "Fog"')),
    row("machine", "attended Mon [Tue] 08:15 - 17:15", "S229", sure("attended Mon, Tue 08:15 - 17:15")),
    row("week", "[Mon Thu] normal", "S229", guess("Mon, Thu normal"), guess("Mon to Thu normal")),
    row("week", "[,] Sat, Sun silent", "S242", guess("Sat, Sun silent")),
    row("week", "[,] Sat Sun silent", "S242", sure("Sat, Sun silent")),
    row("timetable", "ring 08:20 09:10[,] lesson", "S242", sure("ring 08:20, 09:10 lesson")),
    row("timetable", "ring 08:20,[,] 09:10 lesson", "S242", sure("ring 08:20, 09:10 lesson")),
    row("timetable", "ring[,] 08:20 lesson", "S242", guess("ring 08:20 lesson")),
    row(
        "timetable",
        'pause "Tea" 14:10 - 14:25 in court [each]',
        "S229",
        guess('pause "Tea" 14:10 - 14:25 in court, each'),
    ),
    row(
        "machine",
        "finger drops in, round 0.70 mm [0.04] mm",
        "S230",
        guess("finger drops in, round 0.70 mm within 0.04 mm"),
    ),
    row(
        "machine",
        "finger brushes, 0.60 mm [0.45] mm",
        "S230",
        guess("finger brushes, 0.60 mm by 0.45 mm"),
        guess("finger brushes, 0.60 mm within 0.45 mm"),
    ),
    row("machine", "gate at 9 s for 7 s, [0.4] s", "S230", guess("gate at 9 s for 7 s, within 0.4 s")),
    row("timetable", 'drop [in "Tea"] court', "S232", guess('drop "Tea" in court')),
    row("exceptions", "[2026-10-05 2026-10-09] silent", "S230", guess("2026-10-05 to 2026-10-09 silent")),
)


ROWS = LABELS + TIMES + QUANTITIES + LISTS + WORDS + DAYS + DATES + EXCEPTIONS + SPACES + SLIPS
