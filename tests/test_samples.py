"""The three sample programmes: a hand-written expansion, proved first, then the compiler held against it."""

import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

import holidays
import pytest

from tests.oracle import Record, banksia, brickfield, saltmarsh, time_zone

TESTS = Path(__file__).resolve().parent
SAMPLES = TESTS / "samples"

Replacement = tuple[str, str]


class Variation(NamedTuple):
    """A sample, the changes made to its text, the count of rings stated for it, and the rings by hand."""

    file_name: str
    replacements: tuple[Replacement, ...]
    rings: int
    expected: Callable[..., list[Record]]

    def text(self) -> str:
        return changed(self.file_name, self.replacements)

    def records(self) -> list[Record]:
        return self.expected(text=self.text())


def changed(file_name: str, replacements: tuple[Replacement, ...]) -> str:
    """The text of a sample with each replacement made at the one place where its old words stand."""
    text = (SAMPLES / file_name).read_text(encoding="utf-8")
    for old, new in replacements:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file_name}"
        text = text.replace(old, new)
    return text


SALTMARSH_LAST_LINE = '  2026-12-07 to 2026-12-10  silent in main 09:00 - 12:30   "Mock examinations"\n'
BANKSIA_LAST_LINE = (
    '  2026-06-19                 shift +30 min from 08:00 until 11:30  "Late start: staff briefing"\n'
)
BRICKFIELD_LAST_LINE = '  2027-03-08 to 2027-03-10  silent in office  "Office moved out"\n'
NORMAL_B_DROP = "  drop in junior\n"
NORMAL_B_RING = (
    "  ring 08:40, 08:45, 09:45, 10:30, 10:50, 12:10, 13:00, 13:05, 14:05, 15:05  lesson  in junior\n"
)
EACH_PERIOD = "  each period  start long, end short, warn short 3 min before start\n"
MUST_END = "  must end 15:00\n"


def and_then(last_line: str, new_line: str) -> tuple[Replacement, ...]:
    """A line added at the foot of a sample."""
    return ((last_line, f"{last_line}  {new_line}\n"),)


VARIATIONS = {
    "saltmarsh": Variation("saltmarsh.chime", (), 2053, saltmarsh.expected),
    "saltmarsh, an open day in half term": Variation(
        "saltmarsh.chime",
        and_then(SALTMARSH_LAST_LINE, '2026-10-28 normal-a instead "Open day"'),
        2085,
        partial(saltmarsh.expected, change="open day"),
    ),
    "saltmarsh, a last fortnight of early days": Variation(
        "saltmarsh.chime",
        and_then(SALTMARSH_LAST_LINE, '2026-12-07 to 2026-12-18 early "Last fortnight"'),
        1993,
        partial(saltmarsh.expected, change="last fortnight early"),
    ),
    "saltmarsh, the drop below its ring": Variation(
        "saltmarsh.chime",
        ((NORMAL_B_DROP + NORMAL_B_RING, NORMAL_B_RING + NORMAL_B_DROP),),
        2053,
        partial(saltmarsh.expected, change="drop below its ring"),
    ),
    "saltmarsh, clubs on Wednesdays": Variation(
        "saltmarsh.chime",
        and_then(SALTMARSH_LAST_LINE, saltmarsh.CLUBS.text),
        2062,
        partial(saltmarsh.expected, change="clubs"),
    ),
    "saltmarsh, a week b that never rings": Variation(
        "saltmarsh.chime",
        (
            (
                "week b\n  Mon to Thu  normal-b\n  Fri         early\n",
                "week b\n  Mon to Thu  silent\n  Fri         silent\n",
            ),
        ),
        1208,
        partial(saltmarsh.expected, change="week b silent"),
    ),
    "banksia": Variation("banksia.chime", (), 2218, banksia.expected),
    "banksia, each period at the foot": Variation(
        "banksia.chime",
        ((EACH_PERIOD, ""), (MUST_END, MUST_END + EACH_PERIOD)),
        2218,
        partial(banksia.expected, change="each period at the foot"),
    ),
    "banksia, a carnival": Variation(
        "banksia.chime",
        and_then(BANKSIA_LAST_LINE, '2026-03-04 sport "Athletics carnival"'),
        2217,
        partial(banksia.expected, change="carnival"),
    ),
    "brickfield": Variation("brickfield.chime", (), 891, brickfield.expected),
    "brickfield, the shop silent in the morning": Variation(
        "brickfield.chime",
        and_then(BRICKFIELD_LAST_LINE, "2027-01-12 to 2027-01-14 silent in shop 06:00 - 14:00"),
        882,
        partial(brickfield.expected, change="shop silent"),
    ),
}

