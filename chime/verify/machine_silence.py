"""What a machine's block says that it silences by itself; read here apart from the layout."""

from collections.abc import Iterator

from chime.programme.equipment import Machine
from chime.records import NamedTuple

MIDNIGHT = 24 * 3600


class OwnSilence(NamedTuple):
    """Seconds `since` to `until` of a weekday (0 is Monday) in a zone; zone None is every zone."""

    weekday: int
    since: int
    until: int
    zone: str | None
    by: str


def own_silences(machine: Machine) -> frozenset[OwnSilence]:
    """Return every silence of a week, none of them past midnight; a wheel turns when it is said to."""
    return frozenset(
        found for found in (*_of_wheels(machine), *_of_switches(machine)) if found.since < found.until
    )


def _of_wheels(machine: Machine) -> Iterator[OwnSilence]:
    for wheel in machine.day_wheels:
        turns = 0 if wheel.turning_at is None else wheel.turning_at
        for zone in wheel.zones or (None,):
            for shown in wheel.weekdays:
                yield OwnSilence(shown, turns, MIDNIGHT, zone, "day wheel")
                yield OwnSilence((shown + 1) % 7, 0, turns, zone, "day wheel")


def _of_switches(machine: Machine) -> Iterator[OwnSilence]:
    for daily in machine.daily_silences:
        over_night = daily.end <= daily.start
        for zone in daily.zones or (None,):
            for weekday in range(7):
                yield OwnSilence(
                    weekday, daily.start, MIDNIGHT if over_night else daily.end, zone, "time switch"
                )
                if over_night:
                    yield OwnSilence(weekday, 0, daily.end, zone, "time switch")
