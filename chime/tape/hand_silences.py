"""What must be silenced by hand: which switch, off when and on again when.

All that sounds and is not wanted between two wanted rings of a zone is silenced in one go: off in the last
attended stretch before it, on in the first after it.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.attendance import Stretch
from chime.tape.course import CLEAR_S, Course, Sounding, Wanted, before, following, there_between


class Silence(NamedTuple):
    """A switch, None is that of all zones, turned off and on again; `on` is None if nothing rings any more.

    `sounds` is what it silences.
    """

    zone: str | None
    off: Stretch
    on: Stretch | None
    sounds: tuple[Sounding, ...]


class Silences(NamedTuple):
    """What can be silenced, and the soundings that nobody can silence."""

    silences: tuple[Silence, ...]
    unsilenced: tuple[Sounding, ...]


def silence_by_hand(
    course: Course, machine: Machine, zones: Iterable[str], unwanted: set[Sounding]
) -> Silences:
    """Find the switches to turn for all that sounds and is not wanted."""
    ringing = tuple(sorted(zones))
    kind = machine.switches.kind if machine.switches is not None else "all together"
    if kind == "all together":
        return _gather(_runs(course, None, course.wanted.instants, unwanted))
    named = machine.switches.zones if machine.switches is not None and kind == "some zones" else ringing
    found: list[Silence] = []
    lost: list[Sounding] = []
    for zone in sorted({zone for _, zone in unwanted}):
        of_zone = {(instant, name) for instant, name in unwanted if name == zone}
        if zone not in named:
            lost += sorted(of_zone)
            continue
        silences = _gather(_runs(course, zone, course.wanted.by_zone.get(zone, ()), of_zone))
        found += silences.silences
        lost += silences.unsilenced
    if kind == "each zone":
        found = _join(course.wanted, ringing, found)
    return Silences(tuple(sorted(found, key=_in_order)), tuple(sorted(lost)))


def _in_order(silence: Silence) -> tuple[Stretch, str]:
    return silence.off, silence.zone or ""


def _gather(runs: Iterable[Silence | tuple[Sounding, ...]]) -> Silences:
    found: list[Silence] = []
    missed: list[Sounding] = []
    for run in runs:
        if isinstance(run, Silence):
            found.append(run)
        else:
            missed += run
    return Silences(tuple(found), tuple(missed))


def _runs(
    course: Course, zone: str | None, wanted: tuple[int, ...], unwanted: set[Sounding]
) -> Iterator[Silence | tuple[Sounding, ...]]:
    """Give for each run of unwanted soundings its silence, or the run itself if nobody can silence it."""
    clashing = {instant for instant, _ in unwanted}.intersection(wanted)
    ordered = sorted(unwanted)
    for key, grouped in groupby(ordered, key=lambda each: (each[0] in clashing, before(wanted, each[0]))):
        run = tuple(grouped)
        is_clashing, last = key
        off = None if is_clashing else _off(course, last, run[0][0])
        upcoming = following(wanted, run[-1][0])
        on = None if upcoming is None else _on(course, run[-1][0], upcoming)
        if off is None or (on is None and upcoming is not None):
            yield run
        else:
            yield Silence(zone, off, on, run)


def _off(course: Course, last: int | None, first_unwanted: int) -> Stretch | None:
    start = course.start if last is None else last + CLEAR_S
    there = there_between(course, start, first_unwanted - CLEAR_S)
    return there[-1] if there else None


def _on(course: Course, last_unwanted: int, upcoming: int) -> Stretch | None:
    there = there_between(course, last_unwanted + CLEAR_S, upcoming - CLEAR_S)
    return there[0] if there else None


def _join(wanted: Wanted, zones: tuple[str, ...], silences: list[Silence]) -> list[Silence]:
    """Turn silences of several zones into one of all of them where nobody would miss a ring."""
    groups: list[list[Silence]] = []
    for silence in sorted(silences, key=_in_order):
        fitting = next((group for group in reversed(groups[-len(zones) :]) if _fits(group, silence)), None)
        if fitting is None:
            groups.append([silence])
        else:
            fitting.append(silence)
    joined: list[Silence] = []
    for group in groups:
        whole = _of_all(group)
        joined += [whole] if _spares(wanted, zones, group, whole) else group
    return _spare(joined)


def _spare(silences: list[Silence]) -> list[Silence]:
    """Leave out the silences of one zone that those of all zones cover, however early or late it is done."""
    whole = [silence for silence in silences if silence.zone is None]
    return [
        silence
        for silence in silences
        if silence.zone is None
        or not all(any(_covers(each, at) for each in whole) for at, _ in silence.sounds)
    ]


def _covers(whole: Silence, instant: int) -> bool:
    return whole.off[1] <= instant and (whole.on is None or instant < whole.on[0])


def _fits(group: list[Silence], silence: Silence) -> bool:
    if silence.zone in {each.zone for each in group}:
        return False
    whole = _of_all([*group, silence])
    same_end = all((each.on is None) == (silence.on is None) for each in group)
    is_long = whole.off[1] - whole.off[0] >= CLEAR_S
    return same_end and is_long and (whole.on is None or whole.on[1] - whole.on[0] >= CLEAR_S)


def _of_all(group: list[Silence]) -> Silence:
    ons = [each.on for each in group if each.on is not None]
    off = max(each.off[0] for each in group), min(each.off[1] for each in group)
    on = (max(start for start, _ in ons), min(end for _, end in ons)) if ons else None
    return Silence(None, off, on, tuple(sorted(sound for each in group for sound in each.sounds)))


def _spares(wanted: Wanted, zones: tuple[str, ...], group: list[Silence], whole: Silence) -> bool:
    if len(group) == 1 and len(zones) > 1:
        return False
    others: Mapping[str, tuple[int, ...]] = wanted.by_zone
    for zone in zones:
        upcoming = following(others.get(zone, ()), whole.off[0] - CLEAR_S)
        if upcoming is not None and (whole.on is None or upcoming < whole.on[1] + CLEAR_S):
            return False
    return True
