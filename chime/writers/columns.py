"""Words set in columns for a terminal or a sheet: 100 cells wide, readable without colour."""

import re
from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from chime.diagnostics import Span
from chime.diagnostics.cells import measure, show
from chime.programme.model import Programme

WIDTH = 100
"""Cells of a line, where the words allow it."""


def visible(text: str) -> str:
    """Return text on one line, with a stand-in for every character that has no shape of its own."""
    return "".join(show(character, ascii_only=False)[0] for character in text)


def pad(text: str, width: int) -> str:
    """Return text filled with spaces up to so many cells."""
    return text + " " * max(0, width - measure(text))


def widths(rows: Iterable[Sequence[str]]) -> list[int]:
    """Return how many cells each column needs; rows may be of unlike length."""
    found: list[int] = []
    for row in rows:
        found += [0] * (len(row) - len(found))
        for place, cell in enumerate(row):
            found[place] = max(found[place], measure(cell))
    return found


def align(rows: Sequence[Sequence[str]], indent: str = "  ", gap: str = "  ") -> list[str]:
    """Return rows as lines with their columns under each other."""
    needed = widths(rows)
    lines = (gap.join(pad(cell, needed[place]) for place, cell in enumerate(row)) for row in rows)
    return [(indent + line).rstrip() for line in lines]


def fold(words: Iterable[str], before: str, between: str = ", ") -> list[str]:
    """Return words behind `before`, on as many lines as they need, those after the first indented alike."""
    margin = " " * measure(before)
    lines, started = [before], False
    for word in words:
        end = between if started else ""
        if started and measure(lines[-1] + end + word) > WIDTH:
            lines[-1] = (lines[-1] + end).rstrip()
            lines.append(margin + word)
        else:
            lines[-1] += end + word
        started = True
    return lines


def words_of(text: str) -> list[str]:
    """Return the words of a text between which a line may end; a number stays with the word before it."""
    return re.split(r" (?!\d)", text)


def joined(words: Sequence[str]) -> str:
    """Return words as a sentence lists them: `main, junior and yard`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def number(count: int, what: str) -> str:
    """Return a count with its noun: `1 ring`, `2,053 rings`."""
    return f"{count:,} {what}" + ("" if count == 1 else "s")


def seconds(length_ms: int) -> int | float:
    """Return a length in seconds: a whole number where it is one."""
    return length_ms // 1000 if length_ms % 1000 == 0 else length_ms / 1000


def line_of(span: Span, main: Span) -> str:
    """Return where a line stands: `line 12`, or `bells.chime line 12` in another file than `main`."""
    place = f"line {span.line}"
    return place if span.source is main.source else f"{visible(span.source.path)} {place}"


def text_of(span: Span) -> str:
    """Return the words of a line as written; of one that goes on below, the first line."""
    first, *more = span.text.splitlines()
    said = re.sub(r'("[^"]*")|[ \t]+', lambda found: found[1] or " ", first.strip())
    return f"{visible(said)} ..." if more else visible(said)


def zone_order(programme: Programme) -> list[str]:
    """Return the zones in the order of their tracks, as they stand on the tape."""
    tracks = {z.name: z.tracks.tracks if z.tracks is not None else (100,) for z in programme.zones}
    return sorted(tracks, key=lambda name: (tracks[name], name))


def runs_of(days: Iterable[date]) -> list[tuple[date, date]]:
    """Return the stretches of dates that follow each other without a gap: first and last of each."""
    found: list[tuple[date, date]] = []
    for day in sorted(days):
        if found and day - found[-1][1] == timedelta(days=1):
            found[-1] = (found[-1][0], day)
        else:
            found.append((day, day))
    return found


def short_dates(days: Iterable[date]) -> list[str]:
    """Return dates in stretches, the year only where it changes: `2026-09-07 to 09-10`, `09-21`."""
    found, year = [], 0
    for first, last in runs_of(days):
        said = []
        for day in dict.fromkeys((first, last)):
            said.append(day.isoformat() if day.year != year else f"{day:%m-%d}")
            year = day.year
        found.append(" to ".join(said))
    return found
