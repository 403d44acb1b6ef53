"""Bell times pasted from a table: rows of a time and, if they are there, a zone, a label, a signal.

Nothing is guessed: a row that cannot be read, or that says what another row says already, is a problem,
and with a problem there are no times.
"""

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Iterator

from chime.begin.first_machine import MOST_TRACKS
from chime.clock import write_time
from chime.parsing.words import RESERVED
from chime.records import NamedTuple

COLUMNS = ("time", "zone", "label", "signal")
"""The columns, in the order in which they stand where no heading says another."""

DEFAULT_ZONE = "main"
DEFAULT_SIGNAL = "lesson"

_TIME = re.compile(r"(\d{1,2})[:.](\d{2})|(\d{2})(\d{2})", re.ASCII)
_NAME = re.compile(r"[^\W\d_][^\W_]*(?:-[^\W_]+)*")
_BETWEEN = re.compile(r"[\W_]+")
_SEPARATOR = re.compile(r"[,;\t]")


class PastedRing(NamedTuple):
    """A ring line: times of day in seconds, the names of its zones and of its signal, its label."""

    times: tuple[int, ...]
    zones: tuple[str, ...]
    signal: str
    label: str | None


class Pasted(NamedTuple):
    """What a table says: zones and signals (name, label) in the order in which they come, and rings."""

    zones: tuple[tuple[str, str | None], ...]
    signals: tuple[tuple[str, str | None], ...]
    rings: tuple[PastedRing, ...]


class Problem(NamedTuple):
    """Why a line of the table cannot be used; lines count from 1, and 0 is the table as a whole."""

    line: int
    reason: str


class TimesRead(NamedTuple):
    """What a table says, None where there are problems, and the problems in the order of their lines."""

    pasted: Pasted | None
    problems: tuple[Problem, ...]


class _Row(NamedTuple):
    line: int
    at: int
    zone: str
    signal: str
    label: str | None


class _Names:
    """Names made from what is written in a column, each from one spelling only."""

    def __init__(self, default: str) -> None:
        self.default = default
        self.written: dict[str, str] = {}
        self.labels: dict[str, str | None] = {}

    def name(self, written: str) -> str:
        """Return the name of a zone or signal; raises ValueError with the reason if there can be none."""
        if not written:
            written = self.default
        name = written if _NAME.fullmatch(written) else _BETWEEN.sub("-", written.lower()).strip("-")
        if not _NAME.fullmatch(name) or name in RESERVED:
            raise ValueError(f'"{written}" cannot be a name: a name is a letter, then letters and digits')
        key = name.casefold()
        other = self.written.setdefault(key, written)
        if other != written:
            raise ValueError(f'"{written}" and "{other}" are too alike for two names')
        self.labels[name] = None if name == written else _as_label(written)
        return name


def read_times(text: str) -> TimesRead:
    """Read the text of a table of times."""
    try:
        cells = list(_cells(text))
    except csv.Error as error:
        reason = f"a double quote stands inside a cell, or is opened and never closed ({error})"
        return TimesRead(None, (Problem(0, reason),))
    order, problems = _columns(cells)
    if problems:
        return TimesRead(None, tuple(problems))
    zones, signals = _Names(DEFAULT_ZONE), _Names(DEFAULT_SIGNAL)
    rows: list[_Row] = []
    for line, row in cells[1:] if _is_heading(cells) else cells:
        try:
            rows.append(_read_row(line, row, order, zones, signals))
        except ValueError as error:
            problems.append(Problem(line, str(error)))
    problems += _clashes(rows)
    if not rows and not problems:
        problems.append(Problem(0, "there are no times in it"))
    if len(zones.labels) > MOST_TRACKS:
        problems.append(
            Problem(0, f"{len(zones.labels)} zones are more than a tape has tracks ({MOST_TRACKS})")
        )
    if problems:
        return TimesRead(None, tuple(sorted(problems)))
    rings = _gathered(rows, list(zones.labels))
    return TimesRead(Pasted(tuple(zones.labels.items()), tuple(signals.labels.items()), rings), ())


