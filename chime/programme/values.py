"""Values of a line: dates, times, numbers and quantities, each checked where it stands."""

from datetime import date

from chime.clock import DAY, WEEKDAYS, read_time, write_time
from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Node, Word
from chime.programme import value_faults as faults
from chime.programme.equipment import BaseUnit, Count, Value
from chime.programme.model import Window

Faults = list[Diagnostic]

UNITS: dict[str, tuple[BaseUnit, int]] = {
    "s": ("us", 1_000_000),
    "ms": ("us", 1_000),
    "min": ("us", 60_000_000),
    "h": ("us", 3_600_000_000),
    "d": ("us", 86_400_000_000),
    "mm": ("nm", 1_000_000),
    "m": ("nm", 1_000_000_000),
    "in": ("nm", 25_400_000),
    "V": ("uV", 1_000_000),
    "A": ("uA", 1_000_000),
    "mA": ("uA", 1_000),
    "ohm": ("uohm", 1_000_000),
    "mm2": ("nm2", 1_000_000_000_000),
    "degrees": ("udeg", 1_000_000),
    "%": ("ppm", 10_000),
}
"""Each unit of the language with its base unit and how many of those it holds; an inch is 25.4 mm."""

KINDS: dict[BaseUnit, str] = {
    "us": "a duration (s, min, h, d or ms)",
    "nm": "a length (mm, in or m)",
    "uV": "a voltage (V)",
    "uA": "a current (A or mA)",
    "uohm": "a resistance (ohm)",
    "nm2": "a cross section (mm2)",
    "udeg": "an angle (degrees)",
    "ppm": "a share (%)",
}

FIRST_YEAR, LAST_YEAR = 1970, 2999
"""The years for which the zone data hold, and beyond which nobody plans."""

LONGEST_BELL_MS = 3_600_000
"""The longest a bell may be said to sound, one hour: common practice, no published source."""

LONGEST_OVERNIGHT = 16 * 3600
"""Seconds by which an end written before its start may lie on the next morning."""


def time_of(word: Word, faults_: Faults) -> int | None:
    """Return a time of day in seconds, or None with a fault."""
    seconds = read_time(word.text)
    if seconds is None:
        faults_.append(faults.no_such_time(word.span))
    return seconds


def times_of(node: Node, faults_: Faults) -> tuple[tuple[int, Span], ...]:
    """Return the times of a `times` node that exist, in order of time, each once."""
    found: dict[int, Span] = {}
    for word in node.words("TIME"):
        seconds = time_of(word, faults_)
        if seconds is None:
            continue
        if seconds in found:
            faults_.append(faults.time_twice(word.span, found[seconds]))
        found.setdefault(seconds, word.span)
    return tuple(sorted(found.items(), key=lambda item: item[0]))


def date_of(node: Node, faults_: Faults) -> date | None:
    """Return the date of a `date` node; a weekday beside it must be the right one."""
    word = node.word("DATE")
    try:
        day = date.fromisoformat(word.text)
    except ValueError:
        faults_.append(faults.no_such_date(word.span))
        return None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        faults_.append(faults.date_out_of_reach(word.span))
        return None
    said = node.node("weekday")
    if said is not None and weekday_of(said) != day.weekday():
        faults_.append(faults.wrong_weekday(said.span, day))
        return None
    return day


def weekday_of(node: Node) -> int:
    """Return the number of a `weekday` node, Monday 0."""
    return WEEKDAYS.index(node.words()[0].text)


def weekdays_of(node: Node, faults_: Faults) -> tuple[tuple[int, Span], ...]:
    """Return the weekdays of a `weekdays` node as written; a span may run over the week's end."""
    found: list[tuple[int, Span]] = []
    for span in node.nodes("weekday_span"):
        ends = [weekday_of(n) for n in span.nodes("weekday")]
        if len(ends) == 2 and ends[0] == ends[1]:
            faults_.append(faults.same_weekday(span.span))
        length = (ends[-1] - ends[0]) % 7 + 1
        found += [((ends[0] + n) % 7, span.span) for n in range(length)]
    return tuple(found)


def whole_of(word: Word, faults_: Faults, least: int = 1, most: int = 100_000) -> int | None:
    """Return a whole number in a range, or None with a fault."""
    if not word.text.isdigit():
        faults_.append(faults.not_whole(word.span))
        return None
    number = int(word.text) if len(word.text) < 12 else most + 1
    if not least <= number <= most:
        faults_.append(faults.out_of_range(word.span, f"{least:,}", f"{most:,}"))
        return None
    return number


