"""What would mend a check of the machine that fails: other amounts of a value, tried one after the other.

Each amount that is offered has been put in the place of the machine's own and judged: the check holds with
it, and so does every other check that held before.
"""

from collections.abc import Iterable

from chime.records import NamedTuple
from chime.verify.judging import Judgement, Subject, give_verdict

_TRIES = 400
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
}
"""How each value is offered: as a range, or where less is always better as the most that will do."""

_AS_WHOLE = {"lap of the joint"}
_IN_SECONDS = {"closing of the gate", "travel time of a step"}


class Cure(NamedTuple):
    """Amounts of a value with which a check holds, from one to another, each as it would be written."""

    name: str
    least: float
    most: float

    def in_words(self) -> str:
        """Return the offer."""
        low, high = f"{self.least:g}", f"{self.most:g}"
        return _WORDS[self.name].format(range=low if low == high else f"{low} to {high}", most=high)


def find_cures(judgement: Judgement, subject: Subject, all_judgements: Iterable[Judgement]) -> list[Cure]:
    """Find the amounts nearest to the machine's own with which a check that fails would hold."""
    sheet = subject.sheet
    held = [
        each
        for each in all_judgements
        if each.is_asked(sheet) and give_verdict(each, subject).verdict == "holds"
    ]
    needed = set(judgement.needs(subject))
    found = [
        _cure(name, [judgement, *held], subject)
        for name in judgement.cures
        if name in needed and name in sheet.values
    ]
    return [cure for cure in found if cure is not None]


def _step(name: str) -> float:
    return 1.0 if name in _AS_WHOLE else 0.1 if name in _IN_SECONDS else 0.01


def _cure(name: str, judgements: list[Judgement], subject: Subject) -> Cure | None:
    """Try amounts farther and farther from the machine's own, smaller ones first; then to where they end."""
    step, own = _step(name), subject.sheet.amount(name)
    start = round(own / step)
    down_only = "{most}" in _WORDS[name]
    for away in range(1, _TRIES):
        for number in (start - away,) if down_only else (start - away, start + away):
            if number > 0 and _holds(name, number * step, judgements, subject):
                return _spread(name, number, 1 if number > start else -1, judgements, subject)
    return None


def _spread(name: str, number: int, way: int, judgements: list[Judgement], subject: Subject) -> Cure:
    step, end = _step(name), number
    for _ in range(_MOST_STEPS):
        if end + way <= 0 or not _holds(name, (end + way) * step, judgements, subject):
            break
        end += way
    least, most = sorted((round(number * step, 6), round(end * step, 6)))
    return Cure(name, least, most)


def _holds(name: str, amount: float, judgements: list[Judgement], subject: Subject) -> bool:
    values = dict(subject.sheet.values)
    values[name] = values[name]._replace(amount=amount)
    changed = subject._replace(sheet=subject.sheet._replace(values=values))
    return all(give_verdict(each, changed).verdict == "holds" for each in judgements)
