"""The name that was probably meant, and when to say nothing."""

from collections import Counter
from collections.abc import Iterable
from functools import lru_cache

_MOST_NAMES = 3

# Nobody means a name this long; comparing names as long as a file would take as long as the file is long.
_LONGEST_NAME = 100

_MOST_CANDIDATES = 10_000
"""Of more names nothing is offered: nobody chooses among so many."""


def nearest(name: str, candidates: Iterable[str]) -> tuple[str, ...]:
    """Find the candidates nearest to a name that was not found, sorted; empty unless they are clearly meant.

    A candidate may differ by one slip in a name of up to four letters, by two up to eight, by three beyond. A
    slip is a letter too many, too few, wrong, or changed over with its neighbour; capitals make no
    difference. A candidate that shares no letter is never near. Only those at the least distance count, and
    more than three of them are no help, so then there are none.

    Candidates in a frozen set are sorted out once, however often they are asked of.
    """
    if len(name) > _LONGEST_NAME:
        return ()
    folded, most = name.casefold(), _allowed_slips(name)
    near = [found for found in _may_be_near(folded, _alike(frozenset(candidates)), most) if found[1] != name]
    for slips in range(most + 1):
        found: list[str] = []
        for least, candidate in near:
            if least <= slips and _slips_between(folded, candidate.casefold(), slips) is not None:
                found.append(candidate)
            if len(found) > _MOST_NAMES:
                return ()
        if found:
            return tuple(sorted(found))
    return ()


def _allowed_slips(name: str) -> int:
    if len(name) <= 4:
        return 1
    return 2 if len(name) <= 8 else 3


# ------------------------------------------------------------------ names that can be near at all

_KINDS, _TIMES = 32, 3

_Alike = dict[tuple[int, int], list[tuple[int, str]]]
"""Names by how many letters they have and how many of them are told apart, with those letters as bits."""


@lru_cache(maxsize=8)
def _alike(names: frozenset[str]) -> _Alike:
    found: _Alike = {}
    for name in names if len(names) <= _MOST_CANDIDATES else ():
        folded = name.casefold()
        letters = _letters(folded)
        found.setdefault((len(folded), letters.bit_count()), []).append((letters, name))
    return found


def _letters(name: str) -> int:
    """Return a name's letters as bits: the first three of each of 32 kinds. A slip changes one at most."""
    letters = 0
    for kind, times in Counter(ord(letter) % _KINDS for letter in name).items():
        letters |= ((1 << min(times, _TIMES)) - 1) << kind * _TIMES
    return letters


def _may_be_near(name: str, alike: _Alike, most: int) -> list[tuple[int, str]]:
    """Return the names that may be so many slips away, each with the slips that its letters need at least."""
    letters = _letters(name)
    found: list[tuple[int, str]] = []
    for (length, told_apart), names in alike.items():
        if abs(length - len(name)) <= most:
            all_ = max(told_apart, letters.bit_count())
            needed = all_ - most
            found += [
                (all_ - n, other) for has, other in names if (n := (has & letters).bit_count()) >= needed
            ]
    return found


def _slips_between(left: str, right: str, most: int) -> int | None:
    """Count the slips from one name to the other; none if more than `most`, or if they share nothing.

    This is the restricted edit distance (optimal string alignment): a pair changed over is one slip, and no
    letter is touched twice.
    """
    if abs(len(left) - len(right)) > most:
        return None
    longest = max(len(left), len(right), 1)
    left, right = _without_common_ends(left, right)
    earlier: list[int] = []
    previous = list(range(len(right) + 1))
    for row, letter in enumerate(left, 1):
        current = [row]
        for column, other in enumerate(right, 1):
            slips = min(
                previous[column] + 1,
                current[column - 1] + 1,
                previous[column - 1] + (letter != other),
            )
            if row > 1 and column > 1 and letter == right[column - 2] and left[row - 2] == other:
                slips = min(slips, earlier[column - 2] + 1)
            current.append(slips)
        # A change-over reaches back two rows, so both must be hopeless before giving up.
        if min(current) > most and min(previous) >= most:
            return None
        earlier, previous = previous, current
    slips = previous[-1]
    return slips if slips <= most and slips < longest else None


def _without_common_ends(left: str, right: str) -> tuple[str, str]:
    """Take away what two names begin and end with alike: no slip is needed there."""
    shorter = min(len(left), len(right))
    start = next((n for n in range(shorter) if left[n] != right[n]), shorter)
    left, right = left[start:], right[start:]
    shorter -= start
    end = next((n for n in range(shorter) if left[-1 - n] != right[-1 - n]), shorter)
    return left[: len(left) - end], right[: len(right) - end]
