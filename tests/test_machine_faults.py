"""Every fault of the text of a machine, a supply, a line or a load, and no follow-on faults."""

from collections.abc import Iterator
from typing import Any

import pytest

from chime.diagnostics import Span
from chime.programme import machine_faults, wiring_faults
from chime.programme.equipment import Value
from tests.built_machines import ZONES, Built, build, held, machine_of, sound


def values(record: Any) -> Iterator[Value]:
    """Every measured value of a record."""
    if isinstance(record, Value):
        yield record
    elif isinstance(record, tuple) and not isinstance(record, Span):
        for inner in record:
            yield from values(inner)


# ------------------------------------------------------------------------------- faults


def places(built: Built) -> list[tuple[str, int, int, str]]:
    """Code, line, column and text of every fault's place to edit."""
    found = []
    for diagnostic in built.faults:
        assert diagnostic.primary is not None
        span = diagnostic.primary.span
        found.append((diagnostic.code.id, span.line, span.column, span.text))
    return found


ON_LINE_TWO = [
    # line, code, column, marked text; the machine's opener is line 1
    ("row 2 mm\n  row 3 mm", "N341", 3, 3, "row 3 mm"),
    ("side play 2 mm\n  row 1 mm\n  side play 2 mm", "N341", 4, 3, "side play 2 mm"),
    ("sprocket every 2 mm, every 3 mm", "N342", 2, 24, "every 3 mm"),
    ("tape 20 mm wide, 0.1 mm thick, 30 mm wide", "N342", 2, 34, "30 mm wide"),
    ("finger drops in, brushes", "N342", 2, 20, "brushes"),
    ("finger round 1 mm, ball 1 mm", "N342", 2, 22, "ball 1 mm"),
    ("relay operates 3 ms, operates 4 ms", "N342", 2, 24, "operates 4 ms"),
    ("errors jig 0.1 mm, seam 0.1 mm, jig 0.1 mm", "N342", 2, 35, "jig 0.1 mm"),
    ("costs silence 2 min, silence 3 min", "N342", 2, 24, "silence 3 min"),
    ("gate at 8 s for 6 s\n  no gate", "N401", 3, 3, "no gate"),
    ("no gate\n  gate", "N401", 3, 3, "gate"),
    ("friction\n  sprocket every 2 mm", "N402", 3, 3, "sprocket every 2 mm"),
    ("loop 24 h in rows of 7 min", "N403", 2, 24, "7 min"),
    ("loop 1 min in rows of 2 min", "N403", 2, 25, "2 min"),
    ("reserve 101 %", "N404", 2, 11, "101 %"),
    ("errors stretch 200 % over 20 mm", "N404", 2, 18, "200 %"),
    ("sprocket every 2 mm within 2 mm", "N405", 2, 30, "2 mm"),
    ("sprocket hole 1 mm within 2 mm", "N405", 2, 29, "2 mm"),
    ("sprocket 9 mm from the guided edge within 9.5 mm", "N405", 2, 45, "9.5 mm"),
    ("hole slot 2 mm by 0.5 mm, within 0.6 mm", "N405", 2, 36, "0.6 mm"),
    ("finger round 0.5 mm within 0.5 mm", "N405", 2, 30, "0.5 mm"),
    ("finger 2 mm by 0.5 mm within 0.6 mm", "N405", 2, 32, "0.6 mm"),
    ("gate at 8 s for 2 s to 15 s, within 2 s", "N405", 2, 39, "2 s"),
    ("gate for 15 s to 2 s", "N406", 2, 8, "for 15 s to 2 s"),
    ("gate at 8 s for 2 s to 2 s, within 0.5 s", "N406", 2, 15, "for 2 s to 2 s"),
    ("silenced Sat turning at 24:00", "N407", 2, 27, "24:00"),
    ("silenced 25:00 - 30:00", "N407", 2, 12, "25:00"),
    ("attended Mon 25:00 - 30:00", "N407", 2, 16, "25:00"),
    ("silenced 18:00 - 43:00", "N408", 2, 12, "18:00 - 43:00"),
    ("silenced Sat, Fri to Sun", "N409", 2, 17, "Fri to Sun"),
    ("attended Mon to Fri, Tue 07:00 - 16:00", "N409", 2, 24, "Tue"),
    ("silenced Sat, Sun\n  silenced Sun in yard", "N409", 3, 12, "Sun"),
    ("silenced Sun in main\n  silenced Fri to Sun in lessons", "N409", 3, 12, "Fri to Sun"),
    ("reads 3 rows ahead\n  reads 5 rows ahead", "N410", 3, 9, "5 rows ahead"),
    ("reads 3 rows ahead, 5 rows ahead on track 2", "N410", 2, 36, "on track 2"),
    ("reads 3 rows ahead on track 2, 5 rows ahead", "N410", 2, 34, "5 rows ahead"),
    ("reads 3 rows ahead on track 2\n  reads 3 rows ahead on track 2", "N410", 3, 22, "on track 2"),
    ("out of use tracks 2, 3, 2", "N410", 2, 27, "2"),
    ("out of use track 2\n  out of use track 2", "N410", 3, 20, "2"),
    ("tracks at 5, 8, 5.0 mm", "N411", 2, 19, "5.0"),
    ("tracks at 5, 8 mm\n  out of use track 3", "N412", 3, 20, "3"),
    ("reads 3 rows ahead on track 3\n  tracks at 5, 8 mm", "N412", 2, 31, "3"),
    ("tracks at 5, 8 mm\n  selector 1 position\n  position 1 main on track 3", "N412", 4, 28, "3"),
    ("row 2 mm\n  position 1 main on track 1", "N413", 3, 3, "position 1 main on track 1"),
    ("position 2 main on track 1\n  selector 1 position", "N414", 2, 12, "2"),
    ("selector 1 position\n  position 1 main on track 1\n  position 1 main on track 2", "N415", 4, 12, "1"),
    ("selector 3 positions\n  position 2 main on track 1", "N416", 2, 12, "3"),
    (
        "selector 1 position\n  position 1 main on track 1, lessons on track 1",
        "N417",
        3,
        31,
        "lessons on track 1",
    ),
    ("silenced 09:00 - 09:00", "N309", 2, 12, "09:00 - 09:00"),
    ("attended Mon 09:00 - 09:00", "N309", 2, 16, "09:00 - 09:00"),
    ("attended Mon 08:50 - 08:00", "N308", 2, 24, "08:00"),
    ("silenced 18:75 - 20:00", "N301", 2, 12, "18:75"),
    ("silenced Sat turning at 00:60", "N301", 2, 27, "00:60"),
    ("silenced Sat to Sat", "N313", 2, 12, "Sat to Sat"),
    ("silenced Sat in yrad", "N321", 2, 19, "yrad"),
    ("silenced 18:00 - 07:00 in gym", "N321", 2, 29, "gym"),
    ("switches main, yrad", "N321", 2, 18, "yrad"),
    ("selector 1 position\n  position 1 gym on track 1", "N321", 3, 14, "gym"),
    ("row 0 mm", "N311", 2, 7, "0 mm"),
    ("tracks at 0, 5 mm", "N311", 2, 13, "0"),
    ("gate for 0 s", "N311", 2, 12, "0 s"),
    ("wheel 0 pins", "N307", 2, 9, "0"),
    ("reads 1.5 rows ahead", "N306", 2, 9, "1.5"),
    ("joint lap of 1.5 rows", "N306", 2, 16, "1.5"),
    ("selector 0 positions", "N307", 2, 12, "0"),
    ("out of use track 100", "N307", 2, 20, "100"),
    ("row 0.0000001 mm", "N305", 2, 7, "0.0000001 mm"),
]

