"""The civil dates of the plan: what runs, which tape is on, what is silenced and why."""

from datetime import date, timedelta
from typing import Any

from chime.clock import dates, write_time
from chime.rings.model import Day
from chime.tape.model import DayPlan, DaySilence, HandRing, Operation
from chime.verify.model import Verified

_AFTER = timedelta(days=7)


def describe_days(verified: Verified) -> list[dict[str, Any]]:
    """Return every date from the first term's first to a week after the last ring or the last term's last."""
    by_date = {day.day: day for day in verified.calendar.days}
    operation = None if verified.tapes is None else verified.tapes.operation
    plans = {} if operation is None else {plan.day: plan for plan in operation.days}
    return [_day(day, by_date.get(day), plans.get(day), operation) for day in _range(verified)]


def _range(verified: Verified) -> list[date]:
    days, rings = verified.calendar.days, verified.calendar.rings
    if not days:
        return []
    last = max(rings[-1].at.date() + _AFTER, days[0].day) if rings else days[-1].day
    return dates(days[0].day, last)


def _day(day: date, known: Day | None, plan: DayPlan | None, operation: Operation | None) -> dict[str, Any]:
    reasons = [] if known is None else [each.said for each in known.acting if each.said is not None]
    position = None if plan is None else plan.position
    zones = () if operation is None else operation.wiring_in(position)
    programme = None if known is None or known.programme is None else f"P{known.programme}"
    return {
        "date": day.isoformat(),
        "term": None if known is None else known.term,
        "label": None if known is None else known.label,
        "runs": None if known is None else known.runs,
        "programme": programme,
        "reasons": sorted(set(reasons)),
        "tape": None if plan is None else plan.tape,
        "position": position,
        "wiring": {zone: list(tracks) for zone, tracks in zones},
        "silenced": [] if plan is None else [_silence(each) for each in plan.silenced],
        "by_hand": [] if plan is None else [_ring(each) for each in plan.by_hand],
    }


def _ring(ring: HandRing) -> dict[str, Any]:
    return {
        "time": write_time(ring.time),
        "time_fold": ring.fold,
        "zone": ring.zone,
        "signal": ring.signal,
        "duty": ring.duty,
    }


def _silence(silence: DaySilence) -> dict[str, Any]:
    return {
        "zone": silence.zone or "everywhere",
        "from": write_time(silence.starts),
        "from_fold": silence.starts_fold,
        "until": write_time(silence.ends),
        "until_fold": silence.ends_fold,
        "by": silence.by,
        "duty": silence.duty,
        "reason": silence.reason,
    }