every_variation = pytest.mark.parametrize(
    "variation", [pytest.param(variation, id=name) for name, variation in VARIATIONS.items()]
)


def rings_on(records: list[Record], day: str, zone: str) -> list[str]:
    """The clock times of one zone on one date."""
    return [str(one["at"])[11:16] for one in records if str(one["at"])[:10] == day and one["zone"] == zone]


# The hand-written expansion itself.


@every_variation
def test_the_count_by_hand_is_the_stated_one(variation: Variation) -> None:
    assert len(variation.records()) == variation.rings


@every_variation
def test_rings_stand_once_each_in_order_of_instant_then_zone(variation: Variation) -> None:
    records = variation.records()
    places = [(datetime.fromisoformat(str(one["at"])), str(one["zone"])) for one in records]
    assert places == sorted(set(places))


@every_variation
def test_every_reason_names_a_line_of_the_text_that_rings_or_shifts(variation: Variation) -> None:
    lines = variation.text().splitlines()
    for reason in {str(one) for record in variation.records() for one in reasons(record)}:
        file_name, number = reason.split(":")
        assert file_name == variation.file_name
        words = lines[int(number) - 1].split()
        assert {"ring", "period", "periods", "pause", "add", "shift"} & set(words), words


def reasons(record: Record) -> list[object]:
    because = record["because"]
    assert isinstance(because, list)
    return because


@pytest.mark.parametrize("programme", [saltmarsh, banksia, brickfield])
def test_typed_line_numbers_are_those_of_the_sample(programme: ModuleType) -> None:
    lines = (SAMPLES / programme.FILE_NAME).read_text(encoding="utf-8").splitlines()
    for line in programme.LINES_AS_WRITTEN:
        assert lines[line.number - 1].strip() == line.text


def test_moved_lines_are_named_where_they_stand_in_the_changed_text() -> None:
    below = VARIATIONS["saltmarsh, the drop below its ring"].records()
    assert {"saltmarsh.chime:22"} == {
        str(reason)
        for one in below
        for reason in reasons(one)
        if str(one["at"]).startswith("2026-09-14T12:10")
    }
    foot = VARIATIONS["banksia, each period at the foot"].records()
    assert foot[0]["because"] == ["banksia.chime:15"]


def test_saltmarsh_letters_follow_from_counting_its_school_weeks() -> None:
    # Derived: a week with one weekday open is a school week; school weeks alternate from the anchor.
    counted = 0
    for monday, letter in saltmarsh.LETTERS.items():
        open_days = [day for day in weekdays(monday) if day not in saltmarsh.CLOSED]
        assert letter == ("ab"[counted % 2] if open_days else "")
        counted += bool(open_days)
    assert counted == 14


def test_saltmarsh_weeks_are_all_the_weeks_of_the_term() -> None:
    mondays = [saltmarsh.FIRST_DAY + timedelta(weeks=count) for count in range(15)]
    assert list(saltmarsh.LETTERS) == mondays
    assert list(saltmarsh.LETTERS_WITH_B_SILENT) == mondays
    assert mondays[-1] + timedelta(days=4) == saltmarsh.LAST_DAY


def test_saltmarsh_days_of_each_kind_are_those_counted_by_hand() -> None:
    # By hand: 75 weekdays less 7 closed, of which 13 Fridays; 27 days of week a, 28 of week b.
    kinds: Counter[str] = Counter()
    for monday, letter in saltmarsh.LETTERS.items():
        for day in weekdays(monday):
            if day in saltmarsh.CLOSED:
                kinds["closed"] += 1
            else:
                kinds["Friday" if day.isoweekday() == 5 else letter] += 1
    assert kinds == {"a": 27, "b": 28, "Friday": 13, "closed": 7}
    assert 32 * (27 + 28) + 25 * 13 - 4 * len(saltmarsh.EXAMINATION_DAYS) == 2053


def test_the_second_of_november_is_week_b_with_and_without_the_open_day() -> None:
    for name in ("saltmarsh", "saltmarsh, an open day in half term"):
        junior = rings_on(VARIATIONS[name].records(), "2026-11-02", "junior")
        assert "12:10" in junior
        assert "11:45" not in junior


def test_the_second_of_november_is_week_a_when_week_b_never_rings() -> None:
    junior = rings_on(VARIATIONS["saltmarsh, a week b that never rings"].records(), "2026-11-02", "junior")
    assert "11:45" in junior