WRONG_UNITS = [
    ("loop 24 mm in rows of 1 min", "24 mm"),
    ("loop 24 h in rows of 1 mm", "1 mm"),
    ("row 2 s", "2 s"),
    ("sprocket every 2 s", "2 s"),
    ("sprocket hole 2 s", "2 s"),
    ("sprocket 2 s from the guided edge", "2 s"),
    ("sprocket every 2 mm within 1 s", "1 s"),
    ("tape 20 s wide", "20 s"),
    ("tape 20 % thick", "20 %"),
    ("drive steps in 2 mm", "2 mm"),
    ("drive steps after 2 mm", "2 mm"),
    ("hole round 1 mm within 5 %", "5 %"),
    ("hole slot 1 mm by 1 V", "1 V"),
    ("finger ball 1 mm closing at 1 s", "1 s"),
    ("finger 1 mm by 1 s", "1 s"),
    ("side play 1 degrees", "1 degrees"),
    ("gate at 8 mm", "8 mm"),
    ("gate for 8 mm", "8 mm"),
    ("gate for 8 s to 9 mm", "9 mm"),
    ("gate for 8 s, within 1 mm", "1 mm"),
    ("relay operates 1 mm", "1 mm"),
    ("errors jig 1 degrees", "1 degrees"),
    ("errors stretch 1 mm", "1 mm"),
    ("errors stretch 1 % over 1 s", "1 s"),
    ("errors skew 1 s", "1 s"),
    ("web at least 1 s", "1 s"),
    ("silenced Sat turning at 00:30 within 1 mm", "1 mm"),
    ("costs new tape 1 mm", "1 mm"),
    ("allowance -1 s", "-1 s"),
    ("allowance 1 mm within 1 s", "1 s"),
    ("wear 1 s", "1 s"),
    ("wheel 1 s", "1 s"),
    ("wheel over 1 mm", "1 mm"),
    ("reserve 1 mm", "1 mm"),
]


