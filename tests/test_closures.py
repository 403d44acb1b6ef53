"""Closures of a calendar file: which days single entries close."""

from datetime import date, timedelta

import pytest

from chime.programme.closures import Closures, read_closures
from tests.closure_files import YEAR, calendar, days_of, read

# ------------------------------------------------------------------ single entries


def test_an_entry_with_a_date_alone_is_one_day() -> None:
    """RFC 5545, 3.6.1."""
    found = read("DTSTART;VALUE=DATE:20261127\nSUMMARY:Inset day")
    assert found == Closures(((date(2026, 11, 27), "Inset day"),), ())


def test_the_end_of_an_all_day_entry_is_left_out() -> None:
    """RFC 5545, 3.6.1: DTEND is the non-inclusive end; its own example closes 28 June to 8 July."""
    found = read_closures(
        calendar("DTSTART;VALUE=DATE:20070628\nDTEND;VALUE=DATE:20070709"),
        date(2007, 1, 1),
        date(2007, 12, 31),
    )
    assert [day for day, _ in found.days] == [date(2007, 6, 28) + timedelta(days=n) for n in range(11)]


@pytest.mark.parametrize(
    ("duration", "length"), [("P1D", 1), ("P5D", 5), ("P1W", 7), ("+P2D", 2), ("PT48H", 2)]
)
def test_a_duration_of_whole_days_is_as_good_as_an_end(duration: str, length: int) -> None:
    assert len(days_of(f"DTSTART;VALUE=DATE:20261026\nDURATION:{duration}")) == length


def test_a_date_without_its_value_parameter_is_still_a_date() -> None:
    """Common practice, no published source."""
    assert days_of("DTSTART:20261127") == ["2026-11-27"]


def test_days_are_bounded_sorted_and_each_said_once() -> None:
    found = read(
        "DTSTART;VALUE=DATE:20270830\nDTEND;VALUE=DATE:20270904\nSUMMARY:Summer",
        "DTSTART;VALUE=DATE:20260830\nDTEND;VALUE=DATE:20260902\nSUMMARY:Summer",
        "DTSTART;VALUE=DATE:20260901\nSUMMARY:Summer",
        "DTSTART;VALUE=DATE:20260901\nSUMMARY:Painting",
        "DTSTART;VALUE=DATE:20200101\nDTEND;VALUE=DATE:20200105\nSUMMARY:Long ago",
    )
    assert found.problems == ()
    assert [(day.isoformat(), summary) for day, summary in found.days] == [
        ("2026-09-01", "Painting"),
        ("2026-09-01", "Summer"),
        ("2027-08-30", "Summer"),
        ("2027-08-31", "Summer"),
    ]


def test_the_order_of_the_entries_makes_no_difference() -> None:
    entries = [f"DTSTART;VALUE=DATE:202610{day}\nSUMMARY:Day {day}" for day in (26, 27, 12, 30)]
    assert read(*entries) == read(*reversed(entries))


def test_a_summary_is_unescaped_unfolded_and_put_on_one_line() -> None:
    """RFC 5545, 3.1 (folding, also inside a letter) and 3.3.11 (escapes)."""
    letter = "é".encode()
    folded = b"SUMMARY:Caf" + letter[:1] + b"\r\n " + letter[1:] + b"\\, closed\\; all\\nday\\\\ \x1b[31m"
    content = calendar("DTSTART;VALUE=DATE:20261026\nSUMMARY:@").replace(b"SUMMARY:@", folded)
    assert read_closures(content, *YEAR).days == ((date(2026, 10, 26), "Café, closed; all day\\ [31m"),)


def test_lines_may_end_in_a_line_feed_alone_and_begin_with_a_byte_order_mark() -> None:
    content = b"\xef\xbb\xbf" + calendar("DTSTART;VALUE=DATE:20261026").replace(b"\r\n", b"\n")
    assert [day for day, _ in read_closures(content, *YEAR).days] == [date(2026, 10, 26)]


def test_an_alarm_inside_an_entry_is_not_the_entry() -> None:
    entry = """
        SUMMARY:Half term
        DTSTART;VALUE=DATE:20261026
        BEGIN:VALARM
        ACTION:DISPLAY
        TRIGGER:-PT15M
        DURATION:P9D
        SUMMARY:Reminder
        END:VALARM
        DTEND;VALUE=DATE:20261028
    """
    found = read(entry)
    assert found == Closures(((date(2026, 10, 26), "Half term"), (date(2026, 10, 27), "Half term")), ())


def test_other_parts_of_a_calendar_are_passed_by() -> None:
    """A time zone that changes every hour for ever must not be expanded, nor a to-do be a closure."""
    others = (
        b"BEGIN:VTIMEZONE\r\nTZID:Invented\r\nBEGIN:STANDARD\r\nDTSTART:16010101T000000\r\n"
        b"RRULE:FREQ=SECONDLY\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
        b"BEGIN:VTODO\r\nDTSTART;VALUE=DATE:20261101\r\nEND:VTODO\r\nBEGIN:VEVENT\r\n"
    )
    content = calendar("DTSTART;VALUE=DATE:20261026").replace(b"BEGIN:VEVENT\r\n", others)
    found = read_closures(content, *YEAR)
    assert ([day for day, _ in found.days], found.problems) == ([date(2026, 10, 26)], ())


def test_several_calendars_in_one_file_are_all_read() -> None:
    """RFC 5545, 3.4: a stream may hold several; the same UID in two of them is two entries."""
    content = calendar("UID:a\nDTSTART;VALUE=DATE:20261026") + calendar("UID:a\nDTSTART;VALUE=DATE:20261102")
    found = read_closures(content, *YEAR)
    assert [day for day, _ in found.days] == [date(2026, 10, 26), date(2026, 11, 2)]
    assert found.problems == ()


def test_a_calendar_with_no_entries_closes_nothing() -> None:
    assert read_closures(calendar(), *YEAR) == Closures((), ())


def test_a_cancelled_entry_is_left_out_even_if_it_could_not_be_used() -> None:
    assert days_of("DTSTART;VALUE=DATE:20261026\nSTATUS:CANCELLED", "DTSTART;VALUE=DATE:20261027") == [
        "2026-10-27"
    ]
    assert days_of("DTSTART:20261026T180000\nSTATUS:cancelled") == []
    assert days_of("DTSTART;VALUE=DATE:20261026\nSTATUS:CONFIRMED") == ["2026-10-26"]
