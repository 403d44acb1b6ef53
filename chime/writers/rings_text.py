"""Every ring as lines of JSON or CSV."""

import csv
import io
import json
from collections.abc import Iterable, Iterator

from chime import zone_time
from chime.clock import write_date
from chime.rings.model import Ring
from chime.writers.columns import seconds


def as_json(rings: Iterable[Ring], place: str) -> Iterator[str]:
    """Yield one JSON object a ring, in order: local time with its offset, zone, signal, and why."""
    for ring in rings:
        at = ring.at.isoformat() + zone_time.written_offset(place, ring.at, ring.fold)
        record = {
            "at": at,
            "zone": ring.zone,
            "signal": ring.signal,
            "seconds": seconds(ring.length_ms),
            "labels": list(ring.labels),
            "because": list(ring.because),
        }
        yield json.dumps(record, ensure_ascii=False)


def as_csv(rings: Iterable[Ring], place: str) -> Iterator[str]:
    """Yield a heading and one line a ring, for a spreadsheet."""
    yield _row(["date", "weekday", "time", "offset", "zone", "signal", "seconds", "labels", "because"])
    for ring in rings:
        weekday, day = write_date(ring.at.date()).split()
        offset = zone_time.written_offset(place, ring.at, ring.fold)
        labels, because = " / ".join(ring.labels), " ".join(ring.because)
        yield _row(
            [
                day,
                weekday,
                ring.at.time().isoformat(),
                offset,
                ring.zone,
                ring.signal,
                seconds(ring.length_ms),
                labels,
                because,
            ]
        )


def as_lines(rings: Iterable[Ring]) -> Iterator[str]:
    """Yield the rings for a reader, a heading for each date."""
    day = None
    for ring in rings:
        if ring.at.date() != day:
            day = ring.at.date()
            yield write_date(day)
        second = " (second pass)" if ring.fold else ""
        labels = " / ".join(ring.labels)
        clock = f"{ring.at:%H:%M:%S}" if ring.at.second else f"{ring.at:%H:%M}   "
        length = f"{seconds(ring.length_ms):>4} s"
        yield f"  {clock}{second}  {ring.zone:<12} {ring.signal:<10} {length}  {labels}".rstrip()


def _row(cells: list[object]) -> str:
    line = io.StringIO()
    csv.writer(line, lineterminator="").writerow(cells)
    return line.getvalue()
