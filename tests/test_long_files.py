"""Long chains, many lines on one date, and thousands of names: the work grows with the file, not with its square.

No time is measured. What must not go deep is given so much of it that it would fail, and what is looked up
faster than one by one is held against one by one.
"""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chime.compiler import times
from chime.diagnostics.suggest import nearest
from chime.file_access import Unreadable
from tests.compiling import checked, said
from tests.shipped_texts import law

PROGRAMME = """\
programme "Long Lane"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1
signal bell 6 s within 1 s
timetable base in main
  each period start bell
  period "1" 09:00 - 10:00
  ring 10:30 bell
week ordinary
  Mon to Fri t4999
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-11
"""


def chain(length: int = 5_000, *, line: str = "", first: str = "base", order: int = 1) -> str:
    """Timetables of which each starts from the one before it."""
    blocks = [f"timetable t{n:04} like {f't{n - 1:04}' if n else first}\n{line}" for n in range(length)]
    return "".join(blocks[::order])


def heard(text: str) -> set[str]:
    calendar = checked(text).calendar
    assert calendar is not None
    return {f"{ring.at:%H:%M:%S}" for ring in calendar.rings}


@pytest.mark.parametrize("order", [1, -1])
def test_a_chain_of_five_thousand_timetables_rings_as_its_base(order: int) -> None:
    assert heard(PROGRAMME + chain(order=order)) == {"09:00:00", "10:30:00"}


def test_a_chain_of_five_thousand_changes_makes_every_one_of_them() -> None:
    assert heard(PROGRAMME + chain(line="  shift +1 s\n")) == {"10:23:20", "11:53:20"}


def test_what_is_changed_is_handed_on_as_it_was_changed() -> None:
    early = "timetable early like base\n  shift -10 min\ntimetable same like early\n  must end 09:50\n"
    late = "timetable t4999 like same\n  drop 08:50\n  move 10:20 to 10:25\n"
    assert heard(PROGRAMME + early + late) == {"10:25:00"}


def test_a_chain_without_zones_is_asked_for_them_line_by_line() -> None:
    text = PROGRAMME.replace("timetable base in main", "timetable base") + chain(line="  ring 11:00 bell\n")
    assert Counter(fault.code.id for fault in checked(text).diagnostics) == {"N344": 5_002}


def test_a_chain_hands_on_the_doubt_about_its_base() -> None:
    text = PROGRAMME.replace("ring 10:30 bell", "ring 10:30 bel") + chain(line='  drop "7"\n')
    assert [fault.code.id for fault in checked(text).diagnostics] == ["N322"]
    drafted = times("test.chime", text.encode(), lambda _: Unreadable("none"))
    assert [doubt.base for doubt in drafted.doubts if doubt.timetable in ("t0000", "t4999")] == [
        "base",
        "t4998",
    ]
    assert len(drafted.days) == 5_001


def test_a_circle_of_five_thousand_timetables_is_one_fault() -> None:
    text = PROGRAMME + chain(line="  ring 11:00 bell\n", first="t4999")
    (fault,) = checked(text).diagnostics
    assert fault.code.id == "N343"
    assert len(fault.labels) == 7
    assert fault.headline == (
        "timetables start from each other in a circle: "
        "t0000 like t4999 like t4998 like t4997 like (4993 more) like t0003 like t0002 like t0001 like t0000"
    )


def test_several_circles_and_what_hangs_on_them() -> None:
    text = (
        "timetable x like y\ntimetable y like x\ntimetable p like p\ntimetable q like p\n  ring 11:00 bell\n"
        "timetable r like x\n  ring 11:00 bell\n"
    )
    found = checked(PROGRAMME.replace("t4999", "base") + text).diagnostics
    assert [line for line in said(found) if "N343" in line] == [
        "N343 14:11 timetables start from each other in a circle: x like y like x",
        "N343 16:11 timetables start from each other in a circle: p like p",
    ]
    assert "N344" not in [fault.code.id for fault in found]


def test_a_line_of_a_timetable_whose_base_is_not_known_is_not_asked_for_its_zones() -> None:
    text = PROGRAMME.replace("t4999", "late") + "timetable late like bsae\n  ring 11:00 bell\n"
    assert [fault.code.id for fault in checked(text).diagnostics] == ["N323"]


