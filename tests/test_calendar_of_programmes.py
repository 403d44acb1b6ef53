"""The calendar of any programme, read by an independent library, has the programme's rings and no other.

tests/test_calendar.py holds the writer against rings made up for it; here whole programmes are compiled, with
bells in the hours that the clocks leave out or show twice. Expected instants are reckoned with `zoneinfo`.
"""

import re
import zoneinfo
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events
from hypothesis import given
from hypothesis import strategies as st

from chime.compiler import lay_open
from chime.programme.model import Programme
from chime.rings.model import Ring, RingCalendar
from chime.writers import icalendar_file
from tests.compiling import checked, reader_of
from tests.icalendar_lines import faults, read_by_lines
from tests.random_programmes import Part, Written, programmes
from tests.shipped_texts import law


@pytest.fixture(autouse=True)
def _zones_of_the_package() -> Iterator[None]:
    """Let readers use the zone data of the `tzdata` package, not an older copy of the machine."""
    before = zoneinfo.TZPATH
    zoneinfo.reset_tzpath(to=[])
    zoneinfo.ZoneInfo.clear_cache()
    yield
    zoneinfo.reset_tzpath(to=before)
    zoneinfo.ZoneInfo.clear_cache()


class Heard(NamedTuple):
    """A ring as a reader of a calendar hears it; `clock` is the zone in which its time is written."""

    instant: datetime
    clock: str
    zone: str
    summary: str
    seconds: int


def heard_by_a_library(content: bytes) -> Counter[Heard]:
    events = recurring_ical_events.of(icalendar.Calendar.from_ical(content))
    found: Counter[Heard] = Counter()
    for event in events.between(datetime(2026, 1, 1), datetime(2028, 1, 1)):
        start, end = event["DTSTART"].dt, event["DTEND"].dt
        (zone,) = event["CATEGORIES"].cats
        seconds = round((end - start).total_seconds())
        heard = Heard(start.astimezone(UTC), str(start.tzinfo), str(zone), str(event["SUMMARY"]), seconds)
        found[heard] += 1
    return found


def rung(programme: Programme, calendar: RingCalendar) -> Counter[Heard]:
    """What the calendar must say: a time that comes twice in UTC, every other ring in the place's zone."""
    labels = {zone.name: zone.label or zone.name for zone in programme.zones}

    def heard(ring: Ring) -> Heard:
        there = ZoneInfo(programme.place)
        instant = ring.at.replace(tzinfo=there, fold=ring.fold).astimezone(UTC)
        first, second = (ring.at.replace(tzinfo=there, fold=fold).utcoffset() for fold in (0, 1))
        zone, title = labels[ring.zone], " / ".join(ring.labels) or "Bell"
        clock = programme.place if first == second else "UTC"
        return Heard(instant, clock, zone, f"{title} ({zone})", -(-ring.length_ms // 1000))

    return Counter(map(heard, calendar.rings))


EVENT = re.compile(rb"^BEGIN:VEVENT\r\n(?:.*?\r\n)END:VEVENT\r$", re.DOTALL | re.MULTILINE)


def calendars_of_zones(written: Written) -> dict[str, bytes]:
    """The calendar of each zone of a sound programme, by the names of their files."""
    verified = lay_open("test.chime", written.text.encode(), reader_of(written.files)).verified
    assert verified is not None
    return {artefact.name: artefact.content for artefact in icalendar_file.write_by_zone(verified)}


def calendar_file(written: Written) -> bytes:
    """The calendar of a sound programme, taken through every stage; the other files are left out."""
    verified = lay_open("test.chime", written.text.encode(), reader_of(written.files)).verified
    assert verified is not None
    (artefact,) = icalendar_file.write(verified)
    assert artefact.name == "calendar.ics"
    return artefact.content


CLOCKS = (
    "clocks skip missing hour, repeated hour rings first",
    "clocks ring missing hour at 04:10, repeated hour rings second",
    "clocks ring missing hour at 04:10, repeated hour rings both",
)
TIMES = ("01:30, 02:15", "01:40, 02:20, 24:30")
"""Times of which some are in the hours that clocks leave out or show twice, in every place that is drawn."""


def by_night(written: Written, clocks: str, times: str) -> Written:
    """The programme without a machine, and with bells in the night of every Sunday, when clocks change.

    One of an autumn has the same pattern in the next spring, so that its clocks go back and forward.
    """
    parts = [part for part in written.parts if not part.opener.startswith(("machine", "use"))]
    head = next(part for part in parts if part.opener.startswith("programme"))
    lines = (*(line for line in head.lines if not line.startswith("clocks")), clocks)
    terms = [part for part in parts if part.opener.startswith("term")]
    if written.first.year == 2026:
        terms.append(Part('term "Change" 2027-03-08 to 2027-04-11', terms[0].lines))
    spans = [term.opener.partition('" ')[2].split(" to ") for term in terms]
    nights = [f"every Sun from {first} to {last} add {times} lesson in main" for first, last in spans]
    rest = [part for part in parts if part is not head and part not in terms]
    return written._replace(
        parts=(head._replace(lines=lines), *rest, *terms, Part("exceptions", tuple(nights)))
    )


def test_a_calendar_of_any_programme_has_its_rings_and_no_other() -> None:
    seen: Counter[str] = Counter()

    @law(max_examples=18)
    @given(programmes(), st.sampled_from(TIMES))
    def draw(written: Written, times: str) -> None:
        for clocks in CLOCKS:
            read_back(by_night(written, clocks, times))

    def read_back(written: Written) -> None:
        found = checked(written.text, written.files)
        programme, calendar = found.programme, found.calendar
        if programme is None or calendar is None:
            return
        content = calendar_file(written)
        expected = rung(programme, calendar)
        assert heard_by_a_library(content) == expected
        assert faults(content, programme.place) == []
        by_lines = Counter({tuple(sound): count for sound, count in read_by_lines(content).items()})
        assert by_lines == Counter({(h.instant, *h[2:]): count for h, count in expected.items()})
        whole, by_zone = EVENT.findall(content), calendars_of_zones(written)
        ringing = {ring.zone for ring in calendar.rings}
        assert by_zone.keys() == {f"calendar-{zone}.ics" for zone in ringing if len(ringing) > 1}
        if by_zone:
            assert Counter(each for own in by_zone.values() for each in EVENT.findall(own)) == Counter(whole)
        for name, own in by_zone.items():
            label = {f"calendar-{zone.name}.ics": zone.label or zone.name for zone in programme.zones}[name]
            assert faults(own, programme.place) == []
            assert heard_by_a_library(own) == Counter({h: n for h, n in expected.items() if h.zone == label})
        seen["calendars of zones"] += len(by_zone)
        seen["series"] += content.count(b"RRULE")
        seen["left out"] += content.count(b"EXDATE")
        seen["second pass"] += any(ring.fold for ring in calendar.rings)
        seen.update({silenced.hour for silenced in calendar.silenced})
        seen["at the substitute"] += any(
            ring.at.hour == 4 and ring.at.minute == 10 for ring in calendar.rings
        )

    draw()
    wanted = (
        "series",
        "left out",
        "calendars of zones",
        "second pass",
        "missing hour",
        "repeated hour",
        "at the substitute",
    )
    assert all(seen[kind] > 2 for kind in wanted), seen
