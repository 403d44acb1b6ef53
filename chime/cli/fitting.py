"""What the readings of a test tape say of the fingers of a machine, and the lines for its block.

A machine whose finger line says that the tip is a rectangle gets the rectangle that fits; every other one the
reading allowance, which is that of a round tip. Readings that another shape fits plainly better are refused.
"""

from collections.abc import Iterator, Mapping

from chime.mechanics.calibration import Calibrated, Reading, calibrate, side_play, slope_of_sizes
from chime.mechanics.calibration_shapes import (
    CalibratedRectangle,
    calibrate_rectangle,
    plain_shape,
    side_play_of_rectangle,
    with_width,
)
from chime.mechanics.closed_length import Mode
from chime.programme.equipment import Machine
from chime.records import NamedTuple

_MOST_OFF_MM = 0.10
"""A fit that leaves more is none: a calliper reads a twentieth (common practice, no published source)."""

_ROUND_SLOPE = (0.75, 1.25)
"""Between these a closed length grows with the hole as it does under a round tip."""

_MORE_THAN_ASKED = 2
"""So many readings more than unknowns: an exact fit would have no tolerance."""


class Fitted(NamedTuple):
    """What was fitted to readings of a machine: to a round tip, and to a rectangular one."""

    readings: tuple[Reading, ...]
    round: Calibrated
    rectangle: CalibratedRectangle
    machine: Machine

    def is_rectangle(self) -> bool:
        """Tell whether the machine says that its tips are rectangles."""
        return self.machine.finger is not None and self.machine.finger.tip == "rectangle"

    def mode(self) -> Mode:
        """Return how the fingers read, as the readings have it."""
        return "brushes" if self.round.allowance_mm < 0 else "drops in"

    def taken(self) -> Calibrated | CalibratedRectangle:
        """Return the fit that counts."""
        return self.rectangle if self.is_rectangle() else self.round


def fit_readings(readings: tuple[Reading, ...], machine: Machine) -> Fitted | str:
    """Fit readings of a machine, or say in words why nothing can be fitted to them."""
    refused = _too_few(readings, machine)
    if refused:
        return refused
    found = calibrate(readings)
    mode: Mode = "brushes" if found.allowance_mm < 0 else "drops in"
    rectangle = calibrate_rectangle(readings, mode, found.beside_mm)
    width = None if machine.finger is None else machine.finger.across
    if width is not None and mode == "brushes" and plain_shape(found, rectangle, readings) == "flat":
        # How much wider a brush is than the test holes stand apart cannot be read from them.
        rectangle = with_width(readings, mode, rectangle, width.amount / 1e6)
    fitted = Fitted(readings, found, rectangle, machine)
    return _another_mode(fitted) or _another_shape(fitted) or _disagreeing(fitted) or fitted


def _too_few(readings: tuple[Reading, ...], machine: Machine) -> str:
    tracks = sorted({reading.track for reading in readings})
    is_rectangle = machine.finger is not None and machine.finger.tip == "rectangle"
    least = len(tracks) + 1 + is_rectangle + _MORE_THAN_ASKED
    if len(readings) < least:
        count = "1 reading is" if len(readings) == 1 else f"{len(readings)} readings are"
        return f"{count} too few: at least {max(least, 4)} are needed for {_tracks(max(1, len(tracks)))}"
    if len({reading.hole_mm for reading in readings}) < 2:
        return "all holes have one size: holes of two sizes at least tell a tip from a hole"
    for track in tracks:
        beside = [reading.beside_mm for reading in readings if reading.track == track]
        if min(beside) >= 0 or max(beside) <= 0:
            return (
                f"track {track} was not read on both sides: holes on both sides of a track are needed "
                "to tell where its finger stands"
            )
    return ""


def _tracks(count: int) -> str:
    return "1 track" if count == 1 else f"{count} tracks"


def _another_mode(fitted: Fitted) -> str:
    said = None if fitted.machine.finger is None else fitted.machine.finger.mode
    if said in (None, fitted.mode()):
        return ""
    how = "longer" if fitted.mode() == "brushes" else "shorter"
    return (
        f"the machine says: finger {said}; but its contacts are closed "
        f"{abs(fitted.round.allowance_mm):.2f} mm {how} than the holes, as those of one that "
        f"{fitted.mode()}. Look at a finger, and mend its line"
    )


