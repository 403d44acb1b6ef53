"""What would mend the checks of the machine that fail: other amounts of a value, tried one after the other.

Each amount that is offered has been put into the machine's block and judged. Where one value can mend all
checks that fail, only such amounts of it are offered; else those that mend one check, and the offer says that
others still fail. A check that held holds with every amount that is offered, and the block stays possible.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile

from chime.records import NamedTuple
from chime.verify.judging import Judgement, Subject, give_verdict
from chime.verify.model import Verdict
from chime.verify.other_value import with_amount

_DENSE = 200
"""So many steps from the machine's own amount each one is tried; beyond, each a fiftieth farther."""

_MOST_STEPS = 30
"""How far an offer goes beyond the nearest amount that will do: 0.3 mm, 3 s, 30 rows."""

_WORDS = {
    "length of the holes": "holes {range} mm long",
    "width of the holes": "holes {range} mm wide",
    "length of the tips": "a tip {range} mm long",
    "width of the tips": "a tip {range} mm wide",
    "error of the jig": "a jig within {most} mm",
    "side play": "side play of at most {most} mm",
    "closing of the gate": "a gate that closes {range} s after the impulse",
    "travel time of a step": "steps in {range} s",
    "thickness of a pin": "pins {range} mm thick",
    "tolerance of the drive holes' pitch": "drive holes within {most} mm of their pitch",
    "lap of the joint": "a lap of {range} rows",
    "pitch of the drive holes": "drive holes every {range} mm",
}
"""How each value is offered: as a range, or where less is always better as the most that will do."""

_ALONE = "; other checks still fail with it"

_STEPS = {
    "lap of the joint": 1.0,
    "closing of the gate": 0.1,
    "travel time of a step": 0.1,
    "pitch of the drive holes": 0.001,
}
_STEP_MM = 0.01


class Cure(NamedTuple):
    """Amounts of a value with which a check holds, from one to another, each as it would be written.

    `is_of_all` tells that with each of them every check of the machine holds that can be made.
    """

    name: str
    least: float
    most: float
    is_of_all: bool = True

    def in_words(self) -> str:
        """Return the offer."""
        low, high = f"{self.least:g}", f"{self.most:g}"
        said = _WORDS[self.name].format(range=low if low == high else f"{low} to {high}", most=high)
        return said if self.is_of_all else said + _ALONE


def find_cures(
    judged: Sequence[tuple[Judgement, Verdict]], subject: Subject
) -> Mapping[Judgement, list[Cure]]:
    """Find for each check that fails the amounts nearest to the machine's own with which it would hold."""
    failed = [judgement for judgement, verdict in judged if verdict.verdict == "fails"]
    held = [judgement for judgement, verdict in judged if verdict.verdict == "holds"]
    values = subject.sheet.values
    named = dict.fromkeys(name for each in failed for name in each.cures if name in values)
    of_all = {name: _cure(name, [*failed, *held], subject) for name in named}
    found: dict[Judgement, list[Cure]] = {}
    for judgement in failed:
        needed = set(judgement.needs(subject))
        names = [name for name in judgement.cures if name in needed and name in values]
        cures = [of_all[name] for name in names]
        if len(failed) > 1 and not any(cures):
            cures = [_cure(name, [judgement, *held], subject, is_of_all=False) for name in names]
        found[judgement] = [cure for cure in cures if cure is not None]
    return found


def _cure(name: str, judgements: list[Judgement], subject: Subject, *, is_of_all: bool = True) -> Cure | None:
    """Search for amounts of a value with which some checks hold: the nearest, and on to where they end."""
    search = _Search(name, _STEPS.get(name, _STEP_MM), tuple(judgements), subject)
    if name == "pitch of the drive holes":
        whole = next((n for n in _whole_pitches(subject) if search.does(n)), None)
        return None if whole is None else Cure(name, search.amount(whole), search.amount(whole), is_of_all)
    if "{most}" in _WORDS[name]:
        most = search.most_below()
        return None if most is None else Cure(name, search.amount(most), search.amount(most), is_of_all)
    nearest = search.nearest()
    if nearest is None:
        return None
    ends = sorted((nearest, search.end_of(nearest)))
    return Cure(name, search.amount(ends[0]), search.amount(ends[1]), is_of_all)


_FARTHEST_PITCH = 0.02
"""A pitch that was measured is not farther off than a fiftieth."""


def _whole_pitches(subject: Subject) -> list[int]:
    """Return pitches of drive holes, in um, that divide the loop, nearest to the machine's own first."""
    machine = subject.sheet.machine
    if machine.pitch is None or machine.sprocket is None or machine.sprocket.pitch is None:
        return []
    loop_nm, own_um = subject.tapes[0].rows * machine.pitch.amount, machine.sprocket.pitch.amount / 1000
    near = range(int(own_um * (1 - _FARTHEST_PITCH)), int(own_um * (1 + _FARTHEST_PITCH)) + 2)
    whole = [number for number in near if number > 0 and loop_nm % (number * 1000) == 0]
    return sorted(whole, key=lambda number: (abs(number - own_um), number))


class _Search(NamedTuple):
    """Amounts of one value, counted in steps; the checks that shall hold with them."""

    name: str
    step: float
    judgements: tuple[Judgement, ...]
    subject: Subject

    def start(self) -> int:
        """Return the machine's own amount."""
        return round(self.subject.sheet.amount(self.name) / self.step)

    def amount(self, number: int) -> float:
        """Return an amount as it would be written."""
        return round(number * self.step, 6)

    def most_below(self) -> int | None:
        """Return the largest amount below the machine's own that will do, where all that are smaller do."""
        low, high = 1, self.start()
        if high <= low or not self.does(low):
            return None
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if self.does(middle) else (low, middle)
        return low

    def nearest(self) -> int | None:
        """Return the amount nearest to the machine's own that will do, of two the smaller one."""
        before = 0
        for away in self._offsets():
            for way in (-1, 1):
                if self.does(self.start() + way * away):
                    return self.start() + way * self._closer(before, away, way)
            before = away
        return None

    def _offsets(self) -> Iterator[int]:
        yield from range(1, _DENSE)
        away = float(_DENSE)
        while away <= 4 * max(self.start(), _DENSE):
            yield int(away)
            away *= 1.02

    def _closer(self, too_near: int, away: int, way: int) -> int:
        """Narrow a leap down to the nearest amount that will do."""
        numbers = range(too_near + 1, away)
        return next((n for n in numbers if self.does(self.start() + way * n)), away)

    def end_of(self, nearest: int) -> int:
        """Return the farthest amount up to which all will do."""
        way = 1 if nearest > self.start() else -1
        beyond = (nearest + way * n for n in range(1, _MOST_STEPS + 1))
        return max(takewhile(self.does, beyond), key=lambda n: n * way, default=nearest)

    def does(self, number: int) -> bool:
        """Tell whether an amount can be, and all checks hold with it."""
        if number <= 0:
            return False
        sheet = with_amount(self.subject.sheet, self.name, self.amount(number))
        if sheet is None:
            return False
        changed = self.subject._replace(sheet=sheet, is_cut_anew=self.name == "lap of the joint")
        return all(give_verdict(each, changed).verdict == "holds" for each in self.judgements)
