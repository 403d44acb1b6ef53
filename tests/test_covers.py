"""The fewest tracks and holes, against published ranks of matrices, a worked example and trial of everything."""

from collections.abc import Mapping
from itertools import product
from math import comb

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chime.planning.covers import Cover, Row, candidates, find_cover
from chime.planning.model import Programme
from chime.planning.runs import rows_of

Times = Mapping[str, str]

# A worked example: the times of three days at a school with four zones, in which main N = warnings + workshop N
# + yard N and so on. Its numbers were computed with HiGHS before this module was written.
NORMAL = {
    "main": "0840 0845 0945 1045 1105 1205 1300 1305 1405 1505",
    "workshop": "0845 0945 1045 1105 1205 1305 1405 1505",
    "yard": "1045 1105 1205 1300",
}
DAYS: list[Times] = [
    {**NORMAL, "junior": "0840 0845 0945 1030 1050 1145 1240 1245 1405 1505"},
    {**NORMAL, "junior": "0840 0845 0945 1030 1050 1210 1300 1305 1405 1505"},
    {
        "main": "0840 0845 0935 1025 1045 1135 1225 1310",
        "junior": "0840 0845 0935 1025 1045 1135 1225 1310",
        "workshop": "0845 0935 1025 1045 1135 1225 1310",
        "yard": "1025 1045",
    },
]


def school() -> list[Row]:
    programmes = [
        Programme(str(n), {zone: frozenset(map(int, times.split())) for zone, times in day.items()})
        for n, day in enumerate(DAYS)
    ]
    return rows_of(programmes, {(0, n): n for n in range(3)}, 3)


def matrix(lines: list[str]) -> list[Row]:
    """Rows of a table of 0 and 1, all heard in one position of a selector with separate contacts."""
    return [
        Row(str(n), 0, frozenset(("A", c) for c, sign in enumerate(line) if sign == "1"))
        for n, line in enumerate(lines)
    ]


def is_right(rows: list[Row], cover: Cover, *, tied: bool) -> bool:
    """Tell whether every row hears what it must and no more, by playing the tracks it uses."""
    for number, row in enumerate(rows):
        heard = frozenset().union(*(track.columns for track in cover.tracks if number in track.rows))
        if not row.needs <= heard <= row.allows:
            return False
    if tied:
        for track in cover.tracks:
            for one, other in product(track.rows, track.rows):
                if rows[one].position == rows[other].position and rows[one][2:] != rows[other][2:]:
                    return False
    return True


def test_the_worked_example_has_twenty_candidates_and_rank_seven() -> None:
    rows = school()
    assert len(candidates(rows, tied=False)) == 20
    cover = find_cover(rows, tied=False, fewest_tracks=True)
    assert cover is not None
    assert (len(cover.tracks), cover.holes) == (7, 37)
    assert is_right(rows, cover, tied=False)
    assert find_cover(rows, tied=False, most=6) is None


@pytest.mark.parametrize(
    ("tied", "most", "holes"),
    [(False, 7, 37), (False, 8, 29), (True, 8, 59), (True, 7, None), (False, 12, 21)],
)
def test_more_tracks_take_fewer_holes_and_tied_contacts_more(
    tied: bool, most: int, holes: int | None
) -> None:
    rows = school()
    cover = find_cover(rows, tied=tied, most=most)
    assert (None if cover is None else cover.holes) == holes
    assert cover is None or is_right(rows, cover, tied=tied)


@pytest.mark.parametrize("size", [1, 2, 5, 9])
def test_an_identity_matrix_has_its_own_size_for_rank(size: int) -> None:
    """No two of its ones lie in one rectangle of ones: they isolate each other (the isolation-set bound)."""
    lines = ["".join("1" if a == b else "0" for b in range(size)) for a in range(size)]
    cover = find_cover(matrix(lines), tied=False, fewest_tracks=True)
    assert cover is not None
    assert len(cover.tracks) == size


@pytest.mark.parametrize("size", range(2, 8))
def test_a_crown_has_the_rank_that_was_published(size: int) -> None:
    """All ones but for the diagonal: the least k with size <= C(k, k // 2).

    Source: D. Eppstein, "Biclique covers and partitions of crown graphs", a note of 2008 on the web (read: six
    is the largest that four will do, C(4, 2)); the theorem is by de Caen, Gregory and Pullman, 1981 (title from memory).
    """
    lines = ["".join("0" if a == b else "1" for b in range(size)) for a in range(size)]
    cover = find_cover(matrix(lines), tied=False, fewest_tracks=True)
    assert cover is not None
    assert len(cover.tracks) == next(k for k in range(1, 20) if size <= comb(k, k // 2))


# ---------------------------------------------------------------------- against trial of everything

COLUMNS = 3


def tried(rows: list[Row], most: int, *, tied: bool) -> int | None:
    """The fewest holes on so many tracks, by trying every set of tracks and every use of them."""
    subsets = [frozenset(("A", c) for c in range(COLUMNS) if code >> c & 1) for code in range(2**COLUMNS)]
    best: int | None = None
    for tracks in product(subsets, repeat=most):
        holes = sum(map(len, tracks))
        if (best is None or holes < best) and _can_be_wired(rows, tracks, tied=tied):
            best = holes
    return best


def _can_be_wired(rows: list[Row], tracks: tuple[frozenset[tuple[str, int]], ...], *, tied: bool) -> bool:
    uses = []
    for row in rows:
        ways = []
        for chosen in product((False, True), repeat=len(tracks)):
            heard = frozenset().union(*(t for t, is_used in zip(tracks, chosen, strict=True) if is_used))
            if row.needs <= heard <= row.allows:
                ways.append(chosen)
        if not ways:
            return False
        uses.append(ways)
    if not tied:
        return True
    return any(_all_hear_right(rows, tracks, chosen) for chosen in product(*uses))


def _all_hear_right(
    rows: list[Row], tracks: tuple[frozenset[tuple[str, int]], ...], chosen: tuple[tuple[bool, ...], ...]
) -> bool:
    """Rows of a position that share a track hear all that each of them is wired to."""
    for number, row in enumerate(rows):
        joined = {number}
        while True:
            wired = {t for n in joined for t, is_used in enumerate(chosen[n]) if is_used}
            more = {
                n
                for n, other in enumerate(rows)
                if other.position == row.position and any(chosen[n][t] for t in wired)
            }
            if more <= joined:
                break
            joined |= more
        heard = frozenset().union(*(tracks[t] for t in wired))
        if not row.needs <= heard <= row.allows:
            return False
    return True


columns = st.frozensets(st.tuples(st.just("A"), st.integers(0, COLUMNS - 1)))


@st.composite
def tables(draw: st.DrawFn) -> list[Row]:
    rows = []
    for position in range(draw(st.integers(1, 2))):
        may = draw(columns)
        for zone in range(draw(st.integers(1, 2))):
            rows.append(Row(str(zone), position, draw(columns) - may, may))
    return rows


@settings(max_examples=250, deadline=None)
@given(tables(), st.integers(1, 3), st.booleans())
def test_nothing_does_with_fewer_holes(rows: list[Row], most: int, tied: bool) -> None:
    cover = find_cover(rows, tied=tied, most=most)
    assert (None if cover is None else cover.holes) == tried(rows, most, tied=tied)
    if cover is not None:
        assert is_right(rows, cover, tied=tied)