def count_of(word: Word, node: Node, faults_: Faults, least: int = 1) -> Count | None:
    """Return a whole number of things with its span; `node` holds the word `assumed` if it is said."""
    number = whole_of(word, faults_, least)
    return None if number is None else Count(number, node.node("assumed") is not None, word.span)


def value_of(node: Node, base: BaseUnit, faults_: Faults, *, zero: bool = False) -> Value | None:
    """Return a `quantity` (or signed) node as whole base units; None with a fault if it is none."""
    amount = _amount(node.word("NUMBER"), _unit(node), node.span, base, faults_)
    if amount is None:
        return None
    sign = node.node("sign")
    if amount == 0 and not zero:
        faults_.append(faults.zero(node.span))
        return None
    negative = sign is not None and sign.words()[0].kind == "MINUS"
    return Value(-amount if negative else amount, base, node.node("assumed") is not None, node.span)


def values_of(node: Node, base: BaseUnit, faults_: Faults) -> tuple[Value, ...]:
    """Return the numbers of a `quantities` node, whose unit stands once at its end."""
    assumed = node.node("assumed") is not None
    found = []
    for word in node.words("NUMBER"):
        amount = _amount(word, _unit(node), word.span, base, faults_)
        if amount is None:
            return ()
        found.append(Value(amount, base, assumed, word.span))
    return tuple(found)


def seconds_of(node: Node, faults_: Faults, *, zero: bool = False) -> int | None:
    """Return a duration in whole seconds, with its sign; None with a fault."""
    value = value_of(node, "us", faults_, zero=zero)
    if value is None:
        return None
    seconds, rest = divmod(value.amount, 1_000_000)
    if rest:
        faults_.append(faults.not_whole_seconds(node.span))
        return None
    return seconds


def milliseconds_of(node: Node, faults_: Faults, *, zero: bool = False) -> int | None:
    """Return a duration in whole milliseconds; None with a fault."""
    value = value_of(node, "us", faults_, zero=zero)
    if value is None:
        return None
    milliseconds, rest = divmod(value.amount, 1_000)
    if rest:
        faults_.append(faults.too_fine(node.span, "a millisecond"))
        return None
    return milliseconds


def bell_length_of(node: Node, faults_: Faults) -> int | None:
    """Return how long a bell sounds, in whole milliseconds; None with a fault, also if that is too long."""
    milliseconds = milliseconds_of(node, faults_)
    if milliseconds is not None and milliseconds > LONGEST_BELL_MS:
        faults_.append(faults.bell_too_long(node.span))
        return None
    return milliseconds


def _unit(node: Node) -> str:
    unit = node.node("unit")
    assert unit is not None
    return unit.words()[0].text


def _amount(number: Word, unit: str, span: Span, base: BaseUnit, faults_: Faults) -> int | None:
    found, factor = UNITS[unit]
    if found != base:
        faults_.append(faults.wrong_unit(span, unit, KINDS[base]))
        return None
    if len(number.text) > 15:
        faults_.append(faults.too_many_digits(span))
        return None
    whole, _, fraction = number.text.partition(".")
    amount, rest = divmod(int(whole + fraction) * factor, int("1" + "0" * len(fraction)))
    if rest:
        faults_.append(faults.too_fine(span, "anybody could measure"))
        return None
    return amount


def range_of(start: Word, end: Word, faults_: Faults) -> tuple[int, int] | None:
    """Return a range of times; one that ends before it begins lasts into next morning, 16 hours at most."""
    first, last = time_of(start, faults_), time_of(end, faults_)
    if first is None or last is None:
        return None
    span = Span(start.span.source, start.span.start, end.span.end)
    if first == last:
        faults_.append(faults.equal_times(span, first))
        return None
    if last < first:
        last += DAY
        if last >= 2 * DAY or not first < last <= first + LONGEST_OVERNIGHT:
            later = write_time(last) if first < last < 2 * DAY else None
            faults_.append(faults.end_before_start(end.span, first, later))
            return None
    return first, last


def window_of(node: Node | None, faults_: Faults) -> Window | None:
    """Return the window of a `where` node's part; None where there is none, or with a fault."""
    if node is None:
        return None
    words = node.words("TIME")
    if len(words) == 2:
        found = range_of(words[0], words[1], faults_)
        return None if found is None else Window(found[0], found[1], node.span)
    at = time_of(words[0], faults_)
    if at is None:
        return None
    if node.rule == "before":
        return Window(None, at, node.span)
    return Window(at + 1 if node.rule == "after" else at, None, node.span)