def _cells(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows that are not blank, each with the number of its last line."""
    separator = _SEPARATOR.search(text)
    lines = io.StringIO(unicodedata.normalize("NFC", text), newline="")
    reader = csv.reader(lines, delimiter=separator.group() if separator else ",", strict=True)
    for row in reader:
        stripped = [cell.strip() for cell in row]
        if any(stripped):
            yield reader.line_num, stripped


def _is_heading(cells: list[tuple[int, list[str]]]) -> bool:
    return bool(cells) and not any(letter.isdigit() for letter in "".join(cells[0][1]))


def _columns(cells: list[tuple[int, list[str]]]) -> tuple[tuple[str, ...], list[Problem]]:
    """Return the order of the columns, from the heading if there is one."""
    if not _is_heading(cells):
        return COLUMNS, []
    line, heading = cells[0]
    order = tuple(cell.lower() for cell in heading)
    known = all(cell in COLUMNS for cell in order if cell)
    if known and "time" in order and all(order.count(column) < 2 for column in COLUMNS):
        return order, []
    said = ", ".join(cell for cell in heading if cell)
    return order, [
        Problem(line, f'"{said}" is no heading: its columns are {", ".join(COLUMNS)}, the time among them')
    ]


def _read_row(line: int, row: list[str], order: tuple[str, ...], zones: _Names, signals: _Names) -> _Row:
    if any("\n" in cell or "\r" in cell for cell in row):
        raise ValueError("a cell goes on in the next line: a quote is not closed")
    if any(row[len(order) :]):
        raise ValueError(f"more cells than columns ({', '.join(order)})")
    cells = dict(zip(order, row, strict=False))
    at = _time(cells.get("time", ""))
    label = cells.get("label") or None
    if label is not None:
        label = _as_label(label)
    return _Row(line, at, zones.name(cells.get("zone", "")), signals.name(cells.get("signal", "")), label)


def _time(text: str) -> int:
    if not text:
        raise ValueError("the time is missing")
    match = _TIME.fullmatch(text)
    if match is None:
        raise ValueError(f'"{text}" is no time such as 8:45, 08.45 or 0845 on the 24-hour clock')
    hours, minutes = (int(part) for part in match.groups() if part is not None)
    if hours > 23 or minutes > 59:
        raise ValueError(f'there is no time "{text}"')
    return hours * 3600 + minutes * 60


def _as_label(text: str) -> str:
    label = " ".join(text.split())
    if '"' in label or not label.isprintable():
        raise ValueError(f"a label holds no double quotes and no invisible characters: {label!r}")
    return label


def _clashes(rows: Iterable[_Row]) -> list[Problem]:
    """Find rows that another row has said already, or that ring another signal at the same place and time."""
    first: dict[tuple[int, str], _Row] = {}
    said: set[tuple[int, str, str | None]] = set()
    problems = []
    for row in rows:
        before = first.setdefault((row.at, row.zone), row)
        where = f"{write_time(row.at)} in {row.zone}"
        if before.signal != row.signal:
            problems.append(Problem(row.line, f"{where} has another signal on line {before.line}"))
        elif (row.at, row.zone, row.label) in said:
            problems.append(Problem(row.line, f"{where} stands on line {before.line} already"))
        said.add((row.at, row.zone, row.label))
    return problems


def _gathered(rows: list[_Row], zones: list[str]) -> tuple[PastedRing, ...]:
    """Gather rows that differ in their zone or in their time only, in the order of their first times."""
    heard: dict[tuple[int, str, str | None], list[str]] = {}
    for row in sorted(rows, key=lambda row: (row.at, zones.index(row.zone))):
        heard.setdefault((row.at, row.signal, row.label), []).append(row.zone)
    times: dict[tuple[tuple[str, ...], str, str | None], list[int]] = {}
    for (at, signal, label), where in heard.items():
        times.setdefault((tuple(where), signal, label), []).append(at)
    return tuple(
        PastedRing(tuple(listed), where, signal, label) for (where, signal, label), listed in times.items()
    )