@pytest.mark.parametrize(("lines", "code", "line", "column", "marked"), ON_LINE_TWO)
def test_a_fault_of_a_machine_is_found_where_it_stands(
    lines: str, code: str, line: int, column: int, marked: str
) -> None:
    built = build(f"machine tower\n  {lines}\n{ZONES}")
    assert places(built) == [(code, line, column, marked)]


@pytest.mark.parametrize(("line", "marked"), WRONG_UNITS)
def test_a_unit_of_another_kind_is_a_fault_and_the_value_is_not_held(line: str, marked: str) -> None:
    built = build(f"machine tower\n  {line}\n")
    assert places(built) == [("N304", 2, line.index(marked) + 3, marked)]
    assert marked not in {value.span.text for value in values(built.machine)}


FED = "supply s 24 V 5 A\nline d fed by s\n"

ELECTRICAL_FAULTS = [
    ("supply s 24 A 5 A", "N304", 1, 10, "24 A"),
    ("supply s 24 V 5 V", "N304", 1, 15, "5 V"),
    ("supply s 24 V 5 A short-time 6 V for 10 s", "N304", 1, 30, "6 V"),
    ("supply s 24 V 5 A short-time 6 A for 10 A", "N304", 1, 38, "10 A"),
    ("supply s 24 V 5 A short-time 4.9 A for 10 s", "N419", 1, 30, "4.9 A"),
    ("line d fed by nobody", "N326", 1, 15, "nobody"),
    (f"{FED}  clocks 1 at 24 V each", "N304", 3, 15, "24 V"),
    (f"{FED}  clocks 1.5 at 24 mA each", "N306", 3, 10, "1.5"),
    (f"{FED}  clocks 1 at 9 mA each\n  clocks 2 at 9 mA each", "N341", 4, 3, "clocks 2 at 9 mA each"),
    (f"{FED}  cable AWG 1, every 5 m\n  cable AWG 2, every 5 m", "N341", 4, 3, "cable AWG 2, every 5 m"),
    (
        f"{FED}  cable AWG 1, clocks at 3 m\n  clocks 2 at 9 mA each",
        "N418",
        3,
        3,
        "cable AWG 1, clocks at 3 m",
    ),
    ("zone z\n  cable 1.5 mm, every 5 m", "N304", 2, 9, "1.5 mm"),
    ("zone z\n  cable 1.5 mm2, every 5 s", "N304", 2, 24, "5 s"),
    ("zone z\n  cable 1.5 mm2, bells at 4, 5 s", "N304", 2, 27, "4"),
    ("zone z\n  cable AWG 41, every 5 m", "N307", 2, 13, "41"),
    ("zone z\n  cable AWG 00, every 5 m", "N307", 2, 13, "00"),
    ("zone z\n  cable AWG 1.5, every 5 m", "N306", 2, 13, "1.5"),
    ("zone z\n  bells 0 at 350 mA each", "N307", 2, 9, "0"),
    ("zone z\n  bells 4 at 350 mm each", "N304", 2, 14, "350 mm"),
    ("zone z\n  bells 4 at 0 mA each", "N311", 2, 14, "0 mA"),
    ("zone z\n  bells 4 at 350 mA each fed by nobody", "N326", 2, 33, "nobody"),
]


