"""Closures of a calendar file: what is refused, and in which words."""

import re
from datetime import date

import pytest

from chime.diagnostics import Source, Span
from chime.programme.closures import Kind, Problem, read_closures
from chime.programme.outside_faults import closure_problems
from tests.closure_files import YEAR, calendar, days_of, read, refused

# ------------------------------------------------------------------------ refused


REFUSED: list[tuple[Kind, str]] = [
    ("timed", "DTSTART:20261006T180000"),
    ("timed", "DTSTART;TZID=Europe/London:20261006T180000\nRRULE:FREQ=DAILY"),
    ("timed", "DTSTART:20261006T000000Z\nDTEND:20261007T000000Z"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDTEND:20261007T120000"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDURATION:PT90M"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDURATION:P1DT1S"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDURATION:-P2D"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY\nEXDATE:20261007T000000"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nRDATE:20261007T000000Z"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nRECURRENCE-ID:20261006T000000"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=HOURLY"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MINUTELY;COUNT=3"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=SECONDLY"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=X-FORTNIGHTLY"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:INTERVAL=2"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYHOUR=9"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYMINUTE=0"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYSECOND=0"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYEASTER=0"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;RSCALE=HEBREW"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYMONTHDAY=6"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYYEARDAY=279"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYWEEKNO=41"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=1TU"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYSETPOS=1"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYMONTHDAY=6"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYWEEKNO=41"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYDAY=TU,1FR"),
    ("weekly positions", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=MO,TU;BYSETPOS=1"),
    ("count and until", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=3;UNTIL=20261010"),
    ("several rules", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=3\nRRULE:FREQ=WEEKLY;COUNT=3"),
    ("several rules", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=3\nEXRULE:FREQ=WEEKLY;COUNT=3"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;UNTIL=20261010T000000Z"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;UNTIL=20260931"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;UNTIL=20261005"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;INTERVAL=0"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=-1"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYMONTH=13"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYMONTH=-1"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYMONTHDAY=0"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=TUE"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;WKST=1"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;FREQ=DAILY"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;COUNT"),
    ("out of step", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=MO"),
    ("out of step", "DTSTART;VALUE=DATE:20261006\nEXDATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=MO;COUNT=3"),
    ("too many steps", "DTSTART;VALUE=DATE:18000101\nRRULE:FREQ=DAILY;COUNT=100000"),
    ("this and later", "DTSTART;VALUE=DATE:20261006\nRECURRENCE-ID;RANGE=THISANDFUTURE;VALUE=DATE:20261006"),
    ("broken entry", "DESCRIPTION:No date at all"),
    ("broken entry", "DTSTART;VALUE=DATE:20261306"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006T180000"),
    ("broken entry", "DTSTART;VALUE=DATE:P1D"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTEND;VALUE=DATE:20261006"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTEND;VALUE=DATE:20261001"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTEND;VALUE=DATE:20261007\nDURATION:P1D"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDURATION:a day"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTSTART;VALUE=DATE:20261007"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nRDATE;VALUE=PERIOD:20261007T000000Z/PT1H"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nSEQUENCE:first"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nthis is no property"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nRECURRENCE-ID;VALUE=DATE:20261006\nRRULE:FREQ=DAILY"),
]


@pytest.mark.parametrize(("kind", "entry"), REFUSED, ids=[entry[-50:] for _, entry in REFUSED])
def test_what_cannot_be_read_in_one_way_is_refused_by_name_and_closes_nothing(kind: Kind, entry: str) -> None:
    good = "SUMMARY:Good\nDTSTART;VALUE=DATE:20261026"
    found = read(f"SUMMARY:Doubtful\n{entry}", good)
    assert [(each.kind, each.summary) for each in found.problems] == [(kind, "Doubtful")]
    assert found.days == ((date(2026, 10, 26), "Good"),)


def test_two_forms_of_one_entry_with_nothing_to_choose_by_are_refused() -> None:
    one, other = (f"UID:a\nSUMMARY:{day}\nDTSTART;VALUE=DATE:202610{day}" for day in (26, 27))
    assert refused(one, other) == [("said twice", "27")]
    assert read(one, other).days == ()


def test_a_replaced_day_needs_to_say_whose_it_is() -> None:
    entry = "UID:\nSUMMARY:Whose\nRECURRENCE-ID;VALUE=DATE:20261006\nDTSTART;VALUE=DATE:20261007"
    assert refused(entry) == [("broken entry", "Whose")]


def test_an_entry_without_a_name_is_found_by_its_line() -> None:
    found = read("DTSTART;VALUE=DATE:20261026", "DTSTART:20261006T180000")
    assert found.problems == (
        Problem("timed", "it has times of day (2026-10-06 18:00) (it begins at line 9)", None),
    )
    assert calendar("DTSTART;VALUE=DATE:20261026", "").split(b"\r\n")[8] == b"BEGIN:VEVENT"


def test_single_timed_entries_far_from_the_wanted_dates_do_not_matter() -> None:
    far = "DTSTART:20240610T180000Z\nDTEND:20240610T190000Z"
    assert days_of(far, "DTSTART:20300610T180000") == []
    assert refused(f"SUMMARY:Weekly\n{far}\nRRULE:FREQ=WEEKLY") == [("timed", "Weekly")]
    assert refused("SUMMARY:Long\nDTSTART:20240610T180000Z\nDTEND:20270610T190000Z") == [("timed", "Long")]


WHOLE_FILES: list[tuple[Kind, bytes]] = [
    ("empty", b""),
    ("empty", b" \r\n\t\r\n"),
    ("not iCalendar", b"<!DOCTYPE html><html><body>Please sign in</body></html>"),
    ("not iCalendar", b"BEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20261026\r\nEND:VEVENT\r\n"),
    ("not iCalendar", b"\x89PNG\r\n\x1a\n\x00\x00"),
    ("not UTF-8", calendar("DTSTART;VALUE=DATE:20261026").decode().encode("utf-16")),
    ("not UTF-8", calendar("DTSTART;VALUE=DATE:20261026\nSUMMARY:Café").decode().encode("latin-1")),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026")[:-20]),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026").replace(b"BEGIN:VEVENT", b"BEGN:VEVENT")),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026").replace(b"BEGIN:VEVENT", b"BEGIN VEVENT")),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026") + b"See you soon\r\n"),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026") + b"END:VCALENDAR\r\n"),
]


@pytest.mark.parametrize(
    ("kind", "content"), WHOLE_FILES, ids=[f"{kind} {n}" for n, (kind, _) in enumerate(WHOLE_FILES)]
)
def test_a_file_that_is_no_whole_calendar_gives_one_problem_and_no_days(kind: Kind, content: bytes) -> None:
    found = read_closures(content, *YEAR)
    assert found.days == ()
    assert [(each.kind, each.summary) for each in found.problems] == [(kind, None)]


# ------------------------------------------------------------------------- faults


FILE = Source("term.chime", 'days in "closures.ics" silent')

SPAN = Span(FILE, 8, 22)


def test_there_is_one_fault_for_each_kind_with_three_names_and_a_count() -> None:
    timed = [f"SUMMARY:Evening {n}\nDTSTART:202610{n}T180000" for n in range(10, 15)]
    found = read(*timed, "SUMMARY:Often\nDTSTART;VALUE=DATE:20261026\nRRULE:FREQ=HOURLY")
    faults = closure_problems(SPAN, "closures.ics", found.problems)
    assert [(fault.code.id, fault.headline) for fault in faults] == [
        ("N384", '1 entry of "closures.ics" is not used: a repetition that is not by whole days'),
        ("N384", '5 entries of "closures.ics" are not used: times of day'),
    ]
    assert re.findall(r'"(\w+ \d+)"', faults[1].why) == ["Evening 10", "Evening 11", "Evening 12"]
    assert faults[1].why.endswith("and 2 more.")


def test_every_kind_of_trouble_has_its_words() -> None:
    given_kinds: set[Kind] = {"said twice", "too large"}
    given_kinds |= {kind for kind, _ in REFUSED} | {kind for kind, _ in WHOLE_FILES}
    headlines = {
        closure_problems(SPAN, "closures.ics", [Problem(kind, f"it is {kind}", "Name")])[0].headline
        for kind in sorted(given_kinds)
    }
    assert len(headlines) == len(given_kinds) == 18


def test_a_file_that_is_no_calendar_is_one_fault() -> None:
    found = read_closures(b"<html>", *YEAR)
    faults = closure_problems(SPAN, "closures.ics", found.problems)
    assert [fault.code.id for fault in faults] == ["N383"]
    assert "BEGIN:VCALENDAR" in faults[0].headline
