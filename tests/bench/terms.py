"""How the planner grows with programmes and tracks; prints, and judges nothing.

    python tests/bench/terms.py

Each term has 200 dates, four zones of which half change from programme to programme, and a selector of three
positions. Beside the seconds stands how far the plan may be from the best, in per cent.
"""

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from chime.planning.costs import ByHand
from chime.planning.model import Contacts, Problem, Programme, Window
from chime.planning.term import plan_term


def large_term(programmes: int, tracks: int, seed: int, *, tied: bool = False) -> Problem:
    """Return a term of 200 dates: two programmes run on most of them, the others here and there."""
    drawn = random.Random(seed)  # noqa: S311 - the same terms each time
    base = {str(zone): {drawn.randrange(480, 960, 5) for _ in range(10)} for zone in range(4)}
    made = []
    for number in range(programmes):
        places = {}
        for zone, times in base.items():
            mine = set(times)
            if drawn.random() < 0.5:
                mine -= set(drawn.sample(sorted(times), 3))
                mine |= {drawn.randrange(480, 960, 5) for _ in range(3)}
            places[zone] = frozenset(mine)
        made.append(Programme(str(number), places))
    runs = [drawn.choices(range(programmes), [6, 4, *[1] * (programmes - 2)])[0] for _ in range(200)]
    return Problem(tuple(made), tuple(Window({run: ByHand()}) for run in runs), Contacts(tracks, 3, tied))


def main() -> None:
    """Print how long each term takes."""
    for programmes in (4, 6, 8, 10, 12):
        for tracks in (8, 12):
            began = time.perf_counter()
            plan = plan_term(large_term(programmes, tracks, 1), 60)
            seconds = time.perf_counter() - began
            name = f"a term of {programmes} programmes on {tracks} tracks"
            if plan is None:
                print(f"{name:<58} {seconds:6.2f} s   no plan was found")
            else:
                off = 100 * float(plan.minutes / plan.bound - 1)
                print(f"{name:<58} {seconds:6.2f} s   within {off:.1f} % of the best, {plan.tapes} tapes")


if __name__ == "__main__":
    main()
