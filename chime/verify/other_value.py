"""A machine with another amount in the place of one of its values, as if its block said so.

What is tried so has passed what the block itself must pass: a tolerance is smaller than its value, and
nothing is impossible (a hole longer than a row, a track on the drive holes).
"""

from collections.abc import Mapping
from typing import Any

from chime.programme.equipment import Machine, Named, Value
from chime.programme.machine_shape import find_impossible
from chime.verify.machine_sheet import Sheet, read_sheet

_NM, _US, _ONE = 1_000_000, 1_000_000, 1

_PLACES: Mapping[str, tuple[tuple[str, ...], int]] = {
    "length of the holes": (("hole", "along"), _NM),
    "width of the holes": (("hole", "across"), _NM),
    "length of the tips": (("finger", "along"), _NM),
    "width of the tips": (("finger", "across"), _NM),
    "error of the jig": (("errors", "jig"), _NM),
    "side play": (("side_play",), _NM),
    "closing of the gate": (("gate", "closes"), _US),
    "travel time of a step": (("drive", "travel"), _US),
    "thickness of a pin": (("wheel", "pin"), _NM),
    "pitch of the drive holes": (("sprocket", "pitch"), _NM),
    "tolerance of the drive holes' pitch": (("sprocket", "pitch_within"), _NM),
    "lap of the joint": (("joint_rows",), _ONE),
}
"""Where a machine keeps each value of which another amount may be tried, and its units in one."""

_TOLERANCES = (
    ("hole", "within", ("along", "across")),
    ("finger", "within", ("along", "across")),
    ("sprocket", "pitch_within", ("pitch",)),
)


def with_amount(sheet: Sheet, name: str, amount: float) -> Sheet | None:
    """Return what a machine says with another amount of a value, in mm, s or rows; None if it cannot be."""
    way, scale = _PLACES[name]
    machine: Machine = _put(sheet.machine, way, round(amount * scale))
    if _has_wide_tolerance(machine) or find_impossible(machine):
        return None
    return read_sheet(machine)


def _put(record: Any, way: tuple[str, ...], amount: int) -> Any:
    """Return a record with an amount put at the end of the way through its fields."""
    first, *rest = way
    inner = getattr(record, first)
    if first == "errors":
        return record._replace(errors=tuple(_put_error(each, rest[0], amount) for each in inner))
    changed = _put(inner, tuple(rest), amount) if rest else inner._replace(amount=amount)
    return record._replace(**{first: changed})


def _put_error(part: Named, name: str, amount: int) -> Named:
    return part._replace(value=part.value._replace(amount=amount)) if part.name == name else part


def _has_wide_tolerance(machine: Machine) -> bool:
    for part, tolerance, values in _TOLERANCES:
        record: Any = getattr(machine, part)
        within: Value | None = None if record is None else getattr(record, tolerance)
        if within is None:
            continue
        sizes: list[Value | None] = [getattr(record, value) for value in values]
        if any(size is not None and within.amount >= size.amount for size in sizes):
            return True
    return False
