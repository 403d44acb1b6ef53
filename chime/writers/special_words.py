"""Exceptions in the words of the language, without their dates and reasons."""

from chime.clock import write_duration, write_time
from chime.programme.model import Add, AsUsual, Drop, Move, Replace, Shift, Silence, Special, Window


def special_words(special: Special) -> str:
    """Return what an exception does: `silent in main 09:00 - 12:30`, `early instead`."""
    if isinstance(special, Replace):
        return (special.timetable or "silent") + (" instead" if special.instead else "")
    if isinstance(special, AsUsual):
        return "as usual"
    if isinstance(special, Add):
        times = ", ".join(write_time(at) for at, _ in special.times)
        return f"add {times} {special.signal}{_in(special.zones)}"
    if isinstance(special, Silence):
        return "silent" + _in(special.zones) + _window(special.window)
    if isinstance(special, Shift):
        sign = "+" if special.seconds >= 0 else ""
        return f"shift {sign}{write_duration(special.seconds)}{_in(special.zones)}{_window(special.window)}"
    if isinstance(special, Drop):
        return _drop(special)
    return _move(special)


def _drop(drop: Drop) -> str:
    what = f' "{drop.label}"' if drop.label is not None else ""
    if drop.times:
        what = " " + ", ".join(map(write_time, drop.times))
    return f"drop{what}{_in(drop.zones)}{_window(drop.window)}"


def _move(move: Move) -> str:
    what = f'"{move.label}"' if move.at is None else write_time(move.at)
    to = write_time(move.start) + (f" - {write_time(move.end)}" if move.end is not None else "")
    return f"move {what} to {to}{_in(move.zones)}"


def _in(zones: tuple[str, ...] | None) -> str:
    return f" in {', '.join(zones)}" if zones else ""


def _window(window: Window | None) -> str:
    # As written: `after 14:00` is kept as a second later, which nobody would say.
    return "" if window is None else " " + " ".join(window.span.text.split())