@pytest.mark.parametrize(("text", "code", "line", "column", "marked"), ELECTRICAL_FAULTS)
def test_a_fault_of_a_supply_a_line_or_a_load_is_found_where_it_stands(
    text: str, code: str, line: int, column: int, marked: str
) -> None:
    assert places(build(text + "\n")) == [(code, line, column, marked)]


BOTH_SHOWN = (
    "N341",
    "N342",
    "N401",
    "N402",
    "N403",
    "N405",
    "N409",
    "N410",
    "N411",
    "N412",
    "N414",
    "N415",
    "N417",
)


@pytest.mark.parametrize(
    "lines", [lines for lines, code, *_ in ON_LINE_TWO if code in BOTH_SHOWN], ids=lambda lines: lines
)
def test_a_clash_shows_both_places(lines: str) -> None:
    (fault,) = build(f"machine tower\n  {lines}\n{ZONES}").faults
    own, other = fault.labels
    assert (own.role, other.role) == ("primary", "secondary")
    assert own.span != other.span
    assert own.text
    assert other.text


def test_what_contradicts_is_marked_at_the_later_line() -> None:
    (fault,) = build("machine tower\n  no gate\n  gate at 8 s\n").faults
    assert [label.span.text for label in fault.labels] == ["gate at 8 s", "no gate"]


@pytest.mark.parametrize(
    ("lines", "offers"),
    [
        # Hand computed: 1440 min is not divided by 7, but by 6 and by 8; 720 min by 9 and by 12, not by 11.
        ("loop 24 h in rows of 7 min", ["6 min", "8 min"]),
        ("loop 12 h in rows of 11 min", ["10 min", "12 min"]),
        ("loop 1 min in rows of 2 min", ["1 min"]),
        ("loop 24 h in rows of 0.7 min", ["1 min"]),
        ("loop 30 s in rows of 1 min", []),
        ("gate for 15 s to 2 s", ["for 2 s to 15 s"]),
        ("gate for 2 s assumed to 2 s", ["for 2 s"]),
        ("silenced Sat turning at 24:30", ["00:30"]),
        ("silenced 25:00 - 07:00", ["01:00"]),
    ],
)
def test_offers_are_near_and_right(lines: str, offers: list[str]) -> None:
    built = build(f"machine tower\n  {lines}\n")
    (fault,) = built.faults
    assert [offer.text for offer in fault.suggestions] == offers
    for offer in fault.suggestions:
        (edit,) = offer.edits
        text = built.source.text
        assert sound(text[: edit.span.start] + edit.replacement + text[edit.span.end :])


