"""The name that was probably meant, and when to say nothing."""

from collections.abc import Iterable

_MOST_NAMES = 3

# Nobody means a name this long; comparing names as long as a file would take as long as the file is long.
_LONGEST_NAME = 100


def nearest(name: str, candidates: Iterable[str]) -> tuple[str, ...]:
    """Find the candidates nearest to a name that was not found, sorted; empty unless they are clearly meant.

    A candidate may differ by one slip in a name of up to four letters, by two up to eight, by three beyond. A
    slip is a letter too many, too few, wrong, or changed over with its neighbour; capitals make no
    difference. A candidate that shares no letter is never near. Only those at the least distance count, and
    more than three of them are no help, so then there are none.
    """
    if len(name) > _LONGEST_NAME:
        return ()
    closest = _allowed_slips(name)
    found: list[str] = []
    for candidate in sorted(set(candidates) - {name}):
        slips = _slips_between(name.casefold(), candidate.casefold(), closest)
        if slips is None:
            continue
        if slips < closest:
            closest, found = slips, []
        found.append(candidate)
    return tuple(found) if len(found) <= _MOST_NAMES else ()


def _allowed_slips(name: str) -> int:
    if len(name) <= 4:
        return 1
    return 2 if len(name) <= 8 else 3


def _slips_between(left: str, right: str, most: int) -> int | None:
    """Count the slips from one name to the other; none if more than `most`, or if they share nothing.

    This is the restricted edit distance (optimal string alignment): a pair changed over is one slip, and no
    letter is touched twice.
    """
    if abs(len(left) - len(right)) > most:
        return None
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
    return slips if slips <= most and slips < max(len(left), len(right), 1) else None