def test_saltmarsh_examinations_leave_the_ring_at_their_end() -> None:
    records = saltmarsh.expected()
    assert rings_on(records, "2026-12-01", "main") == ["08:40", "08:45", "13:00", "13:05", "14:05", "15:05"]
    assert rings_on(records, "2026-12-04", "main")[-2:] == ["12:25", "13:10"]


@pytest.mark.parametrize(("term", "open_days"), [(banksia.TERMS[0], 46), (banksia.TERMS[1], 53)])
def test_banksia_numbers_follow_from_counting_its_open_weekdays(
    term: tuple[date, date], open_days: int
) -> None:
    # Derived: each term starts again at its anchor; a closed day takes no number, the next goes on from it.
    closed = {*banksia.HOLIDAYS, banksia.PUPIL_FREE_DAY}
    (day, last), counted = term, 0
    while day <= last:
        is_numbered = day.isoweekday() <= 5 and day not in closed
        assert banksia.cycle_number(day) == (str(counted % 6 + 1) if is_numbered else "-"), day
        counted += is_numbered
        day += timedelta(days=1)
    assert counted == open_days


def test_banksia_numbers_stand_on_no_date_outside_the_terms() -> None:
    for monday, numbers in banksia.NUMBERS.items():
        for day, number in zip(weekdays(monday), numbers, strict=True):
            assert number == "-" or any(first <= day <= last for first, last in banksia.TERMS)


def test_banksia_days_of_each_kind_add_up_to_the_count() -> None:
    # By hand: 31 + 36 standard days of 23 rings, 15 + 17 sport days of 22, nine silenced on three days.
    numbers = Counter("".join(banksia.NUMBERS.values()))
    sport = numbers["3"] + numbers["6"]
    standard = sum(numbers[number] for number in "1245")
    assert (standard, sport) == (67, 32)
    assert standard * 23 + sport * 22 - 3 * 9 == 2218


def test_banksia_holidays_are_those_of_the_library() -> None:
    # Source: the `holidays` library; 27 April 2026 is there because ANZAC Day falls on a Saturday.
    assert holidays.__version__ == "0.109"
    library = holidays.country_holidays("AU", subdiv="NSW", years=2026, observed=True, language="en_AU")
    assert dict(sorted(library.items())) == banksia.HOLIDAYS


def test_banksia_noon_is_one_long_ring_with_both_labels() -> None:
    noon = [one for one in banksia.expected() if str(one["at"]).startswith("2026-01-28T12:00")]
    assert noon == [
        {
            "at": "2026-01-28T12:00:00+11:00",
            "zone": "halls",
            "signal": "long",
            "seconds": 7,
            "labels": ["Lunch starts", "Period 3 ends"],
            "because": ["banksia.chime:17", "banksia.chime:18"],
        },
        {
            "at": "2026-01-28T12:00:00+11:00",
            "zone": "oval",
            "signal": "long",
            "seconds": 7,
            "labels": ["Lunch starts"],
            "because": ["banksia.chime:18"],
        },
    ]


def test_banksia_numeracy_tests_hold_their_start_and_not_what_follows() -> None:
    halls = rings_on(banksia.expected(), "2026-05-13", "halls")
    assert halls[:4] == ["08:47", "08:50", "11:57", "12:00"]


def test_brickfield_days_of_each_kind_add_up_to_the_count() -> None:
    # By hand: 50 working days of 18 rings and 11 short ones of 9; 48 nights end in the next morning's two
    # rings, each joined with them; the office loses four rings on each of three days.
    working = short = joined = 0
    for monday in (brickfield.FIRST_DAY + timedelta(weeks=count) for count in range(13)):
        for day in (one for one in weekdays(monday) if one <= brickfield.LAST_DAY):
            works_through = day == brickfield.FRIDAY_THAT_WORKS_THROUGH
            if day in brickfield.HOLIDAYS:
                continue
            if day.isoweekday() == 5 and not works_through:
                short += 1
            else:
                working += 1
                joined += not works_through and day != brickfield.LAST_DAY
    assert (working, short, joined) == (50, 11, 48)
    assert working * 18 + short * 9 - joined * 2 - 3 * 4 == 891


def test_brickfield_nights_ring_on_to_a_closed_day_and_past_the_last_day() -> None:
    records = brickfield.expected()
    assert rings_on(records, "2027-03-13", "shop") == ["02:00", "02:15", "06:00"]
    assert rings_on(records, "2027-04-01", "shop") == ["02:00", "02:15", "06:00"]
    assert records[-1]["labels"] == ["Night ends"]
    assert not [one for one in records if str(one["at"]).startswith("2027-01-18")]


