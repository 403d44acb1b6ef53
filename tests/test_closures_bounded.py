"""Closures of a calendar file: however long or odd the file, the work has an end."""

from datetime import date

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from chime.programme.calendar_entries import MOST_BYTES, MOST_ENTRIES
from chime.programme.closures import MOST_WORK, Closures, read_closures
from chime.programme.day_rules import MOST_STEPS, RuleError, occurrences, read_rule
from tests.closure_files import YEAR, calendar, days_of, read, refused

# ------------------------------------------------------------------------ bounded


YEAR_LENGTH = (YEAR[1] - YEAR[0]).days + 1


@pytest.mark.parametrize(
    ("rule", "start", "most"),
    [
        ("FREQ=DAILY", date(1, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=DAILY;UNTIL=99991231", date(1526, 9, 1), 2 * YEAR_LENGTH),
        ("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", date(1900, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=DAILY;INTERVAL=7;BYDAY=MO", date(1900, 1, 2), YEAR_LENGTH),
        ("FREQ=WEEKLY;BYMONTH=2", date(1900, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=MONTHLY;BYMONTHDAY=31;BYMONTH=2,4", date(1900, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=YEARLY;BYDAY=53MO", date(1900, 1, 1), 3 * 366),
        ("FREQ=YEARLY;INTERVAL=999999999", date(1900, 1, 1), 3 * 366),
    ],
)
def test_a_rule_looks_no_further_than_the_wanted_dates(rule: str, start: date, most: int) -> None:
    """A rule without a number of times costs the wanted dates and the periods at their ends, no more."""
    found = occurrences(read_rule(rule, start), start, *YEAR)
    assert found.steps <= most


def test_moving_ahead_keeps_in_step_with_the_interval() -> None:
    start = date(1900, 1, 1)
    for rule in ("FREQ=DAILY;INTERVAL=13", "FREQ=WEEKLY;INTERVAL=5", "FREQ=MONTHLY;INTERVAL=7"):
        read = read_rule(rule, start)
        ahead = occurrences(read, start, *YEAR).days
        assert ahead == tuple(d for d in occurrences(read, start, start, YEAR[1]).days if d >= YEAR[0])
        assert ahead


def test_a_rule_with_a_number_of_times_is_counted_from_its_start_and_given_up_in_the_end() -> None:
    start = date(1900, 1, 1)
    found = occurrences(read_rule("FREQ=YEARLY;COUNT=200", start), start, *YEAR)
    assert found.days == (date(2027, 1, 1),)
    start = date(1800, 1, 1)
    with pytest.raises(RuleError, match=f"{MOST_STEPS:,}"):
        occurrences(read_rule("FREQ=DAILY;COUNT=999999999", start), start, *YEAR)


def test_a_huge_line_is_read_once() -> None:
    long = "x" * 5_000_000
    assert days_of(f"DTSTART;VALUE=DATE:20261026\nDESCRIPTION:{long}") == ["2026-10-26"]
    assert [kind for kind, _ in refused(f"DTSTART;VALUE=DATE:20261026\nSUMMARY:{long}")] == ["broken entry"]
    assert [kind for kind, _ in refused(f"DTSTART;VALUE=DATE:20261026\n{long}")] == ["broken entry"]
    found = read(f"DTSTART;VALUE=DATE:20261026\nRRULE:FREQ=DAILY;X={long}")
    assert [each.kind for each in found.problems] == ["rule part"]
    assert max(len(each.detail) for each in found.problems) < 200


def test_a_line_of_a_million_folds_is_one_line() -> None:
    content = calendar("DTSTART;VALUE=DATE:20261026\nSUMMARY:long").replace(
        b"long", b"\n " * 1_000_000 + b"Half term"
    )
    assert read_closures(content, *YEAR).days == ((date(2026, 10, 26), "Half term"),)


def test_nothing_is_read_of_a_file_that_is_far_too_large() -> None:
    found = read_closures(calendar(f"DESCRIPTION:{'x' * MOST_BYTES}"), *YEAR)
    assert [each.kind for each in found.problems] == ["too large"]


def test_a_list_of_two_hundred_thousand_dates_is_one_list() -> None:
    content = calendar("DTSTART;VALUE=DATE:20261026\nRRULE:FREQ=DAILY;COUNT=2\nEXDATE:some")
    found = read_closures(content.replace(b"some", b",".join([b"20261027"] * 200_000)), *YEAR)
    assert ([day for day, _ in found.days], found.problems) == ([date(2026, 10, 26)], ())


def test_a_hundred_thousand_entries_are_too_many() -> None:
    one = b"BEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20261026\r\nEND:VEVENT\r\n"
    found = read_closures(b"BEGIN:VCALENDAR\r\n" + one * 100_000 + b"END:VCALENDAR\r\n", *YEAR)
    assert found.days == ()
    assert [each.kind for each in found.problems] == ["too large"]
    assert f"{MOST_ENTRIES:,}" in found.problems[0].detail


def test_many_rules_that_each_take_long_are_given_up_together() -> None:
    daily = [f"SUMMARY:{n}\nDTSTART;VALUE=DATE:19000101\nRRULE:FREQ=DAILY" for n in range(2_000)]
    found = read(*daily)
    assert found.days == ()
    assert [each.kind for each in found.problems] == ["too large"]
    assert f"{MOST_WORK:,}" in found.problems[0].detail
    counted = [f"SUMMARY:{n}\nDTSTART;VALUE=DATE:18000101\nRRULE:FREQ=DAILY;COUNT=99999" for n in range(50)]
    kinds = [each.kind for each in read(*counted).problems]
    assert kinds[-1] == "too large"
    assert kinds[:-1] == ["too many steps"] * (MOST_WORK // MOST_STEPS - 1)


def test_entries_of_eight_thousand_years_cost_only_the_wanted_dates() -> None:
    found = read("DTSTART;VALUE=DATE:00010101\nDTEND;VALUE=DATE:99991231")
    assert len(found.days) == YEAR_LENGTH
    assert len(days_of("DTSTART;VALUE=DATE:20261001\nDURATION:P99999999W")) == YEAR_LENGTH - 30
    assert refused("DTSTART;VALUE=DATE:20261001\nDURATION:P99999999999W") == [("broken entry", None)]


def test_deep_nesting_is_walked_not_descended() -> None:
    deep = b"BEGIN:A\r\n" * 200_000 + b"END:A\r\n" * 200_000
    found = read_closures(b"BEGIN:VCALENDAR\r\n" + deep + b"END:VCALENDAR\r\n", *YEAR)
    assert found == Closures((), ())


@given(
    st.lists(
        st.tuples(
            st.sampled_from(
                (
                    "DTSTART",
                    "DTEND",
                    "RRULE",
                    "EXDATE",
                    "RDATE",
                    "DURATION",
                    "RECURRENCE-ID",
                    "SUMMARY",
                    "UID",
                )
            ),
            st.sampled_from(("", ";VALUE=DATE", ";TZID=Nowhere", ';X="a;:b', ";VALUE=", ";=;")),
            st.one_of(
                st.text(max_size=12),
                st.sampled_from(
                    (
                        "20261026",
                        "20261026T090000Z",
                        "P1D",
                        "PT1H",
                        "99991231",
                        "00010101",
                        "FREQ=WEEKLY",
                        "000000",
                    )
                ),
            ),
        ),
        max_size=6,
    )
)
@settings(max_examples=200, deadline=None)
@example([("DTSTART", ";VALUE=DATE", "99991231"), ("RRULE", "", "FREQ=WEEKLY")])
@example([("DTSTART", ";VALUE=DATE", "00010101"), ("RRULE", "", "FREQ=YEARLY;BYWEEKNO=1;BYDAY=SA;WKST=SU")])
def test_whatever_stands_in_an_entry_gives_days_or_a_problem(lines: list[tuple[str, str, str]]) -> None:
    content = calendar("\n".join(f"{name}{parameters}:{value}" for name, parameters, value in lines))
    for bounds in (YEAR, (date.min, date(2, 1, 1)), (date(9998, 1, 1), date.max), (YEAR[1], YEAR[0])):
        found = read_closures(content, *bounds)
        assert all(bounds[0] <= day <= bounds[1] for day, _ in found.days)
        assert list(found.days) == sorted(set(found.days))
        assert all(problem.detail for problem in found.problems)


@given(st.binary(max_size=200))
@settings(max_examples=200, deadline=None)
def test_whatever_the_bytes_are_the_reader_answers(junk: bytes) -> None:
    for content in (junk, b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n" + junk):
        assert read_closures(content, *YEAR).problems
