"""What is typed instead of the language's forms: codes S211 to S248."""

from chime.diagnostics import Code


def _code(number: int, slug: str, explanation: str, wrong: str, right: str) -> Code:
    return Code(f"S{number}", slug, "error", explanation, wrong, right)


PASTED_DASH = _code(
    211,
    "pasted-dash",
    "Between two times and before a number stands the plain sign - of the keyboard. Word processors turn it into "
    "a longer dash or a minus sign.",
    'timetable normal in main\n  each period start lesson\n  period "1" 08:50 \u2013 09:40',
    'timetable normal in main\n  each period start lesson\n  period "1" 08:50 - 09:40',
)
PASTED_QUOTES = _code(
    212,
    "pasted-quotes",
    'Labels and reasons stand in straight double quotes, "...". Word processors bend them; single quotes may be '
    "apostrophes.",
    "exceptions\n  2026-10-19 silent \u201cApple harvest\u201d",
    'exceptions\n  2026-10-19 silent "Apple harvest"',
)
HARD_SPACE = _code(
    213,
    "hard-space",
    "Some spaces only look like ordinary ones: hard and narrow spaces from word processors and web pages, and "
    "spaces of no width. Inside a label they may stand; between words they may not.",
    "signal lesson 6\u00a0s within 2 s",
    "signal lesson 6 s within 2 s",
)
PLUS_MINUS = _code(
    214,
    "plus-minus-sign",
    "What is tolerated either side of a value is written with the word within.",
    "signal lesson 6 s \u00b1 2 s",
    "signal lesson 6 s within 2 s",
)
TIME_FORM = _code(
    215,
    "time-form",
    "A time is two digits for the hour, a colon, and two digits for the minutes, on the 24-hour clock.",
    "timetable normal in main\n  ring 8:45 lesson",
    "timetable normal in main\n  ring 08:45 lesson",
)
CLOCK_WORDS = _code(
    216,
    "clock-words",
    "Times are those of the 24-hour clock, so that no ring can land in the wrong half of the day.",
    "timetable normal in main\n  ring 3pm lesson",
    "timetable normal in main\n  ring 15:00 lesson",
)
DATE_FORM = _code(
    217,
    "date-form",
    "A date is written year, month, day: 2026-10-26. Where only figures are given in another order, nobody can "
    "tell the day from the month, so no date is offered.",
    "exceptions\n  26 Oct 2026 silent",
    "exceptions\n  2026-10-26 silent",
)
WEEKDAY_FORM = _code(
    218,
    "weekday-form",
    "Weekdays are written Mon Tue Wed Thu Fri Sat Sun.",
    "week ordinary\n  Monday to Fri normal\n  Sat, Sun silent",
    "week ordinary\n  Mon to Fri normal\n  Sat, Sun silent",
)
WEEKDAY_WORDS = _code(
    219,
    "weekday-words",
    "Weekdays are named one by one or as a range, because schools differ in what they call a weekday.",
    "week ordinary\n  weekdays normal\n  Sat, Sun silent",
    "week ordinary\n  Mon to Fri normal\n  Sat, Sun silent",
)
RANGE_FORM = _code(
    220,
    "range-form",
    "Dates, weekdays and periods go from one to another with the word to; times with the sign -; after the word "
    "from, times end with the word until.",
    'timetable normal in main\n  each period start lesson\n  period "1" 08:50 to 09:40',
    'timetable normal in main\n  each period start lesson\n  period "1" 08:50 - 09:40',
)
WINDOW_WORDS = _code(
    221,
    "window-words",
    "What happens up to a time of the day is written with the word before, and the time itself is not among it.",
    "exceptions\n  2026-10-05 drop until 09:00",
    "exceptions\n  2026-10-05 drop before 09:00",
)
UNIT_FORM = _code(
    222,
    "unit-form",
    "Units are s, min, h, d, ms, mm, in, V, A, mA, ohm, mm2, m, degrees and %.",
    "signal lesson 6 seconds within 2 s",
    "signal lesson 6 s within 2 s",
)
MISSING_UNIT = _code(
    223,
    "missing-unit",
    "Every quantity has its unit. A list of numbers has it once, at its end.",
    "signal lesson 6 within 2 s",
    "signal lesson 6 s within 2 s",
)
MISSING_SIGN = _code(
    224,
    "missing-sign",
    "A shift says which way: + for later, - for earlier.",
    "exceptions\n  2026-10-05 shift 10 min",
    "exceptions\n  2026-10-05 shift +10 min",
)
DECIMAL_COMMA = _code(
    225,
    "decimal-comma",
    "Decimals have a point. A comma parts the numbers of a list and has a space after it.",
    "machine hall\n  row 2,54 mm",
    "machine hall\n  row 2.54 mm",
)
NUMBER_FORM = _code(
    226,
    "number-form",
    "A number has a digit before its decimal point and is no fraction.",
    "machine hall\n  wear .05 mm",
    "machine hall\n  wear 0.05 mm",
)
BARE_LABEL = _code(
    227,
    "label-without-quotes",
    "Labels and reasons stand in double quotes, also where they are only a number.",
    "timetable normal in main\n  each period start lesson\n  period 1 08:50 - 09:40",
    'timetable normal in main\n  each period start lesson\n  period "1" 08:50 - 09:40',
)
QUOTES_NOT_WANTED = _code(
    228,
    "quotes-not-wanted",
    "Numbers, and the names of zones, signals and timetables, stand without quotes.",
    'timetable normal in main\n  each period start lesson\n  periods "5" to 7 of 45 min from 12:55',
    "timetable normal in main\n  each period start lesson\n  periods 5 to 7 of 45 min from 12:55",
)
LIST_FORM = _code(
    229,
    "list-form",
    "The members of a list are parted by commas, also before the last one. Only for tracks does the word and "
    "mean something: both at once.",
    "timetable normal in main\n  ring 08:40 and 08:45 lesson",
    "timetable normal in main\n  ring 08:40, 08:45 lesson",
)
MISSING_WORD = _code(
    230,
    "missing-word",
    "A line is a whole phrase: zones stand after the word in, a web is at least so wide, each bell draws so much.",
    "timetable normal in main\n  ring 08:40 lesson main",
    "timetable normal in main\n  ring 08:40 lesson in main",
)
WORD_TOO_MANY = _code(
    231,
    "word-too-many",
    "The marked word is left out in the language.",
    "timetable normal in main\n  ring at 08:40 lesson",
    "timetable normal in main\n  ring 08:40 lesson",
)
WORD_ORDER = _code(
    232,
    "word-order",
    "The parts of a line have their order: a ring says its times first, then its signal, its zones and its label.",
    "timetable normal in main\n  ring lesson 08:40",
    "timetable normal in main\n  ring 08:40 lesson",
)
OTHER_ACTION = _code(
    233,
    "action-of-another-block",
    "A timetable has ring and drop; an exception has add and silent for what it does to one day.",
    "exceptions\n  2026-11-24 ring 10:30 lesson in main",
    "exceptions\n  2026-11-24 add 10:30 lesson in main",
)
PERIOD_BY_NAME = _code(
    234,
    "period-by-another-name",
    "Teaching time is a period and everything else with a beginning and an end is a pause; what it is called is "
    "its label.",
    "timetable normal in main\n  each period start lesson\n  lunch 12:10 - 12:50",
    'timetable normal in main\n  each period start lesson\n  pause "Lunch" 12:10 - 12:50',
)
SILENCE_BY_NAME = _code(
    235,
    "silence-by-another-name",
    "A day on which nothing rings is silent.",
    "week ordinary\n  Mon to Fri normal\n  Sat, Sun no bells",
    "week ordinary\n  Mon to Fri normal\n  Sat, Sun silent",
)
SEVERAL_DATES = _code(
    236,
    "several-dates",
    "An exception is for one date or one range; several dates are several lines.",
    'exceptions\n  2026-10-06, 2026-11-17 silent "Sheep market"',
    'exceptions\n  2026-10-06 silent "Sheep market"\n  2026-11-17 silent "Sheep market"',
)
EVERY_WITHOUT_DATES = _code(
    237,
    "every-without-dates",
    "A line for one weekday says from which date and to which: often the first and the last of a term.",
    "exceptions\n  every Tue silent",
    "exceptions\n  every Tue from 2026-11-10 to 2026-12-08 silent",
)
EVERY_OTHER = _code(
    238,
    "every-other-weekday",
    "Nothing counts every second week from an exception. Two week blocks and the line `weeks a, b` do, or a line "
    "for each date.",
    "exceptions\n  every other Tue from 2026-11-10 to 2026-12-08 silent",
    "exceptions\n  2026-11-10 silent\n  2026-11-24 silent",
)
HOLIDAYS_OF_WHERE = _code(
    239,
    "holidays-of-where",
    "Public holidays differ from land to land. Their code is that of a country, with that of a part of it where "
    "the holidays differ: GB-ENG, IE, AU-NSW.",
    'term "Year" 2026-09-03 to 2027-07-14\n  week ordinary\nexceptions\n  public holidays silent',
    'term "Year" 2026-09-03 to 2027-07-14\n  week ordinary\nexceptions\n  public holidays of GB-ENG silent',
)
OPENER_BY_NAME = _code(
    240,
    "block-by-another-name",
    "The words that open a block are written as in the reference: programme, use, zone, exceptions.",
    "Exceptions\n  2026-10-05 silent",
    "exceptions\n  2026-10-05 silent",
)
CAPITALS = _code(
    241,
    "capitals",
    "The words of the language are written in small letters; only names, labels and weekdays have capitals.",
    "timetable normal in main\n  Ring 08:40 lesson",
    "timetable normal in main\n  ring 08:40 lesson",
)
STRAY_MARK = _code(
    242,
    "stray-mark",
    "Lines have commas in lists and no other punctuation.",
    "timetable normal in main:\n  ring 08:40 lesson",
    "timetable normal in main\n  ring 08:40 lesson",
)
PART_BY_NAME = _code(
    243,
    "part-by-another-name",
    "A machine without a gate says no gate; a tape that is pulled without sprockets says friction.",
    "machine hall\n  gate none",
    "machine hall\n  no gate",
)
ADD_WITHOUT_ZONES = _code(
    244,
    "add-without-zones",
    "A ring that is added says where it is heard, or everywhere.",
    "exceptions\n  2026-11-24 add 10:30 lesson",
    "exceptions\n  2026-11-24 add 10:30 lesson everywhere",
)
ONE_OR_SEVERAL = _code(
    245,
    "one-or-several",
    "One track is a track, several are tracks, and so with a period and periods: a number left out is noticed.",
    "zone main on track 1, 2",
    "zone main on tracks 1, 2",
)
MISSING_TOLERANCE = _code(
    246,
    "missing-tolerance",
    "A signal says the length that is wanted and, after the word within, what is tolerated either side of it.",
    "signal lesson 6 s",
    "signal lesson 6 s within 2 s",
)

MISSPELT_WORD = _code(
    247,
    "misspelt-word",
    "The marked word is no word of the language, and one that differs from it by a slip of the fingers makes the line "
    "right.",
    "timetable normal in main\n  ring 08:40 lesson ni main",
    "timetable normal in main\n  ring 08:40 lesson in main",
)
LEFT_OUT = _code(
    248,
    "left-out",
    "A name or a number that the line needs was left out, and nobody but you can know which. A block that others speak "
    "of has a name, a line names what it speaks of, and beside each comma of a list stands a member of it.",
    "timetable normal in main\n  ring 08:40 in main",
    "timetable normal in main\n  ring 08:40 lesson in main",
)
BELOW_NOTHING = _code(
    250,
    "below-nothing",
    "A length, a time or a tolerance is a plain number; a tolerance goes to both sides by itself. Only a shift of times and "
    "the measured allowance of a brush have a sign.",
    "machine tower\n  hole round 1.83 mm within -0.05 mm",
    "machine tower\n  hole round 1.83 mm within 0.05 mm",
)

CODES = tuple(value for value in list(globals().values()) if isinstance(value, Code))