def _another_shape(fitted: Fitted) -> str:
    shape = plain_shape(fitted.round, fitted.rectangle, fitted.readings)
    tip = fitted.rectangle
    if shape == "flat" and not (fitted.is_rectangle() and fitted.mode() == "brushes"):
        flat = "beside the track the contacts are closed for as long as in its middle: "
        if fitted.mode() == "drops in":
            return f"{flat}the test holes are not round. Punch round ones"
        return (
            f"{flat}the brushes are rectangles, or the test holes are not round. Measure a brush, write into "
            f"the machine's block, say: finger brushes, {tip.along_mm:.2f} mm by 0.60 mm; and give the "
            "readings again"
        )
    if shape == "rectangle" and not fitted.is_rectangle() and tip.within_mm() <= _MOST_OFF_MM:
        words = f"finger {fitted.mode()}, {tip.along_mm:.2f} mm by {tip.across_mm:.2f} mm"
        return (
            f"the tip is not round: a rectangle of about {tip.along_mm:.2f} mm by {tip.across_mm:.2f} mm "
            f"fits far better. Measure it, write into the machine's block, say: {words}; and give the "
            "readings again"
        )
    slope = slope_of_sizes(fitted.readings)
    if not fitted.is_rectangle() and slope is not None and not _ROUND_SLOPE[0] <= slope <= _ROUND_SLOPE[1]:
        return (
            f"a hole 0.10 mm larger closes {slope / 10:.2f} mm longer, and under a round tip it is 0.10 mm: "
            "the tip is not round, or the tape moved. Measure the tip and write its shape on the finger line"
        )
    return ""


def _disagreeing(fitted: Fitted) -> str:
    found = fitted.taken()
    if found.within_mm() <= _MOST_OFF_MM:
        return ""
    place = max(range(len(fitted.readings)), key=lambda n: abs(found.residuals_mm[n]))
    worst = fitted.readings[place]
    return (
        f"the readings do not agree: that of the hole of {worst.hole_mm:g} mm at {worst.beside_mm:+g} mm "
        f"on track {worst.track} is {found.residuals_mm[place]:+.2f} mm off what all say. Read it again"
    )


def write_fit(fitted: Fitted) -> str:
    """Write what was fitted, what is left over of each reading, and the lines for the machine's block."""
    found = fitted.taken()
    lines = [f"{len(fitted.readings)} readings; measured less fitted closed length, in mm:"]
    lines += [
        f"  track {r.track}  hole {r.hole_mm:.2f}  beside {r.beside_mm:+.2f}  closed {r.closed_mm:.3f}  "
        f"{left:+.3f}"
        for r, left in zip(fitted.readings, found.residuals_mm, strict=True)
    ]
    lines += ["", *_tip(fitted), *_fingers(found.beside_mm), *_doubts(fitted)]
    return "\n".join([*lines, "", "lines for the machine's block:", *_block(fitted)]) + "\n"


def _tip(fitted: Fitted) -> Iterator[str]:
    if fitted.is_rectangle():
        tip = fitted.rectangle
        yield f"a tip of {tip.along_mm:.3f} mm by {tip.across_mm:.3f} mm that {fitted.mode()}"
        return
    allowance = fitted.round.allowance_mm
    how = "brush: it touches" if allowance < 0 else "finger that drops in: it closes"
    sign = "farther than" if allowance < 0 else "shorter than"
    yield f"a {how} {abs(allowance):.3f} mm {sign} the hole"


def _fingers(beside_mm: Mapping[int, float]) -> Iterator[str]:
    for track, beside in beside_mm.items():
        side = "away from" if beside > 0 else "towards"
        yield f"the finger of track {track} stands {abs(beside):.3f} mm {side} the guided edge"


def _doubts(fitted: Fitted) -> Iterator[str]:
    """Say what the readings do not cover, and where they differ from what the machine says."""
    unread = _unread(fitted)
    if unread:
        one = len(unread) == 1
        which = f"track {unread[0]} was" if one else f"tracks {', '.join(unread)} were"
        fingers = "its finger is" if one else "their fingers are"
        yield f"{which} not read: that {fingers} like those that were is assumed"
    finger = fitted.machine.finger
    if finger is None or finger.along is None or fitted.is_rectangle() or finger.tip == "ball":
        return
    said, found = finger.along.amount / 1e6, abs(fitted.round.allowance_mm)
    within = fitted.round.within_mm() + (0.0 if finger.within is None else finger.within.amount / 1e6)
    if abs(said - found) > within:
        yield (
            f"the finger line says a tip of {said:g} mm, and the readings {found:.2f} mm: it is worn, or was "
            "measured wrong. The allowance counts in its place"
        )


def _unread(fitted: Fitted) -> list[str]:
    broken = {track for track, _ in fitted.machine.out_of_use}
    read = {reading.track for reading in fitted.readings}
    return [str(n) for n in range(1, len(fitted.machine.tracks) + 1) if n not in read | broken]


def _block(fitted: Fitted) -> Iterator[str]:
    within = max(0.01, -(-round(fitted.taken().within_mm() * 1000) // 10) / 100)
    if fitted.is_rectangle():
        tip, play = fitted.rectangle, side_play_of_rectangle(fitted.readings, fitted.rectangle, fitted.mode())
        size = f"{tip.along_mm:.2f} mm by {tip.across_mm:.2f} mm within {within:.2f} mm"
        yield f"  finger     {fitted.mode()}, {size}"
    else:
        play = side_play(fitted.readings, fitted.round)
        yield f"  allowance  {fitted.round.allowance_mm:.2f} mm within {within:.2f} mm"
    assumed = " assumed" if _unread(fitted) else ""
    yield f"  side play  {max(0.01, -(-round(play * 1000) // 10) / 100):.2f} mm{assumed}"
