"""What complaints look like on a terminal: the places in the text, the reason, and what to try."""

import re

from chime.diagnostics import (
    Code,
    Diagnostic,
    Edit,
    Label,
    Severity,
    Source,
    Span,
    Suggestion,
    long_form,
    one_line,
)
from tests.complaints import at, code, drawn, marramsea, span_of, unknown_zone


def crowded_minute(source: Source) -> Diagnostic:
    ferry = span_of(source, 'ring 11:25  short  "Ferry sails"')
    over = span_of(source, 'ring 11:25  long   "Deck class is over"')
    return Diagnostic(
        Code("T588", "crowded-minute", "error", "Two rings share one minute.", "wrong", "right"),
        "one minute of this zone is asked for twice",
        (
            Label(ferry, "comes second"),
            Label(over, "comes first", "secondary"),
        ),
        "At 11:25 the north quay is called to leave its class and to board the ferry. "
        "One bell cannot say both, and half of those who hear it would do the wrong thing.",
        (
            Suggestion(
                "let it ring a minute later",
                "guess",
                (Edit(Span(source, ferry.start + 5, ferry.start + 10), "11:26"),),
            ),
        ),
    )


def test_a_clash_shows_both_ends_and_the_line_to_write() -> None:
    assert (
        drawn(crowded_minute(marramsea()))
        == """\
error T588 · one minute of this zone is asked for twice
  at programmes/marramsea.chime:11:3

   8 │   ring 11:25  long   "Deck class is over"
     ┊   ○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○  comes first
     ⋮
  11 │   ring 11:25  short  "Ferry sails"
     ┊   ●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●  comes second

  why   At 11:25 the north quay is called to leave its class and to board the ferry.
        One bell cannot say both, and half of those who hear it would do the wrong
        thing.
  try   let it ring a minute later (guess):
  11  +   ring 11:26  short  "Ferry sails"
  more  chime explain T588
"""
    )


def test_the_plain_look_has_the_same_lines_in_ascii() -> None:
    assert (
        drawn(crowded_minute(marramsea()), ascii_only=True)
        == """\
error T588 - one minute of this zone is asked for twice
  at programmes/marramsea.chime:11:3

   8 |   ring 11:25  long   "Deck class is over"
     :   .......................................  comes first
     ~
  11 |   ring 11:25  short  "Ferry sails"
     :   oooooooooooooooooooooooooooooooo  comes second

  why   At 11:25 the north quay is called to leave its class and to board the ferry.
        One bell cannot say both, and half of those who hear it would do the wrong
        thing.
  try   let it ring a minute later (guess):
  11  +   ring 11:26  short  "Ferry sails"
  more  chime explain T588
"""
    )


def test_an_unknown_name_shows_where_the_near_one_is_declared() -> None:
    assert (
        drawn(unknown_zone(marramsea()))
        == """\
error N388 · there is no zone called "south-qauy"
  at programmes/marramsea.chime:14:25

   4 │ zone south-quay  on track 1  "South quay with its pier"
     ┊      ○○○○○○○○○○  a name much like it, from here
     ⋮
  14 │   2026-10-02  silent in south-qauy  "Rowing day"
     ┊                         ●●●●●●●●●●  nowhere declared

  why   Only a zone that is declared somewhere can be silenced.
  try   south-quay (guess):
  14  +   2026-10-02  silent in south-quay  "Rowing day"
  more  chime explain N388
"""
    )


def test_colour_goes_by_role() -> None:
    # SGR numbers after ECMA-48: 1 bold, 2 faint, 31 red, 32 green, 36 cyan, 0 back to normal.
    red, cyan, green, faint, normal = "\x1b[1;31m", "\x1b[36m", "\x1b[32m", "\x1b[2m", "\x1b[0m"
    colored = long_form.render([unknown_zone(marramsea())], color=True, ascii_only=False)
    lines = colored.splitlines()
    assert lines[0] == f'{red}error N388{normal} · \x1b[1mthere is no zone called "south-qauy"{normal}'
    assert (
        lines[4]
        == f"{faint}     ┊{normal}      {cyan}{'○' * 10}{normal}  {cyan}a name much like it, from here{normal}"
    )
    assert (
        lines[7] == f"{faint}     ┊{normal}{' ' * 25}{red}{'●' * 10}{normal}  {red}nowhere declared{normal}"
    )
    assert lines[10] == f"{green}  try   south-quay (guess):{normal}"


def test_the_colour_of_a_warning_is_yellow_and_of_a_note_blue() -> None:
    source = marramsea()
    label = Label(Span(source, 0, 9), "here")
    colors: list[tuple[Severity, str]] = [("warning", "33"), ("note", "34")]
    for severity, sgr in colors:
        diagnostic = Diagnostic(code("N301", severity), "x", (label,))
        colored = long_form.render([diagnostic], color=True, ascii_only=False)
        assert f"\x1b[1;{sgr}m{severity} N301\x1b[0m" in colored
        assert f"\x1b[1;{sgr}m{'●' * 9}\x1b[0m" in colored


def test_a_fault_of_the_whole_file_has_no_snippet() -> None:
    fault = Diagnostic(
        code("F101"),
        "the file is not UTF-8",
        why="Byte 812 begins no character. Save the file as UTF-8 and try again.",
        file="programmes/marramsea.chime",
    )
    assert (
        drawn(fault)
        == """\
error F101 · the file is not UTF-8
  at programmes/marramsea.chime

  why   Byte 812 begins no character.
        Save the file as UTF-8 and try again.
  more  chime explain F101
"""
    )