def test_a_missing_selector_is_offered_as_a_line_of_its_own() -> None:
    built = build(f"{ZONES}machine tower\n  position 2 main on track 1\n  position 1 yard on track 1\n")
    (fault,) = built.faults
    (edit,) = fault.suggestions[0].edits
    text = built.source.text
    mended = sound(text[: edit.span.start] + edit.replacement + text[edit.span.end :])
    assert held(mended.machine.selector_positions) == "2"


# ------------------------------------------------------------------ no follow-on noise


def test_a_line_that_could_not_be_read_causes_no_fault_of_another() -> None:
    built = Built(f"{ZONES}machine tower\n  selector two positions\n  position 1 main on track 1\n")
    assert len(built.unread) == 1
    assert built.faults == []
    built = Built(
        f"{ZONES}machine tower\n  selector 2 positions\n  position 1 main on track 1\n  position two\n"
    )
    assert len(built.unread) == 1
    assert built.faults == []


def test_a_fault_in_one_position_is_the_only_one() -> None:
    text = (
        "machine tower\n  selector 2 positions\n  position 1 main on track 1\n  position 3 main on track 2\n"
    )
    assert [code for code, *_ in places(build(ZONES + text))] == ["N414"]
    assert [
        code
        for code, *_ in places(build(ZONES + text.replace("selector 2 positions", "selector 1.5 positions")))
    ] == ["N306"]


def test_a_machine_without_a_readable_first_line_is_still_read() -> None:
    built = Built("machine 1\n  row 2 mm\n  row 3 mm\n")
    assert len(built.unread) == 1
    assert built.machine.name == ""
    assert held(built.machine.pitch) == "2000000 nm"
    assert [code for code, *_ in places(built)] == ["N341"]


def test_zones_that_have_nothing_in_common_may_be_silenced_on_one_weekday() -> None:
    machine = machine_of("silenced Sat in main", "silenced Sat turning at 00:30 in yard, hall")
    assert [wheel.zones for wheel in machine.day_wheels] == [("hall", "yard"), ("main",)]


@pytest.mark.parametrize("line", ["reads 1.5 rows ahead", "reads 3 rows ahead on track 0"])
def test_a_reading_offset_with_a_fault_is_not_held(line: str) -> None:
    built = build(f"machine tower\n  {line}\n")
    assert len(built.faults) == 1
    assert built.machine.reads == ()


def test_a_stretch_over_a_length_with_a_fault_is_not_held() -> None:
    built = build("machine tower\n  errors jig 1 mm, stretch 1 % over 1 s\n")
    assert len(built.faults) == 1
    assert held(built.machine.errors) == ({"name": "jig", "value": "1000000 nm"},)


# -------------------------------------------------------------------------------- codes


FRAME = 'zone main on track 1 "Main building"\n'

CODES = (*machine_faults.CODES, *wiring_faults.CODES)


@pytest.mark.parametrize("code", CODES, ids=lambda code: code.slug)
def test_the_examples_of_a_code_show_it(code: Any) -> None:
    assert {d.code for d in build(f"{code.wrong}\n{FRAME}").faults} == {code}
    sound(f"{code.right}\n{FRAME}")
    assert code.severity == "error"
    assert len(code.explanation) > 40


def test_codes_are_numbered_without_repeats_in_their_range() -> None:
    numbers = [code.id for code in CODES]
    assert numbers == sorted(set(numbers))
    assert all("N401" <= number <= "N449" for number in numbers)
    assert len({code.slug for code in CODES}) == len(numbers)


def test_headlines_make_sense_alone_and_reasons_are_sentences() -> None:
    for lines, *_ in ON_LINE_TWO:
        for fault in build(f"machine tower\n  {lines}\n{ZONES}").faults:
            assert not fault.headline.endswith(".")
            assert "\n" not in fault.headline
            assert fault.why.endswith(".")
