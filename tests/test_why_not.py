"""`chime why`: a bell that nobody planned, and bells in an hour that the clocks skip or repeat."""

from pathlib import Path

import pytest

from tests.why_programme import TEXT, in_words, run, why

# --------------------------------------------------------------------------- nobody planned it


@pytest.mark.parametrize(
    ("day", "time", "said"),
    [
        (
            "2026-09-07",
            "09:01",
            (
                "main: no bell is planned then in timetable normal nearest 09:00 (Period 1 starts) before it, "
                "10:00 (Period 1 ends) after it"
            ),
        ),
        (
            "2026-09-15",
            "09:01",
            (
                'main: no bell is planned then, and the day is closed closed by line 30 because "Half term": 2026-09-14 to '
                "2026-09-18 silent nearest Sat 2026-09-12 01:30 (Rounds) before it"
            ),
        ),
        (
            "2026-09-19",
            "09:00",
            "main: no bell is planned, it is a day without bells pattern line 24: Sat, Sun silent nearest",
        ),
        (
            "2026-09-08",
            "09:01",
            (
                'main: no bell is planned then, neither in timetable early nor in normal replaced by line 33 because "Visit": '
                "2026-09-08 early nearest 09:00"
            ),
        ),
        (
            "2026-12-01",
            "09:00",
            (
                'outside every term: term "Autumn" ended Fri 2026-10-30, term "Spring" begins Mon 2027-03-15 '
                "main: no bell is planned outside the terms nearest Sat 2026-10-31 01:00 (Rounds) before it, "
                "Mon 2027-03-15 08:58"
            ),
        ),
        ("2026-09-06", "09:00", 'outside every term: term "Autumn" begins Mon 2026-09-07 main:'),
        ("2027-04-04", "09:00", 'outside every term: term "Spring" ended Fri 2027-04-02 main:'),
    ],
)
def test_what_nobody_planned_is_told_with_the_day_it_falls_on(
    tmp_path: Path, day: str, time: str, said: str
) -> None:
    assert said in in_words(tmp_path, day, time, "main")


def test_a_timetable_on_a_day_that_has_none_is_not_held_against_another(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-12", "09:01", "main", text=TEXT + '  2026-09-12 early "Fair"\n')
    assert 'main: no bell is planned then in timetable early replaced by line 41 because "Fair"' in told


def test_a_morning_asked_for_in_place_of_the_night_gets_a_hint(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-07", "01:30", "main")
    assert "no bell is planned" in told
    assert "but Tue 2026-09-08 01:30 rings, 25:30 of this day's timetable" in told


def test_a_week_without_a_letter_is_not_given_one(tmp_path: Path) -> None:
    text = TEXT.replace('  2026-09-16 normal instead "Open day"\n  2026-09-17 as usual\n', "")
    assert 'Sat 2026-09-19 09:00: term "Autumn", a day without bells' in why(
        tmp_path, "2026-09-19", "09:00", "main", text=text
    )


def test_a_zone_that_never_rings_is_said_to(tmp_path: Path) -> None:
    text = TEXT.replace("zone yard", "zone shed\nzone yard")
    result = run(tmp_path, text, "2026-09-07", "09:00", "shed")
    assert result.stdout.endswith("  nearest          this zone never rings\n")


def test_without_a_zone_every_zone_is_told_in_the_order_of_the_tracks(tmp_path: Path) -> None:
    told = why(tmp_path, "2026-09-07", "12:00", text=TEXT.replace("track 1", "track 9"))
    assert [line.split(":")[0] for line in told.splitlines() if ": " in line and line[0] in "my"] == [
        "yard",
        "main",
    ]
    assert why(tmp_path, "2026-09-07", "12:00", "everywhere") == why(tmp_path, "2026-09-07", "12:00")


# ---------------------------------------------------------------------------- clock changes


NIGHTS = TEXT.replace("Sat, Sun silent", "Sat, Sun normal")


def with_clocks(said: str) -> str:
    return NIGHTS.replace("  issue 2 on 2026-08-20\n", f"  issue 2 on 2026-08-20\n  clocks {said}\n")


def test_a_ring_in_a_skipped_hour_names_the_clocks_and_the_line_that_skips_it(tmp_path: Path) -> None:
    text = with_clocks("skip missing hour, repeated hour rings first")
    told = why(tmp_path, "2027-03-28", "01:30", "main", text=text)
    assert "\n  the clocks go forward that day and skip this time: it does not exist\n" in told
    assert told.endswith("""
main: does not ring, for the clocks skip that hour
  label            Rounds
  planned by       line 14: ring 25:30 short "Rounds"
  belongs to       the timetable of Sat 2027-03-27 (25:30 there)
  clocks           line 4: clocks skip missing hour, repeated hour rings first
""")


def test_a_ring_of_a_skipped_hour_at_another_time_is_told_from_both_ends(tmp_path: Path) -> None:
    text = with_clocks("ring missing hour at 03:00, repeated hour rings first")
    told = in_words(tmp_path, "2027-03-28", "01:30", "main", text=text)
    assert (
        "main: rings at 03:00 instead, for the clocks skip that hour label Rounds planned by line 14" in told
    )
    assert "clocks line 4: clocks ring missing hour at 03:00" in told
    told = in_words(tmp_path, "2027-03-28", "03:00", "main", text=text)
    assert "main: rings, short for 4 s label Rounds planned by line 14" in told
    assert "belongs to the timetable of Sat 2027-03-27 rung now by line 4: clocks ring missing" in told
    assert "its own time does not exist that day" in told


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("first", "short for 4 s, the first time only"),
        ("second", "short for 4 s, the second time only"),
        ("both", "short for 4 s, both times"),
    ],
)
def test_a_ring_in_a_repeated_hour_says_which_time_it_sounds(tmp_path: Path, word: str, said: str) -> None:
    text = with_clocks(f"skip missing hour, repeated hour rings {word}")
    told = in_words(tmp_path, "2026-10-25", "01:30", "main", text=text)
    assert "the clocks go back that day: this time comes twice" in told
    assert f"main: rings, {said}" in told
    assert ("clocks line 4: clocks skip missing hour" in told) == (word != "both")


def test_a_time_in_a_skipped_hour_that_nobody_asked_for_says_both(tmp_path: Path) -> None:
    told = in_words(
        tmp_path,
        "2027-03-28",
        "01:45",
        "main",
        text=with_clocks("skip missing hour, repeated hour rings first"),
    )
    assert "skip this time: it does not exist main: no bell is planned then in timetable normal" in told