def test_labels_in_two_files_have_a_place_each_the_primary_one_first() -> None:
    ours = Source("z.chime", "zone yard on track 2\n")
    theirs = Source("a.chime", "\nzone yard on track 1\n")
    twice = Diagnostic(
        code("N301"),
        'two zones are called "yard"',
        (
            Label(span_of(theirs, "yard"), "first said here", "secondary"),
            Label(span_of(ours, "yard"), "said again here"),
        ),
        suggestions=(Suggestion("take it out there", "guess", (Edit(Span(theirs, 1, 22), ""),)),),
    )
    assert (
        drawn(twice)
        == """\
error N301 · two zones are called "yard"
  at z.chime:1:6

  1 │ zone yard on track 2
    ┊      ●●●●  said again here

  at a.chime:2:6

  2 │ zone yard on track 1
    ┊      ○○○○  first said here

  try   take it out there (guess):
        in a.chime
  2  - zone yard on track 1
  more  chime explain N301
"""
    )


def test_each_sentence_of_the_reason_has_its_own_line_and_long_ones_are_wrapped() -> None:
    fault = Diagnostic(
        code("N301"),
        "x",
        why='The label "Line up. All out" is said twice. ' + "It rings " * 12 + "on.",
    )
    assert drawn(fault).splitlines()[2:5] == [
        '  why   The label "Line up. All out" is said twice.',
        "        It rings It rings It rings It rings It rings It rings It rings It rings It rings",
        "        It rings It rings It rings on.",
    ]


def test_several_suggestions_have_a_line_each() -> None:
    fault = Diagnostic(
        code("N301"),
        "x",
        suggestions=(
            Suggestion("main", "guess"),
            Suggestion("maid", "guess"),
            Suggestion("write 8 s", "sure"),
        ),
    )
    tries = [line for line in drawn(fault).splitlines() if "try" in line]
    assert tries == ["  try   main (guess)", "  try   maid (guess)", "  try   write 8 s (sure)"]


def changes(source: Source, *edits: Edit) -> list[str]:
    fault = at(source, 0, 0)._replace(suggestions=(Suggestion("so", "guess", edits),))
    lines = drawn(fault).splitlines()
    return lines[lines.index("  try   so (guess):") + 1 : -1]


def test_a_new_line_is_shown_without_the_one_it_is_put_before() -> None:
    source = Source("a.chime", "zone a\nzone c\n")
    assert changes(source, Edit(Span(source, 7, 7), "zone b\n")) == ["  2  + zone b"]
    assert changes(source, Edit(Span(source, 6, 6), "\nzone b")) == ["  2  + zone b"]


def test_a_line_taken_out_is_shown_with_a_minus() -> None:
    source = Source("a.chime", "zone a\r\nzone b\r\nzone c")
    assert changes(source, Edit(Span(source, 8, 16), "")) == ["  2  - zone b"]


def test_edits_on_several_lines_show_each_line() -> None:
    source = Source("a.chime", "zone a\nzone b\nzone c\n")
    both = Edit(Span(source, 5, 6), "x"), Edit(Span(source, 19, 20), "z"), Edit(Span(source, 0, 4), "ZONE")
    assert changes(source, *both) == ["  1  + ZONE x", "  3  + zone z"]


def test_many_changed_lines_are_counted_from_the_ninth_on() -> None:
    source = Source("a.chime", "")
    shown = changes(source, Edit(Span(source, 0, 0), "\n".join(f"zone z{number}" for number in range(10))))
    assert len(shown) == 9
    assert shown[7:] == ["   8  + zone z7", "      ⋮ and 2 more lines"]


def test_an_edit_far_along_a_long_line_is_in_view() -> None:
    source = Source("a.chime", "a" * 5000)
    (line,) = changes(source, Edit(Span(source, 2500, 2500), "WRONG"))
    assert re.fullmatch(r"  1  \+ …a+WRONGa+…", line)


def test_beyond_the_limit_the_rest_is_counted_and_errors_come_before_warnings() -> None:
    source = Source("a.chime", "x" * 100)
    warnings = [
        Diagnostic(code("N310", "warning"), "w", (Label(Span(source, n, n + 1), ""),)) for n in range(20)
    ]
    errors = [at(source, n, n + 1) for n in range(50, 55)]
    lines = drawn(*warnings, *errors).splitlines()
    assert sum(line.startswith("error ") for line in lines) == 5
    assert sum(line.startswith("warning ") for line in lines) == 15
    assert lines[-2:] == ["and 5 more: 5 warnings", "  more  add --report line to see every one"]
    few = long_form.render(errors + warnings[:1], color=False, ascii_only=False, limit=4)
    assert "\nand 2 more: 1 error and 1 warning\n" in few


def test_without_a_limit_nothing_is_left_out() -> None:
    source = Source("a.chime", "x" * 100)
    everything = long_form.render(
        [at(source, n, n) for n in range(60)], color=False, ascii_only=False, limit=None
    )
    assert everything.count("more  chime explain") == 60


def test_nothing_to_say_is_said_with_nothing() -> None:
    assert drawn() == ""
    assert one_line.render([]) == ""
