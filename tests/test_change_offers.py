"""What faults of drop, shift and move offer: the line as offered has that fault no more."""

import pytest

from chime.diagnostics import Diagnostic, Source, Span
from chime.diagnostics.edits import apply
from chime.programme.model import Move
from chime.rings.change_faults import no_such_label, ring_needs_time
from chime.rings.shapes import Mark
from tests.compiling import checked, codes_of, said

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1
zone yard on track 2
signal lesson 6 s within 2 s
timetable normal in main, yard
  each period start lesson, end lesson
  period "1" 08:45 - 09:45
  period "2" 09:50 - 10:50
  pause "Lunch" 12:00 - 12:40
  ring 11:10 lesson "Line up"
timetable early like normal
  drop after 10:50
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
exceptions
  2026-09-18 early
"""

LINES = {
    "D401": ('drop "Line-up"', 'move "Period 1 start" to 08:40'),
    "D407": ('move "1" to 09:00', 'move "Lunch" to 12:10  "Late kitchen"'),
    "D408": (
        'move "Period 1 starts" to 09:00 - 09:40',
        'move "Lunch ends" to  12:10-12:50',
        'move "Line up" to 11:12 - 11:20',
    ),
    "D413": (
        'drop 08:45\n  2026-09-09 move "1" to 09:00 - 09:47',
        'drop "Period 2 ends"\n  2026-09-09 move "2" to 09:55 - 10:55',
        'drop 12:00\n  2026-09-09 move "Lunch" to 12:45',
    ),
    "D432": ('silent\n  Wed 2026-09-09 early "Early finish"', 'early "Early finish"\n  2026-09-09 silent'),
}
"""Lines of one date, by the fault that they give."""


@pytest.mark.parametrize(("code", "line"), [(code, line) for code, lines in LINES.items() for line in lines])
def test_a_line_written_as_offered_has_the_fault_no_more(code: str, line: str) -> None:
    text = f"{HEAD}  2026-09-09 {line}\n"
    (fault,) = (d for d in checked(text).diagnostics if d.severity == "error")
    offers = [offer for offer in fault.suggestions if offer.certainty == "guess"]
    assert fault.code.id == code
    assert offers
    for offer in offers:
        mended = apply(offer.edits[0].span.source, offer.edits)
        assert [d.code.id for d in checked(mended).diagnostics if d.severity == "error"] == [], mended


def test_of_a_period_the_whole_is_offered_and_the_one_ring() -> None:
    assert offered('move "1" to 09:00') == [
        'move "1" to 09:00 - 10:00',
        'move "Period 1 starts" to 09:00',
    ]
    assert offered('move "Lunch ends" to 12:10 - 12:50') == [
        'move "Lunch" to 12:10 - 12:50',
        'move "Lunch ends" to 12:50',
    ]
    # From 47:30 the period would not end before 48:00.
    assert offered('move "1" to 47:30') == ['move "Period 1 starts" to 47:30']


def offered(line: str) -> list[str]:
    (fault,) = checked(f"{HEAD}  2026-09-09 {line}\n").diagnostics
    return [offer.text for offer in fault.suggestions]


def test_the_day_before_is_offered_only_for_a_line_of_one_date_on_a_closed_day() -> None:
    closed = "  2026-09-09 to 2026-09-11 silent\n"
    assert last_day_offered(HEAD + closed + "  2026-09-10 early\n") == ["Tue 2026-09-08"]
    assert last_day_offered(HEAD + closed + "  2026-09-10 to 2026-09-11 early\n") == []
    all_closed = "  2026-09-07 to 2026-09-11 silent\n"
    assert last_day_offered(HEAD + all_closed + "  2026-09-10 early\n") == []
    two = "timetable late like normal\n  drop before 09:50\n"
    both = HEAD.replace("week ordinary", f"{two}week ordinary") + "  2026-09-10 early\n  2026-09-10 late\n"
    assert last_day_offered(both) == []


def last_day_offered(text: str) -> list[str]:
    (fault,) = (d for d in checked(text).diagnostics if d.code.id == "D432")
    return [offer.edits[0].replacement for offer in fault.suggestions if offer.certainty == "guess"]


def test_faults_of_two_lines_name_the_later_line_and_then_the_earlier() -> None:
    for first, second in (("shift +5 min", "shift +9 min"), ("shift +9 min", "shift +5 min")):
        (fault,) = checked(f"{HEAD}  2026-09-09 {first}\n  2026-09-09 {second}\n").diagnostics
        assert [label.span.text.split(" ", 1)[1] for label in fault.labels] == [second, first]


def test_two_ranges_that_shift_days_of_different_timetables_are_one_fault_for_two_lines() -> None:
    lines = "  2026-09-14 to 2026-09-18 shift +5 min\n  2026-09-16 to 2026-09-18 shift +7 min after 10:00\n"
    assert codes_of(HEAD + lines) == ["D409"]


def test_a_line_that_is_wrong_on_days_that_differ_is_one_fault() -> None:
    assert codes_of(f"{HEAD}  2026-09-14 to 2026-09-18 shift -600 min\n  2026-09-15 drop 12:00\n") == ["D411"]
    turned = "  2026-09-14 to 2026-09-18 shift +70 min before 09:00\n  2026-09-15 drop 12:00\n"
    assert codes_of(HEAD + turned) == ["D412"]


def test_where_a_line_writes_it_in_another_way_the_offer_has_no_edit() -> None:
    source = Source("test.chime", 'move "Line up" to 11.12 - 11.20')
    span = Span(source, 0, len(source.text))
    mark = Mark("ring", 40_200, 40_200, "main", "Line up", "lesson", None, (span,), ())
    fault = ring_needs_time(Move("Line up", None, 40_320, 40_800, None, span), mark)
    assert shown(fault) == [('move "Line up" to 11:12', "sketch", 0)]
    decomposed = Source("test.chime", 'drop "Cafe\N{COMBINING ACUTE ACCENT}s"')
    fault = no_such_label(Span(decomposed, 0, len(decomposed.text)), "Cafés", ["Café"])
    assert shown(fault) == [('"Café"', "sketch", 0)]


def shown(fault: Diagnostic) -> list[tuple[str, str, int]]:
    return [(offer.text, offer.certainty, len(offer.edits)) for offer in fault.suggestions]


def test_a_line_typed_in_another_form_gets_offers_without_an_edit() -> None:
    """Its times and dates do not stand in the text as they are read, so nothing there can be replaced."""
    faults = checked(f'{HEAD}  2026-09-09 move "1" to 9:00\n').diagnostics
    (needs_range,) = (d for d in faults if d.code.id == "D407")
    assert {certainty for _, certainty, _ in shown(needs_range)} == {"sketch"}
    assert last_day_offered(f"{HEAD}  2026-09-09 silent\n  9 Sep 2026 early\n") == []


@pytest.mark.parametrize(
    ("drop", "move"),
    [
        ('drop "1"', 'move "1" to 09:00 - 10:00'),
        ("drop before 10:00", 'move "Period 1 ends" to 10:00'),
        ("drop 11:10", "move 11:10 to 11:20"),
        ('drop "2" in yard', 'move "2" to 10:00 - 10:40 in yard'),
    ],
)
def test_a_move_of_what_is_dropped_shows_the_drop(drop: str, move: str) -> None:
    (fault,) = checked(f"{HEAD}  2026-09-09 {drop}\n  2026-09-09 {move}\n").diagnostics
    assert [label.span.text for label in fault.labels] == [f"2026-09-09 {move}", f"2026-09-09 {drop}"]


def test_a_move_in_a_zone_without_such_a_ring_shows_no_drop() -> None:
    text = HEAD.replace('ring 11:10 lesson "Line up"', 'ring 11:10 lesson in yard "Line up"')
    (fault,) = checked(f'{text}  2026-09-09 move "Line up" to 11:20 in main\n').diagnostics
    assert (fault.code.id, len(fault.labels)) == ("D405", 1)


def test_follow_on_faults_of_a_timetable_and_those_like_it_are_left_out() -> None:
    wrong = "timetable late like normal\n  shift +70 min before 09:00\n  must end 12:45\n"
    like = "timetable later like late\n  drop 12:00\n  must end 12:45\ntimetable last like later\n  must end 12:45\n"
    text = HEAD.replace("week ordinary", f"{wrong}{like}week ordinary")
    assert codes_of(text) == ["D412", "N395"], said(checked(text).diagnostics)
