"""The programmes of the measurements: sound, as long as they say, and of one make at every length."""

import pytest

from tests.bench.year_programme import PERIODS, long_text, text, week_text
from tests.compiling import compiled, said, with_files


@pytest.mark.parametrize("holidays", [False, True])
def test_the_year_is_a_whole_one_in_four_zones(holidays: bool) -> None:
    made = with_files(text(holidays=holidays))
    # Its machine is no more than a loop, so that no check of it can be made.
    assert [fault.code.id for fault in made.diagnostics] == ["V633"], said(made.diagnostics)
    assert made.verified is not None
    assert len(made.verified.programme.zones) == 4
    assert made.verified.tapes is not None
    days = [ring.at.date() for ring in made.verified.calendar.rings]
    assert (max(days) - min(days)).days > 300
    assert len(days) > 6000


@pytest.mark.parametrize("lines", [1_000, 5_000])
def test_a_long_text_is_sound_and_as_long_as_it_says(lines: int) -> None:
    written = long_text(lines)
    found = compiled(written)
    assert found.diagnostics == (), said(found.diagnostics)
    assert abs(written.count("\n") - lines) <= lines / 100
    assert written.count("\n  period ") == PERIODS * (written.count("\ntimetable ") - 1)


def test_the_week_is_one_long_tape_with_nothing_wrong() -> None:
    made = with_files(week_text())
    assert made.diagnostics == (), said(made.diagnostics)
    assert made.verified is not None
    assert made.verified.tapes is not None
    (tape,) = made.verified.tapes.tapes
    assert (tape.rows, len(tape.holes), len({hole.track for hole in tape.holes})) == (10_080, 3_024, 12)