def test_brickfield_joins_the_end_of_a_night_with_the_start_of_the_morning() -> None:
    records = brickfield.expected()
    [ring] = [one for one in records if (one["at"], one["zone"]) == ("2027-01-05T06:00:00-07:00", "shop")]
    assert ring["labels"] == ["Early starts", "Night ends"]
    assert ring["because"] == ["brickfield.chime:18", "brickfield.chime:20"]


# Source: the IANA time zone data, release 2026f: London goes back on the last Sunday of October at 01:00 UTC,
# Sydney on the first Sunday of April at 16:00 UTC of the Saturday, Denver forward on the second Sunday of
# March at 09:00 UTC.
@pytest.mark.parametrize(
    ("place", "local", "instant"),
    [
        ("Europe/London", "2026-10-23T08:30", "2026-10-23T07:30"),
        ("Europe/London", "2026-10-25T00:59", "2026-10-24T23:59"),
        ("Europe/London", "2026-10-25T02:00", "2026-10-25T02:00"),
        ("Europe/London", "2026-10-26T08:30", "2026-10-26T08:30"),
        ("Australia/Sydney", "2026-04-02T08:30", "2026-04-01T21:30"),
        ("Australia/Sydney", "2026-04-07T08:30", "2026-04-06T22:30"),
        ("America/Denver", "2027-03-14T01:59", "2027-03-14T08:59"),
        ("America/Denver", "2027-03-14T03:00", "2027-03-14T09:00"),
    ],
)
def test_the_clock_data_has_the_published_instants(place: str, local: str, instant: str) -> None:
    at = datetime.fromisoformat(local).replace(tzinfo=time_zone(place))
    assert at.astimezone(UTC) == datetime.fromisoformat(instant).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("programme", "before", "after"),
    [
        (saltmarsh, "2026-10-23T13:10:00+01:00", "2026-11-02T08:40:00+00:00"),
        (banksia, "2026-04-02T15:00:00+11:00", "2026-04-20T08:47:00+10:00"),
        (brickfield, "2027-03-13T06:00:00-07:00", "2027-03-15T06:00:00-06:00"),
    ],
)
def test_the_rings_either_side_of_a_clock_change(programme: ModuleType, before: str, after: str) -> None:
    instants = list(dict.fromkeys(str(one["at"]) for one in programme.expected()))
    assert instants[instants.index(before) + 1] == after


def weekdays(monday: date) -> list[date]:
    assert monday.isoweekday() == 1
    return [monday + timedelta(days=count) for count in range(5)]


# The compiler, run as anybody runs it, against the expansion.


def lay_out(folder: Path, file_name: str, text: str) -> None:
    """All samples in a folder of their own, one of them with a changed text."""
    shutil.copytree(SAMPLES, folder, dirs_exist_ok=True)
    (folder / file_name).write_text(text, encoding="utf-8", newline="")


def run_chime(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    search_path = [str(TESTS.parent), *filter(None, [os.environ.get("PYTHONPATH")])]
    return subprocess.run(
        [sys.executable, "-m", "chime", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(search_path)},
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


@every_variation
def test_the_compiler_gives_the_rings_found_by_hand(variation: Variation, tmp_path: Path) -> None:
    lay_out(tmp_path, variation.file_name, variation.text())
    result = run_chime(tmp_path, "rings", variation.file_name, "--json")
    assert result.returncode == 0, result.stderr
    found = [json.loads(line) for line in result.stdout.splitlines()]
    wanted = variation.records()
    assert places_of(found) == places_of(wanted)
    for given, meant in zip(found, wanted, strict=True):
        assert given == meant
    assert len(found) == variation.rings


def places_of(records: list[Record]) -> list[tuple[object, object]]:
    return [(one["at"], one["zone"]) for one in records]


def test_a_period_that_ends_nearly_a_day_after_it_starts_is_an_error_at_its_line(tmp_path: Path) -> None:
    old = 'period "Roll"  08:50 - 09:00'
    new = 'period "Roll"  09:00 - 08:50'
    text = changed("banksia.chime", ((old, new),))
    lay_out(tmp_path, "banksia.chime", text)
    result = run_chime(tmp_path, "check", "banksia.chime", "--report", "json")
    assert result.returncode == 1, result.stderr
    errors = [one for one in json.loads(result.stdout)["diagnostics"] if one["severity"] == "error"]
    assert [primary_line(error) for error in errors] == [text.splitlines().index(f"  {new}") + 1]


def primary_line(diagnostic: Any) -> int:
    """The line at which a fault's own label starts."""
    [label] = [one for one in diagnostic["labels"] if one["role"] == "primary"]
    return int(label["span"]["start"]["line"])