# --------------------------------------------------------------------- many lines on one date


@pytest.mark.parametrize(("closing", "acts"), [("", True), ("  2026-09-09 silent\n", False)])
def test_thousands_of_lines_for_every_weekday_act_or_pass_a_date_by(closing: str, acts: bool) -> None:
    lines = "".join(
        f"  every Wed from 2026-09-07 to 2026-09-11 add {8 + n // 60 % 12:02}:{n % 60:02} bell in main\n"
        for n in range(2_000)
    )
    found = checked(PROGRAMME.replace("t4999", "base") + "exceptions\n" + closing + lines)
    assert found.calendar is not None
    wednesday = [ring for ring in found.calendar.rings if ring.at.day == 9]
    assert len(wednesday) == (720 if acts else 0)
    assert len(found.calendar.passed_by) == (0 if acts else 2_000)


def test_thousands_of_periods_that_overlap_are_not_told_of_pair_by_pair() -> None:
    periods = "".join(f'  period "p{n}" 12:00 - 13:00\n' for n in range(1_000))
    text = PROGRAMME.replace("t4999", "base").replace("  ring 10:30 bell\n", "  ring 10:30 bell\n" + periods)
    found = Counter(fault.code.id for fault in checked(text).diagnostics)
    assert found["D423"] == 2_000


# --------------------------------------------------------------------------------- near names


def distance(left: str, right: str) -> int:
    """The restricted edit distance of two words, from its definition."""
    rows = [[max(i, j) if 0 in (i, j) else 0 for j in range(len(right) + 1)] for i in range(len(left) + 1)]
    for i in range(1, len(left) + 1):
        for j in range(1, len(right) + 1):
            change = rows[i - 1][j - 1] + (left[i - 1] != right[j - 1])
            rows[i][j] = min(rows[i - 1][j] + 1, rows[i][j - 1] + 1, change)
            if i > 1 and j > 1 and left[i - 1] == right[j - 2] and left[i - 2] == right[j - 1]:
                rows[i][j] = min(rows[i][j], rows[i - 2][j - 2] + 1)
    return rows[-1][-1]


def one_by_one(name: str, candidates: frozenset[str]) -> tuple[str, ...]:
    """What is offered for a name, each candidate looked at by itself."""
    allowed = 1 if len(name) <= 4 else 2 if len(name) <= 8 else 3
    near: dict[int, list[str]] = {}
    for candidate in sorted(candidates - {name}):
        left, right = name.casefold(), candidate.casefold()
        slips = distance(left, right)
        if slips <= allowed and slips < max(len(left), len(right), 1):
            near.setdefault(slips, []).append(candidate)
    least = near[min(near)] if near else []
    return tuple(least) if len(least) <= 3 else ()


WORDS = st.text("aAbßéabcd1-", max_size=11)


SLIPS = st.lists(st.tuples(st.integers(0, 11), st.integers(0, 2), st.text("ab1", max_size=2)), max_size=3)


@law(max_examples=400)
@given(st.lists(WORDS, max_size=8), WORDS, SLIPS)
def test_near_names_are_those_that_a_search_one_by_one_finds(
    names: list[str], word: str, slips: list[tuple[int, int, str]]
) -> None:
    letters = list(names[0] if names and slips else word)
    for at, length, instead in slips:
        letters[at : at + length] = instead
    name = "".join(letters)
    assert nearest(name, names) == one_by_one(name, frozenset(names))


def test_near_names_are_offered_among_thousands() -> None:
    names = [f"bell-{n:04}" for n in range(5_000)]
    assert nearest("bell-1234x", frozenset(names)) == ("bell-1234",)
    assert nearest("bel-0017", names) == ("bell-0017",)
    assert nearest("gong-0017", frozenset(names)) == ()


def test_nobody_is_offered_one_of_more_names_than_anybody_has() -> None:
    names = [f"bell-{n}" for n in range(10_001)]
    assert nearest("bell-10000x", names[1:]) == ("bell-10000",)
    assert nearest("bell-10000x", names) == ()


def test_a_name_as_long_as_a_line_is_near_to_none() -> None:
    assert nearest("a" * 101, ["a" * 100]) == ()
