"""Plays `plan.json` minute by minute as its schema says, and as nothing else does: it imports nothing of chime.

A machine stands for one row at a time. At each row it is asked which tracks have a hole under their finger,
which zones hear these, and whether one of the date's silences covers them; a hand rings besides. Between a change of the clocks and
the duty that corrects it the machine shows the old time.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

Plan = dict[str, Any]
Ring = tuple[datetime, str]
"""An instant (UTC) and a zone."""


def play(plan: Plan) -> set[Ring]:
    """Return every ring that the machine gives, date by date."""
    machine, there = plan["machine"], ZoneInfo(plan["programme"]["place"])
    under = {tape["id"]: _under_fingers(tape, machine) for tape in plan["tapes"]}
    monday = _monday_of(date.fromisoformat(plan["days"][0]["date"]))
    dial = _dial(plan, there)
    heard: set[Ring] = set()
    for day in plan["days"]:
        first = date.fromisoformat(day["date"])
        start, end = (_at(there, f"{first + timedelta(days=n)}T00:00:00", 0) for n in (0, 1))
        silences = [_silence(there, first, silence) for silence in day["silenced"]]
        wiring = _joined(day["wiring"]) if machine["contacts"] == "tied" else day["wiring"]
        at = start
        while at < end:
            shown = (at + dial(at)).replace(tzinfo=None)
            row = (shown - monday) // timedelta(seconds=machine["row_s"]) % machine["rows"]
            for zone in _hearing(under.get(day["tape"], {}).get(row, ()), wiring):
                if not any(of in (None, zone) and since <= at < until for of, since, until in silences):
                    heard.add((at, zone))
            at += timedelta(seconds=machine["row_s"])
        heard.update(
            (_at(there, f"{first}T{ring['time']}", ring["time_fold"]), ring["zone"])
            for ring in day["by_hand"]
        )
    return heard


def _monday_of(day: date) -> datetime:
    monday = day - timedelta(days=day.weekday())
    return datetime(monday.year, monday.month, monday.day)


def _under_fingers(tape: Plan, machine: Plan) -> dict[int, set[int]]:
    """Return for each row that the pointer shows the tracks with a hole under their finger."""
    ahead = {each["track"]: each["rows_ahead"] or 0 for each in machine["tracks"]}
    found: dict[int, set[int]] = {}
    for hole in tape["holes"]:
        found.setdefault((hole["row"] - ahead[hole["track"]]) % tape["rows"], set()).add(hole["track"])
    return found


def _hearing(tracks: set[int] | tuple[()], wiring: dict[str, list[int]]) -> list[str]:
    return [zone for zone, own in wiring.items() if any(track in own for track in tracks)]


def _joined(wiring: dict[str, list[int]]) -> dict[str, list[int]]:
    found = {}
    for zone, tracks in wiring.items():
        reached = set(tracks)
        for _ in wiring:
            reached |= {t for own in wiring.values() if reached & set(own) for t in own}
        found[zone] = sorted(reached)
    return found


def _at(there: ZoneInfo, local: str, fold: int) -> datetime:
    return datetime.fromisoformat(local).replace(tzinfo=there, fold=fold).astimezone(UTC)


def _silence(there: ZoneInfo, day: date, silence: Plan) -> tuple[str | None, datetime, datetime]:
    zone = None if silence["zone"] == "everywhere" else silence["zone"]
    since, until = (
        _at(
            there,
            (datetime(day.year, day.month, day.day) + _clock(silence[key])).isoformat(),
            silence[f"{key}_fold"],
        )
        for key in ("from", "until")
    )
    return zone, since, until


def _clock(text: str) -> timedelta:
    hours, minutes, *seconds = (int(part) for part in text.split(":"))
    return timedelta(hours=hours, minutes=minutes, seconds=seconds[0] if seconds else 0)


def _dial(plan: Plan, there: ZoneInfo) -> Callable[[datetime], timedelta]:
    start = _at(there, f"{plan['days'][0]['date']}T00:00:00", 0) - timedelta(days=7)
    known = [(start, _offset(there, start))]
    for duty in plan["duties"]:
        if duty["do"] == "correct clocks":
            at = _at(there, duty["from"], duty["from_fold"])
            known.append((at, _offset(there, at)))

    def shown(at: datetime) -> timedelta:
        return [offset for since, offset in known if since <= at][-1]

    return shown


def _offset(there: ZoneInfo, at: datetime) -> timedelta:
    offset = at.astimezone(there).utcoffset()
    assert offset is not None
    return offset
