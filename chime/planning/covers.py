"""The fewest tracks on which every zone hears its rings, and on these the fewest holes.

Programmes that one selector tells apart stand on one tape together. A row of the problem is what one zone
must hear in one position, a column a place along a tape. A track is a set of columns that some rows use; what
a row must hear is the union of the tracks that it uses. The fewest such tracks are the Boolean rank of the
table of rows and columns (a set-basis problem).

Candidates are closed: a track with some columns is open to every row that has them all, so that the rows of
candidates are the intersections of the rows of single columns. Columns of the same rows are taken as one
group. With tied contacts zones of a position that share a track hear all tracks of each other, so that a
track serves zones of one position only if they must hear the same. The choice is an integer programme,
solved by HiGHS to its proof.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import product

from chime.records import NamedTuple

Column = tuple[str, int]
"""A tape, and a place along it."""


class Row(NamedTuple):
    """What one zone must hear in one position, and what it may: places of tapes that are never run there.

    What may be heard is the same for all zones of a position.
    """

    zone: str
    position: int
    needs: frozenset[Column]
    may: frozenset[Column] = frozenset()

    @property
    def allows(self) -> frozenset[Column]:
        """Return all columns that a track of this row may have."""
        return self.needs | self.may


class Track(NamedTuple):
    """The holes of a track, and the rows that use it, as numbers of the rows that were given.

    `number` is that of the track among those that were there to choose from.
    """

    columns: frozenset[Column]
    rows: frozenset[int]
    number: int


class Cover(NamedTuple):
    """Tracks that give every row what it needs."""

    tracks: tuple[Track, ...]

    @property
    def holes(self) -> int:
        """Return how many holes they have together."""
        return sum(len(track.columns) for track in self.tracks)


def candidates(rows: Sequence[Row], *, tied: bool) -> list[frozenset[int]]:
    """Return the sets of rows that a track may serve, each as large as its columns let it be.

    The rows are numbered as they are given.
    """
    signatures = {
        frozenset(n for n, row in enumerate(rows) if column in row.allows) for column in _needed(rows)
    }
    closed: set[frozenset[int]] = set()
    for signature in sorted(signatures, key=sorted):
        closed |= {signature & other for other in closed} | {signature}
    closed.discard(frozenset())
    if tied:
        closed = {chosen for some in closed for chosen in _one_class_each(rows, some)}
    return sorted(closed, key=lambda some: (len(some), sorted(some)))


def _needed(rows: Sequence[Row]) -> frozenset[Column]:
    return frozenset().union(*(row.needs for row in rows))


def _one_class_each(rows: Sequence[Row], some: frozenset[int]) -> Iterator[frozenset[int]]:
    """Give the largest choices of rows in which those of one position must and may hear the same."""
    by_position: dict[int, dict[tuple[frozenset[Column], frozenset[Column]], list[int]]] = defaultdict(dict)
    for number in sorted(some):
        row = rows[number]
        by_position[row.position].setdefault((row.needs, row.may), []).append(number)
    for choice in product(*(classes.values() for classes in by_position.values())):
        yield frozenset(number for numbers in choice for number in numbers)


def find_cover(
    rows: Sequence[Row], *, tied: bool, most: int | None = None, fewest_tracks: bool = False
) -> Cover | None:
    """Return the cover with the fewest holes on at most so many tracks; None if there is none.

    With `fewest_tracks` the fewest tracks come first and the holes second.
    """
    return choose(rows, candidates(rows, tied=tied), most=most, fewest_tracks=fewest_tracks)


def choose(
    rows: Sequence[Row],
    tracks: Sequence[frozenset[int]],
    *,
    most: int | None = None,
    fewest_tracks: bool = False,
    fixed: int = 0,
) -> Cover | None:
    """Choose among tracks, each given as the rows that hear it; at most so many, or any number.

    A track holds only columns that all its rows allow. The first `fixed` tracks do not count.
    """
    groups = _groups(rows)
    fits = [
        (t, g)
        for t, served in enumerate(tracks)
        for g, group in enumerate(groups)
        if served <= group.allowing
    ]
    covering = [
        [pair for pair in fits if pair[1] == g and n in tracks[pair[0]]]
        for g, group in enumerate(groups)
        for n in sorted(group.needing)
    ]
    if not covering:
        return Cover(())
    if not all(covering):
        return None
    chosen = _solve(
        [len(group.columns) for group in groups],
        fits,
        covering,
        most,
        fewest_tracks=fewest_tracks,
        fixed=fixed,
    )
    if chosen is None:
        return None
    punched: dict[int, set[Column]] = defaultdict(set)
    for t, g in chosen:
        punched[t].update(groups[g].columns)
    return Cover(tuple(Track(frozenset(punched[t]), tracks[t], t) for t in sorted(punched)))


class _Group(NamedTuple):
    """Columns that the same rows allow and the same rows need."""

    allowing: frozenset[int]
    needing: frozenset[int]
    columns: tuple[Column, ...]


def _groups(rows: Sequence[Row]) -> list[_Group]:
    """Return the columns that are needed in groups, in one order."""
    found: dict[tuple[frozenset[int], frozenset[int]], list[Column]] = defaultdict(list)
    for column in sorted(_needed(rows)):
        allowing = frozenset(n for n, row in enumerate(rows) if column in row.allows)
        needing = frozenset(n for n, row in enumerate(rows) if column in row.needs)
        found[allowing, needing].append(column)
    return [_Group(allowing, needing, tuple(columns)) for (allowing, needing), columns in found.items()]


Pair = tuple[int, int]
"""A candidate track and a group of columns that is punched on it."""


def _solve(
    sizes: Sequence[int],
    fits: Sequence[Pair],
    covering: Sequence[Sequence[Pair]],
    most: int | None,
    *,
    fewest_tracks: bool,
    fixed: int,
) -> list[Pair] | None:
    """Choose pairs so that one of each list of `covering` is chosen; None if so many tracks are too few."""
    import highspy

    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("threads", 1)  # the same answer each time
    used = {t: solver.addBinary() for t in dict.fromkeys(t for t, _ in fits)}
    punched = {pair: solver.addBinary() for pair in fits}
    for pair, variable in punched.items():
        solver.addConstr(variable <= used[pair[0]])
    for pairs in covering:
        solver.addConstr(solver.qsum(punched[pair] for pair in pairs) >= 1)
    counted = [is_used for t, is_used in used.items() if t >= fixed]
    if most is not None and counted:
        solver.addConstr(solver.qsum(counted) <= most)
    holes = solver.qsum(sizes[g] * variable for (_, g), variable in punched.items())
    tracks = solver.qsum(used.values())
    all_holes = sum(sizes[g] for _, g in fits) + 1
    weighed = all_holes * tracks + holes if fewest_tracks else (len(used) + 1) * holes + tracks
    solver.minimize(weighed)
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return [pair for pair, variable in punched.items() if solver.val(variable) > _HALF]


_HALF = 0.5
"""A variable that is 0 or 1 is said by the solver to a millionth."""
