"""Calendar files with closures, and what is read from them."""

from datetime import date

from chime.programme.closures import Closures, Kind, read_closures

YEAR = (date(2026, 9, 1), date(2027, 8, 31))


def calendar(*entries: str) -> bytes:
    """A calendar of entries, each written as its lines; those without a UID are lent one."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Invented//Calendar//EN"]
    for number, entry in enumerate(entries):
        own = [line.strip() for line in entry.strip().splitlines()]
        if not any(line.startswith("UID") for line in own):
            own.insert(0, f"UID:{number}@school.example")
        lines += ["BEGIN:VEVENT", "DTSTAMP:20260801T120000Z", *own, "END:VEVENT"]
    return "\r\n".join([*lines, "END:VCALENDAR", ""]).encode()


def read(*entries: str) -> Closures:
    return read_closures(calendar(*entries), *YEAR)


def days_of(*entries: str) -> list[str]:
    """The closed dates of entries that must all be good."""
    found = read(*entries)
    assert found.problems == ()
    return [day.isoformat() for day, _ in found.days]


def refused(*entries: str) -> list[tuple[Kind, str | None]]:
    found = read(*entries)
    return [(problem.kind, problem.summary) for problem in found.problems]
