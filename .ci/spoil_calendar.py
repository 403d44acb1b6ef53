"""Copies a calendar from standard input to standard output with one thing made wrong.

`onset`: the first change back to standard time comes a week early. `exception`: the first date that
a series leaves out is left in.
"""

import re
import sys
from datetime import datetime, timedelta


def move_onset(found: re.Match[str]) -> str:
    """Return the start of a STANDARD part with its onset a week earlier."""
    onset = datetime.fromisoformat(found[2]) - timedelta(days=7)
    return f"{found[1]}{onset:%Y%m%dT%H%M%S}"


def leave_in(found: re.Match[str]) -> str:
    """Return an EXDATE without the first of its dates, or nothing if it was the only one."""
    dates = found[2].split(",")[1:]
    return f"{found[1]}{','.join(dates)}\r\n" if dates else ""


WAYS = {
    "onset": (r"(BEGIN:STANDARD\r\nDTSTART:)(\d{8}T\d{6})", move_onset),
    "exception": (r"(EXDATE;[^:\r\n]*:)([^\r\n]*)\r\n", leave_in),
}


def spoil(calendar: str, way: str) -> str:
    """Return the calendar, its long lines unfolded (RFC 5545, 3.1), with one thing made wrong."""
    pattern, change = WAYS[way]
    spoilt, count = re.subn(pattern, change, calendar.replace("\r\n ", ""), count=1)
    assert count == 1, f"nothing to spoil: {way}"
    return spoilt


if __name__ == "__main__":
    sys.stdout.buffer.write(spoil(sys.stdin.buffer.read().decode(), sys.argv[1]).encode())
