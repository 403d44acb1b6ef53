"""Labels, descriptions and identities of the calendar."""

import re
from datetime import date, datetime, timedelta

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chime import zone_time
from chime.clock import moment
from chime.diagnostics import Source, Span
from chime.writers.icalendar_file import CAUTION
from tests.calendars import TERM, at, calendar, read_with_libraries, ring, wanted, weekdays_at
from tests.icalendar_lines import Line, components, faults, read_by_lines, unescape

pytestmark = pytest.mark.usefixtures("zones_of_the_package")

# ------------------------------------------------------------------- texts and identities


@pytest.mark.parametrize(
    "label",
    [
        "Tea, cake; and more",
        "C:\\bells\\new",
        "\\n is no line break, nor is \\, a comma",
        'The "quiet" bell',
        "🔔 Bell 👩🏽‍🏫",
        "תפילת שחרית",
        "صلاة الظهر",
        "日本語のとても長いラベル" * 20,
        "Two minutes' silence " * 30,
    ],
)
def test_a_label_comes_back_as_it_was(label: str) -> None:
    rings = [ring(datetime(2026, 9, 7, 8, 45), "yard", label)]
    content = calendar(rings)
    assert faults(content, "Europe/London") == []
    assert read_with_libraries(content, "Europe/London") == wanted(rings, "Europe/London")
    assert read_by_lines(content) == wanted(rings, "Europe/London")


@given(st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), min_size=1, max_size=200))
def test_any_label_and_name_come_back_as_they_were(text: str) -> None:
    rings = [ring(datetime(2026, 9, 7, 8, 45), "main", text)]
    content = calendar(rings, name=text)
    assert faults(content, "Europe/London") == []
    (event,) = icalendar.Calendar.from_ical(content).walk("VEVENT")
    assert str(event["SUMMARY"]) == f"{text} (Main building)"
    whole = components(content)[0]
    assert unescape(whole.value("NAME")) == unescape(whole.value("X-WR-CALNAME")) == text


def test_a_letter_that_some_take_for_a_line_end_is_written_as_a_line_break() -> None:
    content = calendar([ring(datetime(2026, 9, 7, 8, 45), "main", "one\u2028two\x85three")])
    assert "SUMMARY:one\\ntwo\\nthree (Main building)" in content.decode().splitlines()


def description(content: bytes) -> str:
    (event,) = (part for part in components(content) if part.name == "VEVENT")
    return unescape(event.value("DESCRIPTION"))


def test_a_description_says_that_a_ring_is_seconds_long() -> None:
    day = datetime(2026, 9, 7, 8, 45)
    assert description(calendar([ring(day)])) == "The bell sounds for 6 s (lesson)"
    odd = calendar([ring(day, length_ms=2500)])
    assert b"DURATION:PT3S\r\n" in odd
    assert description(odd) == (
        "The bell sounds for 2.5 s (lesson); shown as 3 s, for a calendar has whole seconds only"
    )
    for shortest in (0, 200):
        assert b"DURATION:PT1S\r\n" in calendar([ring(day, length_ms=shortest)])


def test_a_description_gives_reasons_with_their_dates_unless_they_hold_for_all() -> None:
    days = [date(2026, 9, day) for day in (7, 14, 21)]
    usual, special = ("Winter hours",), ("Winter hours", "Long assembly")
    rings = [ring(moment(d, at(9, 0)), said=special if d.day == 14 else usual) for d in days]
    assert description(calendar(rings)).split("\n")[1:] == ["Mon 2026-09-14: Long assembly", "Winter hours"]


def test_a_reason_that_is_the_label_is_not_said_again() -> None:
    rings = [ring(datetime(2026, 11, 11, 11, 0), label="Remembrance", said=("Remembrance",))]
    assert "Remembrance" not in description(calendar(rings))


def identities(content: bytes) -> list[str]:
    return [part.value("UID") for part in components(content) if part.name == "VEVENT"]


def test_identities_outlive_a_new_issue_other_labels_and_moved_lines() -> None:
    elsewhere = Span(Source("t", "\n" * 9), 7, 7)
    first = weekdays_at(date(2026, 9, 7), date(2026, 12, 18), at(8, 45))
    second = weekdays_at(date(2026, 9, 7), date(2026, 12, 18), at(8, 45), label="Start", span=elsewhere)
    old, new = calendar(first), calendar(second, issue=4)
    assert identities(old) == identities(new)
    assert b"SEQUENCE:3\r\n" in old
    assert b"SEQUENCE:4\r\n" in new
    # The layout of RFC 9562, 5.8.
    assert re.fullmatch(
        r"[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", identities(old)[0]
    )


def test_identities_differ_between_programmes_zones_times_and_passes() -> None:
    fold = datetime(2026, 10, 25, 1, 30)
    rings = [ring(fold), ring(fold, fold=1), ring(fold, "yard"), ring(fold + timedelta(seconds=1))]
    both = identities(calendar(rings)) + identities(calendar(rings, name="Brickfield Works"))
    assert len(set(both)) == 8


def test_where_a_line_stands_changes_no_octet() -> None:
    here = [ring(datetime(2026, 9, 7, 8, 45), said=("Early start",))]
    there = [ring(datetime(2026, 9, 7, 8, 45), said=("Early start",), span=Span(Source("u", "\n\n"), 2, 2))]
    assert calendar(here) == calendar(there)


def test_the_calendar_says_what_it_is() -> None:
    content = calendar(TERM, published="https://bells.example/saltmarsh.ics")
    whole = components(content)[0]
    about = unescape(whole.value("DESCRIPTION"))
    assert about == unescape(whole.value("X-WR-CALDESC"))
    for part in ("Issue 3 of 2026-08-20", "f1a5", zone_time.release(), "none used", CAUTION):
        assert part in about
    assert "never an alarm signal" in about
    assert whole.value("NAME") == whole.value("X-WR-CALNAME") == "Saltmarsh School"
    assert whole.line("SOURCE") == Line("SOURCE", ";VALUE=URI", "https://bells.example/saltmarsh.ics")


def test_a_calendar_without_rings_is_still_one() -> None:
    content = calendar([])
    assert faults(content, "Europe/London") == []
    assert [part.name for part in components(content)][:2] == ["VCALENDAR", "VTIMEZONE"]
    assert not icalendar.Calendar.from_ical(content).walk("VEVENT")
